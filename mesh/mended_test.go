package mesh_test

import (
	"context"
	"encoding/json"
	"errors"
	"os"
	"path/filepath"
	"testing"

	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

// Known meshes are broken, mended and written as STL; what CGAL 5.5.1, VTK 9.1.0
// and ADMesh 0.98.4 say of those files is in mended.json. All three found every
// one closed, outward and of as many parts as kept here. To make the file again
// after mending was changed on purpose: testdata/make-mended.sh, which stops when
// a library disagrees.
const mendedWithin = 1e-6 // relative; the judges saw corners rounded to float32 (1.3e-8 or less)

// judgedMesh is one row of mended.json, mm.
type judgedMesh struct {
	Refused string  `json:"refused"` // why there is none
	Faces   int     `json:"faces"`
	Closed  bool    `json:"closed"`
	Parts   int     `json:"parts"`
	Volume  float64 `json:"volume"`
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
