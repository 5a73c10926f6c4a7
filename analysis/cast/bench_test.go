package cast

import (
	"context"
	"strconv"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// How long does it take to find the rooms and doors of a field?
func BenchmarkNewPassages(b *testing.B) {
	for _, cells := range []int{64, 128} {
		f := fieldOf(b, threeBalls(), cells)
		b.Run(strconv.Itoa(cells), func(b *testing.B) {
			for b.Loop() {
				if _, err := NewPassages(context.Background(), f); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(b.N)*float64(len(f.Distance))/b.Elapsed().Seconds(), "voxels/s")
		})
	}
}

// And to measure its doors on the mesh?
func BenchmarkRefine(b *testing.B) {
	m := threeBalls()
	f := fieldOf(b, m, 64)
	for b.Loop() {
		b.StopTimer()
		p, err := NewPassages(context.Background(), f)
		if err != nil {
			b.Fatal(err)
		}
		b.StartTimer()
		if err := p.Refine(context.Background(), m); err != nil {
			b.Fatal(err)
		}
	}
}

// How long does the search of ways up wait for the necks of one spout?
func BenchmarkFrom(b *testing.B) {
	p := passagesOf(b, threeBalls(), 128)
	for b.Loop() {
		if necks, _ := p.From(r3.Vec{Z: -25}, 25); len(necks) != 2 {
			b.Fatal(necks)
		}
	}
}

// How long does it take to find the ends, and to sort the rooms by depth?
func BenchmarkEnds(b *testing.B) {
	p := passagesOf(b, threeBalls(), 128)
	b.Run("ends", func(b *testing.B) {
		for b.Loop() {
			if len(p.Ends(r3.Vec{Z: -25}, 25)) == 0 {
				b.Fatal("none")
			}
		}
	})
	b.Run("depths", func(b *testing.B) {
		for b.Loop() {
			if len(p.Depths(r3.Vec{X: 0.6, Z: 0.8}, 0).Layers(nil)) == 0 {
				b.Fatal("none")
			}
		}
	})
}
