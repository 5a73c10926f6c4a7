package picture

import (
	"bytes"
	"context"
	"fmt"
	"image/png"
	"math"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis"
	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

// kept says where to keep the pictures that the tests draw, to look at them:
// PICTURES=/some/folder go test ./render/picture
func kept(t testing.TB, name string, c *canvas) {
	dir := os.Getenv("PICTURES")
	if dir == "" {
		return
	}
	f, err := os.Create(filepath.Join(dir, strings.ReplaceAll(name, "/", "-")+".png"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if err := WritePNG(f, c.img); err != nil {
		t.Fatal(err)
	}
}

func drawn(t testing.TB, m *mesh.Mesh, p *analysis.Plan, w wording) *drawing {
	t.Helper()
	d, err := drawPlan(context.Background(), m, p, w)
	if err != nil {
		t.Fatal(err)
	}
	kept(t, t.Name(), d.canvas)
	return d
}

// shapes are the proportions that patterns come in.
var shapes = []struct {
	name string
	mesh *mesh.Mesh
}{
	{"flat-and-long", meshtest.Box(600, 60, 12)},
	{"long-in-y", meshtest.Box(40, 500, 80)},
	{"tall-and-thin", vase(30, 600, 48)},
	{"cube", meshtest.Box(100, 100, 100)},
	{"plate", meshtest.Box(300, 300, 6)},
	{"vase", vase(120, 200, 120)},
	{"one-millimetre", vase(0.8, 1, 48)},
	{"two-metres", vase(900, 2000, 48)},
	{"needle", meshtest.Cylinder(24, 0.5, 400)},
}

// shaped is a plan for one of the shapes, in its proportions.
func shaped(t testing.TB, m *mesh.Mesh, stem float64, vents int) (*mesh.Mesh, *analysis.Plan) {
	size := r3.Norm(r3.Sub(m.Bounds().Max, m.Bounds().Min))
	return planned(t, m, job{
		name: t.Name(), clearance: 0.06 * size, spout: 0.07 * size, stem: stem * size, turn: 37 * float64(vents), vents: vents,
	})
}

func TestLabelsKeepClear(t *testing.T) {
	for i, shape := range shapes {
		t.Run(shape.name, func(t *testing.T) {
			m, p := shaped(t, shape.mesh, 0.1*float64(i%2), 8*(i%3)/2)
			d := drawn(t, m, p, worded())
			labelsAreClear(t, d)
			labelsClearOfPattern(t, d, len(p.CastTrap))
		})
	}
}

// The same without drawing the pattern, for more plans.
func TestEveryPlanHasRoomForItsLabels(t *testing.T) {
	for _, shape := range shapes {
		for _, vents := range []int{0, 1, 8} {
			for _, stem := range []float64{0, 0.1} {
				for _, turn := range []float64{20, 110} {
					m, p := shaped(t, shape.mesh, stem, vents)
					sin, cos := math.Sincos(turn * math.Pi / 180)
					p.Cut.Normal = [3]float64{cos, sin, 0}
					s, err := newScene(m, p, worded())
					if err != nil {
						t.Fatal(err)
					}
					c := newCanvas()
					l := s.layout(c.letters, s.chooseView())
					c.drawTitle(s)
					c.drawColumn(s)
					c.drawDimensions(l, &opaque{})
					labelsAreClear(t, &drawing{canvas: c, layout: l})
					if l.cam.scale*s.size < 450 {
						t.Errorf("%s: the block is only %.0f px from corner to corner", shape.name, l.cam.scale*s.size)
					}
				}
			}
		}
	}
}

// textsAreClear fails when a text leaves the picture or meets another.
func textsAreClear(t *testing.T, c *canvas) {
	t.Helper()
	all := rect{0, 0, Width, Height}
	for i, a := range c.labels {
		if !all.grown(-16).holds(a) {
			t.Errorf("text %d leaves the picture: %.0f", i, a)
		}
		for j, b := range c.labels[:i] {
			if a.hits(b) {
				t.Errorf("texts %d and %d meet: %.0f, %.0f", j, i, b, a)
			}
		}
	}
}

// labelsAreClear fails when a label leaves the picture, meets another or lies
// on a line that measures something.
func labelsAreClear(t *testing.T, d *drawing) {
	t.Helper()
	textsAreClear(t, d.canvas)
	for _, a := range d.canvas.labels {
		for _, m := range d.layout.dimensions {
			if line := []point{m.from, m.to}; !disjoint(line, a.corners()) {
				t.Errorf("label %.0f lies on the line of %q", a, m.name)
			}
		}
	}
}

// labelsClearOfPattern fails when a label in the view covers the pattern as it
// is seen.
func labelsClearOfPattern(t *testing.T, d *drawing, vents int) {
	t.Helper()
	const sizes = 5 // length, width, level, wall and spout come before the vents
	if got := len(d.layout.taken.rects); got != sizes+vents {
		t.Fatalf("%d labels in the view, want %d sizes and %d vents", got, sizes, vents)
	}
	for i, r := range d.layout.taken.rects {
		share, most := d.solid.share(r), 0.0
		if i >= sizes {
			most = 0.35 // a number may touch the rods and the edge of the pattern
		}
		if share > most {
			t.Errorf("%.0f %% of label %d, %.0f, lies on the pattern", 100*share, i, r)
		}
	}
}

func TestManyVentsAllNumbered(t *testing.T) {
	m, p := planned(t, vase(120, 200, 120), job{clearance: 16, spout: 40, vents: 30})
	d := drawn(t, m, p, worded())
	labelsAreClear(t, d)
}

// Traps that no post reaches are marked, also where they crowd.
func TestTrapsWithoutVentAreMarked(t *testing.T) {
	m, p := planned(t, vase(120, 200, 120), job{name: "vase", clearance: 16, spout: 40, stem: 20, vents: 6})
	plain := drawn(t, m, p, worded())
	for i := range 4 {
		p.CastTrap[i].Vent = nil
	}
	d := drawn(t, m, p, worded())
	labelsAreClear(t, d)
	view := viewRoom
	if n := plain.canvas.count(signal, rect{0, 0, Width, Height}); n > 0 {
		t.Errorf("%d pixels of warning without a cause", n)
	}
	if n := d.canvas.count(signal, view); n < 4*250 {
		t.Errorf("%d pixels of warning in the view, want four signs", n)
	}
	if n := d.canvas.count(signal, columnRoom); n < 250 {
		t.Errorf("%d pixels of warning in the column, want a sign in the legend", n)
	}
}

// The sheet prints the picture 149 mm wide; 24 px are then 2.2 mm.
func TestTypeIsLargeEnoughToPrint(t *testing.T) {
	for i, px := range sizes {
		if px < 24 {
			t.Errorf("style %d is %g px high, want 24 or more", i, px)
		}
	}
}

func TestLongWords(t *testing.T) {
	m, p := planned(t, vase(120, 200, 48), job{name: strings.Repeat("lighthouse keeper's ", 9) + "\nlamp", clearance: 16, spout: 40})
	p.Rubber.MaterialName = strings.Repeat("very soft ", 20)
	d := drawn(t, m, p, worded())
	labelsAreClear(t, d)
}

// A plan may lack a cut, a spout or vents; the picture shows what there is.
func TestPlanWithoutCutOrSpout(t *testing.T) {
	m, p := planned(t, vase(120, 200, 48), job{clearance: 16})
	p.Cut = analysis.Cut{}
	d := drawn(t, m, p, worded())
	labelsAreClear(t, d)
	for at, what := range map[tint]string{blue: "cut", lamp: "spout"} {
		if n := d.canvas.count(at, rect{0, 0, Width, Height}); n > 0 {
			t.Errorf("%d pixels of the colour of a %s that is not there", n, what)
		}
	}
}

// count is how many pixels have exactly a colour.
func (c *canvas) count(t tint, in rect) int {
	var n int
	for y := int(in.Y0); y < int(in.Y1); y++ {
		for x := int(in.X0); x < int(in.X1); x++ {
			if c.img.RGBAAt(x, y) == t.opaque() {
				n++
			}
		}
	}
	return n
}

func TestColoursOfTheLegendAreShown(t *testing.T) {
	m, p := planned(t, vase(120, 200, 48), job{clearance: 16, spout: 40, stem: 20, vents: 3})
	d := drawn(t, m, p, worded())
	for _, want := range []struct {
		name  string
		tint  tint
		least int
	}{
		{"paper", paper, 400_000}, {"ink", ink, 2000}, {"pattern", oak, 10_000},
		{"behind the cut", behindCut, 500}, {"cut", blue, 1000}, {"spout and vents", lamp, 1000}, {"board", board, 500},
	} {
		if n := d.canvas.count(want.tint, rect{0, 0, Width, Height}); n < want.least {
			t.Errorf("%s: %d pixels, want %d or more", want.name, n, want.least)
		}
	}
	if d.canvas.img.Rect.Dx() != 1600 || d.canvas.img.Rect.Dy() != 1200 {
		t.Errorf("size %v", d.canvas.img.Rect)
	}
}

// The same input gives the same bytes, on one thread or several.
func TestSamePixelsEveryTime(t *testing.T) {
	m, p := planned(t, vase(120, 200, 240), job{name: "vase", clearance: 16, spout: 40, vents: 3})
	first := drawn(t, m, p, worded())
	again := drawn(t, m, p, worded())
	was := runtime.GOMAXPROCS(1)
	alone := drawn(t, m, p, worded())
	runtime.GOMAXPROCS(was)
	if !bytes.Equal(first.canvas.img.Pix, again.canvas.img.Pix) {
		t.Error("two pictures of one plan differ")
	}
	if !bytes.Equal(first.canvas.img.Pix, alone.canvas.img.Pix) {
		t.Error("one thread draws another picture than several")
	}
}

// Law: a job a thousand times as large looks the same, but for its figures.
func TestSizeDoesNotChangeThePicture(t *testing.T) {
	still := wording{
		length:   func(float64) string { return "so long" },
		size:     func([]float64) string { return "so large" },
		lengthUp: func(float64) string { return "so long" },
		sizeUp:   func([]float64) string { return "so large" },
		mass:     func(float64) string { return "so much" },
		prose:    func(text string) string { return text },
	}
	const times = 1024 // exact in binary, so that only drawing could differ
	small := job{name: "vase", clearance: 16, spout: 40, vents: 3}
	large := job{name: "vase", clearance: 16 * times, spout: 40 * times, vents: 3}
	m, p := planned(t, vase(120, 200, 96), small)
	m2, p2 := planned(t, vase(120*times, 200*times, 96), large)
	a, b := drawn(t, m, p, still), drawn(t, m2, p2, still)
	var differ int
	for y := 130; y < Height; y++ {
		for x := range Width {
			if x >= 1150 && y < 900 { // the scale bar has another round length
				continue
			}
			pa, pb := a.canvas.img.RGBAAt(x, y), b.canvas.img.RGBAAt(x, y)
			if math.Abs(float64(pa.R)-float64(pb.R)) > 3 {
				differ++
			}
		}
	}
	if differ > 200 {
		t.Errorf("%d pixels differ", differ)
	}
}

func TestCannotDraw(t *testing.T) {
	m, p := planned(t, meshtest.Box(1, 1, 1), job{clearance: 1})
	flat := *p
	flat.Box.InsideMM[1] = math.NaN()
	stopped, stop := context.WithCancel(context.Background())
	stop()
	for _, c := range []struct {
		name string
		ctx  context.Context
		mesh *mesh.Mesh
		plan *analysis.Plan
		want string
	}{
		{"no mesh", context.Background(), nil, p, "no faces"},
		{"empty mesh", context.Background(), &mesh.Mesh{}, p, "no faces"},
		{"no plan", context.Background(), m, nil, "no plan"},
		{"no box", context.Background(), m, &flat, "no size"},
		{"stopped", stopped, m, p, "canceled"},
	} {
		if _, err := Preview(c.ctx, c.mesh, c.plan, Options{}); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: error %v, want one with %q", c.name, err, c.want)
		}
	}
}

func TestWritePNG(t *testing.T) {
	m, p := planned(t, vase(120, 200, 48), job{clearance: 16, spout: 40})
	img, err := Preview(context.Background(), m, p, Options{})
	if err != nil {
		t.Fatal(err)
	}
	var file bytes.Buffer
	if err := WritePNG(&file, img); err != nil {
		t.Fatal(err)
	}
	back, err := png.Decode(&file)
	if err != nil {
		t.Fatal(err)
	}
	for _, at := range [][2]int{{0, 0}, {800, 600}, {1400, 400}, {1599, 1199}} {
		if r, g, b, a := back.At(at[0], at[1]).RGBA(); a != 0xffff {
			t.Errorf("pixel %v is not opaque: %x %x %x %x", at, r, g, b, a)
		}
	}
}

func BenchmarkPreview(b *testing.B) {
	for _, sides := range []int{75, 224, 720} {
		m, p := planned(b, vase(120, 200, sides), job{clearance: 16, spout: 40, vents: 4})
		b.Run(fmt.Sprintf("%dk-faces", len(m.Faces)/1000), func(b *testing.B) {
			b.ReportAllocs()
			for range b.N {
				if _, err := Preview(context.Background(), m, p, Options{}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
