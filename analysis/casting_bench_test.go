package analysis

import (
	"context"
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// BenchmarkPassages tells how long the search of ways up waits for the field and
// the necks of a part, and then for the necks of one way up.
func BenchmarkPassages(b *testing.B) {
	for _, size := range benchSizes {
		c := Choices{Scan: benchScan(b, size.faces), Units: "mm"}
		l, err := Load(context.Background(), c, nil)
		if err != nil {
			b.Fatal(err)
		}
		new := func() *job {
			return &job{ctx: context.Background(), choices: c, solid: l.Solid, measures: l.Measures, plan: &Plan{Scan: l.Scan}}
		}
		b.Run(size.name+"/field", func(b *testing.B) {
			for b.Loop() {
				if _, err := new().space(); err != nil {
					b.Fatal(err)
				}
			}
		})
		j := new()
		if _, err := j.space(); err != nil {
			b.Fatal(err)
		}
		b.Run(size.name+"/necks", func(b *testing.B) {
			for b.Loop() {
				j.passages = nil
				if _, err := j.findPassages(); err != nil {
					b.Fatal(err)
				}
			}
		})
		find, err := j.passageFinder()
		if err != nil {
			b.Fatal(err)
		}
		b.Run(size.name+"/from", func(b *testing.B) {
			for b.Loop() {
				if d, _ := find(r3.Vec{}, 25); math.IsNaN(d) {
					b.Fatal(d)
				}
			}
		})
	}
}

// BenchmarkFill tells how long the ends, the filling and the advice take once the
// necks are known.
func BenchmarkFill(b *testing.B) {
	for _, size := range benchSizes {
		c := Choices{Scan: benchScan(b, size.faces), Units: "mm", Casting: "resin"}
		l, err := Load(context.Background(), c, nil)
		if err != nil {
			b.Fatal(err)
		}
		j := &job{ctx: context.Background(), choices: c, solid: l.Solid, measures: l.Measures, plan: &Plan{Scan: l.Scan}}
		if err := j.takeFromShelf(); err != nil {
			b.Fatal(err)
		}
		for _, step := range j.steps() {
			if step.stage == "filling voids" {
				break
			}
			if err := step.do(); err != nil {
				b.Fatal(err)
			}
		}
		if _, err := j.findPassages(); err != nil {
			b.Fatal(err)
		}
		j.belowLevel()
		b.Run(size.name, func(b *testing.B) {
			for b.Loop() {
				if err := j.fillCast(); err != nil || len(j.plan.Cast.Advice) == 0 {
					b.Fatal(err, j.plan.Cast)
				}
			}
		})
	}
}
