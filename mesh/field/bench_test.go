package field

import (
	"strconv"
	"testing"

	"pourwright/mesh/meshtest"
)

// How long does a field of a large scan take?
func BenchmarkNew(b *testing.B) {
	m := meshtest.TorusMesh(1120, 448, 50, 20) // 1,003,520 faces
	for _, cells := range []int{128, 256} {
		b.Run(strconv.Itoa(cells), func(b *testing.B) {
			voxels := 0
			for b.Loop() {
				voxels += len(newField(b, m, Choice{Cells: cells}).Distance)
			}
			b.ReportMetric(float64(voxels)/b.Elapsed().Seconds(), "voxels/s")
		})
	}
}

// And one with holes, whose sides need winding numbers?
func BenchmarkNewOpen(b *testing.B) {
	m := without(meshtest.TorusMesh(1120, 448, 50, 20), func(f int) bool { return f%1000 == 0 })
	for b.Loop() {
		newField(b, m, Choice{Cells: 128})
	}
}

func BenchmarkSurface(b *testing.B) {
	f := newField(b, meshtest.TorusMesh(400, 200, 50, 20), Choice{Cells: 128})
	for b.Loop() {
		if _, err := f.Surface(); err != nil {
			b.Fatal(err)
		}
	}
}
