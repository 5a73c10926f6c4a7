package cast

import (
	"context"
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
	"pourwright/mesh/field"
	"pourwright/mesh/meshtest"
)

func refined(t testing.TB, m *mesh.Mesh, cells int) *Passages {
	t.Helper()
	p := passagesOf(t, m, cells)
	if err := p.Refine(context.Background(), m); err != nil {
		t.Fatal(err)
	}
	return p
}

// A rod of radius r between two balls: neck 2r wide, πr² in section, half of all
// behind it, at any grid and in any pose.
func TestDumbbell(t *testing.T) {
	const R, r, apart = 25, 8, 80
	straight := dumbbell(R, r, apart)
	volume := second(mesh.NewSolid(straight)).Measure().VolumeMM3
	for _, cells := range []int{32, 50, 80} {
		for _, turn := range []mesh.Pose{pose(0, 0, 0, r3.Vec{}), pose(33, 20, 70, r3.Vec{X: 5}), pose(45, 45, 180, r3.Vec{Z: 1e3})} {
			m := straight.Posed(turn)
			necks, reached := refined(t, m, cells).From(turn.Point(r3.Vec{Z: -R}), 10)
			if len(necks) != 1 {
				t.Fatalf("%d cells: %d necks", cells, len(necks))
			}
			n := necks[0]
			near(t, "diameter", n.DiameterMM, 2*r, 0.005)
			near(t, "area", n.AreaMM2, math.Pi*r*r, 0.005)
			near(t, "perimeter", n.PerimeterMM, 2*math.Pi*r, 0.005)
			near(t, "behind", n.BehindMM3, volume/2, 0.015)
			near(t, "reached", reached, volume, 1e-6)
			// From where the balls are 1.25·r wide: the rod proper, and a little more.
			near(t, "length", n.LengthMM, apart-2*math.Sqrt(R*R-r*r), 0.4)
			if d := r3.Norm(r3.Sub(n.At, turn.Point(r3.Vec{Z: apart / 2}))); d > 1 {
				t.Errorf("%d cells: %g mm off the middle of the rod", cells, d)
			}
			if c := r3.Dot(n.Along, turn.Dir(r3.Vec{Z: 1})); c < math.Cos(math.Pi/180) {
				t.Errorf("%d cells: %g° off the rod's axis", cells, math.Acos(c)*180/math.Pi)
			}
		}
	}
}

func second[S any, T any](s S, _ T, err error) S {
	if err != nil {
		panic(err)
	}
	return s
}

// Before it is measured on the mesh a neck is too narrow by no more than its doubt.
func TestGridDoubt(t *testing.T) {
	m := dumbbell(25, 8, 80).Posed(pose(33, 20, 70, r3.Vec{}))
	for _, cells := range []int{32, 64, 128} {
		necks, _ := passagesOf(t, m, cells).From(pose(33, 20, 70, r3.Vec{}).Point(r3.Vec{Z: -25}), 10)
		if len(necks) != 1 || necks[0].DiameterMM > 16 || necks[0].DiameterMM+necks[0].DoubtMM < 16 {
			t.Errorf("%d cells: %+v, want one neck of 16 mm", cells, necks)
		}
	}
}

// Three balls in a row: from the first the necks come one after the other, from
// the middle side by side.
func TestNecksInSeries(t *testing.T) {
	p := refined(t, threeBalls(), 64)
	necks, all := p.From(r3.Vec{Z: -25}, 10)
	if len(necks) != 2 || necks[0].After != -1 || necks[1].After != 0 {
		t.Fatalf("from the first ball: %+v", necks)
	}
	near(t, "first", necks[0].DiameterMM, 12, 0.005)
	near(t, "second", necks[1].DiameterMM, 18, 0.005)
	if !(necks[0].BehindMM3 > necks[1].BehindMM3) || necks[0].Along.Z < 0.99 || necks[1].Along.Z < 0.99 {
		t.Errorf("from the first ball: %+v", necks)
	}
	back, _ := p.From(r3.Vec{Z: 145}, 10)
	if len(back) != 2 || back[0].DiameterMM != necks[1].DiameterMM || back[1].After != 0 || back[0].Along.Z > -0.99 {
		t.Fatalf("from the last ball: %+v", back)
	}
	// What is behind a neck from one side and from the other is everything.
	near(t, "sum", necks[0].BehindMM3+back[1].BehindMM3, all, 1e-9)
	near(t, "sum", necks[1].BehindMM3+back[0].BehindMM3, all, 1e-9)
	middle, _ := p.From(r3.Vec{X: 20, Z: 60}, 10)
	if len(middle) != 2 || middle[0].After != -1 || middle[1].After != -1 {
		t.Errorf("from the middle ball: %+v", middle)
	}
}

// What has no constriction has no neck: convex parts, a wide ring, a bent rod, a
// ball on a stick that is filled from the ball.
func TestNoNeck(t *testing.T) {
	for name, c := range map[string]struct {
		m     *mesh.Mesh
		spout r3.Vec
	}{
		"box":     {meshtest.Box(60, 40, 100), r3.Vec{X: 30, Y: 20}},
		"slab":    {meshtest.Box(120, 80, 5), r3.Vec{X: 60, Y: 40}},
		"cone":    {meshtest.Cone(64, 20, 120), r3.Vec{Z: 120}},
		"frustum": {meshtest.Frustum(64, 8, 12, 300), r3.Vec{}},
		"rod":     {meshtest.Cylinder(48, 4, 200), r3.Vec{}},
		"ball":    {meshtest.Icosphere(4).Scaled(30), r3.Vec{Z: -30}},
		"ring":    {meshtest.TorusMesh(96, 48, 40, 10), r3.Vec{X: 50}},
		"lollipop": {turned(-60, 25, func(z float64) float64 {
			if z < 0 {
				return max(4, ballAt(z, 0, 25))
			}
			return ballAt(z, 0, 25)
		}), r3.Vec{Z: 25}},
	} {
		for _, turn := range []mesh.Pose{pose(0, 0, 0, r3.Vec{}), pose(31, 47, 12, r3.Vec{})} {
			m := c.m.Posed(turn)
			for _, cells := range []int{40, 72} {
				necks, reached := refined(t, m, cells).From(turn.Point(c.spout), 6)
				if len(necks) != 0 || !(reached > 0) {
					t.Errorf("%s, %d cells: %g mm³ reached, necks %+v", name, cells, reached, necks)
				}
			}
		}
	}
}

// ringOfBalls has two balls joined by two half rings of those radii.
func ringOfBalls(t *testing.T, wide, narrow float64) *mesh.Mesh {
	const R, half = 20, 45.0
	inside := func(p r3.Vec) float64 { // distance, negative inside
		d := min(r3.Norm(r3.Sub(p, r3.Vec{X: half})), r3.Norm(r3.Sub(p, r3.Vec{X: -half}))) - R
		flat := math.Hypot(p.X, p.Y) - half
		tube := wide
		if p.Y < 0 {
			tube = narrow
		}
		return min(d, math.Hypot(flat, p.Z)-tube)
	}
	f := &field.Field{Origin: r3.Vec{X: -70, Y: -62, Z: -26}, VoxelMM: 1, N: [3]int{141, 125, 53}}
	for z := range f.N[2] {
		for y := range f.N[1] {
			for x := range f.N[0] {
				f.Distance = append(f.Distance, float32(inside(r3.Add(f.Origin, r3.Vec{X: float64(x), Y: float64(y), Z: float64(z)}))))
			}
		}
	}
	s, err := f.Surface()
	if err != nil {
		t.Fatal(err)
	}
	return s.Mesh
}

// Where there are two ways round the wider one counts, and none when both are wide.
func TestTwoWaysRound(t *testing.T) {
	m := ringOfBalls(t, 8, 5)
	necks, _ := refined(t, m, 80).From(r3.Vec{X: -65}, 10)
	if len(necks) != 1 {
		t.Fatalf("%+v", necks)
	}
	near(t, "diameter", necks[0].DiameterMM, 16, 0.01)
	if necks[0].At.Y < 40 {
		t.Errorf("at %v, want on the wider side", necks[0].At)
	}
	if wide, _ := refined(t, ringOfBalls(t, 15, 5), 80).From(r3.Vec{X: -65}, 10); len(wide) != 0 {
		t.Errorf("a wide way round: %+v", wide)
	}
}

// A flat neck: its inscribed circle is its thickness, its section all of it.
func TestFlatNeck(t *testing.T) {
	m := meshtest.Lathe([]r2.Vec{{}, {X: 30}, {X: 30, Y: 50}, {X: 3, Y: 55}, {X: 3, Y: 75}, {X: 30, Y: 80}, {X: 30, Y: 130}, {Y: 130}}, 64)
	for i, v := range m.Vertices {
		m.Vertices[i].X = 3 * v.X
	}
	necks, _ := refined(t, m, 90).From(r3.Vec{}, 20)
	if len(necks) != 1 {
		t.Fatalf("%+v", necks)
	}
	n := necks[0]
	near(t, "thickness", n.DiameterMM, 6, 0.02)
	near(t, "area", n.AreaMM2, math.Pi*9*3, 0.01)
	near(t, "outline", n.PerimeterMM, 40.09, 0.01) // of the ellipse 18 × 6, Ramanujan
}

// Turning the part turns the answer; scaling it scales lengths, areas and volumes.
func TestLaws(t *testing.T) {
	const spout = -25
	m := threeBalls()
	want, _ := refined(t, m, 70).From(r3.Vec{Z: spout}, 10)
	for _, s := range []float64{0.01, 1, 40} {
		for _, turn := range []mesh.Pose{pose(10, 80, 33, r3.Vec{X: 7 * s}), pose(120, -15, 66, r3.Vec{})} {
			q := m.Scaled(s).Posed(turn)
			got, _ := refined(t, q, 70).From(turn.Point(r3.Vec{Z: spout * s}), 10*s)
			if len(got) != len(want) {
				t.Fatalf("scaled by %g: %+v", s, got)
			}
			for i, n := range got {
				near(t, "diameter", n.DiameterMM/s, want[i].DiameterMM, 0.005)
				near(t, "area", n.AreaMM2/s/s, want[i].AreaMM2, 0.005)
				near(t, "length", n.LengthMM/s, want[i].LengthMM, 0.03)
				near(t, "behind", n.BehindMM3/s/s/s, want[i].BehindMM3, 0.03)
				if d := r3.Norm(r3.Sub(n.At, turn.Point(r3.Scale(s, want[i].At)))); d > 0.5*s {
					t.Errorf("scaled by %g: neck %d is %g mm off", s, i, d)
				}
			}
		}
	}
}

// An hourglass is narrowest at its waist: a hyperboloid, whose waist is the largest
// ball that passes since its walls curve away from it.
func TestHourglass(t *testing.T) {
	const waist = 6
	m := turned(-60, 40, func(z float64) float64 { return math.Sqrt(waist*waist + z*z/4) }, 0)
	solid := second(mesh.NewSolid(m))
	above := solid.Measure().VolumeMM3 - mesh.NewProfile(solid, r3.Vec{Z: 1}).Below(0)
	for _, turn := range []mesh.Pose{pose(0, 0, 0, r3.Vec{}), pose(50, 25, 5, r3.Vec{})} {
		necks, _ := refined(t, m.Posed(turn), 60).From(turn.Point(r3.Vec{Z: -60}), 30)
		if len(necks) != 1 {
			t.Fatalf("%+v", necks)
		}
		n := necks[0]
		near(t, "diameter", n.DiameterMM, 2*waist, 0.005)
		near(t, "area", n.AreaMM2, math.Pi*waist*waist, 0.005)
		if d := r3.Norm(r3.Sub(n.At, turn.Point(r3.Vec{}))); d > 0.5 {
			t.Errorf("%g mm off the waist", d)
		}
		near(t, "behind", n.BehindMM3, above, 0.015)
	}
}

// A mirrored part has the mirrored neck.
func TestMirror(t *testing.T) {
	m := threeBalls().Posed(pose(20, 50, 35, r3.Vec{}))
	spout := pose(20, 50, 35, r3.Vec{}).Point(r3.Vec{Z: -25})
	other := &mesh.Mesh{}
	flip := func(p r3.Vec) r3.Vec { return r3.Vec{X: -p.X, Y: p.Y, Z: p.Z} }
	for _, v := range m.Vertices {
		other.Vertices = append(other.Vertices, flip(v))
	}
	for _, f := range m.Faces {
		other.Faces = append(other.Faces, [3]int32{f[0], f[2], f[1]})
	}
	want, _ := refined(t, m, 60).From(spout, 10)
	got, _ := refined(t, other, 60).From(flip(spout), 10)
	if len(got) != len(want) {
		t.Fatalf("%+v", got)
	}
	for i := range got {
		near(t, "diameter", got[i].DiameterMM, want[i].DiameterMM, 0.005)
		near(t, "behind", got[i].BehindMM3, want[i].BehindMM3, 0.02)
		if r3.Norm(r3.Sub(got[i].At, flip(want[i].At))) > 0.5 || r3.Norm(r3.Sub(got[i].Along, flip(want[i].Along))) > 0.02 {
			t.Errorf("%+v, want the mirror of %+v", got[i], want[i])
		}
	}
}

// Two bodies that do not touch: there is no way from one to the other, even where
// their voxels are neighbours.
func TestNoWayToAnotherBody(t *testing.T) {
	m := meshtest.Together(meshtest.Box(20, 20, 20), meshtest.Moved(meshtest.Box(20, 20, 20), r3.Vec{X: 20.3}))
	necks, reached := refined(t, m, 20).From(r3.Vec{X: 10, Y: 10}, 10)
	if len(necks) != 0 {
		t.Errorf("necks %+v", necks)
	}
	near(t, "reached", reached, 8000, 0.03)
}

func TestSpoutFarAway(t *testing.T) {
	if necks, reached := refined(t, threeBalls(), 40).From(r3.Vec{X: 500}, 10); necks != nil || reached != 0 {
		t.Errorf("%+v, %g", necks, reached)
	}
}

func TestFieldWithoutMargin(t *testing.T) {
	f := &field.Field{VoxelMM: 1, N: [3]int{3, 3, 3}, Distance: slices.Repeat([]float32{-1}, 27)}
	if _, err := NewPassages(context.Background(), f); !errors.Is(err, errBorder) {
		t.Errorf("error %v", err)
	}
}

func TestStopped(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	m := threeBalls()
	if _, err := NewPassages(ctx, fieldOf(t, m, 30)); !errors.Is(err, context.Canceled) {
		t.Errorf("passages: %v", err)
	}
	if err := passagesOf(t, m, 30).Refine(ctx, m); !errors.Is(err, context.Canceled) {
		t.Errorf("refining: %v", err)
	}
}

// randomField has smooth random clearances in a block of that size.
func randomField(r *rand.Rand, n int) *field.Field {
	f := &field.Field{VoxelMM: 1, N: [3]int{n, n, n}, Distance: make([]float32, n*n*n)}
	for i := range f.Distance {
		x, y, z := i%n, i/n%n, i/n/n
		f.Distance[i] = 1
		if x > 0 && y > 0 && z > 0 && x < n-1 && y < n-1 && z < n-1 && r.IntN(4) > 0 {
			f.Distance[i] = -float32(r.IntN(40)+1) / 4 // with equal ones
		}
	}
	return f
}

// widest returns the bottleneck of the widest way from a voxel to every other, by
// a search like Dijkstra's over all voxels, slow and plain.
func widest(f *field.Field, root int) []float64 {
	best := make([]float64, len(f.Distance))
	done := make([]bool, len(f.Distance))
	best[root] = -float64(f.Distance[root])
	for {
		at := -1
		for i, b := range best {
			if b > 0 && !done[i] && (at < 0 || b > best[at]) {
				at = i
			}
		}
		if at < 0 {
			return best
		}
		done[at] = true
		for _, step := range steps(f) {
			if to := at + step; f.Distance[to] < 0 {
				best[to] = max(best[to], min(best[at], -float64(f.Distance[to])))
			}
		}
	}
}

// The sweep's joins hold the bottleneck of the widest way between any two voxels.
func TestWidestWays(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 12))
	for range 12 {
		f := randomField(r, 8)
		s, err := newSweep(f)
		if err != nil {
			t.Fatal(err)
		}
		around := steps(f)
		level := map[[2]int32]float64{} // of the join of two basins
		for _, at := range byClearance(f.Distance) {
			before := slices.Clone(s.joined.up)
			s.take(int(at), &around)
			old := &sets{before}
			for a := range before {
				for b := range a {
					pair := [2]int32{int32(a), int32(b)}
					if old.find(pair[0]) != old.find(pair[1]) && s.joined.find(pair[0]) == s.joined.find(pair[1]) {
						level[pair] = -float64(f.Distance[at])
					}
				}
			}
		}
		for root, d := range f.Distance {
			if d >= 0 {
				continue
			}
			for to, want := range widest(f, root) {
				if f.Distance[to] >= 0 {
					continue
				}
				got := min(-float64(d), -float64(f.Distance[to]))
				if a, b := s.basin[root], s.basin[to]; a != b {
					got = min(got, level[[2]int32{max(a, b), min(a, b)}])
				}
				if got != want {
					t.Fatalf("from %d to %d: %g, want %g", root, to, got, want)
				}
			}
		}
	}
}

// From any root, what is behind a door and what is not is all that is reached.
func TestVolumesBehind(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 1))
	for range 20 {
		p, err := NewPassages(context.Background(), randomField(r, 14))
		if err != nil {
			t.Fatal(err)
		}
		for root := range p.rooms {
			w := walk{Passages: p, seen: make([]bool, len(p.rooms))}
			reached := w.into(int32(root), -1)
			for _, n := range w.necks {
				other := walk{Passages: p, seen: make([]bool, len(p.rooms))}
				for _, r := range n.Rooms {
					other.seen[r] = true
				}
				near(t, "front and behind", other.into(int32(root), -1)+n.BehindMM3, reached, 1e-9)
			}
		}
	}
}

func TestByClearance(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 3))
	d := make([]float32, 5000)
	for i := range d {
		d[i] = float32(r.NormFloat64() * math.Pow(10, float64(r.IntN(8)-4)))
		if i%7 == 0 {
			d[i] = -2
		}
	}
	var want []int32
	for i := range d {
		if d[i] < 0 {
			want = append(want, int32(i))
		}
	}
	slices.SortStableFunc(want, func(a, b int32) int {
		switch {
		case d[a] < d[b]:
			return -1
		case d[a] > d[b]:
			return 1
		}
		return 0
	})
	if !slices.Equal(byClearance(d), want) {
		t.Error("other order than a stable sort's")
	}
}
