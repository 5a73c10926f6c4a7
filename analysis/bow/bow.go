// Package bow answers "will the walls of the box hold?".
//
// A wall is a thin plate that liquid rubber leans on: pressure ρ·g·(level − y),
// most at the foot. Bend finds how far it bows for any mix of free, supported,
// clamped and elastic edges, for plain, grained and sandwich boards, with
// straps and battens on it; Box.Bow asks that for all walls of a box, with the
// spread of everything that is not known well; Box.Brace looks for the cheapest
// bracing that passes.
//
// Method: the Ritz method on Kirchhoff's plate (S. Timoshenko and S.
// Woinowsky-Krieger, "Theory of Plates and Shells", from memory) with products
// of polynomials that are forced to zero and flat only where an edge is held;
// the free edges come out by themselves.
//
// Frame of one wall, seen from outside: x to the right from its left edge, y up
// from the base board, millimetres; bowing outwards is positive.
package bow

import (
	"fmt"
	"math"
)

// GravityMPerS2 is standard gravity (CGPM 1901, resolution 2).
const GravityMPerS2 = 9.80665

// Hold says what holds one edge of a wall.
type Hold int

// The ways an edge is held.
const (
	Free      Hold = iota // nothing: the top of an open box
	Supported             // kept in place but free to turn: a taped corner
	Clamped               // neither moves nor turns
	Elastic               // kept in place, turning against a spring
)

// Edge is one edge of a wall.
type Edge struct {
	Hold Hold
	// TurnN is the spring of an Elastic edge: the moment per length that turns
	// it by one radian, N·m/m, which is N.
	TurnN float64
}

// Edges are the four edges of a wall seen from outside.
type Edges struct{ Left, Right, Bottom, Top Edge }

// Line is something stiff across the whole wall: level, AtMM above the foot,
// or upright, AtMM from the left edge. Its ends are held by the edges they
// meet. The stiffnesses add up; a zero counts for nothing.
type Line struct {
	Upright bool
	AtMM    float64
	// SpringPa is the force per length of line for each metre that the wall
	// gives, N/m per m, which is Pa; +Inf: it does not give at all.
	SpringPa float64
	BendNM2  float64 // of a batten: Young's modulus times second moment of area, N·m²
	PullN    float64 // of a strap: the pull in it, which straightens it across the bow
}

// Wall is one wall and what leans on it.
type Wall struct {
	WidthMM, HeightMM float64
	Plate             Plate
	Edges             Edges
	Lines             []Line
	LevelMM           float64 // of the liquid, above the foot; at most the height
	DensityGPerCM3    float64
	PushPa            float64 // everywhere up to the level, besides the liquid: of foam in a cured block
}

// Bent is how a wall bows.
type Bent struct {
	DeflectionMM   float64    // the largest, inwards negative
	AtMM           [2]float64 // where: x, y
	TopMiddleMM    float64    // in the middle of the top edge
	BulgeMM3       float64    // more rubber below the level than behind a flat wall
	ForceN         float64    // of the liquid
	ForceAtMM      float64    // height of that force: of a liquid a third of the level
	WorkNM         float64    // ∫ pressure × deflection, N·m: what bracing must lower
	Moments        Moments
	Reactions      Reactions
	Safety         *float64 // moment the plate bears over the largest there is; nil: not known
	Linear         bool     // deflection under half the thickness; else the figures are only a sign to brace
	CountedThickMM float64  // thickness that counted: a plate over a tenth of its span counts as a tenth
	Grid           Grid
}

// Moments are bending moments per length, N·m/m, which is N; positive
// stretches the outside of the wall. X bends along the width, Y along the height.
type Moments struct {
	SagX, SagY float64 // most positive
	HogX, HogY float64 // most negative, or zero
	FootY      float64 // in the middle of the bottom edge
	HeadY      float64 // in the middle of the top edge
	SideX      float64 // most negative on the left and right edge, or zero
	Largest    float64 // principal moment of largest size anywhere, without its sign
}

// Reactions are the forces that hold the wall back, N, positive inwards. Their
// sum is the force of the liquid.
type Reactions struct {
	Left, Right, Bottom, Top float64 // spread along the edge, all of it
	// Corners are single forces that keep corners from lifting inwards, left
	// bottom, right bottom, left top, right top; negative is usual.
	Corners [4]float64
	Lines   []float64 // of the springs of each line; battens and straps hand theirs to the edges
}

// Sum adds all reactions.
func (r Reactions) Sum() float64 {
	sum := r.Left + r.Right + r.Bottom + r.Top
	for _, f := range r.Corners {
		sum += f
	}
	for _, f := range r.Lines {
		sum += f
	}
	return sum
}

// Grid holds deflections in mm, row by row from the foot up, evenly spaced
// with the edges included.
type Grid struct {
	Columns, Rows int
	MM            []float64
}

// OutsideLinear is what to say of a wall whose Bent.Linear is false.
const OutsideLinear = "outside linear range: brace it"

// pressurePa is the pressure at the foot, Pa.
func (w Wall) pressurePa() float64 {
	return w.DensityGPerCM3 * 1000 * GravityMPerS2 * w.LevelMM / 1000
}

// Bend answers for one wall.
func Bend(w Wall) (Bent, error) {
	if err := w.check(); err != nil {
		return Bent{}, err
	}
	counted := w.counted()
	s := newSystem(counted, pouring(counted), functions(counted))
	if err := s.solve(); err != nil {
		return Bent{}, err
	}
	b := s.bent(counted)
	b.CountedThickMM = counted.Plate.ThicknessMM
	b.Linear = math.Abs(b.DeflectionMM) < w.Plate.ThicknessMM/2
	if c := w.Plate.CapacityN; c > 0 && b.Moments.Largest > 0 {
		safety := c / b.Moments.Largest
		b.Safety = &safety
	}
	return b, nil
}

// counted is the wall with its plate no thicker than the theory of thin plates
// allows: a tenth of the shorter side (usual handbook limit, from memory). A
// thicker one bends less than that.
func (w Wall) counted() Wall {
	most := math.Min(w.WidthMM, w.HeightMM) / 10
	if p := w.Plate; p.ThicknessMM > most && p.ShearNPerM == 0 {
		f := math.Pow(most/p.ThicknessMM, 3)
		p.DxNM, p.DyNM, p.D1NM, p.D66NM = f*p.DxNM, f*p.DyNM, f*p.D1NM, f*p.D66NM
		p.ThicknessMM = most
		w.Plate = p
	}
	return w
}

// Limits that tell a slip of units from a wall.
const (
	leastSideMM = 1
	mostSideMM  = 10_000
	MostSlender = 20 // longer over shorter side
	mostDensity = 25
	mostPushPa  = 1e7
)

func (w Wall) check() error {
	if err := w.checkMeasures(); err != nil {
		return err
	}
	if long, short := math.Max(w.WidthMM, w.HeightMM), math.Min(w.WidthMM, w.HeightMM); long > MostSlender*short {
		return &InputError{
			fmt.Sprintf("a wall of %v by %v mm is too slender to compute as a plate", w.WidthMM, w.HeightMM),
			fmt.Sprintf("give a wall whose longer side is at most %d times the shorter", MostSlender),
		}
	}
	if err := w.Plate.check(); err != nil {
		return err
	}
	if err := w.Edges.check(); err != nil {
		return err
	}
	for _, l := range w.Lines {
		if err := l.check(w); err != nil {
			return err
		}
	}
	return nil
}

func (w Wall) checkMeasures() error {
	for _, c := range []struct {
		name           string
		v, least, most float64
	}{
		{"width of the wall in mm", w.WidthMM, leastSideMM, mostSideMM},
		{"height of the wall in mm", w.HeightMM, leastSideMM, mostSideMM},
		{"level of the rubber in mm", w.LevelMM, 0, w.HeightMM},
		{"density of the rubber in g/cm³", w.DensityGPerCM3, 0, mostDensity},
		{"push on the wall in Pa", w.PushPa, 0, mostPushPa},
	} {
		if !(c.v >= c.least && c.v <= c.most) {
			return &InputError{
				fmt.Sprintf("the %s is %v and must be from %v to %v", c.name, c.v, c.least, c.most),
				"check the measures and their units",
			}
		}
	}
	return nil
}

func (e Edges) check() error {
	held, turns := 0, true
	for _, edge := range e.all() {
		if edge.Hold < Free || edge.Hold > Elastic {
			return &InputError{fmt.Sprintf("there is no way %d to hold an edge", edge.Hold), "take free, supported, clamped or elastic"}
		}
		if edge.Hold == Elastic && !(edge.TurnN >= 0 && !math.IsInf(edge.TurnN, 0)) {
			return &InputError{
				fmt.Sprintf("the spring of an elastic edge is %v N·m/m", edge.TurnN),
				"give a finite stiffness, zero or more; an edge that cannot turn is clamped",
			}
		}
		if edge.Hold != Free {
			held++
			turns = turns && (edge.Hold == Supported || edge.Hold == Elastic && edge.TurnN == 0)
		}
	}
	if held == 0 || held == 1 && turns {
		return &InputError{"nothing keeps this wall from falling over", "hold two edges, or clamp one"}
	}
	return nil
}

// all returns left, right, bottom, top.
func (e Edges) all() [4]Edge { return [4]Edge{e.Left, e.Right, e.Bottom, e.Top} }

func (l Line) check(w Wall) error {
	most, name := w.side(l.Upright), "height"
	if l.Upright {
		name = "width"
	}
	if !(l.AtMM >= 0 && l.AtMM <= most) {
		return &InputError{
			fmt.Sprintf("a line of bracing at %v mm is off the wall, whose %s is %v mm", l.AtMM, name, most),
			"place it on the wall",
		}
	}
	if !(l.SpringPa >= 0 && l.BendNM2 >= 0 && l.PullN >= 0) || math.IsInf(l.BendNM2, 0) || math.IsInf(l.PullN, 0) {
		return &InputError{
			fmt.Sprintf("a line of bracing has spring %v N/m per m, bending stiffness %v N·m² and pull %v N", l.SpringPa, l.BendNM2, l.PullN),
			"give finite figures, zero or more",
		}
	}
	return nil
}

// InputError is one sentence on what is wrong with what was asked.
type InputError struct{ what, try string }

func (e *InputError) Error() string { return e.what }

// Hint says what to do about it.
func (e *InputError) Hint() string { return e.try }
