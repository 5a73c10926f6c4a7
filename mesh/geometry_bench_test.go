package mesh

import (
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// BenchmarkMeasure answers what volume, area, centroid and inertia cost.
func BenchmarkMeasure(b *testing.B) {
	onSizes(b, func(b *testing.B, m *Mesh) {
		s := &Solid{m}
		for b.Loop() {
			if got := s.Measure(); got.VolumeMM3 <= 0 {
				b.Fatal(got)
			}
		}
	})
}

// BenchmarkHull answers what the hull of all corners costs: of a ring, whose
// outer half is on the hull or close to it.
func BenchmarkHull(b *testing.B) {
	onSizes(b, func(b *testing.B, m *Mesh) {
		for b.Loop() {
			if _, err := Hull(m.Vertices); err != nil {
				b.Fatal(err)
			}
		}
	})
}

// BenchmarkTightestBox answers what the least box costs, hull included.
func BenchmarkTightestBox(b *testing.B) {
	onSizes(b, func(b *testing.B, m *Mesh) {
		for b.Loop() {
			if got := TightestBox(m.Vertices); got.Size[2] <= 0 {
				b.Fatal(got)
			}
		}
	})
}

// BenchmarkSection answers what one cut across the ring costs.
func BenchmarkSection(b *testing.B) {
	onSizes(b, func(b *testing.B, m *Mesh) {
		for b.Loop() {
			if loops := m.Section(r3.Vec{X: 20}, r3.Vec{Y: 1}); len(loops) != 2 {
				b.Fatal(len(loops))
			}
		}
	})
}

// BenchmarkNewProfile answers what it costs to prepare for levels.
func BenchmarkNewProfile(b *testing.B) {
	onSizes(b, func(b *testing.B, m *Mesh) {
		s := &Solid{m}
		for b.Loop() {
			NewProfile(s, r3.Vec{Z: 1})
		}
	})
}

// BenchmarkBelow answers what one level costs once that is done.
func BenchmarkBelow(b *testing.B) {
	onSizes(b, func(b *testing.B, m *Mesh) {
		p := NewProfile(&Solid{m}, r3.Vec{Z: 1})
		lo, hi := p.Range()
		i := 0
		for b.Loop() {
			p.Below(lo + (hi-lo)*float64(i%97)/97)
			i++
		}
	})
}
