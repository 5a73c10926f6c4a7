package mesh_test

import (
	"context"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

func mend(t *testing.T, m *mesh.Mesh, c mesh.MendChoice) (*mesh.Solid, []mesh.MendStep, float64) {
	t.Helper()
	mended, err := mesh.Mend(context.Background(), m, c)
	if err != nil {
		t.Fatalf("%v, after %+v", err, mended.Steps)
	}
	return mended.Solid, mended.Steps, mended.ErrorMM3
}

func kindsOf(steps []mesh.MendStep) []string {
	var kinds []string
	for _, s := range steps {
		kinds = append(kinds, s.Kind)
	}
	return kinds
}

// touching is two unit cubes that share just the edge from (1,1,0) to (1,1,1).
func touching() *mesh.Mesh {
	m := meshtest.Together(meshtest.Box(1, 1, 1), meshtest.Moved(meshtest.Box(1, 1, 1), r3.Vec{X: 1, Y: 1}))
	at := map[r3.Vec]int32{}
	for f, t := range m.Faces {
		for k, v := range t {
			p := m.Vertices[v]
			if _, known := at[p]; !known {
				at[p] = v
			}
			m.Faces[f][k] = at[p]
		}
	}
	return m
}

func TestMendSteps(t *testing.T) {
	ball := meshtest.Icosphere(3)
	volume := func(m *mesh.Mesh) float64 { return (&mesh.Solid{Mesh: m}).Measure().VolumeMM3 }
	fin := &mesh.Mesh{Vertices: append(slices.Clone(ball.Vertices), r3.Vec{X: 1, Y: 1, Z: 1}),
		Faces: append(slices.Clone(ball.Faces), [3]int32{ball.Faces[0][0], ball.Faces[0][1], int32(len(ball.Vertices))})}
	bubble := meshtest.Flipped(meshtest.Moved(ball.Scaled(0.02), r3.Vec{X: 0.2}), firstSeed(), 1)
	for _, c := range []struct {
		name   string
		m      *mesh.Mesh
		kinds  []string
		volume float64
	}{
		{"sound", ball, nil, volume(ball)},
		{"a face without area", &mesh.Mesh{Vertices: ball.Vertices, Faces: append(slices.Clone(ball.Faces), [3]int32{1, 1, 2})},
			[]string{mesh.MendDegenerate}, volume(ball)},
		{"a face twice", &mesh.Mesh{Vertices: ball.Vertices, Faces: append(slices.Clone(ball.Faces), ball.Faces[7])},
			[]string{mesh.MendDuplicate}, volume(ball)},
		{"a fin", fin, []string{mesh.MendFin}, volume(ball)},
		{"turned faces", meshtest.Flipped(ball, rand.New(rand.NewPCG(3, 4)), 0.2), []string{mesh.MendWinding}, volume(ball)},
		{"inside out", meshtest.Flipped(ball, firstSeed(), 1), []string{mesh.MendOutward}, volume(ball)},
		{"a scrap", meshtest.Together(ball, meshtest.Moved(ball.Scaled(0.05), r3.Vec{X: 3})), []string{mesh.MendFloater}, volume(ball)},
		{"a small hollow is kept", meshtest.Together(ball, bubble), nil, volume(ball) + volume(bubble)},
		{"inside out with its hollow", meshtest.Flipped(meshtest.Together(ball, bubble), firstSeed(), 1), []string{mesh.MendOutward}, volume(ball) + volume(bubble)},
		{"cubes touching along an edge", touching(), []string{mesh.MendSplit}, 2},
		{"a cube without its lid", without(meshtest.Box(1, 1, 1), func(a, b, c r3.Vec) bool { return a.Z+b.Z+c.Z == 3 }),
			[]string{mesh.MendBase}, 1},
	} {
		t.Run(c.name, func(t *testing.T) {
			before := &mesh.Mesh{Vertices: slices.Clone(c.m.Vertices), Faces: slices.Clone(c.m.Faces)}
			s, steps, _ := mend(t, c.m, mesh.MendChoice{})
			if got := kindsOf(steps); !slices.Equal(got, c.kinds) {
				t.Errorf("mends %v, want %v", got, c.kinds)
			}
			if got := s.Measure().VolumeMM3; math.Abs(got-c.volume) > 1e-12*c.volume {
				t.Errorf("volume %.15g, want %.15g", got, c.volume)
			}
			if !reflect.DeepEqual(before, c.m) {
				t.Error("the original was changed")
			}
			for _, kind := range c.kinds {
				if left, _ := mesh.Mend(context.Background(), c.m, mesh.MendChoice{Without: []string{kind}}); slices.Contains(kindsOf(left.Steps), kind) {
					t.Errorf("%s was left out and done all the same", kind)
				}
			}
		})
	}
}

func firstSeed() *rand.Rand { return rand.New(rand.NewPCG(1, 1)) }

func subject(t *testing.T, name string, m *mesh.Mesh, up r3.Vec) meshtest.Subject {
	t.Helper()
	s, err := meshtest.NewSubject(name, m, up)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func subjects(t *testing.T) []meshtest.Subject {
	t.Helper()
	all, err := meshtest.Subjects("..")
	if err != nil {
		t.Fatal(err)
	}
	return all
}

// without returns m without the faces that drop names.
func without(m *mesh.Mesh, drop func(a, b, c r3.Vec) bool) *mesh.Mesh {
	out := &mesh.Mesh{Vertices: m.Vertices}
	for f, t := range m.Faces {
		if a, b, c := m.Corners(f); !drop(a, b, c) {
			out.Faces = append(out.Faces, t)
		}
	}
	return out
}

// A smooth patch follows a ball: of the cap that a flat one cuts off, π·h²·(3r−h)/3
// with h the sagitta, it misses under a tenth.
func TestMendFollowsTheCurve(t *testing.T) {
	ball := meshtest.Icosphere(5)
	truth := (&mesh.Solid{Mesh: ball}).Measure().VolumeMM3
	const h = 0.008 // of a cap 0.25 across
	holed := without(ball, func(a, b, c r3.Vec) bool { return (a.Z+b.Z+c.Z)/3 > 1-h })
	s, steps, bound := mend(t, holed, mesh.MendChoice{})
	lost, flat := truth-s.Measure().VolumeMM3, math.Pi*h*h*(3-h)/3
	if math.Abs(lost) > 0.1*flat || math.Abs(lost) > bound || bound > flat {
		t.Errorf("%g mm³ are lost, bound %g; a flat patch loses %g", lost, bound, flat)
	}
	for _, v := range s.Vertices[len(ball.Vertices)-len(holed.Vertices):] {
		if r := r3.Norm(v); math.Abs(r-1) > 0.003 {
			t.Fatalf("a corner of the patch is %g from the centre of the unit ball", r)
		}
	}
	if len(steps) != 1 || steps[0].Count != 1 || steps[0].SpanMM < 0.22 || steps[0].SpanMM > 0.3 {
		t.Errorf("mends %+v, want one hole about 0.25 across", steps)
	}
}

// What would be a guess is asked, in one question.
func TestMendAsks(t *testing.T) {
	ball := meshtest.Icosphere(4)
	for _, c := range []struct {
		name   string
		m      *mesh.Mesh
		volume float64 // closed: of the half ball and the cylinder; by symmetry for the mask
	}{
		{"half a ball: solid or a dome", without(ball, func(a, b, c r3.Vec) bool { return a.Z+b.Z+c.Z < 0 }), 2 * math.Pi / 3},
		{"a pipe: open at both ends", without(meshtest.Cylinder(24, 1, 1), func(a, b, c r3.Vec) bool { return a.Z == b.Z && b.Z == c.Z }), 12 * math.Sin(math.Pi/12)},
		{"a mask: its rim is in no plane", without(ball, func(a, b, c r3.Vec) bool { return a.Z+b.Z+c.Z < 3*(a.X*a.X-a.Y*a.Y) }), 2 * math.Pi / 3},
	} {
		_, err := mesh.Mend(context.Background(), c.m, mesh.MendChoice{})
		var open *mesh.OpenQuestion
		if !errors.As(err, &open) || !strings.Contains(open.Hint(), "--as solid") || !strings.Contains(open.Hint(), "--as shell") || !strings.Contains(open.Error(), "near (") {
			t.Errorf("%s: %v, want a question", c.name, err)
		}
		mended, err := mesh.Mend(context.Background(), c.m, mesh.MendChoice{CloseAll: true})
		if err != nil || mended.Opening == nil || mended.Scanned != len(c.m.Faces) {
			t.Errorf("%s, answered: %v", c.name, err)
			continue
		}
		if v := mended.Solid.Measure().VolumeMM3; math.Abs(v-c.volume) > 0.02*c.volume+mended.ErrorMM3 {
			t.Errorf("%s, answered: volume %g ± %g, want %g", c.name, v, mended.ErrorMM3, c.volume)
		}
	}
}

// A surface without an outside has no mend.
// Two tetrahedra of 1/6 that share a face, each with its own: the wall between them is
// left out. A tetrahedron whose every face is there both ways is one there twice.
func TestMendTakesOutWalls(t *testing.T) {
	corners := []r3.Vec{{}, {X: 1}, {Y: 1}, {Z: 1}, {Z: -1}}
	upper, lower := [][3]int32{{0, 2, 1}, {0, 1, 3}, {1, 2, 3}, {2, 0, 3}}, [][3]int32{{0, 1, 2}, {1, 0, 4}, {2, 1, 4}, {0, 2, 4}}
	doubled := slices.Clone(upper)
	for _, f := range upper {
		doubled = append(doubled, [3]int32{f[1], f[0], f[2]})
	}
	for _, c := range []struct {
		name   string
		faces  [][3]int32
		left   int
		volume float64
	}{{"a wall", slices.Concat(upper, lower), 6, 2. / 6}, {"all twice", doubled, 4, 1. / 6}} {
		solid, steps, doubt := mend(t, &mesh.Mesh{Vertices: corners, Faces: c.faces}, mesh.MendChoice{})
		if v := solid.Measure().VolumeMM3; math.Abs(v-c.volume) > 1e-12 || len(solid.Faces) != c.left || doubt > 0 || kindsOf(steps)[0] != mesh.MendDuplicate {
			t.Errorf("%s: volume %g ± %g of %d faces after %+v", c.name, v, doubt, len(solid.Faces), steps)
		}
	}
}

// The top of a block is a grid of n by n squares, its sides are two faces each: corners
// of the grid are on the edges of those, and nothing is missing.
func TestMendJoinsSeams(t *testing.T) {
	const n = 5
	block := meshtest.Box(60, 40, 30)
	block = without(block, func(a, b, c r3.Vec) bool { return min(a.Z, b.Z, c.Z) == 30 })
	at := func(i, j int) int32 {
		p := r3.Vec{X: 60 * float64(i) / n, Y: 40 * float64(j) / n, Z: 30}
		if k := slices.Index(block.Vertices, p); k >= 0 {
			return int32(k)
		}
		block.Vertices = append(block.Vertices, p)
		return int32(len(block.Vertices) - 1)
	}
	for i := range n {
		for j := range n {
			a, b, c, d := at(i, j), at(i+1, j), at(i+1, j+1), at(i, j+1)
			block.Faces = append(block.Faces, [3]int32{a, b, c}, [3]int32{a, c, d})
		}
	}
	tilted := block.Posed(mesh.PoseDown(r3.Unit(r3.Vec{X: 1, Y: 2, Z: -5})))
	for k, v := range tilted.Vertices {
		tilted.Vertices[k] = r3.Vec{X: float64(float32(v.X)), Y: float64(float32(v.Y)), Z: float64(float32(v.Z))}
	}
	for _, m := range []*mesh.Mesh{block, tilted} {
		solid, steps, doubt := mend(t, m, mesh.MendChoice{})
		if v := solid.Measure().VolumeMM3; math.Abs(v-72000) > 0.1 || doubt > 0 || !slices.Equal(kindsOf(steps), []string{mesh.MendWeld}) || steps[0].Count != 4*(n-1) {
			t.Errorf("volume %g ± %g after %+v", v, doubt, steps)
		}
	}
}

// Loose faces are no surface, even when every opening is to be closed: each would
// become a part of its own, in a time that grows with their square.
func TestMendRefusesLooseFaces(t *testing.T) {
	rnd := rand.New(rand.NewPCG(1, 2))
	heap := &mesh.Mesh{}
	for n := int32(0); n < 60_000; n += 3 {
		for range 3 {
			heap.Vertices = append(heap.Vertices, r3.Vec{X: rnd.Float64(), Y: rnd.Float64(), Z: rnd.Float64()})
		}
		heap.Faces = append(heap.Faces, [3]int32{n, n + 1, n + 2})
	}
	var asks *mesh.OpenQuestion
	if _, err := mesh.Mend(context.Background(), heap, mesh.MendChoice{CloseAll: true}); !errors.As(err, &asks) || !strings.Contains(err.Error(), "hardly hang together") {
		t.Errorf("%v; want a refusal", err)
	}
}

// A sieve of more holes than are closed is one piece, but no surface of a part either.
func TestMendRefusesSieve(t *testing.T) {
	ring := meshtest.TorusMesh(400, 200, 50, 20)
	sieve := &mesh.Mesh{Vertices: ring.Vertices}
	for f, face := range ring.Faces {
		if f%8 > 0 {
			sieve.Faces = append(sieve.Faces, face)
		}
	}
	holes := mesh.Check(sieve).OpenLoops
	var asks *mesh.OpenQuestion
	_, err := mesh.Mend(context.Background(), sieve, mesh.MendChoice{CloseAll: true})
	if !errors.As(err, &asks) || !strings.Contains(err.Error(), fmt.Sprintf("open in %d places", holes)) {
		t.Errorf("%d holes: %v; want a refusal", holes, err)
	}
}

func TestMendRefusesOneSided(t *testing.T) {
	const n = 24
	strip := &mesh.Mesh{}
	for i := range n { // Möbius
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / n)
		s2, c2 := math.Sincos(math.Pi * float64(i) / n)
		for _, side := range []float64{-1, 1} {
			strip.Vertices = append(strip.Vertices, r3.Vec{X: (5 + side*c2) * cos, Y: (5 + side*c2) * sin, Z: side * s2})
		}
	}
	for i := range int32(n) {
		a, b, c, d := 2*i, 2*i+1, (2*i+2)%(2*n), (2*i+3)%(2*n)
		if i == n-1 {
			c, d = d, c
		}
		strip.Faces = append(strip.Faces, [3]int32{a, c, b}, [3]int32{b, c, d})
	}
	if mended, err := mesh.Mend(context.Background(), strip, mesh.MendChoice{}); err == nil {
		t.Errorf("a strip with a twist became a solid of %d faces by %+v", len(mended.Solid.Faces), mended.Steps)
	}
}

// The same scan is mended to the same digits every time.
func TestMendRepeats(t *testing.T) {
	s := subject(t, "torus", meshtest.TorusMesh(160, 64, 60, 20), r3.Vec{X: 1})
	broken := meshtest.MuchBroken(s, rand.New(rand.NewPCG(5, 6)))
	first, steps, bound := mend(t, broken, mesh.MendChoice{})
	for range 3 {
		again, steps2, bound2 := mend(t, broken, mesh.MendChoice{})
		if !reflect.DeepEqual(first, again) || !reflect.DeepEqual(steps, steps2) || bound != bound2 {
			t.Fatal("mended twice, two results")
		}
	}
}

// How long does a large scan take to mend?
func BenchmarkMend(b *testing.B) {
	ball := meshtest.Icosphere(8).Scaled(100)
	centers := []r3.Vec{{X: 100}, {Y: 100}, {Z: 100}, {X: -100}, {Y: -100}, {Z: -100}}
	holes := without(ball, func(a, _, _ r3.Vec) bool {
		return slices.ContainsFunc(centers, func(c r3.Vec) bool { return r3.Norm(r3.Sub(a, c)) < 8 })
	})
	many := &mesh.Mesh{Vertices: ball.Vertices}
	for f, t := range ball.Faces {
		if f%600 > 0 {
			many.Faces = append(many.Faces, t)
		}
	}
	for _, c := range []struct {
		name string
		m    *mesh.Mesh
	}{
		{"2000 faces missing in 1.3M", many},
		{"6 holes of 16 mm in 1.3M faces", holes},
		{"flipped faces in 1.3M", meshtest.Flipped(ball, firstSeed(), 0.2)},
		{"1.3M loose faces", meshtest.Soup(ball, firstSeed(), 0.002)},
	} {
		b.Run(c.name, func(b *testing.B) {
			for b.Loop() {
				if _, err := mesh.Mend(context.Background(), c.m, mesh.MendChoice{}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
