package airtrap

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"path/filepath"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
	"pourwright/mesh/field"
	"pourwright/mesh/meshtest"
	"pourwright/samples"
)

// A known case: a mesh, up +z, and the traps that a closed form gives.
type knownCase struct {
	name   string
	m      *mesh.Mesh
	domain Domain
	open   []r3.Vec  // places of openings
	volume []float64 // mm³ of each trap, largest first; 0: not known in closed form
	depth  []float64 // mm from top to spill level, 0: not checked
}

func (c knownCase) input() Input {
	in := Input{Domain: c.domain, Up: up, PersistenceMM: DefaultPersistenceMM, VolumeMM3: DefaultVolumeMM3}
	for _, p := range c.open {
		in.Open = append(in.Open, nearest(c.m, p)...)
	}
	return in
}

// ballWithRing is a ball of radius r with a ring of vertices at polar angle deg.
func ballWithRing(r, deg float64, n int) *mesh.Mesh {
	var profile []r2.Vec
	for k := range n + 1 {
		a := math.Pi * (1 - float64(k)/float64(n)) // from the lower pole up
		profile = append(profile, r2.Vec{X: r * math.Sin(a), Y: r * math.Cos(a)})
	}
	profile[0].X, profile[n].X = 0, 0
	k := n - int(math.Round(deg/180*float64(n)))
	profile[k] = r2.Vec{X: r * math.Sin(deg*math.Pi/180), Y: r * math.Cos(deg*math.Pi/180)}
	return meshtest.Lathe(profile, 2*n)
}

// cupOnLegs is a cup upside down, hollow of radius 30 and depth 50, its rim 20
// above a board, on three legs outside the rim's inner edge.
func cupOnLegs() *mesh.Mesh {
	m := cup(256).Posed(mesh.Pose{Rows: [3]r3.Vec{{X: 1}, {Y: -1}, {Z: -1}}, T: r3.Vec{Z: 80}})
	for k := range 3 {
		sin, cos := math.Sincos(2 * math.Pi * float64(k) / 3)
		m = joined(m, shifted(meshtest.Cylinder(48, 4, 19.5), 35*cos, 35*sin, 0.25))
	}
	return m
}

// Closed forms: cap of a ball πh²(3r−h)/3; half a ring π²Rr²; cylinder πr²h.
func knownCases() []knownCase {
	standing := mesh.Pose{Rows: [3]r3.Vec{{Z: 1}, {X: 1}, {Y: 1}}}
	ball := ballWithRing(50, 60, 180)
	sin60, cos60 := math.Sincos(math.Pi / 3)
	high, low := r3.Vec{X: -40, Z: 100}, r3.Vec{X: 40, Z: 80}
	ceiling := slab(64, 100, 0)
	sloped := slab(64, 100, math.Tan(math.Pi/180))
	return []knownCase{
		{"ball open at the pole", ball, Inside, []r3.Vec{{Z: 50}}, nil, nil},
		{"ball open 60° off the pole", ball, Inside, []r3.Vec{{X: 50 * sin60, Z: 50 * cos60}}, []float64{81812.31}, []float64{25}},
		{"standing ring open on one side", meshtest.TorusMesh(256, 128, 40, 10).Posed(standing), Inside, []r3.Vec{{Y: 50}}, []float64{39478.42}, []float64{50}},
		{"horns, vent on the high one", horns(80), Inside, []r3.Vec{high}, []float64{0}, []float64{30}},
		{"horns, vent on the low one", horns(80), Inside, []r3.Vec{low}, []float64{0}, []float64{50}},
		{"horns, vent on both", horns(80), Inside, []r3.Vec{high, low}, nil, nil},
		{"level ceiling", ceiling, Inside, nil, []float64{1e5}, []float64{10}},
		{"ceiling sloping by 1°, open at its high edge", sloped, Inside, []r3.Vec{{X: 50, Z: 60 + 50*math.Tan(math.Pi/180)}}, nil, nil},
		{"rubber over an upward cup", cup(256), Outside, nil, nil, nil},
		{"rubber under a cup upside down on legs", cupOnLegs(), Outside, nil, []float64{math.Pi * 30 * 30 * 50}, []float64{50}},
	}
}

// Every case on the mesh, to 0.2 %: what the facets take off.
func TestKnownCases(t *testing.T) {
	for _, c := range knownCases() {
		r, err := Find(NewSurface(c.m), c.input())
		if err != nil {
			t.Fatal(err)
		}
		c.compare(t, "mesh", r, 0.002, 1e-3)
		if n := NearlyLevel(NewSurface(c.m), c.input()); strings.Contains(c.name, "sloping") && n == nil {
			t.Errorf("%s: the slope is not flagged", c.name)
		}
	}
}

// Turning the mesh and up together changes nothing: a level ceiling whose heights
// differ by rounding is one trap still.
func TestKnownCasesInAnyPose(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 14))
	for _, c := range knownCases() {
		in := c.input()
		level, err := Find(NewSurface(c.m), in)
		if err != nil {
			t.Fatal(err)
		}
		for range 3 {
			pose := mesh.PoseDown(direction(rng))
			pose.T = r3.Scale(1000, direction(rng))
			in.Up = pose.Dir(up)
			r, err := Find(NewSurface(c.m.Posed(pose)), in)
			if err != nil || len(r) != len(level) {
				t.Fatalf("%s, posed: %+v, %v; level %+v", c.name, r, err, level)
			}
			for i := range r {
				if want := level[i].VolumeMM3; math.Abs(r[i].VolumeMM3-want) > 1e-9*want {
					t.Errorf("%s, posed: %.9g mm³, level %.9g", c.name, r[i].VolumeMM3, want)
				}
			}
		}
	}
}

func (c knownCase) compare(t *testing.T, how string, r []Trap, share, depthMM float64) {
	t.Helper()
	if len(r) != len(c.volume) {
		t.Errorf("%s, %s: %d traps, want %d: %+v", c.name, how, len(r), len(c.volume), r)
		return
	}
	for i, want := range c.volume {
		if got := r[i].VolumeMM3; want > 0 && math.Abs(got-want) > share*want {
			t.Errorf("%s, %s: %.1f mm³, want %.1f (%.2f %% off)", c.name, how, got, want, 100*(got/want-1))
		}
		if got := r[i].PersistenceMM; math.Abs(got-c.depth[i]) > depthMM {
			t.Errorf("%s, %s: %.3f mm deep, want %.3f", c.name, how, got, c.depth[i])
		}
	}
}

// The same on the grid, at its default resolution: exact counts, volumes within
// 3 %. A level surface between two layers of the grid is found where it is.
func TestGridAgreesOnKnownCases(t *testing.T) {
	for _, c := range knownCases() {
		size := c.m.Bounds().Size()
		voxel := max(size.X, size.Y, size.Z) / 128
		c.compare(t, "grid", gridTraps(t, c.m, field.Choice{}, c.input()), 0.03, 2*voxel)
	}
}

// The grid's error is of first order in its step: halving the step halves the
// bound, in any turn about the vertical.
func TestGridConverges(t *testing.T) {
	if testing.Short() {
		t.Skip("takes some seconds")
	}
	cases := knownCases()
	for _, c := range []knownCase{cases[1], cases[2]} {
		in := c.input()
		exact, err := Find(NewSurface(c.m), in)
		if err != nil {
			t.Fatal(err)
		}
		line := fmt.Sprintf("%-31s", c.name)
		for _, cells := range []int{32, 64, 128, 256} {
			worst, turns := 0.0, 3
			if cells == 256 {
				turns = 1
			}
			for k := range turns {
				r := gridTraps(t, turned(c.m, up, 0.3*float64(k)), field.Choice{Cells: cells}, in)
				if len(r) != 1 {
					t.Fatalf("%s, %d cells: %+v", c.name, cells, r)
				}
				worst = max(worst, math.Abs(r[0].VolumeMM3/exact[0].VolumeMM3-1))
			}
			line += fmt.Sprintf("  %d: %6.3f %%", cells, 100*worst)
			if bound := 1 / float64(cells); worst > bound {
				t.Errorf("%s, %d cells: %.2f %% off, want within %.2f %%", c.name, cells, 100*worst, 100*bound)
			}
		}
		t.Log(line)
	}
}

// Turning a scan turns its traps, and mirroring it mirrors them.
func TestSamplesInAnyPose(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 9))
	mirror := func(p r3.Vec) r3.Vec { return r3.Vec{X: -p.X, Y: p.Y, Z: p.Z} }
	seen := 0
	for _, sample := range samples.All() {
		m := readSample(t, sample.File)
		mirrored := &mesh.Mesh{}
		for _, p := range m.Vertices {
			mirrored.Vertices = append(mirrored.Vertices, mirror(p))
		}
		for _, f := range m.Faces {
			mirrored.Faces = append(mirrored.Faces, [3]int32{f[0], f[2], f[1]})
		}
		for _, domain := range []Domain{Inside, Outside} {
			for range 4 {
				in := Input{Domain: domain, Up: direction(rng), Open: []int32{rng.Int32N(int32(len(m.Vertices)))}, PersistenceMM: DefaultPersistenceMM, VolumeMM3: DefaultVolumeMM3}
				if domain == Outside {
					in.Open = nil
				}
				pose := mesh.PoseDown(direction(rng))
				pose.T = r3.Scale(300, direction(rng))
				posed := in
				posed.Up = pose.Dir(in.Up)
				flipped := in
				flipped.Up = mirror(in.Up)
				want := find(t, m, in)
				seen += len(want)
				sameTraps(t, sample.File+" turned", find(t, m.Posed(pose), posed), want)
				sameTraps(t, sample.File+" mirrored", find(t, mirrored, flipped), want)
			}
		}
	}
	if t.Logf("%d traps", seen); seen < 50 {
		t.Errorf("only %d traps to compare", seen)
	}
}

func sameTraps(t *testing.T, how string, got, want []Trap) {
	t.Helper()
	if len(got) != len(want) {
		t.Errorf("%s: %d traps, want %d: %+v and %+v", how, len(got), len(want), got, want)
		return
	}
	for i, w := range want {
		if g := got[i]; g.Vertex != w.Vertex || g.Nested != w.Nested || math.Abs(g.VolumeMM3-w.VolumeMM3) > 1e-6*w.VolumeMM3 || math.Abs(g.PersistenceMM-w.PersistenceMM) > 1e-6 {
			t.Errorf("%s: %+v, want %+v", how, g, w)
		}
	}
}

// Grid and mesh on the samples, in poses and with an opening of a fixed seed:
// what is large for the grid is found by both, with the same volume to 3 %.
func TestGridAgreesOnSamples(t *testing.T) {
	if testing.Short() {
		t.Skip("takes some seconds")
	}
	rng := rand.New(rand.NewPCG(11, 7))
	const least, depth = 10000, 10 // about 500 voxels
	both := 0
	for _, sample := range samples.All() {
		m := readSample(t, sample.File)
		for pose := range 2 {
			p := turned(m, direction(rng), 0)
			for _, domain := range []Domain{Inside, Outside} {
				in := Input{Domain: domain, Up: up, PersistenceMM: depth, VolumeMM3: least}
				if domain == Inside {
					in.Open = []int32{rng.Int32N(int32(len(p.Vertices)))}
				}
				r, err := Find(NewSurface(p), in)
				if err != nil {
					t.Fatal(err)
				}
				in.PersistenceMM, in.VolumeMM3 = 0.8*depth, 0.9*least
				g := gridTraps(t, p, field.Choice{Cells: 160}, in)
				for _, trap := range r {
					if nearestTrap(trap, g) < 0 {
						t.Errorf("%s, pose %d, domain %d: the grid lacks %+v among %+v", sample.File, pose, domain, trap, g)
						continue
					}
					both++
				}
				for _, trap := range g {
					if trap.VolumeMM3 > 1.1*least && trap.PersistenceMM > 1.2*depth && nearestTrap(trap, r) < 0 {
						t.Errorf("%s, pose %d, domain %d: the mesh lacks %+v among %+v", sample.File, pose, domain, trap, r)
					}
				}
			}
		}
	}
	if t.Logf("%d traps alike", both); both < 10 {
		t.Errorf("only %d traps to compare", both)
	}
}

// nearestTrap returns which of some traps is the same but for the grid's step:
// its volume within 3 %, −1 for none.
func nearestTrap(t Trap, among []Trap) int {
	for k, o := range among {
		if math.Abs(o.VolumeMM3/t.VolumeMM3-1) < 0.03 && math.Abs(o.Spill-t.Spill) < 2.5 && math.Abs(o.PersistenceMM-t.PersistenceMM) < 3 {
			return k
		}
	}
	return -1
}

func direction(rng *rand.Rand) r3.Vec {
	return r3.Unit(r3.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()})
}

func readSample(t testing.TB, file string) *mesh.Mesh {
	t.Helper()
	m, _, err := mesh.Read(context.Background(), filepath.Join("../../samples", file), nil)
	if err != nil {
		t.Fatal(err)
	}
	return m
}
