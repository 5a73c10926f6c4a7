package mesh

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
)

// textPLY writes m as ASCII PLY.
func textPLY(m *Mesh) []byte {
	var b bytes.Buffer
	fmt.Fprintf(&b, "ply\nformat ascii 1.0\nelement vertex %d\nproperty float x\nproperty float y\nproperty float z\n", len(m.Vertices))
	fmt.Fprintf(&b, "element face %d\nproperty list uchar int vertex_indices\nend_header\n", len(m.Faces))
	for _, p := range m.Vertices {
		fmt.Fprintln(&b, p.X, p.Y, p.Z)
	}
	for _, f := range m.Faces {
		fmt.Fprintln(&b, 3, f[0], f[1], f[2])
	}
	return b.Bytes()
}

// binaryPLY writes m as binary PLY with colours, doubles out of order, an
// element of its own and quality lists.
func binaryPLY(m *Mesh, format string, order binary.AppendByteOrder) []byte {
	b := fmt.Appendf(nil, "ply\nformat %s 1.0\ncomment colours and all\nelement camera 1\nproperty short number\nproperty list uint8 float32 lens\n"+
		"element vertex %d\nproperty uchar red\nproperty double z\nproperty float64 y\nproperty float x\nproperty list ushort char quality\n"+
		"element face %d\nproperty int8 flags\nproperty list uint uint32 vertex_index\nend_header\n", format, len(m.Vertices), len(m.Faces))
	b = order.AppendUint16(b, 7)
	b = append(b, 2)
	b = order.AppendUint32(order.AppendUint32(b, 1), 2)
	for _, p := range m.Vertices {
		b = append(b, 200)
		b = order.AppendUint64(b, math.Float64bits(p.Z))
		b = order.AppendUint64(b, math.Float64bits(p.Y))
		b = order.AppendUint32(b, math.Float32bits(float32(p.X)))
		b = append(order.AppendUint16(b, 1), 9)
	}
	for _, f := range m.Faces {
		b = order.AppendUint32(append(b, 0), 3)
		for _, v := range f {
			b = order.AppendUint32(b, uint32(v))
		}
	}
	return b
}

func littlePLY(m *Mesh) []byte {
	return binaryPLY(m, "binary_little_endian", binary.LittleEndian)
}

func bigPLY(m *Mesh) []byte {
	return binaryPLY(m, "binary_big_endian", binary.BigEndian)
}

const squarePLY = `ply
format ascii 1.0
element vertex 4
property float x
property float y
property float z
element face 1
property list uchar int vertex_indices
end_header
0 0 0
1 0 0
1 1 0
0 1 0
4 0 1 2 3
`

func TestReadGoodPLY(t *testing.T) {
	strips := strings.NewReplacer("face", "tristrips", "4 0 1 2 3", "10 0 1 2 3 -1 1 1 3 2 0").Replace(squarePLY)
	testGoodFiles(t, []goodFile{
		{"text", textPLY(tetra()), "PLY ASCII", "", 4, 4, 0, ""},
		{"little-endian with other properties", littlePLY(tetra()), "PLY binary", "", 4, 4, 0, ""},
		{"big-endian with other properties", bigPLY(tetra()), "PLY binary", "", 4, 4, 0, ""},
		{"bytes after the end", append(littlePLY(tetra()), "end"...), "PLY binary", "", 4, 4, 0, "3 bytes after the last element were not read"},
		{"square", []byte(squarePLY), "PLY ASCII", "", 2, 4, 0, ""},
		{"no line end at the end", []byte(strings.TrimSpace(squarePLY)), "PLY ASCII", "", 2, 4, 0, ""},
		{"line ends of Windows", []byte(strings.ReplaceAll(squarePLY, "\n", "\r\n")), "PLY ASCII", "", 2, 4, 0, ""},
		{"a unit in a comment", []byte(strings.Replace(squarePLY, "element", "comment unit mm\nelement", 1)), "PLY ASCII", "", 2, 4, 0, ""},
		{"an empty element", []byte(strings.Replace(squarePLY, "end_header", "element edge 0\nend_header", 1)), "PLY ASCII", "", 2, 4, 0, ""},
		// 0 1 2 3 makes two triangles; of 1 1 3 2 0, 1 1 3 joins, then 1 3 2 and 3 2 0.
		{"strips", []byte(strips), "PLY ASCII", "", 4, 4, 0, ""},
	})
}

func TestReadBrokenPLY(t *testing.T) {
	swapped := func(old, new string) []byte { return []byte(strings.Replace(squarePLY, old, new, 1)) }
	little := littlePLY(tetra())
	body := bytes.Index(little, []byte("end_header\n")) + len("end_header\n")
	patched := func(at int, bytes ...byte) []byte {
		b := slices.Clone(little)
		copy(b[at:], bytes)
		return b
	}
	faces := len(little) - 4*(1+4+12)
	testBrokenFiles(t, []brokenFile{
		{"a header without end", []byte(squarePLY[:65]), "its header has no end"},
		{"a header of megabytes", []byte("ply\nformat ascii 1.0\n" + strings.Repeat("comment gull\n", 20000)), "its header has no end"},
		{"no format", swapped("format ascii 1.0\n", ""), "without its format"},
		{"another format", swapped("ascii", "ebcdic"), `in line 2: "ebcdic 1.0" is no known format`},
		{"a stray word", swapped("element face", "elephant face"), `in line 7: "elephant" is no word of a PLY header`},
		{"a count that is no number", swapped("vertex 4", "vertex many"), "in line 3: an element needs a name and a count"},
		{"a negative count", swapped("vertex 4", "vertex -4"), "an element needs a name and a count"},
		{"a property too early", swapped("element vertex 4\n", ""), "a property stands before any element"},
		{"an unknown type", swapped("float x", "quaternion x"), "in line 4: a property needs a known type and a name"},
		{"no z", swapped("property float z", "property float w"), "has points without x, y and z"},
		{"no properties", swapped("end_header", "element edge 12\nend_header"), `has 12 "edge" elements without properties`},
		{"a count for gigabytes", swapped("vertex 4", "vertex 2000000000"), `says 2000000000 "vertex" elements but has room for`},
		{"a binary count for gigabytes", bytes.Replace(little, []byte("vertex 4"), []byte("vertex 400000000"), 1), `says 400000000 "vertex" elements but has room for`},
		{"a count a little too large", swapped("face 1", "face 2"), "it ends in line 15 where a number should follow"},
		{"a count too small", swapped("vertex 4", "vertex 3"), "is damaged in face 1"},
		{"words after the end", append([]byte(squarePLY), "so long"...), "holds more than its header says, from line 15 on"},
		{"points alone", []byte("ply\nformat ascii 1.0\nelement vertex 1\nproperty float x\nproperty float y\nproperty float z\nend_header\n1 2 3\n"), "holds no faces, only points (1)"},
		{"nothing", []byte("ply\nformat ascii 1.0\nend_header\n"), "holds no faces"},
		{"no such point", swapped("4 0 1 2 3", "4 0 1 2 4"), "is damaged in face 1: there is no point 4; 4 come before"},
		{"a point below 0", swapped("4 0 1 2 3", "4 0 1 2 -1"), "there is no point -1"},
		{"half a point", swapped("4 0 1 2 3", "4 0 1 2 2.5"), "there is no point 2.5"},
		{"a face of two corners", swapped("4 0 1 2 3", "2 0 1"), "is damaged in face 1: a face has 2 corners"},
		{"not a number", swapped("1 1 0", "1 nan 0"), "is damaged in vertex 3: a coordinate is no number"},
		{"a word for a number", swapped("1 1 0", "1 x 0"), `in line 12: "x" stands where a number should`},
		{"a list for gigabytes", swapped("4 0 1 2 3", "2000000000 0 1 2 3"), "a list has 2000000000 entries but there is room for"},
		{"cut within a face", little[:len(little)-5], `is damaged in face 4: a list has 3 entries but there is room for 1`},
		{"cut within the vertices", little[:body+60], `says 4 "vertex" elements but has room for`},
		{"a binary list for gigabytes", patched(faces+1, 0xff, 0xff, 0xff, 0xff), "is damaged in face 1: a list has 4294967295 entries"},
		{"binary not a number", patched(body+11+1, 0, 0, 0, 0, 0, 0, 0xf8, 0x7f), "is damaged in vertex 1: a coordinate is no number"},
		{"faces before points", []byte("ply\nformat ascii 1.0\nelement face 1\nproperty list uchar int vertex_indices\nelement vertex 3\nproperty float x\nproperty float y\n" +
			"property float z\nend_header\n3 0 1 2\n0 0 0\n1 0 0\n0 1 0\n"), "there is no point 0; 0 come before"},
	})
}

func FuzzReadPLY(f *testing.F) {
	fuzzRead(f, textPLY(tetra()), littlePLY(tetra()), bigPLY(tetra()), []byte(squarePLY),
		[]byte(strings.NewReplacer("face", "tristrips", "4 0 1 2 3", "9 0 1 2 3 -1 1 1 3 2").Replace(squarePLY)))
}
