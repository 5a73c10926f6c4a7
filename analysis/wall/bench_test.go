package wall_test

import (
	"fmt"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis/wall"
	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

// BenchmarkThickness answers how the cost grows with the scan, the search tree
// being there.
func BenchmarkThickness(b *testing.B) {
	for _, k := range []int{70, 225, 707} {
		m := meshtest.Moved(meshtest.TorusMesh(k, k, 60, 25), r3.Vec{Z: 25})
		in := wall.Input{Tree: mesh.NewTree(m), Side: wall.Rectangle(202, 202), LevelMM: 70, ClearanceMM: 16, ShoreA: 30, CastLeastMM: 6}
		b.Run(fmt.Sprintf("%dk", len(m.Faces)/1000), func(b *testing.B) {
			for b.Loop() {
				if r := measure(b, m, in); r.Samples == 0 {
					b.Fatal(r)
				}
			}
		})
	}
}
