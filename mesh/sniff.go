package mesh

import (
	"bytes"
	"encoding/binary"
	"slices"
	"strings"
)

// sniffed is how much of a file is looked at to tell what it is.
const sniffed = 1024

// kind is what a file is, by its content.
type kind string

const (
	kindSTLBinary kind = "STL binary"
	kindSTLText   kind = "STL ASCII"
	kindOBJ       kind = "OBJ"
	kindPLY       kind = "PLY"
	kindGLB       kind = "GLB"
	kindGLTF      kind = "glTF"
	kindZIP       kind = "3MF or ZIP"
	kindGzip      kind = "gzip"
	kindUTF16     kind = "UTF-16 text"
)

// looks says of a file that it seems to be of this kind.
func (k kind) looks() string {
	article := "a"
	switch k {
	case kindSTLBinary, kindSTLText, kindOBJ, "FBX", "HTML", "XML":
		article = "an"
	}
	return "looks like " + article + " " + string(k) + " file"
}

// A mark tells a kind of file by its first bytes, letters compared in lower
// case.
type mark struct {
	magic string
	kind  kind
}

var marks = []mark{
	{"pk\x03\x04", kindZIP},
	{"pk\x05\x06", kindZIP},
	{"gltf", kindGLB},
	{"ply\n", kindPLY},
	{"ply\r", kindPLY},
	{"\x1f\x8b", kindGzip},
	{utf16Little, kindUTF16},
	{utf16Big, kindUTF16},
	{"kaydara fbx binary", "FBX"},
	{"7z\xbc\xaf", "7z"},
	{"rar!", "RAR"},
	{"\x89png", "PNG picture"},
	{"\xff\xd8\xff", "JPEG picture"},
	{"%pdf", "PDF"},
}

// textMarks count only in a file that is text.
var textMarks = []mark{
	{"solid", kindSTLText},
	{"<!doctype html", "HTML"},
	{"<html", "HTML"},
	{"<?xml", "XML"},
	{"iso-10303-21", "STEP"},
}

// objWords begin the lines of OBJ files, in lower case.
var objWords = []string{"v", "vn", "vt", "vp", "f", "l", "p", "o", "g", "s", "mg", "mtllib", "usemtl", "usemap", "maplib",
	"cstype", "deg", "surf", "curv", "curv2"}

// sniff tells what the file is. A file whose size fits a binary STL's triangle
// count is one, whatever its first word.
func (s scanFile) sniff() (kind, error) {
	if s.size == 0 {
		return "", s.fail("export the scan again", "is empty")
	}
	head, err := s.start(sniffed)
	if err != nil {
		return "", err
	}
	if s.size >= headerSize && s.size == binarySize(triangleCount(head)) {
		return kindSTLBinary, nil
	}
	known, text := marks, isText(head)
	if text {
		known = slices.Concat(marks, textMarks)
	}
	start := bytes.TrimLeft(bytes.TrimPrefix(lowered(head), []byte(byteOrderMark)), " \t\r\n")
	for _, m := range known {
		if bytes.HasPrefix(start, []byte(m.magic)) {
			return m.kind, nil
		}
	}
	switch {
	case !text:
		return kindSTLBinary, nil
	case len(start) > 0 && start[0] == '{':
		return kindGLTF, nil
	case isOBJ(start):
		return kindOBJ, nil
	}
	return "", s.fail(exportMesh, "is a text file but not STL, OBJ or PLY: it begins like none of them")
}

// byteOrderMark may begin a text file.
const byteOrderMark = "\xef\xbb\xbf"

// isOBJ says whether the first line of text that is no comment begins with a
// word of OBJ; nothing but comments will do, too.
func isOBJ(text []byte) bool {
	for line := range bytes.Lines(text) {
		words := bytes.Fields(line)
		if len(words) == 0 || words[0][0] == '#' {
			continue
		}
		return slices.Contains(objWords, string(words[0]))
	}
	return bytes.HasPrefix(text, []byte("#"))
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

// triangleCount returns what a binary STL header claims.
func triangleCount(head []byte) int64 {
	return int64(binary.LittleEndian.Uint32(head[headerSize-4:]))
}

func binarySize(triangles int64) int64 { return headerSize + triangles*triangleSize }
