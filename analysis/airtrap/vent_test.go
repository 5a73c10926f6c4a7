package airtrap

import (
	"context"
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

func shifted(m *mesh.Mesh, x, y, z float64) *mesh.Mesh {
	return meshtest.Moved(m, r3.Vec{X: x, Y: y, Z: z})
}

// wide is a room with nothing in the way.
func wide(diameter float64) Room {
	return Room{WallMM: walls(500), Diameter: func(float64) float64 { return diameter },
		DepthMM: DefaultPersistenceMM, LeastMM3: DefaultVolumeMM3}
}

// castTraps finds the traps of the cavity that the pattern leaves, spout where
// open is.
func castTraps(t *testing.T, s *Surface, open []int32) []Trap {
	t.Helper()
	r, err := Find(s, Input{Domain: Inside, Up: r3.Vec{Z: -1}, Open: open, PersistenceMM: DefaultPersistenceMM, VolumeMM3: DefaultVolumeMM3})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func vents(t *testing.T, m *mesh.Mesh, traps []Trap, room Room) ([]*Vent, []int) {
	t.Helper()
	v, beside, err := Vents(context.Background(), NewSurface(m), traps, room)
	if err != nil {
		t.Fatal(err)
	}
	outside(t, m, v)
	return v, beside
}

// outside fails for a post that is somewhere inside the pattern: points on its
// side, where it has left the trap behind, by the winding number.
func outside(t *testing.T, m *mesh.Mesh, vents []*Vent) {
	t.Helper()
	tree := mesh.NewTree(m)
	for i, v := range vents {
		if v == nil {
			continue
		}
		along := r3.Sub(v.To, v.From)
		length := r3.Norm(along)
		along = r3.Scale(1/length, along)
		x, y := mesh.Frame(along)
		for at := v.DiameterMM; at < length; at += 0.5 {
			for k := range 24 {
				sin, cos := math.Sincos(2 * math.Pi * float64(k) / 24)
				side := r3.Scale(v.DiameterMM/2, r3.Add(r3.Scale(cos, x), r3.Scale(sin, y)))
				if q := r3.Add(r3.Add(v.From, r3.Scale(at, along)), side); tree.Winding(q) > 0.5 {
					t.Fatalf("post %d (%+v) is inside the pattern at %v", i, *v, q)
				}
			}
		}
	}
}

// lowest makes the trap whose top is the lowest vertex of m.
func lowest(m *mesh.Mesh) Trap {
	low := 0
	for v, p := range m.Vertices {
		if p.Z < m.Vertices[low].Z {
			low = v
		}
	}
	return Trap{At: m.Vertices[low], Vertex: int32(low), Spill: -m.Vertices[low].Z - 20, PersistenceMM: 20, VolumeMM3: 1000}
}

func TestVents(t *testing.T) {
	ball := shifted(meshtest.Icosphere(4).Scaled(20), 0, 0, 100)
	trap := lowest(ball)
	free, _ := vents(t, ball, []Trap{trap}, wide(3))
	if v := free[0]; v == nil || r3.Norm(r3.Sub(v.To, r3.Vec{X: trap.At.X, Y: trap.At.Y})) > 1e-9 || v.MovedMM != 0 || v.LeftMM3 != 0 {
		t.Errorf("free ball: got %+v, want a post straight down", v)
	}
	for _, c := range []struct {
		half float64
		want bool
	}{{20, true}, {200, false}} {
		plate := shifted(meshtest.Box(2*c.half, 2*c.half, 5), -c.half, -c.half, 20)
		v, beside := vents(t, joined(ball, plate), []Trap{trap}, wide(3))
		if (v[0] != nil) != c.want || beside[0] != -1 {
			t.Fatalf("plate of half width %g: got %+v beside %d, want a post: %v", c.half, v[0], beside[0], c.want)
		}
		if v[0] != nil && math.Hypot(v[0].To.X, v[0].To.Y) < c.half*0.75 {
			t.Errorf("post ends at %v, under the plate", v[0].To)
		}
	}
}

// A post never ends beyond the walls.
func TestVentsStayInTheBox(t *testing.T) {
	m := joined(shifted(meshtest.Icosphere(3).Scaled(10), 0, 0, 90), shifted(meshtest.Box(40, 40, 5), -20, -20, 20))
	ball := shifted(meshtest.Icosphere(3).Scaled(10), 0, 0, 90)
	room := wide(4)
	room.WallMM = walls(100)
	if v, _ := vents(t, m, []Trap{lowest(ball)}, room); v[0] == nil || math.Hypot(v[0].To.X, v[0].To.Y) < 20 {
		t.Errorf("in a wide box the post is %+v, want one past the plate", v[0])
	}
	room.WallMM = walls(23)
	if v, _ := vents(t, m, []Trap{lowest(ball)}, room); v[0] != nil {
		t.Errorf("in a narrow box the post is %+v, want none", v[0])
	}
}

// slab is a plate whose underside is a grid of squares, sloping by so much a mm
// along x, at z = 50 in the middle.
func slab(n int, size, slope float64) *mesh.Mesh {
	m := meshtest.Box(size, size, 10)
	for len(m.Faces) < n*n {
		m = meshtest.Split(m)
	}
	out := &mesh.Mesh{Faces: m.Faces}
	for _, p := range m.Vertices {
		out.Vertices = append(out.Vertices, r3.Vec{X: p.X - size/2, Y: p.Y - size/2, Z: 50 + p.Z + slope*(p.X-size/2)})
	}
	return out
}

// On a level underside the post keeps off the carved half, and stays as near the
// middle as it can; on a slope it stays where no more air than matters is left.
func TestVentsMoveToPlainSurface(t *testing.T) {
	m := slab(48, 60, 0)
	room := wide(4)
	room.Detail = make([]float32, len(m.Vertices))
	for v, p := range m.Vertices {
		if p.X > -10 {
			room.Detail[v] = 0.8
		}
	}
	s := NewSurface(m)
	traps := castTraps(t, s, nearest(m, r3.Vec{Z: 60}))
	if len(traps) != 1 {
		t.Fatalf("a level underside makes %d traps", len(traps))
	}
	v, _ := vents(t, m, traps, room)
	if v[0] == nil || v[0].From.X > -10 || v[0].From.X < -17 || v[0].Detail > 0.1 || v[0].From.Z != v[0].To.Z+50 || v[0].LeftMM3 != 0 {
		t.Errorf("level: %+v, want a straight post on the plain third, near its edge", v[0])
	}
	if moved := r3.Norm(r3.Sub(v[0].From, traps[0].At)); math.Abs(v[0].MovedMM-moved) > 1e-12 {
		t.Errorf("moved %g mm, told %g", moved, v[0].MovedMM)
	}
	// At a slope of 1 % the low edge is at x = −30, all carved now; the plain half
	// is beyond the 0.5 mm that a post may end above the top.
	sloped := slab(48, 60, 0.01)
	for i, p := range sloped.Vertices {
		room.Detail[i] = 0
		if p.X < 0 {
			room.Detail[i] = 0.8
		}
	}
	traps = castTraps(t, NewSurface(sloped), nearest(sloped, r3.Vec{X: 30, Z: 60}))
	v, _ = vents(t, sloped, traps, room)
	if v[0] == nil || v[0].From.X > 0 || v[0].Detail < 0.7 {
		t.Errorf("sloping: %+v, want a post on the carved low side", v[0])
	}
	// Air above the post's end: a wedge under the slope.
	low := 50 - 0.01*30
	h := v[0].From.Z - low
	if want := h * h / 2 / 0.01 * 60; math.Abs(v[0].LeftMM3-want) > 1e-6*want+1e-6 || v[0].LeftMM3 > DefaultVolumeMM3 {
		t.Errorf("%g mm³ left above the post, want %g and no more than %d", v[0].LeftMM3, want, DefaultVolumeMM3)
	}
}

// tips is a plate with two cones that hang from it, so far apart.
func tips(apart float64) *mesh.Mesh {
	cone := meshtest.Lathe([]r2.Vec{{X: 0, Y: 0}, {X: 0.4, Y: 0}, {X: 0.4 * apart, Y: 20}, {X: 0, Y: 20}}, 48)
	return joined(shifted(cone, -apart/2, 0, 60), shifted(cone, apart/2, 0, 60))
}

func TestPostsKeepApart(t *testing.T) {
	for _, c := range []struct {
		apart  float64
		shared bool
		second bool
	}{{1.2, true, true}, {3, false, false}, {12, false, true}} {
		m := tips(c.apart)
		one, two := lowest(m), lowest(m)
		two.Vertex = nearest(m, r3.Vec{X: c.apart / 2, Z: 60})[0]
		one.Vertex = nearest(m, r3.Vec{X: -c.apart / 2, Z: 60})[0]
		one.At, two.At = m.Vertices[one.Vertex], m.Vertices[two.Vertex]
		v, beside := vents(t, m, []Trap{one, two}, wide(4))
		if v[0] == nil || (v[0] == v[1]) != c.shared || (v[1] != nil) != c.second || (beside[1] == 0) == c.second {
			t.Errorf("tips %g mm apart: %+v and %+v, beside %v", c.apart, v[0], v[1], beside)
		}
		if v[1] != nil && !c.shared {
			if d := segmentDistance(v[0].From, v[0].To, v[1].From, v[1].To); d < 4+webMM {
				t.Errorf("tips %g mm apart: posts of 4 mm, %g mm apart", c.apart, d)
			}
		}
	}
}

// A post keeps off the stem of the spout.
func TestPostsKeepOffTheStem(t *testing.T) {
	ball := shifted(meshtest.Icosphere(4).Scaled(20), 0, 0, 60)
	room := wide(4)
	room.Spout, room.StemMM, room.SpoutMM = r3.Vec{X: 8}, 20, 10
	v, _ := vents(t, ball, []Trap{lowest(ball)}, room)
	stem := r3.Add(room.Spout, r3.Vec{Z: room.StemMM})
	if v[0] == nil || v[0].To == (r3.Vec{}) {
		t.Fatalf("got %+v, want a slanted post", v[0])
	}
	if d := segmentDistance(v[0].From, v[0].To, room.Spout, stem); d < 2+5+webMM {
		t.Errorf("%g mm between the axes of post and stem", d)
	}
}

// The distance of segments against a search over both.
func TestSegmentDistance(t *testing.T) {
	for i, c := range [][4]r3.Vec{
		{{}, {X: 10}, {X: 5, Y: 3, Z: -5}, {X: 5, Y: 3, Z: 5}},
		{{}, {X: 10}, {X: 12, Y: 1}, {X: 20, Y: 7}},
		{{}, {X: 10}, {Y: 2}, {X: 10, Y: 2}},
		{{}, {X: 10}, {X: -3, Y: 2}, {X: -8, Y: 2}},
		{{X: 1, Y: 1}, {X: 1, Y: 1}, {Z: 4}, {X: 9, Z: 4}},
		{{Z: 4}, {X: 9, Z: 4}, {X: 1, Y: 1}, {X: 1, Y: 1}},
		{{X: 3, Y: 1, Z: 7}, {X: -2, Y: 8}, {X: 9, Z: 1}, {Y: -3, Z: 6}},
	} {
		const n = 400
		best := math.Inf(1)
		for a := range n + 1 {
			for b := range n + 1 {
				p := r3.Add(c[0], r3.Scale(float64(a)/n, r3.Sub(c[1], c[0])))
				q := r3.Add(c[2], r3.Scale(float64(b)/n, r3.Sub(c[3], c[2])))
				best = min(best, r3.Norm(r3.Sub(p, q)))
			}
		}
		if got := segmentDistance(c[0], c[1], c[2], c[3]); math.Abs(got-best) > 1e-3*max(1, best) || got > best+1e-9 {
			t.Errorf("pair %d: %g, search %g", i, got, best)
		}
	}
}

func TestVentsStop(t *testing.T) {
	ctx, stop := context.WithCancel(context.Background())
	stop()
	ball := shifted(meshtest.Icosphere(2).Scaled(20), 0, 0, 60)
	if _, _, err := Vents(ctx, NewSurface(ball), []Trap{lowest(ball)}, wide(3)); err == nil {
		t.Error("a stopped search answers")
	}
}

// On samples: with the posts' feet open no trap is left, and without one of them
// its trap is back.
func TestARemovedVentBringsItsTrapBack(t *testing.T) {
	for _, file := range []string{"speaking-trumpet.stl", "tiller-handle.stl", "storm-lantern.stl"} {
		m := readSample(t, file)
		m = turned(m, mesh.TightestBox(m.Vertices).Axes[2], 0)
		box := m.Bounds()
		m = shifted(m, -(box.Min.X+box.Max.X)/2, -(box.Min.Y+box.Max.Y)/2, 30-box.Min.Z)
		s := NewSurface(m)
		spout := lowest(m).Vertex
		traps := castTraps(t, s, []int32{spout})
		posts, _ := vents(t, m, traps, wide(3))
		feet := []int32{spout}
		for i, v := range posts {
			if v == nil {
				t.Fatalf("%s: no post for %+v", file, traps[i])
			}
			feet = append(feet, v.Foot, traps[i].Vertex)
		}
		if left := castTraps(t, s, feet); len(left) != 0 || len(traps) == 0 {
			t.Errorf("%s: of %d traps are left %+v", file, len(traps), left)
		}
		for i, trap := range traps {
			without := []int32{spout}
			for k, v := range posts {
				if v != posts[i] {
					without = append(without, v.Foot, traps[k].Vertex)
				}
			}
			back := castTraps(t, s, without)
			if !containsTrap(back, trap.Vertex) {
				t.Errorf("%s: without its post, %+v is not among %+v", file, trap, back)
			}
			if v := posts[i]; v.LeftMM3 > DefaultVolumeMM3 || v.From.Z > trap.topZ()+DefaultPersistenceMM {
				t.Errorf("%s: %+v leaves air in %+v", file, v, trap)
			}
		}
		t.Logf("%s: %d traps, all with a post", file, len(traps))
	}
}

func containsTrap(traps []Trap, vertex int32) bool {
	for _, t := range traps {
		if t.Vertex == vertex {
			return true
		}
	}
	return false
}

func BenchmarkVents(b *testing.B) {
	m, in := trumpet(b)
	m = shifted(m, 0, 0, 30-m.Bounds().Min.Z)
	s := NewSurface(m)
	traps, err := Find(s, in.Input)
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, _, err := Vents(context.Background(), s, traps, wide(3)); err != nil {
			b.Fatal(err)
		}
	}
}

// walls are those of a square box, at ±half along x and y.
func walls(half float64) func(r3.Vec) float64 {
	return func(p r3.Vec) float64 { return half - max(math.Abs(p.X), math.Abs(p.Y)) }
}
