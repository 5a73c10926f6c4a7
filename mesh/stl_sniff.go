package mesh

import (
	"bytes"
	"encoding/binary"
	"errors"
	"io"
	"slices"
	"strings"
)

// sniffed is how much of a file is looked at to tell what it is.
const sniffed = 1024

// A lookalike is a file makers have at hand that is no STL, known by its first
// bytes; letters are compared in lower case.
type lookalike struct{ magic, what string }

var lookalikes = []lookalike{
	{"pk\x03\x04", "looks like a 3MF or ZIP file"},
	{"gltf", "looks like a GLB file"},
	{"ply\n", "looks like a PLY file"},
	{"ply\r", "looks like a PLY file"},
	{"kaydara fbx binary", "looks like an FBX file"},
	{"\x1f\x8b", "looks like a gzip file"},
	{"7z\xbc\xaf", "looks like a 7z file"},
	{"rar!", "looks like a RAR file"},
	{"\x89png", "looks like a picture"},
	{"\xff\xd8\xff", "looks like a picture"},
	{"%pdf", "looks like a PDF file"},
}

// textLookalikes count only in a file that is text.
var textLookalikes = []lookalike{
	{"<!doctype html", "is a web page"},
	{"<html", "is a web page"},
	{"<?xml", "is an XML file"},
	{"iso-10303-21", "is a STEP file"},
	{"#", "is a text file, perhaps OBJ"},
	{"mtllib ", "looks like an OBJ file"},
	{"v ", "looks like an OBJ file"},
	{"o ", "looks like an OBJ file"},
}

// sniff says whether the file is binary STL (true) or ASCII STL (false). A file
// whose size fits its triangle count is binary whatever its first word.
func (s scanFile) sniff() (binarySTL bool, err error) {
	if s.size == 0 {
		return false, s.fail(exportAgain, "is empty")
	}
	head := make([]byte, min(s.size, sniffed))
	if n, err := s.ReadAt(head, 0); n < len(head) {
		return false, s.readFailed(err)
	}
	if s.size >= headerSize && s.size == binarySize(triangleCount(head)) {
		return true, nil
	}
	start := bytes.TrimLeft(bytes.TrimPrefix(lowered(head), []byte("\xef\xbb\xbf")), " \t\r\n")
	text, known := isText(head), lookalikes
	if text {
		known = slices.Concat(lookalikes, textLookalikes)
	}
	if text && bytes.HasPrefix(start, []byte("solid")) {
		return false, nil
	}
	for _, l := range known {
		if bytes.HasPrefix(start, []byte(l.magic)) {
			return false, s.fail("open it in the program it came from and export STL", "%s, not STL", l.what)
		}
	}
	if text {
		return false, s.fail(exportAgain, "is a text file but not STL: it does not begin with \"solid\"")
	}
	return true, nil
}

// lowered returns a copy of b with the letters A to Z in lower case and every
// other byte, which need not be text, as it was.
func lowered(b []byte) []byte {
	out := bytes.Clone(b)
	for i, c := range out {
		if 'A' <= c && c <= 'Z' {
			out[i] = c + 'a' - 'A'
		}
	}
	return out
}

// isText says whether b holds no control bytes but white space.
func isText(b []byte) bool {
	return bytes.IndexFunc(b, func(r rune) bool {
		return r < ' ' && !strings.ContainsRune("\t\n\v\f\r", r)
	}) < 0
}

// triangleCount returns what a binary header claims.
func triangleCount(head []byte) int64 {
	return int64(binary.LittleEndian.Uint32(head[headerSize-4:]))
}

func binarySize(triangles int64) int64 { return headerSize + triangles*triangleSize }

// readFailed reports that reading stopped before the size the file had.
func (s scanFile) readFailed(err error) error {
	if errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) {
		return s.fail("wait until it is saved and try again", "changed while it was read")
	}
	return &ReadError{s.name + " could not be read to its end", "copy it to a local folder and try again", err}
}
