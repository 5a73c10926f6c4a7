package picture

import (
	"bytes"
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

// Whatever its shape and size and however much is wrong, nothing overlaps.
func TestWorthKeepsClear(t *testing.T) {
	numbers := []int{30, 0, 1, 5, 12}
	for i, shape := range shapes {
		t.Run(shape.name, func(t *testing.T) {
			n := numbers[i%len(numbers)]
			d := drawnScan(t, shape.mesh, func(in *WorthInput) {
				in.Problems = invented(shape.mesh, n)
				in.Verdict = "Not usable: " + strings.Repeat("the storm lantern is full of holes, ", 1+9*(i%2))
			})
			worthIsClear(t, d)
			if d.page.scale*across(shape.mesh.Bounds()) < 250 {
				t.Errorf("the scan is only %.0f px from corner to corner", d.page.scale*across(shape.mesh.Bounds()))
			}
			if d.page.listed() < min(n, 8) {
				t.Errorf("%d of %d problems are listed", d.page.listed(), n)
			}
		})
	}
}

// The same for pages alone: every number of problems, with words of any length.
func TestEveryWorthHasRoom(t *testing.T) {
	for _, shape := range shapes {
		for n := range 34 {
			in := WorthInput{Mesh: shape.mesh, Problems: invented(shape.mesh, n), Verdict: strings.Repeat("lantern", 2*n)}
			in.Crossed, in.Patches = &mesh.Mesh{Vertices: shape.mesh.Vertices, Faces: shape.mesh.Faces[:1]}, shape.mesh
			w, c := newWorth(in), newCanvas()
			d := &drawnWorth{canvas: c, page: w.page(c.letters)}
			c.drawVerdict(d.page)
			c.drawScale(d.page)
			c.drawKey(d.page)
			c.drawProblems(d.page)
			worthIsClear(t, d)
			if more := d.page.listed() < n; more != strings.HasPrefix(lastText(d.page), "and ") {
				t.Errorf("%s: %d of %d problems are listed, then %q", shape.name, d.page.listed(), n, lastText(d.page))
			}
		}
	}
}

func lastText(p page) string { return strings.Join(p.entries[len(p.entries)-1].lines, " ") }

// hue is the colour that a pixel is a lighter or darker kind of.
func (c *canvas) hue(x, y int) string {
	p := c.img.RGBAAt(x, y)
	r, g, b := float64(p.R), float64(p.G), float64(p.B)
	switch {
	case p == paper.opaque():
		return "paper"
	case b > 1.2*r:
		return "blue"
	case g < 0.5*r:
		return "red"
	case b < 0.35*r:
		return "yellow"
	case b > 0.85*r: // and some of every outline
		return "grey"
	}
	return "oak"
}

// hues are the shares of the colours in what is drawn in a view, 0–1.
func (d *drawnWorth) hues(view int) map[string]float64 {
	count, all := map[string]float64{}, 0.0
	r := d.views[view].room
	for y := int(r.Y0); y < int(r.Y1); y++ {
		for x := int(r.X0); x < int(r.X1); x++ {
			if h := d.canvas.hue(x, y); h != "paper" {
				count[h]++
				all++
			}
		}
	}
	for h := range count {
		count[h] /= all
	}
	return count
}

// A ball of which the half at the right of each view is treated: so is half of
// the disc that is seen (by symmetry).
func TestHalfABallHasItsColour(t *testing.T) {
	right := corners()[0].right
	for _, level := range []int{5, 7} { // as it is; reduced
		ball := meshtest.Icosphere(level).Scaled(50)
		half := func(change func(f int)) {
			for f := range ball.Faces {
				a, b, c := ball.Corners(f)
				if r3.Dot(r3.Add(a, r3.Add(b, c)), right) > 0 {
					change(f)
				}
			}
		}
		turned := &mesh.Mesh{Vertices: ball.Vertices, Faces: append([][3]int32(nil), ball.Faces...)}
		half(func(f int) { turned.Faces[f][1], turned.Faces[f][2] = turned.Faces[f][2], turned.Faces[f][1] })
		added := &mesh.Mesh{Vertices: ball.Vertices}
		half(func(f int) { added.Faces = append(added.Faces, ball.Faces[f]) })
		for _, c := range []struct {
			hue string
			in  WorthInput
		}{
			{"blue", WorthInput{Mesh: turned}},
			{"red", WorthInput{Mesh: ball, Crossed: added}},
			{"yellow", WorthInput{Mesh: ball, Patches: added}},
			{"grey", WorthInput{Mesh: ball, Dropped: added}},
			{"oak", WorthInput{Mesh: ball}},
		} {
			if len(ball.Faces) > mostFaces && c.hue != "blue" {
				continue
			}
			d, err := drawWorth(context.Background(), c.in)
			if err != nil {
				t.Fatal(err)
			}
			kept(t, t.Name()+c.hue, d.canvas)
			want := 0.5
			if c.hue == "oak" {
				want = 1
			}
			for view := range d.views {
				if got := d.hues(view)[c.hue]; math.Abs(got-want) > 0.015 {
					t.Errorf("level %d, view %d: %.3f of the ball is %s, want %g", level, view, got, c.hue, want)
				}
			}
		}
	}
}

// The top of a box is missing: its rim is red where it is seen, the inside of
// the box blue, and seen from below there is nothing wrong.
func TestHoleIsRimmedAndBlueInside(t *testing.T) {
	box := meshtest.Box(80, 60, 40)
	d := drawnScan(t, without(box, func(_, n r3.Vec) bool { return n.Z > 0.5 }), nil)
	v := &d.views[0]
	top := rim(r3.Box{Min: r3.Vec{X: -40, Y: -30}, Max: r3.Vec{X: 40, Y: 30}}, 20, 0)
	for i, a := range top {
		b := top[(i+1)%len(top)]
		for _, share := range []float64{0.1, 0.3, 0.7, 0.9} {
			if p := v.cam.at(along(a, b, share)); d.canvas.hue(int(p.X), int(p.Y)) != "red" {
				t.Errorf("side %d of the rim is %s at %g", i, d.canvas.hue(int(p.X), int(p.Y)), share)
			}
		}
	}
	for _, far := range []float64{0.6, 0.75} { // clear of the mark in the middle
		for _, i := range []int{0, 2, 3} {
			p := v.cam.at(r3.Vec{X: far * top[i].X, Y: far * top[i].Y, Z: 20})
			if got := d.canvas.hue(int(p.X), int(p.Y)); got != "blue" {
				t.Errorf("%s in the hole at %v of corner %d", got, far, i)
			}
		}
	}
	if d.hues(0)["blue"] < 0.1 || d.hues(1)["blue"] > 0.002 {
		t.Errorf("blue: %.3f from above, %.3f from below", d.hues(0)["blue"], d.hues(1)["blue"])
	}
	if len(d.views[0].lines) != 1 || len(d.views[1].lines) != 0 || len(d.views[1].rings) != 1 {
		t.Errorf("the hole has %d and %d numbers, and %d rings from below", len(d.views[0].lines), len(d.views[1].lines), len(d.views[1].rings))
	}
}

// A sound scan has no red on its page, and says that it is sound.
func TestSoundScanIsClean(t *testing.T) {
	d := drawnScan(t, vase(120, 200, 96), nil)
	worthIsClear(t, d)
	all := rect{0, 0, Width, Height}
	if n := d.canvas.count(signal, all); n > 0 {
		t.Errorf("%d pixels of warning", n)
	}
	if n := d.canvas.count(glass, all); n < 300 {
		t.Errorf("%d pixels of the sign that all is well", n)
	}
	if !strings.HasPrefix(lastText(d.page), "Nothing is wrong") || d.page.heading != "Sound" {
		t.Errorf("%q, %q", d.page.heading, lastText(d.page))
	}
	for view := range d.views {
		if of := d.hues(view); of["oak"]+of["grey"] < 0.999 || of["grey"] > 0.01 {
			t.Errorf("view %d: %.4f of the scan is oak, %.4f grey", view, of["oak"], of["grey"])
		}
	}
}

// A scan may be of no use though no place is wrong, as one with a question.
func TestUnsoundScanHasNoTick(t *testing.T) {
	d := drawnScan(t, meshtest.Box(80, 60, 40), func(in *WorthInput) { in.Sound, in.Verdict = false, "Not usable as it is: is it hollow?" })
	if n := d.canvas.count(glass, rect{0, 0, Width, Height}); n > 0 || lastText(d.page) != "There is no place to mark." {
		t.Errorf("%d pixels of the sign that all is well, %q", n, lastText(d.page))
	}
	odd := meshtest.Box(80, 60, 40)
	d = drawnScan(t, odd, func(in *WorthInput) { in.Sound, in.Problems = true, invented(odd, 1) })
	if n := d.canvas.count(glass, rect{0, 0, Width, Height}); n > 0 {
		t.Errorf("%d pixels of the sign that all is well beside a problem", n)
	}
}

// Corners that are no places are passed over.
func TestWorthWithoutPlaces(t *testing.T) {
	ball := meshtest.Icosphere(3).Scaled(40)
	broken := &mesh.Mesh{Vertices: append([]r3.Vec(nil), ball.Vertices...), Faces: ball.Faces}
	broken.Vertices[7].X = math.NaN()
	broken.Vertices[30].Z = math.Inf(-1)
	broken.Vertices[100].Y = 1e300
	d := drawnScan(t, broken, nil)
	worthIsClear(t, d)
	if d.hues(0)["oak"] < 0.5 {
		t.Error("the rest of the ball is not drawn")
	}
	for name, m := range map[string]*mesh.Mesh{
		"no faces":   {},
		"no place":   {Vertices: []r3.Vec{{X: math.NaN()}, {}, {X: 1}}, Faces: [][3]int32{{0, 1, 2}}},
		"one place":  {Vertices: []r3.Vec{{X: 4}, {X: 4}, {X: 4}}, Faces: [][3]int32{{0, 1, 2}}},
		"on a line":  {Vertices: []r3.Vec{{X: 4}, {X: 5}, {X: 6}}, Faces: [][3]int32{{0, 1, 2}}},
		"one face":   {Vertices: []r3.Vec{{X: 4}, {X: 5}, {Y: 6}}, Faces: [][3]int32{{0, 1, 2}}},
		"far origin": meshtest.Moved(ball, r3.Vec{X: 1e9, Y: -1e9}),
	} {
		d := drawnScan(t, m, nil)
		worthIsClear(t, d)
		if drawn := d.page.scale > 0; drawn != (name == "on a line" || name == "one face" || name == "far origin") {
			t.Errorf("%s: drawn is %v", name, drawn)
		}
	}
}

// Something loose ten sizes away leaves the part as large as it was and is
// pointed at; near by it is in the picture.
func TestStraysDoNotShrinkTheScan(t *testing.T) {
	part := meshtest.Icosphere(4).Scaled(50)
	crumb := meshtest.Icosphere(1).Scaled(1)
	alone := drawnScan(t, part, nil)
	far := drawnScan(t, meshtest.Together(meshtest.Moved(crumb, r3.Vec{X: 1000}), part), nil)
	near := drawnScan(t, meshtest.Together(meshtest.Moved(crumb, r3.Vec{X: 70}), part), nil)
	worthIsClear(t, far)
	if far.page.scale < 0.85*alone.page.scale {
		t.Errorf("%.2f px per mm, alone %.2f", far.page.scale, alone.page.scale)
	}
	said := strings.Join(far.page.entries[0].lines, " ")
	if want := "up to 951 mm"; !strings.Contains(said, want) {
		t.Errorf("%q, want %q", said, want)
	}
	for i, v := range far.views {
		if len(v.taken) < 2 || v.room.grown(-markRoom).holds(v.taken[0]) {
			t.Errorf("view %d: no arrow at the edge", i)
		}
	}
	if said := strings.Join(near.page.entries[0].lines, " "); strings.Contains(said, "outside") {
		t.Errorf("in the picture, but %q", said)
	}
}

// A place on the surface has its number where it is seen; a place inside has it
// in the first view, dashed.
func TestNumbersStandWhereTheyAreSeen(t *testing.T) {
	ball := meshtest.Icosphere(4).Scaled(50)
	cams := corners()
	d := drawnScan(t, ball, func(in *WorthInput) {
		for i, at := range []r3.Vec{r3.Scale(50, cams[0].toward), r3.Scale(50, cams[1].toward), {}, r3.Scale(50, cams[0].right)} {
			in.Problems = append(in.Problems, mesh.Problem{Count: i, At: at, HasAt: true, Text: "wrong"})
		}
	})
	worthIsClear(t, d)
	// 1 in front, 2 behind, 3 inside, 4 at the edge of both. The first three
	// are in one place of the picture, so that they share a ring.
	if got := [2]int{len(d.views[0].lines), len(d.views[1].lines)}; got != [2]int{3, 2} {
		t.Errorf("%v numbers, want 1, 3 and 4 in the first view, 2 and 4 in the second", got)
	}
	if got := [2]int{len(d.views[0].rings), len(d.views[1].rings)}; got != [2]int{1, 1} {
		t.Errorf("%v rings, want one in each", got)
	}
}

func TestWorthIsTheSameEveryTime(t *testing.T) {
	m := without(vase(120, 200, 96), func(p, _ r3.Vec) bool { return p.X > 30 && p.Z > 60 })
	first := drawnScan(t, m, nil)
	was := runtime.GOMAXPROCS(1)
	alone := drawnScan(t, m, nil)
	runtime.GOMAXPROCS(was)
	if !bytes.Equal(first.canvas.img.Pix, alone.canvas.img.Pix) {
		t.Error("one thread draws another picture than several")
	}
}

// Law: a scan eight times as large, somewhere else, looks the same.
func TestSizeDoesNotChangeTheWorth(t *testing.T) {
	const times = 8 // exact in binary
	m := without(vase(120, 200, 96), func(p, _ r3.Vec) bool { return p.X > 30 && p.Z > 60 })
	plain := func(in *WorthInput) {
		in.Problems, in.Problems[0].Text, in.Verdict = in.Problems[:1], "a hole", "Holed"
	}
	a := drawnScan(t, m, plain)
	b := drawnScan(t, meshtest.Moved(m.Scaled(times), r3.Vec{X: 1 << 12}), plain)
	differ := 0
	for i, v := range a.page.views {
		if v != b.page.views[i] {
			t.Fatalf("view %d is %.0f, then %.0f", i, v, b.page.views[i])
		}
		for y := int(v.Y0); y < int(v.Y1); y++ {
			for x := int(v.X0); x < int(v.X1); x++ {
				if math.Abs(float64(a.canvas.img.RGBAAt(x, y).R)-float64(b.canvas.img.RGBAAt(x, y).R)) > 3 {
					differ++
				}
			}
		}
	}
	if differ > 200 {
		t.Errorf("%d pixels differ", differ)
	}
}

func TestWorthCannotDraw(t *testing.T) {
	stopped, stop := context.WithCancel(context.Background())
	stop()
	if _, err := Worth(stopped, WorthInput{Mesh: meshtest.Box(1, 1, 1)}); err == nil || !strings.Contains(err.Error(), "canceled") {
		t.Errorf("stopped: %v", err)
	}
	if _, err := Worth(context.Background(), WorthInput{}); err == nil || !strings.Contains(err.Error(), "no scan") {
		t.Errorf("no scan: %v", err)
	}
	img, err := Worth(context.Background(), WorthInput{Mesh: meshtest.Box(1, 1, 1)})
	if err != nil || img.Rect.Dx() != Width || img.Rect.Dy() != Height {
		t.Errorf("%v, %v", img.Rect, err)
	}
}

// Known meshes broken in known ways, to look at with PICTURES set.
func TestWorthOfBrokenScans(t *testing.T) {
	for i, path := range []string{"samples/storm-lantern.stl", "testdata/elephant.stl", "samples/gull-headed-cane.stl"} {
		s, err := meshtest.ReadSubject(filepath.Join("..", "..", filepath.FromSlash(path)), 0)
		if err != nil {
			t.Fatal(err)
		}
		for k, damage := range meshtest.Damages() {
			if (k+4*i)%11 != 0 { // some for each
				continue
			}
			t.Run(s.Name+"-"+strings.ReplaceAll(damage.Name, " %", ""), func(t *testing.T) {
				m, _ := damage.Break(s, rand.New(rand.NewPCG(5, uint64(k))))
				worthIsClear(t, drawnScan(t, m, nil))
			})
		}
	}
}

func TestWrappedText(t *testing.T) {
	faces := newTypefaces()
	const text = "3 holes, the largest with a rim of 88 edges, 20 mm across, near (−348.9, −392.0, 222.0) and (see there) on"
	for room := 180.0; room < 900; room += 37 {
		lines := faces.wrapped(normal, text, room, 99)
		if got := strings.Join(lines, " "); room > 330 && got != text {
			t.Errorf("%g px: %q", room, got)
		}
		for _, l := range lines {
			if faces.width(normal, l) > room {
				t.Errorf("%g px: %q is %.0f px wide", room, l, faces.width(normal, l))
			}
			if room > 330 && strings.Contains(l, "(−") && !strings.Contains(l, "222.0)") {
				t.Errorf("%g px: a place is broken: %q", room, l)
			}
		}
		if short := faces.wrapped(normal, text, room, 2); len(short) > 2 || len(lines) > 2 && !strings.HasSuffix(short[1], "…") {
			t.Errorf("%g px: two lines are %q", room, short)
		}
	}
}

func TestVerdictIsParted(t *testing.T) {
	for _, c := range [][3]string{
		{"Sound: lantern.stl is closed.", "Sound", "lantern.stl is closed."},
		{"Not usable as it is: a.stl: 3 holes", "Not usable as it is", "a.stl: 3 holes."},
		{"", "The scan as it arrived", ""},
		{"no colon here", "The scan as it arrived", "no colon here"},
	} {
		if head, rest := splitVerdict(c[0]); head != c[1] || rest != c[2] {
			t.Errorf("%q: %q, %q", c[0], head, rest)
		}
	}
}

// A scan whose faces share no corners has a rim around each: only so many are
// drawn, the longest.
func TestLongestRimsAreDrawn(t *testing.T) {
	var rings [][]r3.Vec
	for i := range 3 * mostRims {
		size := float64(i%1000 + 1)
		rings = append(rings, []r3.Vec{{}, {X: size}, {Y: size}})
	}
	got := newRims(rings, 20*len(rings))
	if got.all != len(rings) || len(got.lines) > mostRims || len(got.lines) < mostRims/2 {
		t.Fatalf("%d of %d rims", len(got.lines), got.all)
	}
	for i := 1; i < len(got.lines); i++ {
		if ringLength(got.lines[i]) > ringLength(got.lines[i-1]) {
			t.Fatal("a longer rim comes after a shorter one")
		}
	}
}

// Each scrap that was left out has a ring where it is seen, and none where the part
// is before it; of a crowd the largest have one.
func TestScrapsAreRinged(t *testing.T) {
	ball, cams := meshtest.Icosphere(4).Scaled(50), corners()
	speck := func(at r3.Vec, size float64) *mesh.Mesh {
		return meshtest.Moved(meshtest.Icosphere(0).Scaled(size), at)
	}
	rings := func(scraps ...*mesh.Mesh) (d *drawnWorth, per [2]int) {
		dropped := meshtest.Together(scraps...)
		d = drawnScan(t, meshtest.Together(ball, dropped), func(in *WorthInput) { in.Problems, in.Dropped = nil, dropped })
		worthIsClear(t, d)
		for i := range d.views {
			per[i] = d.views[i].ringed
		}
		return d, per
	}
	before, behind := r3.Scale(60, cams[0].toward), r3.Scale(60, cams[1].toward)
	beside := r3.Scale(62, cams[0].right)
	if _, got := rings(speck(before, 1), speck(behind, 1), speck(beside, 1), speck(r3.Scale(-1, beside), 1)); got[0] != 3 || got[1] < 2 {
		t.Errorf("%v rings; the one before the ball and those beside it are seen in the first view", got)
	}
	if _, got := rings(speck(r3.Scale(72, cams[0].right), 15)); got != [2]int{} {
		t.Errorf("%v rings around what is large enough to be seen", got)
	}
	var crowd []*mesh.Mesh
	for i := range 2 * mostScraps {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / (2 * mostScraps))
		crowd = append(crowd, speck(r3.Add(r3.Scale(65*cos, cams[0].right), r3.Scale(65*sin, cams[0].up)), 0.5+float64(i%2)/10))
	}
	if d, got := rings(crowd...); got[0] != mostScraps || !strings.HasSuffix(keyNames(d), "the 60 largest") {
		t.Errorf("%v rings, want %d; the key says %q", got, mostScraps, keyNames(d))
	}
}

func keyNames(d *drawnWorth) string {
	var names []string
	for _, e := range d.page.key {
		names = append(names, e.name)
	}
	return strings.Join(names, "; ")
}

// Of a heap of loose faces no rim is drawn, and the list says why.
func TestHeapsHaveNoRims(t *testing.T) {
	heap := meshtest.Soup(meshtest.Icosphere(4).Scaled(50), rand.New(rand.NewPCG(1, 2)), 1)
	d := drawnScan(t, heap, nil)
	worthIsClear(t, d)
	if red := d.hues(0)["red"]; red > 0.02 || strings.Contains(keyNames(d), "rim") {
		t.Errorf("%.3f of the view is red; the key says %q", red, keyNames(d))
	}
	if said := strings.Join(d.page.entries[0].lines, " "); !strings.Contains(said, "not drawn") {
		t.Errorf("%q", said)
	}
}

func BenchmarkWorth(b *testing.B) {
	for _, n := range []int{75, 224, 708} {
		m := without(meshtest.TorusMesh(n, n, 80, 30), func(p, _ r3.Vec) bool { return p.X > 10 && p.Y > 5 && p.Z > 0 })
		b.Run(fmt.Sprintf("%dk-faces", len(m.Faces)/1000), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := Worth(context.Background(), WorthInput{Mesh: m}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
