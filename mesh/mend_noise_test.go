package mesh_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"

	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

// turned is a post 150 mm tall with a waving outline, turned of so many rings and
// facets around.
func turned(rings, around int) *mesh.Mesh {
	profile := []r2.Vec{{}}
	for i := range rings + 1 {
		z := float64(i) / float64(rings)
		profile = append(profile, r2.Vec{X: 18 + 9*math.Cos(9*z), Y: 150 * z})
	}
	return meshtest.Lathe(append(profile, r2.Vec{Y: 150}), around)
}

// An exact mesh has no noise, however coarse: the corners of a turned shape lie on
// circles and its outline, by construction.
func TestFacetsAreNoNoise(t *testing.T) {
	steps := []r2.Vec{{}}
	for i := range 20 {
		x := 20 - 5*float64(i%2)
		steps = append(steps, r2.Vec{X: x, Y: 7 * float64(i)}, r2.Vec{X: x, Y: 7 * float64(i+1)})
	}
	for name, m := range map[string]*mesh.Mesh{
		"few rings":      turned(8, 96),
		"fewer":          turned(6, 192),
		"few facets":     turned(60, 12),
		"few of both":    turned(15, 48),
		"steps":          meshtest.Lathe(append(steps, r2.Vec{Y: 140}), 24),
		"cylinder":       meshtest.Cylinder(300, 20, 150),
		"cone":           meshtest.Cone(600, 20, 150),
		"ring":           meshtest.TorusMesh(48, 12, 60, 20),
		"few faces more": meshtest.Icosphere(4).Scaled(75),
	} {
		if sigma, volume := (&mesh.Solid{Mesh: m}).Noise(); sigma > 1e-5*150 || volume > 1e-4*(&mesh.Solid{Mesh: m}).Measure().VolumeMM3 {
			t.Errorf("%s: noise of %g mm, %g mm³; want none", name, sigma, volume)
		}
	}
}

// Scatter that was put in is found, within a fifth, and its bound holds: the corners
// are moved by normal deviates of the standard deviation given.
func TestNoiseIsFound(t *testing.T) {
	for name, m := range map[string]*mesh.Mesh{
		"fine post": turned(60, 96), "coarse post": turned(60, 24), "ball": meshtest.Icosphere(5).Scaled(75),
		"ring": meshtest.TorusMesh(160, 64, 55, 20),
	} {
		whole := (&mesh.Solid{Mesh: m}).Measure().VolumeMM3
		for _, sigma := range []float64{0.15, 0.75} {
			noisy := &mesh.Solid{Mesh: meshtest.Scattered(m, rand.New(rand.NewPCG(5, 6)), sigma)}
			got, bar := noisy.Noise()
			if off := math.Abs(noisy.Measure().VolumeMM3 - whole); math.Abs(got/sigma-1) > 0.2 || off > bar {
				t.Errorf("%s: %g mm of noise found as %g, volume off by %g ± %g mm³", name, sigma, got, off, bar)
			}
		}
	}
}
