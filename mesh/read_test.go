package mesh

import (
	"bytes"
	"context"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// readWhole reads bytes as a file of any format.
func readWhole(b []byte) (*Mesh, Source, error) {
	return readAny(context.Background(), scanFile{bytes.NewReader(b), int64(len(b)), "part"}, func(done, total int64) {})
}

// A goodFile is a file that must be read.
type goodFile struct {
	name           string
	file           []byte
	format, object string
	triangles      int
	corners        int
	unitMM         float64
	note           string
}

func testGoodFiles(t *testing.T, files []goodFile) {
	for _, c := range files {
		t.Run(c.name, func(t *testing.T) {
			m, src, err := readWhole(c.file)
			if err != nil {
				t.Fatal(err)
			}
			if src.Format != c.format || src.Name != c.object || src.Triangles != c.triangles || src.UnitMM != c.unitMM {
				t.Errorf("source %+v", src)
			}
			if len(m.Faces) != c.triangles || len(m.Vertices) != c.corners {
				t.Errorf("%d faces on %d vertices, want %d on %d", len(m.Faces), len(m.Vertices), c.triangles, c.corners)
			}
			if got := strings.Join(src.Notes, "; "); got != c.note {
				t.Errorf("notes %q, want %q", got, c.note)
			}
		})
	}
}

// A brokenFile is one that must be refused with a sentence that contains want.
type brokenFile struct {
	name string
	file []byte
	want string
}

func testBrokenFiles(t *testing.T, files []brokenFile) {
	for _, c := range files {
		t.Run(c.name, func(t *testing.T) {
			m, _, err := readWhole(c.file)
			if err == nil {
				t.Fatalf("read %d faces", len(m.Faces))
			}
			wantMakerError(t, err, c.want)
		})
	}
}

// A written is a mesh in one of the formats that are read.
type written struct {
	format string
	file   func(m *Mesh) []byte
}

var writers = []written{
	{"STL binary", func(m *Mesh) []byte { return binarySTL("", len(m.Faces), m) }},
	{"OBJ", textOBJ},
	{"PLY ASCII", textPLY},
	{"PLY binary", littlePLY},
	{"PLY binary", bigPLY},
	{"GLB", glbByLibrary},
	{"3MF", threeMFByLibrary},
}

// TestFormatsAgree: the same shape is the same mesh in every format, face by
// face and digit by digit.
func TestFormatsAgree(t *testing.T) {
	for name, m := range map[string]*Mesh{"tetrahedron": tetra(), "ring": inSteps(ring(40, 24))} {
		want := &Mesh{Faces: renumbered(m)}
		for _, w := range writers {
			got, src, err := readWhole(w.file(m))
			if err != nil {
				t.Fatalf("%s as %s: %v", name, w.format, err)
			}
			if src.Format != w.format || src.Triangles != len(m.Faces) {
				t.Errorf("%s as %s: source %+v", name, w.format, src)
			}
			if !slices.Equal(got.Faces, want.Faces) {
				t.Errorf("%s as %s: other faces", name, w.format)
			}
			if want.Vertices == nil {
				want.Vertices = got.Vertices
			}
			if !slices.Equal(got.Vertices, want.Vertices) {
				t.Errorf("%s as %s: other vertices", name, w.format)
			}
		}
	}
}

// inSteps rounds coordinates to 1/1024, which float32 and ten decimals hold.
func inSteps(m *Mesh) *Mesh {
	step := func(x float64) float64 { return math.Round(x*1024) / 1024 }
	out := &Mesh{Faces: m.Faces}
	for _, p := range m.Vertices {
		out.Vertices = append(out.Vertices, r3.Vec{X: step(p.X), Y: step(p.Y), Z: step(p.Z)})
	}
	return out
}

// fuzzRead feeds a reader.
func fuzzRead(f *testing.F, seeds ...[]byte) {
	for _, b := range seeds {
		f.Add(b)
	}
	f.Fuzz(fuzzed)
}

// fuzzed reads a file: whatever the bytes, the answer is a mesh with sound
// indexes or a sentence with a hint.
func fuzzed(t *testing.T, b []byte) {
	m, src, err := readWhole(b)
	if err != nil {
		wantMakerError(t, err, "part ")
		return
	}
	if len(m.Faces) == 0 || len(m.Faces) != src.Triangles {
		t.Fatalf("%d faces; %+v", len(m.Faces), src)
	}
	next := int32(0)
	for _, face := range m.Faces {
		for _, v := range face {
			if v > next {
				t.Fatalf("vertex %d before %d", v, next)
			}
			next = max(next, v+1)
		}
	}
	if int(next) != len(m.Vertices) {
		t.Fatalf("%d of %d vertices used", next, len(m.Vertices))
	}
	for _, v := range m.Vertices {
		if s := v.X + v.Y + v.Z; math.IsNaN(s) || math.IsInf(s, 0) {
			t.Fatalf("vertex %v", v)
		}
	}
	Check(m)
}

// areaOf cuts a polygon and returns the area of its triangles and whether all
// of them run counter-clockwise as seen from +z.
func areaOf(corners [][2]float64) (area float64, sound bool) {
	g, polygon := newGathering(), []int32{}
	for i, c := range corners {
		g.addPoint(r3.Vec{X: c[0], Y: c[1]})
		polygon = append(polygon, int32(i))
	}
	if g.addFace(polygon) != "" {
		return 0, false
	}
	m := g.mesh()
	sound = len(m.Faces) == len(corners)-2
	for f := range m.Faces {
		z := m.DoubleAreaNormal(f).Z
		sound = sound && z >= 0
		area += z / 2
	}
	return area, sound
}

func TestCutPolygons(t *testing.T) {
	star := [][2]float64{}
	for i := range 10 {
		r := 2.0 - float64(i%2)
		star = append(star, [2]float64{r * math.Cos(float64(i)*math.Pi/5), r * math.Sin(float64(i)*math.Pi/5)})
	}
	for _, c := range []struct {
		name    string
		corners [][2]float64
		area    float64
	}{
		{"square", [][2]float64{{0, 0}, {1, 0}, {1, 1}, {0, 1}}, 1},
		{"dart, dent first", [][2]float64{{1, 1}, {0, 4}, {0, 0}, {4, 0}}, 4},
		{"dart, dent second", [][2]float64{{4, 0}, {1, 1}, {0, 4}, {0, 0}}, 4},
		{"L", [][2]float64{{0, 0}, {2, 0}, {2, 1}, {1, 1}, {1, 2}, {0, 2}}, 3},
		{"corner on a side", [][2]float64{{0, 0}, {1, 0}, {2, 0}, {2, 1}, {0, 1}}, 2},
		{"comb", [][2]float64{{0, 0}, {5, 0}, {5, 3}, {4, 3}, {4, 1}, {3, 1}, {3, 3}, {2, 3}, {2, 1}, {1, 1}, {1, 3}, {0, 3}}, 11},
		// A star of n points is 2n triangles of area R r sin(π/n)/2.
		{"star", star, 10 * math.Sin(math.Pi/5)},
	} {
		for shift := range c.corners {
			turned := append(slices.Clone(c.corners[shift:]), c.corners[:shift]...)
			if area, sound := areaOf(turned); !sound || math.Abs(area-c.area) > 1e-12 {
				t.Errorf("%s from corner %d: area %v, want %v; counter-clockwise %v", c.name, shift, area, c.area, sound)
			}
		}
	}
}

// textOBJ writes m as OBJ.
func textOBJ(m *Mesh) []byte {
	var b bytes.Buffer
	fmt.Fprintln(&b, "# written by a test")
	for _, p := range m.Vertices {
		fmt.Fprintln(&b, "v", p.X, p.Y, p.Z)
	}
	for _, f := range m.Faces {
		fmt.Fprintln(&b, "f", f[0]+1, f[1]+1, f[2]+1)
	}
	return b.Bytes()
}
