package rod

import (
	"context"
	"fmt"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

// BenchmarkFind asks how the search grows with the faces of a scan whose field
// and search tree are there already: its looks at the surface grow with the
// depth of the tree only. The ball is the worst, since every place near its
// middle is about as far from all of it.
func BenchmarkFind(b *testing.B) {
	for _, c := range []struct {
		name  string
		of    func() *mesh.Mesh
		spout Spout
	}{
		{"pin", func() *mesh.Mesh { return sample(b, "belaying-pin").Mesh }, aside()},
		{"pin/split", func() *mesh.Mesh { return meshtest.Split(meshtest.Split(sample(b, "belaying-pin").Mesh)) }, aside()},
		{"lantern/split", func() *mesh.Mesh { return meshtest.Split(meshtest.Split(sample(b, "storm-lantern").Mesh)) }, aside()},
		{"pin by the spout/split", func() *mesh.Mesh { return meshtest.Split(meshtest.Split(sample(b, "belaying-pin").Mesh)) },
			Spout{At: r3.Vec{X: 112.665, Y: -61.58, Z: 304.972}, Inward: r3.Unit(r3.Vec{X: -0.5748, Y: -0.7332, Z: 0.3634}), DiameterMM: 25, StemMM: 20}},
		{"ball", func() *mesh.Mesh { return meshtest.Icosphere(6).Scaled(60) }, aside()},
		{"ball/split", func() *mesh.Mesh { return meshtest.Icosphere(8).Scaled(60) }, aside()},
	} {
		m := c.of()
		in := asked(b, m, 700_000, 6, 8)
		if c.name[0] == 'p' {
			in.CoverMM = 3
		}
		in.Spout = c.spout
		b.Run(fmt.Sprintf("%s/%dk", c.name, len(m.Faces)/1000), func(b *testing.B) {
			for b.Loop() {
				r, err := Find(context.Background(), in)
				if err != nil {
					b.Fatal(err)
				}
				kept = r
			}
		})
	}
}

// kept is the last result, so that nothing is left out as unused.
var kept Result

// BenchmarkSlice asks whether 40 sections are quick beside the search.
func BenchmarkSlice(b *testing.B) {
	for _, level := range []int{6, 8} {
		solid, _, err := mesh.NewSolid(meshtest.Icosphere(level))
		if err != nil {
			b.Fatal(err)
		}
		b.Run(fmt.Sprintf("%dk", len(solid.Faces)/1000), func(b *testing.B) {
			for b.Loop() {
				keptSlices = Slice(solid, r3.Vec{Z: 1}, 40)
			}
		})
	}
}

var keptSlices Slices
