package sheet

import (
	"slices"
	"strings"
	"testing"

	"pourwright/analysis"
	"pourwright/analysis/clock"
	"pourwright/analysis/shelf"
	"pourwright/render/say"
)

// castWaits are waits of a timetable, with both ends.
var castWaits = []analysis.ClockStep{
	{Name: "let the open mold rest", FromS: analysis.Spread{Low: 46771, Likely: 92214, High: 98722}, TakeS: analysis.Spread{Low: 43200, Likely: 86400, High: 259200}, Wait: true},
	{Name: "release, rod, close and strap the mold", FromS: analysis.Spread{Low: 89971, Likely: 178614, High: 357922}, TakeS: analysis.Spread{Low: 600, Likely: 1200, High: 2400}},
	{Name: "weigh, mix and pour the cast", FromS: analysis.Spread{Low: 90571, Likely: 179814, High: 360322}, TakeS: analysis.Spread{Low: 180, Likely: 300, High: 900}},
	{Name: "let the cast set", FromS: analysis.Spread{Low: 90751, Likely: 180114, High: 361222}, TakeS: analysis.Spread{Low: 1200, Likely: 1800, High: 3600}, Wait: true},
}

// foamed is full of a foam.
func foamed() *analysis.Plan {
	p := full()
	p.Cast.Material, p.Cast.Name, p.Cast.Slush, p.Cast.WorkingS = "foam-soft", "soft foam", nil, ref(45.0)
	p.Cast.Foam = &analysis.CastFoam{Expansion: 6.875, LiquidMM3: 41e3, LevelMM: 38, LidN: 25.07, OpenN: 544.1, Safety: 2,
		Walls: []analysis.FoamWall{{Name: "front", Verdict: "holds"}, {Name: "back", Verdict: "holds"}}}
	p.Cast.Tips[2].Bleed, p.Cast.Advice, p.Clock = true, nil, castWaits
	return p
}

// inOrder checks that a text holds all of these, one after the other.
func inOrder(t *testing.T, text string, all ...string) {
	t.Helper()
	for _, want := range all {
		i := strings.Index(text, want)
		if i < 0 {
			t.Errorf("%q is not there or not in its place, but:\n%s", want, text)
			return
		}
		text = text[i+len(want):]
	}
}

// filled is the part of the sheet on filling the mold.
func filled(t *testing.T, p *analysis.Plan, head string) string {
	t.Helper()
	text := sections(t, written(t, p, Options{Show: say.Metric}))["9"]
	_, after, found := strings.Cut(text, head)
	if !found {
		t.Fatalf("%q is not there, but:\n%s", head, text)
	}
	return after
}

// A foam cast from the opened mold to the trimmed cast, with the plan's figures in the
// order of the work.
func TestStepsOfFoam(t *testing.T) {
	inOrder(t, filled(t, foamed(), "Fill the mold"), "rest open 12 h to 72 h, likely 24 h", "coat of wax", "Never silicone spray", "Plug the 2 holes that the pins left",
		"Set the 2 bridges of the list into the opened mold", "Close the block", "Put it back between the walls, with the bracing as it was, and strap all round.", "Turn it over", "Lower the rod in by the spout, until its near end is 22 mm below the rim",
		"two bleed holes of 3 mm", "It leaves the vents free.", "25.1 N, like 2.56 kg", "Pierce a bleed hole from the outside down to this end of the mold: 74 mm from the left end", "Bring every vent", "Weigh out A and B",
		"Mix A and B fast and well: you have 45 s until it rises. Pour all of it in at once, 41 mL.", "Lid on", "Close each bleed hole and each vent with a gloved finger", "Leave it 20 min to 1 h, likely 30 min", "Take off the straps and the lid. Open the cut", "Saw off the vents, and trim the seam")
}

// The closed mold goes back between its walls only where all of them are known to
// bear the foam.
func TestWallsForFoam(t *testing.T) {
	boards, walls := "Set stiff boards against all sides, with straps all round: ", "Put it back between the walls"
	for _, verdict := range []string{"brace", "bursts", "unknown"} {
		p := foamed()
		p.Cast.Foam.Walls[1].Verdict = verdict
		text := filled(t, p, "Fill the mold")
		wants(t, text, boards+"the walls of the box as they are do not bear the foam.")
		wantsNone(t, text, walls)
		wants(t, sections(t, written(t, p, Options{Show: say.Metric}))["2"], "For casting: wax as release, stiff boards for all sides of the mold, straps, a board for the lid")
	}
	wants(t, sections(t, written(t, foamed(), Options{Show: say.Metric}))["2"], "For casting: wax as release, straps, a board for the lid, clamps or a weight for it, plugs for the vents")
	p := foamed()
	p.Cast.Foam.Walls = nil
	text := filled(t, p, "Fill the mold")
	wants(t, text, boards+"it is not known")
	wantsNone(t, text, walls)
}

// A resin fills a mold that is kept full, and its vents are plugged; what the plan does
// not have is not named.
func TestStepsOfResin(t *testing.T) {
	p := full()
	p.Clock = castWaits
	p.Cast.Advice = nil
	inOrder(t, filled(t, p, "Fill the mold"), "Alcohol leaves", "between the walls, or between boards", "Weigh out A and B", "Mix A and B: you have 5 min with it.", "keep the spout full to its rim", "Tilt the block by 12°", "Plug each hole", "Leave it 20 min to 1 h")
	p.Air.Tilt.Cast = nil
	wants(t, filled(t, p, "Fill the mold"), "Plug each vent as soon as material shows in it")
	p.Rod, p.CastTrap, p.Cast.Tips, p.Hold.Pins, p.Clock = analysis.Rod{}, nil, nil, nil, castWaits[1:]
	at := sections(t, written(t, p, Options{Show: say.Metric}))
	_, steps, _ := strings.Cut(at["9"], "Fill the mold")
	wantsNone(t, steps, " rod", "bridge", "vent", "pins", "rest open")
	wants(t, at["From the first weighing to the first cast"])
}

// A rod that is laid in goes in before the mold is closed.
func TestRodIsLaidInFirst(t *testing.T) {
	p := full()
	p.Rod.Entry, p.Rod.DepthMM = "half", nil
	text := filled(t, p, "Fill the mold")
	inOrder(t, text, "Lay the rod into one half on the 2 bridges of the list.", "Close the block")
	wantsNone(t, text, "Lower the rod")
	two := bedded()
	two.Rod.Entry = "half"
	inOrder(t, filled(t, two, "Fill the mold"), "Lay the rod into one part on", "Close the parts", "Draw off the first part first")
}

// A resin that gets too hot when it is poured solid is cast hollow: the card has one
// coat, half of 32 g of each, and the solid charge is in small print.
func TestHollowCast(t *testing.T) {
	p := full()
	p.Cast.TooThick, p.Clock, p.Cast.Slush.CoatG = true, castWaits, 32
	p.Cast.Slush.AG, p.Cast.Slush.BG = ref(16.0), ref(16.0)
	p.Cast.Slush.DwellS, p.Cast.Slush.Turns = ref(25.0), []string{"cover", "y0", "y1", "x0", "x1", "spout"}
	at := sections(t, written(t, p, Options{Show: say.Metric}))
	wants(t, at["9"], "Mix for one hollow cast 97.5 g", "Cast it hollow 97.5 g in 3 coats of 32 g", "Casting card, hollow 3 coats of 32 g A 16 g B 16 g For each coat.", "None goes in: the cast is hollow.", "How long the whole mold would take to fill is no matter for a hollow cast: each coat is a small part of it")
	wantsNone(t, at["9"], "Filling takes", "Fills in", "too slow", "Mold is full to", "214 g in all", "saw to 128 mm", "Lower the rod", "Or cast it hollow")
	inOrder(t, filled(t, p, "turned about until it sets"), "Plug every vent", "one coat as on the card, 32 g", "lie down for 25 s, in this order: the end away from the spout, then the side that was the front, then the back, then the left end, then the right end, then the spout’s end with the lid on",
		"3 coats in all", "Leave it 20 min", "Poured solid it would take 196–241 g in one charge, likely A 107 g and B 107 g.", "its thickest place is 34 mm")
	wants(t, at["2"], "for one hollow cast, in 3 coats", "97.5 g")
	wantsNone(t, at["2"], "Rod inside the cast")
	two := bedded()
	two.Cast.TooThick, two.Cast.Slush.Turns = true, []string{"cover", "y0", "y1", "x0", "x1", "spout"}
	wants(t, filled(t, two, "turned about until it sets"), "then the outside of the second part, then the outside of the first part, then the right side, then the left side")
}

// The steps find their waits under the names that the timetable gives them.
func TestNamesOfWaits(t *testing.T) {
	steps, err := clock.Plan(clock.Input{Rubber: shelf.Rubber{Cure: shelf.Tin, DemoldS: shelf.Range{Low: 1, Likely: 2, High: 3}},
		Casting: shelf.Casting{Kind: shelf.Foam, DemoldS: shelf.Range{Low: 1, Likely: 2, High: 3}}, Batches: []int{1}, BatchS: 60, RoomC: 23})
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{restStep, setStep} {
		if !slices.ContainsFunc(steps, func(s clock.Step) bool { return s.Name == name && s.Wait }) {
			t.Errorf("the timetable has no %q", name)
		}
	}
}

// Steps that follow one another after a day keep their minutes.
func TestClockWords(t *testing.T) {
	for seconds, want := range map[float64]string{1800: "30 min", 86400: "24 h", 178614: "49 h 37 min", 179814: "49 h 57 min", 180114: "50 h 2 min", 179995: "50 h", 86429: "24 h", 86431: "24 h 1 min"} {
		if got := clockWords(seconds); got != keep(want) {
			t.Errorf("%g s: %q, want %q", seconds, got, want)
		}
	}
}

// Foam that does not get in through the spout is told of without any neck behind it.
func TestFoamThroughTheSpout(t *testing.T) {
	p := full()
	p.Cast.Foam, p.Cast.Slush, p.Cast.Necks, p.Cast.FillS, p.Cast.AllowedS = &analysis.CastFoam{Expansion: 6.9}, nil, nil, nil, nil
	p.Cast.Tips = nil
	p.Cast.Spout.Foam = &analysis.SpoutFoam{LiquidMM3: 1e5, TakesS: &analysis.Spread{Low: 180, Likely: 500, High: 1260}, CreamS: 45, AllowedS: 15, Verdict: "will not"}
	wants(t, sections(t, written(t, p, Options{Show: say.Metric}))["9"], "3 min to 21 min of 15 s to pour it in will not pass")
	p.Cast.Spout.Foam.TakesS = nil
	wants(t, sections(t, written(t, p, Options{Show: say.Metric}))["9"], "nothing gets in will not pass")
}

// A rod that is lowered through the open foot: how deep, once where it lies level.
func TestRodLoweredByTheFoot(t *testing.T) {
	for to, want := range map[float64]string{20: "it lies level, 20 mm below the rim", 25: "its ends are 20 mm and 25 mm below the rim"} {
		if have := strings.ReplaceAll(belowRim(units{say.Metric}, 20, to), noBreak, " "); have != want {
			t.Errorf("%q, want %q", have, want)
		}
	}
}
