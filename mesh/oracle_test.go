package mesh_test

import (
	"context"
	"encoding/json"
	"maps"
	"math"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
)

// The meshes of testdata come from published collections; what CGAL 5.5.1 says
// of them, in exact arithmetic, is in reference.json (testdata/README.md tells
// how it was made and how VTK was asked the same).
const (
	referenceFolder = "../testdata"
	volumeWithin    = 1e-12 // relative; the reference is right to the last digit
	areaWithin      = 1e-12 // relative; as above
	boxWithin       = 1.01  // times the box that CGAL's search finds
)

// referenceMesh is one row of reference.json, file units.
type referenceMesh struct {
	Faces    int           `json:"faces"`
	Vertices int           `json:"vertices"`
	Shells   int           `json:"shells"`
	Loops    int           `json:"open_loops"`
	Closed   bool          `json:"closed"`
	Solid    bool          `json:"bounds_a_volume"` // closed and crossing itself nowhere
	Volume   float64       `json:"volume"`          // of a closed mesh, signed sum
	Area     float64       `json:"area"`
	Bounds   [2][3]float64 `json:"bounds"`
	Box      [3]float64    `json:"box"`
}

func TestAgainstReferenceLibraries(t *testing.T) {
	text, err := os.ReadFile(filepath.Join(referenceFolder, "reference.json"))
	if err != nil {
		t.Fatal(err)
	}
	var table map[string]referenceMesh
	if err := json.Unmarshal(text, &table); err != nil {
		t.Fatal(err)
	}
	closed := 0
	for _, name := range slices.Sorted(maps.Keys(table)) {
		want := table[name]
		if want.Closed {
			closed++
		}
		t.Run(name, func(t *testing.T) { compareWithReference(t, name, want) })
	}
	if closed < 3 || closed == len(table) {
		t.Errorf("%d of %d meshes are closed, want at least three closed and one open", closed, len(table))
	}
}

func compareWithReference(t *testing.T, name string, want referenceMesh) {
	m, source, err := mesh.Read(context.Background(), filepath.Join(referenceFolder, name), nil)
	if err != nil {
		t.Fatal(err)
	}
	if source.Triangles != want.Faces || len(m.Vertices) != want.Vertices {
		t.Errorf("%d faces on %d vertices, want %d on %d", source.Triangles, len(m.Vertices), want.Faces, want.Vertices)
	}
	b := m.Bounds()
	if got := [2][3]float64{coordinates(b.Min), coordinates(b.Max)}; got != want.Bounds {
		t.Errorf("bounds %v, want exactly %v", got, want.Bounds)
	}
	compareFigure(t, "area", m.Area(), want.Area, areaWithin)
	compareClosing(t, m, want)

	size := mesh.TightestBox(m.Vertices).Size
	ratio := size[0] * size[1] * size[2] / (want.Box[0] * want.Box[1] * want.Box[2])
	t.Logf("tightest box: %.6f times CGAL's", ratio)
	if ratio > boxWithin {
		t.Errorf("tightest box %.6g is %.4f times CGAL's %.6g, want at most %g", size, ratio, want.Box, boxWithin)
	}
}

// compareClosing checks what is said of the surface as a whole, and the volume
// where there is one. A closed surface that crosses itself has a signed volume,
// but need not be taken as a solid.
func compareClosing(t *testing.T, m *mesh.Mesh, want referenceMesh) {
	report := mesh.Check(m)
	if report.Closed != want.Closed || report.OpenLoops != want.Loops || report.Shells != want.Shells {
		t.Errorf("closed %t, %d open loops, %d shells; want %t, %d, %d",
			report.Closed, report.OpenLoops, report.Shells, want.Closed, want.Loops, want.Shells)
	}
	if !want.Closed {
		if _, _, err := mesh.NewSolid(m); err == nil {
			t.Error("an open surface was taken as a solid")
		}
		return
	}
	solid := &mesh.Solid{Mesh: m}
	if want.Solid {
		var err error
		if solid, _, err = mesh.NewSolid(m); err != nil {
			t.Fatalf("the reference says that it bounds a volume: %v", err)
		}
	}
	measures := solid.Measure()
	compareFigure(t, "volume", measures.VolumeMM3, want.Volume, volumeWithin)
	compareFigure(t, "area of the solid", measures.AreaMM2, want.Area, areaWithin)
}

func compareFigure(t *testing.T, what string, got, want, within float64) {
	off := math.Abs(got-want) / math.Abs(want)
	t.Logf("%s: %.2g off", what, off)
	if !(off <= within) {
		t.Errorf("%s %.17g, want %.17g: %.2g off, want at most %g", what, got, want, off, within)
	}
}

func coordinates(v r3.Vec) [3]float64 { return [3]float64{v.X, v.Y, v.Z} }
