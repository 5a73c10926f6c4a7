package cut

import (
	"context"
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis/shelf"
	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

// ribbed is a bent handle of about so many faces, standing on its end.
func ribbed(faces int) *mesh.Mesh {
	sides := int(math.Sqrt(float64(faces) / 6))
	rows := faces / 2 / sides
	profile := []r2.Vec{{}}
	for i := range rows {
		z := 240 * float64(i) / float64(rows-1)
		profile = append(profile, r2.Vec{X: 18 + 6*math.Sin(z/25) + 0.5*math.Cos(z), Y: z})
	}
	m := meshtest.Lathe(append(profile, r2.Vec{Y: 240}), sides)
	for i, p := range m.Vertices {
		m.Vertices[i].X += 15 * math.Sin(p.Z/60)
	}
	return m
}

var sizes1M = []struct {
	name  string
	faces int
}{{"10k", 10_000}, {"100k", 100_000}, {"1M", 1_000_000}}

func BenchmarkChoose(b *testing.B) {
	for _, size := range sizes1M {
		b.Run(size.name, func(b *testing.B) {
			s := solid(b, ribbed(size.faces))
			me := s.Measure()
			in := Input{SpoutMM: 25, Centroid: me.Centroid, Detail: make([]float32, len(s.Vertices)), VolumeMM3: me.VolumeMM3, AreaMM2: me.AreaMM2, ClearanceMM: 15}
			for b.Loop() {
				if _, err := Choose(context.Background(), s, in); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// BenchmarkPlace has the search tree at hand, as a plan has.
func BenchmarkPlace(b *testing.B) {
	for _, size := range sizes1M {
		b.Run(size.name, func(b *testing.B) {
			s := solid(b, ribbed(size.faces))
			r := Result{Sheet: NewPlane(r3.Vec{}, r3.Vec{Y: 1}), ThroughSpout: true, volume: 1}
			r.Outline, r.SectionMM2 = r.Section(s.Mesh)
			p := Placing{Tree: mesh.NewTree(s.Mesh), Room: blockAround(s.Mesh, 19), LandMM: 5, Rubber: shelf.Rubber{Cure: shelf.Tin, ShoreA: 30}}
			for b.Loop() {
				r.Exact(s.Mesh, p.Tree)
				if _, err := r.Place(context.Background(), s, p); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
