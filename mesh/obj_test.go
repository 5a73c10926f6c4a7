package mesh

import (
	"fmt"
	"strings"
	"testing"
)

// cubeOBJ is a cube of side 1 in quads, counter-clockwise from outside.
const cubeOBJ = `v 0 0 0
v 1 0 0
v 1 1 0
v 0 1 0
v 0 0 1
v 1 0 1
v 1 1 1
v 0 1 1
f 4 3 2 1
f 5 6 7 8
f 1 2 6 5
f 2 3 7 6
f 3 4 8 7
f 4 1 5 8
`

func TestReadGoodOBJ(t *testing.T) {
	flat := "v 0 0 0\nv 1 0 0\nv 0 1 0\n"
	testGoodFiles(t, []goodFile{
		{"quads", []byte(cubeOBJ), "OBJ", "", 12, 8, 0, ""},
		{"line ends of Windows", []byte(strings.ReplaceAll(cubeOBJ, "\n", "\r\n")), "OBJ", "", 12, 8, 0, ""},
		{"no line end at the end", []byte(strings.TrimSpace(cubeOBJ)), "OBJ", "", 12, 8, 0, ""},
		{"byte order mark", []byte(byteOrderMark + cubeOBJ), "OBJ", "", 12, 8, 0, ""},
		{"names and references to materials", []byte("# a comment\nmtllib gull.mtl\no gull\ng head beak\n" + flat +
			"vt 0 0\nvn 0 0 1\nusemtl brass\ns off\nf 1/1/1 2/1/1 3/1/1\nf 3//1 2//1 1//1\n"), "OBJ", "gull", 2, 3, 0, ""},
		{"negative numbers", []byte(flat + "f -3 -2 -1\nv 0 0 1\nf -4 -1 -2\n"), "OBJ", "", 2, 4, 0, ""},
		{"colours and a weight", []byte("v 0 0 0 0.5 0.5 0.5\nv 1 0 0 1 1 1\nv 0 1 0 1.0\nf 1 2 3"), "OBJ", "", 1, 3, 0, ""},
		{"a line continued", []byte(flat + "f 1 \\\n2 \\\r\n3\n"), "OBJ", "", 1, 3, 0, ""},
		{"a comment that ends in a folder", []byte("# from C:\\scans\\\n" + flat + "f 1 2 3\n"), "OBJ", "", 1, 3, 0, ""},
		{"a comment after a face", []byte(flat + "f 1 2 3 # the base\n"), "OBJ", "", 1, 3, 0, ""},
		{"points that coincide, and one unused", []byte(flat + "v 1e0 -0 0\nv 0 0 1\nv 9 9 9\nf 1 2 3\nf 1 4 5\n"), "OBJ", "", 2, 4, 0, ""},
		{"a unit in a comment", []byte("# Units: mm\n" + cubeOBJ), "OBJ", "", 12, 8, 0, ""},
		{"odd lines at the head", []byte("# scan\no gull\nversion 3\n" + cubeOBJ), "OBJ", "gull", 12, 8, 0, "lines that are not OBJ were passed over: 1"},
	})
}

func TestReadBrokenOBJ(t *testing.T) {
	flat := "v 0 0 0\nv 1 0 0\nv 0 1 0\n"
	var saw strings.Builder
	saw.WriteString("v 0 9 0\n")
	for i := range maxConcave {
		fmt.Fprintf(&saw, "v %d %d 0\n", i, i%2)
	}
	saw.WriteString("f")
	for i := range maxConcave + 1 {
		fmt.Fprintf(&saw, " %d", i+1)
	}
	testBrokenFiles(t, []brokenFile{
		{"points alone", []byte(flat), "holds no faces, only points (3)"},
		{"a comment alone", []byte("# by hand\n"), "holds no faces"},
		{"curves", []byte("# curved\n" + flat + "surf 0 1 0 1 1 2 3\n"), "holds curved surfaces but no flat faces"},
		{"a face of two corners", []byte(flat + "f 1 2\n"), "in line 4: a face has 2 corners"},
		{"a face without corners", []byte(flat + "f\n"), "in line 4: a face has 0 corners"},
		{"point 0", []byte(flat + "f 0 1 2\n"), `in line 4: "0" stands where the number of a point should`},
		{"a point too far", []byte(flat + "\nf 1 2 4\n"), "in line 5: a face names point 4, but 3 points come before it"},
		{"a point too far back", []byte(flat + "f -1 -2 -4\n"), "a face names point -4"},
		{"a huge number", []byte(flat + "f 1 2 99999999999999999999\n"), `"99999999999999999999" stands where`},
		{"a coordinate missing", []byte("v 0 0\n"), `in line 1: "" stands where a coordinate should`},
		{"a decimal comma", []byte("v 0,5 0 0\n"), `"0,5" stands where a coordinate should`},
		{"not a number", []byte("v nan 0 0\n"), "in line 1: a coordinate is no number that can be used"},
		{"infinite", []byte("v 1 -inf 0\n"), "no number that can be used"},
		{"too large", []byte("v 1 1e999 0\n"), "no number that can be used"},
		{"too large for float32", []byte("v 1 1e39 0\n"), "no number that can be used"},
		{"a line without end", []byte("# " + strings.Repeat("x", maxLine+10)), "line 1 has no end"},
		{"lines continued without end", []byte("v 0 0 0" + strings.Repeat(strings.Repeat("x", 1<<18)+"\\\n", 5)), "has no end"},
		{"a dented face of too many corners", []byte(saw.String()), "is not convex, and only up to 1024 can be cut"},
	})
}

func TestUnitNamed(t *testing.T) {
	for comment, mm := range map[string]float64{
		"Units: mm": 1, "units = centimeters": 10, "File units in inches.": 25.4, "UNIT m": 1000, "1 unit = 1 cm": 10, "units: in": 25.4,
		"unit: 0.01 m": 0, "unit in use": 0, "unit test": 0, "united kingdom": 0, "units unknown": 0,
	} {
		if got := unitNamed(comment); got != mm {
			t.Errorf("%q: %g mm, want %g", comment, got, mm)
		}
	}
}

// The first comment that names a unit is kept, in OBJ and PLY alike.
func TestUnitComment(t *testing.T) {
	for file, want := range map[string]Source{
		"# by hand in the United Kingdom\n# Units: cm\n# units: in\n" + cubeOBJ: {UnitComment: "Units: cm", HintMM: 10},
		"o gull\nversion 3\n# unit unknown\n" + cubeOBJ:                         {UnitComment: "unit unknown"},
		strings.Replace(squarePLY, "element", "comment unit mm\nelement", 1):    {UnitComment: "unit mm", HintMM: 1},
		cubeOBJ: {},
	} {
		_, src, err := readBytes([]byte(file))
		if err != nil || src.UnitComment != want.UnitComment || src.HintMM != want.HintMM {
			t.Errorf("%.40q: %+v, %v; want %+v", file, src, err, want)
		}
	}
}

func FuzzReadOBJ(f *testing.F) {
	fuzzRead(f, []byte(cubeOBJ), []byte("v 0 0 0\nv 1 0 0\nv 0.2 0.2 0\nv 0 1 0\nf -1 -4/3 2//3 \\\n3\n"), []byte("# units: mm\nv 1 2 3 .5 .5 .5\n"),
		textOBJ(tetra()), []byte("o x\r\nv 1e38 -1e38 0\r\nv 0 0 0\r\nv nan 0 0\r\nf 1 1 2\r\n"))
}
