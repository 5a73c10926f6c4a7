package sheet

import (
	"bytes"
	"image"
	"image/color"
	"image/png"
	"math"
	"testing"

	"pourwright/analysis"
	"pourwright/analysis/finding"
)

func ref[T any](x T) *T { return &x }

// gull is a made-up plan of a made-up part: the gull-headed cane of the
// harbour master in a play set in a lighthouse. All its figures are invented.
func gull() *analysis.Plan {
	p := &analysis.Plan{
		Pourwright: "0.1.0",
		Name:       "gull-headed-cane",
		Scan: analysis.Scan{
			File: "gull-headed-cane.stl", Format: "STL binary", Triangles: 64210, Vertices: 32107,
			Units: "mm", UnitsFrom: "guessed", Scale: 1,
			TightestBoxMM: [3]float64{214.3, 88.4, 46.2}, VolumeMM3: 191.4e3, VolumeErrorMM3: 1.9e3,
			AreaMM2: 30120, Watertight: true, Shells: 1, As: "solid",
			Problems: []analysis.Problem{{Kind: "floater", Count: 1, Text: "One loose scrap of 12 triangles floats beside the part."}},
			Mends:    []analysis.Mend{{Kind: "weld", Count: 160523, Text: "Corners that coincide were joined."}},
		},
		Stand: analysis.Stand{
			Down: [3]float64{0, -1, 0}, SpoutMM: [3]float64{5, -107, 0}, SpoutDiameterMM: 26.4, ContactMM: 26.4,
			Rotation: [3][3]float64{{1, 0, 0}, {0, 0, -1}, {0, 1, 0}}, TranslationMM: [3]float64{-26, 3, 107},
			HeightMM: 214.3, Chosen: "search", Searched: 1532, Score: 0.83,
			Criteria: analysis.Criteria{Detail: 0.97, Spout: 0.86, CastAir: 0.71, RubberAir: 1, RubberMass: 0.64, Height: 0.42, Stability: 0.78},
			Why:      "The plain sawn end of the shaft takes the spout. Feathers and eye stay clear, and one low point under the beak needs a vent.",
		},
		Box: analysis.Box{
			Shape: "rectangle", InsideMM: [3]float64{132, 84, 234}, RubberLevelMM: 234, WallHeightMM: 246, FreeboardMM: 12,
			ClearanceMM: analysis.Sides{X0: 19, X1: 19, Y0: 16, Y1: 16, Cover: 20},
			GapMM:       analysis.Sides{X0: 21.4, X1: 19.3, Y0: 7.2, Y1: 17.8, Cover: 19.7},
			Thin:        []analysis.Thin{{Wall: "y0", GapMM: 7.2, AtMM: [3]float64{12, -34.8, 176}}},
			Panels: []analysis.Panel{
				{Name: "side", LengthMM: 168, WidthMM: 246, ThicknessMM: 18, Count: 2, Note: "Covers the edges of the ends."},
				{Name: "end", LengthMM: 84, WidthMM: 246, ThicknessMM: 18, Count: 2, Note: "Stands between the sides."},
				{Name: "base board", LengthMM: 248, WidthMM: 200, ThicknessMM: 18, Count: 1, Note: "Reaches 40 mm past the box all round."},
			},
		},
		Rubber: gullRubber(),
		CastTrap: []analysis.Trap{
			{AtMM: [3]float64{44, -2, 138}, VolumeMM3: 1830, PersistenceMM: 21,
				Vent: &analysis.Vent{FromMM: [3]float64{44, -2, 138}, ToMM: [3]float64{44, -2, 0}, DiameterMM: 5, Post: 1, LengthMM: 138,
					BoardMM: [2]float64{44, -2}, FromWalls: [2]analysis.FromMM{{Wall: "x1", MM: 22}, {Wall: "y0", MM: 40}}}},
			{AtMM: [3]float64{-38, 6, 171}, VolumeMM3: 410, PersistenceMM: 6,
				Vent: &analysis.Vent{FromMM: [3]float64{-38, 6, 171}, ToMM: [3]float64{-52, 20, 0}, DiameterMM: 5, Post: 2, LengthMM: 172.14,
					BoardMM: [2]float64{-52, 20}, FromWalls: [2]analysis.FromMM{{Wall: "x0", MM: 14}, {Wall: "y1", MM: 22}},
					SlantDeg: 6.6, LeanDeg: 315, LeanToward: []string{"x1", "y0"}, MovedMM: 4.2}},
			{AtMM: [3]float64{8, 3, 190}, VolumeMM3: 62, PersistenceMM: 2},
		},
		RubberTrap: []analysis.Trap{{AtMM: [3]float64{31, 0, 152}, VolumeMM3: 240, PersistenceMM: 4}},
		Cut: analysis.Cut{
			PointMM: [3]float64{-21, 3, 0}, Normal: [3]float64{0.0348994967, 0.9993908270, 0},
			OutlineMM: 564, AreaMM2: 24310, DetailCrossed: 0.08, UndercutMM3: [2]float64{2400, 3100}, Searched: 180,
			Why: "It follows the ridge of the back and the middle of the beak.", Outline: gullOutline(),
		},
		Cast:     analysis.Cast{Material: "foam", CavityMM3: 197.5e3},
		Findings: gullFindings(),
		Cautions: []string{
			"The product's safety data sheet and technical data sheet, local rules and licensed practice come before anything printed here.",
			"Wear nitrile gloves and eye protection, work with good ventilation, and keep the liquid parts off skin and out of eyes.",
			"Sanding and trimming casts makes harmful dust: extraction and a dust mask.",
		},
		Basis: []analysis.Basis{
			{Key: "scan.volume_mm3", From: "64210 triangles", Rule: "signed tetrahedra about the middle of the bounds, compensated sums"},
			{Key: "rubber.mass_g", From: "2403000 mm³ × 1.18 g/cm³, and 142 g allowance", Rule: "box less part, both up to the rubber level; 5 % spare (common practice, no source)"},
			{Key: "box.wall_height_mm", From: "rubber level 234.0 mm", Rule: "plus 12.0 mm freeboard (common practice, no source)"},
		},
	}
	p.Stand.Alternatives = gullAlternatives()
	return p
}

func gullRubber() analysis.Rubber {
	r := analysis.Rubber{
		Material: "tin-30", MaterialName: "tin-cure silicone, 30 A", DensityGPerCM3: 1.18,
		BoxVolumeMM3: 2594.6e3, DisplacedMM3: 191.6e3, NetMM3: 2403e3,
		AllowanceG: 142, AllowanceRule: "5 % of the rubber, at least 100 g (common practice, no source)",
		MassG: 2977.6, LowG: 2790, HighG: 3220, RuleG: 2929,
		RatioA: 10, RatioB: 1, PotLifeS: 2700, DemoldS: 86400, TimeNeededS: ref(1260.0),
		FilledBoxG: ref(5320.0), BlockG: 2835.5,
	}
	for _, level := range []float64{80, 158, 234} {
		r.Batches = append(r.Batches, analysis.Batch{AG: 902.3, BG: 90.23, TotalG: 992.53, LevelMM: level})
	}
	for _, m := range [][2]float64{{40, 421e3}, {80, 838e3}, {120, 1262e3}, {160, 1690e3}, {200, 2060e3}, {234, 2403e3}} {
		r.Marks = append(r.Marks, analysis.Mark{LevelMM: m[0], RubberMM3: m[1], MassG: m[1] * 1.18e-3})
	}
	return r
}

func gullFindings() []finding.Finding {
	return []finding.Finding{
		{Question: "scan", Level: finding.Warn, Text: "The file does not say its unit; taken as millimetres, which makes the part 214.3 mm long.",
			Action: "Measure the longest side, then give --longest."},
		{Question: "moldbox", Level: finding.Warn, Text: "The rubber is only 7.2 mm thick at the front wall.",
			Action: "Give more clearance there, or turn the part.", AtMM: &[3]float64{12, -34.8, 176}},
		{Question: "airtrap", Level: finding.Note, Text: "A small air trap above the eye has no room for a post.",
			Action: "Tilt and tap the mold while it fills.", AtMM: &[3]float64{8, 3, 190}},
	}
}

func gullAlternatives() []analysis.Alternative {
	c := analysis.Criteria{Detail: 0.52, Spout: 1, CastAir: 0.9, RubberAir: 0.6, RubberMass: 0.95, Height: 0.93, Stability: 0.9}
	var all []analysis.Alternative
	for i, why := range []string{
		"Lying on its back it needs least rubber, but the spout would come off the feathers.",
		"Lying on its left side the box is low, but the spout crosses the wing.",
		"Beak down the cast fills without a vent, but it stands badly and the tip is detail.",
		"Tilted by a third the beak frees its air, but the shaft needs a stem.",
	} {
		a := analysis.Alternative{Down: [3]float64{0.2 * float64(i), 0.1, -1}, SpoutDiameterMM: 30 - float64(i), HeightMM: 60 + 40*float64(i),
			Score: 0.79 - 0.04*float64(i), Criteria: c, Why: why}
		if i == 3 {
			a.StemMM = 20
		}
		all = append(all, a)
	}
	return all
}

// gullOutline is a shaft, a thin neck and a head with a beak, in the cut.
func gullOutline() [][][3]float64 {
	profile := [][2]float64{{-34, 0}, {-8, 0}, {-9, 60}, {-10, 110}, {-6, 132}, {4, 146}, {22, 150}, {40, 139}, {46, 140},
		{44, 152}, {30, 172}, {18, 194}, {2, 208}, {-16, 214}, {-34, 206}, {-45, 186}, {-42, 166}, {-30, 150}, {-26, 132}, {-31, 110}, {-33, 60}}
	along := [3]float64{0.9993908270, -0.0348994967, 0}
	var loop [][3]float64
	for i, a := range profile {
		b := profile[(i+1)%len(profile)]
		for k := range 8 {
			t := float64(k) / 8
			u, z := a[0]+t*(b[0]-a[0])+21, a[1]+t*(b[1]-a[1])
			loop = append(loop, [3]float64{-21 + u*along[0], 3 + u*along[1], math.Max(z, 0)})
		}
	}
	return [][][3]float64{loop}
}

// picture is a small picture to embed.
func picture(t testing.TB) []byte {
	t.Helper()
	m := image.NewRGBA(image.Rect(0, 0, 160, 120))
	for y := range 120 {
		for x := range 160 {
			m.Set(x, y, color.RGBA{0xF6, 0xF3, 0xEC, 0xFF})
			if x > 40 && x < 120 && y > 20 && y < 105 {
				m.Set(x, y, color.RGBA{0x7F, 0xB7, 0xA6, 0xFF})
			}
			if x > 66 && x < 92 && y > 40 {
				m.Set(x, y, color.RGBA{0xB9, 0x8B, 0x5E, 0xFF})
			}
		}
	}
	var out bytes.Buffer
	if err := png.Encode(&out, m); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}
