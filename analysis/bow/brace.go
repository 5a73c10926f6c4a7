package bow

import (
	"context"
	"fmt"
	"math"
	"slices"

	"pourwright/analysis/finding"
	"pourwright/analysis/shelf"
)

// Bracing is one way to stiffen a box. The zero Bracing is none.
type Bracing struct {
	Name string
	// Board replaces the board of the walls.
	Board *shelf.Board
	// Backing lies against the outside of every wall, a second board or a layer
	// of plaster bandage, and carries its share. It is counted as not glued.
	Backing *shelf.Board
	// Rounds is how many straps or rows of battens go round the box; HeightsMM
	// are theirs, found by Box.Brace when there are none.
	Rounds    int
	HeightsMM []float64
	// What each round is made of: the pull in a strap, N, and the bending
	// stiffness of a batten, N·m².
	PullN, BattenNM2 shelf.Range
}

func (b Bracing) lines(l luck) []Line {
	lines := make([]Line, 0, len(b.HeightsMM))
	for _, z := range b.HeightsMM {
		lines = append(lines, Line{AtMM: z, PullN: l.more(b.PullN), BendNM2: l.more(b.BattenNM2)})
	}
	return lines
}

// plain tells whether a bracing is none.
func (b Bracing) plain() bool { return b.Board == nil && b.Backing == nil && len(b.HeightsMM) == 0 }

const mostRounds = 3

func (b Bracing) check() error {
	if b.Rounds < 0 || b.Rounds > mostRounds {
		return &InputError{fmt.Sprintf("%d rounds of bracing cannot be placed", b.Rounds), fmt.Sprintf("ask for %d at most", mostRounds)}
	}
	for _, r := range []shelf.Range{b.PullN, b.BattenNM2} {
		if (r != shelf.Range{}) && !ordered(r) {
			return &InputError{"the pull or the stiffness of " + b.Name + " is not a range", "give low, likely and high above zero, in this order"}
		}
	}
	if b.Backing != nil {
		if !Known(*b.Backing) {
			return &InputError{"the stiffness of " + b.Backing.Name + " is not known", "enter it on the shelf first"}
		}
		return checkBoard(*b.Backing)
	}
	return nil
}

// Trial is a box with one way of bracing.
type Trial struct {
	Bracing Bracing // with its heights
	Bow     BoxBow
	Passes  bool // every wall holds
}

// Search is what Box.Brace found.
type Search struct {
	Trials   []Trial // in the order of the options
	Cheapest int     // the first that passes, −1 for none
	Findings []finding.Finding
}

// Brace tries the options, which go from the cheapest to the dearest.
func (b Box) Brace(ctx context.Context, options []Bracing) (Search, error) {
	s := Search{Cheapest: -1}
	for i, option := range options {
		if err := ctx.Err(); err != nil {
			return Search{}, err
		}
		with := b
		with.Bracing = option
		if err := with.check(); err != nil {
			return Search{}, err
		}
		if option.Rounds > len(option.HeightsMM) && Known(with.board()) {
			heights, err := with.place(ctx)
			if err != nil {
				return Search{}, err
			}
			with.Bracing.HeightsMM = heights
		}
		r, err := with.Bow()
		if err != nil {
			return Search{}, err
		}
		t := Trial{Bracing: with.Bracing, Bow: r, Passes: r.Verdict == Holds}
		if t.Passes && s.Cheapest < 0 {
			s.Cheapest = i
		}
		s.Trials = append(s.Trials, t)
	}
	s.Findings = s.doubts()
	return s, nil
}

// Where rounds may go.
const (
	heightStepMM = 5   // on the drawing
	heightSteps  = 12  // about, over the wall, for a first look
	rimMM        = 10  // a strap nearer to the rim slips off
	apartPart    = 0.2 // of the height between two rounds, to spread what they do
)

// placing is enough functions to compare heights by.
var placing = count{8, 8}

// place finds the heights of the rounds: those that lower the work of the
// rubber on the likely box most, of all on a ladder of heights and then in
// small steps from there.
func (b Box) place(ctx context.Context) ([]float64, error) {
	step := heightStepMM * math.Ceil(b.HeightMM/heightSteps/heightStepMM)
	var ladder []float64
	for z := step; z <= b.HeightMM-rimMM; z += step {
		ladder = append(ladder, z)
	}
	all := choices(ladder, b.Bracing.Rounds, apartPart*b.HeightMM)
	if len(all) == 0 {
		return nil, &InputError{
			fmt.Sprintf("there is no room for %d rounds of bracing on a wall %v mm high", b.Bracing.Rounds, b.HeightMM),
			"ask for fewer",
		}
	}
	best, least := all[0], math.Inf(1)
	try := func(heights []float64) error {
		if err := ctx.Err(); err != nil {
			return err
		}
		work, err := b.work(heights)
		if err == nil && work < least*(1-1e-9) {
			best, least = heights, work
		}
		return err
	}
	for _, heights := range all {
		if err := try(heights); err != nil {
			return nil, err
		}
	}
	for before := math.Inf(1); least < before; {
		before = least
		for _, heights := range b.near(best) {
			if err := try(heights); err != nil {
				return nil, err
			}
		}
	}
	return best, nil
}

// near are the heights with one of them moved by a small step.
func (b Box) near(heights []float64) [][]float64 {
	var all [][]float64
	for i := range heights {
		for _, move := range [2]float64{-heightStepMM, heightStepMM} {
			moved := slices.Clone(heights)
			moved[i] += move
			if moved[0] > 0 && moved[len(moved)-1] <= b.HeightMM-rimMM && apart(moved, apartPart*b.HeightMM) {
				all = append(all, moved)
			}
		}
	}
	return all
}

func apart(heights []float64, least float64) bool {
	for i := range heights[1:] {
		if heights[i+1]-heights[i] < least {
			return false
		}
	}
	return true
}

// choices are all ways to pick n of the rungs, in order and at least so far
// apart.
func choices(ladder []float64, n int, apart float64) [][]float64 {
	if n == 0 {
		return [][]float64{nil}
	}
	var all [][]float64
	for i, z := range ladder {
		above := ladder[i+1:]
		for len(above) > 0 && above[0] < z+apart {
			above = above[1:]
		}
		for _, rest := range choices(above, n-1, apart) {
			all = append(all, append([]float64{z}, rest...))
		}
	}
	return all
}

// work is the likely work of the rubber on all walls with rounds at these
// heights.
func (b Box) work(heights []float64) (sum float64, err error) {
	b.Bracing.HeightsMM = heights
	done := map[float64]float64{}
	for i, side := range b.Walls {
		if _, ok := done[side.WidthMM]; !ok {
			w := b.wall(i, likely, b.LevelMM)
			if err := w.check(); err != nil {
				return 0, err
			}
			w = w.counted()
			s := newSystem(w, pouring(w), placing)
			if err := s.solve(); err != nil {
				return 0, err
			}
			done[side.WidthMM] = s.work()
		}
		sum += done[side.WidthMM]
	}
	return sum, nil
}
