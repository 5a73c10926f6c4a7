package detail

import (
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
	"pourwright/mesh/meshtest"
	"pourwright/samples/implicit"
)

// turned is a shape turned about z from a profile that is walked in steps, so
// that faces are about as long as they are wide.
func turned(step float64, corners ...r2.Vec) *mesh.Mesh {
	var profile []r2.Vec
	widest := 0.0
	for i, c := range corners {
		if i > 0 {
			from := corners[i-1]
			n := max(1, int(math.Ceil(r2.Norm(r2.Sub(c, from))/step)))
			for k := 1; k < n; k++ {
				profile = append(profile, r2.Add(from, r2.Scale(float64(k)/float64(n), r2.Sub(c, from))))
			}
		}
		profile = append(profile, c)
		widest = max(widest, c.X)
	}
	return meshtest.Lathe(profile, int(2*math.Pi*widest/step))
}

// rounded is a block 40 mm a side with edges of the given radius: all places so
// far from a smaller block.
func rounded(radius float64) *mesh.Mesh {
	solid := func(p r3.Vec) float64 {
		x, y, z := math.Abs(p.X)-20+radius, math.Abs(p.Y)-20+radius, math.Abs(p.Z)-20+radius
		return r3.Norm(v(max(x, 0), max(y, 0), max(z, 0))) + min(max(x, y, z), 0) - radius
	}
	return implicit.Relaxed(implicit.Surface(solid, r3.Box{Min: v(-21, -21, -21), Max: v(21, 21, 21)}, 0.8), solid, 0.8, 6)
}

// Smooth shapes have no detail at all, however round, from these radii on, in
// radii at which detail is looked for: balls 1.8, shafts and cones 2, rings 2.5
// of the tube, edges rounded by 4. Normals of a plane, ball or cylinder are linear
// in position; those of a torus are along either curve.
func TestSmoothShapesHaveNoDetail(t *testing.T) {
	const r = DefaultRadiusMM
	shaft := func(radius float64) *mesh.Mesh {
		return turned(0.3, r2.Vec{}, r2.Vec{X: radius}, r2.Vec{X: radius, Y: 30}, r2.Vec{Y: 30})
	}
	away := func(z float64) bool { return z > 5 && z < 25 } // from the ends
	for _, c := range []struct {
		name string
		m    *mesh.Mesh
		keep func(p r3.Vec) bool
	}{
		{"ball", meshtest.Icosphere(5).Scaled(1.8 * r), everywhere},
		{"large ball", meshtest.Icosphere(6).Scaled(25 * r), everywhere},
		{"shaft", shaft(2 * r), func(p r3.Vec) bool { return away(p.Z) && math.Hypot(p.X, p.Y) > 1.9*r }},
		{"cone", turned(0.3, r2.Vec{}, r2.Vec{X: 12}, r2.Vec{Y: 40}),
			func(p r3.Vec) bool { return p.Z > 4 && math.Hypot(p.X, p.Y) > 2.2*r && p.Z < 40 }},
		{"ring", meshtest.TorusMesh(400, 100, 20, 2.5*r), everywhere},
		{"rounded block", rounded(4 * r), everywhere},
	} {
		score := scoreAt(t, c.m, r)
		var kept []float32
		for i, p := range c.m.Vertices {
			if c.keep(p) {
				kept = append(kept, score[i])
			}
		}
		if len(kept) < 500 {
			t.Fatalf("%s: only %d places", c.name, len(kept))
		}
		if most := slices.Max(kept); most > 0 {
			t.Errorf("%s: a score of %.3f", c.name, most)
		}
	}
}

// The residual of an edge that turns by θ, at a place on it: the fit explains the
// part 0.6916 of the jump's square. (Normals are ±sin(θ/2) across the edge, so the
// share is (E|x|)²/E x² over the disc of weight 1 − ρ², with E|x| = 16/15π and
// E x² = 1/6.)
func TestResidualOfAnEdge(t *testing.T) {
	for _, deg := range []float64{20, 45, 90} {
		s, c := math.Sincos(deg / 2 * math.Pi / 180)
		var near []sample
		const step = 0.02
		for x := -1.0; x <= 1; x += step {
			for y := -1.0; y <= 1; y += step {
				side := math.Copysign(1, x+step/3)
				near = append(near, sample{r3.Vec{X: x * c, Y: y, Z: -math.Abs(x) * s}, r3.Vec{X: side * s, Z: c}, step * step})
			}
		}
		got := residual(r3.Vec{}, r3.Vec{Z: 1}, near, 1)
		mean := 16 / (15 * math.Pi)
		if want := s * math.Sqrt(1-mean*mean*6); math.Abs(got/want-1) > 0.02 {
			t.Errorf("edge of %g°: residual %.4f, want %.4f", deg, got, want)
		}
	}
}

// Rivets, stamped marks, grooves and ropes of about the radius are detail.
func TestCarvingIsDetail(t *testing.T) {
	drum, plate, rope := scanOf()["riveted drum"][1], scanOf()["stamped plate"][1], scanOf()["rope grip"][1]
	at := func(z, lo, hi float64) bool { return z > lo && z < hi }
	for _, c := range []struct {
		name  string
		m     *mesh.Mesh
		keep  func(p r3.Vec) bool
		least float64
	}{
		{"edge of a rivet", drum, func(p r3.Vec) bool {
			return p.X > 0 && math.Abs(math.Hypot(p.Y, p.Z-9)-1.8) < 0.4 && math.Hypot(p.X, p.Y) < 19
		}, 0.9},
		{"bead", drum, func(p r3.Vec) bool { return at(p.Z, 22.5, 25.5) }, 0.9},
		{"stamped ring", plate, func(p r3.Vec) bool { return p.Z > 6.5 && math.Abs(math.Hypot(p.X+14, p.Y)-6) < 1.1 }, 0.9},
		{"stamped bar", plate, func(p r3.Vec) bool { return p.Z > 6.5 && math.Abs(p.X+2) < 1.1 && math.Abs(p.Y) < 5 }, 0.9},
		{"rope", rope, func(p r3.Vec) bool { return at(p.Z, 17, 31) }, 0.6},
	} {
		if got := mean(c.m, scoreAt(t, c.m, 0), c.keep); !(got >= c.least) {
			t.Errorf("%s: mean score %.2f, want at least %g", c.name, got, c.least)
		}
	}
	for name, m := range map[string]*mesh.Mesh{"drum": drum, "plate": plate, "grip": rope} {
		flat := func(p r3.Vec) bool {
			return name == "drum" && at(p.Z, 14, 20) && p.X < 0 || name == "plate" && p.Z < 0.5 && math.Hypot(p.X, p.Y) < 12 ||
				name == "grip" && at(p.Z, 40, 45)
		}
		if got := mean(m, scoreAt(t, m, 0), flat); !(got <= 0.01) {
			t.Errorf("plain part of the %s: mean score %.3f", name, got)
		}
	}
}

// A block of twelve faces is plain, though all of its corners are sharp, and so is
// the flat end of a scan that was closed.
func TestLargeFacesStandForTheirArea(t *testing.T) {
	box := meshtest.Box(60, 80, 100)
	for v, s := range scoreAt(t, box, 0) {
		if s > 0.2 {
			t.Errorf("corner %d of a large block scores %.2f", v, s)
		}
	}
	for _, faces := range []int{24, 64} {
		m := meshtest.Cylinder(faces, 40, 60)
		if got := slices.Max(scoreAt(t, m, 0)); got > 0.35 {
			t.Errorf("a drum of %d sides scores up to %.2f", faces, got)
		}
	}
}
