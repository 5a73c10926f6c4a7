package picture

import (
	"bytes"
	"context"
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis"
	"pourwright/mesh"
	"pourwright/mesh/meshtest"
	"pourwright/render/say"
)

// waysPlan is a plan for a mesh in the scan's frame with so many other ways up: laid
// on its sides in turn.
func waysPlan(m *mesh.Mesh, others int) *analysis.Plan {
	b := m.Bounds()
	size := across(b)
	p := &analysis.Plan{Name: "vase"}
	p.Stand = analysis.Stand{
		Rotation: [3][3]float64{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}, SpoutMM: [3]float64{0, 0, b.Min.Z}, SpoutDiameterMM: 0.1 * size,
		Score: 0.9, Searched: 1400, Why: "The spout is wide. It is ahead of the next best way by air in the cast.",
		Weights: analysis.Weights{Detail: 3, Spout: 2, CastAir: 2, RubberAir: 1, RubberMass: 1, Height: 0.5, Stability: 0.5, Necks: 1},
		Figures: analysis.StandFigures{RubberMM3: 1000},
	}
	for i := range others {
		sin, cos := math.Sincos(math.Pi / 2 * float64(i+1))
		p.Stand.Alternatives = append(p.Stand.Alternatives, analysis.Alternative{
			Rotation: [3][3]float64{{cos, 0, sin}, {0, 1, 0}, {-sin, 0, cos}}, SpoutMM: [3]float64{0, 0, b.Min.Z}, SpoutDiameterMM: 0.05 * size,
			StemMM: 0.06 * size, Score: 0.8 - 0.1*float64(i), Why: "It is low. Of the ways told here it is the best for height.",
			Figures: analysis.StandFigures{RubberMM3: 1520, Vents: 3, CastTraps: 4, RubberTraps: 1, TipDeg: -3},
		})
	}
	return p
}

func drawnWaysOf(t testing.TB, m *mesh.Mesh, p *analysis.Plan, show say.Style) *drawnWays {
	t.Helper()
	d, err := drawWays(context.Background(), m, p, Options{Show: show})
	if err != nil {
		t.Fatal(err)
	}
	kept(t, t.Name(), d.canvas)
	return d
}

// Texts keep clear of each other, of the views and of the picture's edge, whatever
// the shape and the number of ways; every part stays in its view.
func TestWaysKeepClear(t *testing.T) {
	for i, c := range shapes {
		t.Run(c.name, func(t *testing.T) {
			d := drawnWaysOf(t, c.mesh, waysPlan(c.mesh, i%6), []say.Style{say.Both, say.Inch}[i%2])
			textsAreClear(t, d.canvas)
			for _, a := range d.canvas.labels {
				for _, v := range d.views {
					if a.hits(v) {
						t.Errorf("text %.0f lies in the view %.0f", a, v)
					}
				}
			}
			if want := min(i%6, 4) + 1; len(d.solids) != want {
				t.Errorf("%d views, want %d", len(d.solids), want)
			}
			for k, o := range d.solids {
				if got := (rect{float64(o.left), float64(o.top), float64(o.left + o.width/grain), float64(o.top + o.height/grain)}); !d.cells[k].holds(got) {
					t.Errorf("part %d leaves its cell: %.0f in %.0f", k, got, d.cells[k])
				}
			}
		})
	}
}

// Every way stands on the board or on its stem, its spout under the point that the
// plan names, at the same size.
func TestWaysStandOnTheBoard(t *testing.T) {
	m := vase(120, 200, 48).Posed(mesh.Pose{Rows: [3]r3.Vec{{X: 1}, {Y: 1}, {Z: 1}}, T: r3.Vec{X: 40, Y: -300, Z: 77}})
	p := waysPlan(m, 3)
	p.Stand.Alternatives[0].SpoutMM = [3]float64{100, -300, 150}
	for i, w := range waysOf(m, p) {
		if low := w.part.Bounds().Min.Z; math.Abs(low-w.stem) > 1e-9 {
			t.Errorf("way %d stands %.3f mm over the board, want %.3f", i, low, w.stem)
		}
		if w.spout.Z != 0 {
			t.Errorf("way %d has its spout %.3f mm over the board", i, w.spout.Z)
		}
		if a, b := w.part.Area(), m.Area(); math.Abs(a-b) > 1e-6*b {
			t.Errorf("way %d has %.1f mm² of surface, want %.1f", i, a, b)
		}
		b := w.part.Bounds()
		if i > 0 && b.Max.X-b.Min.X < b.Max.Y-b.Min.Y-1e-6 {
			t.Errorf("way %d has its longer side towards the viewer", i)
		}
	}
	// The spout keeps its place on the part: as far from its middle as before.
	w := waysOf(m, p)[1]
	posed := r3.Vec{X: 150, Y: -300} // turned by 90° about y, (x, y, z) comes to (z, y, −x)
	b := m.Bounds()
	was := math.Abs(posed.X - (b.Min.Z+b.Max.Z)/2)
	if now := math.Hypot(w.spout.X, w.spout.Y); math.Abs(now-was) > 1e-6 {
		t.Errorf("the spout is %.3f mm from the middle, want %.3f", now, was)
	}
}

// The words of a way say each thing once.
func TestWordsOfAWay(t *testing.T) {
	m := vase(120, 200, 24)
	ways := waysOf(m, waysPlan(m, 1))
	if got := ways[0].reason; got != "It is ahead of the next best way by air in the cast." {
		t.Errorf("reason %q", got)
	}
	facts := ways[1].facts(wordedBy(say.Metric))
	for _, want := range []string{"spout 13 mm", "3 vents", "air stays in the cast", "air under the part", "tips over", "rubber +52 %"} {
		if !strings.Contains(facts, want) {
			t.Errorf("%q lacks %q", facts, want)
		}
	}
	ways[1].reason = "It takes about 52 % more rubber than the choice."
	if facts := ways[1].facts(wordedBy(say.Metric)); strings.Contains(facts, "rubber") {
		t.Errorf("rubber twice: %q", facts)
	}
}

func TestWaysTwiceTheSame(t *testing.T) {
	m := vase(120, 200, 48)
	a := drawnWaysOf(t, m, waysPlan(m, 4), say.Both)
	b := drawnWaysOf(t, m, waysPlan(m, 4), say.Both)
	if !bytes.Equal(a.canvas.img.Pix, b.canvas.img.Pix) {
		t.Error("the pixels differ")
	}
	for i := range a.solids {
		n := 0
		for _, d := range a.solids[i].depth {
			if d != nothing {
				n++
			}
		}
		if n < 4000*grain*grain {
			t.Errorf("way %d covers %d samples only", i, n)
		}
	}
	if _, err := Ways(context.Background(), nil, waysPlan(m, 1), Options{}); err == nil {
		t.Error("no error without a pattern")
	}
	if _, err := Ways(context.Background(), meshtest.Box(1, 1, 1), nil, Options{}); err == nil {
		t.Error("no error without a plan")
	}
}
