package field

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

// lens is the volume two spheres of radius r share, their centres d apart.
// Source: Weisstein, "Sphere-Sphere Intersection", MathWorld (from memory).
func lens(r, d float64) float64 {
	return math.Pi / 12 * (4*r + d) * (2*r - d) * (2*r - d)
}

// ball is a sphere of 20·4^level faces and just the volume of the sphere.
func ball(t testing.TB, level int, r float64) *mesh.Mesh {
	s, _, err := mesh.NewSolid(meshtest.Icosphere(level))
	if err != nil {
		t.Fatal(err)
	}
	return s.Scaled(r * math.Cbrt(4*math.Pi/3/s.Measure().VolumeMM3))
}

// crossedLathe is a can of radius 4 below and a drum of radius 6 from z = 3 to 9,
// turned from one line that crosses itself; a ring is counted twice.
func crossedLathe(n int) (*mesh.Mesh, float64) {
	m := meshtest.Lathe([]r2.Vec{{}, {X: 4}, {X: 4, Y: 6}, {X: 2, Y: 6}, {X: 2, Y: 3}, {X: 6, Y: 3}, {X: 6, Y: 9}, {Y: 9}}, n)
	unit := float64(n) / 2 * math.Sin(2*math.Pi/float64(n)) // a polygon of radius 1
	return m, unit * (4*4*3 + 6*6*6)
}

func TestVolume(t *testing.T) {
	b := ball(t, 5, 10)
	sphere := func(r float64) float64 { return 4 * math.Pi / 3 * r * r * r }
	lathe, drum := crossedLathe(90)
	tilted := mesh.PoseDown(r3.Unit(r3.Vec{X: 1, Y: 2, Z: -5}))
	for _, c := range []struct {
		name   string
		m      *mesh.Mesh
		volume float64
		tight  bool // the bar is at most 10 times the error, or 0.2 %
	}{
		{"sphere", b, sphere(10), true},
		{"inside out", turnedIn(b), sphere(10), true},
		{"hollow", meshtest.Together(b, turnedIn(ball(t, 4, 4))), sphere(10) - sphere(4), true},
		{"solid twice", meshtest.Together(b, b), sphere(10), true},
		{"nested", meshtest.Together(b, ball(t, 4, 4)), sphere(10), true},
		{"two overlapping", meshtest.Together(b, meshtest.Moved(b, r3.Vec{X: 10})), 2*sphere(10) - lens(10, 10), true},
		{"two overlapping askew", meshtest.Together(b, meshtest.Moved(b, r3.Vec{X: 7, Y: 5, Z: 3})), 2*sphere(10) - lens(10, math.Sqrt(83)), true},
		{"overlapping boxes", meshtest.Together(meshtest.Box(10, 10, 10), meshtest.Moved(meshtest.Box(10, 10, 10), r3.Vec{X: 5.3, Y: 4.1, Z: 3.7})),
			2000 - 4.7*5.9*6.3, true},
		{"overlapping boxes, tilted", meshtest.Together(meshtest.Box(10, 10, 10), meshtest.Moved(meshtest.Box(10, 10, 10), r3.Vec{X: 5.3, Y: 4.1, Z: 3.7})).Posed(tilted),
			2000 - 4.7*5.9*6.3, true},
		{"self-crossing lathe", lathe, drum, true},
		{"self-crossing lathe, tilted", lathe.Posed(tilted), drum, true},
		{"cube without a face", openCube(), 1000, false},
		{"cube without a face, tilted", openCube().Posed(tilted), 1000, false},
		{"sphere with small holes", without(b, func(f int) bool { return f%1000 == 0 }), sphere(10), false},
	} {
		v, bar := newField(t, c.m, Choice{Cells: 64}).Volume()
		off := math.Abs(v - c.volume)
		t.Logf("%s: %.3f, off by %.5f %%, bar %.5f %%", c.name, v, 100*off/c.volume, 100*bar/c.volume)
		if off > bar {
			t.Errorf("%s: %g ± %g, want %g", c.name, v, bar, c.volume)
		}
		if c.tight && bar > max(10*off, 0.002*c.volume) {
			t.Errorf("%s: bar %g for an error of %g", c.name, bar, off)
		}
	}
}

// finned is a cube with a sheet that stands out from one of its edges, where three
// faces meet, all along the axes.
func finned() *mesh.Mesh {
	m := meshtest.Box(10, 10, 10)
	at := func(p r3.Vec) int32 { return int32(slices.Index(m.Vertices, p)) }
	n := int32(len(m.Vertices))
	from, to := at(r3.Vec{}), at(r3.Vec{X: 10})
	return &mesh.Mesh{Vertices: append(slices.Clone(m.Vertices), r3.Vec{X: 10, Y: -5}, r3.Vec{Y: -5}),
		Faces: append(slices.Clone(m.Faces), [3]int32{from, to, n}, [3]int32{from, n, n + 1})}
}

// Where all faces lie along the axes, the lines of all axes may agree and yet round
// alike; the bar holds, and is never nothing.
func TestBarsOfFacesAlongTheAxes(t *testing.T) {
	in, n := 0, 0
	for _, cells := range []int{16, 24, 31, 33, 48} {
		if v, bar := newField(t, finned(), Choice{Cells: cells}).Volume(); math.Abs(v-1000) > bar || bar < 1/float64(cells) {
			t.Errorf("with a fin, %d cells: %g ± %g, want 1000 and more than nothing", cells, v, bar)
		}
		for i := range 20 {
			box, shared := meshtest.Box(10, 10, 10), 3+0.17*float64(i)
			d := 10 - shared
			m, want := meshtest.Together(box, meshtest.Moved(box, r3.Vec{X: d, Y: d, Z: d})), 2000-shared*shared*shared
			f := newField(t, m, Choice{Cells: cells})
			v, bar := f.Volume()
			if n++; math.Abs(v-want) <= bar {
				in++
			}
			if bar < f.VoxelMM*f.VoxelMM*f.VoxelMM {
				t.Errorf("sharing %g, %d cells: a bar of %g, less than a voxel", shared, cells, bar)
			}
		}
	}
	t.Logf("%d of %d held", in, n)
	if float64(in) < 0.95*float64(n) {
		t.Errorf("%d of %d held", in, n)
	}
}

// Errors shrink as voxels do: those of the volume faster than the voxel, those of
// the distance in step with it.
func TestConvergence(t *testing.T) {
	b := ball(t, 5, 10)
	m := meshtest.Together(b, meshtest.Moved(b, r3.Vec{X: 7, Y: 5, Z: 3}))
	want := 2*4*math.Pi/3*1000 - lens(10, math.Sqrt(83))
	round := meshtest.TorusMesh(600, 300, 3, 1)
	var volume, distance []float64
	for _, n := range []int{32, 64, 128, 256} {
		v, bar := newField(t, m, Choice{Cells: n}).Volume()
		f := newField(t, round, Choice{Cells: n})
		_, any := f.misses(31, torusDistance(3, 1))
		volume, distance = append(volume, math.Abs(v/want-1)), append(distance, any*f.VoxelMM)
		t.Logf("%3d cells: volume off by %.2e (bar %.2e), distance by %.2e mm", n, math.Abs(v/want-1), bar/want, any*f.VoxelMM)
		if math.Abs(v-want) > bar {
			t.Errorf("%d cells: volume %g ± %g, want %g", n, v, bar, want)
		}
	}
	for _, c := range []struct {
		name  string
		list  []float64
		order float64
	}{{"volume", volume, 1.2}, {"distance", distance, 0.8}} {
		order := math.Log2(c.list[0]/c.list[3]) / 3
		t.Logf("%s: order %.2f", c.name, order)
		if order < c.order {
			t.Errorf("%s: order %.2f, want %g", c.name, order, c.order)
		}
	}
}

// Over many poses the bar holds the volume of overlapping parts, and its median
// is at most ten times that of the error.
func TestBarsHoldInAnyPose(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 9))
	b := ball(t, 4, 10)
	box := meshtest.Box(16, 12, 9)
	in, n := 0, 24
	var bars, errors []float64
	for range n {
		d := r3.Vec{X: 14 * rng.Float64(), Y: 7 * rng.Float64(), Z: 5 * rng.Float64()}
		m, want := meshtest.Together(b, meshtest.Moved(b, d)), 2*4*math.Pi/3*1000-lens(10, r3.Norm(d))
		if rng.IntN(2) == 0 {
			m, want = meshtest.Together(box, meshtest.Moved(box, d)), 2*16*12*9-(16-d.X)*(12-d.Y)*(9-d.Z)
		}
		if rng.IntN(2) == 0 {
			m = m.Posed(mesh.PoseDown(r3.Unit(r3.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()})))
		}
		v, bar := newField(t, m, Choice{Cells: 48}).Volume()
		if math.Abs(v-want) <= bar {
			in++
		}
		bars, errors = append(bars, bar/want), append(errors, math.Abs(v/want-1))
	}
	slices.Sort(bars)
	slices.Sort(errors)
	t.Logf("%d of %d held; median bar %.2e, error %.2e; worst %.2e, %.2e", in, n, bars[n/2], errors[n/2], bars[n-1], errors[n-1])
	if float64(in) < 0.95*float64(n) || bars[n/2] > 10*errors[n/2] || bars[n/2] > 0.01 {
		t.Errorf("%d of %d held, median bar %g, error %g", in, n, bars[n/2], errors[n/2])
	}
}
