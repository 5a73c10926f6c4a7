package picture

import (
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

// walled gives a plan a wall of rubber: the thinnest place at a vertex and webs at
// others.
func walled(p *analysis.Plan, m *mesh.Mesh, webs int) {
	at := func(k int) [3]float64 {
		v := m.Vertices[k*37%len(m.Vertices)]
		return [3]float64{v.X, v.Y, v.Z}
	}
	p.Wall = analysis.Wall{
		MinMM: 8.4, MinAtMM: at(0), AreaMM2: 1000, ThinMM: 8, ThinMM2: 4, FloppyMM: 10, FloppyMM2: 50, WastedMM: 40, WastedMM2: 300,
		Histogram: []analysis.WallBin{{FromMM: 0, ToMM: 10, AreaMM2: 50}, {FromMM: 10, ToMM: 40, AreaMM2: 650}, {FromMM: 40, ToMM: 70, AreaMM2: 300}},
	}
	for k := range webs {
		p.Wall.Webs = append(p.Wall.Webs, analysis.Web{AtMM: at(k + 1), ThicknessMM: 2 + 0.3*float64(k)})
	}
}

// thickAlong gives every vertex a thickness of 0 to 80 mm by its height.
func thickAlong(m *mesh.Mesh) []float32 {
	b := m.Bounds()
	return scored(m, func(q r3.Vec) float64 { return 80 * (q.Z - b.Min.Z) / (b.Max.Z - b.Min.Z) })
}

func drawnThickness(t testing.TB, m *mesh.Mesh, p *analysis.Plan, mm []float32, show say.Style) *drawnHeat {
	t.Helper()
	d, err := drawThickness(context.Background(), m, p, mm, Options{Show: show})
	if err != nil {
		t.Fatal(err)
	}
	kept(t, t.Name(), d.canvas)
	return d
}

// Texts keep clear of each other, of the bar and of the picture's edge, whatever the
// shape, the words and the number of webs; numbers stay in their view.
func TestThicknessKeepsClear(t *testing.T) {
	for i, c := range shapes {
		t.Run(c.name, func(t *testing.T) {
			m, p := shaped(t, c.mesh, 0.05*float64(i%2), 0)
			walled(p, m, 4*(i%3))
			d := drawnThickness(t, m, p, thickAlong(m), []say.Style{say.Both, say.Inch}[i%2])
			thicknessIsClear(t, d)
		})
	}
}

func thicknessIsClear(t *testing.T, d *drawnHeat) {
	t.Helper()
	textsAreClear(t, d.canvas)
	for _, a := range d.canvas.labels {
		if a.hits(thicknessBar) || a.hits(thicknessBars) {
			t.Errorf("text %.0f lies on the bar", a)
		}
	}
	for i, v := range d.views {
		for _, r := range v.taken {
			if !v.room.holds(r) {
				t.Errorf("a mark leaves view %d: %.0f", i, r)
			}
		}
	}
}

// Where the rubber is thin the part is blue, where it is wasted yellow, and where it
// touches the board neither.
func TestThicknessHasItsColours(t *testing.T) {
	m, p := planned(t, split(meshtest.Box(60, 60, 80), 5), job{name: "crate", clearance: 16})
	walled(p, m, 0)
	p.Wall.MinMM = 0
	of := func(mm float64) (yellow, blue int) {
		d := drawnThickness(t, m, p, scored(m, func(r3.Vec) float64 { return mm }), say.Metric)
		return d.yellowAndBlue(0)
	}
	yellow, blue := of(2)
	if yellow > 0 || blue < 20_000 {
		t.Errorf("thin: %d yellow, %d blue pixels", yellow, blue)
	}
	if yellow, blue = of(60); blue > 0 || yellow < 20_000 {
		t.Errorf("wasted: %d yellow, %d blue pixels", yellow, blue)
	}
	if yellow, blue = of(math.NaN()); yellow > 0 || blue > 0 {
		t.Errorf("no rubber: %d yellow, %d blue pixels", yellow, blue)
	}
}

// A face with one corner on the board has the thickness of the others; one that lies
// on it has none. Nothing is lost.
func TestSurfaceWithoutRubberIsApart(t *testing.T) {
	m := meshtest.Box(40, 30, 20)
	low := m.Bounds().Min.Z
	value := scored(m, func(q r3.Vec) float64 {
		if q.Z < low+1e-9 {
			return math.NaN()
		}
		return 0.5
	})
	bodies := heatBodies(m, value, 10)
	if len(bodies) != heatShades+1 {
		t.Fatalf("%d bodies, want one more than %d shades", len(bodies), heatShades)
	}
	area := 0.0
	for _, b := range bodies {
		area += b.mesh.Area()
	}
	if got := bodies[heatShades].mesh.Area(); math.Abs(got-40*30) > 1e-9 || math.Abs(area-m.Area()) > 1e-6 {
		t.Errorf("%.1f mm² without a value of %.1f, want 1200 of %.1f", got, area, m.Area())
	}
}

// Labels of thresholds stand at their thickness while there is room, in their order
// and never on one another; equal thresholds share one.
func TestThresholdsOnTheBar(t *testing.T) {
	faces := newTypefaces()
	for _, c := range []struct {
		thin, floppy, wasted float64
		labels               int
	}{{8, 10, 40, 5}, {10, 10, 50, 4}, {12, 10, 40, 5}, {1, 1.5, 2, 5}, {0.2, 10, 1, 5}, {39, 39.5, 40, 5}} {
		s := &thickness{heatScene: &heatScene{}, wall: analysis.Wall{ThinMM: c.thin, FloppyMM: c.floppy, WastedMM: c.wasted, AreaMM2: 100}}
		s.words = worded()
		s.top = thickest(s.wall, nil)
		all := s.barLabels(faces)
		if len(all) != c.labels {
			t.Errorf("%+v: %d labels", c, len(all))
		}
		for i, l := range all {
			if i == 0 {
				continue
			}
			before := all[i-1]
			if apart := (labelHigh(faces, l) + labelHigh(faces, before)) / 2; before.y-l.y < apart-1e-9 {
				t.Errorf("%+v: labels %d and %d meet", c, i-1, i)
			}
			if l.mm <= before.mm {
				t.Errorf("%+v: label %d is out of order", c, i)
			}
		}
	}
}

func TestTopOfTheBar(t *testing.T) {
	for _, c := range []struct {
		wasted float64
		mm     []float32
		want   float64
	}{
		{40, []float32{3, 90}, 55}, {50, nil, 65}, {25, nil, 33}, {2.5, nil, 3.3}, {0, []float32{12.2, float32(math.NaN())}, 13}, {0, nil, 0.1},
	} {
		if got := thickest(analysis.Wall{WastedMM: c.wasted}, c.mm); math.Abs(got-c.want) > 1e-9 {
			t.Errorf("wasted above %g: the bar ends at %g, want %g", c.wasted, got, c.want)
		}
	}
}

// What has no room in the list has no number on the part either, and is counted.
func TestManyWebsAreCounted(t *testing.T) {
	m, p := planned(t, vase(120, 200, 48), job{name: "vase", clearance: 16, spout: 40})
	walled(p, m, 40)
	d := drawnThickness(t, m, p, thickAlong(m), say.Both)
	thicknessIsClear(t, d)
	last, numbered := d.page.entries[len(d.page.entries)-1], 0
	for _, e := range d.page.entries {
		if e.number > 0 {
			numbered++
		}
	}
	if last.number != 0 || !strings.HasPrefix(last.lines[0], "and ") {
		t.Errorf("the last row is %v", last.lines)
	}
	if numbered < 4 || numbered > 7 {
		t.Errorf("%d numbers in the list", numbered)
	}
}

func TestThicknessRefuses(t *testing.T) {
	m, p := planned(t, meshtest.Box(10, 10, 10), job{})
	for _, c := range []struct {
		m  *mesh.Mesh
		p  *analysis.Plan
		mm []float32
	}{{nil, p, nil}, {m, nil, make([]float32, 8)}, {m, p, make([]float32, 3)}} {
		if _, err := Thickness(context.Background(), c.m, c.p, c.mm, Options{}); err == nil {
			t.Error("no error")
		}
	}
}
