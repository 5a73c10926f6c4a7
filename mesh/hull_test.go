package mesh_test

import (
	"errors"
	"fmt"
	"maps"
	"math"
	"math/big"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

// side3 is the exact sign of (b−a)×(c−a)·(p−a).
func side3(a, b, c, p r3.Vec) int {
	var m [3][3]*big.Float
	for i, q := range [3]r3.Vec{b, c, p} {
		m[i] = [3]*big.Float{exactly(q.X, a.X), exactly(q.Y, a.Y), exactly(q.Z, a.Z)}
	}
	sum := new(big.Float)
	for i := range 3 {
		j, k := (i+1)%3, (i+2)%3
		minor := new(big.Float).Mul(m[0][j], m[1][k])
		minor.Sub(minor, new(big.Float).Mul(m[0][k], m[1][j]))
		sum.Add(sum, minor.Mul(minor, m[2][i]))
	}
	return sum.Sign()
}

// exactly returns x−y with bits enough for any product of three.
func exactly(x, y float64) *big.Float {
	d := new(big.Float).SetPrec(7000).SetFloat64(x)
	return d.Sub(d, new(big.Float).SetFloat64(y))
}

// checkHull fails unless the hull is closed, convex in exact arithmetic, made of
// the points given and contains them (the first 500). A closed
// surface that bends inward nowhere and is wound once around is convex.
func checkHull(t *testing.T, name string, hull *mesh.Mesh, points []r3.Vec) {
	t.Helper()
	type edge [2]int32
	opposite := make(map[edge]int32)
	for _, f := range hull.Faces {
		for i := range 3 {
			e := edge{f[i], f[(i+1)%3]}
			if _, twice := opposite[e]; twice {
				t.Fatalf("%s: edge %v is used twice the same way", name, e)
			}
			opposite[e] = f[(i+2)%3]
		}
	}
	used := make([]bool, len(hull.Vertices))
	for f, corners := range hull.Faces {
		a, b, c := hull.Corners(f)
		for i, v := range corners {
			used[v] = true
			apex, closed := opposite[edge{corners[(i+1)%3], v}]
			if !closed {
				t.Fatalf("%s: not closed at %v", name, v)
			}
			if side3(a, b, c, hull.Vertices[apex]) > 0 {
				t.Fatalf("%s: bends inward at edge %v %v", name, v, corners[(i+1)%3])
			}
		}
	}
	if v, e, f := len(hull.Vertices), len(opposite)/2, len(hull.Faces); v-e+f != 2 || slices.Contains(used, false) {
		t.Fatalf("%s: %d vertices, %d edges, %d faces are no sphere", name, v, e, f)
	}
	given := make(map[r3.Vec]bool)
	for _, p := range points {
		given[p] = true
	}
	for _, p := range hull.Vertices {
		if !given[p] {
			t.Fatalf("%s: %v is none of the points", name, p)
		}
	}
	checkInside(t, name, hull, points, 500)
}

// checkInside fails when one of the first points is outside.
func checkInside(t *testing.T, name string, hull *mesh.Mesh, points []r3.Vec, count int) {
	t.Helper()
	b := mesh.BoundsOf(points)
	size := r3.Norm(r3.Sub(b.Max, b.Min))
	tol := 1e-12*size + 2e-15*(r3.Norm(b.Min)+r3.Norm(b.Max))
	for f := range hull.Faces {
		a, b, c := hull.Corners(f)
		n := r3.Cross(r3.Sub(b, a), r3.Sub(c, a))
		area := r3.Norm(n)
		if longest := max(r3.Norm(r3.Sub(b, a)), r3.Norm(r3.Sub(c, b)), r3.Norm(r3.Sub(a, c))); area < 1e-5*size*longest {
			continue // rounding spoils a sliver's normal; its neighbours hold the points
		}
		n = r3.Scale(1/area, n)
		for _, p := range points[:min(count, len(points))] {
			if d := r3.Dot(n, r3.Sub(p, a)); d > tol {
				t.Fatalf("%s: %v is %.2g outside", name, p, d)
			}
		}
	}
}

func TestHullKnownSolids(t *testing.T) {
	rng := rand.New(rand.NewPCG(51, 52))
	steinmetz := func() (points []r3.Vec) { // two crossed cylinders of radius 1: convex
		for range 20000 {
			x, y := 2*rng.Float64()-1, 2*rng.Float64()-1
			z := math.Sqrt(1 - max(x*x, y*y))
			points = append(points, r3.Vec{X: x, Y: y, Z: z}, r3.Vec{X: x, Y: y, Z: -z})
		}
		return points
	}
	for _, c := range []struct {
		name     string
		points   []r3.Vec
		corners  int
		volume   float64
		relative float64
	}{
		// Closed forms of elementary geometry.
		{"tetrahedron", meshtest.Tetrahedron().Vertices, 4, math.Sqrt2 / 12, 1e-14},
		{"box", meshtest.Box(2, 3, 4).Vertices, 8, 24, 1e-14},
		{"octahedron", meshtest.Octahedron().Vertices, 6, math.Sqrt2 / 3, 1e-14},
		{"icosahedron", meshtest.Icosahedron().Vertices, 12, 5 * (3 + math.Sqrt(5)) / 12, 1e-14},
		{"dodecahedron", meshtest.Dodecahedron().Vertices, 20, (15 + 7*math.Sqrt(5)) / 4, 1e-14},
		{"ball of 20480 faces", meshtest.Icosphere(5).Vertices, 10242, 0.9994592101 * 4 * math.Pi / 3, 1e-10},
		{"cylinder", meshtest.Cylinder(64, 3, 10).Vertices, 128, frustumVolume(64, 3, 3, 10), 1e-13},
		{"two crossed cylinders", steinmetz(), 0, 16. / 3, 2e-3},
		// The hull of a torus is what a stadium sweeps: a disc of the tube's
		// height within and the outer half of the tube around (Pappus).
		{"torus", meshtest.TorusMesh(512, 128, 3, 1).Vertices, 0, 2*math.Pi*9 + math.Pi*math.Pi*3 + 4*math.Pi/3, 5e-4},
	} {
		for _, pose := range []mesh.Pose{anyPose(rng, 0), anyPose(rng, 10)} {
			points := (&mesh.Mesh{Vertices: c.points}).Posed(pose).Vertices
			hull, err := mesh.Hull(points)
			if err != nil {
				t.Fatalf("%s: %v", c.name, err)
			}
			if c.corners > 0 && len(hull.Vertices) != c.corners {
				t.Errorf("%s: %d corners, want %d", c.name, len(hull.Vertices), c.corners)
			}
			near(t, c.name+" volume", solidOf(t, hull).Measure().VolumeMM3, c.volume, c.relative)
			if len(hull.Vertices) < 1000 {
				checkHull(t, c.name, hull, points)
			}
		}
	}
}

// Points of flat sides and straight edges are no corners, where coordinates are
// exact.
func TestHullDropsPointsOfFlatSides(t *testing.T) {
	for name, m := range map[string]*mesh.Mesh{
		"cube":       meshtest.Box(8, 8, 8),
		"octahedron": stretched(meshtest.Octahedron(), 64*math.Sqrt2, 64*math.Sqrt2, 64*math.Sqrt2),
	} {
		want := len(m.Vertices)
		for i, v := range m.Vertices { // to whole numbers
			m.Vertices[i] = r3.Vec{X: math.Round(v.X), Y: math.Round(v.Y), Z: math.Round(v.Z)}
		}
		for range 6 {
			m = meshtest.Split(m)
			points := slices.Clone(m.Vertices)
			rand.New(rand.NewPCG(1, 2)).Shuffle(len(points), func(i, j int) { points[i], points[j] = points[j], points[i] })
			hull, err := mesh.Hull(points)
			if err != nil || len(hull.Vertices) != want {
				t.Fatalf("%s of %d points: %d corners, want %d (%v)", name, len(points), len(hull.Vertices), want, err)
			}
			checkHull(t, name, hull, points)
		}
	}
}

func TestHullOfFlatPoints(t *testing.T) {
	rng := rand.New(rand.NewPCG(53, 54))
	line, plane := make([]r3.Vec, 50), make([]r3.Vec, 20000)
	for i := range line {
		line[i] = r3.Vec{X: float64(i), Y: 2 * float64(i), Z: -float64(i)}
	}
	for i := range plane {
		plane[i] = r3.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64()}
	}
	pose := anyPose(rng, 1e4)
	for name, points := range map[string][]r3.Vec{
		"nothing": nil, "one": line[:1], "two": line[:2], "three": plane[:3],
		"line": line, "four of a plane": plane[:4], "plane": plane,
		"one place": slices.Repeat(line[3:4], 30000), "two places": slices.Repeat(line[3:5], 20),
		"turned plane": (&mesh.Mesh{Vertices: plane}).Posed(pose).Vertices,
		"not numbers":  {{X: math.NaN()}, {Y: 1}, {Z: 1}, {X: 1}, {X: 2}},
		"endless":      {{X: math.Inf(1)}, {Y: 1}, {Z: 1}, {X: 1}, {X: 2}},
	} {
		if hull, err := mesh.Hull(points); !errors.Is(err, mesh.ErrFlat) {
			t.Errorf("%s: got %v, %v", name, hull, err)
		}
	}
	// A single point off the plane is enough, wherever it is in the list.
	for _, at := range []int{0, 777, len(plane) - 1} {
		points := slices.Clone(plane)
		points[at] = r3.Vec{Z: 0.5}
		hull, err := mesh.Hull(points)
		if err != nil || !slices.Contains(hull.Vertices, points[at]) {
			t.Errorf("tip at %d: %v", at, err)
		}
	}
}

// spaceSets are random sets, many of them nasty for a hull.
func spaceSets(rng *rand.Rand, n int) map[string][]r3.Vec {
	sets := make(map[string][]r3.Vec)
	ico := meshtest.Icosahedron().Scaled(40).Vertices
	for range n {
		d, g := anyDirection(rng), r3.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()}
		tiny := math.Pow(10, -8-8*rng.Float64())
		lattice := r3.Vec{X: float64(rng.IntN(7)), Y: float64(rng.IntN(6)), Z: float64(rng.IntN(5))}
		add := func(name string, p r3.Vec) { sets[name] = append(sets[name], p) }
		add("cloud", r3.Scale(30, g))
		add("ball", r3.Scale(30, d))
		add("noisy ball", r3.Scale(30+1e-9*g.X, d))
		add("far ball", r3.Add(r3.Scale(30, d), r3.Vec{X: 1e4, Y: -1e4, Z: 1e4}))
		add("lattice", lattice)
		add("turned lattice", mesh.PoseDown(r3.Vec{X: 0.6, Y: 0.48, Z: 0.64}).Point(lattice))
		add("clusters", r3.Add(ico[rng.IntN(12)], r3.Scale(tiny, g)))
		add("plate", r3.Vec{X: 30 * g.X, Y: 20 * g.Y, Z: 1e-7 * g.Z})
		add("noisy plane and a tip", r3.Vec{X: 30 * g.X, Y: 20 * g.Y, Z: 1e-9 * g.Z})
		add("needle", r3.Add(r3.Scale(100*rng.Float64(), r3.Vec{X: 0.6, Z: 0.8}), r3.Scale(1e-5, g)))
		add("circles", r3.Vec{X: 30 * d.X / math.Hypot(d.X, d.Y), Y: 30 * d.Y / math.Hypot(d.X, d.Y), Z: float64(5 * rng.IntN(3))})
	}
	sets["noisy plane and a tip"][n/2].Z = 5
	return sets
}

func TestHullOfNastySets(t *testing.T) {
	rng := rand.New(rand.NewPCG(55, 56))
	for _, n := range []int{5, 6, 8, 12, 40, 300, 2200} {
		rounds := max(1, 60/n)
		for range rounds {
			sets := spaceSets(rng, n)
			for _, name := range slices.Sorted(maps.Keys(sets)) {
				points := sets[name]
				hull, err := mesh.Hull(points)
				if errors.Is(err, mesh.ErrFlat) {
					if name == "cloud" || name == "ball" || name == "noisy plane and a tip" {
						t.Errorf("%d points of a %s are flat", n, name)
					}
					continue
				}
				checkHull(t, fmt.Sprintf("%d points of a %s", n, name), hull, points)
			}
		}
	}
}

// The corners are just the points that are outside the hull of all others: with
// few points, tried on every plane of three points in exact arithmetic.
func TestHullAgainstAllPlanes(t *testing.T) {
	rng := rand.New(rand.NewPCG(57, 58))
	for _, n := range []int{5, 7, 9, 12, 14} {
		sets := spaceSets(rng, n)
		for _, name := range []string{"cloud", "ball", "lattice", "circles"} {
			points := slices.Clone(sets[name])
			hull, err := mesh.Hull(points)
			if err != nil {
				continue
			}
			for _, p := range points {
				isCorner := slices.Contains(hull.Vertices, p)
				if onPlane := supported(points, p); isCorner && !onPlane {
					t.Errorf("%s: %v is inside, yet a corner", name, p)
				} else if name != "lattice" && name != "circles" && onPlane && !isCorner {
					t.Errorf("%s: %v is a corner, but left out", name, p)
				}
			}
		}
	}
}

// supported says whether p is on a plane of three points with all points on one
// side of it.
func supported(points []r3.Vec, p r3.Vec) bool {
	for i, a := range points {
		for _, b := range points[:i] {
			if a == p || b == p {
				continue
			}
			least, most := 0, 0
			for _, q := range points {
				s := side3(p, a, b, q)
				least, most = min(least, s), max(most, s)
			}
			if least*most == 0 && least != most {
				return true
			}
		}
	}
	return false
}

// Large sets go by a sample of them; the hull must be the one of their parts.
func TestHullOfManyIsHullOfParts(t *testing.T) {
	rng := rand.New(rand.NewPCG(59, 60))
	scan := shaken(meshtest.TorusMesh(240, 120, 30, 10).Posed(anyPose(rng, 50)), 0.02).Vertices
	sets := map[string][]r3.Vec{"scan": scan}
	for name, points := range spaceSets(rng, 20000) {
		if name == "cloud" || name == "noisy ball" || name == "lattice" {
			sets[name] = points
		}
	}
	for name, points := range sets {
		var corners []r3.Vec
		for part := range slices.Chunk(points, 1500) {
			hull, err := mesh.Hull(part)
			if err != nil {
				t.Fatal(name, err)
			}
			corners = append(corners, hull.Vertices...)
		}
		whole, err := mesh.Hull(points)
		parts, err2 := mesh.Hull(corners)
		if err != nil || err2 != nil {
			t.Fatal(name, err, err2)
		}
		near(t, name+" volume", solidOf(t, whole).Measure().VolumeMM3, solidOf(t, parts).Measure().VolumeMM3, 1e-9)
		if name != "noisy ball" && len(whole.Vertices) != len(parts.Vertices) {
			t.Errorf("%s: %d corners, by parts %d", name, len(whole.Vertices), len(parts.Vertices))
		}
		checkInside(t, name, whole, points, 2000)
	}
}

// TestHullHoldsDenseSides asks that no corner is left out where thousands of points lie
// on flat sides, as near to their planes as rounding lets them.
func TestHullHoldsDenseSides(t *testing.T) {
	rng := rand.New(rand.NewPCG(77, 7))
	for name, m := range map[string]*mesh.Mesh{
		"prism of 64 sides": meshtest.Cylinder(64, 1, 5), "plate": meshtest.Box(300, 200, 10), "rod": meshtest.Box(2, 3, 400),
	} {
		points := spreadOver(m, 12000)
		for range 8 {
			posed := (&mesh.Mesh{Vertices: points}).Posed(anyPose(rng, 10)).Vertices
			hull, err := mesh.Hull(posed)
			if err != nil {
				t.Fatal(name, err)
			}
			for range 200 {
				d := anyDirection(rng)
				if short := reach(posed, d) - reach(hull.Vertices, d); short > 1e-10 {
					t.Fatalf("%s: the hull is %g short along %v", name, short, d)
				}
			}
		}
	}
}

// reach returns how far points reach along d.
func reach(points []r3.Vec, d r3.Vec) float64 {
	most := math.Inf(-1)
	for _, p := range points {
		most = max(most, r3.Dot(d, p))
	}
	return most
}

// spreadOver returns about n points spread evenly over each face, its corners among
// them.
func spreadOver(m *mesh.Mesh, n int) (points []r3.Vec) {
	k := int(math.Ceil(math.Sqrt(2 * float64(n) / float64(len(m.Faces)))))
	for f := range m.Faces {
		a, b, c := m.Corners(f)
		for i := range k + 1 {
			for j := range k + 1 - i {
				u, v := float64(i)/float64(k), float64(j)/float64(k)
				points = append(points, r3.Add(r3.Scale(1-u-v, a), r3.Add(r3.Scale(u, b), r3.Scale(v, c))))
			}
		}
	}
	return points
}
