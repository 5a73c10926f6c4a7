package mesh_test

import (
	"context"
	"errors"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

// under drops what lies under the height z.
func under(z float64) func(a, b, c r3.Vec) bool {
	return func(a, b, c r3.Vec) bool { return (a.Z+b.Z+c.Z)/3 < z-1e-9 }
}

// over drops what lies over the height z.
func over(z float64) func(a, b, c r3.Vec) bool {
	return func(a, b, c r3.Vec) bool { return (a.Z+b.Z+c.Z)/3 > z+1e-9 }
}

// beyond drops what lies beyond x.
func beyond(x float64) func(a, b, c r3.Vec) bool {
	return func(a, b, c r3.Vec) bool { return (a.X+b.X+c.X)/3 > x }
}

// ballCap is a ball of radius 100 less what is more than so many degrees from its top.
func ballCap(degrees float64) *mesh.Mesh {
	return without(meshtest.Icosphere(5).Scaled(100), under(100*math.Cos(degrees*math.Pi/180)))
}

// ellipsoid has its semi-axes along x, y and z.
func ellipsoid(a, b, c float64) *mesh.Mesh {
	m := meshtest.Icosphere(5)
	for i, p := range m.Vertices {
		m.Vertices[i] = r3.Vec{X: a * p.X, Y: b * p.Y, Z: c * p.Z}
	}
	return m
}

// vase is turned: a foot, a belly and a neck.
func vase() *mesh.Mesh {
	var p []r2.Vec
	for k := range 61 {
		t := float64(k) / 60
		p = append(p, r2.Vec{X: 40 + 25*math.Sin(2*math.Pi*t) - 15*t, Y: 220 * t})
	}
	return meshtest.Lathe(append(append([]r2.Vec{{Y: 0}}, p...), r2.Vec{Y: 220}), 64)
}

// What is open and curved like a bowl is asked about; what ends in a flat, small base
// is closed. The bound is at two thirds of a ball's width: a cap of 138°.
func TestMendAsksAboutBowls(t *testing.T) {
	helmet, frustum := ellipsoid(110, 130, 95), func(r, top, h float64) *mesh.Mesh { return meshtest.Frustum(96, r, top, h) }
	rng := func() *rand.Rand { return rand.New(rand.NewPCG(4, 2)) }
	for _, c := range []struct {
		name string
		m    *mesh.Mesh
		asks string
	}{
		{"a shallow dish", ballCap(60), "mostly one open sheet"},
		{"half a ball", ballCap(90), "mostly one open sheet"},
		{"a ball open at 118°", ballCap(118), "mostly one open sheet"},
		{"a ball open at 125°", ballCap(125), "curved like a bowl"},
		{"a ball open at 134°", ballCap(134), "curved like a bowl"},
		{"the same, inside out", meshtest.Flipped(ballCap(134), rng(), 1), "curved like a bowl"},
		{"the same, rough", meshtest.Scattered(ballCap(134), rng(), 0.5), "curved like a bowl"},
		{"a ball open at 143°", ballCap(143), ""},
		{"a ball that stood on the table", ballCap(155), ""},
		{"a helmet without its face", without(helmet, beyond(75)), "curved like a bowl"},
		{"a helmet open at the neck", without(helmet, under(-60)), "curved like a bowl"},
		{"a shade open at its wide end", without(frustum(100, 60, 150), under(1)), "mostly one open sheet"},
		{"a shade open at both ends", without(without(frustum(100, 60, 150), under(1)), over(149)), "open in several places"},
		{"a frustum open at its narrow end", without(frustum(100, 60, 150), over(149)), ""},
		{"a tall frustum open at its wide end", without(frustum(100, 60, 300), under(1)), ""},
		{"a cone", without(frustum(50, 0.1, 200), under(1)), ""},
		{"a cube", without(meshtest.Box(10, 10, 10), over(9)), ""},
		{"a rough cylinder", meshtest.Scattered(without(meshtest.Cylinder(64, 40, 95), over(94)), rng(), 0.3), ""},
		{"a vase open at its neck", without(vase(), over(219)), ""},
		{"a vase without its foot", without(vase(), under(1)), ""},
	} {
		_, err := mesh.Mend(context.Background(), c.m, mesh.MendChoice{})
		var open *mesh.OpenQuestion
		if asks := errors.As(err, &open); asks != (c.asks != "") || err != nil && (!asks || !strings.Contains(err.Error(), c.asks)) {
			t.Errorf("%s: %v, want %q", c.name, err, c.asks)
		}
	}
}

// No sample is a bowl, nor any other solid of the matrix, when its base is missing.
func TestMendClosesMissingBases(t *testing.T) {
	for _, s := range subjects(t) {
		m, truth := meshtest.Damages()[1].Break(s, firstSeed())
		solid, _, bound := mend(t, m, mesh.MendChoice{})
		if v := solid.Measure().VolumeMM3; math.Abs(v-truth) > bound+1e-4*truth {
			t.Errorf("%s: %g ± %g, want %g", s.Name, v, bound, truth)
		}
	}
}
