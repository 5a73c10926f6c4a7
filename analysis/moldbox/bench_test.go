package moldbox_test

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis/moldbox"
)

// How does fitting a box grow with the number of vertices?
func BenchmarkFit(b *testing.B) {
	for _, n := range []int{10_000, 100_000, 1_000_000} {
		rng := rand.New(rand.NewPCG(1, 2))
		points := make([]r3.Vec, n)
		for i := range points {
			points[i] = r3.Vec{X: 200 * rng.Float64(), Y: 80 * rng.Float64(), Z: 50 * rng.Float64()}
		}
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			for b.Loop() {
				if _, err := moldbox.Fit(points, moldbox.Input{Board: board, LongestMM: 220, CutNormal: r3.Vec{Y: 1}}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
