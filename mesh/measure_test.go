package mesh_test

import (
	"math"
	"math/big"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

func measured(m *mesh.Mesh) mesh.Measures { return (&mesh.Solid{Mesh: m}).Measure() }

// near fails when got is farther from want than a relative tolerance.
func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol*math.Max(1, math.Abs(want))) {
		t.Errorf("%s = %.12g, want %.12g", what, got, want)
	}
}

func nearVec(t *testing.T, what string, got, want r3.Vec, tol float64) {
	t.Helper()
	if d := r3.Norm(r3.Sub(got, want)); !(d <= tol*math.Max(1, r3.Norm(want))) {
		t.Errorf("%s = %v, want %v", what, got, want)
	}
}

// stretched returns m with its coordinates multiplied by x, y and z.
func stretched(m *mesh.Mesh, x, y, z float64) *mesh.Mesh {
	out := &mesh.Mesh{Faces: m.Faces}
	for _, v := range m.Vertices {
		out.Vertices = append(out.Vertices, r3.Vec{X: x * v.X, Y: y * v.Y, Z: z * v.Z})
	}
	return out
}

// TestMeasurePolyhedra checks solids with flat faces, for which Measure is
// exact. Regular solids: closed forms in H. S. M. Coxeter, "Regular Polytopes",
// table I (from memory); the torus of n by m quads by Pappus' theorem; the
// spheres by an independent sum over inscribed tetrahedra.
func TestMeasurePolyhedra(t *testing.T) {
	ball := 4 * math.Pi / 3
	for _, c := range []struct {
		name         string
		m            *mesh.Mesh
		volume, area float64 // area 0: not known
		centroid     r3.Vec
	}{
		{"corner of the unit cube", meshtest.Tetra(), 1. / 6, 2.3660254038, r3.Vec{X: 0.25, Y: 0.25, Z: 0.25}},
		{"box", meshtest.Box(2, 3, 4), 24, 52, r3.Vec{X: 1, Y: 1.5, Z: 2}},
		{"tetrahedron", meshtest.Tetrahedron(), 0.1178511302, 1.7320508076, r3.Vec{}},
		{"octahedron", meshtest.Octahedron(), 0.4714045208, 3.4641016151, r3.Vec{}},
		{"dodecahedron", meshtest.Dodecahedron(), 7.6631189606, 20.6457288071, r3.Vec{}},
		{"icosahedron", meshtest.Icosahedron(), 2.1816949906, 8.6602540378, r3.Vec{}},
		{"torus 32×16", meshtest.TorusMesh(32, 16, 3, 1), 57.3372165507, 0, r3.Vec{}},
		{"torus 64×32", meshtest.TorusMesh(64, 32, 3, 1), 58.7433844838, 0, r3.Vec{}},
		{"torus 128×64", meshtest.TorusMesh(128, 64, 3, 1), 59.0988057010, 0, r3.Vec{}},
		{"ball of 320 faces", meshtest.Icosphere(2), ball * 0.9661607486, 0, r3.Vec{}},
		{"ball of 1280 faces", meshtest.Icosphere(3), ball * 0.9913938426, 0, r3.Vec{}},
		{"ball of 5120 faces", meshtest.Icosphere(4), ball * 0.9978391716, 4 * math.Pi * 0.9988050063, r3.Vec{}},
		{"ball of 20480 faces", meshtest.Icosphere(5), ball * 0.9994592101, 0, r3.Vec{}},
		{"frustum of 60 sides", meshtest.Frustum(60, 5, 3, 8), 410.5014401 * sides(60), 0, r3.Vec{Z: 3.3469388}},
		{"cone of 60 sides", meshtest.Cone(60, 5, 8), math.Pi * 25 * 8 / 3 * sides(60), 0, r3.Vec{Z: 2}},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := measured(c.m)
			near(t, "volume", got.VolumeMM3, c.volume, 2e-10)
			nearVec(t, "centroid", got.Centroid, c.centroid, 2e-8)
			if c.area > 0 {
				near(t, "area", got.AreaMM2, c.area, 1e-10)
			}
			near(t, "area of the surface alone", c.m.Area(), got.AreaMM2, 1e-14)
			if _, _, err := mesh.NewSolid(c.m); err != nil {
				t.Error("not a solid:", err)
			}
		})
	}
}

// sides is the area of a regular polygon of n sides by that of its circle.
func sides(n float64) float64 { return n / (2 * math.Pi) * math.Sin(2*math.Pi/n) }

// TestMeasureRoundSolids checks closed forms of round solids (solid geometry:
// CRC Standard Mathematical Tables, from memory; the triaxial ellipsoid's area
// by Legendre's elliptic integrals). The error of an inscribed mesh falls with
// the square of its edges, so two meshes give the limit.
func TestMeasureRoundSolids(t *testing.T) {
	ellipsoid := func(x, y, z float64) func(fine int) *mesh.Mesh {
		return func(fine int) *mesh.Mesh { return stretched(meshtest.Icosphere(4+fine), x, y, z) }
	}
	torus := func(fine int) *mesh.Mesh { return meshtest.TorusMesh(128<<fine, 64<<fine, 3, 1) }
	bulge := func(from float64) func(fine int) *mesh.Mesh { // sphere of radius 10, cut at height from
		return func(fine int) *mesh.Mesh { return cap10(from, 64<<fine) }
	}
	axis := 577.3718575
	for _, c := range []struct {
		name         string
		m            func(fine int) *mesh.Mesh
		volume, area float64
		tall         float64 // height of the centroid
		inertia      [2]float64
	}{
		{"torus", torus, 59.2176264065, 118.4352528131, 0, [2]float64{303.4903353, axis}},
		{"ellipsoid 3, 2, 1", ellipsoid(3, 2, 1), 25.1327412287, 48.8821463, 0, [2]float64{25.1327412287, 25.1327412287 * 13 / 5}},
		{"prolate 1, 1, 2", ellipsoid(1, 1, 2), 8.3775804096, 21.4784353279, 0, [2]float64{8.3775804096, 8.3775804096 * 2 / 5}},
		{"cap of height 3", bulge(7), 254.4690049, 188.4955592 + 51*math.Pi, 8.0277778, [2]float64{}},
		{"half ball", bulge(0), 2000 * math.Pi / 3, 300 * math.Pi, 3.75, [2]float64{}},
	} {
		t.Run(c.name, func(t *testing.T) {
			coarse, fine := measured(c.m(0)), measured(c.m(1))
			limit := func(of func(m mesh.Measures) float64) float64 { return (4*of(fine) - of(coarse)) / 3 }
			const tol = 2e-6
			near(t, "volume", limit(func(m mesh.Measures) float64 { return m.VolumeMM3 }), c.volume, tol)
			near(t, "area", limit(func(m mesh.Measures) float64 { return m.AreaMM2 }), c.area, tol)
			near(t, "centroid", limit(func(m mesh.Measures) float64 { return m.Centroid.Z }), c.tall, tol)
			if c.inertia[0] > 0 {
				near(t, "inertia about x", limit(func(m mesh.Measures) float64 { return m.Inertia[0][0] }), c.inertia[0], tol)
				near(t, "inertia about z", limit(func(m mesh.Measures) float64 { return m.Inertia[2][2] }), c.inertia[1], tol)
			}
		})
	}
}

// cap10 returns what a sphere of radius 10 has above a height, of n sides.
func cap10(from float64, n int) *mesh.Mesh {
	profile := []r2.Vec{{Y: from}}
	low := math.Asin(from / 10)
	for i := range n / 4 {
		sin, cos := math.Sincos(low + (math.Pi/2-low)*float64(i)/float64(n/4))
		profile = append(profile, r2.Vec{X: 10 * cos, Y: 10 * sin})
	}
	return meshtest.Lathe(append(profile, r2.Vec{Y: 10}), n)
}

// TestInertia checks full tensors: a box by textbook, a tetrahedron by Tonon,
// "Explicit exact formulas for the 3-D tetrahedron inertia tensor", Journal of
// Mathematics and Statistics 1(1), 2005 (from memory).
func TestInertia(t *testing.T) {
	for _, c := range []struct {
		name           string
		m              *mesh.Mesh
		centre, origin [3][3]float64
	}{
		{"box", meshtest.Box(2, 3, 4), [3][3]float64{{50, 0, 0}, {0, 40, 0}, {0, 0, 26}},
			[3][3]float64{{200, -36, -48}, {-36, 160, -72}, {-48, -72, 104}}},
		{"tetrahedron", meshtest.Tetra(), [3][3]float64{{1. / 80, 1. / 480, 1. / 480}, {1. / 480, 1. / 80, 1. / 480}, {1. / 480, 1. / 480, 1. / 80}},
			[3][3]float64{{1. / 30, -1. / 120, -1. / 120}, {-1. / 120, 1. / 30, -1. / 120}, {-1. / 120, -1. / 120, 1. / 30}}},
	} {
		got := measured(c.m)
		o, v := got.Centroid, got.VolumeMM3
		p := [3]float64{o.X, o.Y, o.Z}
		for i := range 3 {
			for j := range 3 {
				near(t, c.name, got.Inertia[i][j], c.centre[i][j], 1e-14)
				parallel := -v * p[i] * p[j] // the parallel axis theorem
				if i == j {
					parallel += v * r3.Norm2(o)
				}
				near(t, c.name+" about the origin", got.Inertia[i][j]+parallel, c.origin[i][j], 1e-14)
			}
		}
	}
}

// noisy returns m with every coordinate shaken and rounded to float32, as in a
// scan, then scaled and moved.
func noisy(m *mesh.Mesh, noise, scale float64, offset r3.Vec) *mesh.Mesh {
	random := rand.New(rand.NewPCG(1, 2))
	out := &mesh.Mesh{Faces: m.Faces}
	shake := func(x, offset float64) float64 {
		return scale*float64(float32(x+noise*(random.Float64()-0.5))) + offset
	}
	for _, v := range m.Vertices {
		out.Vertices = append(out.Vertices, r3.Vec{X: shake(v.X, offset.X), Y: shake(v.Y, offset.Y), Z: shake(v.Z, offset.Z)})
	}
	return out
}

// exactVolume is six times the volume in units of 2⁻⁴⁸⁰ mm³, in integers: the
// coordinates as they are, without any rounding.
func exactVolume(m *mesh.Mesh) *big.Rat {
	const bits = 160
	whole := func(x float64) *big.Int {
		f := new(big.Float).SetMantExp(big.NewFloat(x), bits)
		i, accuracy := f.Int(nil)
		if accuracy != big.Exact {
			panic("coordinate too fine")
		}
		return i
	}
	sum := new(big.Int)
	mul := func(a, b, c *big.Int, sign int64) {
		p := new(big.Int).Mul(a, b)
		p.Mul(p, c)
		sum.Add(sum, p.Mul(p, big.NewInt(sign)))
	}
	for f := range m.Faces {
		var p [3][3]*big.Int
		for i, v := range m.Faces[f] {
			q := m.Vertices[v]
			p[i] = [3]*big.Int{whole(q.X), whole(q.Y), whole(q.Z)}
		}
		for i := range 3 {
			j, k := (i+1)%3, (i+2)%3
			mul(p[0][i], p[1][j], p[2][k], 1)
			mul(p[0][i], p[1][k], p[2][j], -1)
		}
	}
	unit := new(big.Int).Lsh(big.NewInt(6), 3*bits)
	return new(big.Rat).SetFrac(sum, unit)
}

// TestVolumeAgainstExact holds the volume against exact rational arithmetic on
// the very same coordinates, at the origin and 10 m away.
func TestVolumeAgainstExact(t *testing.T) {
	plate := meshtest.Split(meshtest.Split(meshtest.Split(meshtest.Box(300, 200, 0.1))))
	turn := mesh.PoseDown(r3.Unit(r3.Vec{X: 1, Y: 2, Z: -3}))
	for _, c := range []struct {
		name  string
		m     *mesh.Mesh
		noise float64
	}{
		{"noisy ball", meshtest.Icosphere(5).Scaled(50), 0.2},
		{"torus", meshtest.TorusMesh(128, 64, 40, 10), 0},
		{"thin plate", plate, 0},
		{"thin plate aslant", plate.Posed(turn), 0},
		{"noisy thin plate aslant", plate.Posed(turn), 0.01},
		{"noisy box", meshtest.Split(meshtest.Box(60, 80, 100)), 1},
	} {
		for _, scale := range []float64{1, 25.4} {
			for _, offset := range []r3.Vec{{}, {X: 10000, Y: -10000, Z: 10000}, {X: 1.0 / 3}} {
				m := noisy(c.m, c.noise, scale, offset)
				exact := exactVolume(m)
				got := new(big.Rat).SetFloat64(measured(m).VolumeMM3)
				off, _ := got.Quo(got.Sub(got, exact), exact).Float64()
				if !(math.Abs(off) <= 1e-12) {
					t.Errorf("%s, scale %g, at %v: volume off by %.2g", c.name, scale, offset, off)
				}
			}
		}
	}
}

// TestMeasureLaws checks what turning, moving, scaling, splitting faces and
// their order do to the measures.
func TestMeasureLaws(t *testing.T) {
	m := noisy(meshtest.TorusMesh(40, 20, 40, 12), 1, 1, r3.Vec{X: 5})
	want := measured(m)
	random := rand.New(rand.NewPCG(3, 4))
	shuffled := &mesh.Mesh{Vertices: m.Vertices, Faces: slices.Clone(m.Faces)}
	random.Shuffle(len(m.Faces), func(i, j int) {
		shuffled.Faces[i], shuffled.Faces[j] = shuffled.Faces[j], shuffled.Faces[i]
	})
	pose := mesh.PoseDown(r3.Unit(r3.Vec{X: 0.3, Y: -0.8, Z: 0.2}))
	pose.T = r3.Vec{X: 100, Y: 200, Z: -300}
	for _, c := range []struct {
		name  string
		m     *mesh.Mesh
		scale float64
		move  func(r3.Vec) r3.Vec
	}{
		{"order of faces", shuffled, 1, func(v r3.Vec) r3.Vec { return v }},
		{"faces split", meshtest.Split(m), 1, func(v r3.Vec) r3.Vec { return v }},
		{"scaled", m.Scaled(25.4), 25.4, func(v r3.Vec) r3.Vec { return r3.Scale(25.4, v) }},
		{"turned and moved", m.Posed(pose), 1, pose.Point},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := measured(c.m)
			near(t, "volume", got.VolumeMM3, want.VolumeMM3*math.Pow(c.scale, 3), 1e-13)
			near(t, "area", got.AreaMM2, want.AreaMM2*c.scale*c.scale, 1e-13)
			nearVec(t, "centroid", got.Centroid, c.move(want.Centroid), 1e-13)
			trace := func(m mesh.Measures) float64 { return m.Inertia[0][0] + m.Inertia[1][1] + m.Inertia[2][2] }
			near(t, "trace of inertia", trace(got), trace(want)*math.Pow(c.scale, 5), 1e-13)
		})
	}
}

// TestMeasureComesWithTheCheck holds what a solid knows from being checked against
// the same measured anew, digit for digit; also where the check left faces out or
// turned them, so that it knows nothing.
func TestMeasureComesWithTheCheck(t *testing.T) {
	rng := rand.New(rand.NewPCG(57, 58))
	torus := meshtest.TorusMesh(300, 100, 30, 10).Posed(anyPose(rng, 100))
	insideOut, collapsed := &mesh.Mesh{Vertices: torus.Vertices}, &mesh.Mesh{Vertices: torus.Vertices}
	for i, f := range torus.Faces {
		insideOut.Faces = append(insideOut.Faces, [3]int32{f[0], f[2], f[1]})
		collapsed.Faces = append(collapsed.Faces, f)
		if i%1000 == 0 {
			collapsed.Faces = append(collapsed.Faces, [3]int32{f[0], f[0], f[1]})
		}
	}
	for name, m := range map[string]*mesh.Mesh{"torus": torus, "inside out": insideOut, "collapsed": collapsed, "box": meshtest.Box(1, 2, 3)} {
		solid, _, err := mesh.NewSolid(m)
		if err != nil {
			t.Fatal(name, err)
		}
		if got, want := solid.Measure(), measured(solid.Mesh); got != want || got.VolumeMM3 <= 0 {
			t.Errorf("%s: %+v, measured anew %+v", name, got, want)
		}
	}
}
