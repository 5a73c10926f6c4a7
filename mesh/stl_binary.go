package mesh

import (
	"bufio"
	"bytes"
	"context"
	"encoding/binary"
	"fmt"
	"io"
	"math"
	"strings"
	"sync"

	"github.com/hschendel/stl"
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
// corners by index. The library streams them: it is shown just this run, as a
// file of its own.
func readRun(ctx context.Context, s scanFile, index *keyIndex, faces [][3]int32, first int, report func(int64)) error {
	w := &faceWriter{index: index, faces: faces}
	run := newRunFile(s, first, len(faces))
	run.before = func(bytes int) error {
		if w.bad > 0 {
			return s.notFinite(first + w.bad)
		}
		if bytes > 0 {
			report(int64(bytes))
		}
		return ctx.Err()
	}
	err := stl.CopyAll(run, w)
	switch {
	case run.stop != nil:
		return run.stop
	case err != nil:
		return s.readFailed(run.read)
	}
	report(int64(run.last))
	if w.flush(); w.bad > 0 {
		return s.notFinite(first + w.bad)
	}
	return nil
}

// faceWriter takes triangles from the library.
type faceWriter struct {
	index  *keyIndex
	faces  [][3]int32 // to be filled
	done   int        // of them
	keys   [batch]key // corners that wait to be numbered
	filled int
	bad    int // first triangle with a corner that is not finite, from 1
}

// AppendTriangle takes the next triangle.
func (w *faceWriter) AppendTriangle(t stl.Triangle) {
	if w.filled == batch {
		w.flush()
	}
	for _, v := range t.Vertices {
		x, y, z := math.Float32bits(v[0]), math.Float32bits(v[1]), math.Float32bits(v[2])
		const exponent = 0x7f800000 // of NaN and infinity
		if x&exponent == exponent || y&exponent == exponent || z&exponent == exponent {
			if w.bad == 0 {
				w.bad = w.done + w.filled/3 + 1
			}
			x, y, z = 0, 0, 0
		}
		w.keys[w.filled] = cornerKey(x, y, z)
		w.filled++
	}
}

// flush numbers the corners that wait.
func (w *faceWriter) flush() {
	var numbers [batch]int32
	w.index.numberAll(w.keys[:w.filled], numbers[:])
	for i := 0; i < w.filled; i += 3 {
		w.faces[w.done] = [3]int32(numbers[i:])
		w.done++
	}
	w.filled = 0
}

// SetName, SetBinaryHeader, SetASCII and SetTriangleCount are not needed: the
// header was read before.
func (w *faceWriter) SetName(string)            {}
func (w *faceWriter) SetBinaryHeader([]byte)    {}
func (w *faceWriter) SetASCII(bool)             {}
func (w *faceWriter) SetTriangleCount(n uint32) {}

// runFile shows a run of triangles of a scan as a binary STL file of its own.
type runFile struct {
	head   *bytes.Reader
	body   *io.SectionReader
	buffer *bufio.Reader
	before func(bytes int) error // called before more is read, with the bytes that were
	last   int
	stop   error // from before
	read   error // from the file
}

func newRunFile(s scanFile, first, count int) *runFile {
	head := make([]byte, headerSize)
	binary.LittleEndian.PutUint32(head[headerSize-4:], uint32(count))
	r := &runFile{
		head: bytes.NewReader(head),
		body: io.NewSectionReader(s, binarySize(int64(first)), int64(count)*triangleSize),
	}
	r.buffer = bufio.NewReaderSize(pieces{r}, chunk*triangleSize)
	return r
}

// Read reads the header, then the triangles.
func (r *runFile) Read(p []byte) (int, error) {
	if r.head.Len() > 0 {
		return r.head.Read(p)
	}
	return r.buffer.Read(p)
}

// Seek goes to the start or the end, which is all that the library asks for.
func (r *runFile) Seek(offset int64, whence int) (int64, error) {
	if whence == io.SeekEnd {
		return headerSize + r.body.Size(), nil
	}
	r.head.Seek(0, io.SeekStart)
	r.body.Seek(0, io.SeekStart)
	r.buffer.Reset(pieces{r})
	return 0, nil
}

// pieces reads the triangles in large pieces.
type pieces struct{ r *runFile }

func (p pieces) Read(b []byte) (int, error) {
	if p.r.stop = p.r.before(p.r.last); p.r.stop != nil {
		return 0, p.r.stop
	}
	n, err := p.r.body.Read(b)
	p.r.last, p.r.read = n, err
	return n, err
}

// notFinite reports a triangle, counted from 1, with a NaN or infinite corner.
func (s scanFile) notFinite(triangle int) error {
	return s.fail("remove that triangle in a mesh program and fill the hole, or export again",
		"has a corner that is not a number in triangle %d", triangle)
}
