package mesh_test

import (
	"context"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
)

// Source: VTK 9.1 on the same files, 50 heights each (testdata/README.md tells
// how). Both cut the same triangles, so nothing but rounding is between them.
func TestSectionsAgreeWithVTK(t *testing.T) {
	text, err := os.ReadFile(filepath.Join(referenceFolder, "sections.json"))
	if err != nil {
		t.Fatal(err)
	}
	var reference struct {
		Meshes map[string][]struct{ Height, Area, Outline float64 }
	}
	if err := json.Unmarshal(text, &reference); err != nil {
		t.Fatal(err)
	}
	if len(reference.Meshes) < 3 {
		t.Fatalf("only %d meshes", len(reference.Meshes))
	}
	up := r3.Vec{Z: 1}
	for name, sections := range reference.Meshes {
		m, _, err := mesh.Read(context.Background(), filepath.Join(referenceFolder, name), nil)
		if err != nil {
			t.Fatal(err)
		}
		worst := 0.0
		for _, s := range sections {
			loops := m.Section(r3.Vec{Z: s.Height}, up)
			outline := 0.0
			for _, l := range loops {
				outline += l.Length()
			}
			area := mesh.LoopsArea(loops, up)
			off := max(math.Abs(area-s.Area)/s.Area, math.Abs(outline-s.Outline)/s.Outline)
			if worst = max(worst, off); off > 1e-9 {
				t.Errorf("%s at %.4f: area %.9g, outline %.9g; VTK %.9g, %.9g", name, s.Height, area, outline, s.Area, s.Outline)
			}
		}
		t.Logf("%s: %d sections, at most %.1e apart", name, len(sections), worst)
		if len(sections) != 50 {
			t.Errorf("%s: %d sections", name, len(sections))
		}
	}
}
