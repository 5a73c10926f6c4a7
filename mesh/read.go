package mesh

import (
	"context"
	"errors"
	"io"
	"os"
	"path/filepath"
)

// exportMesh is the advice for a file of a kind that is not read.
const exportMesh = "open it in the program it came from and export STL, OBJ, PLY, 3MF or GLB"

// Read reads a scan from a file in one of the formats STL, OBJ, PLY, 3MF, GLB
// or glTF, which may be packed with gzip; text may be UTF-16. The format is told by the content,
// never by the file's name; the path "-" is standard input. Coordinates keep
// the file's units (Source.UnitMM says which, when the file does); corners
// whose coordinates round to the same float32 become one vertex, in order of
// first appearance; they are rounded as seen from the middle of a scan that lies
// far from the origin for its size, where it is not. Polygons are cut into triangles; several objects are read
// as one mesh. progress may be nil; it is called with bytes, one call at a
// time. A *ReadError says what is wrong with the file; the context's error is
// returned as it is.
func Read(ctx context.Context, path string, progress func(done, total int64)) (*Mesh, Source, error) {
	if progress == nil {
		progress = func(done, total int64) {}
	}
	if path == StandardInput {
		return readStandardInput(ctx, os.Stdin, progress)
	}
	f, size, err := openScan(path)
	if err != nil {
		return nil, Source{}, err
	}
	defer f.Close()
	return readAny(ctx, scanFile{f, size, filepath.Base(path)}, progress)
}

// StandardInput is the path that stands for standard input.
const StandardInput = "-"

// readAny reads a file of any known format.
func readAny(ctx context.Context, s scanFile, progress func(done, total int64)) (*Mesh, Source, error) {
	if s.size > maxFileSize {
		return nil, Source{}, s.tooLarge()
	}
	kind, err := s.sniff()
	if err != nil {
		return nil, Source{}, err
	}
	switch kind {
	case kindGzip:
		return readGzip(ctx, s, progress)
	case kindUTF16:
		return readUTF16(ctx, s, progress)
	}
	m, src, err := s.readAs(ctx, kind, progress)
	if err != nil {
		return nil, src, err
	}
	box := m.Bounds()
	m.box = &box
	if note := farNote(m); note != "" {
		src.Notes = append(src.Notes, note)
	}
	return m, src, nil
}

// readAs reads a file of one kind, which is not packed.
func (s scanFile) readAs(ctx context.Context, kind kind, progress func(done, total int64)) (*Mesh, Source, error) {
	switch kind {
	case kindSTLBinary:
		return readBinary(ctx, s, progress)
	case kindSTLText:
		return readASCII(ctx, s, progress)
	case kindOBJ:
		return readOBJ(ctx, s, progress)
	case kindPLY:
		return readPLY(ctx, s, progress)
	case kindGLB, kindGLTF:
		return readGLTF(ctx, s, kind, progress)
	case kindZIP:
		return read3MF(ctx, s, progress)
	}
	return nil, Source{}, s.fail(exportMesh, "%s, which is not read", kind.looks())
}

func (s scanFile) tooLarge() error {
	return s.fail("reduce the scan before planning", "is larger than %d GB", maxFileSize>>30)
}

// readFailed reports that reading stopped before the size the file had.
func (s scanFile) readFailed(err error) error {
	if errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) {
		return s.fail("wait until it is saved and try again", "changed while it was read")
	}
	return &ReadError{s.name + " could not be read to its end", "copy it to a local folder and try again", err}
}

// start returns the first bytes of the file, at most n.
func (s scanFile) start(n int64) ([]byte, error) {
	head := make([]byte, min(s.size, n))
	if n, err := s.ReadAt(head, 0); n < len(head) {
		return nil, s.readFailed(err)
	}
	return head, nil
}
