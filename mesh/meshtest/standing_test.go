package meshtest_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"

	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

// A part on a slab is one solid, of the part above and a prism: its volume is
// theirs together. On a sheet it is open along one rim.
func TestTablesOfKnownVolume(t *testing.T) {
	subjects, err := meshtest.Subjects("../..")
	if err != nil {
		t.Fatal(err)
	}
	for i, s := range subjects {
		p := meshtest.Stand(s, 0.04)
		outline := meshtest.RaggedOutline(p.Shadow(), rand.New(rand.NewPCG(1, uint64(i))))
		const thick = 3
		slab, report, err := mesh.NewSolid(p.Fused(outline, thick))
		if err != nil || len(report.Problems) > 0 || report.Shells != 1 {
			t.Errorf("%s on a slab: %v %+v", s.Name, err, report)
			continue
		}
		want := p.VolumeMM3 + thick*areaOf(outline)
		if v := slab.Measure().VolumeMM3; math.Abs(v-want) > 1e-9*want {
			t.Errorf("%s on a slab: volume %.12g, want %.12g", s.Name, v, want)
		}
		if r := mesh.Check(p.Sheeted(outline)); r.OpenLoops != 1 || r.Shells != 1 {
			t.Errorf("%s on a sheet: %d holes, %d shells; want 1, 1", s.Name, r.OpenLoops, r.Shells)
		}
	}
	box := meshtest.Stand(subjects[0], 0.04)
	if want := 60 * 40 * 96.0; math.Abs(box.VolumeMM3-want) > 1e-9*want || math.Abs(box.TallMM-96) > 1e-12 {
		t.Errorf("of the box %.12g mm³, %.12g mm tall are above the table, want %g, 96", box.VolumeMM3, box.TallMM, want)
	}
}

// areaOf is the shoelace formula.
func areaOf(polygon []r2.Vec) float64 {
	sum := 0.0
	for i, a := range polygon {
		sum += r2.Cross(a, polygon[(i+1)%len(polygon)])
	}
	return sum / 2
}
