package drawing

import (
	"maps"
	"math"

	"pourwright/analysis"
)

func ref[T any](x T) *T { return &x }

// buoy is a made-up plan of a made-up part: the bell of a harbour buoy. All its
// figures are invented, but for panels that follow from the box.
func buoy() *analysis.Plan {
	p := &analysis.Plan{Name: "bell-buoy"}
	p.Stand = analysis.Stand{SpoutMM: [3]float64{10, 0, 0}, SpoutDiameterMM: 30,
		Rotation: [3][3]float64{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}, TranslationMM: [3]float64{-30, 12, 0}}
	p.Box = analysis.Box{Shape: "rectangle", InsideMM: [3]float64{212, 134, 150}, RubberLevelMM: 150, WallHeightMM: 162,
		OutlineMM: [][2]float64{{-106, -67}, {106, -67}, {106, 67}, {-106, 67}},
		Panels: []analysis.Panel{
			{Name: "side", LengthMM: 248, WidthMM: 162, ThicknessMM: 18, Count: 2, ScoresMM: []float64{}, Note: "Covers the edges of the ends."},
			{Name: "end", LengthMM: 134, WidthMM: 162, ThicknessMM: 18, Count: 2, ScoresMM: []float64{}, Note: "Stands between the sides."},
			{Name: "base board", LengthMM: 328, WidthMM: 250, ThicknessMM: 18, Count: 1, ScoresMM: []float64{}},
		},
		Sheets: []analysis.Sheet{{SizeMM: [2]float64{1220, 610}, Pieces: []analysis.SheetPiece{
			{Name: "base board", LengthMM: 328, WidthMM: 250},
			{Name: "side", LengthMM: 248, WidthMM: 162, XMM: 331},
			{Name: "side", LengthMM: 248, WidthMM: 162, XMM: 331, YMM: 165},
			{Name: "end", LengthMM: 134, WidthMM: 162, XMM: 582, Turned: true},
			{Name: "end", LengthMM: 134, WidthMM: 162, XMM: 582, YMM: 137, Turned: true},
		}}},
		Fillers: []analysis.Filler{{Kind: "fillet", FootMM: [][2]float64{{-106, -67}, {-66, -67}, {-106, -27}}, HeightMM: 150},
			{Kind: "block", FootMM: [][2]float64{{60, 20}, {100, 20}, {100, 60}, {60, 60}}, HeightMM: 80}},
	}
	p.Hold.Pins = []analysis.Pin{{Panel: "side y0", XMM: 98, ZMM: 77}, {Panel: "side y1", XMM: 140, ZMM: 64}, {Panel: "side y1", XMM: 200, ZMM: 64}}
	p.Rubber = buoyRubber()
	p.Cut = analysis.Cut{PointMM: [3]float64{-20, 12, 0}, Normal: [3]float64{-0.6, 0.8, 0}}
	p.CastTrap = []analysis.Trap{
		{Vent: &analysis.Vent{Post: 2, DiameterMM: 5, LengthMM: 71, BoardMM: [2]float64{44, 30}, SlantDeg: 12, LeanDeg: 210, LeanToward: []string{"x0", "y0"}}},
		{Vent: &analysis.Vent{Post: 1, DiameterMM: 4, LengthMM: 40, BoardMM: [2]float64{40, -22}}},
		{Vent: &analysis.Vent{Post: 2, DiameterMM: 5, LengthMM: 71, BoardMM: [2]float64{44, 30}}},
		{},
	}
	return p
}

func buoyRubber() analysis.Rubber {
	r := analysis.Rubber{MaterialName: "tin-cure silicone, 30 A"}
	for _, level := range []float64{25, 50, 75, 100, 125, 150} {
		r.Marks = append(r.Marks, analysis.Mark{LevelMM: level, RubberMM3: level * 26000, MassG: level * 30.7})
	}
	for _, level := range []float64{51.3, 101.7, 150} {
		r.Batches = append(r.Batches, analysis.Batch{LevelMM: level})
	}
	return r
}

// faceted is the same part in a box bent from a strip: a regular octagon about
// the middle, 160 mm across its corners.
func faceted() *analysis.Plan {
	p := buoy()
	p.Box.Shape, p.Box.Fillers, p.Box.OutlineMM = "faceted", nil, nil
	p.Hold.Pins = []analysis.Pin{{Panel: "wrap", XMM: 200, ZMM: 77}}
	side := 2 * 80 * math.Sin(math.Pi/8)
	wrap := analysis.Panel{Name: "wrap", LengthMM: math.Ceil(8*side + 30), WidthMM: 162, ThicknessMM: 4, Count: 1, Note: "Score the outside at each mark."}
	for k := range 8 {
		sin, cos := math.Sincos(2*math.Pi*float64(k)/8 - 2)
		p.Box.OutlineMM = append(p.Box.OutlineMM, [2]float64{80 * cos, 80 * sin})
		wrap.ScoresMM = append(wrap.ScoresMM, side*float64(k+1))
	}
	b := bounds(planPoints(p.Box.OutlineMM))
	p.Box.InsideMM[0], p.Box.InsideMM[1] = b.Max.X-b.Min.X, b.Max.Y-b.Min.Y
	p.Box.Panels = []analysis.Panel{wrap, {Name: "base board", LengthMM: 248, WidthMM: 248, ThicknessMM: 4, Count: 1}}
	p.Box.Sheets = nil
	return p
}

// tube is the same part in a round box.
func tube() *analysis.Plan {
	p := buoy()
	p.Box.Shape, p.Box.OutlineMM, p.Box.Fillers, p.Box.RadiusMM = "tube", nil, nil, ref(95.5)
	p.Hold.Pins = nil
	p.Box.InsideMM[0], p.Box.InsideMM[1] = 191, 191
	p.Box.Panels = []analysis.Panel{
		{Name: "tube", LengthMM: math.Ceil(math.Pi*(191+3) + 30), WidthMM: 162, ThicknessMM: 3, Count: 1},
		{Name: "base board", LengthMM: 277, WidthMM: 277, ThicknessMM: 3, Count: 1}}
	p.Box.Sheets = nil
	return p
}

// owned is the same part in a box that the maker has.
func owned() *analysis.Plan {
	p := buoy()
	p.Box.Owned, p.Box.Panels, p.Box.Sheets, p.Box.Fillers, p.Hold.Pins = true, nil, nil, nil, nil
	return p
}

// low is a plan of a part that is hardly there, whose marks crowd each other.
func low() *analysis.Plan {
	p := buoy()
	p.Box.RubberLevelMM, p.Box.WallHeightMM, p.Box.InsideMM[2] = 18, 18, 18
	p.Rubber.Marks, p.Rubber.Batches = nil, []analysis.Batch{{LevelMM: 9.2}, {LevelMM: 18}}
	for level := 2.0; level <= 18; level += 2 {
		p.Rubber.Marks = append(p.Rubber.Marks, analysis.Mark{LevelMM: level, RubberMM3: level * 26000, MassG: level * 30.7})
	}
	return p
}

// everyStyle are the plans of both styles.
func everyStyle() map[string]*analysis.Plan {
	all := invented()
	maps.Copy(all, beds())
	return all
}

// invented are the plans above by name.
func invented() map[string]*analysis.Plan {
	all := bells()
	maps.Copy(all, map[string]*analysis.Plan{"rectangle": buoy(), "faceted": faceted(), "tube": tube(), "owned": owned(), "low": low()})
	return all
}
