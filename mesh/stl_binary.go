package mesh

import (
	"bytes"
	"context"
	"encoding/binary"
	"fmt"
	"strings"
	"sync"
)

const (
	headerSize   = 84 // 80 bytes of anything and a count
	triangleSize = 50 // normal, three corners, two bytes of attributes
	chunk        = 8192
)

// readBinary reads binary STL: each processor reads and numbers its own run of
// triangles, then the runs are welded.
func readBinary(ctx context.Context, s scanFile, progress func(done, total int64)) (*Mesh, Source, error) {
	src, err := s.binarySource()
	if err != nil {
		return nil, src, err
	}
	faces := makeLarge[[3]int32](src.Triangles)
	parts := partsFor(len(faces))
	indexes, byPart := make([]*keyIndex, parts), make([][][3]int32, parts)
	errs := make([]error, parts)
	report := steps(int64(len(faces))*triangleSize, progress)
	inParts(len(faces), func(p, lo, hi int) {
		// A closed mesh has half as many vertices as faces; the first index
		// will take in the others.
		room := (hi - lo) / 2
		if p == 0 {
			room = len(faces) / 2
		}
		indexes[p], byPart[p] = newKeyIndex(room+8), faces[lo:hi]
		errs[p] = readRun(ctx, s, indexes[p], byPart[p], lo, report)
	})
	for _, err := range errs {
		if err != nil {
			return nil, src, err
		}
	}
	return &Mesh{Vertices: weld(indexes, byPart), Faces: faces}, src, nil
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

// readRun reads the triangles from first on into faces, numbering their
// corners by index.
func readRun(ctx context.Context, s scanFile, index *keyIndex, faces [][3]int32, first int, report func(int64)) error {
	buf := make([]byte, min(chunk, len(faces))*triangleSize)
	for lo := 0; lo < len(faces); lo += chunk {
		if err := ctx.Err(); err != nil {
			return err
		}
		run := faces[lo:min(lo+chunk, len(faces))]
		b := buf[:len(run)*triangleSize]
		if n, err := s.ReadAt(b, binarySize(int64(first+lo))); n < len(b) {
			return s.readFailed(err)
		}
		for f := 0; f < len(run); f += batch / 3 {
			if bad := numberCorners(index, b[f*triangleSize:], run[f:min(f+batch/3, len(run))]); bad >= 0 {
				return s.notFinite(first + lo + f + bad + 1)
			}
		}
		report(int64(len(b)))
	}
	return nil
}

// numberCorners numbers the corners of up to batch/3 faces stored in b. It
// returns the first face with a coordinate that is not finite, −1 if none.
func numberCorners(index *keyIndex, b []byte, faces [][3]int32) (bad int) {
	var keys [batch]key
	var numbers [batch]int32
	for f := range faces {
		t := (*[triangleSize]byte)(b[f*triangleSize:])
		if !finiteCorners(t) {
			return f
		}
		keys[3*f], keys[3*f+1], keys[3*f+2] = corner(t, 12), corner(t, 24), corner(t, 36)
	}
	index.numberAll(keys[:3*len(faces)], numbers[:])
	for f := range faces {
		faces[f] = [3]int32(numbers[3*f:])
	}
	return -1
}

// corner returns the corner stored at byte at.
func corner(t *[triangleSize]byte, at int) key {
	b := t[at : at+12 : at+12]
	return cornerKey(binary.LittleEndian.Uint32(b), binary.LittleEndian.Uint32(b[4:]), binary.LittleEndian.Uint32(b[8:]))
}

// finiteCorners says whether no coordinate has the exponent of NaN and Inf.
func finiteCorners(t *[triangleSize]byte) bool {
	for at := 12; at < 48; at += 4 {
		const exponent = 0x7f800000
		if binary.LittleEndian.Uint32(t[at:])&exponent == exponent {
			return false
		}
	}
	return true
}

// notFinite reports a triangle, counted from 1, with a NaN or infinite corner.
func (s scanFile) notFinite(triangle int) error {
	return s.fail("remove that triangle in a mesh program and fill the hole, or export again",
		"has a corner that is not a number in triangle %d", triangle)
}
