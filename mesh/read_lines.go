package mesh

import (
	"bufio"
	"bytes"
	"context"
	"errors"
	"io"
)

// lineReader reads a text file line by line, telling progress.
type lineReader struct {
	scanFile
	ctx      context.Context
	progress func(done, total int64)
	in       *bufio.Reader
	line     int   // number of the last line read, from 1
	done     int64 // bytes read
	joined   []byte
}

func newLineReader(ctx context.Context, s scanFile, progress func(done, total int64)) *lineReader {
	return &lineReader{scanFile: s, ctx: ctx, progress: progress,
		in: bufio.NewReaderSize(io.NewSectionReader(s, 0, s.size), maxLine)}
}

// next returns the next line without its end, valid until the call after; a
// line that ends in a backslash goes on in the one below, but for comments,
// which may end in the name of a folder. At the end of the file it returns
// io.EOF.
func (r *lineReader) next() ([]byte, error) {
	line, err := r.single()
	if err != nil || !bytes.HasSuffix(line, []byte(`\`)) || bytes.HasPrefix(bytes.TrimLeft(line, " \t"), []byte("#")) {
		return line, err
	}
	r.joined = r.joined[:0]
	for bytes.HasSuffix(line, []byte(`\`)) {
		r.joined = append(append(r.joined, line[:len(line)-1]...), ' ')
		if len(r.joined) > maxLine {
			return nil, r.endless()
		}
		if line, err = r.single(); err == io.EOF {
			return r.joined, nil
		}
		if err != nil {
			return nil, err
		}
	}
	r.joined = append(r.joined, line...)
	return r.joined, nil
}

// single returns one line as it stands in the file.
func (r *lineReader) single() ([]byte, error) {
	if r.line%chunk == 0 {
		if err := r.ctx.Err(); err != nil {
			return nil, err
		}
		r.progress(r.done, r.size)
	}
	line, err := r.in.ReadSlice('\n')
	r.done += int64(len(line))
	switch {
	case errors.Is(err, bufio.ErrBufferFull):
		return nil, r.endless()
	case err == io.EOF && r.done < r.size:
		return nil, r.readFailed(err)
	case err == io.EOF && len(line) == 0:
		return nil, io.EOF
	case err != nil && err != io.EOF:
		return nil, r.readFailed(err)
	}
	if r.line++; r.line == 1 {
		line = bytes.TrimPrefix(line, []byte(byteOrderMark))
	}
	return bytes.TrimRight(line, "\r\n"), nil
}

func (r *lineReader) endless() error {
	return r.fail("export the scan again", "is damaged: line %d has no end", r.line+1)
}

// cutWord splits off the first word of a line.
func cutWord(line []byte) (word, rest []byte) {
	i := 0
	for i < len(line) && line[i] <= ' ' {
		i++
	}
	j := i
	for j < len(line) && line[j] > ' ' {
		j++
	}
	return line[i:j], line[j:]
}
