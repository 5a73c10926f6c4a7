package analysis

import (
	"pourwright/analysis/bow"
	"pourwright/analysis/finding"
	"pourwright/analysis/shelf"
)

// bowWalls works out how the walls bow under the rubber, and what holds them.
func (j *job) bowWalls() error {
	j.plan.Bow = Bow{Verdict: bow.Unknown, Why: "nobody has said what your box is made of", Walls: []BowedWall{}, Trials: []BraceTrial{}}
	b := j.plan.Box
	switch {
	case b.Owned:
		j.find(finding.Finding{Question: "bow", Level: finding.Note,
			Text:   "How far the walls of your own box bow is not known.",
			Action: "Fill it with water to the rubber's level first, where nothing is porous, and brace what moves."})
		return nil
	case b.RadiusMM != nil:
		j.plan.Bow.Verdict = bow.Holds
		j.plan.Bow.Why = "a round wall carries the rubber by its pull along the sheet and does not bow; its lap and its foot must hold"
		return nil
	}
	box := j.bowBox()
	r, err := box.Bow()
	if err != nil {
		return err
	}
	j.plan.Bow = describeBow(r)
	if r.BulgeMM3 != nil {
		j.bulge = *r.BulgeMM3
	}
	if r.Verdict == bow.Brace {
		if err := j.brace(box); err != nil {
			return err
		}
	}
	for _, f := range r.Findings {
		// With its bracing the level no longer falls so far.
		if f.Level != finding.Note || j.plan.Bow.Bracing == nil {
			j.find(f)
		}
	}
	return nil
}

// bowBox is the box as its walls are bent.
func (j *job) bowBox() bow.Box {
	b := j.plan.Box
	floor, level := j.floor, b.RubberLevelMM
	if j.onSide != nil {
		// As if rubber stood from the board to the top: clay, or the first part, is
		// below it, and pushes less.
		floor, level = j.onSide.Floor, j.onSide.RubberLevelMM
	}
	box := bow.Box{
		HeightMM: b.WallHeightMM, LevelMM: level, DensityGPerCM3: j.rubber.DensityGPerCM3, Board: j.board,
		Corners: bow.Blocked, Foot: bow.Blocked,
		// The rubber stands over the pattern: all of the floor is open at the level.
		FreeAreaMM2: floor.AreaMM2(),
	}
	if j.board.Scores {
		box.Corners, box.Foot = bow.Taped, bow.Taped
	}
	for _, w := range floor.Walls() {
		if w.LengthMM()*bow.MostSlender < b.WallHeightMM {
			continue // a strip as narrow as this does not bow
		}
		box.Walls = append(box.Walls, bow.Side{Name: wallName(w.Name), WidthMM: w.LengthMM()})
	}
	return box
}

// wallName is what a maker calls a wall of a rectangle, as on the sheet.
func wallName(wall string) string {
	if name, known := map[string]string{"x0": "left end", "x1": "right end", "y0": "front", "y1": "back"}[wall]; known {
		return name
	}
	return wall
}

// brace tries the bracing on the shelf and goes on with the cheapest that holds.
func (j *job) brace(box bow.Box) error {
	s, err := box.Brace(j.ctx, bow.Usual(j.board, j.shelf.Boards(), j.shelf.Braces()))
	if err != nil {
		return err
	}
	j.plan.Findings = append(j.plan.Findings, s.Findings...)
	for i, t := range s.Trials {
		trial := BraceTrial{Name: t.Bracing.Name, HeightsMM: append([]float64{}, t.Bracing.HeightsMM...), Passes: t.Passes, Chosen: i == s.Cheapest}
		trial.BulgeMM3, trial.DeflectionMM = spreadOrNil(t.Bow.BulgeMM3), mostBow(t.Bow)
		j.plan.Bow.Trials = append(j.plan.Bow.Trials, trial)
		if trial.Chosen {
			j.plan.Bow.Bracing, j.bracing = &trial, t.Bracing
			j.bulge = shelf.Range{}
			if t.Bow.BulgeMM3 != nil {
				j.bulge = *t.Bow.BulgeMM3
			}
			j.plan.Bow.LevelDropMM = spreadOrNil(t.Bow.LevelDropMM)
		}
	}
	return nil
}

// mostBow is the bow of the wall that bows most at worst; nil where the number
// means nothing.
func mostBow(r bow.BoxBow) *Spread {
	var most *Spread
	for _, w := range r.Walls {
		if w.DeflectionMM.Likely > w.LinearMM {
			return nil
		}
		if most == nil || w.DeflectionMM.High > most.High {
			most = spreadOf(w.DeflectionMM)
		}
	}
	return most
}

func describeBow(r bow.BoxBow) Bow {
	b := Bow{Verdict: r.Verdict, Why: weakest(r), Walls: []BowedWall{}, Trials: []BraceTrial{}, LevelDropMM: spreadOrNil(r.LevelDropMM)}
	for _, w := range r.Walls {
		wall := BowedWall{
			Name: w.Name, LinearMM: w.LinearMM, ForceN: w.ForceN, Verdict: w.Verdict, Why: w.Why,
			CornerN: spreadOf(w.CornerN), FootN: spreadOf(w.FootN), Safety: spreadOrNil(w.Safety),
		}
		if w.Verdict != bow.Unknown && w.DeflectionMM.Likely <= w.LinearMM {
			wall.DeflectionMM, wall.BulgeMM3 = spreadOf(w.DeflectionMM), spreadOf(w.BulgeMM3)
		}
		b.Walls = append(b.Walls, wall)
	}
	return b
}

// weakest says of the wall that decides why the verdict is what it is.
func weakest(r bow.BoxBow) string {
	at := 0
	for i, w := range r.Walls {
		if w.Verdict == r.Verdict && (r.Walls[at].Verdict != r.Verdict || w.DeflectionMM.High > r.Walls[at].DeflectionMM.High) {
			at = i
		}
	}
	return "the " + r.Walls[at].Name + " wall decides: " + r.Walls[at].Why
}

func spreadOrNil(r *shelf.Range) *Spread {
	if r == nil {
		return nil
	}
	return &Spread{Low: r.Low, Likely: r.Likely, High: r.High}
}
