package bow

import (
	"fmt"
	"math"

	"pourwright/analysis/finding"
	"pourwright/analysis/shelf"
)

// Joint says how two boards meet.
type Joint int

// The kinds of joint.
const (
	// Taped: tape, hot glue or clay keeps the boards together and lets them turn.
	Taped Joint = iota
	// Blocked: screws, or glue with blocks in the corner. It gives a little, so
	// the edge counts from supported to clamped, likely as held by the
	// neighbouring board.
	Blocked
)

// Side is one wall of a box.
type Side struct {
	Name    string
	WidthMM float64 // inside
}

// Rectangle returns the walls of a rectangular box in order round it: y0 and
// y1 along the length, x0 and x1 along the width.
func Rectangle(lengthMM, widthMM float64) []Side {
	return []Side{{"y0", lengthMM}, {"x1", widthMM}, {"y1", lengthMM}, {"x0", widthMM}}
}

// Box is an open box of flat walls with rubber in it.
type Box struct {
	Walls             []Side // in order round it, three at least
	HeightMM, LevelMM float64
	DensityGPerCM3    shelf.Range
	Board             shelf.Board
	Corners, Foot     Joint
	PushPa            *shelf.Range // instead of a liquid: what presses everywhere up to the level
	FreeAreaMM2       float64      // open area at the level: of the box less that of the pattern
	Bracing           Bracing
}

// BoxBow is how a box bows. Low, likely and high of every range are three
// whole computations, see RangeRule.
type BoxBow struct {
	Walls []WallBow // as in Box.Walls
	// BulgeMM3 is the rubber that bowing walls take up while the level is kept;
	// LevelDropMM is how far the level falls when nothing is poured after. Both
	// nil: the stiffness is not known, or a wall likely leaves the linear range,
	// so that only the box with its bracing has such figures.
	BulgeMM3, LevelDropMM *shelf.Range
	Verdict               string // that of the worst wall
	Findings              []finding.Finding
}

// WallBow is how one wall of a box bows.
type WallBow struct {
	Name string
	// Deflection and bulge; a deflection over LinearMM, and the bulge with it, is
	// only a sign to brace, its number means nothing.
	DeflectionMM shelf.Range
	LinearMM     float64
	BulgeMM3     shelf.Range
	ForceN       float64      // likely
	CornerN      shelf.Range  // that each corner joint holds back
	FootN        shelf.Range  // that the joint with the base board holds back
	Safety       *shelf.Range // strength over stress, low the worst; nil: not known
	Verdict      string
	Why          string // one sentence
	Likely       *Bent  // the likely case before creep, for pictures; nil: not known
}

// The verdicts.
const (
	Holds   = "holds"
	Brace   = "brace"
	Unknown = "unknown" // the stiffness of the board is not known
)

// What a wall must keep to. Basis: common practice, no source. A bow of 1.5 mm
// is hardly seen on a block and costs little rubber; half the thickness is
// where the theory of thin plates ends; twice the strength covers flaws,
// screw holes and knocks.
const (
	MostBowMM   = 1.5
	MostBowPart = 0.5 // of the thickness
	LeastSafety = 2
)

// RangeRule tells how low and high came about.
const RangeRule = "low: stiff end of the board's figures, corners that cannot turn where they are blocked, light rubber, little creep; " +
	"high: the other end of each at once"

// Bow answers for a box.
func (b Box) Bow() (BoxBow, error) {
	if err := b.check(); err != nil {
		return BoxBow{}, err
	}
	if !Known(b.board()) {
		return b.unknown(), nil
	}
	var bents [3][]Bent
	for _, l := range lucks {
		var err error
		if bents[l], err = b.bend(l, b.LevelMM); err != nil {
			return BoxBow{}, err
		}
	}
	r := BoxBow{Verdict: Holds}
	linear := b.PushPa == nil // what presses evenly has no level that falls
	for i, side := range b.Walls {
		w := b.wallBow(side, [3]Bent{bents[lucky][i], bents[likely][i], bents[unlucky][i]})
		if w.Verdict == Brace {
			r.Verdict = Brace
		}
		linear = linear && w.DeflectionMM.Likely < w.LinearMM
		r.Walls = append(r.Walls, w)
	}
	if linear {
		if err := b.volumes(&r, bents); err != nil {
			return BoxBow{}, err
		}
	}
	r.Findings = b.doubts(r)
	return r, nil
}

// volumes sets the bulge and the drop of the level.
func (b Box) volumes(r *BoxBow, bents [3][]Bent) error {
	var bulge, drop [3]float64
	for _, l := range lucks {
		bulge[l] = b.bulge(l, bents[l])
		var err error
		if drop[l], err = b.levelDrop(l, bulge[l]); err != nil {
			return err
		}
	}
	all, fall := rangeOf(bulge), rangeOf(drop)
	r.BulgeMM3, r.LevelDropMM = &all, &fall
	return nil
}

// rangeOf sorts three cases, which need not be in order for what is not a bow.
func rangeOf(v [3]float64) shelf.Range {
	return shelf.Range{
		Low:    math.Min(v[0], math.Min(v[1], v[2])),
		Likely: v[1],
		High:   math.Max(v[0], math.Max(v[1], v[2])),
	}
}

// board is what the walls are made of.
func (b Box) board() shelf.Board {
	if b.Bracing.Board != nil {
		return *b.Bracing.Board
	}
	return b.Board
}

// bend bends all walls under a level; like walls once.
func (b Box) bend(l luck, levelMM float64) ([]Bent, error) {
	bents := make([]Bent, len(b.Walls))
	done := map[[3]float64]Bent{}
	for i := range b.Walls {
		before, own, after := b.around(i)
		key := [3]float64{before, own, after}
		bent, ok := done[key]
		if !ok {
			var err error
			if bent, err = Bend(b.wall(i, l, levelMM)); err != nil {
				return nil, err
			}
			done[key] = bent
		}
		bents[i] = bent
	}
	return bents, nil
}

// around returns the widths of a wall and of its neighbours.
func (b Box) around(i int) (before, own, after float64) {
	n := len(b.Walls)
	return b.Walls[(i+n-1)%n].WidthMM, b.Walls[i].WidthMM, b.Walls[(i+1)%n].WidthMM
}

// wall is one wall as a plate.
func (b Box) wall(i int, l luck, levelMM float64) Wall {
	before, own, after := b.around(i)
	plate := plateOf(b.board(), l)
	if back := b.Bracing.Backing; back != nil {
		plate = plate.Backed(plateOf(*back, l), own, b.HeightMM)
	}
	density, push := l.less(b.DensityGPerCM3), 0.0
	if b.PushPa != nil {
		density, push = 0, l.less(*b.PushPa)
	}
	return Wall{
		WidthMM: own, HeightMM: b.HeightMM, LevelMM: levelMM, Plate: plate,
		DensityGPerCM3: density, PushPa: push,
		Lines: b.Bracing.lines(l),
		Edges: Edges{
			Left:   b.Corners.edge(l, plate.DxNM, before),
			Right:  b.Corners.edge(l, plate.DxNM, after),
			Bottom: b.Foot.edge(l, plate.DyNM, (before+after)/2),
		},
	}
}

// edge is what a joint makes of the edge of a wall. A neighbour of length L
// that is turned by equal moments at both its ends gives 2D/L per radian (beam
// tables, from memory); that the rubber pushes it out as well makes it stiffer.
func (j Joint) edge(l luck, d, neighbourMM float64) Edge {
	switch {
	case j == Taped || l == unlucky:
		return Edge{Hold: Supported}
	case l == likely:
		return Edge{Hold: Elastic, TurnN: 2 * d / (neighbourMM / 1000)}
	}
	return Edge{Hold: Clamped}
}

func (b Box) bulge(l luck, bents []Bent) (sum float64) {
	for _, w := range bents {
		sum += w.BulgeMM3
	}
	return sum * creep(b.board(), l)
}

// A drop of more than this part of the level changes the pressure enough to
// ask again.
const againPart = 0.01

// levelDrop finds how far the level falls: the rubber that leaves the open area
// is the bulge under the level it then has. The bulge goes with about the sixth
// power of the level, which is the slope of Newton's steps.
func (b Box) levelDrop(l luck, bulgeMM3 float64) (float64, error) {
	if drop := bulgeMM3 / b.FreeAreaMM2; drop <= againPart*b.LevelMM {
		return drop, nil
	}
	const close = 0.01 // mm
	drop := 0.0
	for range 30 {
		step := (bulgeMM3 - drop*b.FreeAreaMM2) / (b.FreeAreaMM2 + 6*bulgeMM3/(b.LevelMM-drop))
		drop += step
		if math.Abs(step) < close {
			break
		}
		bents, err := b.bend(l, b.LevelMM-drop)
		if err != nil {
			return 0, err
		}
		bulgeMM3 = b.bulge(l, bents)
	}
	return drop, nil
}

// wallBow puts the three cases of one wall together and judges them.
func (b Box) wallBow(side Side, cases [3]Bent) WallBow {
	w := WallBow{Name: side.Name, ForceN: cases[likely].ForceN, Likely: &cases[likely]}
	var deflection, bulge, corner, foot, safety [3]float64
	for _, l := range lucks {
		c, hours := cases[l], creep(b.board(), l)
		deflection[l], bulge[l] = math.Abs(c.DeflectionMM)*hours, c.BulgeMM3*hours
		corner[l], foot[l] = math.Max(c.Reactions.Left, c.Reactions.Right), c.Reactions.Bottom
		if c.Safety != nil {
			safety[l] = *c.Safety
		}
	}
	w.DeflectionMM, w.BulgeMM3 = rangeOf(deflection), rangeOf(bulge)
	w.CornerN, w.FootN = rangeOf(corner), rangeOf(foot)
	if cases[unlucky].Safety != nil {
		s := rangeOf(safety)
		w.Safety = &s
	}
	w.LinearMM = MostBowPart * b.board().ThicknessMM
	w.Verdict, w.Why = b.judge(w)
	return w
}

// judge holds a wall against the limits; its worst case must keep them.
func (b Box) judge(w WallBow) (verdict, why string) {
	high := w.DeflectionMM.High
	switch {
	case w.Safety != nil && w.Safety.Low < LeastSafety:
		return Brace, fmt.Sprintf("it bears %.1f times the load at worst, and %d times is wanted", w.Safety.Low, LeastSafety)
	case high >= w.LinearMM:
		return Brace, fmt.Sprintf("it may bow by more than half its thickness, %.2g mm, %s", w.LinearMM, OutsideLinear)
	case high > MostBowMM:
		return Brace, fmt.Sprintf("it may bow by %.1f mm, and %.1f mm is the most wanted", high, MostBowMM)
	}
	return Holds, fmt.Sprintf("it bows by at most %.2g mm", high)
}

// unknown answers for a board of unknown stiffness: only the force is certain.
func (b Box) unknown() BoxBow {
	r := BoxBow{Verdict: Unknown}
	for _, side := range b.Walls {
		w := Wall{WidthMM: side.WidthMM, HeightMM: b.HeightMM, LevelMM: b.LevelMM, DensityGPerCM3: b.DensityGPerCM3.Likely}
		r.Walls = append(r.Walls, WallBow{
			Name: side.Name, ForceN: pouring(w).force(side.WidthMM / 1000), Verdict: Unknown,
			Why: "the stiffness of " + b.board().Name + " is not known",
		})
	}
	r.Findings = b.doubts(r)
	return r
}

func (b Box) check() error {
	if len(b.Walls) < 3 {
		return &InputError{fmt.Sprintf("a box has three walls at least, not %d", len(b.Walls)), "name all walls in order round the box"}
	}
	if !(b.FreeAreaMM2 > 0) || math.IsInf(b.FreeAreaMM2, 0) {
		return &InputError{
			fmt.Sprintf("the open area at the level of the rubber is %v mm²", b.FreeAreaMM2),
			"give the inside area of the box less that of the pattern there",
		}
	}
	if !ordered(b.DensityGPerCM3) {
		return &InputError{"the density of the rubber is not a range", "give low, likely and high above zero, in this order"}
	}
	if !(b.LevelMM > 0) {
		return &InputError{fmt.Sprintf("the rubber stands at %v mm", b.LevelMM), "give the level above the base board in mm"}
	}
	for _, side := range b.Walls {
		w := Wall{WidthMM: side.WidthMM, HeightMM: b.HeightMM, LevelMM: b.LevelMM, DensityGPerCM3: b.DensityGPerCM3.High}
		if err := w.checkMeasures(); err != nil {
			return err
		}
	}
	if err := checkBoard(b.board()); err != nil {
		return err
	}
	return b.Bracing.check()
}
