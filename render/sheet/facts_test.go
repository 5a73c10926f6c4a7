package sheet

import (
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"pourwright/analysis"
	"pourwright/analysis/hold"
	"pourwright/render/say"
)

// sections splits the text of a sheet at its headings.
func sections(t testing.TB, page string) map[string]string {
	t.Helper()
	parts := map[string]string{}
	for _, part := range strings.Split(page, "<section")[1:] {
		heading := regexp.MustCompile(`<h2>(?:<b>(\d+)</b>)?([^<]*)`).FindStringSubmatch(part)
		if heading == nil {
			continue
		}
		name := heading[1]
		if name == "" {
			name = heading[2]
		}
		parts[name] += shown(t, "<body><section"+part)
	}
	return parts
}

func wants(t *testing.T, text string, all ...string) {
	t.Helper()
	for _, want := range all {
		if !strings.Contains(text, want) {
			t.Errorf("%q is not there, but:\n%s", want, text)
		}
	}
}

func wantsNone(t *testing.T, text string, all ...string) {
	t.Helper()
	for _, unwanted := range all {
		if strings.Contains(text, unwanted) {
			t.Errorf("%q is there", unwanted)
		}
	}
}

// Every fact of a full plan stands at the step where it is needed, with the
// plan's figures in the wording of the shop, worked out by hand.
func TestFactsAtTheirStep(t *testing.T) {
	at := sections(t, written(t, full(), Options{Show: say.Metric}))
	for step, facts := range map[string][]string{
		"2": {"1 pack of 2.2 kg 2 packs of 1.1 kg 1.42 kg should be left, 132 at your shelf’s price", "1 sheet of 1200 × 600 mm 5 pieces", "board-18 on the shelf list",
			"Bracing for the walls two straps, pulled tight", "Fillers, 2 pieces", "To hold the part down epoxy", "Dowel for 2 pins, 6 mm across hardwood, one end of each rounded 42 mm, 37 mm 79 mm in all", "Tray under the box, for spills holds 2.64 L",
			"Rigid casting resin for one cast; the cavity holds 198 mL 196–241 g", "Rod inside the cast, 5 mm across steel 129 mm"},
		"3": {"Fill line, up from the board 234 mm", "A side", "C base board", "Put it together in this order: Mark the inside on the base board. Glue the part down first.",
			"on 1 sheet of 1200 × 600 mm", "F1 fillet 0 mm to 30 mm 0 mm to 30 mm 180 mm 81 mL", "F2 block 102 mm to 132 mm 54 mm to 84 mm 95 mm 85.5 mL",
			"front, back 1.2–5.3 mm brace it", "right end, left end 0.3–0.9 mm holds", "Brace it with: two straps, pulled tight. Then the walls bow out by 0.2–1.1 mm.", "up from the board: 62 mm 164 mm",
			"rectangle 2.98 kg, 89 (this plan); round tube 3.41 kg, 102; board bent round the part 2.54 kg, 76.", "A skin 10 mm thick in a rigid jacket would take about 431 g"},
		"4": {"Hold it down with epoxy: at least 3.12 cm² of it. The foot has 5.47 cm².", "As good: screws from below, 3 pieces.", "Too weak here: hot glue, tape.",
			"lifts it with up to 4.9 N, like 500 g on a string", "29–517 g It was not weighed.", "Dowel, 6 mm across, saw to", "1 side, back 37 mm 171 mm 24 mm 42 mm", "2 end, left end 51 mm 143 mm 19 mm 37 mm",
			"Press its rounded end on the part, and seal round it. Drill, screw or glue into the part only where its owner allows a hole.", "Epoxy on an original has to come off again: ask its owner first.",
			"at 56 mm from the left end, 46 mm from the front, 214 mm above the board, with 19.6 N, like 2 kg. A weight of 2 kg laid there", "Put the bracing on.",
			"1 5 mm 138 mm 22 mm from the right end 40 mm from the front upright", "2 5 mm 173 mm 14 mm from the left end 22 mm from the back leans 6.6°, its upper end towards the right end and the front set 4.2 mm beside"},
		"5": {"Pot life in a room of 18 °C 45 min", "the likely amount is enough with a chance of 79 %, if nothing leaks", "learned, with what stays in the cups, from 3 pours of your own", "A 902 g B 90.2 g Or by volume: A 764 mL, B 92 mL."},
		"6": {"Check that the bracing is tight", "Tilt the box by 8.4°: right end down, left end lifted by 19 mm", "This frees 0.21 mL of 0.24 mL (place 1).", "it sinks by 0.3–1.7 mm without any leak",
			"up to 0.24 mL of air. The tilt in the steps frees it.", "The full box weighs about 5.32 kg."},
		"7": {"Left end wall: 47 mm from the front", "Right end 18 mm to 67 mm least at 140 mm above the board", "Spout side 121 mm", "Seam, round the part 564 mm, 8 % of it on fine detail", "Rubber to cut through 243 cm²",
			"Land 5 mm straight in from the part, which the cut meets at 84° on average", "2 waves, one every 25 mm, 8 mm to 10 mm high; crests 3.6 mm to 6 mm off the cut, by turns to one side and the other, no nearer than 5 mm to the part",
			"Slit 143 mm along the part, from the spout up its right side", "Hinge 421 mm along the part left whole. Stop at the part 146 mm above the board, outside (right end) 152 mm above it; the line slants, since no straight way in is clear of the part Slit and hinge leave out what of the part stands on the board; the seam is all the way round.",
			"62 % needed, 70 % if you pull the part out straight and do not turn it along its bends; 88 % allowed; 210 % needed without a slit. Tears on, as an indication, from a nick: about 9.4 mm",
			"Rubber that hooks behind the part front half 2.4 mL, up to 3.2 mm deep; back half 3.1 mL, up to 4.1 mm deep", "Cured block 2.84 kg; front half 1.1 L, 1.3 kg; back half 1.3 L, 1.53 kg", "land key line slit hinge, left whole stop the knife. Drawn to scale, not true size. True size: cut.pdf",
			"no deeper than the land", "Keep the last 5 mm before the part straight", "Cut no further than the part needs to come out.", "Take care. Fresh blade"},
		"8": {"2 vents must be open", "vent 1 lets out 2 mL", "vent 2 lets out 0.41 mL", "Air will stay here, and no vent was planned: 74 mm from the left end"},
		"9": {"Fills in 33 s to 3.2 min", "It may take 50 s", "Spout 8.4 mm 198 mL, all of it 31 s to 3.2 min too slow on top", "Neck 1 7.7 mm 83 mL 12 s to 44 s fast enough 56 mm from the left end, 45 mm from the front, 121 mm above the board",
			"133 mm above the board, after neck 1", "The spout is too narrow at 8.4 mm. Widen it to 12 mm", "Tilt the block by 12° while it fills, the side that was the left end and the front down, the right end and the back lifted by 33 mm",
			"Plug each hole as material shows in it, in this order: vent 2, vent 1.", "turn it on its edge",
			"Mix for one cast, likely 214 g", "Material Rigid casting resin what you have does for 4 casts", "To mix, could be 196–241 g with what stays in cup and funnel, less the rod", "Thickest place 34 mm",
			"Or cast it hollow 97.5 g 3 coats of 32.5 g make a skin of 3 mm. Turn it over every 25 s.",
			"End Mold is full to Then it comes to this end Its air a 4 % 56 mm from the left end, 45 mm from the front, 200 mm above the board leaves upwards", "leaves by vent 1", "100 % 74 mm from the left end, 45 mm from the front, 190 mm above the board stays; neck 2 holds the filling up",
			"Filling takes In time How 33 s to 3.2 min no As planned. 8 s to 45 s yes Widen the spout to 12 mm. under 1 s yes Pour from another end. It is 56 mm from the left end, 45 mm from the front, 200 mm above the board.", "Weighs Could be Note rigid foam 47 g 41–53 g nearest to the weight you want rigid casting resin 197 g 188–206 g this plan", "It comes out smaller by 0.3–2.0 % of any length, likely 0.6 %", "10 to 50 casts, likely about 25",
			"Casting card 214 g in all A 107 g B 107 g", "Rod 5 mm across, saw to 128 mm steel, weighs 19.8 g; the cast is then 3.1 times as stiff in the middle", "Casting material over it 8.3 mm at the thinnest", "In by the spout, its near end 22 mm below the rim. It is the longest that fits.",
			"45 mm from the left end, 45 mm from the front, 22 mm above the board 47 mm from the left end, 45 mm from the front, 150 mm above the board", "9.1 mm at 45 mm from the left end", "Take care. Round both ends of the rod."},
		"From the first weighing to the first cast": {"0 s 0 s 1 h 3 min 50 min to 1 h 30 min mix and pour the rubber 1 h 3 min 1 h 30 min 24 h 12 h to 24 h Wait: let the rubber cure"},
		"10": {"Thinnest to a wall or the top 7.2 mm 78 mm from the left end, 7.2 mm from the front, 176 mm above the board", "Thinnest under the part 14 mm", "Floppy, under 10 mm 6 % of the part",
			"Wasted, over 40 mm 23 % of the part", "3.3 mm thick, 1.9 cm²: 86 mm from the left end", "folded back it stretches by 37 %", "It needs 6 mm: the part is 2.7 mm thick over 71 mm²", "and 2 smaller", "30 %"},
		"Other ways up": {"Detail safe ×3 Spout ×2", "Low box ×0.5", "Wide inside ×1", "66", "9 ways were judged closely; 5 of them are beaten by none",
			"Beak down the cast fills without a vent, but it stands badly and the tip is detail. Another way is as good at everything and better at something."},
	} {
		t.Run(step, func(t *testing.T) { wants(t, at[step], facts...) })
	}
}

// Of foam the sheet says which necks it passes, where it wants a bleed hole, and what
// else helps.
func TestFoamAtNecks(t *testing.T) {
	p := full()
	p.Cast.Material, p.Cast.Foam, p.Cast.Slush, p.Cast.FillS, p.Cast.Spout.FillS, p.Cast.Spout.Passes = "foam", &analysis.CastFoam{}, nil, nil, nil, nil
	takes := []analysis.Spread{{Low: 0.2, Likely: 8, High: 110}, {Low: 0.1, Likely: 0.2, High: 0.7}}
	for i, verdict := range []string{"doubtful", "passes"} {
		n := &p.Cast.Necks[i]
		n.FillS, n.Passes = nil, nil
		n.Foam = &analysis.NeckFoam{TakesS: takes[i], AllowedS: analysis.Spread{Low: 17, Likely: 45, High: 110}, Verdict: verdict}
	}
	p.Cast.Tips[2].Bleed = true
	p.Cast.Advice = []analysis.CastAdvice{
		{Text: "As planned.", FillS: &takes[0], Passes: ref(false), Verdict: "doubtful"}, {Kind: "lay in", Text: "Lay it in."},
		{Text: "Widen it.", Passes: ref(true), Verdict: "passes"}, {Text: "Turn it.", Verdict: "will not", Passes: ref(false)},
	}
	at := sections(t, written(t, p, Options{Show: say.Metric}))
	wants(t, at["9"], "Foam takes So it", "foam fills by rising", "up to 1.8 min of 45 s doubtful", "under 1 s of 45 s passes",
		"holds the filling up: put a bleed hole here", "Slowest passage takes In time How up to 1.8 min doubtful As planned. no time if closed at once Lay it in. not known yes Widen it. nothing gets in no Turn it.")
	wantsNone(t, at["9"], "How long this material takes")
}

// What is not known is said so or left out, and never shown as nothing.
func TestUnknownIsSaid(t *testing.T) {
	at := sections(t, written(t, bare(), Options{Show: say.Metric}))
	wants(t, at["2"], "2.79–3.22 kg have the larger amount on hand")
	wants(t, at["3"], "front, right end, back, left end not known not known")
	wants(t, at["4"], "at least not known of it")
	wants(t, at["5"], "One batch takes not known")
	wants(t, at["6"], "Brush rubber in first, or rock the box while you pour.", "The rubber alone weighs")
	wants(t, at["7"], "Hinge not known", "not known with the slit; 88 % allowed", "from a nick: not known", "Cured block 2.84 kg; not known")
	wantsNone(t, at["7"], "hinge, left whole", "stop the knife")
	wants(t, at["8"], "Air will stay here, and no vent was planned")
	wants(t, at["9"], "How long this material takes to fill it is not known.", "Rod inside the cast. None goes in: why is not known.")
	if n := strings.Count(at["Other ways up"], "Another way is as good"); n != 1 {
		t.Errorf("%d ways are said to be beaten", n)
	}
	wantsNone(t, at["2"], "pack", "shelf’s price", "dowel")
	wantsNone(t, at["3"], "Brace it with", "No bracing is needed", "Nothing on the shelf")
	wantsNone(t, at["4"], "prop under", "Pin")
	wantsNone(t, at["6"], "Tilt the box", "it sinks by")
	wantsNone(t, at["9"], "Tilt the block", "Fills in", "0 s")
	wantsNone(t, at["9"], "saw to", "weigh A", "hollow")
	wantsNone(t, at["10"], "Thinnest under the part", "folded back")
}

// No figure comes out raw, whatever the plan holds, and all sheets are sound.
func TestNothingRaw(t *testing.T) {
	tube, bent, owned := full(), full(), full()
	tubed(tube)
	faceted(bent)
	owned.Box.Owned, owned.Box.Panels, owned.Box.Sheets, owned.Bow = true, nil, nil, analysis.Bow{}
	for name, p := range map[string]*analysis.Plan{"full": full(), "bare": bare(), "tube": tube, "faceted": bent, "owned": owned} {
		for _, style := range []say.Style{say.Both, say.Inch, say.Metric} {
			page := written(t, p, Options{Show: style})
			wellFormed(t, name, page)
			wantsNone(t, shown(t, page), "NaN", "null", "<nil>", "nil>", "%!", "Inf", "0x", "{", "map[")
		}
	}
}

func tubed(p *analysis.Plan) {
	p.Box.Shape, p.Box.RadiusMM, p.Box.OutlineMM = "tube", ref(70.0), nil
	p.Box.InsideMM = [3]float64{140, 140, 234}
	p.Box.ClearanceMM.Radial, p.Box.GapMM.Radial = ref(16.0), ref(16.4)
	p.Bow = analysis.Bow{Verdict: "holds", Why: "a round wall carries the rubber along the sheet"}
}

func faceted(p *analysis.Plan) {
	p.Box.Shape, p.Box.OutlineMM = "faceted", [][2]float64{{-66, -20}, {-20, -42}, {66, -42}, {66, 42}, {-66, 42}}
	p.Box.ClearanceMM.Radial, p.Box.GapMM.Radial = ref(16.0), ref(16.4)
	p.Box.Panels = []analysis.Panel{{Name: "wrap", LengthMM: 447, WidthMM: 246, ThicknessMM: 4, Count: 1, ScoresMM: []float64{51, 137, 221, 353, 415}}}
}

func TestRoundBox(t *testing.T) {
	p := full()
	tubed(p)
	at := sections(t, written(t, p, Options{Show: say.Metric}))
	wants(t, at["3"], "Round, inside across 140 mm", "Wall, all round (thin) 16 mm 16 mm", "Yes: a round wall carries the rubber along the sheet.", "measured from a rectangle drawn round the outline")
	wants(t, at["7"], "Left side: 0.16 mm from the left end, 75 mm from the front", "Right side: 140 mm from the left end, 70 mm from the front")
}

func TestFacetedBox(t *testing.T) {
	p := full()
	faceted(p)
	at := sections(t, written(t, p, Options{Show: say.Metric}))
	wants(t, at["3"], "Inside, length × width, over all 132 × 84 mm", "1 51 mm 2 137 mm 3 221 mm 4 353 mm 5 415 mm", "Write the number of each facet")
	wants(t, at["7"], "Facet 5: 0 mm from the left end", "Facet 3: 132 mm from the left end")
}

func TestOwnedBox(t *testing.T) {
	p := full()
	p.Box.Owned, p.Box.Panels, p.Box.Sheets, p.Box.Assembly, p.Bow = true, nil, nil, nil, analysis.Bow{}
	at := sections(t, written(t, p, Options{Show: say.Metric}))
	wants(t, at["3"], "Make your own box ready", "The box is your own: there is nothing to cut.", "Not known. Look for yourself before you pour")
	wantsNone(t, at["3"], "Saw and knife")
	p.Bow = analysis.Bow{Verdict: "unknown", Why: "nobody has said what it is made of"}
	at = sections(t, written(t, p, Options{Show: say.Metric}))
	wants(t, at["3"], "Not known, since nobody has said what it is made of. Look for yourself")
	wantsNone(t, at["3"], "Yes:")
}

// A line through a circle and a polygon meets them where it does by hand: at
// y = 30 a circle of 50 is 2 × 40 wide; the line x = 0 leaves the polygon below
// by the third facet.
func TestCutEndsOfOtherShapes(t *testing.T) {
	p := boxed(0, 0, 30)
	p.Box.Shape, p.Box.RadiusMM, p.Box.InsideMM = "tube", ref(50.0), [3]float64{100, 100, 100}
	ends, ok := cutEnds(p)
	if !ok || math.Abs(ends[0].X+40) > 1e-9 || math.Abs(ends[1].X-40) > 1e-9 || math.Abs(ends[0].Y-30) > 1e-9 {
		t.Errorf("circle: have %v", ends)
	}
	p.Cut.PointMM = [3]float64{0, 51, 0}
	if _, ok := cutEnds(p); ok {
		t.Error("a line beside the circle meets it")
	}
	p = boxed(90, 10, 0)
	p.Box.Shape, p.Box.OutlineMM = "faceted", [][2]float64{{-50, -30}, {0, -40}, {50, -30}, {50, 20}, {-50, 40}}
	ends, ok = cutEnds(p)
	want := [2]cutEnd{{10, -38, "facet 2"}, {10, 28, "facet 4"}}
	for k := range want {
		if !ok || math.Hypot(ends[k].X-want[k].X, ends[k].Y-want[k].Y) > 1e-9 || ends[k].Wall != want[k].Wall {
			t.Errorf("polygon: have %v, want %v", ends, want)
		}
	}
}

// Bars are as high as their share of the highest, and stand side by side in
// the drawing.
func TestHistogram(t *testing.T) {
	w := fullWall()
	h := drawThickness(w, units{say.Metric})
	for i, b := range h.Bars {
		want := w.Histogram[i].AreaMM2 / 9100 * barTall
		if math.Abs(float64(b.H)-want) > 1e-9 || math.Abs(float64(b.Y+b.H-h.Base)) > 1e-9 {
			t.Errorf("bar %d is %s high, want %g", i, b.H, want)
		}
		if b.X < 0 || b.X+b.W > h.Wide || i > 0 && b.X < h.Bars[i-1].X+h.Bars[i-1].W || b.Share != "" && b.TextY < 10 {
			t.Errorf("bar %d leaves the drawing or overlaps: %+v", i, b)
		}
	}
	var classes, ticks []string
	for _, b := range h.Bars {
		classes = append(classes, b.Class)
	}
	for _, l := range h.Ticks {
		ticks = append(ticks, l.Text)
	}
	if have := strings.Join(classes, ","); have != "floppy,floppy,,,,,,,wasted" {
		t.Errorf("classes %q", have)
	}
	if have := strings.Join(ticks, " "); have != "0 5 10 15 20 25 30 35 40 63" {
		t.Errorf("axis %q", have)
	}
	if drawThickness(analysis.Wall{}, units{}) != nil {
		t.Error("a plan without thicknesses has a drawing of them")
	}
}

// Pieces keep their places on the sheet, to scale.
func TestSheetDrawing(t *testing.T) {
	p := full()
	p.Box.Sheets[0].Pieces[4].Turned = true
	m := drawSheets(p)[0]
	perMM := float64(m.Sheet.W) / 1200
	if math.Abs(float64(m.Sheet.H)-600*perMM) > 1e-9 {
		t.Errorf("the sheet is %s × %s", m.Sheet.W, m.Sheet.H)
	}
	base := m.Pieces[4]
	if base.Letter != "C" || math.Abs(float64(base.W)-200*perMM) > 1e-9 || math.Abs(float64(base.H)-248*perMM) > 1e-9 || math.Abs(float64(base.Y-m.Sheet.Y)-249*perMM) > 1e-9 {
		t.Errorf("the base board is drawn as %+v", base)
	}
	for _, piece := range m.Pieces {
		if piece.X+piece.W > m.Sheet.X+m.Sheet.W+1e-9 || piece.Y+piece.H > m.Sheet.Y+m.Sheet.H+1e-9 {
			t.Errorf("piece %s leaves the sheet", piece.Letter)
		}
	}
}

// Numbers of facets stand outside the box, between it and the names of walls.
func TestFacetNumbersOutside(t *testing.T) {
	p := full()
	faceted(p)
	m := drawBoard(p)
	if len(m.Facets) != 5 {
		t.Fatalf("%d facets are numbered", len(m.Facets))
	}
	back := m.Facets[3] // the fourth facet is the back wall
	if back.Text != "4" || back.Y >= m.Y || back.Y-11 < 22 {
		t.Errorf("the number of the back facet stands at %s, the wall at %s", back.Y, m.Y)
	}
	if m.Outline == "" || m.Round != nil || !strings.HasPrefix(m.Outline, "M") || strings.Count(m.Outline, "L") != 4 {
		t.Errorf("outline %q", m.Outline)
	}
	tube := full()
	tubed(tube)
	if m := drawBoard(tube); m.Round == nil || math.Abs(float64(m.Round.R-m.BoxW/2)) > 1e-9 {
		t.Errorf("the circle is %+v in a box of %s", m.Round, m.BoxW)
	}
}

// A foam says how high it stands before it rises and how it pushes.
func TestFoamCharge(t *testing.T) {
	p := full()
	p.Cast.Material, p.Cast.Name, p.Cast.Slush, p.Cast.AG, p.Cast.BG = "foam-soft", "soft foam", nil, nil, nil
	p.Cast.AMM3, p.Cast.BMM3 = ref(61e3), ref(30.5e3)
	p.Cast.Foam = &analysis.CastFoam{Expansion: 6.875, LiquidMM3: 41e3, LevelMM: 38, LidN: 25.07, OpenN: 544.1, Safety: 2}
	at := sections(t, written(t, p, Options{Show: say.Metric}))
	wants(t, at["9"], "Before it rises 41 mL it stands 38 mm high in the closed mold, and grows 6.88 times", "25.1 N, like 2.56 kg, on the lid; 544 N, like 55.5 kg, to open the cut",
		"A 61 mL B 30.5 mL", "Foam holds isocyanates", "Foam in a closed mold needs more")
	wantsNone(t, at["9"], "Thickest place", "Casting resins may hold")
}

func TestRodWays(t *testing.T) {
	p := full()
	p.Rod.Entry, p.Rod.DepthMM = "two", nil
	p.Rod.Second = &analysis.SecondRod{LengthMM: 60.4, FromMM: [3]float64{-19, 3, 130}, ToMM: [3]float64{4, 3, 188}, TieMM: [3]float64{-19, 3, 140}}
	at := sections(t, written(t, p, Options{Show: say.Metric}))
	wants(t, at["9"], "Two rods, laid into one half of the opened mold and bound where they pass", "Second rod saw to 60 mm", "bind the two at 47 mm from the left end, 45 mm from the front, 140 mm above the board")
	wants(t, at["2"], "129 mm and 61 mm")
	p.Rod.Entry, p.Rod.Second = "half", nil
	p.Rod.StiffnessGain = &analysis.Spread{Low: 1, Likely: 1.00002, High: 1.0001}
	at = sections(t, written(t, p, Options{Show: say.Metric}))
	wants(t, at["9"], "Laid into one half of the opened mold, before it is closed")
	wantsNone(t, at["9"], "as stiff", "Second rod")
}

func TestNamesOfWalls(t *testing.T) {
	names := "facet 1"
	for i := 2; i < 5; i++ {
		names = together(names, "facet "+strconv.Itoa(i))
	}
	if names != "facets 1, 2, 3, 4" || together("front", "back") != "front, back" {
		t.Errorf("have %q", names)
	}
	for panel, want := range map[string]string{"side y1": "side, back", "end x0": "end, left end", "wrap": "wrap", "facet 3": "facet 3"} {
		if have := panelWords(panel); have != want {
			t.Errorf("%s: have %q, want %q", panel, have, want)
		}
	}
}

func TestSmallBows(t *testing.T) {
	for _, c := range []struct {
		low, high    float64
		metric, inch string
	}{
		{0.01, 0.09, "under 0.1 mm", "under 0.005 in"},
		{0.02, 0.31, "up to 0.3 mm", "up to 0.01 in"},
		{1.2, 5.3, "1.2–5.3 mm", "0.05–0.21 in"},
	} {
		s := &analysis.Spread{Low: c.low, High: c.high}
		for style, want := range map[say.Style]string{say.Metric: c.metric, say.Inch: c.inch} {
			have := strings.NewReplacer(noBreak, " ", "\u2060", "").Replace(units{style}.Bow(s))
			if have != want {
				t.Errorf("%g to %g: have %q, want %q", c.low, c.high, have, want)
			}
		}
	}
}

func TestManyThingsToCheck(t *testing.T) {
	p := gull()
	for range 4 {
		p.Findings = append(p.Findings, p.Findings[0])
	}
	text := shown(t, written(t, p, Options{}))
	wants(t, text, "Much to check first. Check 6 things before you go on:", "What to do about each is under “What we are unsure of”.")
	front, _, _ := strings.Cut(text, "Check the part against the scan")
	wantsNone(t, front, "Measure the longest side, then give")
}

// Posts that would overlap are all drawn smaller.
func TestPostsCloseTogether(t *testing.T) {
	p := full()
	if m := drawBoard(p); m.Tight || m.Posts[0].R != 9 {
		t.Errorf("posts far apart are drawn small: %+v", m.Posts)
	}
	near := *p.CastTrap[0].Vent
	near.Post, near.BoardMM = 3, [2]float64{48, -2}
	p.CastTrap[3].Vent = &near
	if m := drawBoard(p); !m.Tight || m.Posts[0].R != tightPost || len(m.Posts) != 3 {
		t.Errorf("close posts: %+v", m.Posts)
	}
}

// The dowels of the sheet are those that the pins are reckoned with; how long one is
// is not known without the thickness of its board.
func TestDowels(t *testing.T) {
	if dowelMM != hold.DefaultRod.DiameterMM {
		t.Errorf("dowels of %d mm, but pins are reckoned with %g mm", dowelMM, hold.DefaultRod.DiameterMM)
	}
	p := full()
	p.Box.Panels = nil
	at := sections(t, written(t, p, Options{Show: say.Metric}))
	wants(t, at["2"], "Dowel for 2 pins, 6 mm across hardwood, one end of each rounded see step 4, see step 4")
	wants(t, at["4"], "24 mm what it reaches in and the board’s thickness")
	p.Hold.Pins = nil
	at = sections(t, written(t, p, Options{Show: say.Metric}))
	wants(t, at["4"], "Drill, screw or glue into the part only where its owner allows a hole. Epoxy on an original has to come off again")
}

// A box is turned over on a second base board.
func TestTwoBaseBoards(t *testing.T) {
	p := bedded()
	at := sections(t, written(t, p, Options{Show: say.Metric}))
	wants(t, at["2"], "2 base boards the second goes on top, to turn the box over: cut one more than the cut list says 350 × 248 mm")
	wants(t, at["6"], "Lay the second base board on the box")
	p.Box.Panels[2].Count = 2
	wants(t, sections(t, written(t, p, Options{Show: say.Metric}))["2"], "to turn the box over; both are in the cut list 350 × 248 mm")
	wantsNone(t, sections(t, written(t, full(), Options{Show: say.Metric}))["2"], "2 base boards")
}
