package hold

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

// Volume and moments under a level are the integral of the sections' own, by
// Simpson's rule between levels without a vertex on them.
func TestMomentsMatchSections(t *testing.T) {
	tilt := mesh.PoseDown(r3.Unit(r3.Vec{X: 0.3, Y: -0.5, Z: -0.8}))
	tilt.T = r3.Vec{X: 900, Y: -700, Z: 90}
	shapes := []*mesh.Mesh{
		meshtest.TorusMesh(24, 12, 50, 15).Posed(tilt),
		meshtest.Box(40, 70, 20).Posed(tilt),
		meshtest.Frustum(16, 30, 10, 60).Posed(tilt),
	}
	levels := []float64{20, 60, 75, 90, 101, 118, 150, 200}
	for i, m := range shapes {
		for _, s := range momentsBelow(m, levels, r2.Vec{X: 890, Y: -690}) {
			const steps = 4000
			var mm3, x, y float64
			for k := range steps + 1 {
				z := (s.levelMM-20)*float64(k)/steps + 20 + 1e-6
				w := 2.0 * float64(1+k%2)
				if k == 0 || k == steps {
					w = 1
				}
				if c := Touch(m, z); c.AreaMM2 > 0 {
					mm3 += w * c.AreaMM2
					x += w * c.AreaMM2 * c.Centre.X
					y += w * c.AreaMM2 * c.Centre.Y
				}
			}
			h := (s.levelMM - 20) / steps / 3
			for _, v := range [][2]float64{{s.mm3, mm3 * h}, {s.moment.X, x * h}, {s.moment.Y, y * h}} {
				if math.Abs(v[0]-v[1]) > 2e-5*math.Abs(v[1])+1e-6 {
					t.Errorf("shape %d under %v: %v, sections give %v", i, s.levelMM, v[0], v[1])
				}
			}
		}
	}
}

// Stress under a moment: 32·M/(π·d³) at the rim of a disc, 6·M/(b·h²) at the
// edge of a rectangle. Source: any table of section moduli.
func TestBend(t *testing.T) {
	c := Disc(r2.Vec{X: 7, Y: -3}, 20)
	got := c.bend(r2.Vec{X: 100}, r2.Vec{X: 17, Y: -3})
	if want := 32 * 100 / (math.Pi * 8000); math.Abs(got-want) > 1e-12 {
		t.Errorf("disc: %v, want %v", got, want)
	}
	r := Touch(meshtest.Box(30, 12, 5), 1)
	if got, want := r.bend(r2.Vec{Y: 100}, r2.Vec{X: 3, Y: 12}), 6*100/(30*12*12.0); math.Abs(got-want) > 1e-12 {
		t.Errorf("rectangle: %v, want %v", got, want)
	}
	// Turned, the rectangle's products of inertia come in.
	const a = 0.6
	sin, cos := math.Sincos(a)
	turned := Touch(meshtest.Box(30, 12, 5).Posed(mesh.Pose{Rows: [3]r3.Vec{{X: cos, Y: -sin}, {X: sin, Y: cos}, {Z: 1}}}), 1)
	spin := func(p r2.Vec) r2.Vec { return r2.Rotate(p, a, r2.Vec{}) }
	if got, want := turned.bend(spin(r2.Vec{Y: 100}), spin(r2.Vec{X: 3, Y: 12})), 6*100/(30*12*12.0); math.Abs(got-want) > 1e-12 {
		t.Errorf("turned rectangle: %v, want %v", got, want)
	}
}
