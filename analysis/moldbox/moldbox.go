// Package moldbox answers "how big a box, cut from what?".
//
// The pattern is turned about the vertical to the rectangle of least area, the
// clearances are laid around it, and the inside is rounded up so that the box
// that can be cut is the box that is computed. Millimetres; the result's own
// frame is the stand frame: origin in the centre of the box floor, board at
// z = 0, +z up, +x along the longer inside side.
package moldbox

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis/finding"
	"pourwright/analysis/shelf"
	"pourwright/mesh"
)

// Defaults. Basis: common practice, no source.
const (
	CoverOverClearanceMM = 4  // the level drops as rubber settles, walls bow and a leak weeps
	LeastCutClearanceMM  = 19 // so that keys fit in the cut
	DefaultFreeboardMM   = 12
)

// DefaultClearanceMM is the rubber beside a pattern by its longest side: 10 mm
// under 75, 13 under 150, 16 under 300, 20 under 450, else 25 mm. Basis:
// fitted to workshop pages (12–13 mm for hand props, 19–25 mm for larger
// work), common practice, no source.
func DefaultClearanceMM(longestMM float64) float64 {
	for _, row := range [...]struct{ under, clearance float64 }{{75, 10}, {150, 13}, {300, 16}, {450, 20}} {
		if longestMM < row.under {
			return row.clearance
		}
	}
	return 25
}

// Input says how the box is to be made. A nil pointer means the default.
type Input struct {
	LongestMM      float64  // longest side of the pattern; 0: of the box around it as it stands
	ClearanceMM    *float64 // to each wall; nil: DefaultClearanceMM
	CutClearanceMM *float64 // to the walls the cut crosses; nil: the greater of clearance and LeastCutClearanceMM
	CoverMM        *float64 // above the pattern; nil: clearance + CoverOverClearanceMM
	FreeboardMM    *float64 // wall above the rubber; nil: DefaultFreeboardMM

	// The cut is the vertical plane through CutPoint with normal CutNormal, both
	// in the frame of the points; a zero normal means that it is not known.
	CutPoint, CutNormal r3.Vec
	Square              bool // the box lies square to the cut, whatever that takes

	Shape  string  // Rectangle, Tube or Faceted; "": Rectangle
	Facets int     // of a faceted box, at most; 0: DefaultFacets
	Walls  PerWall // clearances that differ from wall to wall; of a rectangle only

	Board  shelf.Board // what the walls are cut from
	Base   shelf.Board // what the base board is cut from; zero: Board
	Inches bool        // round up to 1/16 in instead of 1 mm
}

// Result is the box. A point of the input goes to the stand frame by a turn of
// AngleRad about z and then by Shift; Pose does both.
type Result struct {
	AngleRad float64 // in (−π/2, π/2]
	Shift    r3.Vec

	Owned         bool // a box that the maker has: nothing is cut for it
	Floor         Floor
	InsideMM      [3]float64 // length, width, rubber level; of a tube and a faceted box over all
	RubberLevelMM float64
	WallHeightMM  float64
	FreeboardMM   float64 // as it comes out, at least what was asked
	AskedMM       Sides   // clearance and cover asked
	GapMM         Sides   // smallest true gap to each wall and to the level
	CutWalls      []string
	Thin          []Thin
	ThinMore      int // further points as thin, away from the places in Thin
	Panels        []Panel
	ClearanceRule string // how AskedMM came about
	Findings      []finding.Finding
}

// Pose is the move from the frame of the points to the stand frame.
func (r Result) Pose() mesh.Pose { return turned(r.AngleRad, r.Shift) }

func turned(angle float64, shift r3.Vec) mesh.Pose {
	s, c := math.Sincos(angle)
	return mesh.Pose{Rows: [3]r3.Vec{{X: c, Y: -s}, {X: s, Y: c}, {Z: 1}}, T: shift}
}

// Sides is one figure per wall of a rectangle, x0 the wall at −x, and for the
// cover. A tube or faceted box has one figure for all walls, Radial.
type Sides struct{ X0, X1, Y0, Y1, Radial, Cover float64 }

// PerWall is a clearance for single walls of a rectangle; nil where the common
// one holds.
type PerWall struct{ X0, X1, Y0, Y1 *float64 }

// over lays the clearances of single walls over those of all.
func (w PerWall) over(s Sides) Sides {
	for _, side := range []struct {
		to   *float64
		from *float64
	}{{&s.X0, w.X0}, {&s.X1, w.X1}, {&s.Y0, w.Y0}, {&s.Y1, w.Y1}} {
		if side.from != nil {
			*side.to = *side.from
		}
	}
	return s
}

// Panel is one board to cut.
type Panel struct {
	Name        string
	LengthMM    float64
	WidthMM     float64
	ThicknessMM float64
	Board       string // shelf key
	Count       int
	ScoresMM    []float64 // empty: no board is scored and bent
	Note        string
}

// Fit makes the box around the points of a pattern that stands on the board
// at z = 0. The vertices of its convex hull are enough.
func Fit(points []r3.Vec, in Input) (Result, error) {
	if err := checkPoints(points); err != nil {
		return Result{}, err
	}
	a, err := in.ask(points)
	if err != nil {
		return Result{}, err
	}
	r := Result{ClearanceRule: a.rule}
	plan := in.lay(points, a, in.turn(points))
	r.AngleRad, r.AskedMM, r.CutWalls = plan.angle, in.Walls.over(a.sides(plan.crossed)), plan.cutWalls()
	r.RubberLevelMM = in.roundUp(plan.top + a.cover)
	r.WallHeightMM = in.roundUp(r.RubberLevelMM + a.freeboard)
	r.FreeboardMM = r.WallHeightMM - r.RubberLevelMM
	centre := plan.center
	r.Floor = RectangleFloor(plan.length, plan.width)
	if in.Shape == Tube || in.Shape == Faceted {
		r.Floor, centre = in.round(points, a, plan)
		r.AskedMM, r.CutWalls = Sides{Radial: a.clearance, Cover: a.cover}, nil
	}
	r.Shift = r3.Vec{X: 0 - centre.X, Y: 0 - centre.Y} // never −0
	r.InsideMM = [3]float64{0, 0, r.RubberLevelMM}
	r.InsideMM[0], r.InsideMM[1] = r.Floor.overAll()
	pose := r.Pose()
	stood := make([]r3.Vec, len(points))
	for i, p := range points {
		stood[i] = pose.Point(p)
	}
	r.GapMM, r.Thin, r.ThinMore = Gaps(stood, r.Floor, r.RubberLevelMM, r.AskedMM)
	r.Panels = in.panels(r)
	r.Findings = in.doubts(r, a)
	return r, nil
}

func checkPoints(points []r3.Vec) error {
	if len(points) == 0 {
		return &InputError{"there is no pattern to put a box around", "give a scan with at least one face"}
	}
	b := mesh.BoundsOf(points)
	size := r3.Sub(b.Max, b.Min)
	if sum := size.X + size.Y + size.Z; math.IsNaN(sum) || math.IsInf(sum, 0) {
		return &InputError{"the pattern has a corner that is not at a finite place", "export the scan again"}
	}
	if below := 1e-3 + 1e-6*r3.Norm(size); b.Min.Z < -below {
		return &InputError{
			fmt.Sprintf("the pattern reaches %.3g mm below the base board", -b.Min.Z),
			"stand it on the board first",
		}
	}
	return nil
}

// squareToCut is how much larger than the least rectangle one that lies square
// to the cut may be and still be taken: a cut straight through two walls is
// easier to make and to register than one through a corner. It is judged on
// the pattern alone, so that clearances never change the turn.
const squareToCut = 1.01

// A cut that meets the wall nearer than this to a corner of the box leaves a
// feather edge of rubber there (common practice, no source).
const leastFromCornerMM = 12

// turn is the turn about z in (−π/2, π/2] that lays the pattern's rectangle
// along the axes: the least one, or the least of those, a degree apart, that
// keep the cut off the corners.
func (in Input) turn(points []r3.Vec) float64 {
	flat := make([]r2.Vec, len(points))
	for i, p := range points {
		flat[i] = r2.Vec{X: p.X, Y: p.Y}
	}
	least := halfTurn(-mesh.MinAreaRect(flat).Angle)
	if in.CutNormal.X == 0 && in.CutNormal.Y == 0 {
		return least
	}
	square := halfTurn(-math.Atan2(in.CutNormal.Y, in.CutNormal.X))
	best, area := square, extent(points, square).area()
	if in.Square || area <= squareToCut*extent(points, least).area() {
		return square
	}
	for degree := range 90 {
		// 0, 1, −1, 2, −2, …: of equal areas the one nearest to the least.
		off := float64((degree+1)/2) * math.Pi / 180
		if degree%2 == 0 {
			off = -off
		}
		angle := halfTurn(least + off)
		if e := extent(points, angle); e.area() < area*(1-1e-9) && in.offCorners(e, angle) {
			best, area = angle, e.area()
		}
	}
	return best
}

// offCorners tells whether the cut meets the walls of a box around e away from
// its corners. The box has the usual clearance of cut walls all round, so that
// the clearances asked never change the turn.
func (in Input) offCorners(e span, angle float64) bool {
	pose := turned(angle, r3.Vec{})
	p, n := pose.Point(in.CutPoint), pose.Dir(in.CutNormal)
	x0, x1 := e.min.X-LeastCutClearanceMM, e.max.X+LeastCutClearanceMM
	y0, y1 := e.min.Y-LeastCutClearanceMM, e.max.Y+LeastCutClearanceMM
	for _, x := range [2]float64{x0, x1} {
		for _, y := range [2]float64{y0, y1} {
			if math.Abs(n.X*(x-p.X)+n.Y*(y-p.Y)) < leastFromCornerMM*math.Sqrt2/2 {
				return false
			}
		}
	}
	return true
}

// halfTurn brings an angle into (−π/2, π/2] by half turns.
func halfTurn(angle float64) float64 {
	angle = math.Remainder(angle, math.Pi)
	if angle <= -math.Pi/2 {
		angle += math.Pi
	}
	return angle + 0 // never −0, which would be printed
}

// span is the upright box of turned points.
type span struct{ min, max r3.Vec }

func (s span) area() float64 { return (s.max.X - s.min.X) * (s.max.Y - s.min.Y) }

func extent(points []r3.Vec, angle float64) span {
	pose := turned(angle, r3.Vec{})
	first := pose.Point(points[0])
	s := span{first, first}
	for _, p := range points[1:] {
		q := pose.Point(p)
		s.min.X, s.max.X = math.Min(s.min.X, q.X), math.Max(s.max.X, q.X)
		s.min.Y, s.max.Y = math.Min(s.min.Y, q.Y), math.Max(s.max.Y, q.Y)
		s.max.Z = math.Max(s.max.Z, q.Z)
	}
	return s
}

// layout is the box floor in the turned frame.
type layout struct {
	angle         float64
	length, width float64 // along x and y
	center        r2.Vec
	top           float64 // of the pattern
	crossed       walls   // by the cut
	around        span    // the pattern
}

// walls is one answer for each of x0, x1, y0, y1.
type walls [4]bool

var wallNames = [4]string{"x0", "x1", "y0", "y1"}

// lay lays the floor round the points turned by angle, or by a right angle more
// where that puts the longer inside side along x.
func (in Input) lay(points []r3.Vec, a asked, angle float64) layout {
	pose := turned(angle, r3.Vec{})
	crossed := crossedWalls(extent(points, angle), pose.Point(in.CutPoint), pose.Dir(in.CutNormal))
	l := in.layAt(points, a, angle, crossed)
	if l.width > l.length {
		// Which walls are crossed is turned too, not found again: at a corner
		// rounding could say otherwise.
		var c walls
		if angle > 0 { // clockwise: (x, y) goes to (y, −x)
			c = walls{crossed[2], crossed[3], crossed[1], crossed[0]}
		} else {
			c = walls{crossed[3], crossed[2], crossed[0], crossed[1]}
		}
		l = in.layAt(points, a, halfTurn(angle+math.Pi/2), c)
	}
	gap := in.Walls.over(a.sides(l.crossed))
	lowX, highX := l.around.min.X-gap.X0, l.around.max.X+gap.X1
	lowY, highY := l.around.min.Y-gap.Y0, l.around.max.Y+gap.Y1
	l.length, l.width = in.roundUp(highX-lowX), in.roundUp(highY-lowY)
	l.center = r2.Vec{X: lowX + (highX-lowX)/2, Y: lowY + (highY-lowY)/2}
	return l
}

// layAt takes one angle, with the clearances alone that hold for all walls.
func (in Input) layAt(points []r3.Vec, a asked, angle float64, crossed walls) layout {
	s := extent(points, angle)
	l := layout{angle: angle, top: s.max.Z, around: s, crossed: crossed}
	gap := a.sides(l.crossed)
	l.length = in.roundUp(s.max.X - s.min.X + gap.X0 + gap.X1)
	l.width = in.roundUp(s.max.Y - s.min.Y + gap.Y0 + gap.Y1)
	return l
}

func (l layout) cutWalls() []string {
	var names []string
	for i, name := range wallNames {
		if l.crossed[i] {
			names = append(names, name)
		}
	}
	return names
}

// crossedWalls tells at which sides of the pattern's rectangle the cut leaves
// it; at a corner that is both sides. The clearances play no part in it.
func crossedWalls(s span, point, normal r3.Vec) walls {
	var crossed walls
	slack := 1e-6 * (s.max.X - s.min.X + s.max.Y - s.min.Y)
	within := func(v, low, high float64) bool { return v >= low-slack && v <= high+slack }
	for i, x := range [2]float64{s.min.X, s.max.X} {
		// A quotient by zero is infinite or NaN: not within.
		y := point.Y - (x-point.X)*normal.X/normal.Y
		crossed[i] = within(y, s.min.Y, s.max.Y)
	}
	for i, y := range [2]float64{s.min.Y, s.max.Y} {
		x := point.X - (y-point.Y)*normal.Y/normal.X
		crossed[2+i] = within(x, s.min.X, s.max.X)
	}
	return crossed
}

// roundUp rounds a length up to what a maker can cut, forgiving rounding noise.
func (in Input) roundUp(mm float64) float64 {
	step := 1.0
	if in.Inches {
		step = 25.4 / 16
	}
	return math.Ceil(mm/step-1e-6) * step
}

// InputError is one sentence on what is wrong with an Input.
type InputError struct{ what, try string }

func (e *InputError) Error() string { return e.what }

// Hint says what to do about it.
func (e *InputError) Hint() string { return e.try }
