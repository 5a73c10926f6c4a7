package mesh

import (
	"bufio"
	"bytes"
	"encoding/base64"
	"io"
	"strconv"
)

// An embedding is where a file holds numbers as base64.
type embedding struct {
	in       io.ReaderAt
	at, size int64 // of the letters, whose number is a multiple of 4
	bytes    int64 // that they stand for
}

// ReadAt reads the numbers.
func (e embedding) ReadAt(b []byte, offset int64) (done int, err error) {
	const groups = 1 << 12
	var letters [4 * groups]byte
	var plain [3 * groups]byte
	for done < len(b) && offset < e.bytes {
		group := offset / 3
		n := min(e.size-4*group, int64(len(letters)))
		if got, err := e.in.ReadAt(letters[:n], e.at+4*group); int64(got) < n {
			return done, err
		}
		m, err := base64.StdEncoding.Decode(plain[:], letters[:n])
		if err != nil {
			return done, err
		}
		n = int64(copy(b[done:], plain[offset-3*group:m]))
		done, offset = done+int(n), offset+n
	}
	if done < len(b) {
		return done, io.EOF
	}
	return done, nil
}

// embeddedMark stands in the text, with a number, for numbers left out of it.
const embeddedMark = '#'

// A textSlimmer copies the text of a glTF file without the numbers and pictures
// embedded in it, which may be many times as long as all else.
type textSlimmer struct {
	*gltfReader
	text     *io.SectionReader
	in       *bufio.Reader
	at       int64
	out      []byte
	inString bool
	start    int // of the string in out
}

// slimText returns the text with a mark for each embedding, which are listed in
// turn. A mark cannot come from the file, since it is no letter of base64.
func (r *gltfReader) slimText(text *io.SectionReader) ([]byte, error) {
	t := &textSlimmer{gltfReader: r, text: text, in: bufio.NewReaderSize(text, 1<<16)}
	escaped := false
	for {
		if t.at%(1<<16) == 0 && r.ctx.Err() != nil {
			return nil, r.ctx.Err()
		}
		c, err := t.in.ReadByte()
		switch {
		case err == io.EOF && t.at == text.Size():
			return bytes.TrimPrefix(t.out, []byte(byteOrderMark)), nil
		case err != nil:
			return nil, r.readFailed(err)
		}
		t.at++
		t.out = append(t.out, c)
		switch {
		case escaped:
			escaped = false
		case t.inString && c == '\\':
			escaped = true
		case c == '"':
			t.inString, t.start = !t.inString, len(t.out)
		case t.inString && c == ',' && bytes.HasSuffix(t.out, []byte(";base64,")) && bytes.HasPrefix(t.out[t.start:], []byte("data:")):
			err = t.leaveOut()
		}
		if err != nil {
			return nil, err
		}
		if len(t.out) > maxGLTFText {
			return nil, r.fail("export the shape alone, as GLB", "has more than %d MB of text", maxGLTFText>>20)
		}
	}
}

// leaveOut passes over base64 and puts a mark in its place. What is not plain
// base64 up to the end of the string stays, to be judged when it is needed.
func (t *textSlimmer) leaveOut() error {
	e := embedding{in: t.text, at: t.at}
	letters, padding := t.skip(isBase64), t.skip(func(c byte) bool { return c == '=' })
	e.size = letters + padding
	next, _ := t.in.Peek(1)
	if string(next) == string(embeddedMark) {
		return t.damagedGLTF("numbers in it are not base64")
	}
	if string(next) == `"` && e.size%4 == 0 && padding <= 2 && e.size > 0 {
		e.bytes = e.size/4*3 - padding
		t.out = strconv.AppendInt(append(t.out, embeddedMark), int64(len(t.embedded)), 10)
		t.embedded = append(t.embedded, e)
		return nil
	}
	if e.size > maxGLTFText {
		return t.damagedGLTF("numbers in it are not base64")
	}
	kept := make([]byte, e.size)
	if n, err := t.text.ReadAt(kept, e.at); n < len(kept) {
		return t.readFailed(err)
	}
	t.out = append(t.out, kept...)
	return nil
}

// skip passes over bytes of a kind and returns their number.
func (t *textSlimmer) skip(kind func(byte) bool) (n int64) {
	for {
		c, err := t.in.ReadByte()
		if err != nil {
			break
		}
		if !kind(c) {
			t.in.UnreadByte()
			break
		}
		n++
	}
	t.at += n
	return n
}

func isBase64(c byte) bool {
	return 'A' <= c && c <= 'Z' || 'a' <= c && c <= 'z' || '0' <= c && c <= '9' || c == '+' || c == '/'
}

// embeddedNumbers returns what a data URI holds.
func (r *gltfReader) embeddedNumbers(uri string) (numbers io.ReaderAt, size int64) {
	_, code, _ := bytes.Cut([]byte(uri), []byte(";base64,"))
	if digits, left := bytes.CutPrefix(code, []byte{embeddedMark}); left {
		i, ok := parseInteger(digits)
		if !ok || i < 0 || i >= len(r.embedded) {
			return bytes.NewReader(nil), 0
		}
		return r.embedded[i], r.embedded[i].bytes
	}
	data, err := base64.StdEncoding.DecodeString(string(code))
	if err != nil {
		data = nil
	}
	return bytes.NewReader(data), int64(len(data))
}
