package analysis

import (
	"fmt"
	"math"
	"pourwright/analysis/finding"
	"pourwright/analysis/moldbox"
	"pourwright/analysis/shelf"
	"pourwright/mesh"

	"gonum.org/v1/gonum/spatial/r3"
)

// fitBox fits the box and turns everything into its frame.
func (j *job) fitBox() error {
	points := j.hullPoints()
	j.outline = points
	r, err := j.boxFor(points, j.boxInput())
	if err != nil {
		return err
	}
	if j.choices.HaveG > 0 {
		if r, err = j.boxForRubber(points); err != nil {
			return err
		}
	}
	turn := r.Pose()
	j.turn = turn
	j.pose = j.pose.Then(turn)
	j.posed = j.solid.Posed(j.pose)
	j.plan.Stand.Rotation, j.plan.Stand.TranslationMM = rows(j.pose), array(j.pose.T)
	j.floor = r.Floor
	j.plan.Box, j.clearanceRule = describeBox(r), r.ClearanceRule
	j.plan.Box.Board = j.board.Key
	j.plan.Findings = append(j.plan.Findings, r.Findings...)
	j.plan.Cut = j.describeCut(turn)
	j.standDoubts()
	if c := j.choices; c.twoPart() {
		r = j.layOnSide(r)
	}
	return j.cutSheets(r)
}

func (j *job) boxInput() moldbox.Input {
	c := j.choices
	in := moldbox.Input{
		ClearanceMM: c.ClearanceMM, CutClearanceMM: c.CutClearanceMM, CoverMM: c.CoverMM, FreeboardMM: c.FreeboardMM,
		LongestMM: j.plan.Scan.TightestBoxMM[0], CutPoint: j.parting.Point, CutNormal: j.parting.Normal,
		Square: c.twoPart(), Shape: c.Shape, Facets: c.Facets, Board: j.board, Base: j.base, Inches: c.Show == "in",
	}
	for _, wall := range []struct {
		to *(*float64)
		mm float64
	}{{&in.Walls.X0, c.WallClearanceMM.Left}, {&in.Walls.X1, c.WallClearanceMM.Right}, {&in.Walls.Y0, c.WallClearanceMM.Front}, {&in.Walls.Y1, c.WallClearanceMM.Back}} {
		if wall.mm != 0 {
			*wall.to = &wall.mm
		}
	}
	return in
}

// boxFor fits a box to be built, or finds the best place in one that is owned.
func (j *job) boxFor(points []r3.Vec, in moldbox.Input) (moldbox.Result, error) {
	if j.choices.InsideMM != nil {
		return moldbox.FitInside(points, *j.choices.InsideMM, in)
	}
	return moldbox.Fit(points, in)
}

// Clearances that are tried for the rubber on hand: from half the usual one, but
// no thinner than rubber that holds together, to as much as is ever of use
// (common practice, no source).
const (
	thinnestMM = 6
	thickestMM = 50
	haveStepMM = 0.5
)

// boxForRubber fits the box with the largest clearance all round for which the
// rubber on hand is enough on the safe side, or says how much is missing.
func (j *job) boxForRubber(points []r3.Vec) (moldbox.Result, error) {
	c := j.choices
	if c.ClearanceMM != nil || c.InsideMM != nil || c.WallClearanceMM != (WallClearance{}) {
		return moldbox.Result{}, &Refusal{"the box cannot follow both the rubber on hand and a given clearance or box", "Give --have alone, or leave it out."}
	}
	in := j.boxInput()
	try := func(clearance float64) (moldbox.Result, float64, error) {
		in.ClearanceMM = &clearance
		if c.CutClearanceMM == nil && clearance < moldbox.LeastCutClearanceMM {
			// Keys want their room, but not more than the rubber there is.
			in.CutClearanceMM = &clearance
		} else {
			in.CutClearanceMM = c.CutClearanceMM
		}
		r, err := moldbox.Fit(points, in)
		if err != nil {
			return r, 0, err
		}
		m, err := j.roughMix(r)
		return r, m.HighG, err
	}
	least := max(thinnestMM, moldbox.DefaultClearanceMM(in.LongestMM)/2)
	best, need, err := try(least)
	if err != nil {
		return best, err
	}
	if need > c.HaveG {
		j.find(finding.Finding{Question: "moldbox", Level: finding.Stop,
			Text:   fmt.Sprintf("%.0f g of rubber are about %.0f g too little, even with only %g mm of it beside the part.", c.HaveG, need-c.HaveG, least),
			Action: "Buy more, lay the part another way, fill corners with --fillers, or make a brushed skin in a jacket instead."})
		j.haveClearance = &least
		best.ClearanceRule = fmt.Sprintf("%g mm, the least that holds together, since the rubber on hand is not enough", least)
		return best, nil
	}
	lo, hi := 0, int((thickestMM-least)/haveStepMM)
	for lo < hi {
		mid := (lo + hi + 1) / 2
		r, need, err := try(least + float64(mid)*haveStepMM)
		if err != nil {
			return r, err
		}
		if need <= c.HaveG {
			lo, best = mid, r
		} else {
			hi = mid - 1
		}
	}
	clearance := least + float64(lo)*haveStepMM
	j.haveClearance = &clearance
	best.ClearanceRule = fmt.Sprintf("%g mm: the most for which %.0f g of rubber are enough on the safe side", clearance, c.HaveG)
	return best, nil
}

// cutSheets lays the boards on sheets of the board they are cut from.
func (j *job) cutSheets(r moldbox.Result) error {
	j.plan.Box.Sheets, j.plan.Box.Assembly = []Sheet{}, moldbox.Assembly(r)
	if r.Owned {
		j.plan.Box.Assembly = []string{}
		return nil
	}
	for _, board := range []shelf.Board{j.board, j.base} {
		if board.Key == j.base.Key && j.base.Key == j.board.Key && len(j.plan.Box.Sheets) > 0 {
			break // one board for all
		}
		j.cutFrom(board, r.Panels)
	}
	return nil
}

// cutFrom lays the pieces of one board on its sheets.
func (j *job) cutFrom(board shelf.Board, panels []moldbox.Panel) {
	var pieces []moldbox.Piece
	for _, p := range panels {
		for range p.Count {
			if p.Board == board.Key {
				pieces = append(pieces, moldbox.Piece{Name: p.Name, LengthMM: p.LengthMM, WidthMM: p.WidthMM})
			}
		}
	}
	if board.SheetMM[0] == 0 || len(pieces) == 0 {
		return
	}
	// Boards with a grain keep it along the walls.
	grain := board.YoungUpPa != shelf.Range{} || board.BendUpNM != shelf.Range{}
	sheets, tooLarge := moldbox.Sheets(pieces, board.SheetMM, board.KerfMM, !grain)
	for _, placed := range sheets {
		sheet := Sheet{Board: board.Key, SizeMM: board.SheetMM, Pieces: []SheetPiece{}}
		for _, p := range placed {
			sheet.Pieces = append(sheet.Pieces, SheetPiece{p.Name, p.LengthMM, p.WidthMM, p.XMM, p.YMM, p.Turned})
		}
		j.plan.Box.Sheets = append(j.plan.Box.Sheets, sheet)
	}
	for _, p := range tooLarge {
		j.find(finding.Finding{Question: "moldbox", Level: finding.Warn,
			Text:   fmt.Sprintf("The %s of %.0f × %.0f mm is larger than a sheet of %s.", p.Name, p.LengthMM, p.WidthMM, board.Name),
			Action: "Join it from two with a batten behind the seam, or take another board."})
	}
}

// hullPoints returns the corners of the pattern's convex hull, and the stem's
// rim, in the frame of posed.
func (j *job) hullPoints() []r3.Vec {
	points := j.posed.Vertices
	if hull, err := mesh.Hull(points); err == nil {
		points = hull.Vertices
	}
	if j.plan.Stand.StemMM > 0 {
		r := j.plan.Stand.SpoutDiameterMM / 2
		for k := range 64 {
			sin, cos := math.Sincos(2 * math.Pi * float64(k) / 64)
			points = append(points, r3.Vec{X: r * cos, Y: r * sin})
		}
	}
	return points
}

func describeBox(r moldbox.Result) Box {
	b := Box{
		Shape: r.Floor.Shape, Owned: r.Owned, OutlineMM: [][2]float64{}, FloorMM2: r.Floor.AreaMM2(), InsideMM: r.InsideMM, RubberLevelMM: r.RubberLevelMM,
		WallHeightMM: r.WallHeightMM, FreeboardMM: r.FreeboardMM,
		ClearanceMM: sidesOf(r.AskedMM, r.Floor), GapMM: sidesOf(r.GapMM, r.Floor), Thin: []Thin{}, Panels: []Panel{},
	}
	for _, c := range r.Floor.Outline {
		b.OutlineMM = append(b.OutlineMM, [2]float64{c.X, c.Y})
	}
	if r.Floor.RadiusMM > 0 {
		b.RadiusMM = &r.Floor.RadiusMM
	}
	for _, t := range r.Thin {
		b.Thin = append(b.Thin, Thin{Wall: t.Wall, GapMM: t.GapMM, AtMM: t.AtMM})
	}
	for _, p := range r.Panels {
		b.Panels = append(b.Panels, Panel{Name: p.Name, LengthMM: p.LengthMM, WidthMM: p.WidthMM,
			ThicknessMM: p.ThicknessMM, Board: p.Board, Count: p.Count, ScoresMM: p.ScoresMM, Note: p.Note})
	}
	return b
}

// sidesOf gives the figures of a box with the keys of the plan.
func sidesOf(s moldbox.Sides, floor moldbox.Floor) Sides {
	if floor.Shape == moldbox.Rectangle {
		return Sides{X0: s.X0, X1: s.X1, Y0: s.Y0, Y1: s.Y1, Cover: s.Cover}
	}
	return Sides{X0: s.Radial, X1: s.Radial, Y0: s.Radial, Y1: s.Radial, Cover: s.Cover, Radial: &s.Radial}
}
