package mesh

import (
	"bytes"
	"context"
	"encoding/binary"
	"fmt"
	"strings"
	"sync"

	"pourwright/mesh/large"
)

const (
	headerSize   = 84 // 80 bytes of anything and a count
	triangleSize = 50 // normal, three corners, two bytes of attributes
	normalSize   = 12
	chunk        = 8192 // items between two looks at the context
)

// readBinary reads binary STL: each processor decodes and numbers its own run of
// triangles, then the runs are welded. The bytes are decoded here, not by the
// library that writes STL: it hands over one triangle at a time, with a normal
// that is of no use, and takes longer for that than all the rest takes.
func readBinary(ctx context.Context, s scanFile, progress func(done, total int64)) (*Mesh, Source, error) {
	src, err := s.binarySource()
	if err != nil {
		return nil, src, err
	}
	faces := large.Make[[3]int32](src.Triangles)
	parts := partsFor(len(faces))
	tables, byPart := make([]*cornerTable, parts), make([][][3]int32, parts)
	errs := make([]error, parts)
	report := steps(int64(len(faces))*triangleSize, progress)
	inParts(len(faces), func(p, lo, hi int) {
		// A closed mesh has half as many vertices as faces.
		tables[p], byPart[p] = newCornerTable((hi-lo)/2+(hi-lo)/64+8), faces[lo:hi]
		errs[p] = readRun(ctx, s, tables[p], byPart[p], lo, report)
	})
	for _, err := range errs {
		if err != nil {
			return nil, src, err
		}
	}
	m := &Mesh{Vertices: mergeTables(tables, byPart), Faces: faces}
	return m, src, s.checkRest(m, int64(src.Triangles))
}

// steps returns a function that adds up bytes done and passes the sum on, safe
// to call from several goroutines.
func steps(total int64, progress func(done, total int64)) func(bytes int64) {
	var mu sync.Mutex
	var done int64
	return func(bytes int64) {
		mu.Lock()
		defer mu.Unlock()
		done += bytes
		progress(done, total)
	}
}

// binarySource holds the header against the file's size, before anything is
// allocated.
func (s scanFile) binarySource() (Source, error) {
	src := Source{Format: "STL binary"}
	if s.size < headerSize {
		return src, s.fail(exportAgain, "is cut off: %d bytes are too few for an STL file", s.size)
	}
	head := make([]byte, headerSize)
	if n, err := s.ReadAt(head, 0); n < len(head) {
		return src, s.readFailed(err)
	}
	says, room := triangleCount(head), (s.size-headerSize)/triangleSize
	switch {
	case says == 0 && room == 0:
		return src, s.fail(exportAgain, "holds no triangles")
	case says == 0:
		return src, s.fail(exportAgain, "says 0 triangles but has room for %d: it was not finished", room)
	case says > room:
		return src, s.fail("the file is cut off or is no STL; export it again",
			"says %d triangles but has room for %d", says, room)
	case says > maxTriangles:
		return src, s.fail("reduce the scan before planning", "has %d triangles, more than %d", says, maxTriangles)
	}
	src.Name, src.Triangles = headerName(head), int(says)
	if extra := s.size - binarySize(says); extra > 0 {
		src.Notes = append(src.Notes, fmt.Sprintf("%d bytes after the last triangle were not read", extra))
	}
	return src, nil
}

// headerName returns the printable start of a binary header.
func headerName(head []byte) string {
	name, _, _ := bytes.Cut(head[:headerSize-4], []byte{0})
	for i, b := range name {
		if b < ' ' || b > '~' {
			name = name[:i]
			break
		}
	}
	return strings.TrimSpace(string(name))
}

// readRun reads the triangles from first on into faces, numbering their corners
// by table.
func readRun(ctx context.Context, s scanFile, table *cornerTable, faces [][3]int32, first int, report func(int64)) error {
	buffer := make([]byte, min(len(faces), readAtOnce)*triangleSize)
	for done := 0; done < len(faces); {
		if err := ctx.Err(); err != nil {
			return err
		}
		piece := faces[done:min(done+readAtOnce, len(faces))]
		b := buffer[:len(piece)*triangleSize]
		if n, err := s.ReadAt(b, binarySize(int64(first+done))); n < len(b) {
			return s.readFailed(err)
		}
		if bad := table.decode(b, piece); bad >= 0 {
			return s.notFinite(first + done + bad + 1)
		}
		done += len(piece)
		report(int64(len(b)))
	}
	return nil
}

const (
	readAtOnce  = 1 << 12 // triangles read before they are decoded
	decodeBatch = 1 << 8  // triangles decoded before the corners that wait are numbered
)

// decode numbers the corners of the triangles in b. It returns the first one with
// a corner that is not finite, −1 if there is none.
func (t *cornerTable) decode(b []byte, faces [][3]int32) int {
	var corners [3]cornerBits
	for done := 0; done < len(faces); done += decodeBatch {
		batch := faces[done:min(done+decodeBatch, len(faces))]
		for f := range batch {
			if !decodeCorners((*[36]byte)(b[(done+f)*triangleSize+normalSize:]), &corners) {
				return done + f
			}
			t.number(&corners, &batch[f])
		}
		t.settle(batch)
	}
	return -1
}

// decodeCorners reads three corners and says whether they are finite. −0 becomes
// 0, which is the same place.
func decodeCorners(b *[36]byte, corners *[3]cornerBits) bool {
	const exponent, above = 0x7f800000, 0x00800000 // NaN and infinity have all bits of the exponent
	special := uint32(0)
	for k := range corners {
		x := binary.LittleEndian.Uint32(b[12*k:])
		y := binary.LittleEndian.Uint32(b[12*k+4:])
		z := binary.LittleEndian.Uint32(b[12*k+8:])
		special |= (x&exponent + above) | (y&exponent + above) | (z&exponent + above)
		corners[k] = cornerBits{positiveZero(x), positiveZero(y), positiveZero(z)}
	}
	return int32(special) >= 0
}

// notFinite reports a triangle, counted from 1, with a NaN or infinite corner.
func (s scanFile) notFinite(triangle int) error {
	return s.fail("remove that triangle in a mesh program and fill the hole, or export again",
		"has a corner that is not a number in triangle %d", triangle)
}
