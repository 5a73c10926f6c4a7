package hold_test

import (
	"fmt"
	"testing"

	"pourwright/analysis/hold"
	"pourwright/mesh"
	"pourwright/mesh/meshtest"

	"gonum.org/v1/gonum/spatial/r3"
)

// BenchmarkHold answers what it costs to follow the level on a scan, and what
// pins add where no joint holds.
func BenchmarkHold(b *testing.B) {
	for level, size := range map[int]string{5: "20k", 8: "1.3M"} {
		m := meshtest.Icosphere(level).Scaled(60)
		s := solidOf(b, meshtest.Moved(m, r3.Vec{Z: 60}))
		in := input(s, 150)
		in.Contact = hold.Touch(s.Mesh, 3)
		in.Kinds, in.ViscosityPaS = kinds(), 20
		in.Walls = hold.RectangleWalls(150, 150, 12)
		tree := mesh.NewTree(s.Mesh)
		for _, pins := range []bool{false, true} {
			in.Mass = hold.Weighed(3000)
			if pins {
				in.Mass, in.Tree, in.Kinds = hold.Weighed(0), tree, nil
			}
			b.Run(fmt.Sprintf("%s/pins=%v", size, pins), func(b *testing.B) {
				for b.Loop() {
					if r := ask(b, in); pins != (len(r.Pins) > 0) {
						b.Fatalf("%+v", r)
					}
				}
			})
		}
	}
}
