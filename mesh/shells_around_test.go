package mesh

import (
	"context"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"sync/atomic"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// scattered returns n tetrahedra of up to that size at random places within 100 mm.
func scattered(rng *rand.Rand, n int, size float64) *Mesh {
	m := &Mesh{}
	some := func(reach float64) r3.Vec {
		at := func() float64 { return float64(float32(reach * (2*rng.Float64() - 1))) }
		return r3.Vec{X: at(), Y: at(), Z: at()}
	}
	for range n {
		first, at := int32(len(m.Vertices)), some(50)
		m.Vertices = append(m.Vertices, at)
		for range 3 {
			m.Vertices = append(m.Vertices, r3.Add(at, some(size)))
		}
		for _, t := range [][3]int32{{0, 2, 1}, {0, 1, 3}, {1, 2, 3}, {2, 0, 3}} {
			m.Faces = append(m.Faces, [3]int32{first + t[0], first + t[1], first + t[2]})
		}
	}
	return m
}

// stacked returns n^3 cubes of side 2, pitch apart.
func stacked(n int, pitch float64) *Mesh {
	m := &Mesh{}
	for i := range n * n * n {
		m = appended(m, cube(r3.Scale(pitch, r3.Vec{X: float64(i % n), Y: float64(i / n % n), Z: float64(i / n / n)})))
	}
	return m
}

// appended is together for two, the first of which may grow.
func appended(m, o *Mesh) *Mesh {
	first := int32(len(m.Vertices))
	m.Vertices = append(m.Vertices, o.Vertices...)
	for _, t := range o.Faces {
		m.Faces = append(m.Faces, [3]int32{t[0] + first, t[1] + first, t[2] + first})
	}
	return m
}

// nested returns n cubes within each other, the outermost of side 2n; all outward,
// or every second one turned inward.
func nested(n int, turned bool) *Mesh {
	m := &Mesh{}
	for k := range n {
		c := cube(r3.Vec{}).Scaled(float64(n - k))
		if turned && k%2 == 1 {
			c = c.turned()
		}
		m = appended(m, c)
	}
	return m
}

// aroundPlainly is windAround face by face, and shell by shell for the depth.
func aroundPlainly(m *Mesh, shellOf []int32, list []shell) {
	met := make([]bool, len(list))
	for _, p := range m.probes(shellOf, list) {
		turns := make([]int, len(list))
		for f, s := range shellOf {
			if s >= 0 && s != p.shell {
				a, b, c := m.Corners(f)
				turns[s] += crossing(p.at, a, b, c)
			}
		}
		around, depth := 0, 0
		for _, n := range turns {
			around += n
			if n != 0 {
				depth++
			}
		}
		s := &list[p.shell]
		if !met[p.shell] {
			s.around, s.aroundMost, s.depth, met[p.shell] = around, around, depth, true
		}
		s.around, s.aroundMost, s.depth = min(s.around, around), max(s.aroundMost, around), min(s.depth, depth)
	}
}

// TestWindAroundPlainly holds what the tree counts against counting all faces for all
// places: tetrahedra of many sizes, flat and steep ones among them, also far from the
// origin; shells within each other; and cubes whose places are right above each other
// and on each other's corners.
func TestWindAroundPlainly(t *testing.T) {
	rng := rand.New(rand.NewPCG(31, 32))
	far := scattered(rng, 300, 40)
	for v := range far.Vertices {
		far.Vertices[v] = r3.Add(far.Vertices[v], r3.Vec{X: 1e6, Y: -3e5, Z: 2e5})
	}
	flat := scattered(rng, 300, 40)
	for v := range flat.Vertices {
		flat.Vertices[v].Z = math.Round(flat.Vertices[v].Z) / 8
		flat.Vertices[v].X = math.Round(flat.Vertices[v].X/10) * 10
	}
	for name, m := range map[string]*Mesh{
		"small": scattered(rng, 400, 8), "large": scattered(rng, 400, 80), "far": far, "flat": flat,
		"mixed": appended(scattered(rng, 300, 5), ring(90, 40)), "nested": nested(60, false),
		"in turn": nested(60, true), "apart": stacked(5, 3), "corner to corner": stacked(5, 2), "overlapping": stacked(4, 1),
	} {
		shellOf, n, _ := m.faceShells()
		got, _, _ := m.tally(shellOf, n, m.Bounds())
		want, _, _ := m.tally(shellOf, n, m.Bounds())
		if err := m.windAround(context.Background(), shellOf, got); err != nil {
			t.Fatal(err)
		}
		aroundPlainly(m, shellOf, want)
		for s := range want {
			if got[s].around != want[s].around || got[s].aroundMost != want[s].aroundMost || got[s].depth != want[s].depth {
				t.Errorf("%s: around shell %d %d..%d in %d, want %d..%d in %d", name, s,
					got[s].around, got[s].aroundMost, got[s].depth, want[s].around, want[s].aroundMost, want[s].depth)
				break
			}
		}
	}
}

// Closed forms for many shells. The k-th of n surfaces within each other, counted
// from 0, has k around it when all are outward, and 0 and 1 in turn when every second
// one is inward: the winding number of a closed surface is 1 inside and 0 outside,
// and adds up (Jacobson, Kavan, Sorkine-Hornung 2013, see Winding). Then half of them
// are hollows. Cubes beside each other have nothing around them.
func TestManyShells(t *testing.T) {
	const n = 600
	for _, turned := range []bool{false, true} {
		m := nested(n, turned)
		shellOf, shells, _ := m.faceShells()
		list, _, _ := m.tally(shellOf, shells, m.Bounds())
		if err := m.windAround(context.Background(), shellOf, list); err != nil || shells != n {
			t.Fatal(err, shells)
		}
		for k, s := range list {
			want := k
			if turned {
				want = k % 2
			}
			if s.around != want || s.aroundMost != want || s.depth != k {
				t.Fatalf("turned %v: %d..%d around shell %d in %d, want %d", turned, s.around, s.aroundMost, k, s.depth, want)
			}
		}
	}
	_, report, err := NewSolid(nested(n, true))
	if err != nil || report.Problems[0].Kind != KindInnerCavity || report.Problems[0].Count != n/2 {
		t.Errorf("within each other in turn: %v, %v", err, report.Problems)
	}
	s, report, err := NewSolid(stacked(15, 3))
	if err != nil || len(report.Problems) != 0 || report.Shells != 15*15*15 {
		t.Fatalf("beside each other: %v, %d shells, %v", err, report.Shells, report.Problems)
	}
	if v := s.Measure().VolumeMM3; math.Abs(v-8*15*15*15) > 1e-9*v {
		t.Errorf("%d cubes of 8 mm³ have %v mm³", 15*15*15, v)
	}
}

// stopping is a context that ends when it has been asked so many times.
type stopping struct {
	context.Context
	left atomic.Int64
}

func (s *stopping) Err() error {
	if s.left.Add(-1) < 0 {
		return context.Canceled
	}
	return nil
}

// TestShellsHeedTheContext ends the context while shells are held against each other,
// while hollows are and while loose faces are, and counts how often it was asked
// afterwards.
func TestShellsHeedTheContext(t *testing.T) {
	m := scattered(rand.New(rand.NewPCG(33, 34)), 4000, 60)
	turned := scattered(rand.New(rand.NewPCG(35, 36)), 4000, 1).turned()
	for name, run := range map[string]func(ctx context.Context) error{
		"check": func(ctx context.Context) error { _, _, err := NewSolidContext(ctx, m); return err },
		"mend":  func(ctx context.Context) error { _, err := Mend(ctx, m, MendChoice{}); return err },
		"loose": func(ctx context.Context) error { _, err := Mend(ctx, looseFaces(60_000), MendChoice{}); return err },
		"hollows": func(ctx context.Context) error {
			_, err := Mend(ctx, appended(cube(r3.Vec{}).Scaled(50), turned), MendChoice{})
			return err
		},
	} {
		for _, after := range []int64{0, 3, 12} {
			ctx := &stopping{Context: context.Background()}
			ctx.left.Store(after)
			if err := run(ctx); !errors.Is(err, context.Canceled) {
				t.Errorf("%s, ended at look %d: %v", name, after, err)
			}
			if more := -ctx.left.Load(); more > 100 {
				t.Errorf("%s, ended at look %d: looked %d times more", name, after, more)
			}
		}
	}
}

// TestHollowsByTheHundred drops scraps beside a part and keeps hollows in it, of which
// there are so many that a tree tells which is which.
func TestHollowsByTheHundred(t *testing.T) {
	const n = 6
	m := cube(r3.Vec{}).Scaled(100)
	hollows := stacked(n, 4).turned()
	for v := range hollows.Vertices {
		hollows.Vertices[v] = r3.Add(hollows.Vertices[v], r3.Vec{X: -10, Y: -10, Z: -10})
	}
	beside := stacked(n, 4).turned()
	for v := range beside.Vertices {
		beside.Vertices[v] = r3.Add(beside.Vertices[v], r3.Vec{X: 150})
	}
	got, err := Mend(context.Background(), together(m, hollows, beside), MendChoice{})
	if err != nil || len(got.Steps) != 1 || got.Steps[0].Kind != MendFloater || got.Steps[0].Count != n*n*n {
		t.Fatalf("%v, %+v", err, got.Steps)
	}
	want := 8e6 - 8*n*n*n
	if v := got.Solid.Measure().VolumeMM3; math.Abs(v-want) > 1e-9*want {
		t.Errorf("%v mm³, want %v", v, want)
	}
}

// TestLooseFaces checks that a heap of loose faces has as many holes as faces, and is
// refused as such.
func TestLooseFaces(t *testing.T) {
	const n = mostHoles + 500
	m := looseFaces(n)
	if r := Check(m); r.OpenLoops != n || r.Shells != n || r.Closed {
		t.Errorf("%d loops, %d shells of %d loose faces", r.OpenLoops, r.Shells, n)
	}
	_, err := Mend(context.Background(), m, MendChoice{})
	var open *OpenQuestion
	if !errors.As(err, &open) || !strings.Contains(err.Error(), fmt.Sprintf("heap of %d loose pieces", n)) {
		t.Errorf("%v", err)
	}
}

// looseFaces returns n faces of about one size, at random, no two of which have a
// corner in common.
func looseFaces(n int) *Mesh {
	m := scattered(rand.New(rand.NewPCG(37, 38)), n, 20)
	faces := make([][3]int32, 0, n)
	for f := 0; f < len(m.Faces); f += 4 {
		a, b, c := m.Corners(f)
		u, v := r3.Sub(b, a), r3.Sub(c, a)
		m.Vertices[m.Faces[f][1]] = r3.Add(a, r3.Scale(20/r3.Norm(u), u))
		m.Vertices[m.Faces[f][2]] = r3.Add(a, r3.Add(r3.Scale(10/r3.Norm(u), u), r3.Scale(20/r3.Norm(r3.Cross(u, v)), r3.Cross(u, v))))
		faces = append(faces, m.Faces[f])
	}
	m.Faces = faces
	return m
}

// BenchmarkManyShells answers how the check grows with the number of shells: apart,
// overlapping, and within each other.
func BenchmarkManyShells(b *testing.B) {
	for _, n := range []int{1000, 4000, 16000} {
		side := int(math.Cbrt(float64(n)) + 0.5)
		for _, c := range []struct {
			name string
			m    *Mesh
		}{
			{"apart", stacked(side, 3)}, {"overlapping", scattered(rand.New(rand.NewPCG(39, 40)), n, 20)}, {"nested", nested(n/10, true)},
		} {
			b.Run(fmt.Sprintf("%s/%d", c.name, n), func(b *testing.B) {
				for b.Loop() {
					if r := Check(c.m); r.Shells < n/10 {
						b.Fatal(r.Shells)
					}
				}
			})
		}
	}
}

// BenchmarkLooseFaces answers what it takes to refuse a heap of loose faces.
func BenchmarkLooseFaces(b *testing.B) {
	m := looseFaces(100_000)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Mend(context.Background(), m, MendChoice{}); err == nil {
			b.Fatal("mended")
		}
	}
}
