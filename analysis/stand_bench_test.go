package analysis

import (
	"context"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis/airtrap"
	"pourwright/mesh"
)

// BenchmarkStandAir tells what the count of trapped air takes for one way up: quickly,
// on a mesh as it is for all directions, and in full with the posts, on one as for
// the finalists.
func BenchmarkStandAir(b *testing.B) {
	for _, c := range []struct {
		name  string
		faces int
		quick bool
	}{{"quick", 10_000, true}, {"full", 80_000, false}} {
		b.Run(c.name, func(b *testing.B) {
			m := handle(c.faces)
			air := leastAir{airtrap.DefaultVolumeMM3, airtrap.DefaultPersistenceMM}.finder(m, make([]float32, len(m.Vertices)), c.quick)
			for b.Loop() {
				air(r3.Unit(r3.Vec{X: 1, Y: 0.2, Z: -0.3}), []int32{0})
			}
		})
	}
}

// BenchmarkStandPassages tells what is done before necks can be asked for, and one
// question.
func BenchmarkStandPassages(b *testing.B) {
	c := Choices{Scan: benchScan(b, 100_000), Units: "mm"}
	l, err := Load(context.Background(), c, nil)
	if err != nil {
		b.Fatal(err)
	}
	prepared := func() func(spout r3.Vec, diameterMM float64) (float64, float64) {
		j := &job{ctx: context.Background(), choices: c, solid: l.Solid, measures: l.Measures, plan: &Plan{Scan: l.Scan}}
		find, err := j.passageFinder()
		if err != nil {
			b.Fatal(err)
		}
		return find
	}
	b.Run("prepare", func(b *testing.B) {
		for b.Loop() {
			prepared()
		}
	})
	find, spout := prepared(), lowest(l.Solid.Mesh)
	b.Run("one spout", func(b *testing.B) {
		for b.Loop() {
			find(spout, 25)
		}
	})
}

func lowest(m *mesh.Mesh) r3.Vec {
	best := m.Vertices[0]
	for _, p := range m.Vertices {
		if p.Z < best.Z {
			best = p
		}
	}
	return best
}
