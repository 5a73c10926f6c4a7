package analysis

import (
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis/finding"
	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

// joined puts the surface of b beside that of a, turned inward if asked.
func joined(a, b *mesh.Mesh, inward bool) *mesh.Mesh {
	m := &mesh.Mesh{Vertices: slices.Concat(a.Vertices, b.Vertices), Faces: slices.Clone(a.Faces)}
	n := int32(len(a.Vertices))
	for _, f := range b.Faces {
		if inward {
			f[1], f[2] = f[2], f[1]
		}
		m.Faces = append(m.Faces, [3]int32{f[0] + n, f[1] + n, f[2] + n})
	}
	return m
}

// Rubber never gets into a sealed hollow: the plan takes the outside.
func TestSealedHollow(t *testing.T) {
	ball := meshtest.Icosphere(5)
	p := planOf(t, Choices{Scan: scanOf(t, joined(ball.Scaled(40), ball.Scaled(30), true)), Units: "mm"})
	outer := planOf(t, Choices{Scan: scanOf(t, ball.Scaled(40)), Units: "mm"}).Scan.VolumeMM3
	if p.Scan.As != "hollow" || math.Abs(p.Scan.EnvelopeMM3-outer) > 1e-6*outer {
		t.Errorf("taken as %s of %g mm³, want a hollow of %g", p.Scan.As, p.Scan.EnvelopeMM3, outer)
	}
	if want := outer * (1 - 27./64); math.Abs(p.Scan.MaterialMM3-want) > 1e-5*want {
		t.Errorf("material %g mm³, want %g", p.Scan.MaterialMM3, want)
	}
	if p.Rubber.DisplacedMM3 < outer || len(p.RubberTrap) != 0 {
		t.Errorf("displaced %g mm³ and traps %+v; the hollow is out of reach", p.Rubber.DisplacedMM3, p.RubberTrap)
	}
}

func TestSeparatePartsStop(t *testing.T) {
	cube := meshtest.Box(50, 50, 50)
	away := cube.Posed(mesh.Pose{Rows: [3]r3.Vec{{X: 1}, {Y: 1}, {Z: 1}}, T: r3.Vec{X: 80}})
	p := planOf(t, Choices{Scan: scanOf(t, joined(cube, away, false)), Units: "mm"})
	if !slices.ContainsFunc(p.Findings, func(f finding.Finding) bool { return f.Level == finding.Stop }) {
		t.Errorf("two parts pass with %+v", p.Findings)
	}
}

// A doubt about the spout points at the spout, in the frame of the box.
func TestDoubtsPointAtTheSpout(t *testing.T) {
	cone := meshtest.Cone(96, 20, 150) // stood on its tip it needs a stem
	p := planOf(t, Choices{Scan: scanOf(t, cone), Units: "mm", Down: &[3]float64{0.3, 0, 1}})
	found := 0
	for _, f := range p.Findings {
		if f.Question != "stand" || f.AtMM == nil {
			continue
		}
		found++
		if r3.Norm(r3.Sub(vec(*f.AtMM), r3.Add(vec(p.Cut.PointMM), r3.Vec{}))) > 1e-9 {
			t.Errorf("%q points at %v, the spout is at %v", f.Text, *f.AtMM, p.Cut.PointMM)
		}
	}
	if found == 0 || p.Stand.StemMM == 0 {
		t.Errorf("%d doubts about a spout with a stem of %g mm", found, p.Stand.StemMM)
	}
}
