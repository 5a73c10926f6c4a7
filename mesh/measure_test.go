package mesh_test

import (
	"math"
	"math/big"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

// solidOf checks m and fails the test when it is not a sound solid.
func solidOf(t testing.TB, m *mesh.Mesh) *mesh.Solid {
	t.Helper()
	s, report, err := mesh.NewSolid(m)
	if err != nil {
		t.Fatalf("not a solid: %v %+v", err, report.Problems)
	}
	return s
}

// near fails the test when got differs from want by more than relative, of want
// or of 1 where want is smaller.
func near(t testing.TB, what string, got, want, relative float64) {
	t.Helper()
	if !(math.Abs(got-want) <= relative*max(1, math.Abs(want))) {
		t.Errorf("%s is %.12g, want %.12g (off by %.2g)", what, got, want, got-want)
	}
}

// mapped returns m with every vertex replaced.
func mapped(m *mesh.Mesh, place func(p r3.Vec) r3.Vec) *mesh.Mesh {
	out := &mesh.Mesh{Vertices: make([]r3.Vec, len(m.Vertices)), Faces: m.Faces}
	for i, p := range m.Vertices {
		out.Vertices[i] = place(p)
	}
	return out
}

func stretched(m *mesh.Mesh, x, y, z float64) *mesh.Mesh {
	return mapped(m, func(p r3.Vec) r3.Vec { return r3.Vec{X: x * p.X, Y: y * p.Y, Z: z * p.Z} })
}

func moved(m *mesh.Mesh, by r3.Vec) *mesh.Mesh {
	return mapped(m, func(p r3.Vec) r3.Vec { return r3.Add(p, by) })
}

// shaken returns m with a little noise on every coordinate, from a fixed seed.
func shaken(m *mesh.Mesh, size float64) *mesh.Mesh {
	rng := rand.New(rand.NewPCG(3, 4))
	return mapped(m, func(p r3.Vec) r3.Vec {
		return r3.Add(p, r3.Scale(size, r3.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()}))
	})
}

// Area and volume of a regular polygon's solids with n sides and circumradius
// r: plane geometry.
func polygonArea(n int, r float64) float64 {
	return float64(n) / 2 * r * r * math.Sin(2*math.Pi/float64(n))
}

func frustumVolume(n int, r, top, h float64) float64 {
	return polygonArea(n, 1) * h / 3 * (r*r + r*top + top*top)
}

func frustumArea(n int, r, top, h float64) float64 {
	angle := math.Pi / float64(n)
	slant := math.Hypot(h, (r-top)*math.Cos(angle))
	return polygonArea(n, r) + polygonArea(n, top) + float64(n)*math.Sin(angle)*(r+top)*slant
}

// torusVolume is the volume of the polyhedron TorusMesh: Pappus's theorem for
// the polygon of the tube, times the polygon's share of the circle it runs on.
func torusVolume(n, m int, R, r float64) float64 {
	return 2 * R * polygonArea(n, 1) * polygonArea(m, r)
}

func TestMeasureKnownSolids(t *testing.T) {
	root := math.Sqrt
	ball := 4 * math.Pi / 3
	for _, c := range []struct {
		name         string
		mesh         *mesh.Mesh
		volume, area float64
	}{
		// Closed forms of elementary geometry.
		{"corner of a cube", meshtest.Tetra(), 1. / 6, (3 + root(3)) / 2},
		{"box 2×3×4", meshtest.Box(2, 3, 4), 24, 52},
		{"thin plate", meshtest.Box(200, 200, 1), 40000, 80800},
		// Regular solids of edge 1: Weisstein, "Platonic solid", MathWorld (from memory).
		{"tetrahedron", meshtest.Tetrahedron(), root(2) / 12, root(3)},
		{"tetrahedron, digits", meshtest.Tetrahedron(), 0.1178511302, 1.7320508076},
		{"octahedron", meshtest.Octahedron(), root(2) / 3, 2 * root(3)},
		{"octahedron, digits", meshtest.Octahedron(), 0.4714045208, 3.4641016151},
		{"icosahedron", meshtest.Icosahedron(), 5 * (3 + root(5)) / 12, 5 * root(3)},
		{"icosahedron, digits", meshtest.Icosahedron(), 2.1816949906, 8.6602540378},
		{"dodecahedron", meshtest.Dodecahedron(), (15 + 7*root(5)) / 4, 3 * root(25+10*root(5))},
		{"dodecahedron, digits", meshtest.Dodecahedron(), 7.6631189606, 20.6457288071},
		// Pappus's theorem on polygons; the digits from a script of its own.
		{"torus 32×16", meshtest.TorusMesh(32, 16, 3, 1), torusVolume(32, 16, 3, 1), math.NaN()},
		{"torus 32×16, digits", meshtest.TorusMesh(32, 16, 3, 1), 57.3372165507, math.NaN()},
		{"torus 64×32, digits", meshtest.TorusMesh(64, 32, 3, 1), 58.7433844838, math.NaN()},
		{"torus 128×64, digits", meshtest.TorusMesh(128, 64, 3, 1), 59.0988057010, math.NaN()},
		// Shares of the ball that icospheres fill, from a script of its own.
		{"icosphere 2", meshtest.Icosphere(2), 0.9661607486 * ball, math.NaN()},
		{"icosphere 3", meshtest.Icosphere(3), 0.9913938426 * ball, math.NaN()},
		{"icosphere 4", meshtest.Icosphere(4), 0.9978391716 * ball, 0.9988050063 * 4 * math.Pi},
		{"icosphere 5", meshtest.Icosphere(5), 0.9994592101 * ball, math.NaN()},
		// Prisms and pyramids of n sides.
		{"cylinder of 64 sides", meshtest.Cylinder(64, 3, 10), frustumVolume(64, 3, 3, 10), frustumArea(64, 3, 3, 10)},
		{"cone of 48 sides", meshtest.Cone(48, 5, 12), frustumVolume(48, 5, 0, 12), frustumArea(48, 5, 0, 12)},
		{"frustum of 96 sides", meshtest.Frustum(96, 5, 3, 8), frustumVolume(96, 5, 3, 8), frustumArea(96, 5, 3, 8)},
		// Affine image of the ball: det = 6.
		{"ellipsoid 3, 2, 1", stretched(meshtest.Icosphere(5), 3, 2, 1), 0.9994592101 * 25.1327412287, math.NaN()},
	} {
		s := solidOf(t, c.mesh)
		got := s.Measure()
		near(t, c.name+": volume", got.VolumeMM3, c.volume, 1e-10)
		if !math.IsNaN(c.area) {
			near(t, c.name+": area", got.AreaMM2, c.area, 1e-10)
		}
		near(t, c.name+": area of the mesh", s.Area(), got.AreaMM2, 1e-14)
	}
}

// Fine meshes approach the curved solids, by the square of their edges: the
// values of two levels, extrapolated, must meet the closed form.
func TestMeasureApproachesCurvedSolids(t *testing.T) {
	for _, c := range []struct {
		name              string
		fine, coarse      *mesh.Mesh // edges of half, and whole, length
		volume, area      float64
		toVolume, toArea  float64
		inertiaZ, toInert float64
	}{
		{"torus", meshtest.TorusMesh(256, 128, 3, 1), meshtest.TorusMesh(128, 64, 3, 1),
			59.2176264065, 118.4352528131, 1e-6, 1e-6, 577.3718575, 1e-5}, // V(R² + ¾r²)
		{"ball", meshtest.Icosphere(5), meshtest.Icosphere(4),
			4 * math.Pi / 3, 4 * math.Pi, 1e-5, 1e-5, 8 * math.Pi / 15, 1e-5},
		// Elliptic integrals; Thomsen's formula, from memory, gives the area to 0.2 %.
		{"ellipsoid 3, 2, 1", stretched(meshtest.Icosphere(6), 3, 2, 1), stretched(meshtest.Icosphere(5), 3, 2, 1),
			25.1327412287, 48.8821463, 1e-5, 1e-5, 25.1327412287 * 13 / 5, 1e-5},
		{"prolate 1, 1, 2", stretched(meshtest.Icosphere(6), 1, 1, 2), stretched(meshtest.Icosphere(5), 1, 1, 2),
			8.3775804096, 21.4784353279, 1e-5, 1e-5, 8.3775804096 * 2 / 5, 1e-5},
		{"frustum", meshtest.Frustum(512, 5, 3, 8), meshtest.Frustum(256, 5, 3, 8),
			410.5014401, 207.2498935 + 34*math.Pi, 1e-8, 1e-8, math.NaN(), 0},
	} {
		fine, coarse := solidOf(t, c.fine).Measure(), solidOf(t, c.coarse).Measure()
		limit := func(fine, coarse float64) float64 { return (4*fine - coarse) / 3 }
		near(t, c.name+": volume", limit(fine.VolumeMM3, coarse.VolumeMM3), c.volume, c.toVolume)
		near(t, c.name+": area", limit(fine.AreaMM2, coarse.AreaMM2), c.area, c.toArea)
		if !math.IsNaN(c.inertiaZ) {
			near(t, c.name+": inertia", limit(fine.Inertia[2][2], coarse.Inertia[2][2]), c.inertiaZ, c.toInert)
		}
	}
}

// aboutOrigin moves an inertia from the centroid to the origin: Steiner's
// parallel axis theorem.
func aboutOrigin(m mesh.Measures) [3][3]float64 {
	c := [3]float64{m.Centroid.X, m.Centroid.Y, m.Centroid.Z}
	out := m.Inertia
	for i := range 3 {
		for j := range 3 {
			out[i][j] -= m.VolumeMM3 * c[i] * c[j]
			if i == j {
				out[i][j] += m.VolumeMM3 * r3.Norm2(m.Centroid)
			}
		}
	}
	return out
}

func TestMeasureCentroidAndInertia(t *testing.T) {
	const n = 20
	prism := polygonArea(n, 3) * 10
	// Second moment of a regular polygon about its middle: ½·A·r²(1 − ⅔·sin²(π/n)).
	polar := prism / 2 * 9 * (1 - 2./3*math.Pow(math.Sin(math.Pi/n), 2))
	flat := polar/2 + prism*100/12
	for _, c := range []struct {
		name            string
		mesh            *mesh.Mesh
		centroid        r3.Vec
		central, origin [3][3]float64
	}{
		{"corner of a cube", meshtest.Tetra(), r3.Vec{X: 0.25, Y: 0.25, Z: 0.25},
			symmetric(1./80, 1./80, 1./80, 1./480, 1./480, 1./480),
			symmetric(1./30, 1./30, 1./30, -1./120, -1./120, -1./120)},
		{"box 2×3×4", meshtest.Box(2, 3, 4), r3.Vec{X: 1, Y: 1.5, Z: 2},
			symmetric(50, 40, 26, 0, 0, 0), symmetric(200, 160, 104, -36, -48, -72)},
		{"cylinder of 20 sides", meshtest.Cylinder(n, 3, 10), r3.Vec{Z: 5},
			symmetric(flat, flat, polar, 0, 0, 0), symmetric(flat+25*prism, flat+25*prism, polar, 0, 0, 0)},
	} {
		got := solidOf(t, c.mesh).Measure()
		if d := r3.Norm(r3.Sub(got.Centroid, c.centroid)); d > 1e-14*10 {
			t.Errorf("%s: centroid %v, want %v", c.name, got.Centroid, c.centroid)
		}
		origin := aboutOrigin(got)
		size := c.origin[0][0] // what rounding is measured against
		for i := range 3 {
			for j := range 3 {
				near(t, c.name+": inertia about the centroid", got.Inertia[i][j]/size, c.central[i][j]/size, 1e-14)
				near(t, c.name+": inertia about the origin", origin[i][j]/size, c.origin[i][j]/size, 1e-14)
			}
		}
	}
	// Frustum h/4·(R² + 2Rr + 3r²)/(R² + Rr + r²) above its base, cone h/4: for
	// any number of sides.
	near(t, "frustum: centroid", solidOf(t, meshtest.Frustum(7, 5, 3, 8)).Measure().Centroid.Z, 3.3469388, 1e-8)
	near(t, "cone: centroid", solidOf(t, meshtest.Cone(9, 5, 8)).Measure().Centroid.Z, 2, 1e-13)
}

// symmetric returns a matrix from its diagonal and its xy, xz and yz.
func symmetric(xx, yy, zz, xy, xz, yz float64) [3][3]float64 {
	return [3][3]float64{{xx, xy, xz}, {xy, yy, yz}, {xz, yz, zz}}
}

// whole returns x·2²⁰⁰ as a whole number, which it is for every coordinate here.
func whole(t testing.TB, x float64) *big.Int {
	i, accuracy := new(big.Float).SetMantExp(big.NewFloat(x), 200).Int(nil)
	if accuracy != big.Exact {
		t.Fatalf("%g is too fine for exact arithmetic", x)
	}
	return i
}

// exactVolume is Σ a·(b×c)/6 in exact arithmetic on the mesh's coordinates.
func exactVolume(t testing.TB, m *mesh.Mesh) *big.Rat {
	vertices := make([][3]*big.Int, len(m.Vertices))
	for i, p := range m.Vertices {
		vertices[i] = [3]*big.Int{whole(t, p.X), whole(t, p.Y), whole(t, p.Z)}
	}
	sum, x, y := new(big.Int), new(big.Int), new(big.Int)
	for _, f := range m.Faces {
		a, b, c := vertices[f[0]], vertices[f[1]], vertices[f[2]]
		for i := range 3 {
			j, k := (i+1)%3, (i+2)%3
			x.Sub(x.Mul(b[j], c[k]), y.Mul(b[k], c[j]))
			sum.Add(sum, x.Mul(x, a[i]))
		}
	}
	return new(big.Rat).SetFrac(sum, new(big.Int).Lsh(big.NewInt(6), 600))
}

// The volume is right to 1e-12 for the very coordinates given, wherever the part
// sits: against exact rational arithmetic.
func TestMeasureAgainstExactArithmetic(t *testing.T) {
	shapes := map[string]*mesh.Mesh{
		"noisy ball":  shaken(meshtest.Icosphere(4), 0.002).Scaled(60),
		"noisy torus": shaken(meshtest.TorusMesh(96, 48, 3, 1), 0.003).Scaled(20),
		"thin plate":  meshtest.Split(meshtest.Split(meshtest.Split(meshtest.Box(200, 200, 1)))),
		"noisy plate": shaken(meshtest.Split(meshtest.Split(meshtest.Split(meshtest.Box(200, 200, 1)))), 0.01),
	}
	const far = 1e4 // mm
	worst := 0.0
	for name, shape := range shapes {
		for _, offset := range []r3.Vec{{}, {X: far}, {Y: far}, {Z: -far}, {X: far, Y: -far, Z: far}} {
			for _, scale := range []float64{1, 25.4} {
				m := moved(shape, offset).Scaled(scale)
				exact := exactVolume(t, m)
				got := (&mesh.Solid{Mesh: m}).Measure().VolumeMM3
				diff := new(big.Rat).SetFloat64(got)
				diff.Quo(diff.Sub(diff, exact), exact)
				e, _ := diff.Float64()
				worst = max(worst, math.Abs(e))
				if math.Abs(e) > 1e-12 {
					t.Errorf("%s at %v ×%g: volume off by %.2g", name, offset, scale, e)
				}
			}
		}
	}
	t.Logf("largest relative error %.2g", worst)
}
