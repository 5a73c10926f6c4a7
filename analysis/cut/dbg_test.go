package cut

import (
	"context"
	"fmt"
	"math"
	"path/filepath"
	"testing"
	"time"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
	"pourwright/mesh/field"
)

func TestDbg(t *testing.T) {
	files, _ := filepath.Glob("../../samples/*.stl")
	more, _ := filepath.Glob("../../testdata/*.stl")
	for _, p := range append(files, more...) {
		raw, _, err := mesh.Read(context.Background(), p, nil)
		if err != nil {
			t.Fatal(err)
		}
		m := raw
		b := m.Bounds()
		d := r3.Sub(b.Max, b.Min)
		if len(filepath.Base(filepath.Dir(p))) == 8 {
			m = m.Scaled(200 / max(d.X, d.Y, d.Z))
		}
		b = m.Bounds()
		d = r3.Sub(b.Max, b.Min)
		h := math.Cbrt(d.X * d.Y * d.Z / 8e5)
		f, err := field.New(context.Background(), m, field.Choice{VoxelMM: h}, nil)
		if err != nil {
			t.Fatal(err)
		}
		t1 := time.Now()
		g := newLinking(m.Bounds(), Space{f, still})
		t2 := time.Now()
		fmt.Println(filepath.Base(p), "fine", f.VoxelMM, "coarse", g.stepMM, g.n, "linking", t2.Sub(t1))
		c := r3.Scale(0.5, r3.Add(b.Max, b.Min))
		hv := g.newHalf()
		noise := 0.0
		var line string
		for deg := 0; deg < 180; deg += 9 {
			s := NewPlane(c, r3.Vec{X: math.Cos(float64(deg) * math.Pi / 180), Y: math.Sin(float64(deg) * math.Pi / 180)})
			hv.lay(&s)
			mins := g.count(&s)
			for _, mv := range g.moves() {
				hv.part(mv)
				for side := range 2 {
					noise += float64(hv.links(side) - mins[side])
				}
			}
			line += fmt.Sprint(mins)
		}
		fmt.Printf("  noise %.2f  %s\n", noise/120, line)
		t3 := time.Now()
		for deg := 0; deg < 180; deg += 9 {
			s := NewPlane(c, r3.Vec{X: math.Cos(float64(deg) * math.Pi / 180), Y: math.Sin(float64(deg) * math.Pi / 180)})
			g.count(&s)
		}
		fmt.Println("  count", time.Since(t3)/20)
	}
}
