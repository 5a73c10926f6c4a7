package wall

import (
	"math"
	"math/rand"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

// On both sides of small shapes the ball is the largest that holds none of many
// points of the surface: for each point q the ball that touches p and q has the
// radius |q−p|²/(2·n·(q−p)), and the least of them is the ball's.
func TestShrinkBruteForce(t *testing.T) {
	rng := rand.New(rand.NewSource(11))
	for name, m := range map[string]*mesh.Mesh{
		"torus":  meshtest.TorusMesh(40, 20, 20, 8),
		"two":    meshtest.Together(meshtest.Icosphere(3).Scaled(10), meshtest.Moved(meshtest.Icosphere(3).Scaled(7), r3.Vec{X: 19, Y: 2, Z: -1})),
		"blocks": meshtest.Together(meshtest.Box(20, 10, 30), meshtest.Moved(meshtest.Box(8, 12, 5), r3.Vec{X: 3, Y: 13, Z: 9})),
	} {
		p := prober{m, mesh.NewTree(m)}
		points := dense(m, rng, 200_000)
		for range 60 {
			f := rng.Intn(len(m.Faces))
			n := r3.Unit(m.DoubleAreaNormal(f))
			at := randomOn(m, rng, f)
			if rng.Intn(2) == 0 {
				n = r3.Scale(-1, n)
			}
			const most = 25.0
			got, touch, touched := p.shrink(at, n, most)
			brute := most
			for _, q := range points {
				to := r3.Sub(q, at)
				if along := r3.Dot(n, to); along > 1e-6*r3.Norm(to) {
					brute = math.Min(brute, r3.Norm2(to)/(2*along))
				}
			}
			if got > brute*(1+1e-6) {
				t.Errorf("%s at %v: radius %v, but a ball of %v holds a point", name, at, got, brute)
			}
			if touched != (got < most) {
				t.Errorf("%s at %v: radius %v, touched %v", name, at, got, touched)
			}
			// Nor is it too small: it touches the surface at another point.
			middle := r3.Add(at, r3.Scale(got, n))
			if touched && (math.Abs(r3.Norm(r3.Sub(touch, middle))-got) > 1e-6*got || r3.Norm(r3.Sub(touch, at)) == 0 || !onSurface(m, touch)) {
				t.Errorf("%s at %v: touched at %v", name, at, touch)
			}
		}
	}
}

// onSurface tells whether a point is on a face, by the areas it makes with its
// sides.
func onSurface(m *mesh.Mesh, p r3.Vec) bool {
	for f := range m.Faces {
		a, b, c := m.Corners(f)
		whole := r3.Norm(m.DoubleAreaNormal(f))
		parts := 0.0
		for _, side := range [3][2]r3.Vec{{a, b}, {b, c}, {c, a}} {
			parts += r3.Norm(r3.Cross(r3.Sub(side[0], p), r3.Sub(side[1], p)))
		}
		if parts <= whole*(1+1e-9)+1e-12 {
			return true
		}
	}
	return false
}

func dense(m *mesh.Mesh, rng *rand.Rand, n int) []r3.Vec {
	total := m.Area()
	var points []r3.Vec
	for f := range m.Faces {
		share := r3.Norm(m.DoubleAreaNormal(f)) / 2 / total
		for range 1 + int(share*float64(n)) {
			points = append(points, randomOn(m, rng, f))
		}
	}
	return points
}

func randomOn(m *mesh.Mesh, rng *rand.Rand, f int) r3.Vec {
	u, v := rng.Float64(), rng.Float64()
	if u+v > 1 {
		u, v = 1-u, 1-v
	}
	a, b, c := m.Corners(f)
	return r3.Add(a, r3.Add(r3.Scale(u, r3.Sub(b, a)), r3.Scale(v, r3.Sub(c, a))))
}

// Samples stand for equal areas, whatever the faces: of a box cut at random
// each side gets its share of them.
func TestSamplesFollowArea(t *testing.T) {
	m := meshtest.Box(60, 20, 10)
	for range 3 {
		m = meshtest.Split(m)
	}
	uneven := &mesh.Mesh{Vertices: m.Vertices, Faces: append(append([][3]int32{}, m.Faces[300:]...), m.Faces[:300]...)}
	for _, m := range []*mesh.Mesh{meshtest.Box(60, 20, 10), m, uneven} {
		s := &survey{m: m}
		s.takeSamples()
		if len(s.samples) != mostSamples {
			t.Fatalf("%d samples", len(s.samples))
		}
		var top, half float64
		for _, x := range s.samples {
			if x.normal.Z > 0.5 {
				top += s.area
				if x.at.X < 30 {
					half += s.area
				}
			}
		}
		if math.Abs(top-1200) > 3 || math.Abs(half-600) > 12 {
			t.Errorf("top %v mm², its left half %v", top, half)
		}
	}
}

// Folded to half a circle over 30 mm, a web of 3 mm has its middle on a radius
// of 9.549 mm and its skin 1.5 mm off: 15.7 %.
func TestFoldStrain(t *testing.T) {
	if got := foldStrain(3, 30); got == nil || math.Abs(*got-1.5/9.549297) > 1e-6 {
		t.Errorf("strain %v", got)
	}
	if foldStrain(3, 5.9) != nil {
		t.Error("a stubby web folds")
	}
}
