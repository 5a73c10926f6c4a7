package mesh_test

import (
	"cmp"
	"math"
	"math/rand/v2"
	"runtime"
	"slices"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

// poor returns triangles of which many are needles, lines and points.
func poor(n int, seed uint64) *mesh.Mesh {
	rng := rand.New(rand.NewPCG(seed, 2))
	m := looseFaces(n, 0.1, seed)
	for f := range m.Faces {
		t := &m.Faces[f]
		a, b, _ := m.Corners(f)
		switch rng.IntN(6) {
		case 0:
			t[rng.IntN(3)] = t[0]
		case 1:
			t[1], t[2] = t[0], t[0]
		case 2: // on a line but for rounding, or nearly so
			m.Vertices[t[2]] = r3.Add(a, r3.Scale(rng.Float64()*3-1, r3.Sub(b, a)))
			m.Vertices[t[2]].X += math.Pow(10, -5-15*rng.Float64())
		}
	}
	return m
}

func treeSubjects() map[string]*mesh.Mesh {
	sphere := meshtest.Icosphere(3)
	return map[string]*mesh.Mesh{
		"one face":                looseFaces(1, 1, 1),
		"box":                     meshtest.Box(1, 2, 3),
		"flat box, all one plane": {Vertices: meshtest.Box(1, 1, 0).Vertices, Faces: meshtest.Box(1, 1, 0).Faces},
		"sphere":                  sphere,
		"sphere far off":          moved(sphere, r3.Vec{X: 1e7, Y: -1e7, Z: 1e7}),
		"the same face often":     {Vertices: []r3.Vec{{}, {X: 1}, {Y: 1}}, Faces: slices.Repeat([][3]int32{{0, 1, 2}}, 100)},
		"torus":                   meshtest.TorusMesh(60, 30, 3, 1),
		"soup":                    looseFaces(500, 0.2, 2),
		"poor faces":              poor(500, 3),
		"very small":              looseFaces(50, 0.1, 4).Scaled(1e-42),
		"very large":              looseFaces(50, 0.1, 4).Scaled(1e60),
	}
}

// TestClosestAgainstAll compares with the distances of all faces in turn, found
// another way.
func TestClosestAgainstAll(t *testing.T) {
	for name, m := range treeSubjects() {
		t.Run(name, func(t *testing.T) {
			tree, rng := mesh.NewTree(m), rand.New(rand.NewPCG(2, 2))
			b := m.Bounds()
			size := r3.Norm(r3.Sub(b.Max, b.Min))
			for i := range 200 {
				p := pointAround(rng, m, i)
				hit, found := tree.Closest(p, math.Inf(1))
				if !found {
					t.Fatalf("nothing near %v", p)
				}
				least := math.Inf(1)
				for f := range m.Faces {
					a, b, c := m.Corners(f)
					least = min(least, triangleDistance(p, a, b, c))
				}
				rounding := 1e-9*(size+hit.Distance) + 1e-15*r3.Norm(p)
				if !(math.Abs(hit.Distance-least) <= rounding) {
					t.Errorf("%g mm from %v, want %g", hit.Distance, p, least)
				}
				checkHit(t, m, hit, rounding)
				if d := r3.Norm(r3.Sub(p, hit.Point)); !(math.Abs(d-hit.Distance) <= rounding) {
					t.Errorf("the point %v is %g mm away, not %g", hit.Point, d, hit.Distance)
				}
				if again, found := tree.Closest(p, hit.Distance*(1+1e-12)); hit.Distance > 1e-150 && (!found || again != hit) {
					t.Errorf("within %g: %v, want %v", hit.Distance, again, hit)
				}
				if again, found := tree.Closest(p, hit.Distance*(1-1e-12)); hit.Distance > 1e-150 && found {
					t.Errorf("nearer than %g: %v", hit.Distance, again)
				}
			}
		})
	}
}

// TestClosestOnNeedles asks for faces so thin that their planes are rounding
// noise.
func TestClosestOnNeedles(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 7))
	random := func(size float64) r3.Vec {
		return r3.Vec{X: size * rng.NormFloat64(), Y: size * rng.NormFloat64(), Z: size * rng.NormFloat64()}
	}
	for range 20000 {
		a, b := random(1), random(1)
		off := random(math.Pow(10, -8-9*rng.Float64()))
		c := r3.Add(off, r3.Add(a, r3.Scale(rng.Float64()*3-1, r3.Sub(b, a))))
		p := random(math.Pow(10, 3*rng.Float64()))
		tree := mesh.NewTree(&mesh.Mesh{Vertices: []r3.Vec{a, b, c}, Faces: [][3]int32{{0, 1, 2}}})
		hit, _ := tree.Closest(p, math.Inf(1))
		edges := min(segmentDistance(p, a, b), segmentDistance(p, b, c), segmentDistance(p, c, a))
		if thickness := r3.Norm(off); !(math.Abs(hit.Distance-edges) <= thickness+1e-13*(1+r3.Norm(p))) {
			t.Errorf("%g mm from %v to %v, %v, %v, whose edges are %g mm away", hit.Distance, p, a, b, c, edges)
		}
	}
}

// checkHit checks that a point is on its face.
func checkHit(t *testing.T, m *mesh.Mesh, hit mesh.Hit, within float64) {
	t.Helper()
	a, b, c := m.Corners(int(hit.Face))
	if d := triangleDistance(hit.Point, a, b, c); !(d <= within) {
		t.Errorf("the point %v is %g mm off its face %d", hit.Point, d, hit.Face)
	}
}

// triangleDistance returns how far p is from abc: from its plane where the foot
// is inside, else from the nearest of its edges. No source but the definition.
func triangleDistance(p, a, b, c r3.Vec) float64 {
	least := min(segmentDistance(p, a, b), segmentDistance(p, b, c), segmentDistance(p, c, a))
	n := r3.Cross(r3.Sub(b, a), r3.Sub(c, a))
	if r3.Norm(n) <= 1e-11*(r3.Norm2(r3.Sub(b, a))+r3.Norm2(r3.Sub(c, a))) {
		return least // a line
	}
	n = r3.Unit(n)
	height := r3.Dot(n, r3.Sub(p, a))
	foot := r3.Sub(p, r3.Scale(height, n))
	for _, e := range [3][2]r3.Vec{{a, b}, {b, c}, {c, a}} {
		if r3.Dot(n, r3.Cross(r3.Sub(e[1], e[0]), r3.Sub(foot, e[0]))) < 0 {
			return least
		}
	}
	return min(least, math.Abs(height))
}

func segmentDistance(p, a, b r3.Vec) float64 {
	length := r3.Norm(r3.Sub(b, a))
	if length == 0 {
		return r3.Norm(r3.Sub(p, a))
	}
	u := r3.Scale(1/length, r3.Sub(b, a))
	s := max(0, min(length, r3.Dot(u, r3.Sub(p, a))))
	return r3.Norm(r3.Sub(p, r3.Add(a, r3.Scale(s, u))))
}

func TestClosestBounds(t *testing.T) {
	tree := mesh.NewTree(meshtest.Box(1, 1, 1))
	above := r3.Vec{X: 0.5, Y: 0.25, Z: 1.5}
	want := mesh.Hit{Face: 2, Point: r3.Vec{X: 0.5, Y: 0.25, Z: 1}, Distance: 0.5}
	for within, found := range map[float64]bool{math.Inf(1): true, 0.5: true, 0.4999: false, 0: false, -1: false, math.NaN(): false} {
		if hit, got := tree.Closest(above, within); got != found || got && hit != want {
			t.Errorf("within %g: %v %t, want %v %t", within, hit, got, want, found)
		}
	}
	// Six faces at a corner are as near as each other: the first is 0.
	if hit, _ := tree.Closest(r3.Vec{X: -1, Y: -1, Z: -1}, math.Inf(1)); hit.Face != 0 || hit.Point != (r3.Vec{}) {
		t.Errorf("nearest to a corner is %v, want face 0", hit)
	}
	if hit, found := tree.Closest(r3.Vec{X: 0.5, Z: 1}, 0); !found || hit.Distance != 0 {
		t.Errorf("on an edge: %v %t", hit, found)
	}
	if hit, found := tree.Closest(r3.Vec{X: math.NaN()}, math.Inf(1)); found {
		t.Errorf("nearest to no point is %v", hit)
	}
	if hit, found := mesh.NewTree(&mesh.Mesh{}).Closest(r3.Vec{}, math.Inf(1)); found {
		t.Errorf("nearest of no faces is %v", hit)
	}
}

// TestHitsAgainstAll compares with all faces in turn, each met where its plane
// is, if that is inside by the signs of three volumes.
func TestHitsAgainstAll(t *testing.T) {
	for name, m := range treeSubjects() {
		if name == "very small" || name == "very large" || name == "poor faces" {
			continue // volumes lose their digits
		}
		t.Run(name, func(t *testing.T) {
			tree, rng := mesh.NewTree(m), rand.New(rand.NewPCG(4, 4))
			met := 0
			for i := range 300 {
				from := pointAround(rng, m, i)
				dir := r3.Sub(pointAround(rng, m, i+1), from)
				hits := tree.Hits(from, dir)
				met += len(hits)
				compareHits(t, m, hits, from, dir)
				first, found := tree.First(from, dir)
				if found != (len(hits) > 0) || found && first != hits[0] {
					t.Errorf("first %v, want %v", first, hits)
				}
			}
			t.Log(met, "hits")
		})
	}
}

func compareHits(t *testing.T, m *mesh.Mesh, hits []mesh.Hit, from, dir r3.Vec) {
	t.Helper()
	if !slices.IsSortedFunc(hits, func(a, b mesh.Hit) int {
		return cmp.Or(cmp.Compare(a.Distance, b.Distance), cmp.Compare(a.Face, b.Face))
	}) {
		t.Errorf("hits out of order: %v", hits)
	}
	at := map[int32]mesh.Hit{}
	for _, h := range hits {
		at[h.Face] = h
		checkHit(t, m, h, 1e-12*(1+h.Distance+r3.Norm(from)))
		if off := r3.Norm(r3.Sub(h.Point, r3.Add(from, r3.Scale(h.Distance, r3.Unit(dir))))); !(off <= 1e-12*(1+h.Distance+r3.Norm(from))) {
			t.Errorf("%v is %g mm off the ray", h, off)
		}
	}
	for f := range m.Faces {
		d, met, sure := meetsFace(m, f, from, dir)
		if h, got := at[int32(f)]; sure && (met != got || met && !(math.Abs(h.Distance-d) <= 1e-9*(1+d))) {
			t.Errorf("from %v along %v: face %d at %v, want it %t at %g", from, dir, f, h, met, d)
		}
	}
}

// meetsFace says whether and where a ray meets face f, if rounding does not
// matter.
func meetsFace(m *mesh.Mesh, f int, from, dir r3.Vec) (distance float64, met, sure bool) {
	a, b, c := m.Corners(f)
	u := r3.Unit(dir)
	a, b, c = r3.Sub(a, from), r3.Sub(b, from), r3.Sub(c, from)
	n := r3.Cross(r3.Sub(b, a), r3.Sub(c, a))
	fall := r3.Dot(n, u)
	signs := [4]float64{r3.Dot(u, r3.Cross(a, b)), r3.Dot(u, r3.Cross(b, c)), r3.Dot(u, r3.Cross(c, a)), r3.Dot(n, a)}
	size := (r3.Norm(a) + r3.Norm(b) + r3.Norm(c)) * (r3.Norm(r3.Sub(a, b)) + r3.Norm(r3.Sub(a, c)))
	for k, s := range signs {
		scale := 1.0
		if k == 3 {
			scale = r3.Norm(a)
		}
		if math.Abs(s) < 1e-12*scale*(size+1e-300) {
			return 0, false, false
		}
	}
	distance = signs[3] / fall
	same := signs[0] > 0 == (signs[1] > 0) && signs[1] > 0 == (signs[2] > 0)
	return distance, same && distance > 0, true
}

// TestRaysPassNoEdge sends rays exactly through corners, edges and along sides
// of closed surfaces, from outside: each goes in as often as out, in turn.
func TestRaysPassNoEdge(t *testing.T) {
	for name, m := range map[string]*mesh.Mesh{
		"box": meshtest.Box(1, 1, 1), "box of many": meshtest.Split(meshtest.Split(meshtest.Box(2, 1, 1))),
		"sphere": meshtest.Icosphere(2), "octahedron": meshtest.Octahedron(), "torus": meshtest.TorusMesh(24, 12, 3, 1),
		"dodecahedron": meshtest.Dodecahedron(), "cone": meshtest.Cone(12, 1, 2),
	} {
		t.Run(name, func(t *testing.T) {
			tree := mesh.NewTree(m)
			var targets []r3.Vec
			for f := range m.Faces {
				a, b, c := m.Corners(f)
				targets = append(targets, a, r3.Scale(0.5, r3.Add(a, b)), r3.Add(b, r3.Scale(0.25, r3.Sub(c, b))))
			}
			rng := rand.New(rand.NewPCG(5, 5))
			outside := []r3.Vec{{X: 20}, {Y: -20}, {Z: 20}, {X: 20, Y: 20}, {X: -20, Y: 20, Z: 20}, {X: 0.5, Y: 0.5, Z: 9}, {X: 9, Z: 1}, {X: -9, Y: 1, Z: 1}}
			for _, to := range targets {
				for _, from := range outside {
					checkTurns(t, m, tree, from, r3.Sub(to, from))
				}
				// Through two of the places, along an edge or a side now and then.
				if dir := r3.Sub(targets[rng.IntN(len(targets))], to); dir != (r3.Vec{}) {
					checkTurns(t, m, tree, r3.Sub(to, r3.Scale(16/r3.Norm(dir), dir)), dir)
				}
			}
			for _, k := range []r3.Vec{{X: 1}, {Y: 1}, {Z: 1}, {X: -1}, {Y: -1}, {Z: -1}} {
				for _, to := range targets {
					checkTurns(t, m, tree, r3.Sub(to, r3.Scale(16, k)), k)
				}
			}
		})
	}
}

// checkTurns checks that a ray from outside goes in and out in turn. Where it
// does both within rounding, either may come first; whether it goes in or out
// of a face that it runs along but for rounding cannot be told.
func checkTurns(t *testing.T, m *mesh.Mesh, tree *mesh.Tree, from, dir r3.Vec) {
	t.Helper()
	hits := tree.Hits(from, dir)
	if len(hits)%2 != 0 {
		t.Errorf("from %v along %v in and out %d times: %v", from, dir, len(hits), hits)
	}
	inside := 0
	for i, h := range hits {
		n := m.DoubleAreaNormal(int(h.Face))
		fall := r3.Dot(n, dir)
		if math.Abs(fall) < 1e-12*r3.Norm(n)*r3.Norm(dir) {
			return
		}
		if fall < 0 {
			inside++
		} else {
			inside--
		}
		atOnce := i > 0 && h.Distance-hits[i-1].Distance < 1e-12*h.Distance ||
			i+1 < len(hits) && hits[i+1].Distance-h.Distance < 1e-12*h.Distance
		if inside != 0 && inside != 1 && !atOnce {
			t.Errorf("from %v along %v inside %d times at %v", from, dir, inside, hits[:i+1])
			return
		}
	}
	if inside != 0 {
		t.Errorf("from %v along %v inside %d times in the end: %v", from, dir, inside, hits)
	}
}

func TestRaysKnown(t *testing.T) {
	tree := mesh.NewTree(meshtest.Box(1, 1, 1))
	up := r3.Vec{Z: 4}
	// From a point below the box up through the diagonals of two sides.
	if hits := tree.Hits(r3.Vec{X: 0.5, Y: 0.5, Z: -2}, up); len(hits) != 2 || hits[0].Distance != 2 || hits[1].Distance != 3 || hits[1].Point != (r3.Vec{X: 0.5, Y: 0.5, Z: 1}) {
		t.Errorf("through the middle: %v", hits)
	}
	if hit, found := tree.First(r3.Vec{X: 0.5, Y: 0.5, Z: 0.25}, up); !found || hit.Distance != 0.75 {
		t.Errorf("from inside: %v", hit)
	}
	if hit, found := tree.First(r3.Vec{X: 0.5, Y: 0.25, Z: 1}, up); !found || hit.Distance != 0 {
		t.Errorf("from a side: %v %t", hit, found)
	}
	for name, ray := range map[string][2]r3.Vec{
		"away": {{X: 0.5, Y: 0.5, Z: 2}, up}, "beside": {{X: 2, Y: 0.5, Z: -2}, up}, "no direction": {{X: 0.5, Y: 0.5, Z: 0.5}, {}},
		"endless": {{X: 0.5, Y: 0.5, Z: 0.5}, {X: math.Inf(1)}}, "NaN": {{X: 0.5}, {X: math.NaN()}},
	} {
		if hit, found := tree.First(ray[0], ray[1]); found || len(tree.Hits(ray[0], ray[1])) > 0 {
			t.Errorf("%s: %v", name, hit)
		}
	}
}

func TestRaysMeetNoFaceOfNone(t *testing.T) {
	tree := mesh.NewTree(&mesh.Mesh{})
	if hit, found := tree.First(r3.Vec{}, r3.Vec{X: 1}); found || len(tree.Hits(r3.Vec{}, r3.Vec{X: 1})) > 0 {
		t.Errorf("met %v", hit)
	}
}

// TestTreeWhateverTheProcessors checks that answers do not depend on how many
// there are.
func TestTreeWhateverTheProcessors(t *testing.T) {
	m := shaken(meshtest.Icosphere(6), 0.01) // 81,920 faces: several branches grow at a time
	rng := rand.New(rand.NewPCG(6, 6))
	var points []r3.Vec
	for i := range 50 {
		points = append(points, pointAround(rng, m, i))
	}
	type answer struct {
		hit     mesh.Hit
		winding float64
	}
	answers := func() (all []answer, c mesh.Crossings) {
		tree := mesh.NewTree(m)
		for _, p := range points {
			hit, _ := tree.Closest(p, math.Inf(1))
			all = append(all, answer{hit, tree.Winding(p)})
		}
		return all, crossingsOf(t, m)
	}
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	one, c1 := answers()
	runtime.GOMAXPROCS(4)
	four, c4 := answers()
	if !slices.Equal(one, four) {
		t.Error("points have other answers on four processors")
	}
	if c1.Pairs == 0 || c1.Pairs != c4.Pairs || c1.At != c4.At || !slices.Equal(c1.Faces, c4.Faces) {
		t.Errorf("%d pairs at %v on one processor, %d at %v on four", c1.Pairs, c1.At, c4.Pairs, c4.At)
	}
}

func TestQueriesAllocateNothing(t *testing.T) {
	tree := mesh.NewTree(meshtest.Icosphere(4))
	p := r3.Vec{X: 0.3, Y: 0.2, Z: 1.1}
	tree.Winding(p)
	for name, query := range map[string]func(){
		"Closest": func() { tree.Closest(p, math.Inf(1)) },
		"First":   func() { tree.First(p, r3.Vec{X: -0.2, Z: -1}) },
		"Winding": func() { tree.Winding(p) },
	} {
		if n := testing.AllocsPerRun(10, query); n > 0 {
			t.Errorf("%s allocates %g times", name, n)
		}
	}
}
