package mesh_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

// Closed forms: the part of a prism, pyramid or ball below a level.
func TestProfileKnownSolids(t *testing.T) {
	up := r3.Vec{Z: 1}
	diagonal := r3.Unit(r3.Vec{X: 1, Y: 1, Z: 1})
	for _, c := range []struct {
		name  string
		mesh  *mesh.Mesh
		up    r3.Vec
		below func(level float64) float64
	}{
		{"box", meshtest.Box(2, 3, 4), up, func(l float64) float64 { return 6 * l }},
		{"box upside down", meshtest.Box(2, 3, 4), r3.Vec{Z: -1}, func(l float64) float64 { return 6 * (l + 4) }},
		{"box on its edge", meshtest.Box(1, 5, 1), r3.Unit(r3.Vec{X: 1, Z: 1}), func(l float64) float64 {
			if l > math.Sqrt2/2 { // two right-angled wedges
				return 5 - 5*(math.Sqrt2-l)*(math.Sqrt2-l)
			}
			return 5 * l * l
		}},
		// Volume of the unit cube under x+y+z = s: the Irwin–Hall distribution.
		{"cube on its corner", meshtest.Box(1, 1, 1), diagonal, func(l float64) float64 {
			s := l * math.Sqrt(3)
			cube := func(x float64) float64 { return math.Pow(max(0, x), 3) }
			return (cube(s) - 3*cube(s-1) + 3*cube(s-2)) / 6
		}},
		{"cone of 40 sides", meshtest.Cone(40, 5, 12), up, func(l float64) float64 {
			return frustumVolume(40, 5, 5*(12-l)/12, l)
		}},
		{"frustum of 30 sides", meshtest.Frustum(30, 5, 3, 8), up, func(l float64) float64 {
			return frustumVolume(30, 5, 5-l/4, l)
		}},
		// Octahedron of edge 1, half of it a pyramid of height √½ on a square of side 1.
		{"octahedron", meshtest.Octahedron(), up, func(l float64) float64 {
			h := math.Sqrt(0.5)
			part := math.Pow((h-math.Abs(l))/h, 3) * h / 3
			if l > 0 {
				return math.Sqrt2/3 - part
			}
			return part
		}},
	} {
		p := mesh.NewProfile(solidOf(t, c.mesh), c.up)
		lo, hi := p.Range()
		for i := range 201 {
			level := lo + (hi-lo)*float64(i)/200
			near(t, fmt.Sprintf("%s below %g", c.name, level), p.Below(level), c.below(level), 1e-13)
		}
		if got := p.Below(lo - 1); got != 0 {
			t.Errorf("%s: %g below the bottom", c.name, got)
		}
	}
}

// Cap of a ball, πh²(3r − h)/3, from two icospheres and their limit.
func TestProfileOfBallCap(t *testing.T) {
	below := func(level int, h float64) float64 {
		p := mesh.NewProfile(solidOf(t, meshtest.Icosphere(level).Scaled(10)), r3.Vec{X: 0.6, Z: 0.8})
		return p.Below(h - 10)
	}
	for _, h := range []float64{3, 7, 10, 13} {
		want := math.Pi * h * h * (30 - h) / 3 // 254.4690049 for h = 3
		near(t, fmt.Sprintf("cap %g", h), (4*below(6, h)-below(5, h))/3, want, 2e-5)
	}
}

// cutBelow returns the part of a triangle where height is negative, as a convex
// polygon (Sutherland & Hodgman, "Reentrant polygon clipping", 1974, from memory).
func cutBelow(corners [3]r3.Vec, height func(p r3.Vec) float64) []r3.Vec {
	var cut []r3.Vec
	for i, p := range corners {
		q := corners[(i+1)%3]
		h0, h1 := height(p), height(q)
		if h0 <= 0 {
			cut = append(cut, p)
		}
		if h0 < 0 && h1 > 0 || h0 > 0 && h1 < 0 {
			cut = append(cut, r3.Add(p, r3.Scale(h0/(h0-h1), r3.Sub(q, p))))
		}
	}
	return cut
}

// clippedVolume is the volume below a level, by cutting every triangle and
// summing tetrahedra to a point of the level's plane: the cap has no volume
// seen from there.
func clippedVolume(m *mesh.Mesh, up r3.Vec, level float64) float64 {
	b := m.Bounds()
	eye := r3.Scale(0.5, r3.Add(b.Min, b.Max))
	eye = r3.Add(eye, r3.Scale(level-r3.Dot(up, eye), up))
	height := func(p r3.Vec) float64 { return r3.Dot(up, r3.Sub(p, eye)) }
	sum, lost := 0.0, 0.0
	for f := range m.Faces {
		a, b, c := m.Corners(f)
		cut := cutBelow([3]r3.Vec{a, b, c}, height)
		for k := 1; k+1 < len(cut); k++ {
			p, q, r := r3.Sub(cut[0], eye), r3.Sub(cut[k], eye), r3.Sub(cut[k+1], eye)
			x := r3.Dot(p, r3.Cross(r3.Sub(q, p), r3.Sub(r, p))) / 6
			y := x - lost // Kahan
			s := sum + y
			lost = (s - sum) - y
			sum = s
		}
	}
	return sum
}

// shapesForCuts are solids of several kinds, some with faces and corners that
// lie in planes.
func shapesForCuts() map[string]*mesh.Mesh {
	return map[string]*mesh.Mesh{
		"box":          meshtest.Box(40, 30, 20),
		"fine box":     meshtest.Split(meshtest.Split(meshtest.Box(40, 30, 20))),
		"octahedron":   meshtest.Octahedron().Scaled(30),
		"dodecahedron": meshtest.Dodecahedron().Scaled(30),
		"cylinder":     meshtest.Cylinder(24, 15, 50),
		"noisy ball":   shaken(meshtest.Icosphere(4).Scaled(40), 0.3),
		"noisy torus":  shaken(meshtest.TorusMesh(64, 32, 30, 10), 0.1),
	}
}

func TestProfileAgainstClipping(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 8))
	for name, shape := range shapesForCuts() {
		for range 12 {
			s := &mesh.Solid{Mesh: shape.Posed(anyPose(rng, 100))}
			up := anyDirection(rng)
			p, volume := mesh.NewProfile(s, up), s.Measure().VolumeMM3
			lo, hi := p.Range()
			for range 20 {
				level := lo + (hi-lo)*rng.Float64()
				got, want := p.Below(level), clippedVolume(s.Mesh, up, level)
				if math.Abs(got-want) > 1e-12*volume {
					t.Errorf("%s below %g: %.14g, clipped %.14g, off by %.2g of the volume", name, level, got, want, (got-want)/volume)
				}
			}
		}
	}
}

// The profile grows from nothing to the whole volume, its slope is the area of
// the section, and levels exactly on vertices and flat faces are no exception.
func TestProfileGrowsByItsSections(t *testing.T) {
	rng := rand.New(rand.NewPCG(9, 10))
	for name, shape := range shapesForCuts() {
		s := solidOf(t, shape)
		volume := s.Measure().VolumeMM3
		for _, up := range []r3.Vec{{Z: 1}, {X: -1}, anyDirection(rng)} {
			p := mesh.NewProfile(s, up)
			lo, hi := p.Range()
			if p.Below(lo) != 0 || p.Below(hi) != volume || p.Below(hi+1) != volume {
				t.Errorf("%s: %g to %g, want 0 to %g", name, p.Below(lo), p.Below(hi), volume)
			}
			before := 0.0
			for i := range 1001 {
				now := p.Below(lo + (hi-lo)*float64(i)/1000)
				if now < before-1e-14*volume {
					t.Errorf("%s: falls by %g", name, before-now)
				}
				before = now
			}
			checkSlope(t, name, s, up, rng)
			for _, v := range s.Vertices[:min(50, len(s.Vertices))] {
				level := r3.Dot(up, v)
				got, want := p.Below(level), clippedVolume(s.Mesh, up, level)
				if math.Abs(got-want) > 1e-12*volume {
					t.Errorf("%s at a vertex: %.14g, clipped %.14g", name, got, want)
				}
			}
		}
	}
}

func checkSlope(t *testing.T, name string, s *mesh.Solid, up r3.Vec, rng *rand.Rand) {
	p := mesh.NewProfile(s, up)
	lo, hi := p.Range()
	for range 10 {
		level := lo + (hi-lo)*(0.01+0.98*rng.Float64())
		step := 1e-4 * (hi - lo)
		slope := (p.Below(level+step) - p.Below(level-step)) / (2 * step)
		area := mesh.LoopsArea(s.Section(r3.Scale(level, up), up), up)
		if math.Abs(slope-area) > 2e-3*s.Measure().VolumeMM3/(hi-lo) {
			t.Errorf("%s at %g: grows by %g mm², the section is %g", name, level, slope, area)
		}
	}
}

// A box and the same box with a void in it: the void's volume is the difference
// at every level.
func TestProfileBoxIsRubberAndDisplaced(t *testing.T) {
	rng := rand.New(rand.NewPCG(11, 12))
	part := meshtest.TorusMesh(48, 24, 30, 10).Posed(anyPose(rng, 0))
	box := moved(meshtest.Box(120, 110, 100), r3.Vec{X: -60, Y: -55, Z: -50})
	rubber := &mesh.Mesh{Vertices: append(append([]r3.Vec{}, box.Vertices...), part.Vertices...), Faces: box.Faces}
	for _, f := range part.Faces {
		n := int32(len(box.Vertices))
		rubber.Faces = append(rubber.Faces, [3]int32{f[0] + n, f[2] + n, f[1] + n})
	}
	for _, up := range []r3.Vec{{Z: 1}, anyDirection(rng)} {
		whole := mesh.NewProfile(&mesh.Solid{Mesh: box}, up)
		displaced := mesh.NewProfile(&mesh.Solid{Mesh: part}, up)
		left := mesh.NewProfile(&mesh.Solid{Mesh: rubber}, up)
		lo, hi := whole.Range()
		for i := range 501 {
			level := lo + (hi-lo)*float64(i)/500
			near(t, fmt.Sprintf("rubber below %g", level), left.Below(level), whole.Below(level)-displaced.Below(level), 1e-11)
		}
	}
}

// Corners a hair apart must not divide nothing by nothing.
func TestProfileOfTinySteps(t *testing.T) {
	m := meshtest.Box(1, 1, 1)
	m.Vertices[1].Z, m.Vertices[2].Z = 1e-200, 1e-310
	p := mesh.NewProfile(&mesh.Solid{Mesh: m}, r3.Vec{Z: 1})
	for _, level := range []float64{1e-320, 1e-310, 5e-201, 1e-200, 1e-100, 0.5} {
		near(t, fmt.Sprintf("below %g", level), p.Below(level), level, 1e-14)
	}
}
