package stand

import (
	"context"
	"fmt"
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

var benchSizes = []struct {
	name  string
	faces int
}{{"10k", 10_000}, {"100k", 100_000}, {"1M", 1_000_000}}

// scanned is a torus of about so many faces with a wave of detail on it: no
// flats, and a hull with many corners.
func scanned(b *testing.B, faces int) (*mesh.Solid, Input) {
	b.Helper()
	rings := int(math.Sqrt(float64(faces) / 4))
	s, _, err := mesh.NewSolid(meshtest.TorusMesh(2*rings, rings, 80, 25))
	if err != nil {
		b.Fatal(err)
	}
	in := Input{Measures: s.Measure(), Detail: make([]float32, len(s.Vertices)), LeastSpoutMM: 25, ClearanceMM: 16, CoverMM: 20, Air: noAir, Weights: DefaultWeights}
	for v, p := range s.Vertices {
		in.Detail[v] = float32(0.5 + 0.5*math.Sin(p.X/7))
	}
	return s, in
}

// BenchmarkChoose tells how the search grows with the scan, without air.
func BenchmarkChoose(b *testing.B) {
	for _, size := range benchSizes {
		b.Run(size.name, func(b *testing.B) {
			s, in := scanned(b, size.faces)
			for b.Loop() {
				if _, err := Choose(context.Background(), s, in); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// BenchmarkPrepare tells what is done once for a scan before any way is looked
// at: its own frame, coarser meshes, hull and flats.
func BenchmarkPrepare(b *testing.B) {
	for _, size := range benchSizes {
		b.Run(size.name, func(b *testing.B) {
			s, in := scanned(b, size.faces)
			for b.Loop() {
				if _, err := newSearch(context.Background(), s, in); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// BenchmarkCriteria tells what each part of one way's judgement takes, on the
// meshes for all directions and for the finalists. Air has its own benchmark where
// it is counted.
func BenchmarkCriteria(b *testing.B) {
	solid, in := scanned(b, 1_000_000)
	s, err := newSearch(context.Background(), solid, in)
	if err != nil {
		b.Fatal(err)
	}
	down := r3.Unit(r3.Vec{X: 0.2, Y: 1, Z: 0.3})
	at := newBoard(down)
	for name, j := range map[string]*judge{"coarse": s.coarse, "fine": s.fine} {
		c := j.touch(at)
		j.look(at, &c)
		o, w := c.openings[0], j.outline(down)
		for _, part := range []struct {
			name string
			do   func()
		}{
			{"contact", func() { j.touch(at) }},
			{"spout", func() { c := c; j.look(at, &c) }},
			{"detail", func() { j.scarredDetail(w, at, c, o, 0) }},
			{"rubber", func() { j.roughRubber(w, at, 0) }},
			{"stability", func() { j.tip(w, at, c) }},
			{"all", func() { j.outline(down) }},
		} {
			b.Run(fmt.Sprintf("%s/%s", part.name, name), func(b *testing.B) {
				for b.Loop() {
					part.do()
				}
			})
		}
	}
}

// BenchmarkHullFlats tells that flats of a smooth hull take time in proportion
// to its facets.
func BenchmarkHullFlats(b *testing.B) {
	for level := 5; level <= 8; level++ {
		ball := meshtest.Icosphere(level)
		b.Run(fmt.Sprintf("%dk", len(ball.Faces)/1000), func(b *testing.B) {
			for b.Loop() {
				hullFlats(ball, r3.Vec{})
			}
		})
	}
}
