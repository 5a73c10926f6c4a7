package main

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis"
	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

// A surface divided is the same surface, closed as before, without a long edge; one
// that is fine enough stays as it is.
func TestDividedIsTheSameSurface(t *testing.T) {
	for name, m := range map[string]*mesh.Mesh{
		"box": meshtest.Box(100, 40, 3), "needle": meshtest.Cylinder(24, 0.5, 400), "ball": meshtest.Icosphere(2).Scaled(30),
	} {
		longest := longestEdge(m)
		fine := divided(m, longest)
		if a, b := fine.Area(), m.Area(); math.Abs(a-b) > 1e-9*b {
			t.Errorf("%s: %g mm², was %g", name, a, b)
		}
		edges := map[[2]int32]int{}
		for _, f := range fine.Faces {
			for k := range f {
				a, b := f[k], f[(k+1)%3]
				if d := r3.Norm(r3.Sub(fine.Vertices[a], fine.Vertices[b])); d > longest {
					t.Fatalf("%s: an edge of %g mm, at most %g", name, d, longest)
				}
				edges[[2]int32{a, b}]++
			}
		}
		for e, n := range edges {
			if n != 1 || edges[[2]int32{e[1], e[0]}] != 1 {
				t.Fatalf("%s: edge %v has %d faces on one side and %d on the other", name, e, n, edges[[2]int32{e[1], e[0]}])
			}
		}
		if again := divided(fine, longest); len(again.Faces) != len(fine.Faces) {
			t.Errorf("%s: divided again: %d faces, were %d", name, len(again.Faces), len(fine.Faces))
		}
	}
}

// The walls that the picture measures to are those of the plan.
func TestRubberAroundFollowsTheShape(t *testing.T) {
	r := 50.0
	rectangle := analysis.Box{Shape: "rectangle", InsideMM: [3]float64{100, 60, 80}}
	tube := analysis.Box{Shape: "tube", RadiusMM: &r, InsideMM: [3]float64{100, 100, 80}}
	faceted := analysis.Box{Shape: "faceted", InsideMM: [3]float64{100, 100, 80}, OutlineMM: [][2]float64{{-50, 0}, {0, -50}, {50, 0}, {0, 50}}}
	for _, c := range []struct {
		box  analysis.Box
		want float64 // from (20, 0)
	}{{rectangle, 30}, {tube, 30}, {faceted, 30 / math.Sqrt2}} {
		p := &analysis.Plan{Box: c.box}
		if got := rubberAround(p).Side(r3.Vec{X: 20, Z: 10}); math.Abs(got-c.want) > 1e-9 {
			t.Errorf("%s: %g mm to the wall, want %g", c.box.Shape, got, c.want)
		}
	}
	p := &analysis.Plan{Box: rectangle}
	p.Box.Fillers = []analysis.Filler{{Kind: "block", HeightMM: 80, FootMM: [][2]float64{{30, -30}, {50, -30}, {50, 30}, {30, 30}}}}
	if got := rubberAround(p).Side(r3.Vec{X: 20, Z: 10}); math.Abs(got-10) > 1e-9 {
		t.Errorf("beside a filler: %g mm, want 10", got)
	}
	p.Stand = analysis.Stand{StemMM: 20, SpoutDiameterMM: 25, SpoutMM: [3]float64{1, 2, 3}, TranslationMM: [3]float64{10, 20, 30},
		Rotation: [3][3]float64{{0, 1, 0}, {-1, 0, 0}, {0, 0, 1}}}
	if s := rubberAround(p).Stem; s == nil || s.X != 12 || s.Y != 19 || s.DiameterMM != 25 || s.LengthMM != 20 {
		t.Errorf("stem %+v", s)
	}
}
