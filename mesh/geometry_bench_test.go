package mesh

import (
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// BenchmarkMeasure answers what volume, area, centroid and inertia cost.
func BenchmarkMeasure(b *testing.B) {
	onSizes(b, func(b *testing.B, m *Mesh) {
		s := &Solid{Mesh: m}
		for b.Loop() {
			if got := s.Measure(); got.VolumeMM3 <= 0 {
				b.Fatal(got)
			}
		}
	})
}

// scanned shakes every vertex, as a scanner does: now chance decides which
// points of a round part are corners of its hull.
func scanned(m *Mesh) *Mesh {
	const noise = 0.02 // mm
	rng := rand.New(rand.NewPCG(1, 2))
	out := &Mesh{Vertices: make([]r3.Vec, len(m.Vertices)), Faces: m.Faces}
	for i, v := range m.Vertices {
		shake := r3.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()}
		out.Vertices[i] = r3.Add(v, r3.Scale(noise, shake))
	}
	return out
}

// ball is a ring pulled out to a sphere, so that every vertex is near the hull.
func ball(m *Mesh) *Mesh {
	out := &Mesh{Vertices: make([]r3.Vec, len(m.Vertices)), Faces: m.Faces}
	for i, v := range m.Vertices {
		out.Vertices[i] = r3.Scale(50, r3.Unit(r3.Sub(v, r3.Vec{X: 20.1, Y: 0.2, Z: 30.3})))
	}
	return out
}

// onScans runs a benchmark on scans of a ring and of a ball.
func onScans(b *testing.B, run func(b *testing.B, m *Mesh)) {
	for _, shape := range []struct {
		name string
		of   func(m *Mesh) *Mesh
	}{{"ring", scanned}, {"ball", func(m *Mesh) *Mesh { return scanned(ball(m)) }}} {
		b.Run(shape.name, func(b *testing.B) {
			onSizes(b, func(b *testing.B, m *Mesh) {
				m = shape.of(m)
				b.ResetTimer()
				run(b, m)
			})
		})
	}
}

// BenchmarkHull answers what the convex hull of a scan costs.
func BenchmarkHull(b *testing.B) {
	b.Run("ball, every point a corner", func(b *testing.B) {
		ball := make([]r3.Vec, 100_000)
		for k := range ball {
			ball[k] = spiral(k, len(ball))
		}
		for b.Loop() {
			if h, err := Hull(ball); err != nil || len(h.Vertices) != len(ball) {
				b.Fatal(err)
			}
		}
	})
	onScans(b, func(b *testing.B, m *Mesh) {
		corners := 0
		for b.Loop() {
			h, err := Hull(m.Vertices)
			if err != nil {
				b.Fatal(err)
			}
			corners = len(h.Vertices)
		}
		b.ReportMetric(float64(corners), "corners")
	})
}

// BenchmarkTightestBox answers what the tightest box costs, its hull included.
func BenchmarkTightestBox(b *testing.B) {
	onScans(b, func(b *testing.B, m *Mesh) {
		for b.Loop() {
			if got := TightestBox(m.Vertices); got.Size[2] <= 0 {
				b.Fatal(got)
			}
		}
	})
}

// BenchmarkTightestBoxRound answers what it costs where many boxes are as good: of
// ellipsoids as rough as their points are few.
func BenchmarkTightestBoxRound(b *testing.B) {
	rng := rand.New(rand.NewPCG(1, 2))
	var all [][]r3.Vec
	for k := range 6 {
		points := make([]r3.Vec, 20000)
		for i := range points {
			d := r3.Unit(r3.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()})
			points[i] = r3.Vec{X: (3 + float64(k)) * d.X, Y: 2 * d.Y, Z: d.Z}
		}
		all = append(all, points)
	}
	for b.Loop() {
		for _, points := range all {
			TightestBox(points)
		}
	}
}

// BenchmarkMinAreaRect answers what the least rectangle around a scan's shadow
// costs.
func BenchmarkMinAreaRect(b *testing.B) {
	onScans(b, func(b *testing.B, m *Mesh) {
		flat := make([]r2.Vec, len(m.Vertices))
		for i, v := range m.Vertices {
			flat[i] = r2.Vec{X: v.X, Y: v.Y}
		}
		b.ResetTimer()
		for b.Loop() {
			if got := MinAreaRect(flat); got.Size[1] <= 0 {
				b.Fatal(got)
			}
		}
	})
}

// BenchmarkSection answers what one cut costs: across the ring, where it is
// short, and along it, where it is longest.
func BenchmarkSection(b *testing.B) {
	for _, way := range []struct {
		name   string
		normal r3.Vec
	}{{"across", r3.Vec{X: 1}}, {"along", r3.Vec{Z: 1}}} {
		b.Run(way.name, func(b *testing.B) {
			onSizes(b, func(b *testing.B, m *Mesh) {
				for b.Loop() {
					if loops := m.Section(r3.Vec{X: 20.3, Z: 30.2}, way.normal); len(loops) != 2 {
						b.Fatal(len(loops))
					}
				}
			})
		})
	}
}

// BenchmarkNewProfile answers what it costs to prepare a solid for levels.
func BenchmarkNewProfile(b *testing.B) {
	onSizes(b, func(b *testing.B, m *Mesh) {
		s := &Solid{Mesh: m}
		for b.Loop() {
			NewProfile(s, r3.Vec{X: 0.6, Z: 0.8})
		}
	})
}

// BenchmarkBelow answers what one level costs once that is done.
func BenchmarkBelow(b *testing.B) {
	onSizes(b, func(b *testing.B, m *Mesh) {
		p := NewProfile(&Solid{Mesh: m}, r3.Vec{X: 0.6, Z: 0.8})
		lo, hi := p.Range()
		i := 0
		for b.Loop() {
			p.Below(lo + (hi-lo)*float64(i%97)/97)
			i++
		}
	})
}
