package mesh

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"
)

// asciiReader reads ASCII STL word by word. Words are what the format is made
// of: line ends only close the name after "solid" and "endsolid". (The STL
// library's own reader takes 20 times as long, reads the first solid
// only and accepts NaN.)
type asciiReader struct {
	scanFile
	in    *bufio.Reader
	word  []byte // the current word in lower case, valid until the next
	line  int
	done  int64 // bytes taken
	index *keyIndex
	faces [][3]int32

	origin r3.Vec // coordinates are rounded to float32 as seen from here
}

func readASCII(ctx context.Context, s scanFile, progress func(done, total int64)) (*Mesh, Source, error) {
	m, src, err := readASCIIFrom(ctx, s, r3.Vec{}, progress)
	if err != nil {
		return nil, src, err
	}
	if origin := roundingOrigin(m.Bounds()); origin != (r3.Vec{}) {
		// Text may hold more digits than float32.
		m, src, err = readASCIIFrom(ctx, s, origin, func(done, total int64) {})
	}
	progress(s.size, s.size)
	return m, src, err
}

// readASCIIFrom reads the file with coordinates rounded as seen from origin.
func readASCIIFrom(ctx context.Context, s scanFile, origin r3.Vec, progress func(done, total int64)) (*Mesh, Source, error) {
	r := &asciiReader{
		scanFile: s,
		in:       bufio.NewReaderSize(io.NewSectionReader(s, 0, s.size), 1<<20),
		line:     1,
		index:    newKeyIndex(int(min(s.size/500, maxTriangles))),
		origin:   origin,
	}
	src := Source{Format: "STL ASCII"}
	solids, err := r.solids(ctx, &src, progress)
	if err != nil {
		return nil, src, err
	}
	if len(r.faces) == 0 {
		return nil, src, s.fail(exportAgain, "holds no triangles")
	}
	if solids > 1 {
		src.Notes = append(src.Notes, fmt.Sprintf("%d solids in one file were read as one scan", solids))
	}
	src.Triangles = len(r.faces)
	vertices := weld([]*keyIndex{r.index}, [][][3]int32{r.faces})
	if origin != (r3.Vec{}) {
		for i, v := range vertices {
			vertices[i] = r3.Add(v, origin)
		}
	}
	return &Mesh{Vertices: vertices, Faces: r.faces}, src, nil
}

// solids reads all solids and returns their number.
func (r *asciiReader) solids(ctx context.Context, src *Source, progress func(done, total int64)) (n int, err error) {
	if bom, _ := r.in.Peek(len(byteOrderMark)); string(bom) == byteOrderMark {
		r.in.Discard(len(bom))
	}
	for {
		err := r.next()
		if err == io.EOF {
			return n, nil
		}
		if err != nil {
			return n, err
		}
		name, err := r.solid(ctx, progress)
		if err != nil {
			return n, err
		}
		if n++; n == 1 {
			src.Name = name
		}
	}
}

// solid reads one solid, whose first word is the current one, and returns its
// name.
func (r *asciiReader) solid(ctx context.Context, progress func(done, total int64)) (name string, err error) {
	if string(r.word) != "solid" {
		return "", r.expected("solid")
	}
	if name, err = r.restOfLine(); err != nil {
		return "", err
	}
	for {
		if err := r.need("facet or endsolid"); err != nil {
			return "", err
		}
		if string(r.word) == "endsolid" {
			_, err := r.restOfLine()
			return name, err
		}
		if string(r.word) != "facet" {
			return "", r.expected("facet or endsolid")
		}
		if err := r.facet(); err != nil {
			return "", err
		}
		if len(r.faces)%chunk == 0 {
			if err := ctx.Err(); err != nil {
				return "", err
			}
			progress(r.done, r.size)
		}
	}
}

// facet reads what follows the word facet. The normal is passed over: some
// programs write nan there for a face without area.
func (r *asciiReader) facet() error {
	if len(r.faces) == maxTriangles {
		return r.fail("reduce the scan before planning", "has more than %d triangles", maxTriangles)
	}
	if err := r.words("normal"); err != nil {
		return err
	}
	for range 3 {
		if err := r.need("a number"); err != nil {
			return err
		}
	}
	if err := r.words("outer", "loop"); err != nil {
		return err
	}
	var face [3]int32
	for i := range face {
		k, err := r.vertex()
		if err != nil {
			return err
		}
		face[i] = r.index.number(k)
	}
	r.faces = append(r.faces, face)
	return r.words("endloop", "endfacet")
}

func (r *asciiReader) vertex() (key, error) {
	if err := r.words("vertex"); err != nil {
		return key{}, err
	}
	var b [3]uint32
	for i := range b {
		if err := r.need("a number"); err != nil {
			return key{}, err
		}
		x, err := r.coordinate(i)
		if math.IsNaN(x) || math.IsInf(x, 0) {
			return key{}, r.notFinite(len(r.faces) + 1)
		}
		if err != nil {
			return key{}, r.expected("a number")
		}
		b[i] = math.Float32bits(float32(x))
	}
	return cornerKey(b[0], b[1], b[2]), nil
}

// coordinate reads the word as the coordinate along an axis, as seen from the
// origin.
func (r *asciiReader) coordinate(axis int) (float64, error) {
	if r.origin == (r3.Vec{}) {
		return strconv.ParseFloat(string(r.word), 32)
	}
	x, err := strconv.ParseFloat(string(r.word), 64)
	return x - [3]float64{r.origin.X, r.origin.Y, r.origin.Z}[axis], err
}

// words reads the given words.
func (r *asciiReader) words(want ...string) error {
	for _, w := range want {
		if err := r.need(w); err != nil {
			return err
		}
		if string(r.word) != w {
			return r.expected(w)
		}
	}
	return nil
}

// need reads the next word, which must be there.
func (r *asciiReader) need(what string) error {
	err := r.next()
	if err == io.EOF {
		return r.fail(exportAgain, "is cut off: it ends in line %d where %s should follow", r.line, what)
	}
	return err
}

func (r *asciiReader) expected(what string) error {
	return r.fail(exportAgain, "is damaged in line %d: %q stands where %s should", r.line, string(r.word), what)
}

// next reads the next word, io.EOF at the end.
func (r *asciiReader) next() error {
	r.word = r.word[:0]
	for {
		c, err := r.in.ReadByte()
		if err != nil {
			if err == io.EOF && len(r.word) > 0 {
				return nil
			}
			return r.ended(err)
		}
		r.done++
		if c <= ' ' {
			if len(r.word) > 0 {
				r.in.UnreadByte()
				r.done--
				return nil
			}
			if c == '\n' {
				r.line++
			}
			continue
		}
		if 'A' <= c && c <= 'Z' {
			c += 'a' - 'A'
		}
		if r.word = append(r.word, c); len(r.word) > longestWord {
			return r.fail(exportAgain, "is damaged in line %d: a word has no end", r.line)
		}
	}
}

// ended passes the end of the file on and explains any other failure. The
// section reader returns io.EOF also when the file shrank, so the bytes taken
// decide.
func (r *asciiReader) ended(err error) error {
	if err == io.EOF && r.done >= r.size-3 { // a byte order mark is not counted
		return io.EOF
	}
	return r.readFailed(err)
}

// restOfLine returns what stands between the current word and the line's end.
func (r *asciiReader) restOfLine() (string, error) {
	var rest []byte
	for {
		c, err := r.in.ReadByte()
		if err == io.EOF {
			break
		}
		if err != nil {
			return "", r.readFailed(err)
		}
		r.done++
		if c == '\n' || c == '\r' {
			r.in.UnreadByte() // next counts it
			r.done--
			break
		}
		if len(rest) < longestWord && c >= ' ' && c <= '~' {
			rest = append(rest, c)
		}
	}
	return strings.TrimSpace(string(rest)), nil
}
