package mesh_test

import (
	"context"
	"encoding/json"
	"errors"
	"maps"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

func crossingsOf(t *testing.T, m *mesh.Mesh) mesh.Crossings {
	t.Helper()
	c, err := mesh.NewTree(m).SelfCrossings(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func TestSelfCrossingsKnown(t *testing.T) {
	fan := func(spokes ...r3.Vec) *mesh.Mesh { // faces about the origin, two spokes each
		m := &mesh.Mesh{Vertices: append([]r3.Vec{{}}, spokes...)}
		for i := 1; i < len(spokes); i += 2 {
			m.Faces = append(m.Faces, [3]int32{0, int32(i), int32(i + 1)})
		}
		return m
	}
	box := meshtest.Box(1, 1, 1)
	turnedBox := box.Posed(mesh.Pose{Rows: [3]r3.Vec{{X: 0.6, Y: -0.8}, {X: 0.8, Y: 0.6}, {Z: 1}}})
	bolt := meshtest.Lathe([]r2.Vec{{}, {X: 2}, {X: 1, Y: 3}, {X: 3, Y: 3}, {X: 1, Y: 1}, {Y: 4}}, 12)
	for _, c := range []struct {
		name  string
		m     *mesh.Mesh
		pairs int // by hand; −1: some
	}{
		{"no face", &mesh.Mesh{}, 0},
		{"box", box, 0},
		{"box of 3072 flat faces", meshtest.Split(meshtest.Split(meshtest.Split(meshtest.Split(box)))), 0},
		{"turned box of 3072 flat faces", meshtest.Split(meshtest.Split(meshtest.Split(meshtest.Split(turnedBox)))), 0},
		{"sphere", meshtest.Icosphere(5), 0},
		{"torus", meshtest.TorusMesh(80, 40, 3, 1), 0},
		{"two boxes", meshtest.Together(box, moved(box, r3.Vec{X: 0.5, Y: 0.25, Z: 0.125})), -1},
		{"a box in a box", meshtest.Together(box, moved(box.Scaled(0.5), r3.Vec{X: 0.25, Y: 0.25, Z: 0.25})), 0},
		// Sides in the same planes that have no area in common.
		{"boxes edge to edge", meshtest.Together(box, moved(box, r3.Vec{X: 1, Y: 1})), 0},
		{"boxes corner to corner", meshtest.Together(box, moved(box, r3.Vec{X: 1, Y: 1, Z: 1})), 0},
		{"a box on a box", meshtest.Together(box, moved(box, r3.Vec{Z: 1})), -1}, // two sides in one plane
		{"the same box twice", meshtest.Together(box, box), 12},
		{"lathe turned into itself", bolt, -1},
		// Faces with one corner in common, along the axes.
		{"one corner, through", fan(r3.Vec{X: 2, Y: 1}, r3.Vec{X: 2, Y: -1}, r3.Vec{X: 1, Z: 1}, r3.Vec{X: 1, Z: -1}), 1},
		{"one corner, other way", fan(r3.Vec{X: 2, Y: 1}, r3.Vec{X: 2, Y: -1}, r3.Vec{X: -1, Z: 1}, r3.Vec{X: -1, Z: -1}), 0},
		{"one corner, edge on face", fan(r3.Vec{X: 2, Y: 1}, r3.Vec{X: 2, Y: -1}, r3.Vec{X: 1, Z: 1}, r3.Vec{X: 1}), 0},
		{"one corner, flat over each other", fan(r3.Vec{X: 2, Y: 1}, r3.Vec{X: 2, Y: -1}, r3.Vec{X: 1, Y: 1}, r3.Vec{X: 1}), 1},
		{"one corner, flat side by side", fan(r3.Vec{X: 2, Y: 1}, r3.Vec{X: 2}, r3.Vec{X: 1, Y: -1}, r3.Vec{X: 1}), 0},
		// Faces with an edge in common.
		{"an edge, folded flat", &mesh.Mesh{Vertices: []r3.Vec{{}, {X: 1}, {Y: 1}, {X: 1, Y: 2}}, Faces: [][3]int32{{0, 1, 2}, {1, 0, 3}}}, 1},
		{"an edge, nearly folded flat", &mesh.Mesh{Vertices: []r3.Vec{{}, {X: 1}, {Y: 1}, {X: 1, Y: 2, Z: 1e-300}}, Faces: [][3]int32{{0, 1, 2}, {1, 0, 3}}}, 0},
		{"an edge, flat", &mesh.Mesh{Vertices: []r3.Vec{{}, {X: 1}, {Y: 1}, {X: 1, Y: -2}}, Faces: [][3]int32{{0, 1, 2}, {1, 0, 3}}}, 0},
		{"the same face twice", &mesh.Mesh{Vertices: []r3.Vec{{}, {X: 1}, {Y: 1}}, Faces: [][3]int32{{0, 1, 2}, {0, 2, 1}}}, 1},
		{"faces without area", &mesh.Mesh{Vertices: []r3.Vec{{}, {X: 1}, {Y: 1}, {X: 2}, {Z: 1}}, Faces: [][3]int32{{0, 1, 3}, {0, 1, 2}, {0, 0, 4}, {0, 0, 0}, {3, 1, 0}}}, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := crossingsOf(t, c.m)
			if got.Pairs != c.pairs && (c.pairs >= 0 || got.Pairs == 0) {
				t.Errorf("%d pairs of faces %v, want %d", got.Pairs, got.Faces, c.pairs)
			}
			if (got.Pairs > 0) != (len(got.Faces) > 1) || !slices.IsSorted(got.Faces) {
				t.Errorf("%d pairs of faces %v", got.Pairs, got.Faces)
			}
			checkMeeting(t, c.m, got)
		})
	}
}

// checkMeeting checks that the place named is on the first face.
func checkMeeting(t *testing.T, m *mesh.Mesh, got mesh.Crossings) {
	t.Helper()
	if got.Pairs == 0 {
		return
	}
	first := &mesh.Mesh{Vertices: m.Vertices, Faces: m.Faces[got.Faces[0] : got.Faces[0]+1]}
	if hit, _ := mesh.NewTree(first).Closest(got.At, math.Inf(1)); hit.Distance > 1e-9 {
		t.Errorf("the place %v is %g mm off the first face", got.At, hit.Distance)
	}
}

// TestSelfCrossingsOfLatticeSoups compares with the definition, worked out in
// whole numbers, on triangles so close together that they touch, share corners
// and lie in one plane more often than not.
func TestSelfCrossingsOfLatticeSoups(t *testing.T) {
	kinds := map[string]int{}
	for seed := range uint64(60) {
		rng := rand.New(rand.NewPCG(seed, 7))
		side := 2 + rng.IntN(4)
		var whole [][3][3]int
		m := &mesh.Mesh{}
		for i := range 60 {
			var c [3][3]int
			for k := range c {
				c[k] = [3]int{rng.IntN(side), rng.IntN(side), rng.IntN(side)}
				m.Vertices = append(m.Vertices, r3.Vec{X: float64(c[k][0]), Y: float64(c[k][1]), Z: float64(c[k][2])})
			}
			whole = append(whole, c)
			m.Faces = append(m.Faces, [3]int32{int32(3 * i), int32(3*i + 1), int32(3*i + 2)})
		}
		pairs, in := 0, make([]bool, len(whole))
		for i := range whole {
			for j := range i {
				if kind := howCut(whole[i], whole[j]); kind != "" {
					kinds[kind]++
					pairs++
					in[i], in[j] = true, true
				}
			}
		}
		var faces []int32
		for i, yes := range in {
			if yes {
				faces = append(faces, int32(i))
			}
		}
		got := crossingsOf(t, m)
		if got.Pairs != pairs || !slices.Equal(got.Faces, faces) {
			t.Errorf("seed %d: %d pairs of %v, want %d of %v", seed, got.Pairs, got.Faces, pairs, faces)
		}
		checkMeeting(t, m, got)
	}
	t.Log(kinds)
	if kinds["through"] < 1000 || kinds["flat"] < 100 {
		t.Errorf("too few pairs of each kind to tell: %v", kinds)
	}
}

// howCut says whether two triangles cut through each other, overlap in one
// plane, or neither.
func howCut(t, o [3][3]int) string {
	n, m := normalOf(t), normalOf(o)
	if n == ([3]int{}) || m == ([3]int{}) {
		return ""
	}
	line := crossOf(n, m)
	if line == ([3]int{}) {
		if dotOf(n, minus(o[0], t[0])) == 0 && flatOverlap(t, o, n) > 1e-9 {
			return "flat"
		}
		return ""
	}
	a, b := chord(t, o[0], m, line), chord(o, t[0], n, line)
	if len(a) == 2 && len(b) == 2 && less(a[0], b[1]) && less(b[0], a[1]) {
		return "through"
	}
	return ""
}

// fraction is a quotient of whole numbers, the lower one above 0.
type fraction [2]int

func less(a, b fraction) bool { return a[0]*b[1] < b[0]*a[1] }

// chord returns where the plane through p of normal m, which has corners of t on
// both sides, cuts t, along the line, in order.
func chord(t [3][3]int, p, m, line [3]int) (ends []fraction) {
	var height [3]int
	for k := range t {
		height[k] = dotOf(m, minus(t[k], p))
	}
	if slices.Min(height[:]) >= 0 || slices.Max(height[:]) <= 0 {
		return nil
	}
	for k := range t {
		from, to := height[k], height[(k+1)%3]
		a, b := dotOf(line, t[k]), dotOf(line, t[(k+1)%3])
		if from == 0 {
			ends = append(ends, fraction{a, 1})
		} else if from*to < 0 {
			per := from - to
			if per < 0 {
				from, per = -from, -per
			}
			ends = append(ends, fraction{a*per + (b-a)*from, per})
		}
	}
	if less(ends[1], ends[0]) {
		ends[0], ends[1] = ends[1], ends[0]
	}
	return ends
}

func minus(a, b [3]int) [3]int { return [3]int{a[0] - b[0], a[1] - b[1], a[2] - b[2]} }
func dotOf(a, b [3]int) int    { return a[0]*b[0] + a[1]*b[1] + a[2]*b[2] }
func crossOf(a, b [3]int) [3]int {
	return [3]int{a[1]*b[2] - a[2]*b[1], a[2]*b[0] - a[0]*b[2], a[0]*b[1] - a[1]*b[0]}
}
func normalOf(t [3][3]int) [3]int { return crossOf(minus(t[1], t[0]), minus(t[2], t[0])) }

// flatOverlap returns the area that two triangles of one plane have in common,
// by cutting one along the edges of the other (Sutherland & Hodgman, from
// memory).
func flatOverlap(t, o [3][3]int, n [3]int) float64 {
	vec := func(p [3]int) r3.Vec { return r3.Vec{X: float64(p[0]), Y: float64(p[1]), Z: float64(p[2])} }
	up, left := vec(n), []r3.Vec{vec(o[0]), vec(o[1]), vec(o[2])}
	for k := range t {
		a, b := vec(t[k]), vec(t[(k+1)%3])
		inward := r3.Cross(up, r3.Sub(b, a))
		var kept []r3.Vec
		for i, p := range left {
			q := left[(i+1)%len(left)]
			hp, hq := r3.Dot(inward, r3.Sub(p, a)), r3.Dot(inward, r3.Sub(q, a))
			if hp >= 0 {
				kept = append(kept, p)
			}
			if (hp >= 0) != (hq >= 0) {
				kept = append(kept, r3.Add(p, r3.Scale(hp/(hp-hq), r3.Sub(q, p))))
			}
		}
		left = kept
	}
	var sum r3.Vec
	for i := 2; i < len(left); i++ {
		sum = r3.Add(sum, r3.Cross(r3.Sub(left[i-1], left[0]), r3.Sub(left[i], left[0])))
	}
	return r3.Norm(sum) / 2
}

func TestSelfCrossingsStop(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := mesh.NewTree(meshtest.Icosphere(3)).SelfCrossings(ctx); !errors.Is(err, context.Canceled) {
		t.Errorf("error %v, want context.Canceled", err)
	}
}

// TestSelfCrossingsAgainstReference compares with CGAL 5.5.1, which says of each
// mesh of testdata whether it bounds a volume, crossing itself nowhere.
func TestSelfCrossingsAgainstReference(t *testing.T) {
	text, err := os.ReadFile(filepath.Join(referenceFolder, "reference.json"))
	if err != nil {
		t.Fatal(err)
	}
	var table map[string]referenceMesh
	if err := json.Unmarshal(text, &table); err != nil {
		t.Fatal(err)
	}
	for _, name := range slices.Sorted(maps.Keys(table)) {
		if !table[name].Closed {
			continue
		}
		m, _, err := mesh.Read(context.Background(), filepath.Join(referenceFolder, name), nil)
		if err != nil {
			t.Fatal(err)
		}
		got := crossingsOf(t, m)
		t.Logf("%s: %d faces, %d pairs cross", name, len(m.Faces), got.Pairs)
		if table[name].Solid != (got.Pairs == 0) {
			t.Errorf("%s: %d pairs of faces cross, the reference says that it bounds a volume: %t", name, got.Pairs, table[name].Solid)
		}
		checkMeeting(t, m, got)
	}
}
