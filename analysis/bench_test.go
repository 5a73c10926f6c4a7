package analysis

import (
	"context"
	"fmt"
	"math"
	"path/filepath"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"

	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

// handle is a turned and ribbed handle of about so many faces.
func handle(faces int) *mesh.Mesh {
	sides := int(math.Sqrt(float64(faces) / 2 / 3))
	rows := faces / 2 / sides
	profile := []r2.Vec{{}}
	for i := range rows {
		z := 240 * float64(i) / float64(rows-1)
		r := 14 + z/60
		if z > 150 {
			r = 3 + 25*math.Sin(math.Pi*(z-140)/120) + 0.5*math.Cos(2*math.Pi*z/6)
		}
		profile = append(profile, r2.Vec{X: r, Y: z})
	}
	return meshtest.Lathe(append(profile, r2.Vec{Y: 240}), sides)
}

var benchSizes = []struct {
	name  string
	faces int
}{{"10k", 10_000}, {"100k", 100_000}, {"1M", 1_000_000}}

// BenchmarkStand tells how the search of ways up, with its count of traps,
// grows with the scan.
func BenchmarkStand(b *testing.B) {
	for _, size := range benchSizes {
		b.Run(size.name, func(b *testing.B) {
			c := Choices{Scan: benchScan(b, size.faces), Units: "mm"}
			l, err := Load(context.Background(), c, nil)
			if err != nil {
				b.Fatal(err)
			}
			for b.Loop() {
				j := &job{ctx: context.Background(), choices: c, solid: l.Solid, measures: l.Measures, plan: &Plan{Scan: l.Scan}}
				if err := j.takeFromShelf(); err != nil {
					b.Fatal(err)
				}
				if err := j.scoreDetail(); err != nil {
					b.Fatal(err)
				}
				if err := j.chooseStand(); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// BenchmarkPlan tells what a whole plan takes, from file to figures.
func BenchmarkPlan(b *testing.B) {
	for _, size := range benchSizes {
		b.Run(size.name, func(b *testing.B) {
			c := Choices{Scan: benchScan(b, size.faces), Units: "mm"}
			for b.Loop() {
				l, err := Load(context.Background(), c, nil)
				if err != nil {
					b.Fatal(err)
				}
				if _, err := Ask(context.Background(), l, c, nil); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func benchScan(b *testing.B, faces int) string {
	b.Helper()
	path := filepath.Join(b.TempDir(), fmt.Sprintf("handle-%d.stl", faces))
	if err := mesh.WriteSTL(path, handle(faces), "handle"); err != nil {
		b.Fatal(err)
	}
	return path
}
