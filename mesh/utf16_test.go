package mesh

import (
	"encoding/binary"
	"io"
	"strings"
	"testing"
	"unicode/utf16"
)

// wide is a text in UTF-16 with its mark, as the library encodes it.
func wide(text string, order binary.AppendByteOrder) []byte {
	b := order.AppendUint16(nil, 0xfeff)
	for _, w := range utf16.Encode([]rune(text)) {
		b = order.AppendUint16(b, w)
	}
	return b
}

func TestReadUTF16(t *testing.T) {
	noTemporaries(t)
	stl := "solid Möwe \U0001f426\r\n" + strings.ReplaceAll(oneFacet, "\n", "\r\n") + "endsolid\r\n"
	testGoodFiles(t, []goodFile{
		{"STL", wide(stl, binary.LittleEndian), "STL ASCII, UTF-16", "Mwe", 1, 3, 0, ""},
		{"STL, high byte first", wide(stl, binary.BigEndian), "STL ASCII, UTF-16", "Mwe", 1, 3, 0, ""},
		{"OBJ", wide(cubeOBJ, binary.LittleEndian), "OBJ, UTF-16", "", 12, 8, 0, ""},
		{"PLY", wide(string(textPLY(tetra())), binary.BigEndian), "PLY ASCII, UTF-16", "", 4, 4, 0, ""},
		{"OBJ, packed", zipped(wide(cubeOBJ, binary.LittleEndian)), "OBJ, UTF-16, gzip", "", 12, 8, 0, ""},
	})
	good := wide(cubeOBJ, binary.LittleEndian)
	testBrokenFiles(t, []brokenFile{
		{"a mark alone", []byte(utf16Little), "is UTF-16 text, and no scan in it"},
		{"a letter", wide("Dear all,\n", binary.LittleEndian), "is UTF-16 text, and no scan in it"},
		{"half a letter", good[:len(good)-1], "ends in the middle of a letter"},
		{"twice", wide("\xff\xfe\xff\xfe", binary.LittleEndian), "is UTF-16 text, and no scan in it"},
		{"what was no text", append([]byte(utf16Big), make([]byte, 4000)...), "it was none"},
	})
}

// Any words become what the library makes of them.
func TestUTF16ReaderAgrees(t *testing.T) {
	for _, words := range [][]uint16{{}, {'a'}, {0xd83d, 0xdc26, 'b'}, {0xd83d}, {0xd83d, 'c'}, {0xdc26, 0xd83d, 0xdc26}, {0xd83d, 0xd83d, 0xdc26, 0xfeff}, {0, 0xffff}} {
		for _, order := range []binary.AppendByteOrder{binary.LittleEndian, binary.BigEndian} {
			b := order.AppendUint16(nil, 0xfeff)
			for _, w := range words {
				b = order.AppendUint16(b, w)
			}
			got, err := io.ReadAll(newUTF16Reader(strings.NewReader(string(b))))
			if want := string(utf16.Decode(words)); err != nil || string(got) != want {
				t.Errorf("%x, %v: %q, %v; want %q", words, order, got, err, want)
			}
		}
	}
}

// FuzzReadUTF16 feeds the decoding, and what it decodes.
func FuzzReadUTF16(f *testing.F) {
	for _, text := range []string{cubeOBJ, "solid\n" + oneFacet + "endsolid", string(textPLY(tetra()))} {
		f.Add(wide(text, binary.LittleEndian)[2:])
		f.Add([]byte(text))
	}
	f.Fuzz(func(t *testing.T, b []byte) {
		fuzzed(t, append([]byte(utf16Little), b...))
		fuzzed(t, append([]byte(utf16Big), b...))
		fuzzed(t, wide(string(b), binary.LittleEndian))
	})
}
