package picture

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis"
	"pourwright/analysis/finding"
	"pourwright/mesh"
	"pourwright/mesh/meshtest"
	"pourwright/render/say"
)

func castDrawn(t testing.TB, m *mesh.Mesh, p *analysis.Plan, pockets Pockets, show say.Style) *casting {
	t.Helper()
	k, err := drawCasting(context.Background(), m, p, pockets, show)
	if err != nil {
		t.Fatal(err)
	}
	kept(t, t.Name()+"-"+p.Name, k.canvas)
	return k
}

func some(x float64) *float64 { return &x }

// castOf invents what a plan says of the cast of a mesh: foam or resin, a rod of two
// pieces, necks, ends of the cavity and warnings, all within the pattern.
func castOf(p *analysis.Plan, m *mesh.Mesh, foam bool) {
	b := m.Bounds()
	high := b.Max.Z - b.Min.Z
	at := func(x, share float64) [3]float64 {
		return [3]float64{x * (b.Max.X - b.Min.X), 0, b.Min.Z + share*high}
	}
	p.Cast = analysis.Cast{Necks: []analysis.Neck{
		{DiameterMM: 0.1 * high, AtMM: at(0, 0.8), Along: [3]float64{0, 0, 1}, Passes: new(bool)},
		{DiameterMM: 0.2 * high, AtMM: at(0, 0.1), Along: [3]float64{0, 0, 1}},
	}, Tips: []analysis.CastTip{
		{AtMM: at(0.3, 0.5), Share: 0.3, Vented: true}, {AtMM: at(-0.3, 0.45), Share: 0.5, Trap: new(int)}, {AtMM: at(-0.3, 0.2), Share: 0.7, Vented: true},
		{AtMM: at(0.2, 0.15), Share: 0.9, Trap: new(int)},
	}}
	p.Cast.Charge = analysis.Charge{Name: "a casting material of the shop", MassG: analysis.Spread{Low: 700, Likely: 800, High: 900}, AG: some(500), BG: some(300),
		FinishedG: analysis.Spread{Low: 600, Likely: 700, High: 800}}
	if foam {
		p.Cast.Foam = &analysis.CastFoam{LevelMM: 0.3 * high, Expansion: 6.875}
	} else {
		p.Cast.FillS, p.Cast.AllowedS = &analysis.Spread{Low: 30, Likely: 60, High: 90}, some(50)
		p.Cast.Slush = &analysis.CastSlush{SkinMM: 3, Coats: 3, MassG: 150, CoatG: 50}
	}
	from, to := at(0, 0.1), at(0, 0.5)
	p.Rod = analysis.Rod{DiameterMM: 0.03 * high, FromMM: &from, ToMM: &to, LengthMM: some(0.4 * high), CoverMM: some(0.04 * high), Entry: "two",
		Second:    &analysis.SecondRod{FromMM: at(0.02, 0.45), ToMM: at(0.02, 0.75), LengthMM: 0.3 * high},
		Standoffs: []analysis.Standoff{{AtMM: at(0, 0.2), WallMM: at(0.2, 0.2), LengthMM: 8.74}, {AtMM: at(0, 0.4), WallMM: at(0.2, 0.4), LengthMM: 13}}}
	p.Findings = append(p.Findings, []finding.Finding{
		{Question: "cast", Level: finding.Warn, Text: "Foam has to pass a neck and tends to close up in passages as narrow as this one is, so that what lies behind stays empty."},
		{Question: "cast", Level: finding.Note, Text: "A note is no warning."},
		{Question: "cut", Level: finding.Stop, Text: "Another question's doubt."},
		{Question: "rod", Level: finding.Stop, Text: "The rod would lie bare."},
	}...)
}

// castShaped is a made-up cast of one of the shapes.
func castShaped(t testing.TB, i int, foam bool) (*mesh.Mesh, *analysis.Plan) {
	m, p := shaped(t, shapes[i].mesh, 0.1*float64(i%2), []int{0, 3, 5}[i%3])
	p.Name = shapes[i].name
	castOf(p, m, foam)
	for k := range p.CastTrap {
		p.CastTrap[k].SpillMM, p.CastTrap[k].VolumeMM3 = p.CastTrap[k].AtMM[2]+1, 1000
		if k == 1 {
			p.CastTrap[k].Vent = nil
		}
	}
	return m, p
}

// No text meets another or leaves the picture, every label has its place, and none
// lies on the block but the numbers.
func TestCastingLabelsKeepClear(t *testing.T) {
	for i, shape := range shapes {
		for _, foam := range []bool{true, false} {
			t.Run(shape.name, func(t *testing.T) {
				m, p := castShaped(t, i, foam)
				k := castDrawn(t, m, p, Pockets{}, []say.Style{say.Both, say.Inch, say.Metric}[i%3])
				castIsClear(t, k)
			})
		}
	}
}

func castIsClear(t *testing.T, k *casting) {
	t.Helper()
	textsAreClear(t, k.canvas)
	for _, w := range k.words { // swatches have their words beside them
		for i := range w.key {
			row := rect{w.at.X, w.at.Y + castKeyRow*float64(i), w.at.X + 46, w.at.Y + castKeyRow*float64(i) + 31}
			for _, text := range k.canvas.labels {
				if row.hits(text) {
					t.Errorf("text %.0f lies on the swatch of %q", text, w.key[i].name)
				}
			}
		}
	}
	for i, g := range k.spread.tags {
		switch {
		case !g.placed:
			t.Errorf("label %d, %q %q, has no place", i, g.name, g.value)
		case g.box.hits(k.spread.cased):
			t.Errorf("label %q lies on the block", g.name)
		case !k.room.grown(1).holds(g.box):
			t.Errorf("label %q, %.0f, leaves the view %.0f", g.name, g.box, k.room)
		}
	}
	if !k.room.grown(1).holds(k.spread.cased) {
		t.Errorf("the block, %.0f, leaves the view %.0f", k.spread.cased, k.room)
	}
	tips := max(len(k.s.plan.Cast.Tips)-1, 0)
	if k.hollow() {
		tips = 0
	}
	if have, want := len(k.marks), tips+len(k.s.plan.CastTrap); have != want {
		t.Errorf("%d numbers and signs, want %d", have, want)
	}
	if size := k.spread.cam.scale * k.s.size; size < 250 {
		t.Errorf("the block is only %.0f px from corner to corner", size)
	}
}

// A flat part, whose words are below it, in many sizes: labels stay out of them.
func TestFlatCastsKeepClearOfTheKey(t *testing.T) {
	for i, high := range []float64{20, 25, 30, 35, 40, 45, 50} {
		t.Run(fmt.Sprint(high), func(t *testing.T) {
			m, p := planned(t, meshtest.Box(150, 60, high), job{name: fmt.Sprintf("flat-%g", high), clearance: 19, spout: 60})
			castOf(p, m, true)
			p.Cast.Necks, p.Rod.Second = nil, nil
			p.Rod.FromMM, p.Rod.ToMM = &[3]float64{-64, 0, 0.3 * high}, &[3]float64{64, 0, 0.7 * high}
			p.Cast.Mouth = analysis.CastMouth{AreaMM2: 9000, Outline: [][2]float64{{-75, -30}, {75, -30}, {75, 30}, {-75, 30}}}
			k := castDrawn(t, m, p, Pockets{}, []say.Style{say.Both, say.Metric}[i%2])
			castIsClear(t, k)
			if k.words[1].key == nil {
				t.Error("the words are not below the block")
			}
			if lid, _ := k.lid(); lid.lo > -75 || lid.hi < 75 {
				t.Errorf("the lid, %.0f, leaves foam open to the air", lid)
			}
		})
	}
}

// A hollow cast is a skin along the whole wall, the lid's side too, with nothing in it:
// no end, no neck that is too slow, no stream, but a lid without holes and the order of
// the sides.
func TestHollowCast(t *testing.T) {
	m, p := castBlock(t, false)
	p.Rod = analysis.Rod{}
	p.Cast.TooThick, p.Cast.Slush.Turns, p.Cast.Slush.DwellS = true, []string{"cover", "y0", "y1", "x0", "x1", "spout"}, some(25)
	k := castDrawn(t, m, p, Pockets{}, say.Metric)
	castIsClear(t, k)
	if lid, holes := k.lid(); len(holes) != 0 || lid.lo > -12 || lid.hi < 12 {
		t.Errorf("lid %v, holes %v", lid, holes)
	}
	for _, g := range k.spread.tags {
		if g.letter != "" || strings.Contains(g.name, "too slow") {
			t.Errorf("label %q %q", g.name, g.value)
		}
	}
	said := strings.Join(k.facts(), " ")
	if want := "each side down for 25 s: 1 the end away from the spout, 2 front, 3 back, 4 left end, 5 right end, 6 the spout’s side, lid on."; !strings.Contains(said, want) {
		t.Errorf("%q does not say %q", said, want)
	}
	// The section of the block is 60 by 100 mm and a stem of 24 by 20; a skin of 3 mm
	// leaves 54 by 94, and 18 by 20 of the stem, which is 3 mm less under the lid and 3
	// more where it goes through the skin of the block.
	v, mm2 := k.view, 0.0
	for i, s := range v.skinned {
		cavity := 1 - (1-float64(v.part[i])/255)*(1-float64(v.rods[i])/255)
		mm2 += cavity * float64(s) / 255
	}
	mm2 /= v.cam.scale * v.cam.scale
	if want := 60*100 + 24*20 - 54*94 - 18*20.0; math.Abs(mm2-want) > 0.025*want {
		t.Errorf("%.0f mm² of skin, want %.0f", mm2, want)
	}
}

// Distances to the nearest pixel, against trying them all.
func TestFromTrueAgainstAll(t *testing.T) {
	const wide, high = 31, 23
	mask := make([]bool, wide*high)
	for i := range mask {
		mask[i] = (i*7919+i*i*31)%173 == 0
	}
	far := fromTrue(mask, wide, high)
	for i := range mask {
		x, y := i%wide, i/wide
		least := math.Min(math.Min(float64(x+1), float64(y+1)), math.Min(float64(wide-x), float64(high-y)))
		for j, is := range mask {
			if is {
				least = math.Min(least, math.Hypot(float64(x-j%wide), float64(y-j/wide)))
			}
		}
		if math.Abs(far[i]-least) > 0.1 {
			t.Errorf("%d, %d: %.3f px, want %.3f", x, y, far[i], least)
		}
	}
}

// An end that the liquid covers before foam rises is not the last to fill.
func TestEndsInTheLiquid(t *testing.T) {
	m, p := castBlock(t, true)
	last := p.Cast.Tips[len(p.Cast.Tips)-1]
	for liquid, want := range map[float64]string{0.5: "last end to fill", 0.95: "end in the liquid"} {
		p.Cast.CavityMM3, p.Cast.Foam.LiquidMM3 = 1e6, liquid*1e6
		k := castDrawn(t, m, p, Pockets{}, say.Metric)
		castIsClear(t, k)
		if g := k.spread.tags[len(k.spread.tags)-1]; g.value != want {
			t.Errorf("an end at %.2f, liquid to %.2f of the cavity: %q, want %q", last.Share, liquid, g.value, want)
		}
	}
}

// An end in the half that is taken away is tied with a dashed line, and told so.
func TestEndsInFrontOfTheCut(t *testing.T) {
	m, p := castBlock(t, true)
	k := castDrawn(t, m, p, Pockets{}, say.Metric)
	last := len(p.Cast.Tips) - 1
	for off, want := range map[float64]bool{15: true, -15: false, 0: false} {
		at := k.cut.at(8, 60)
		at = r3.Add(at, r3.Scale(off, k.cut.cut.n))
		p.Cast.Tips[last].AtMM, p.Cast.Tips[0].AtMM = [3]float64{at.X, at.Y, at.Z}, [3]float64{at.X, at.Y, at.Z - 20}
		k := castDrawn(t, m, p, Pockets{}, say.Metric)
		castIsClear(t, k)
		g := k.spread.tags[len(k.spread.tags)-1]
		if g.before != want || (g.name == "in front of the cut") != want || k.marks[0].before != want {
			t.Errorf("%g mm before the cut: %+v", off, g)
		}
	}
}

// castBlock is a box of 60 × 40 × 100 mm on a stem of 20 mm, 20 mm of rubber around,
// spout in the middle.
func castBlock(t testing.TB, foam bool) (*mesh.Mesh, *analysis.Plan) {
	m, p := planned(t, meshtest.Box(60, 40, 100), job{name: "block", clearance: 20, stem: 20, spout: 24})
	castOf(p, m, foam)
	return m, p
}

// What stands where, pixel by pixel.
func TestWhatTheCastShows(t *testing.T) {
	m, p := castBlock(t, true)
	p.Cast.Necks, p.Cast.Tips, p.Rod.Second, p.Rod.Standoffs = nil, nil, nil, nil
	p.CastTrap = []analysis.Trap{{AtMM: [3]float64{-25, 0, 20}, SpillMM: 30, VolumeMM3: 100, PersistenceMM: 10}}
	pockets := Pockets{Cast: func(q r3.Vec) int {
		if q.X < -15 && q.Z < 30 {
			return 0
		}
		return -1
	}}
	k := castDrawn(t, m, p, pockets, say.Metric)
	castIsClear(t, k)
	deepest := 120.0 // stand z of the lowest place as it is cast; 30 mm of liquid stand over it
	for _, c := range []struct {
		what string
		t, z float64
		want tint
	}{
		{"liquid", 20, deepest - 15, poured}, {"just under its surface", 20, deepest - 28, poured},
		{"foam over it", 20, deepest - 32, foamed.mix(chalk, 0.2)}, {"foam in the stem", 8, 8, foamed.mix(chalk, 0.2)},
		{"air that stays", -28, 25, trapped}, {"left board", -51.5, 60, wallCut}, {"bottom board", 20, 145.5, wallCut},
		{"rod", 0, 40, steel}, {"beside the block", -58, 90, paper},
	} {
		at := k.spread.cam.at(k.cut.at(c.t, c.z))
		have := k.canvas.img.RGBAAt(int(at.X), int(at.Y))
		if !near(tint{float64(have.R) / 255, float64(have.G) / 255, float64(have.B) / 255}, c.want) {
			t.Errorf("%s at %g, %g: have %v, want about %v", c.what, c.t, c.z, have, c.want.opaque())
		}
	}
	if up, over := k.spread.cam.at(r3.Vec{}), k.spread.cam.at(r3.Vec{Z: 100}); up.Y > over.Y {
		t.Error("the spout is not on top")
	}
	if m, scale := k.spread.rise, k.spread.cam.scale; math.Abs(m.low-m.top-30*scale) > 1e-6 || math.Abs(m.low-m.rim-120*scale) > 1e-6 {
		t.Errorf("liquid measured from %.1f to %.1f px, rim at %.1f, at %.2f px to the mm", m.low, m.top, m.rim, scale)
	}
}

// Resin has neither liquid to measure nor a lid, and fills the cavity.
func TestCastingResin(t *testing.T) {
	m, p := castBlock(t, false)
	p.Rod = analysis.Rod{}
	k := castDrawn(t, m, p, Pockets{}, say.Both)
	castIsClear(t, k)
	if have := k.view.colourAt(t, k.cut.at(20, 25), k.level); !near(have, poured) {
		t.Errorf("under the rim: %v", have)
	}
	if k.spread.rise.lines != nil || k.canvas.count(foamed, rect{0, 0, Width, Height}) > 0 {
		t.Error("foam is drawn")
	}
	for _, e := range k.key() {
		if strings.Contains(e.name, "lid") || strings.Contains(e.name, "rod") {
			t.Errorf("the key has %q", e.name)
		}
	}
}

// Necks, rods, bridges and ends are labelled where the plan says.
func TestCastingPlaces(t *testing.T) {
	m, p := castBlock(t, true)
	k := castDrawn(t, m, p, Pockets{}, say.Metric)
	castIsClear(t, k)
	cam := k.spread.cam
	n := k.neck(0, cam)
	if d := n.at.minus(cam.at(r3.Vec{Z: 100})).length(); d > 1e-6 || math.Abs(n.half-5*cam.scale) > 1e-9 || math.Abs(n.side.X) < 0.999 || n.off || n.flat {
		t.Errorf("neck %+v", n)
	}
	want := map[string]string{"spout diameter": "24 mm", "first rod 3 mm thick": "40 mm", "second rod 3 mm thick": "30 mm", "neck": "20 mm", "neck, too slow": "10 mm", "": "last end to fill"}
	for _, g := range k.spread.tags {
		if g.value != want[g.name] {
			t.Errorf("%q says %q, want %q", g.name, g.value, want[g.name])
		}
		delete(want, g.name)
		if g.name == "" && (g.letter != "d" || g.leader[0].minus(cam.at(vec(p.Cast.Tips[3].AtMM))).length() > 1e-6 || g.tint != signal) {
			t.Errorf("last end: %+v", g)
		}
	}
	if len(want) > 0 {
		t.Errorf("no label for %v", want)
	}
	for i, mark := range k.marks { // no traps: the ends in order
		if at := cam.at(vec(p.Cast.Tips[i].AtMM)); mark.on.minus(at).length() > 1e-6 || mark.tie != tipTint(p.Cast.Tips[i]) {
			t.Errorf("end %d is marked at %v, want %v", i+1, mark.on, at)
		}
	}
}

func TestCastingWords(t *testing.T) {
	m, p := castBlock(t, true)
	k := castDrawn(t, m, p, Pockets{}, say.Both)
	said := strings.Join(k.facts(), " ")
	for _, want := range []string{"Mix 800 g: 500 g of A and 300 g of B.", "30 mm (1 3/16 in) high and can grow 6.9 times", "600–800 g", "without rod",
		"Two rods, bound together, are laid into one half on 2 bridges of 8.7 and 13 mm (3/8 and 1/2 in)."} {
		if !strings.Contains(said, want) {
			t.Errorf("%q does not say %q", said, want)
		}
	}
	if have := k.doubts(); len(have) != 2 || have[0] != "The rod would lie bare." || !strings.HasPrefix(have[1], "Foam has to pass") {
		t.Errorf("warnings %q", have)
	}
	if n := k.canvas.count(signal, rect{1100, castRule, Width, Height}); n < 2*250 {
		t.Errorf("%d pixels of warning in the column, want two signs", n)
	}
	p.Cast.Foam, p.Cast.AG, p.Cast.BG, p.Rod = nil, nil, nil, analysis.Rod{DiameterMM: 6}
	k = castDrawn(t, m, p, Pockets{}, say.Metric)
	said = strings.Join(k.facts(), " ")
	for _, want := range []string{"A and B as its data sheet says.", "How long it takes to fill is not known.", "No rod of 6 mm fits"} {
		if !strings.Contains(said, want) {
			t.Errorf("%q does not say %q", said, want)
		}
	}
}

// Warnings that have no room are counted, and words stay whole.
func TestWarningsHaveRoom(t *testing.T) {
	m, p := castBlock(t, true)
	k, err := newCasting(m, p, Pockets{}, say.Both)
	if err != nil {
		t.Fatal(err)
	}
	for high := 20.0; high < 400; high += 10 {
		rows := k.warned(380, high)
		if high > 80 && heightOf(rows) > high {
			t.Errorf("in %g px: %g px of warnings", high, heightOf(rows))
		}
		for _, r := range rows {
			for _, l := range r.lines {
				if before, cut := strings.CutSuffix(l, " …"); cut && !strings.Contains(p.Findings[0].Text, before+" ") && !strings.Contains(p.Findings[0].Text, before+",") {
					t.Errorf("in %g px: %q", high, l)
				}
			}
		}
	}
	if rows := k.warned(380, 400); len(rows) != 2 {
		t.Errorf("%d rows, want both warnings", len(rows))
	}
}

// The picture opens the block along its cut, through the spout; along a cut that
// lies flat, upright all the same.
func TestCastingFollowsTheCut(t *testing.T) {
	m, p := castBlock(t, true)
	for _, c := range []struct{ normal, along [3]float64 }{
		{[3]float64{0, 1, 0}, [3]float64{1, 0, 0}}, {[3]float64{1, 0, 0}, [3]float64{0, 1, 0}}, {[3]float64{-0.6, 0.8, 0}, [3]float64{0.8, 0.6, 0}},
		{[3]float64{0.6, 0, 0.1}, [3]float64{0, 1, 0}},
	} {
		p.Cut.Normal, p.Cut.PointMM = c.normal, [3]float64{7, 9, 11}
		k, err := newCasting(m, p, Pockets{}, say.Both)
		if err != nil {
			t.Fatal(err)
		}
		if r3.Norm(r3.Cross(k.cut.along, vec(c.along))) > 1e-9 || math.Abs(r3.Dot(k.cut.cut.n, k.s.spout)-k.cut.cut.at) > 1e-9 {
			t.Errorf("cut across %v: along %v", c.normal, k.cut.along)
		}
	}
	p.Cut.Normal = [3]float64{0, 0, 1}
	k := castDrawn(t, m, p, Pockets{}, say.Both)
	if castIsClear(t, k); k.cut.along.Z != 0 || r3.Norm(k.cut.along) < 0.99 {
		t.Errorf("a flat cut: along %v", k.cut.along)
	}
}

// The lid covers the spout, leaves vents open, and has its holes over the spout.
func TestLidLeavesVentsOpen(t *testing.T) {
	m, p := castBlock(t, true)
	p.CastTrap = []analysis.Trap{{AtMM: [3]float64{20, 0, 20}, SpillMM: 30, VolumeMM3: 9, Vent: &analysis.Vent{FromMM: [3]float64{20, 0, 20}, ToMM: [3]float64{20, 0, 0}, DiameterMM: 4, Post: 3}}}
	k := castDrawn(t, m, p, Pockets{}, say.Both)
	lid, holes := k.lid()
	if lid.lo > -12 || lid.hi < 12 || lid.hi > 18 || len(holes) != 2 {
		t.Errorf("lid %v over a spout of 24 mm, vent at 18 to 22; holes %v", lid, holes)
	}
	for _, h := range holes {
		if h.lo < -12 || h.hi > 12 {
			t.Errorf("hole %v is not over the spout", h)
		}
	}
	if n := k.ventNumber(0); n != 3 {
		t.Errorf("the vent has number %d, the plan says post 3", n)
	}
}

// A place is in the section by its edges when it is by its pixel.
func TestInSectionAgainstPixels(t *testing.T) {
	m, p := planned(t, vase(120, 200, 60), job{name: "vase", clearance: 16, spout: 40, stem: 20})
	k := castDrawn(t, m, p, Pockets{}, say.Both)
	v := k.view
	inside := 0
	for i := 0; i < len(v.part); i += 7 {
		if cover := v.part[i]; cover == 0 && v.rods[i] == 0 || cover == 255 {
			if have := k.cut.inSection(v.place(i%v.wide, i/v.wide)); have != (cover == 255) {
				t.Fatalf("pixel %d, %d of cover %d: in section %v", i%v.wide, i/v.wide, cover, have)
			}
			if cover == 255 {
				inside++
			}
		}
	}
	if inside < 1000 {
		t.Errorf("only %d places inside", inside)
	}
}

func TestListedQuantities(t *testing.T) {
	for want, all := range map[string][]string{
		"": nil, "9 mm": {"9 mm"}, "9 and 13 mm": {"9 mm", "13 mm"}, "1/4, 3/8 and 1 1/2 in": {"1/4 in", "3/8 in", "1 1/2 in"},
	} {
		if have := listed(all); have != want {
			t.Errorf("%q: have %q, want %q", all, have, want)
		}
	}
}

func TestCastingTwiceAndRefusals(t *testing.T) {
	m, p := castBlock(t, true)
	a, b := castDrawn(t, m, p, Pockets{}, say.Both), castDrawn(t, m, p, Pockets{}, say.Both)
	if !bytes.Equal(a.canvas.img.Pix, b.canvas.img.Pix) {
		t.Error("two pictures of one plan differ")
	}
	if _, err := Casting(context.Background(), &mesh.Mesh{}, p, Pockets{}, Options{}); err == nil {
		t.Error("no faces passed")
	}
	if _, err := Casting(context.Background(), m, nil, Pockets{}, Options{}); err == nil {
		t.Error("no plan passed")
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := Casting(ctx, m, p, Pockets{}, Options{}); !errors.Is(err, context.Canceled) {
		t.Errorf("have %v, want it to stop", err)
	}
}

// BenchmarkCasting asks whether a plan could afford this picture as well.
func BenchmarkCasting(b *testing.B) {
	m, p := planned(b, vase(120, 200, 720), job{name: "vase", clearance: 16, spout: 40, vents: 4})
	castOf(p, m, true)
	for b.Loop() {
		if _, err := Casting(context.Background(), m, p, Pockets{}, Options{}); err != nil {
			b.Fatal(err)
		}
	}
}
