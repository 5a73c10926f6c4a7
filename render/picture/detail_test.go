package picture

import (
	"bytes"
	"context"
	"fmt"
	"math"
	"runtime"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis"
	"pourwright/mesh"
	"pourwright/mesh/meshtest"
	"pourwright/render/say"
)

// scored gives every vertex of a posed mesh a score.
func scored(m *mesh.Mesh, of func(p r3.Vec) float64) []float32 {
	score := make([]float32, len(m.Vertices))
	for v, p := range m.Vertices {
		score[v] = float32(of(p))
	}
	return score
}

func drawnDetailOf(t testing.TB, m *mesh.Mesh, p *analysis.Plan, score []float32, o DetailOptions) *drawnHeat {
	t.Helper()
	d, err := drawDetail(context.Background(), m, p, score, o)
	if err != nil {
		t.Fatal(err)
	}
	kept(t, t.Name(), d.canvas)
	return d
}

// split is finely divided, so that half of it can score 1.
func split(m *mesh.Mesh, times int) *mesh.Mesh {
	for range times {
		m = meshtest.Split(m)
	}
	return m
}

// Texts keep clear of each other, of the picture's edge and of the views, whatever
// the shape and the words.
func TestDetailKeepsClear(t *testing.T) {
	for _, c := range shapes {
		for _, show := range []say.Style{say.Both, say.Inch} {
			t.Run(c.name+"-"+show.String(), func(t *testing.T) {
				m, p := shaped(t, c.mesh, 0.05*float64(len(c.name)%2), 0)
				p.Scan.DetailRadiusMM = 2
				centre := [4]float64{m.Vertices[0].X, m.Vertices[0].Y, m.Vertices[0].Z, 0.2 * across(m.Bounds())}
				d := drawnDetailOf(t, m, p, scored(m, func(q r3.Vec) float64 { return 0.5 }),
					DetailOptions{Show: show, KeepClear: [][4]float64{centre}, Plain: [][4]float64{centre}})
				detailIsClear(t, d)
			})
		}
	}
}

func detailIsClear(t *testing.T, d *drawnHeat) {
	t.Helper()
	textsAreClear(t, d.canvas)
	for _, a := range d.canvas.labels {
		for _, v := range d.page.views {
			if a.hits(v) {
				t.Errorf("text %.0f lies in the view %.0f", a, v)
			}
		}
		if a.hits(detailBar) {
			t.Errorf("text %.0f lies on the bar", a)
		}
	}
	for i, v := range d.views {
		if !v.room.holds(rect{float64(v.solid.left), float64(v.solid.top), float64(v.solid.left + v.solid.width/grain), float64(v.solid.top + v.solid.height/grain)}) {
			t.Errorf("the part leaves view %d", i)
		}
	}
}

// yellowAndBlue counts the pixels of a view that have the colours of much and of
// little detail, in any light.
func (d *drawnHeat) yellowAndBlue(view int) (yellow, blue int) {
	r := d.page.views[view]
	for y := int(r.Y0); y < int(r.Y1); y++ {
		for x := int(r.X0); x < int(r.X1); x++ {
			c := d.canvas.img.RGBAAt(x, y)
			switch {
			case int(c.R) > int(c.B)+60 && int(c.G) > int(c.B)+50:
				yellow++
			case int(c.B) > int(c.R)+30:
				blue++
			}
		}
	}
	return yellow, blue
}

// The upper half of a drum is worth protecting: it is yellow, and as large as the
// blue half in each view.
func TestDetailHasItsColours(t *testing.T) {
	m, p := planned(t, split(meshtest.Box(60, 60, 80), 5), job{name: "crate", clearance: 16})
	d := drawnDetailOf(t, m, p, scored(m, func(q r3.Vec) float64 {
		if q.Z > 41 {
			return 1
		}
		return 0
	}), DetailOptions{})
	for view := range 2 {
		yellow, blue := d.yellowAndBlue(view)
		share := float64(yellow) / float64(yellow+blue)
		want := 0.55 // the top is seen in the first view, the underside in the second
		if view == 1 {
			want = 0.45
		}
		if yellow+blue < 50_000 || math.Abs(share-want) > 0.12 {
			t.Errorf("view %d: %d yellow and %d blue pixels", view, yellow, blue)
		}
	}
	d = drawnDetailOf(t, m, p, scored(m, func(r3.Vec) float64 { return 0 }), DetailOptions{})
	if yellow, _ := d.yellowAndBlue(0); yellow > 50 {
		t.Errorf("%d yellow pixels on a plain part", yellow)
	}
}

// The pair of corners is taken that sees the detail best.
func TestDetailIsLookedAt(t *testing.T) {
	m, p := planned(t, vase(120, 200, 96), job{name: "vase", clearance: 16})
	for _, c := range []struct {
		side r3.Vec
		name string
	}{{r3.Vec{X: 1, Y: -1}, "From the front, right and above"}, {r3.Vec{X: -1, Y: -1}, "From the front, left and above"}} {
		s := newDetailScene(m, p, scored(m, func(q r3.Vec) float64 {
			if r3.Dot(q, c.side) > 1.3*math.Hypot(q.X, q.Y) {
				return 1
			}
			return 0
		}), DetailOptions{})
		if s.names[0] != c.name {
			t.Errorf("detail towards %v: looked at %q", c.side, s.names[0])
		}
	}
}

// A ball is drawn where it cuts the surface: on a face of a block a circle, however
// the face is divided, and on an edge two half circles.
func TestBallsAreDrawn(t *testing.T) {
	for _, c := range []struct {
		times int
		ball  [4]float64
		long  float64
	}{
		{0, [4]float64{10, -30, 25, 6}, 12 * math.Pi}, {0, [4]float64{0, -30, 40, 10}, 20 * math.Pi}, {5, [4]float64{0, -30, 40, 10}, 20 * math.Pi},
		{3, [4]float64{1, -24, 39, 10}, 16 * math.Pi}, {4, [4]float64{30, -30, 40, 10}, 20 * math.Pi}, {2, [4]float64{0, 0, 40, 10}, 0},
	} {
		m, p := planned(t, split(meshtest.Box(60, 60, 80), c.times), job{name: "crate", clearance: 16})
		s := newDetailScene(m, p, make([]float32, len(m.Vertices)), DetailOptions{KeepClear: [][4]float64{c.ball}})
		if len(s.marks) != 1 || !s.marks[0].keep {
			t.Fatalf("marks %v", s.marks)
		}
		long, centre := 0.0, r3.Sub(r3.Vec{X: c.ball[0], Y: c.ball[1], Z: c.ball[2]}, s.middle)
		for _, l := range s.marks[0].lines {
			for k, q := range l {
				if off := math.Abs(r3.Norm(r3.Sub(q, centre)) - c.ball[3]); off > 1e-6 {
					t.Errorf("%v is not on the ball", q)
				}
				if k > 0 {
					long += r3.Norm(r3.Sub(q, l[k-1]))
				}
			}
		}
		if math.Abs(long-c.long) > 0.003*c.long {
			t.Errorf("divided %d times: a line of %.2f mm, want %.2f", c.times, long, c.long)
		}
	}
}

func TestBallsAreSeen(t *testing.T) {
	m, p := planned(t, split(meshtest.Box(60, 60, 80), 5), job{name: "crate", clearance: 16})
	plain := make([]float32, len(m.Vertices))
	with := drawnDetailOf(t, m, p, plain, DetailOptions{KeepClear: [][4]float64{{0, -30, 40, 10}}, Plain: [][4]float64{{30, 0, 40, 10}}})
	without := drawnDetailOf(t, m, p, plain, DetailOptions{})
	for _, c := range []tint{chalk, glass} {
		in := with.page.views[0].with(with.page.views[1])
		if n, before := with.canvas.count(c, in), without.canvas.count(c, in); n < before+100 {
			t.Errorf("%d pixels of the line's colour, %d without it", n, before)
		}
	}
}

// The spout's rim is lamp yellow in the view from below, or its stem is, from both.
func TestDetailShowsTheSpout(t *testing.T) {
	for _, stem := range []float64{0, 20} {
		m, p := planned(t, split(meshtest.Box(60, 60, 80), 3), job{name: "crate", clearance: 16, spout: 30, stem: stem})
		d := drawnDetailOf(t, m, p, make([]float32, len(m.Vertices)), DetailOptions{})
		detailIsClear(t, d)
		if n, _ := d.yellowAndBlue(1); n < 500 {
			t.Errorf("stem %g: %d pixels of the spout from below", stem, n)
		}
	}
}

func TestDetailIsTheSameEveryTime(t *testing.T) {
	m, p := planned(t, vase(120, 200, 96), job{name: "vase", clearance: 16, spout: 40})
	score := scored(m, func(q r3.Vec) float64 { return 0.5 + 0.5*math.Sin(q.Z/5) })
	first := drawnDetailOf(t, m, p, score, DetailOptions{}).canvas.img.Pix
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(0))
	for _, n := range []int{1, 3} {
		runtime.GOMAXPROCS(n)
		if !bytes.Equal(first, drawnDetailOf(t, m, p, score, DetailOptions{}).canvas.img.Pix) {
			t.Errorf("other pixels on %d processors", n)
		}
	}
}

func TestDetailCannotDraw(t *testing.T) {
	m, p := planned(t, vase(120, 200, 24), job{name: "vase", clearance: 16})
	stopped, stop := context.WithCancel(context.Background())
	stop()
	right := make([]float32, len(m.Vertices))
	for _, c := range []struct {
		name  string
		ctx   context.Context
		mesh  *mesh.Mesh
		plan  *analysis.Plan
		score []float32
		want  string
	}{
		{"no mesh", context.Background(), nil, p, nil, "no faces"},
		{"empty mesh", context.Background(), &mesh.Mesh{}, p, nil, "no faces"},
		{"no plan", context.Background(), m, nil, right, "no plan"},
		{"few scores", context.Background(), m, p, right[:5], "5 scores"},
		{"stopped", stopped, m, p, right, "canceled"},
	} {
		if _, err := Detail(c.ctx, c.mesh, c.plan, c.score, DetailOptions{}); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: error %v, want one with %q", c.name, err, c.want)
		}
	}
}

// BenchmarkDetail answers what the picture costs.
func BenchmarkDetail(b *testing.B) {
	for _, sides := range []int{224, 720} {
		m, p := planned(b, vase(120, 200, sides), job{clearance: 16, spout: 40})
		score := scored(m, func(q r3.Vec) float64 { return 0.5 + 0.5*math.Sin(q.Z/5) })
		b.Run(fmt.Sprintf("%dk-faces", len(m.Faces)/1000), func(b *testing.B) {
			for range b.N {
				if _, err := Detail(context.Background(), m, p, score, DetailOptions{}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
