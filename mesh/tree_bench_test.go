package mesh

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// near returns points about a millimetre from the surface, far ones anywhere in
// its bounds.
func nearAndFar(m *Mesh) (near, far []r3.Vec) {
	rng := rand.New(rand.NewPCG(3, 4))
	b := m.Bounds()
	size := r3.Sub(b.Max, b.Min)
	for range 1024 {
		v := m.Vertices[rng.IntN(len(m.Vertices))]
		near = append(near, r3.Add(v, r3.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()}))
		far = append(far, r3.Add(b.Min, r3.Vec{X: size.X * rng.Float64(), Y: size.Y * rng.Float64(), Z: size.Z * rng.Float64()}))
	}
	return near, far
}

// BenchmarkNewTree answers what it costs to prepare a scan for queries.
func BenchmarkNewTree(b *testing.B) {
	onSizes(b, func(b *testing.B, m *Mesh) {
		for b.Loop() {
			if t := NewTree(m); len(t.faces) != len(m.Faces) {
				b.Fatal(len(t.faces))
			}
		}
	})
}

// onPoints runs a query on points near the surface and on far ones.
func onPoints(b *testing.B, query func(t *Tree, p r3.Vec) bool) {
	onSizes(b, func(b *testing.B, m *Mesh) {
		t := NewTree(m)
		near, far := nearAndFar(m)
		query(t, far[0])
		for _, set := range []struct {
			name   string
			points []r3.Vec
		}{{"near", near}, {"far", far}} {
			b.Run(set.name, func(b *testing.B) {
				b.ReportAllocs()
				i := 0
				for b.Loop() {
					if !query(t, set.points[i%len(set.points)]) {
						b.Fatal(set.points[i%len(set.points)])
					}
					i++
				}
			})
		}
	})
}

// BenchmarkClosest answers what the nearest point of the surface costs.
func BenchmarkClosest(b *testing.B) {
	onPoints(b, func(t *Tree, p r3.Vec) bool {
		_, found := t.Closest(p, math.Inf(1))
		return found
	})
}

// BenchmarkTreeWinding answers what one winding number costs.
func BenchmarkTreeWinding(b *testing.B) {
	onPoints(b, func(t *Tree, p r3.Vec) bool { return math.Abs(t.Winding(p)) < 1.01 })
}

// BenchmarkMoments answers what the first winding number costs.
func BenchmarkMoments(b *testing.B) {
	onSizes(b, func(b *testing.B, m *Mesh) {
		t := NewTree(m)
		b.ResetTimer()
		for b.Loop() {
			t.gatherMoments()
		}
	})
}

// BenchmarkSelfCrossings answers what it costs to know that a scan nowhere cuts
// through itself: one without noise and one with.
func BenchmarkSelfCrossings(b *testing.B) {
	onScans(b, func(b *testing.B, m *Mesh) {
		t := NewTree(m)
		b.ResetTimer()
		for b.Loop() {
			if _, err := t.SelfCrossings(context.Background()); err != nil {
				b.Fatal(err)
			}
		}
	})
	b.Run("smooth", func(b *testing.B) {
		onSizes(b, func(b *testing.B, m *Mesh) {
			t := NewTree(m)
			b.ResetTimer()
			for b.Loop() {
				if c, err := t.SelfCrossings(context.Background()); err != nil || c.Pairs > 0 {
					b.Fatal(c, err)
				}
			}
		})
	})
}

// BenchmarkFirst answers what one ray from far away costs.
func BenchmarkFirst(b *testing.B) {
	onPoints(b, func(t *Tree, p r3.Vec) bool {
		from := r3.Vec{X: 500, Y: 300, Z: 700}
		t.First(from, r3.Sub(p, from))
		return true
	})
}
