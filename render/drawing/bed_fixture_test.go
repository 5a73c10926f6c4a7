package drawing

import (
	"math"

	"pourwright/analysis"
)

// buoyBed is the buoy's bell, a ball of 80 mm on a stem of 20 mm, in a mold of two
// parts: the bed lies 8 mm in front of the middle of the block, through the ball's and
// the stem's middle, and the back part is poured first. Of a wide block the spout is on
// a long side of the box; of a stepped bed the clay is 12 mm lower beyond the ball's
// shoulder. All figures are worked out here from ball and box, in the stand frame.
func buoyBed(wide, stepped bool) *analysis.Plan {
	p := buoy()
	in := [3]float64{120, 110, 212}
	rotation, shift := [3][3]float64{{0, 0, 1}, {1, 0, 0}, {0, 1, 0}}, [3]float64{-106, 0, 55}
	lying := [3]float64{212, 120, 110}
	if wide {
		in = [3]float64{212, 110, 150}
		rotation, shift, lying = [3][3]float64{{-1, 0, 0}, {0, 0, 1}, {0, 1, 0}}, [3]float64{0, -75, 55}, [3]float64{212, 150, 110}
	}
	p.Stand.SpoutMM, p.Stand.TranslationMM, p.Stand.StemMM = [3]float64{0, 0, 0}, [3]float64{5, -8, 20}, 20
	p.Box.InsideMM, p.Box.RubberLevelMM, p.Box.WallHeightMM, p.Box.FreeboardMM = in, in[2], 122, 12
	p.Box.OutlineMM = [][2]float64{{-in[0] / 2, -55}, {in[0] / 2, -55}, {in[0] / 2, 55}, {-in[0] / 2, 55}}
	p.Box.Panels = []analysis.Panel{
		{Name: "side", LengthMM: lying[0] + 36, WidthMM: 122, ThicknessMM: 18, Count: 2},
		{Name: "end", LengthMM: lying[1], WidthMM: 122, ThicknessMM: 18, Count: 2},
		{Name: "base board", LengthMM: lying[0] + 116, WidthMM: lying[1] + 116, ThicknessMM: 18, Count: 1}}
	p.Box.Sheets, p.Box.Fillers, p.Hold.Pins, p.Rubber.Marks, p.Rubber.Batches = nil, nil, nil, nil, nil
	p.Cut = bedCut(in, stepped)
	p.TwoPart = &analysis.TwoPart{InsideMM: lying, Rotation: rotation, TranslationMM: shift, BedMM: 47, ClayMM3: 1.1e6,
		LowMM: 47, HighMM: 47, Keys: bedKeys(in), Parts: bedParts(), Why: "it has more detail"}
	if stepped {
		p.TwoPart.LowMM = 35
		p.TwoPart.Line = lineOf(p)
	}
	p.CastTrap = []analysis.Trap{{Vent: &analysis.Vent{Post: 1, DiameterMM: 5, LengthMM: 55, BoardMM: [2]float64{-36, -3}, FromMM: [3]float64{-26, 0, 55}, ToMM: [3]float64{-36, -3, 0}}}}
	return p
}

// off is how far the bed is off its plane at a height of the block.
func off(z float64, stepped bool) float64 {
	if !stepped {
		return 0
	}
	return -12 * max(0, min(1, (z-80)/10))
}

func bedCut(in [3]float64, stepped bool) analysis.Cut {
	c := analysis.Cut{PointMM: [3]float64{5, -8, 20}, Normal: [3]float64{0, 1, 0}, Style: "two-part", Surface: "plane", SquareDeg: 84, Slit: analysis.Slit{Full: true}}
	at := func(x, z float64) [3]float64 { return [3]float64{x, -8 + off(z, stepped), z} }
	var right, left [][3]float64
	for k := range 161 {
		z := 20 + 80*float64(k)/160
		if d := 1600 - (z-60)*(z-60) - off(z, stepped)*off(z, stepped); d >= 0 {
			right, left = append(right, at(5+math.Sqrt(d), z)), append([][3]float64{at(5-math.Sqrt(d), z)}, left...)
		}
	}
	ball := append(right, left...)
	c.Outline, c.OutlineMM = [][][3]float64{ball}, lengthOf(append(append([][3]float64{}, ball...), ball[0]))
	heights := []float64{0, 80, 90, in[2]}
	if !stepped {
		heights = []float64{0, in[2]}
	} else {
		c.Surface, c.StepsAlong = "stepped", &[3]float64{0, 0, 1}
		c.Steps = []analysis.CutStep{{AtMM: 60}, {AtMM: 70, OffsetMM: -12}}
	}
	for _, z := range heights {
		c.Rim = append(c.Rim, at(in[0]/2, z))
	}
	for k := range heights {
		c.Rim = append(c.Rim, at(-in[0]/2, heights[len(heights)-1-k]))
	}
	return c
}

// bedKeys are keys beside the ball. Seen from the spout along the box the back is up, so
// +x is on the left.
func bedKeys(in [3]float64) []analysis.BedKey {
	key := func(x, z, turn, long float64) analysis.BedKey {
		sin, cos := math.Sincos(turn * math.Pi / 180)
		return analysis.BedKey{AtMM: [3]float64{x, -8, z}, Along: [3]float64{sin, 0, cos}, FromSpoutMM: z, FromRightMM: in[0]/2 + x, TurnDeg: turn,
			LengthMM: long, WidthMM: long / 1.5, DepthMM: long / 2.25}
	}
	return []analysis.BedKey{key(-45, 30, 20, 15.3), key(46, 28, 90, 9), key(48, 52, 0, 12), key(-47, 75, 135, 18)}
}

func bedParts() [2]analysis.MoldPart {
	first := analysis.MoldPart{Side: 1, DepthMM: 63, LevelMM: 110, RubberMM3: 1.3e6, MassG: 1700, NetLiftN: 1.4}
	second := analysis.MoldPart{Side: -1, DepthMM: 47, LevelMM: 110, RubberMM3: 1e6, MassG: 1320, NetLiftN: -0.3}
	for _, level := range []float64{50, 75, 100, 110} {
		first.Marks = append(first.Marks, analysis.Mark{LevelMM: level, RubberMM3: (level - 47) * 20000, MassG: (level - 47) * 23.6})
	}
	for _, level := range []float64{75, 100, 110} {
		second.Marks = append(second.Marks, analysis.Mark{LevelMM: level, RubberMM3: (level - 63) * 20000, MassG: (level - 63) * 23.6})
	}
	first.Batches = []analysis.Batch{{TotalG: 850, LevelMM: 79.4}, {TotalG: 850, LevelMM: 110}}
	second.Batches = []analysis.Batch{{TotalG: 1320, LevelMM: 110}}
	return [2]analysis.MoldPart{first, second}
}

// beds are plans of molds in two parts by name.
func beds() map[string]*analysis.Plan {
	return map[string]*analysis.Plan{"bed": buoyBed(false, false), "wide bed": buoyBed(true, false), "stepped bed": buoyBed(false, true), "wide stepped bed": buoyBed(true, true),
		"shaped bed": shapedBed(false), "wide shaped bed": shapedBed(true)}
}
