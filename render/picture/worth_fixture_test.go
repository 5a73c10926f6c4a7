package picture

import (
	"context"
	"math/rand/v2"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
)

// drawnScan draws a scan with what Check says of it.
func drawnScan(t testing.TB, m *mesh.Mesh, change func(*WorthInput)) *drawnWorth {
	t.Helper()
	in := WorthInput{Mesh: m, Problems: mesh.Check(m).Problems}
	in.Verdict, in.Sound = "Sound: scan.stl is a closed solid.", len(in.Problems) == 0
	if len(in.Problems) > 0 {
		in.Verdict = "Not usable as it is: scan.stl: " + in.Problems[0].Text + "."
	}
	if change != nil {
		change(&in)
	}
	d, err := drawWorth(context.Background(), in)
	if err != nil {
		t.Fatal(err)
	}
	kept(t, t.Name(), d.canvas)
	return d
}

// without is a mesh less some faces.
func without(m *mesh.Mesh, drop func(middle, normal r3.Vec) bool) *mesh.Mesh {
	out := &mesh.Mesh{Vertices: m.Vertices}
	for f, t := range m.Faces {
		a, b, c := m.Corners(f)
		if !drop(r3.Scale(1.0/3, r3.Add(a, r3.Add(b, c))), r3.Unit(m.DoubleAreaNormal(f))) {
			out.Faces = append(out.Faces, t)
		}
	}
	return out
}

// worthIsClear fails when a text leaves the picture, meets another or lies in a
// view, and when a mark leaves its view.
func worthIsClear(t *testing.T, d *drawnWorth) {
	t.Helper()
	textsAreClear(t, d.canvas)
	for _, a := range d.canvas.labels {
		for _, v := range d.page.views {
			if d.page.scale > 0 && a.hits(v) && a.wide() > 2*markHalf {
				t.Errorf("text %.0f lies in the view %.0f", a, v)
			}
		}
	}
	for i, v := range d.views {
		for k, a := range v.taken {
			if !v.room.holds(a) {
				t.Errorf("view %d: mark %d, %.0f, leaves it", i, k, a)
			}
		}
	}
}

// invented are n problems at corners of a mesh, some with long sentences.
func invented(m *mesh.Mesh, n int) []mesh.Problem {
	random := rand.New(rand.NewPCG(7, uint64(n)))
	var all []mesh.Problem
	for i := range n {
		p := mesh.Problem{Kind: mesh.KindFlippedFace, Count: i, At: m.Vertices[random.IntN(len(m.Vertices))], HasAt: i%5 != 4}
		p.Text = strings.Repeat("the surface is not what it should be ", 1+i%4) + "near (1234.5, −17.2, 0.1)"
		all = append(all, p)
	}
	return all
}
