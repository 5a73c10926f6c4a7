package detail

import (
	"context"
	"errors"
	"math"
	"math/rand/v2"
	"path/filepath"
	"runtime"
	"slices"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

// scans are files, and shapes with symmetry.
func scans(t *testing.T) map[string]*mesh.Mesh {
	t.Helper()
	all := map[string]*mesh.Mesh{"ribbed shaft": ribbedShaft(30_000), "block": meshtest.Box(30, 40, 50), "drum": meshtest.Cylinder(48, 20, 40)}
	for _, file := range []string{"samples/gull-headed-cane.stl", "samples/storm-lantern.stl", "testdata/lion-head.stl"} {
		m, _, err := mesh.Read(context.Background(), filepath.Join("../..", file), nil)
		if err != nil {
			t.Fatal(err)
		}
		all[file] = m
	}
	return all
}

// farthestApart is the largest difference of two scores of a place.
func farthestApart(a, b []float32) (most float64) {
	for i := range a {
		most = max(most, math.Abs(float64(a[i])-float64(b[i])))
	}
	return most
}

// A move of the scan leaves the score as it is, to 1e-6.
func TestMoveDoesNotMatter(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	for name, m := range scans(t) {
		as := scoreAt(t, m, 0)
		for range 3 {
			pose := mesh.PoseDown(r3.Unit(v(rng.NormFloat64(), rng.NormFloat64(), rng.NormFloat64())))
			pose.T = v(500*rng.NormFloat64(), 500*rng.NormFloat64(), 500*rng.NormFloat64())
			if d := farthestApart(as, scoreAt(t, m.Posed(pose), 0)); d > 1e-6 {
				t.Errorf("%s: moved, a score differs by %.2g", name, d)
			}
		}
	}
}

// shuffled has its vertices and faces in another order; vertex v is to[v] there.
func shuffled(m *mesh.Mesh, rng *rand.Rand) (other *mesh.Mesh, to []int) {
	to = rng.Perm(len(m.Vertices))
	other = &mesh.Mesh{Vertices: make([]r3.Vec, len(m.Vertices))}
	for i, p := range m.Vertices {
		other.Vertices[to[i]] = p
	}
	for _, f := range rng.Perm(len(m.Faces)) {
		face, turn := m.Faces[f], rng.IntN(3)
		for k := range face {
			face[k] = int32(to[m.Faces[f][(k+turn)%3]])
		}
		other.Faces = append(other.Faces, face)
	}
	return other, to
}

// The order of vertices and faces leaves the score of every place as it is, to
// 1e-6. Symmetric shapes, whose frame and cuts depend on which of equals comes
// first, keep it to 0.005 in the mean.
func TestOrderDoesNotMatter(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 8))
	for name, m := range scans(t) {
		other, to := shuffled(m, rng)
		a, b := scoreAt(t, m, 0), scoreAt(t, other, 0)
		back, sum := make([]float32, len(a)), 0.0
		for i := range a {
			back[i] = b[to[i]]
			sum += math.Abs(float64(back[i]) - float64(a[i]))
		}
		isScan := filepath.Ext(name) == ".stl"
		if d := farthestApart(a, back); isScan && d > 1e-6 {
			t.Errorf("%s: in another order, a score differs by %.2g", name, d)
		}
		if sum /= float64(len(a)); sum > 0.005 {
			t.Errorf("%s: in another order, scores differ by %.2g in the mean", name, sum)
		}
	}
}

// Scaling part and radius together leaves the score as it is, also of tiny and
// huge parts.
func TestScaleDoesNotMatter(t *testing.T) {
	for name, m := range scans(t) {
		radius := newSurface(m).span / 80
		as := scoreAt(t, m, radius)
		for _, by := range []float64{1e-3, 25.4, 1e4} {
			if d := farthestApart(as, scoreAt(t, m.Scaled(by), radius*by)); d > 1e-5 {
				t.Errorf("%s times %g: a score differs by %.2g", name, by, d)
			}
		}
	}
}

func TestSameOnAnyNumberOfProcessors(t *testing.T) {
	m := ribbedShaft(50_000)
	as := scoreAt(t, m, 0)
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(0))
	for _, n := range []int{1, 2, 3, 8} {
		runtime.GOMAXPROCS(n)
		if !slices.Equal(as, scoreAt(t, m, 0)) {
			t.Errorf("another score on %d processors", n)
		}
	}
}

func TestStops(t *testing.T) {
	ctx, stop := context.WithCancel(context.Background())
	stop()
	if _, err := Score(ctx, ribbedShaft(10_000), Input{}); !errors.Is(err, context.Canceled) {
		t.Errorf("error %v, want that it was canceled", err)
	}
}

// A plain sheet is plain on both skins, however thin; its edge is sharp.
func TestThinSheetsArePlain(t *testing.T) {
	for _, thick := range []float64{0.05, 0.3, 1} {
		m := meshtest.Box(40, 40, thick)
		for range 6 {
			m = meshtest.Split(m)
		}
		score := scoreAt(t, m, 0)
		inner := func(p r3.Vec) bool { return p.X > 3 && p.X < 37 && p.Y > 3 && p.Y < 37 }
		if got := mean(m, score, inner); got > 1e-3 {
			t.Errorf("a sheet of %g mm: mean score %.3f", thick, got)
		}
		edge := func(p r3.Vec) bool { return p.X == 0 && p.Y > 3 && p.Y < 37 }
		if got := mean(m, score, edge); got < 0.5 {
			t.Errorf("the edge of a sheet of %g mm: mean score %.3f", thick, got)
		}
	}
}

// What hardly is a surface has a score, and no more.
func TestOddMeshes(t *testing.T) {
	flat := &mesh.Mesh{Vertices: []r3.Vec{{}, {X: 3}, {X: 9}}, Faces: [][3]int32{{0, 1, 2}}}
	one := &mesh.Mesh{Vertices: []r3.Vec{{}, {X: 30}, {Y: 20}, {Z: 5}}, Faces: [][3]int32{{0, 1, 2}}}
	needle := meshtest.Cylinder(6, 0.01, 3000)
	for name, m := range map[string]*mesh.Mesh{"nothing": {}, "no area": flat, "one face": one, "needle": needle, "tiny": meshtest.Icosphere(2).Scaled(1e-6)} {
		got, err := Score(context.Background(), m, Input{})
		if err != nil || len(got.Vertex) != len(m.Vertices) {
			t.Fatalf("%s: %d scores, error %v", name, len(got.Vertex), err)
		}
		for i, s := range got.Vertex {
			if !(s >= 0 && s <= 1) {
				t.Errorf("%s: the score of vertex %d is %g", name, i, s)
			}
		}
	}
	if s := scoreAt(t, one, 0); s[0] != 0 || s[1] != 0 {
		t.Errorf("one flat face scores %v", s)
	}
}

// The default is in proportion to a small part; a radius too small for a large
// surface grows, and the result says so; one that no face shows is told.
func TestRadius(t *testing.T) {
	for _, c := range []struct {
		m      *mesh.Mesh
		asked  float64
		used   float64
		coarse bool
	}{
		{meshtest.Icosphere(5).Scaled(30), 0, DefaultRadiusMM, false},
		{meshtest.Icosphere(5).Scaled(5), 0, 1, false},
		{meshtest.Icosphere(5).Scaled(30), 1, 1, true},
		{meshtest.Icosphere(5).Scaled(3), 0.001, 3 * math.Sqrt(4*math.Pi*9/maxSamples), true},
	} {
		got, err := Score(context.Background(), c.m, Input{RadiusMM: c.asked})
		if err != nil || math.Abs(got.RadiusMM/c.used-1) > 0.01 || got.Coarse != c.coarse {
			t.Errorf("asked for %g mm: used %g, coarse %v, error %v; want %g, %v", c.asked, got.RadiusMM, got.Coarse, err, c.used, c.coarse)
		}
	}
	var bad *BadRadius
	if _, err := Score(context.Background(), meshtest.Icosphere(3).Scaled(30), Input{RadiusMM: 31}); !errors.As(err, &bad) {
		t.Errorf("a radius of more than half the part: error %v", err)
	}
}
