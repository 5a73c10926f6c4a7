package sheet

import (
	"math"

	"pourwright/analysis"
)

// bedded is full as a mold in two parts: the box lies with the back of the block up at
// the first pour, so that +x is on the left as seen from the spout end. All its figures
// are invented.
func bedded() *analysis.Plan {
	p := full()
	p.Cut = analysis.Cut{
		PointMM: [3]float64{-21, 3, 0}, Normal: [3]float64{0, 1, 0}, Style: "two-part", Surface: "plane", ThroughSpout: true, SquareDeg: 84.2,
		OutlineMM: 564, DetailCrossed: 0.08, UndercutMM3: [2]float64{2400, 3}, UndercutDepthMM: [2]float64{12.4, 0.2}, Searched: 162,
		Why: "It follows the ridge of the back and the middle of the beak.", Slit: analysis.Slit{Full: true, Because: ref("the mold is poured in two parts")},
	}
	for _, loop := range gullOutline() {
		for i := range loop {
			loop[i][1] = 3
		}
		p.Cut.Outline = append(p.Cut.Outline, loop)
	}
	p.Box.WallHeightMM, p.Box.FreeboardMM, p.Box.Fillers, p.Box.Options, p.Box.Sheets = 96, 12, nil, nil, nil
	p.Box.Panels = []analysis.Panel{{Name: "side", LengthMM: 270, WidthMM: 96, ThicknessMM: 18, Count: 2}, {Name: "end", LengthMM: 132, WidthMM: 96, ThicknessMM: 18, Count: 2},
		{Name: "base board", LengthMM: 350, WidthMM: 248, ThicknessMM: 18, Count: 1}}
	p.Box.Assembly = []string{"Set the frame on the base board.", "Fill it with clay to about 45 mm."}
	p.Hold = analysis.Hold{PatternLowG: 29, PatternHighG: 517, PatternFrom: "not weighed", NetLiftN: 1.32, SpillMM3: 2.643e6}
	p.Air.Tilt.Rubber = nil
	p.RubberTrap = []analysis.Trap{
		{AtMM: [3]float64{31, 10, 152}, VolumeMM3: 240, Part: 1, Remedy: &analysis.Remedy{Way: "brush", Text: "Brush rubber in under it first."}},
		{AtMM: [3]float64{31, -8, 100}, VolumeMM3: 90, Part: 2},
	}
	p.TwoPart = &analysis.TwoPart{
		InsideMM: [3]float64{234, 132, 84}, Rotation: [3][3]float64{{0, 0, 1}, {1, 0, 0}, {0, 1, 0}}, TranslationMM: [3]float64{-117, 0, 42},
		BedMM: 45, LowMM: 45, HighMM: 45, ClayMM3: 1.21e6, OffMM: 0.6, MostOffMM: 4.4, Keys: beddedKeys(), Parts: beddedParts(), Why: "it has more detail, and clay on the other side smears less",
		Locks: []analysis.Lock{
			{Side: -1, AtMM: [3]float64{-10, -9, 150}, VolumeMM3: 1200, DepthMM: 12.4, BesideMM: 30},
			{Side: 1, AtMM: [3]float64{20, 10, 140}, VolumeMM3: 530, DepthMM: 4.4, ReachMM: ref(2.2), BesideMM: 20, Gives: true},
		},
		Release: "petrolatum", ReleaseName: "petroleum jelly, thinned with mineral spirit", ReleaseNote: "Brush it thin: strokes print.",
		PeelFirst: 1, PeelWhy: "less of its rubber locks behind the prop", StretchAllowed: 0.875,
	}
	return p
}

func beddedKeys() []analysis.BedKey {
	half := math.Sqrt(0.5)
	return []analysis.BedKey{
		{AtMM: [3]float64{50, 3, 60}, Along: [3]float64{0, 0, 1}, FromSpoutMM: 60, FromRightMM: 116, LengthMM: 18, WidthMM: 12, DepthMM: 8},
		{AtMM: [3]float64{-52, 3, 120}, Along: [3]float64{1, 0, 0}, FromSpoutMM: 120, FromRightMM: 14, TurnDeg: 90, LengthMM: 15.3, WidthMM: 10.2, DepthMM: 6.8},
		{AtMM: [3]float64{40, 3, 200}, Along: [3]float64{half, 0, half}, FromSpoutMM: 200, FromRightMM: 106, TurnDeg: 45, LengthMM: 9, WidthMM: 6, DepthMM: 4},
	}
}

func beddedParts() [2]analysis.MoldPart {
	batch := func(a, level float64) analysis.Batch {
		return analysis.Batch{AG: a, BG: a / 10, TotalG: 1.1 * a, LevelMM: level}
	}
	mark := func(level, mm3 float64) analysis.Mark {
		return analysis.Mark{LevelMM: level, RubberMM3: mm3, MassG: mm3 * 1.18e-3}
	}
	return [2]analysis.MoldPart{
		{Side: 1, DepthMM: 39, LevelMM: 84, RubberMM3: 1.13e6, MassG: 1466, LowG: 1384, HighG: 1561, NetLiftN: 1.32, TimeNeededS: ref(1130.0),
			Batches: []analysis.Batch{batch(666, 66), batch(667, 84)}, Marks: []analysis.Mark{mark(50, 151e3), mark(75, 871e3), mark(84, 1.13e6)}},
		{Side: -1, DepthMM: 45, LevelMM: 84, RubberMM3: 1.27e6, MassG: 1641, LowG: 1552, HighG: 1733, NetLiftN: -0.2, TimeNeededS: ref(1190.0),
			Batches: []analysis.Batch{batch(1492, 84)}, Marks: []analysis.Mark{mark(60, 581e3), mark(84, 1.27e6)}},
	}
}

// wideBedded lies with its spout on a long side: the box is as wide as the block is high.
func wideBedded() *analysis.Plan {
	p := bedded()
	p.Box.InsideMM = [3]float64{132, 84, 110}
	t := p.TwoPart
	t.InsideMM, t.Rotation, t.TranslationMM = [3]float64{132, 110, 84}, [3][3]float64{{-1, 0, 0}, {0, 0, 1}, {0, 1, 0}}, [3]float64{0, -55, 42}
	t.Keys = t.Keys[:1]
	return p
}

// stepBedded has a bed that steps down by 10 mm, 80 to 100 mm from the spout end.
func stepBedded() *analysis.Plan {
	p := bedded()
	p.Cut.Surface, p.Cut.StepsAlong = "stepped", &[3]float64{0, 0, 1}
	p.Cut.Steps = []analysis.CutStep{{AtMM: 80}, {AtMM: 100, OffsetMM: -10}}
	p.TwoPart.LowMM, p.TwoPart.Line = 35, []analysis.BedPoint{{FromSpoutMM: 30, FromRightMM: 60, HeightMM: 45}, {FromSpoutMM: 170, FromRightMM: 80, HeightMM: 35}}
	return p
}

// shapeBedded has a bed that rises by a tenth of the way from the spout end, less in its
// first 50 mm, and so contours across the box.
func shapeBedded() *analysis.Plan {
	p := bedded()
	t := p.TwoPart
	p.Cut.Surface, t.HighMM = "shaped", 63.4
	for i := range 7 {
		z := 30 * float64(i+1)
		t.Line = append(t.Line, analysis.BedPoint{AtMM: [3]float64{0, 3 + shapeMM(z), z}, FromSpoutMM: z, FromRightMM: 66, HeightMM: 45 + shapeMM(z)})
	}
	for h := 50.0; h <= 60; h += 5 {
		line, z := analysis.CutLine{}, 50+(h-45)*10
		for x := -66.0; x <= 66; x += 2 {
			line.Points = append(line.Points, [3]float64{x, 3 + h - 45, z})
		}
		t.Contours = append(t.Contours, analysis.BedContour{HeightMM: h, Lines: []analysis.CutLine{line}})
	}
	return p
}

func shapeMM(z float64) float64 { return max(0, z-50) / 10 }
