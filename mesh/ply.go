package mesh

import (
	"bufio"
	"context"
	"encoding/binary"
	"fmt"
	"io"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

// plyReader reads PLY. Of the format it takes points, polygons and triangle
// strips; whatever else elements and properties hold is passed over.
type plyReader struct {
	scanFile
	*gathering
	header  plyHeader
	numbers plyNumbers
	corners []int32
}

// plyNumbers are the numbers of a PLY file in turn.
type plyNumbers interface {
	// next returns the next number, which is of type t.
	next(t plyType) (float64, error)
	// room returns how many numbers of type t may still follow.
	room(t plyType) int64
	// at returns the bytes taken since the header.
	at() int64
}

func readPLY(ctx context.Context, s scanFile, progress func(done, total int64)) (*Mesh, Source, error) {
	src := Source{Format: "PLY ASCII"}
	h, err := s.readPLYHeader()
	if err != nil {
		return nil, src, err
	}
	if points, faces := h.counts(); points > 0 && faces == 0 {
		return nil, src, s.pointCloud(points)
	}
	body := bufio.NewReaderSize(io.NewSectionReader(s, h.size, s.size-h.size), 1<<20)
	r := &plyReader{scanFile: s, gathering: newGathering(), header: h}
	if h.text() {
		r.numbers = &plyText{asciiReader{scanFile: s, in: body, line: h.lines + 1, done: h.size}, h.size}
	} else {
		src.Format = "PLY binary"
		r.numbers = &plyBinary{scanFile: s, in: body, order: h.order, left: s.size - h.size}
	}
	for _, e := range h.elements {
		if err := r.element(ctx, e, progress); err != nil {
			return nil, src, err
		}
	}
	if r.header.comment != "" {
		src.noteComment(r.header.comment)
	}
	if err := r.after(&src); err != nil {
		return nil, src, err
	}
	progress(s.size, s.size)
	if src.Triangles = r.faces.len(); src.Triangles > 0 {
		return r.mesh(), src, nil
	}
	return nil, src, s.fail("export the scan again", "holds no faces")
}

// after looks at what follows the last element.
func (r *plyReader) after(src *Source) error {
	if text, ok := r.numbers.(*plyText); ok {
		if err := text.asciiReader.next(); err != io.EOF {
			return r.fail("export the scan again", "holds more than its header says, from line %d on", text.line)
		}
	} else if extra := r.size - r.header.size - r.numbers.at(); extra > 0 {
		src.Notes = append(src.Notes, fmt.Sprintf("%d bytes after the last element were not read", extra))
	}
	return nil
}

// element reads a table.
func (r *plyReader) element(ctx context.Context, e plyElement, progress func(done, total int64)) error {
	row := r.passOver
	switch {
	case e.name == "vertex":
		if !e.has("x", "y", "z") {
			return r.fail("export the scan again", "has points without x, y and z")
		}
		if e.count > maxPoints {
			return r.fail("reduce the scan before planning", "has more than %d points", maxPoints)
		}
		row = r.vertexRow
	case e.name == "face" || e.name == "tristrips":
		row = r.faceRow
	}
	for i := range e.count {
		if i%chunk == 0 {
			if err := ctx.Err(); err != nil {
				return err
			}
			progress(min(r.header.size+r.numbers.at(), r.size), r.size)
		}
		if err := row(e, i+1); err != nil {
			return err
		}
	}
	return nil
}

// passOver reads a row that is not used, counted from 1.
func (r *plyReader) passOver(e plyElement, row int64) error {
	for _, p := range e.properties {
		if err := r.skip(e, row, p); err != nil {
			return err
		}
	}
	return nil
}

// skip reads a property that is not used.
func (r *plyReader) skip(e plyElement, row int64, p plyProperty) error {
	n := int64(1)
	if p.isList {
		var err error
		if n, err = r.listLength(e, row, p); err != nil {
			return err
		}
	}
	for range n {
		if _, err := r.numbers.next(p.item); err != nil {
			return err
		}
	}
	return nil
}

// vertexRow reads a point.
func (r *plyReader) vertexRow(e plyElement, row int64) error {
	var at r3.Vec
	for _, p := range e.properties {
		if p.isList {
			if err := r.skip(e, row, p); err != nil {
				return err
			}
			continue
		}
		x, err := r.numbers.next(p.item)
		if err != nil {
			return err
		}
		switch p.name {
		case "x":
			at.X = x
		case "y":
			at.Y = x
		case "z":
			at.Z = x
		}
	}
	if !r.addPoint(at) {
		return r.wrong(e, row, "a coordinate is no number that can be used")
	}
	return nil
}

// faceRow reads a polygon, or a row of strips.
func (r *plyReader) faceRow(e plyElement, row int64) error {
	for _, p := range e.properties {
		if !p.isList || p.name != "vertex_indices" && p.name != "vertex_index" {
			if err := r.skip(e, row, p); err != nil {
				return err
			}
			continue
		}
		if err := r.cornerList(e, row, p); err != nil {
			return err
		}
		problem := ""
		if e.name == "face" {
			problem = r.addFace(r.corners)
		} else {
			problem = r.addStrips(r.corners)
		}
		if problem != "" {
			return r.wrong(e, row, "%s", problem)
		}
	}
	return nil
}

// cornerList reads the numbers of points into corners.
func (r *plyReader) cornerList(e plyElement, row int64, p plyProperty) error {
	n, err := r.listLength(e, row, p)
	if err != nil {
		return err
	}
	if n > maxCorners && e.name == "face" {
		return r.wrong(e, row, "it has %d corners, and only up to %d can be cut into triangles", n, maxCorners)
	}
	r.corners = slices.Grow(r.corners[:0], int(n))
	for range n {
		x, err := r.numbers.next(p.item)
		if err != nil {
			return err
		}
		if x == stripEnd && e.name == "tristrips" {
			r.corners = append(r.corners, stripEnd)
			continue
		}
		if x != math.Trunc(x) || x < 0 || x >= float64(r.points.len()) {
			return r.wrong(e, row, "there is no point %v; %d come before, counted from 0", x, r.points.len())
		}
		r.corners = append(r.corners, int32(x))
	}
	return nil
}

// listLength reads the count of a list and holds it against what is left of
// the file.
func (r *plyReader) listLength(e plyElement, row int64, p plyProperty) (int64, error) {
	n, err := r.numbers.next(p.counter)
	if err != nil {
		return 0, err
	}
	if n != math.Trunc(n) || n < 0 {
		return 0, r.wrong(e, row, "a list has %.12g entries", n)
	}
	if room := r.numbers.room(p.item); n > float64(room) {
		return 0, r.wrong(e, row, "a list has %.12g entries but there is room for %d", n, room)
	}
	return int64(n), nil
}

func (r *plyReader) wrong(e plyElement, row int64, what string, args ...any) error {
	return r.fail("export the scan again, as triangles", "is damaged in %s %d: %s", e.name, row, fmt.Sprintf(what, args...))
}

// plyText reads numbers from text, word by word as ASCII STL is read.
type plyText struct {
	asciiReader
	header int64
}

func (t *plyText) next(plyType) (float64, error) {
	if err := t.need("a number"); err != nil {
		return 0, err
	}
	x, err := parseCoordinate(t.word)
	if err != nil {
		return 0, t.expected("a number")
	}
	return x, nil
}

func (t *plyText) at() int64          { return t.done - t.header }
func (t *plyText) room(plyType) int64 { return (t.size - t.done + 1) / 2 }

// plyBinary reads numbers of either byte order.
type plyBinary struct {
	scanFile
	in    *bufio.Reader
	order binary.ByteOrder
	taken int64
	left  int64
}

func (b *plyBinary) next(t plyType) (float64, error) {
	size := int(t.size())
	p, err := b.in.Peek(size)
	if err != nil {
		if b.left < int64(size) {
			return 0, b.fail("export the scan again", "is cut off: it ends within its elements")
		}
		return 0, b.readFailed(err)
	}
	b.in.Discard(size)
	b.left -= int64(size)
	b.taken += int64(size)
	switch t {
	case plyInt8:
		return float64(int8(p[0])), nil
	case plyUint8:
		return float64(p[0]), nil
	case plyInt16:
		return float64(int16(b.order.Uint16(p))), nil
	case plyUint16:
		return float64(b.order.Uint16(p)), nil
	case plyInt32:
		return float64(int32(b.order.Uint32(p))), nil
	case plyUint32:
		return float64(b.order.Uint32(p)), nil
	case plyFloat32:
		return float64(math.Float32frombits(b.order.Uint32(p))), nil
	}
	return math.Float64frombits(b.order.Uint64(p)), nil
}

func (b *plyBinary) at() int64            { return b.taken }
func (b *plyBinary) room(t plyType) int64 { return b.left / t.size() }
