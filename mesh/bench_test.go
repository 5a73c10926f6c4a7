package mesh

import (
	"context"
	"fmt"
	"math"
	"path/filepath"
	"slices"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// ring returns a closed ring with a wavy surface, 2·n·m faces, about 120 mm
// across, moved off the origin.
func ring(n, m int) *Mesh {
	out := &Mesh{Vertices: make([]r3.Vec, 0, n*m), Faces: make([][3]int32, 0, 2*n*m)}
	for i := range n {
		for j := range m {
			u, v := 2*math.Pi*float64(i)/float64(n), 2*math.Pi*float64(j)/float64(m)
			r := 15 + math.Sin(9*u)*math.Cos(4*v)
			out.Vertices = append(out.Vertices, r3.Vec{
				X: 20 + (45+r*math.Cos(v))*math.Cos(u), Y: (45 + r*math.Cos(v)) * math.Sin(u), Z: 30 + r*math.Sin(v),
			})
			a, b := int32(i*m+j), int32((i+1)%n*m+j)
			c, d := int32((i+1)%n*m+(j+1)%m), int32(i*m+(j+1)%m)
			out.Faces = append(out.Faces, [3]int32{a, b, c}, [3]int32{a, c, d})
		}
	}
	return out
}

// sizes are the meshes that speed is measured on, by number of faces.
var sizes = []struct {
	name string
	n, m int
}{{"10k", 100, 50}, {"100k", 250, 200}, {"1M", 1000, 500}}

func onSizes(b *testing.B, run func(b *testing.B, m *Mesh)) {
	for _, s := range sizes {
		m := ring(s.n, s.m)
		b.Run(s.name, func(b *testing.B) {
			b.ReportAllocs()
			run(b, m)
			b.ReportMetric(float64(len(m.Faces))*float64(b.N)/b.Elapsed().Seconds()/1e6, "Mfaces/s")
		})
	}
}

// BenchmarkReadSTL answers how long a scan takes to read and weld.
func BenchmarkReadSTL(b *testing.B) {
	onSizes(b, func(b *testing.B, m *Mesh) {
		path := filepath.Join(b.TempDir(), "ring.stl")
		if err := WriteSTL(path, m, "ring"); err != nil {
			b.Fatal(err)
		}
		for b.Loop() {
			got, _, err := Read(context.Background(), path, nil)
			if err != nil || len(got.Vertices) != len(m.Vertices) {
				b.Fatal(err, len(got.Vertices))
			}
		}
	})
}

// BenchmarkWeld answers what joining corners costs without the file.
func BenchmarkWeld(b *testing.B) {
	onSizes(b, func(b *testing.B, m *Mesh) {
		corners := make([]key, 0, 3*len(m.Faces))
		for _, t := range m.Faces {
			for _, v := range t {
				corners = append(corners, keyOf(m.Vertices[v]))
			}
		}
		var numbers [batch]int32
		for b.Loop() {
			x := newKeyIndex(len(m.Faces) / 2)
			for c := range slices.Chunk(corners, batch) {
				x.numberAll(c, numbers[:])
			}
			if len(x.keys) != len(m.Vertices) {
				b.Fatal(len(x.keys))
			}
		}
	})
}

func keyOf(v r3.Vec) key {
	return cornerKey(math.Float32bits(float32(v.X)), math.Float32bits(float32(v.Y)), math.Float32bits(float32(v.Z)))
}

// BenchmarkCheck answers how long the checks take on a sound mesh.
func BenchmarkCheck(b *testing.B) {
	onSizes(b, func(b *testing.B, m *Mesh) {
		for b.Loop() {
			if r := Check(m); !r.Closed || len(r.Problems) > 0 {
				b.Fatal(r)
			}
		}
	})
}

// BenchmarkNeighbours answers what the vertex graph costs.
func BenchmarkNeighbours(b *testing.B) {
	onSizes(b, func(b *testing.B, m *Mesh) {
		for b.Loop() {
			if a := m.Neighbours(); len(a.Index) != 3*len(m.Faces) {
				b.Fatal(fmt.Sprint(len(a.Index)))
			}
		}
	})
}

// BenchmarkClustered answers what a reduced mesh for a picture costs.
func BenchmarkClustered(b *testing.B) {
	onSizes(b, func(b *testing.B, m *Mesh) {
		for b.Loop() {
			if got, _ := m.Clustered(1); len(got.Faces) == 0 {
				b.Fatal("no faces")
			}
		}
	})
}
