package mesh

import (
	"bufio"
	"bytes"
	"context"
	"encoding/binary"
	"errors"
	"io"
	"unicode/utf16"
	"unicode/utf8"
)

// Marks that begin a text file that an editor saved as UTF-16, two bytes to the letter.
const (
	utf16Little = "\xff\xfe"
	utf16Big    = "\xfe\xff"
)

const saveAsText = "save it as plain text (UTF-8) in the editor, or export the scan again"

// readUTF16 reads a text scan that is kept as UTF-16.
func readUTF16(ctx context.Context, s scanFile, progress func(done, total int64)) (*Mesh, Source, error) {
	if s.size%2 != 0 {
		return nil, Source{}, s.fail(saveAsText, "is UTF-16 text that ends in the middle of a letter")
	}
	kept, size, err := s.keep(ctx, intake{
		Reader: newUTF16Reader(io.NewSectionReader(s, 0, s.size)),
		limit:  func() int64 { return maxFileSize },
		over:   s.tooLarge(),
		failed: s.readFailed,
	})
	if err != nil {
		return nil, Source{}, err
	}
	defer discard(kept)
	inner := scanFile{kept, size, s.name}
	switch kind, err := inner.sniff(); {
	case err != nil:
		return nil, Source{}, s.fail(saveAsText, "is UTF-16 text, and no scan in it")
	case kind != kindSTLText && kind != kindOBJ && kind != kindPLY && kind != kindGLTF:
		return nil, Source{}, s.fail("export the scan again", "is damaged: an editor saved it as UTF-16 text, and it was none")
	}
	m, src, err := readAny(ctx, inner, progress)
	if src.Format != "" {
		src.Format += ", UTF-16"
	}
	return m, src, err
}

// utf16Reader turns UTF-16 into UTF-8, its mark left out. What is no letter becomes
// the sign for that.
type utf16Reader struct {
	in    *bufio.Reader
	order binary.ByteOrder
	out   bytes.Buffer
}

func newUTF16Reader(in io.Reader) *utf16Reader {
	r := &utf16Reader{in: bufio.NewReader(in), order: binary.LittleEndian}
	if mark, _ := r.in.Peek(len(utf16Big)); string(mark) == utf16Big {
		r.order = binary.BigEndian
	}
	r.in.Discard(len(utf16Big))
	return r
}

// Read reads on.
func (r *utf16Reader) Read(b []byte) (int, error) {
	for r.out.Len() < len(b) {
		letter, err := r.letter()
		if err == io.EOF {
			break
		}
		if err != nil {
			return 0, err
		}
		r.out.WriteRune(letter)
	}
	if r.out.Len() == 0 && len(b) > 0 {
		return 0, io.EOF
	}
	return r.out.Read(b)
}

// letter reads one, of one word or two.
func (r *utf16Reader) letter() (rune, error) {
	first, err := r.word()
	if err != nil || !utf16.IsSurrogate(first) {
		return first, err
	}
	ahead, err := r.in.Peek(2)
	if err != nil && !errors.Is(err, io.EOF) {
		return 0, err
	}
	if len(ahead) == 2 {
		if both := utf16.DecodeRune(first, rune(r.order.Uint16(ahead))); both != utf8.RuneError {
			r.in.Discard(2)
			return both, nil
		}
	}
	return utf8.RuneError, nil
}

func (r *utf16Reader) word() (rune, error) {
	var b [2]byte
	if _, err := io.ReadFull(r.in, b[:]); err != nil {
		return 0, err
	}
	return rune(r.order.Uint16(b[:])), nil
}
