package mesh_test

import (
	"context"
	"encoding/json"
	"errors"
	"math"
	"os"
	"path/filepath"
	"testing"

	"pourwright/mesh"
	"pourwright/mesh/field"
	"pourwright/mesh/meshtest"
)

// Known meshes are broken, mended and written as STL; what CGAL 5.5.1, VTK 9.1.0
// and ADMesh 0.98.4 say of those files is in mended.json. All three found every
// one closed, outward and of as many parts as kept here. Crossed scans are built
// anew from their field; CGAL's union of the parts is the truth for their volume.
// To make the file again after mending was changed on purpose:
// testdata/make-mended.sh, which stops when a library disagrees.
const (
	mendedWithin = 1e-6 // relative; the judges saw corners rounded to float32 (1.3e-8 or less)
	mostDoubt    = 0.02 // of a crossed scan's volume (seen: 2e-4 to 1.3e-2, the gearwheel)
)

// judgedMesh is one row of mended.json, mm.
type judgedMesh struct {
	Refused string  `json:"refused"` // why there is none
	Faces   int     `json:"faces"`
	Closed  bool    `json:"closed"`
	Parts   int     `json:"parts"`
	Volume  float64 `json:"volume"`
	Union   float64 `json:"union"` // of both parts of a crossed scan
}

func TestMendedAgainstJudges(t *testing.T) {
	text, err := os.ReadFile(filepath.Join(referenceFolder, "mended.json"))
	if err != nil {
		t.Fatal(err)
	}
	var table map[string]judgedMesh
	if err := json.Unmarshal(text, &table); err != nil {
		t.Fatal(err)
	}
	seen := 0
	err = meshtest.EachBrokenScan("..", func(b meshtest.BrokenScan) error {
		seen++
		want, known := table[b.Name]
		if !known {
			t.Errorf("%s: not judged; run testdata/make-mended.sh", b.Name)
			return nil
		}
		t.Run(b.Name, func(t *testing.T) { compareWithJudges(t, b, want) })
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	err = meshtest.EachCrossedScan("..", func(c meshtest.CrossedScan) error {
		seen++
		t.Run(c.Name, func(t *testing.T) { compareWithUnion(t, c, table[c.Name]) })
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if seen != len(table) {
		t.Errorf("%d scans were broken, %d are judged", seen, len(table))
	}
}

func compareWithJudges(t *testing.T, b meshtest.BrokenScan, want judgedMesh) {
	mended, err := mesh.Mend(context.Background(), b.Mesh, mesh.MendChoice{})
	if want.Refused != "" {
		var open *mesh.OpenQuestion
		if !errors.As(err, &open) {
			t.Errorf("mended, or refused for another reason (%v); want a question: %s", err, want.Refused)
		}
		return
	}
	if err != nil {
		t.Fatal(err)
	}
	if r := mended.Report; r.Closed != want.Closed || r.Shells != want.Parts || len(mended.Solid.Faces) != want.Faces {
		t.Errorf("closed %t, %d parts, %d faces; the judges saw %t, %d, %d",
			r.Closed, r.Shells, len(mended.Solid.Faces), want.Closed, want.Parts, want.Faces)
	}
	compareFigure(t, "volume", mended.Solid.Measure().VolumeMM3, want.Volume, mendedWithin)
}

// compareWithUnion builds a crossed scan anew. The union that CGAL made of its
// parts is the truth; the surface is as the judges saw it.
func compareWithUnion(t *testing.T, c meshtest.CrossedScan, want judgedMesh) {
	f, err := field.New(context.Background(), c.Mesh, field.Choice{}, nil)
	if err != nil {
		t.Fatal(err)
	}
	volume, doubt := f.Volume()
	t.Logf("volume %.2g off, doubted by %.2g", volume/want.Union-1, doubt/want.Union)
	if !(math.Abs(volume-want.Union) <= doubt) || doubt > mostDoubt*want.Union {
		t.Errorf("volume %.6g ± %.2g, want %.6g, doubted by at most %g of it", volume, doubt, want.Union, mostDoubt)
	}
	s, err := f.Surface()
	if err != nil {
		t.Fatal(err)
	}
	if r := mesh.Check(s.Mesh); r.Closed != want.Closed || r.Shells != want.Parts {
		t.Errorf("closed %t, %d parts; the judges saw %t, %d", r.Closed, r.Shells, want.Closed, want.Parts)
	}
	compareFigure(t, "volume of the surface", s.Measure().VolumeMM3, want.Volume, mendedWithin)
}
