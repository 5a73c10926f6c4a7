package sheet

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"pourwright/analysis"
	"pourwright/render/say"
)

// Every fact of a mold in two parts stands at the step where it is needed, worked out by
// hand from the plan.
func TestTwoPartFacts(t *testing.T) {
	at := sections(t, written(t, bedded(), Options{Show: say.Metric}))
	for step, facts := range map[string][]string{
		"2": {"Clay for the bed free of sulphur, or as the cautions say 1.21 L", "Release for rubber on rubber petroleum jelly, thinned with mineral spirit", "Screws or glue to hold the spout end at its wall"},
		"3": {"Inside, length × width 234 × 132 mm", "Walls, high 96 mm", "Fill line, up from the board 84 mm", "spout end, far end, right or left", "one of the two end pieces", "the bed of clay and both level strips",
			"Right 19 mm 21 mm", "Left 19 mm 19 mm", "Over the part, second pour (thin) 16 mm 7.2 mm", "Over the part, first pour 16 mm 18 mm", "Far end 20 mm 20 mm",
			"right, left 1.2–5.3 mm brace it", "far end, spout end 0.3–0.9 mm holds", "Saw: guard on"},
		"4": {"fill the box with clay: 45 mm over the board, about 1.21 L of it", "Up goes the scan's −z side.", "Lay in 2 posts", "Screw or glue the spout end to its wall. It stays fixed there during both pours.",
			"Press 3 oval dimples", "Middle of the spout end, on its wall 45 mm from the right 45 mm over the board", "Parting line on the part 564 mm, 8 % of it on fine detail",
			"meets the part at 84° on average, and passes up to 4.4 mm beside its outermost line, 0.6 mm on average", "first pour: up to 1.32 N, like 135 g on a string second pour: nothing, it stays down by its weight",
			"Poured first: the back part of the finished mold, since it has more detail, and clay on the other side smears less.", "Why this bed. It follows the ridge",
			"1 60 mm 116 mm 0° 18 mm 12 mm 8 mm", "2 120 mm 14 mm 90° 15 mm 10 mm 6.8 mm", "3 200 mm 106 mm 45° 9 mm 6 mm 4 mm",
			"1 5 mm 138 mm 110 mm from the right, 40 mm over the board 138 mm from the spout’s end, 110 mm from the right, 40 mm over the board of the first pour", "bed.pdf"},
		"5": {"Weigh, mix and pour the first part", "One batch takes 19 min", "Likely for this part 1466 g", "Could be 1.38–1.56 kg", "1.13 L 39 mm deep over the clay, at 1.18 g/cm³", "Batch 1 733 g in all A 666 g B 66.6 g", "Rubber then stands at 66 mm",
			"The clay fills the box to 45 mm.", "into the dimples", "Stop at the top mark, 84 mm", "it lifts with up to 1.32 N", "Leave it 24 h", "75 mm 871 mL 1028 g",
			"152 mm from the spout’s end, 97 mm from the right, 52 mm over the board of the first pour: up to 0.24 mL of air. Brush rubber in under it first."},
		"6": {"Turn the box over", "lift the clay out. The part stays where it is", "The walls stand 12 mm higher than the first part.", "now 39 mm over the board", "Brush petroleum jelly, thinned with mineral spirit on all cured rubber", "the knobs of the keys too",
			"Brush it thin: strokes print.", "Take care. Solvents catch fire", "no flames or sparks near, air the room", "data sheet of the release first"},
		"7": {"Weigh, mix and pour the second part", "One batch takes 20 min", "Likely for this part 1641 g", "Could be 1.55–1.73 kg", "1.27 L 45 mm deep over the first part", "A 1492 g B 149 g", "The first part fills the box to 39 mm.", "round the knobs", "60 mm 581 mL 686 g",
			"100 mm from the spout’s end, 97 mm from the right, 50 mm over the board of the second pour: up to 0.09 mL of air. Brush rubber in first"},
		"8": {"Part the mold", "Draw off the first part first: less of its rubber locks behind the prop.", "Bend the second part away", "first part: none second part: 2.4 mL, up to 12 mm deep", "first part 1.13 L, 1.33 kg second part 1.27 L, 1.5 kg",
			"The mold locks on the part", "second part 1.2 mL 12 mm it is free nowhere near locks 150 mm from the spout’s end, 56 mm from the right, 33 mm over the board of the first pour",
			"first part 0.53 mL 4.4 mm 2.2 mm gives way 140 mm from the spout’s end, 86 mm from the right, 52 mm", "for a stretch of 88 %", "2 vents must be open", "vent 2 lets out"},
		"9": {"the side that was the right side and the outside of the second part down, the left side and the outside of the first part lifted by 33 mm"},
	} {
		t.Run(step, func(t *testing.T) { wants(t, at[step], facts...) })
	}
	wantsNone(t, at["5"], "second pour", "round the knobs")
	wantsNone(t, at["7"], "first pour", "it lifts with")
}

// A stepped bed gives the height of the clay at each corner.
func TestSteppedBed(t *testing.T) {
	at := sections(t, written(t, stepBedded(), Options{Show: say.Metric}))
	wants(t, at["4"], "fill the box with clay: 35 mm to 45 mm, in steps over the board", "The clay steps: its height 45 mm 80 mm from the spout’s end 35 mm 100 mm from the spout’s end", "the clay steps: its height")
	m := drawBed(stepBedded(), units{say.Metric})
	perMM := float64(m.BoxW) / 234
	for i, want := range []float64{80, 100} {
		if x := float64(m.Steps[i].X1-m.X) / perMM; len(m.Steps) != 2 || math.Abs(x-want) > 0.1 || m.Steps[i].X1 != m.Steps[i].X2 {
			t.Errorf("step %d is drawn %g mm from the spout end: %v", i+1, x, m.Steps)
		}
	}
}

// What a plan of two parts may lack is said so or left out.
func TestBareTwoPart(t *testing.T) {
	p := bedded()
	b := p.TwoPart
	b.PeelFirst, b.PeelWhy = 2, "the other still holds the prop"
	p.Cut.UndercutMM3 = [2]float64{}
	b.Keys, b.Locks, p.CastTrap, p.RubberTrap, p.Cast.Tips, p.Box.FreeboardMM = nil, nil, nil, nil, nil, 0
	b.Parts[0].TimeNeededS, b.Parts[0].Batches = nil, nil
	at := sections(t, written(t, p, Options{Show: say.Metric}))
	wants(t, at["4"], "There is no rubber for keys.")
	wants(t, at["5"], "One batch takes not known", "No batches were planned.")
	wants(t, at["6"], "Check that the first part lies on the board")
	wants(t, at["8"], "Draw off the second part first: the other still holds the prop.", "Bend the first part away", "No rubber hooks behind the part: both parts of the mold come straight off.", "No vents are needed. When the mold stands with its spout up")
	wantsNone(t, at["4"], "posts", "keys, by number", "The turn is that")
	wantsNone(t, at["5"], "Air stays")
	wantsNone(t, at["6"], "knobs", "0 mm")
	wantsNone(t, at["8"], "locks", "gives way")
}

// Rubber that hooks too little to be listed is not called none; what there is none of is.
func TestSlightHooks(t *testing.T) {
	p := bedded()
	p.TwoPart.Locks = nil
	p.Cut.UndercutMM3, p.Cut.UndercutDepthMM = [2]float64{110, 0}, [2]float64{2.2, 0}
	side := "first"
	if p.TwoPart.Parts[1].Side < 0 {
		side = "second"
	}
	step := sections(t, written(t, p, Options{Show: say.Metric}))["8"]
	wants(t, step, "What hooks behind the part is so little that the rubber gives way: "+side+" part 0.11 mL, up to 2.2 mm deep.")
	wantsNone(t, step, "No rubber hooks", "come straight off")
	p.Cut.UndercutMM3[0] = 0
	step = sections(t, written(t, p, Options{Show: say.Metric}))["8"]
	wants(t, step, "No rubber hooks behind the part: both parts of the mold come straight off.")
	wantsNone(t, step, "gives way")
}

// The sheet of one style of mold has no words of the other. What is said of the cast
// and of where numbers come from is left out: it is the same for both.
func TestWordsOfStyles(t *testing.T) {
	text := func(p *analysis.Plan) string {
		at, all := sections(t, written(t, p, Options{})), ""
		for _, step := range []string{"1", "2", "3", "4", "5", "6", "7", "8", "Cautions"} {
			all += " " + strings.ToLower(at[step])
		}
		return all
	}
	for name, p := range map[string]*analysis.Plan{"level": bedded(), "stepped": stepBedded(), "shaped": shapeBedded(), "wide": wideBedded()} {
		t.Run(name, func(t *testing.T) {
			wantsNone(t, text(p), "block", "slit", "knife", "blade", "hinge", "glue the part", "on the board here", "foot has", "land ", "key line", "cut the rubber", "left end", "right end", "the front", "pins")
		})
	}
	for name, p := range map[string]*analysis.Plan{"full": full(), "bare": bare(), "gull": gull()} {
		t.Run(name, func(t *testing.T) {
			wantsNone(t, text(p), "bed of clay", "dimple", "first part", "second part", "first pour", "spout’s end", "knobs", "turn the box over", "parting line", "clay for the bed")
		})
	}
}

// Sheets of two parts are sound in every style of units, and show no raw figure.
func TestTwoPartSound(t *testing.T) {
	odd := bedded()
	odd.TwoPart.InsideMM[0], odd.TwoPart.BedMM = math.NaN(), math.Inf(1)
	for name, p := range map[string]*analysis.Plan{"level": bedded(), "stepped": stepBedded(), "shaped": shapeBedded(), "wide": wideBedded(), "odd": odd} {
		for _, style := range []say.Style{say.Both, say.Inch, say.Metric} {
			page := written(t, p, Options{Show: style, PreviewPNG: picture(t)})
			wellFormed(t, name, page)
			wantsNone(t, shown(t, page), "NaN", "null", "<nil>", "nil>", "%!", "Inf", "0x", "{", "map[")
		}
	}
	if front := shown(t, written(t, bedded(), Options{Show: say.Metric})); !strings.Contains(front, "Box inside 234 × 132 mm Walls, high 96 mm Fill with rubber to, twice 84 mm") {
		t.Error("the first page shows another box than that which is poured into")
	}
}

// Keys, spout and part lie in the map where a rule finds them in the box.
func TestBedMap(t *testing.T) {
	m := drawBed(bedded(), units{say.Metric})
	perMM := float64(m.BoxW) / 234
	if math.Abs(float64(m.BoxH)-132*perMM) > 1e-6 || m.Names != [4]string{"Spout end", "Far end", "Left", "Right"} {
		t.Fatalf("the box is %s × %s with %v", m.BoxW, m.BoxH, m.Names)
	}
	for i, k := range beddedKeys() {
		o := m.Keys[i]
		have := [5]float64{float64(o.X-m.X) / perMM, float64(m.Y+m.BoxH-o.Y) / perMM, 2 * float64(o.RX) / perMM, 2 * float64(o.RY) / perMM, math.Mod(-float64(o.Turn)+360, 180)}
		for j, want := range [5]float64{k.FromSpoutMM, k.FromRightMM, k.LengthMM, k.WidthMM, k.TurnDeg} {
			if math.Abs(have[j]-want) > 1e-6 {
				t.Errorf("key %d: have %v, want %v", i+1, have, k)
			}
		}
	}
	if s := m.Spout; s.X1 != m.X || s.X2 != m.X || math.Abs(math.Abs(float64(s.Y2-s.Y1))/perMM-26.4) > 1e-6 || math.Abs(float64(m.Y+m.BoxH-(s.Y1+s.Y2)/2)/perMM-45) > 1e-6 {
		t.Errorf("the spout is drawn at %v", s)
	}
	points, low := coordinates(t, strings.NewReplacer("M", " ", "L", " ", "Z", " ").Replace(m.Part)), math.Inf(1)
	for _, q := range points {
		low = math.Min(low, q[0])
	}
	if math.Abs(low-float64(m.X)) > 0.1 {
		t.Errorf("the part begins %g px from the spout end", low-float64(m.X))
	}
	wide := drawBed(wideBedded(), units{say.Metric})
	if wide.Names != [4]string{"Left", "Right", "Far end", "Spout end"} || wide.Spout.Y1 != wide.Y+wide.BoxH {
		t.Errorf("of a wide block the walls are %v, the spout at %v", wide.Names, wide.Spout)
	}
	if drawBed(full(), units{}) != nil {
		t.Error("a block has a bed")
	}
}

// inAKey tells whether a label is in the oval of its key.
func inAKey(m *bedMap, l mapText) bool {
	for _, k := range m.Keys {
		if math.Hypot(float64(k.X-l.X), float64(k.Y+4-l.Y)) < 1 {
			return true
		}
	}
	return false
}

// Numbers of keys lie on no other number, and stay in the box.
func TestKeyNumbersApart(t *testing.T) {
	random := rand.New(rand.NewPCG(11, 26))
	for range 20 {
		p := bedded()
		p.TwoPart.Keys = nil
		for range 400 {
			k := analysis.BedKey{AtMM: [3]float64{random.Float64()*100 - 50, 3, 15 + random.Float64()*200}, Along: [3]float64{0, 0, 1}}
			k.LengthMM = 8 + 10*random.Float64()
			k.WidthMM = k.LengthMM / 1.5
			clear := true
			for _, o := range p.TwoPart.Keys {
				clear = clear && math.Hypot(o.AtMM[0]-k.AtMM[0], o.AtMM[2]-k.AtMM[2]) > 13+(o.LengthMM+k.LengthMM)/2
			}
			if clear {
				p.TwoPart.Keys = append(p.TwoPart.Keys, k)
			}
		}
		m := drawBed(p, units{say.Metric})
		for i, a := range m.Labels {
			r := a.box()
			if m.onPart(r) && !strings.HasPrefix(a.Text, "post") && !inAKey(m, a) {
				t.Errorf("%q lies on the part", a.Text)
			}
			if r.X < m.X || r.Y < m.Y || r.X+r.W > m.X+m.BoxW || r.Y+r.H > m.Y+m.BoxH {
				t.Errorf("%q leaves the box", a.Text)
			}
			for _, b := range m.Labels[:i] {
				if r.overlaps(b.box()) {
					t.Errorf("%q lies on %q", a.Text, b.Text)
				}
			}
		}
		if len(m.Labels) != len(p.TwoPart.Keys)+2 { // two posts
			t.Errorf("%d labels for %d keys", len(m.Labels), len(p.TwoPart.Keys))
		}
	}
}

// A shaped bed gives its range, the heights along the parting line, and contours. The
// part lies in a box of 84 mm: turned over, the first part is 84 less the clay high.
func TestShapedBed(t *testing.T) {
	at := sections(t, written(t, shapeBedded(), Options{Show: say.Metric}))
	wants(t, at["4"], "from panels.pdf, and fill the box with clay: 45 mm to 63 mm over the board, about 1.21 L of it", "Clay over the board 45 mm to 63 mm 45 mm at the spout", "push a stick upright",
		"1 30 mm 66 mm 45 mm 4 120 mm 66 mm 52 mm 7 210 mm 66 mm 61 mm 2 60 mm 66 mm 46 mm 5 150 mm 66 mm 55 mm 3 90 mm 66 mm 49 mm 6 180 mm 66 mm 58 mm", "numbered as the dots on bed.pdf", "height of the clay over the board")
	wants(t, at["5"], "The clay is 45 mm to 63 mm high.", "1.13 L 21 mm to 39 mm deep over the clay")
	wants(t, at["7"], "The first part is 21 mm to 39 mm high.", "1.27 L 45 mm to 63 mm deep over the first part")
	both := sections(t, written(t, shapeBedded(), Options{Show: say.Both}))
	wants(t, both["4"], "1 30 mm (1 3/16 in) 66 mm (2 5/8 in) 45 mm (1 3/4 in) 5 150 mm")
	level := sections(t, written(t, bedded(), Options{Show: say.Metric}))
	wantsNone(t, level["4"], "stick", "dots", "panels.pdf", "at the spout")
}

// Contours of the map are 10 mm apart, where the plan has them, and each is named once.
func TestHeightsOfMap(t *testing.T) {
	p := shapeBedded()
	m := drawBed(p, units{say.Metric})
	perMM := float64(m.BoxW) / 234
	for i, want := range []float64{100, 200} {
		if len(m.Heights) != 2 {
			t.Fatalf("%d contours are drawn", len(m.Heights))
		}
		for _, q := range coordinates(t, strings.NewReplacer("M", " ", "L", " ").Replace(m.Heights[i])) {
			if have := (q[0] - float64(m.X)) / perMM; math.Abs(have-want) > 0.1 {
				t.Errorf("contour %d passes %g mm from the spout end, want %g", i+1, have, want)
			}
		}
	}
	for words, want := range map[string]float64{"50\u00a0mm": 100, "60\u00a0mm": 200} {
		named := 0
		for _, l := range m.Labels {
			if l.Text == words {
				named++
				if have := float64(l.X-m.X) / perMM; math.Abs(have-want) > 0.1 || !l.Over || m.onPart(l.box()) {
					t.Errorf("%s stands %g mm from the spout end, want %g", words, have, want)
				}
			}
		}
		if named != 1 {
			t.Errorf("%s is named %d times", words, named)
		}
	}
	for _, l := range drawBed(bedded(), units{say.Metric}).Labels {
		if l.Over {
			t.Errorf("no line passes below %q", l.Text)
		}
	}
}

// How a mold in two parts is cast has no words of a block, and the other way round.
func TestWordsOfCast(t *testing.T) {
	at := sections(t, written(t, bedded(), Options{Show: say.Metric}))
	wants(t, at["9"], "Close the parts, the knobs in their hollows, with no gap", "Stand it up: the spout is on top. The mold weighs", "Tilt the mold by", "both parts 2.84 kg, cavity")
	wantsNone(t, strings.ToLower(at["9"]), "block", "open the cut")
	at = sections(t, written(t, full(), Options{Show: say.Metric}))
	wants(t, at["9"], "Close the block: both sides of the cut must meet all along it. Put it back", "Turn it over: the spout is on top. The block weighs", "Tilt the block by", "block 2.84 kg, cavity", "as the block stood while you poured")
}
