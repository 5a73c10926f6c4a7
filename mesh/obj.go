package mesh

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"
)

// objReader reads Wavefront OBJ. Of the format it takes points and polygons;
// normals, textures, materials, groups, lines and smoothing are passed over.
type objReader struct {
	*lineReader
	*gathering
	corners []int32
	unknown int // lines that begin with no word of OBJ
	curved  bool
	src     Source
}

func readOBJ(ctx context.Context, s scanFile, progress func(done, total int64)) (*Mesh, Source, error) {
	r := &objReader{
		lineReader: newLineReader(ctx, s, progress),
		gathering:  newGathering(),
		src:        Source{Format: string(kindOBJ)},
	}
	for {
		line, err := r.next()
		if err == io.EOF {
			break
		}
		if err == nil {
			err = r.take(line)
		}
		if err != nil {
			return nil, r.src, err
		}
	}
	progress(s.size, s.size)
	if r.unknown > 0 {
		r.src.Notes = append(r.src.Notes, fmt.Sprintf("lines that are not OBJ were passed over: %d", r.unknown))
	}
	r.src.Triangles = r.faces.len()
	switch {
	case r.faces.len() > 0:
		return r.mesh(), r.src, nil
	case r.curved:
		return nil, r.src, s.fail("export it as triangles", "holds curved surfaces but no flat faces")
	case r.points.len() > 0:
		return nil, r.src, s.pointCloud(int64(r.points.len()))
	}
	return nil, r.src, s.fail("export the scan again", "holds no faces")
}

// pointCloud refuses a file of points.
func (s scanFile) pointCloud(points int64) error {
	return s.fail("let the scanner's program make a mesh of them and export that", "holds no faces, only points (%d)", points)
}

// take reads one line.
func (r *objReader) take(line []byte) error {
	word, rest := cutWord(line)
	switch string(word) {
	case "":
	case "v":
		return r.point(rest)
	case "f", "fo":
		return r.face(rest)
	case "o":
		if r.src.Name == "" {
			r.src.Name = printable(rest)
		}
	case "surf", "curv", "curv2":
		r.curved = true
	default:
		r.other(word, line)
	}
	return nil
}

// other looks at a line without points or faces.
func (r *objReader) other(word, line []byte) {
	if word[0] == '#' {
		comment := printable(bytes.TrimLeft(bytes.TrimSpace(line), "#"))
		if r.src.UnitComment == "" && saysUnit(comment) {
			r.src.noteComment(comment)
		}
		return
	}
	if r.faces.len() == 0 && r.points.len() == 0 && !slices.Contains(objWords, strings.ToLower(string(word))) {
		r.unknown++
	}
}

// printable returns the printable start of b, at most 80 bytes of it.
func printable(b []byte) string {
	b = bytes.TrimSpace(b)
	for i, c := range b {
		if c < ' ' || c > '~' || i == 80 {
			b = b[:i]
			break
		}
	}
	return strings.TrimSpace(string(b))
}

// point reads x y z; a weight or a colour may follow.
func (r *objReader) point(rest []byte) error {
	var xyz [3]float64
	for i := range xyz {
		var word []byte
		word, rest = cutWord(rest)
		x, err := parseCoordinate(word)
		if err != nil {
			return r.damaged("%q stands where a coordinate should", word)
		}
		xyz[i] = x
	}
	if r.points.len() == maxPoints {
		return r.fail("reduce the scan before planning", "has more than %d points", maxPoints)
	}
	if !r.addPoint(r3.Vec{X: xyz[0], Y: xyz[1], Z: xyz[2]}) {
		return r.damaged("a coordinate is no number that can be used")
	}
	return nil
}

// parseCoordinate reads a number; one that is out of range comes out infinite.
func parseCoordinate(word []byte) (float64, error) {
	x, err := strconv.ParseFloat(string(word), 64)
	if errors.Is(err, strconv.ErrRange) {
		err = nil
	}
	return x, err
}

// face reads a polygon: a point for each corner, counted from 1, or back from
// the last with a minus sign; what follows a slash is passed over.
func (r *objReader) face(rest []byte) error {
	r.corners = r.corners[:0]
	for {
		var word []byte
		if word, rest = cutWord(rest); len(word) == 0 || word[0] == '#' {
			break
		}
		number, _, _ := bytes.Cut(word, []byte("/"))
		i, ok := parseInteger(number)
		if !ok || i == 0 {
			return r.damaged("%q stands where the number of a point should", word)
		}
		if i < 0 {
			i += r.points.len() + 1
		}
		if i < 1 || i > r.points.len() {
			return r.damaged("a face names point %s, but %d points come before it", number, r.points.len())
		}
		r.corners = append(r.corners, int32(i-1))
	}
	if problem := r.addFace(r.corners); problem != "" {
		return r.damaged("%s", problem)
	}
	return nil
}

// parseInteger reads a whole number of at most 18 digits.
func parseInteger(b []byte) (n int, ok bool) {
	digits := b
	if len(b) > 0 && (b[0] == '-' || b[0] == '+') {
		digits = b[1:]
	}
	if len(digits) == 0 || len(digits) > 18 {
		return 0, false
	}
	for _, c := range digits {
		if c < '0' || c > '9' {
			return 0, false
		}
		n = 10*n + int(c-'0')
	}
	if b[0] == '-' {
		n = -n
	}
	return n, true
}

func (r *lineReader) damaged(what string, args ...any) error {
	return r.fail("export the scan again, as triangles", "is damaged in line %d: %s", r.line, fmt.Sprintf(what, args...))
}
