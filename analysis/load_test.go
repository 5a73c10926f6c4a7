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

// Two scans of one ball, laid over each other 0.5 mm askew: the volume within either
// is larger than the ball's, and the doubt has to hold that. A ball that stands out
// of another by a quarter is a part of its own, and puts nothing in doubt.
func TestCopiesPutTheVolumeInDoubt(t *testing.T) {
	ball := meshtest.Icosphere(4).Scaled(50)
	truth := (&mesh.Solid{Mesh: ball}).Measure().VolumeMM3
	for _, c := range []struct {
		by          float64
		least, most float64 // doubt, as a share of the volume
	}{{0.5, 0.5 * 1.5 / 100, 1.5 * 1.5 / 100}, {25, 0, 0.002}} {
		l, err := load(t, Choices{Scan: scanOf(t, meshtest.Together(ball, meshtest.Moved(ball, r3.Vec{X: c.by / math.Sqrt2, Z: c.by / math.Sqrt2}))), Units: "mm"})
		if err != nil {
			t.Fatal(err)
		}
		s := l.Scan
		if share := s.VolumeErrorMM3 / s.VolumeMM3; share < c.least || share > c.most {
			t.Errorf("%g mm apart: a doubt of %.2g %%, want %.2g to %.2g", c.by, 100*share, 100*c.least, 100*c.most)
		}
		if c.by < 1 && math.Abs(s.VolumeMM3-truth) > s.VolumeErrorMM3 {
			t.Errorf("%g mm apart: %.0f ± %.0f, want %.0f", c.by, s.VolumeMM3, s.VolumeErrorMM3, truth)
		}
	}
}

// Of more copies the doubt is no larger than of the two farthest apart.
func TestBetweenCopies(t *testing.T) {
	for _, c := range []struct{ sum, volume, want float64 }{
		{100, 100, 0}, {150, 100, 0}, {180, 100, 20}, {196, 100, 4}, {200, 100, 0}, {294, 100, 4}, {19_900, 100, 0},
	} {
		if got := betweenCopies(c.sum, c.volume); math.Abs(got-c.want) > 1e-9 {
			t.Errorf("%g in %g: %g, want %g", c.sum, c.volume, got, c.want)
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
