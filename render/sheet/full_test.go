package sheet

import (
	"pourwright/analysis"
)

// full is gull with every key of a plan that the sheet shows. All its figures
// are invented.
func full() *analysis.Plan {
	p := gull()
	fullBox(p)
	fullHold(p)
	fullAir(p)
	p.Rubber.Enough, p.Rubber.RoomC, p.Rubber.OwnPours = 0.79, 18, 3
	p.Rubber.BulgeMM3 = ref(3200.0)
	for i := range p.Rubber.Batches {
		p.Rubber.Batches[i].AMM3, p.Rubber.Batches[i].BMM3 = ref(764e3), ref(92e3)
	}
	p.Rubber.Buy = analysis.Buy{NeedG: 3220, Packs: []analysis.Pack{{MassG: 2200, Count: 1}, {MassG: 1100, Count: 2}}, TotalG: 4400, LeftG: 1422, Cost: ref(132.4)}
	p.Cast = analysis.Cast{
		Material: "resin", CavityMM3: 197.5e3, WorkingS: ref(300.0), AllowedS: ref(50.0),
		Spout: analysis.CastSpout{DiameterMM: 8.4, LengthMM: 12, FillS: &analysis.Spread{Low: 31, Likely: 74, High: 190}, Passes: ref(false), WidenMM: ref(11.6)},
		Necks: []analysis.Neck{
			{DiameterMM: 7.7, AtMM: [3]float64{-10, 3, 121}, BehindMM3: 83e3, FillS: &analysis.Spread{Low: 12, Likely: 20, High: 44}, Passes: ref(true)},
			{DiameterMM: 4.4, AtMM: [3]float64{24, 1, 133}, BehindMM3: 9e3, After: ref(0), FillS: &analysis.Spread{Low: 2, Likely: 3, High: 5}, Passes: ref(true)},
		},
		FillS: &analysis.Spread{Low: 33, Likely: 77, High: 195}, Passes: ref(false),
		Tips: []analysis.CastTip{
			{AtMM: [3]float64{-10, 3, 200}, Share: 0.04},
			{AtMM: [3]float64{44, -2, 138}, Share: 0.62, Trap: ref(0), Vented: true},
			{AtMM: [3]float64{8, 3, 190}, Share: 1, Trap: ref(2), Behind: ref(1), Held: true},
		},
		Advice: []analysis.CastAdvice{
			{Kind: "as planned", Text: "As planned.", FillS: &analysis.Spread{Low: 33, Likely: 77, High: 195}, Passes: ref(false)},
			{Kind: "widen", Text: "Widen the spout to 12 mm.", FillS: &analysis.Spread{Low: 8, Likely: 20, High: 45}, Passes: ref(true)},
			{Kind: "other end", Text: "Pour from another end.", FillS: &analysis.Spread{Low: 0.2, Likely: 0.4, High: 0.8}, Passes: ref(true), AtMM: &[3]float64{-10, 3, 200}},
		},
	}
	fullCharge(p)
	p.Stand.Criteria.Necks = ref(0.66)
	p.Stand.Weights = analysis.Weights{Detail: 3, Spout: 2, CastAir: 2, RubberAir: 1, RubberMass: 1, Height: 0.5, Stability: 0.5, Necks: 1}
	p.Stand.Judged, p.Stand.ParetoCount, p.Stand.Pareto = 9, 5, true
	for i := range p.Stand.Alternatives {
		p.Stand.Alternatives[i].Pareto = i != 2
	}
	p.Wall = fullWall()
	fullCut(p)
	return p
}

func fullCharge(p *analysis.Plan) {
	p.Cast.Charge = analysis.Charge{
		Name: "rigid casting resin", PartMM3: 191.4e3, RodMM3: 3100, ThickMM: 34, MassG: analysis.Spread{Low: 196, Likely: 214, High: 241},
		AG: ref(107.0), BG: ref(107.0), Slush: &analysis.CastSlush{SkinMM: 3, Coats: 3, MassG: 97.5, CoatG: 32.5, AG: ref(16.25), BG: ref(16.25), How: "Turn it over every 25 s."},
		FinishedG: analysis.Spread{Low: 188, Likely: 197, High: 206},
		Shrink:    analysis.CastShrink{LinearPct: analysis.Spread{Low: 0.3, Likely: 0.6, High: 2}},
		Pulls:     analysis.Spread{Low: 10, Likely: 25, High: 50}, CastsFromStock: ref(4.0),
	}
	p.Cast.Candidates = []analysis.CastCandidate{
		{Name: "rigid foam", PropG: analysis.Spread{Low: 41, Likely: 47, High: 53}, Nearest: true},
		{Name: "rigid casting resin", PropG: p.Cast.FinishedG, Chosen: true},
	}
	p.Rod = analysis.Rod{
		CoverMM: ref(8.3), MassG: &analysis.Spread{Low: 19, Likely: 19.8, High: 20}, Why: "It is the longest that fits.",
		DiameterMM: 5, LengthMM: ref(128.2), FromMM: &[3]float64{-21, 3, 22}, ToMM: &[3]float64{-19, 3, 150}, Entry: "spout", DepthMM: ref(22.3),
		Standoffs: []analysis.Standoff{{AtMM: [3]float64{-21, 3, 44}, LengthMM: 9.1}, {AtMM: [3]float64{-19, 3, 128}, LengthMM: 8.4}},
		Material:  "steel", StiffnessGain: &analysis.Spread{Low: 2, Likely: 3.1, High: 4}, Cautions: []string{"Round both ends of the rod."},
	}
	p.Clock = []analysis.ClockStep{
		{Name: "mix and pour the rubber", TakeS: analysis.Spread{Low: 3000, Likely: 3780, High: 5400}},
		{Name: "let the rubber cure", FromS: analysis.Spread{Low: 3000, Likely: 3780, High: 5400}, TakeS: analysis.Spread{Low: 43200, Likely: 86400, High: 86400}, Wait: true},
	}
}

// onCut is the place of the cut of gull at x and z.
func onCut(x, z float64) [3]float64 { return [3]float64{x, 3 - (x+21)*0.0348994967/0.9993908270, z} }

func fullCut(p *analysis.Plan) {
	c := &p.Cut
	c.Style, c.Surface, c.ThroughSpout, c.LandMM, c.SquareDeg = "block", "plane", true, 5, 84.2
	c.UndercutDepthMM = [2]float64{3.2, 4.1}
	c.Rim = [][3]float64{onCut(-66, 234), onCut(66, 234), onCut(66, 0), onCut(-66, 0)}
	c.Land = []analysis.CutLine{{Points: [][3]float64{onCut(-2, 0), onCut(0, 110), onCut(34, 134), onCut(52, 140)}}}
	c.KeyLines = []analysis.KeyLine{{PitchMM: 25, Points: [][3]float64{onCut(3, 0), onCut(13, 30), onCut(5, 60), onCut(15, 90)}, Waves: []analysis.KeyWave{
		{AtMM: onCut(13, 30), AmplitudeMM: 10, DepthMM: 6}, {AtMM: onCut(13, 60), AmplitudeMM: 8, DepthMM: -3.6}, {AtMM: onCut(15, 90)},
	}}}
	c.Knife = []analysis.KnifeMark{
		{AtMM: onCut(66, 140), ToLandMM: 18.66, ToPatternMM: 23}, {AtMM: onCut(66, 80), ToLandMM: 66, ToPatternMM: 71},
		{AtMM: onCut(66, 20), ToLandMM: 67, ToPatternMM: 72}, {AtMM: onCut(20, 0), ToLandMM: 121, ToPatternMM: 130},
	}
	c.SlitMM = 143
	c.Slit = analysis.Slit{RimMM: 83, GirthMM: 141, GirthAtMM: 190, Path: [][3]float64{onCut(-8, 0), onCut(-9, 60), onCut(-10, 110), onCut(4, 146)}}
	c.Hinge = &analysis.Hinge{LengthMM: 421, Path: [][3]float64{onCut(4, 146), onCut(2, 208), onCut(-45, 186), onCut(-31, 110), onCut(-34, 0)},
		Stop: &[2][3]float64{onCut(4, 146), onCut(66, 152)}}
	c.Stretch = analysis.CutStretch{Needed: ref(0.62), Straight: ref(0.7), Without: 2.1, Allowed: 0.875}
	c.Tear = &analysis.Tear{NickMM: 9.4, StressMPa: 0.5}
	c.HalvesMM3 = &[2]float64{1.1e6, 1.3e6}
}

func fullBox(p *analysis.Plan) {
	p.Box.Board = "board-18"
	p.Box.Sheets = []analysis.Sheet{{SizeMM: [2]float64{1200, 600}, Pieces: []analysis.SheetPiece{
		{Name: "side", LengthMM: 168, WidthMM: 246}, {Name: "side", LengthMM: 168, WidthMM: 246, XMM: 171},
		{Name: "end", LengthMM: 84, WidthMM: 246, XMM: 342}, {Name: "end", LengthMM: 84, WidthMM: 246, XMM: 429},
		{Name: "base board", LengthMM: 248, WidthMM: 200, YMM: 249},
	}}}
	p.Box.Assembly = []string{"Mark the inside on the base board.", "Glue the part down first.", "Set the frame on its marks."}
	p.Box.Fillers = []analysis.Filler{
		{Kind: "fillet", FootMM: [][2]float64{{-66, -42}, {-36, -42}, {-66, -12}}, HeightMM: 180, VolumeMM3: 81e3},
		{Kind: "block", FootMM: [][2]float64{{36, 12}, {66, 12}, {66, 42}, {36, 42}}, HeightMM: 95, VolumeMM3: 85.5e3},
	}
	p.Box.Options = []analysis.BoxOption{
		{Shape: "rectangle", MassG: 2978, Cost: ref(89.3), Chosen: true}, {Shape: "tube", MassG: 3411, Cost: ref(102.3)}, {Shape: "faceted", MassG: 2544, Cost: ref(76.3)},
	}
	p.Box.Blanket = analysis.Blanket{ThicknessMM: [3]float64{6, 10, 13}, MassG: [3]float64{240, 431, 598}, Advised: true}
	bows := func(name string, low, high float64, verdict string) analysis.BowedWall {
		return analysis.BowedWall{Name: name, DeflectionMM: &analysis.Spread{Low: low, Likely: (low + high) / 2, High: high}, LinearMM: 9, ForceN: 152, Verdict: verdict}
	}
	p.Bow = analysis.Bow{
		Verdict:     "brace",
		Walls:       []analysis.BowedWall{bows("front", 1.2, 5.3, "brace"), bows("right end", 0.3, 0.9, "holds"), bows("back", 1.2, 5.3, "brace"), bows("left end", 0.3, 0.9, "holds")},
		LevelDropMM: &analysis.Spread{Low: 0.3, Likely: 0.8, High: 1.7},
		Bracing: &analysis.BraceTrial{Name: "two straps, pulled tight", HeightsMM: []float64{62, 164},
			DeflectionMM: &analysis.Spread{Low: 0.2, Likely: 0.5, High: 1.1}, Passes: true, Chosen: true},
	}
}

func fullHold(p *analysis.Plan) {
	p.Hold = analysis.Hold{
		PatternLowG: 29, PatternHighG: 517, PatternFrom: "not weighed", NetLiftN: 4.9, PatchMM2: 547, GlueAreaMM2: ref(312.0), Safety: 3,
		Kinds: []analysis.HoldKind{
			{Name: "epoxy", AreaMM2: ref(312.0), Holds: true, Chosen: true}, {Name: "screws from below", Pieces: 3, Holds: true},
			{Name: "hot glue", AreaMM2: ref(1900.0)}, {Name: "tape", AreaMM2: ref(14500.0)},
		},
		Pins: []analysis.Pin{{Panel: "side y1", XMM: 37, ZMM: 171, GapMM: 24, BearsN: 3}, {Panel: "end x0", XMM: 51, ZMM: 143, GapMM: 19, BearsN: 2}},
		Bar:  &analysis.Bar{AtMM: [3]float64{-10, 4, 214}, PushN: 19.6, WeightG: 1999}, SpillMM3: 2.643e6, SpillRule: "all rubber and a tenth more",
	}
}

func fullAir(p *analysis.Plan) {
	p.RubberTrap[0].Remedy = &analysis.Remedy{Way: "tilt", Text: "Tilt the box while rubber covers it."}
	p.CastTrap = append(p.CastTrap, analysis.Trap{AtMM: [3]float64{46, -2, 140}, VolumeMM3: 170, Vent: p.CastTrap[0].Vent}) // shares the first post
	p.Air = analysis.Air{LeastMM3: 50, LeastDepthMM: 0.5, Tilt: analysis.Tilts{
		Rubber: &analysis.Tilt{Deg: 8.4, Toward: [3]float64{1, 0, 0}, Side: []string{"x1"}, LiftMM: 19.3, BeforeMM3: 240, FreedMM3: 212, LeftMM3: 28, Frees: []int{0}},
		Cast: &analysis.Tilt{Deg: 12.3, Toward: [3]float64{0, -1, 0}, Side: []string{"x0", "y0"}, LiftMM: 33.4, BeforeMM3: 62, FreedMM3: 57, LeftMM3: 5,
			Frees: []int{2}, PlugOrder: []int{2, 1}},
	}}
}

func fullWall() analysis.Wall {
	w := analysis.Wall{
		MinMM: 7.2, MinAtMM: [3]float64{12, -34.8, 176}, FloorMM: ref(14.5), WebMM: ref(3.3), AreaMM2: 30000,
		FloppyMM: 10, FloppyMM2: 1800, WastedMM: 40, WastedMM2: 6900, CastLeastMM: 6, CastThinMM2: 210,
	}
	for i, area := range []float64{300, 1500, 5200, 9100, 4000, 3000, 0, 0} {
		w.Histogram = append(w.Histogram, analysis.WallBin{FromMM: float64(5 * i), ToMM: float64(5*i + 5), AreaMM2: area})
	}
	w.Histogram = append(w.Histogram, analysis.WallBin{FromMM: 40, ToMM: 63, AreaMM2: 6900})
	w.Webs = []analysis.Web{{AtMM: [3]float64{20, 1, 141}, ThicknessMM: 3.3, AreaMM2: 190, DepthMM: ref(13.0), Strain: ref(0.37)}}
	for i := range 6 {
		w.CastThin = append(w.CastThin, analysis.CastThin{AtMM: [3]float64{44, float64(i), 139}, ThicknessMM: 2.7, AreaMM2: 71 - float64(i)})
	}
	return w
}

// bare is full with everything unknown that a plan may leave unknown.
func bare() *analysis.Plan {
	p := full()
	p.Rubber.BulgeMM3, p.Rubber.TimeNeededS, p.Rubber.FilledBoxG, p.Rubber.Buy = nil, nil, nil, analysis.Buy{}
	for i := range p.Rubber.Batches {
		p.Rubber.Batches[i].AMM3, p.Rubber.Batches[i].BMM3 = nil, nil
	}
	p.Cast.ViscosityPS, p.Cast.WorkingS, p.Cast.AllowedS, p.Cast.FillS, p.Cast.Passes = nil, nil, nil, nil, nil
	p.Cast.Spout = analysis.CastSpout{DiameterMM: p.Cast.Spout.DiameterMM}
	p.Cut.Hinge, p.Cut.Stretch.Needed, p.Cut.Stretch.Straight, p.Cut.Tear, p.Cut.HalvesMM3 = nil, nil, nil, nil, nil
	p.Cast.AG, p.Cast.BG, p.Cast.Slush, p.Cast.CastsFromStock = nil, nil, nil, nil
	p.Rod = analysis.Rod{DiameterMM: 6, Entry: "none"}
	for i := range p.Cast.Necks {
		n := &p.Cast.Necks[i]
		n.FillS, n.Passes, n.After = nil, nil, nil
	}
	p.Stand.Criteria.Necks = nil
	for i := range p.Box.Options {
		p.Box.Options[i].Cost = nil
	}
	for i := range p.Bow.Walls {
		p.Bow.Walls[i].DeflectionMM, p.Bow.Walls[i].Verdict = nil, "unknown"
	}
	p.Bow.Verdict, p.Bow.LevelDropMM, p.Bow.Bracing = "unknown", nil, nil
	p.Hold.GlueAreaMM2, p.Hold.Bar, p.Hold.Pins = nil, nil, nil
	for i := range p.Hold.Kinds {
		p.Hold.Kinds[i].AreaMM2 = nil
	}
	for i := range p.RubberTrap {
		p.RubberTrap[i].Remedy = nil
	}
	for i := range p.CastTrap {
		p.CastTrap[i].Vent = nil
	}
	p.Air.Tilt = analysis.Tilts{}
	p.Wall.FloorMM, p.Wall.WebMM, p.Wall.Webs[0].Strain, p.Wall.Webs[0].DepthMM = nil, nil, nil, nil
	return p
}
