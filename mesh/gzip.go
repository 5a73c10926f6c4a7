package mesh

import (
	"compress/gzip"
	"context"
	"errors"
	"io"
	"os"
)

// readStandardInput reads a scan that is poured in. Formats are told apart, and
// read, by going back and forth, so that it is kept in a file until then.
func readStandardInput(ctx context.Context, in *os.File, progress func(done, total int64)) (*Mesh, Source, error) {
	s := scanFile{name: "standard input"}
	if info, err := in.Stat(); err == nil && info.Mode()&os.ModeCharDevice != 0 {
		return nil, Source{}, s.fail("send a scan into it, as in: cat gull.stl | pourwright scan -", "brings no scan")
	}
	kept, size, err := s.keep(ctx, intake{
		Reader: &awaited{ctx, in},
		limit:  func() int64 { return maxFileSize },
		over:   s.tooLarge(),
		failed: s.readFailed,
	})
	if err != nil {
		return nil, Source{}, err
	}
	defer discard(kept)
	return readAny(ctx, scanFile{kept, size, s.name}, progress)
}

// An awaited is a stream that may keep silent for long, such as a pipe: when the
// context ends, waiting ends.
type awaited struct {
	ctx context.Context
	in  io.Reader
}

// Read reads on, or returns the context's error; then b must be left alone, for
// what was waited for may still come.
func (a *awaited) Read(b []byte) (int, error) {
	type answer struct {
		n   int
		err error
	}
	came := make(chan answer, 1)
	go func() {
		n, err := a.in.Read(b)
		came <- answer{n, err}
	}()
	select {
	case <-a.ctx.Done():
		return 0, a.ctx.Err()
	case got := <-came:
		return got.n, got.err
	}
}

// readGzip reads a scan that is packed with gzip.
func readGzip(ctx context.Context, s scanFile, progress func(done, total int64)) (*Mesh, Source, error) {
	packed := &counter{in: io.NewSectionReader(s, 0, s.size)}
	in, err := gzip.NewReader(packed)
	if err != nil {
		return nil, Source{}, s.badGzip(err)
	}
	kept, size, err := s.keep(ctx, intake{
		Reader: in,
		limit:  func() int64 { return min(freeExpand+maxExpanded*packed.n, maxFileSize) },
		over:   s.fail("pack the scan again with a program you trust", "unpacks to more than %d times its size, which no scan does", maxExpanded),
		failed: s.badGzip,
	})
	if err != nil {
		return nil, Source{}, err
	}
	defer discard(kept)
	inner := scanFile{kept, size, s.name}
	if kind, err := inner.sniff(); err == nil && kind == kindGzip {
		return nil, Source{}, s.fail("unpack it once", "is packed with gzip twice")
	}
	m, src, err := readAny(ctx, inner, progress)
	if src.Format != "" {
		src.Format += ", gzip"
	}
	return m, src, err
}

func (s scanFile) badGzip(cause error) error {
	if errors.Is(cause, io.ErrUnexpectedEOF) || errors.Is(cause, io.EOF) {
		return s.fail("the file is cut off; copy or pack it again", "ends in the middle of its gzip data")
	}
	return &ReadError{s.name + " is damaged: its gzip data do not unpack", "copy or pack it again", cause}
}

// counter counts what is read.
type counter struct {
	in io.Reader
	n  int64
}

// Read reads on.
func (c *counter) Read(b []byte) (int, error) {
	n, err := c.in.Read(b)
	c.n += int64(n)
	return n, err
}

// An intake is a stream with what to say when it is too long or breaks off.
type intake struct {
	io.Reader
	limit  func() int64 // bytes allowed by now
	over   error
	failed func(error) error
}

// keep copies what comes to a file for the time being.
func (s scanFile) keep(ctx context.Context, in intake) (*os.File, int64, error) {
	kept, err := os.CreateTemp("", "scan-*")
	if err != nil {
		return nil, 0, s.noRoom(err)
	}
	os.Remove(kept.Name()) // where that is allowed, nothing is left even of a killed run
	size, err := s.copyTo(ctx, kept, in)
	if err != nil {
		discard(kept)
		return nil, 0, err
	}
	return kept, size, nil
}

func (s scanFile) noRoom(cause error) error {
	return &ReadError{"there is no room to keep " + s.name + " unpacked while it is read", "free space for temporary files", cause}
}

// discard closes and removes a file of keep.
func discard(kept *os.File) {
	kept.Close()
	os.Remove(kept.Name())
}

// copyTo copies piece by piece.
func (s scanFile) copyTo(ctx context.Context, to io.Writer, in intake) (size int64, err error) {
	b := make([]byte, 1<<18)
	for {
		if err := ctx.Err(); err != nil {
			return size, err
		}
		n, err := in.Read(b)
		if size += int64(n); size > in.limit() {
			return size, in.over
		}
		if _, failed := to.Write(b[:n]); failed != nil {
			return size, s.noRoom(failed)
		}
		if err == io.EOF {
			return size, nil
		}
		if ctx.Err() != nil {
			return size, ctx.Err()
		}
		if err != nil {
			return size, in.failed(err)
		}
	}
}
