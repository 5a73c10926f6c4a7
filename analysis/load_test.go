package analysis

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

// A file's 32-bit coordinates are as coarse as at the farthest of them: between
// 2^19 and 2^20 they are 2^-4 apart. Finer coordinates are rounded, if at all, as
// seen from the middle: at 50 they are 2^-18 apart.
func TestRoundingOf(t *testing.T) {
	box := meshtest.Box(100, 80, 60)
	for _, c := range []struct {
		name string
		m    *mesh.Mesh
		step float64
	}{
		{"32 bits, near", box, 0x1p-17},
		{"32 bits, far", meshtest.Moved(box, r3.Vec{X: 580_000}), 0x1p-4},
		{"finer, far", meshtest.Moved(box, r3.Vec{X: 580_000.01}), 0x1p-18},
	} {
		if got, want := roundingOf(c.m), math.Sqrt(3)/2*c.step; math.Abs(got/want-1) > 1e-12 {
			t.Errorf("%s: %g, want %g", c.name, got, want)
		}
	}
}

// A bubble of a hundred-thousandth of the part is none of its; a hollow of an
// eighth is.
func TestWithoutBubbles(t *testing.T) {
	for _, c := range []struct {
		radius float64
		shells int
	}{{1, 1}, {25, 2}} {
		hollow := meshtest.Icosphere(3).Scaled(c.radius)
		for f, face := range hollow.Faces {
			hollow.Faces[f] = [3]int32{face[0], face[2], face[1]}
		}
		s, _, err := mesh.NewSolid(meshtest.Together(meshtest.Icosphere(3).Scaled(50), hollow))
		if err != nil {
			t.Fatal(err)
		}
		if got := mesh.Check(withoutBubbles(s).Mesh).Shells; got != c.shells {
			t.Errorf("a hollow of radius %g in a ball of 50: %d shells, want %d", c.radius, got, c.shells)
		}
	}
}
