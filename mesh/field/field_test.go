package field

import (
	"context"
	"errors"
	"math"
	"math/rand/v2"
	"runtime"
	"slices"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

func newField(t testing.TB, m *mesh.Mesh, c Choice) *Field {
	t.Helper()
	f, err := New(context.Background(), m, c, nil)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// turnedIn returns m with its inside out.
func turnedIn(m *mesh.Mesh) *mesh.Mesh { return flipped(m, 1) }

// same says whether two fields have the same digits.
func same(f, g *Field) bool {
	return f.Origin == g.Origin && f.VoxelMM == g.VoxelMM && f.N == g.N && slices.Equal(f.Distance, g.Distance) &&
		f.volume == g.volume && f.volumeError == g.volumeError
}

func TestSameDigitsOnAnyNumberOfProcessors(t *testing.T) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(0))
	for name, m := range map[string]*mesh.Mesh{
		"closed": meshtest.TorusMesh(300, 150, 3, 1),
		"open":   dome(4),
	} {
		runtime.GOMAXPROCS(1)
		first := newField(t, m, Choice{Cells: 50})
		for _, n := range []int{2, 5} {
			runtime.GOMAXPROCS(n)
			if !same(first, newField(t, m, Choice{Cells: 50})) {
				t.Errorf("%s: other digits on %d processors", name, n)
			}
		}
	}
}

func TestGridHoldsTheMesh(t *testing.T) {
	m := meshtest.Moved(meshtest.Box(2, 3, 4), r3.Vec{X: 100, Y: -50, Z: 7})
	f := newField(t, m, Choice{Cells: 64})
	if f.VoxelMM != 4./64 || f.N != [3]int{32 + 4, 48 + 4, 64 + 4} || len(f.Distance) != 36*52*68 {
		t.Errorf("voxel %g, grid %v", f.VoxelMM, f.N)
	}
	want := r3.Vec{X: 100 - 1.69*f.VoxelMM, Y: -50 - 1.19*f.VoxelMM, Z: 7 - 1.61*f.VoxelMM}
	if r3.Norm(r3.Sub(f.Origin, want)) > 1e-9 {
		t.Errorf("origin %v, want %v", f.Origin, want)
	}
	for _, odd := range []float64{math.Inf(1), math.NaN(), -1, 1000, 1e-300} {
		f := newField(t, m, Choice{VoxelMM: odd, Cells: 16, MemoryBytes: 8 << 20})
		if v, _ := f.Volume(); math.Abs(v-24) > 1e-6 || !(f.At(r3.Vec{X: 101, Y: -48.5, Z: 9}) < 0) {
			t.Errorf("voxel of %g: %g, grid %v, volume %g", odd, f.VoxelMM, f.N, v)
		}
	}
	if f := newField(t, m, Choice{VoxelMM: 0.5, MarginVoxels: 3}); f.VoxelMM != 0.5 || f.N != [3]int{10, 12, 14} {
		t.Errorf("voxel %g, grid %v", f.VoxelMM, f.N)
	}
}

func TestMemoryCapMakesVoxelsCoarser(t *testing.T) {
	m := meshtest.Icosphere(3)
	const limit = 4 << 20
	f := newField(t, m, Choice{Cells: 500, MemoryBytes: limit})
	if got := bytesFor(f.N, m, m.Area()/(f.VoxelMM*f.VoxelMM)); got > limit || got < limit/2 {
		t.Errorf("%v takes %g bytes of %d", f.N, got, limit)
	}
	if f.VoxelMM <= 2./500 {
		t.Errorf("voxel %g", f.VoxelMM)
	}
	// What it takes in all, with what is dropped on the way.
	var before, after runtime.MemStats
	runtime.GC()
	runtime.ReadMemStats(&before)
	newField(t, m, Choice{Cells: 100})
	runtime.ReadMemStats(&after)
	taken := float64(after.TotalAlloc - before.TotalAlloc)
	if said := bytesFor([3]int{104, 104, 104}, m, m.Area()*50*50); taken > 1.2*said {
		t.Errorf("took %g bytes, said %g", taken, said)
	}
	if _, err := New(context.Background(), m, Choice{MemoryBytes: 1000}, nil); err == nil {
		t.Error("no complaint about 1000 bytes")
	}
}

func TestWrongMeshes(t *testing.T) {
	nan := meshtest.Box(1, 1, 1)
	nan.Vertices[3].Y = math.NaN()
	inf := meshtest.Box(1, 1, 1)
	inf.Vertices[0].Y = math.Inf(1)
	dot := &mesh.Mesh{Vertices: make([]r3.Vec, 3), Faces: [][3]int32{{0, 1, 2}}}
	for name, m := range map[string]*mesh.Mesh{"empty": {}, "NaN": nan, "infinite": inf, "dot": dot} {
		if f, err := New(context.Background(), m, Choice{}, nil); err == nil {
			t.Errorf("%s: field %v", name, f.N)
		}
	}
}

func TestCancel(t *testing.T) {
	m := meshtest.TorusMesh(100, 50, 3, 1)
	for _, stopAt := range []int64{0, 1, 20, 100} {
		ctx, cancel := context.WithCancel(context.Background())
		if stopAt == 0 {
			cancel()
		}
		f, err := New(ctx, m, Choice{Cells: 64}, func(done, _ int64) {
			if done >= stopAt {
				cancel()
			}
		})
		if f != nil || !errors.Is(err, context.Canceled) {
			t.Errorf("stopped at %d: %v", stopAt, err)
		}
		cancel()
	}
}

func TestProgressEndsAtTotal(t *testing.T) {
	for name, m := range map[string]*mesh.Mesh{"closed": meshtest.TorusMesh(60, 30, 3, 1), "open": openCube()} {
		last, total, steps := int64(0), int64(0), 0
		_, err := New(context.Background(), m, Choice{Cells: 40}, func(d, n int64) {
			if d != last+1 || total != 0 && n != total {
				t.Errorf("%s: %d of %d after %d of %d", name, d, n, last, total)
			}
			last, total = d, n
			steps++
		})
		if err != nil || last != total || steps < 20 {
			t.Errorf("%s: %d of %d in %d steps, %v", name, last, total, steps, err)
		}
	}
}

// At voxels At is the voxel, between them the mean, outside the grid the way
// there more.
func TestAt(t *testing.T) {
	f := newField(t, meshtest.Box(10, 10, 10), Choice{Cells: 20})
	place := func(x, y, z float64) r3.Vec {
		return r3.Add(f.Origin, r3.Scale(f.VoxelMM, r3.Vec{X: x, Y: y, Z: z}))
	}
	value := func(x, y, z int) float64 { return float64(f.Distance[(z*f.N[1]+y)*f.N[0]+x]) }
	last := f.N[0] - 1
	for _, c := range []struct {
		p    r3.Vec
		want float64
	}{
		{place(3, 4, 5), value(3, 4, 5)},
		{place(23, 23, 23), value(23, 23, 23)},
		{place(3.5, 4, 5), (value(3, 4, 5) + value(4, 4, 5)) / 2},
		{place(3, 4.25, 5), 0.75*value(3, 4, 5) + 0.25*value(3, 5, 5)},
		{place(3, 4, 5.5), (value(3, 4, 5) + value(3, 4, 6)) / 2},
		{place(-3, 4, 5), value(0, 4, 5) + 3*f.VoxelMM},
		{place(float64(last)+3, -4, 5), value(last, 0, 5) + 5*f.VoxelMM},
	} {
		if got := f.At(c.p); math.Abs(got-c.want) > 1e-6 {
			t.Errorf("At(%v) = %g, want %g", c.p, got, c.want)
		}
	}
}

// Thousands of faces as large as the whole grid must not take more memory than
// allowed either.
func TestMemoryCapOfLargeFaces(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 4))
	m := &mesh.Mesh{}
	for i := range int32(3000) {
		for range 3 {
			m.Vertices = append(m.Vertices, r3.Vec{X: rng.Float64(), Y: rng.Float64(), Z: rng.Float64()})
		}
		m.Faces = append(m.Faces, [3]int32{3 * i, 3*i + 1, 3*i + 2})
	}
	const limit = 100 << 20
	f := newField(t, m, Choice{Cells: 500, MemoryBytes: limit})
	if f.VoxelMM < 1./150 || f.VoxelMM > 1./20 {
		t.Errorf("voxel %g", f.VoxelMM)
	}
}

// Faces at random, of all sizes and thin as hair, must give numbers.
func TestSoups(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 7))
	for soup := range 40 {
		m := &mesh.Mesh{}
		for range 3 + rng.IntN(60) {
			p := r3.Vec{X: rng.Float64(), Y: rng.Float64(), Z: rng.Float64()}
			switch rng.IntN(4) {
			case 0: // on a lattice, so that lines run through corners and edges
				p = r3.Vec{X: float64(rng.IntN(3)) / 2, Y: float64(rng.IntN(3)) / 2, Z: float64(rng.IntN(3)) / 2}
			case 1: // far and flat
				p = r3.Vec{X: 30 * p.X, Y: 1e-9 * p.Y, Z: 0}
			}
			m.Vertices = append(m.Vertices, p)
		}
		for range 1 + rng.IntN(100) {
			n := len(m.Vertices)
			m.Faces = append(m.Faces, [3]int32{int32(rng.IntN(n)), int32(rng.IntN(n)), int32(rng.IntN(n))})
		}
		f, err := New(context.Background(), m, Choice{Cells: 1 + rng.IntN(40), MarginVoxels: 1 + rng.IntN(3)}, nil)
		if err != nil {
			continue
		}
		for i, d := range f.Distance {
			if !(math.Abs(float64(d)) < 1e3) {
				t.Fatalf("soup %d: distance %g of voxel %d", soup, d, i)
			}
		}
		if v, e := f.Volume(); !(v >= 0) || !(e >= 0) || math.IsInf(v+e, 0) {
			t.Errorf("soup %d: volume %g ± %g", soup, v, e)
		}
		if s, err := f.Surface(); err == nil && s.Measure().VolumeMM3 <= 0 {
			t.Errorf("soup %d: surface around %g", soup, s.Measure().VolumeMM3)
		}
	}
}
