package detail

import (
	"context"
	"fmt"
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"

	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

// ribbedShaft is a shaft 200 mm long with ribs on its upper half, of about so
// many faces.
func ribbedShaft(faces int) *mesh.Mesh {
	long, around := 200.0, 2*math.Pi*20
	step := math.Sqrt(2 * long * around / float64(faces))
	profile := []r2.Vec{{X: 0, Y: 0}}
	for k := range int(long/step) + 1 {
		z := float64(k) * step
		r := 20.0
		if z > 100 {
			r += 0.5 - 0.5*math.Cos(2*math.Pi*(z-100)/4)
		}
		profile = append(profile, r2.Vec{X: r, Y: z})
	}
	top := profile[len(profile)-1].Y
	return meshtest.Lathe(append(profile, r2.Vec{X: 0, Y: top}), int(around/step))
}

// BenchmarkScore answers what the detail of a scan costs.
func BenchmarkScore(b *testing.B) {
	for _, faces := range []int{10_000, 100_000, 1_000_000} {
		m := ribbedShaft(faces)
		b.Run(fmt.Sprintf("%d-faces", len(m.Faces)), func(b *testing.B) {
			b.ReportAllocs()
			for range b.N {
				if _, err := Score(context.Background(), m, Input{}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
