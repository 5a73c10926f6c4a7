package moldbox

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis/finding"
)

// FitInside stands the pattern in a box or tub that the maker owns, inside length,
// width and height of its walls, so that the least of the gaps to its walls is as
// large as it can be.
func FitInside(points []r3.Vec, owned [3]float64, in Input) (Result, error) {
	if err := checkPoints(points); err != nil {
		return Result{}, err
	}
	if in.Shape != "" && in.Shape != Rectangle {
		return Result{}, &InputError{"a box that you own is taken as a rectangle", "leave the shape out"}
	}
	for _, mm := range owned {
		if !(mm >= 10 && mm <= 5000) {
			return Result{}, &InputError{fmt.Sprintf("a box of %g × %g × %g mm is none to pour in", owned[0], owned[1], owned[2]), "give its inside length, width and height, such as 300x150x100mm"}
		}
	}
	a, err := in.ask(points)
	if err != nil {
		return Result{}, err
	}
	length, width, height := max(owned[0], owned[1]), min(owned[0], owned[1]), owned[2]
	angle, side := in.roomiest(points, length, width)
	around := extent(points, angle)
	if side < leastClearanceMM {
		takes := extent(points, Input{}.turn(points))
		x, y := takes.max.X-takes.min.X, takes.max.Y-takes.min.Y
		return Result{}, &InputError{
			fmt.Sprintf("this part does not fit: as it stands it takes %.0f × %.0f mm and the box is %g × %g mm", max(x, y), min(x, y), length, width),
			"take a larger box, or stand the part another way with --down",
		}
	}
	if room := height - around.max.Z; room < leastClearanceMM {
		return Result{}, &InputError{
			fmt.Sprintf("this part stands %.0f mm high and the box is %g mm high", around.max.Z, height),
			"take a higher box, or lay the part down with --down",
		}
	}
	r := Result{Owned: true, AngleRad: angle, Floor: RectangleFloor(length, width), WallHeightMM: height}
	r.ClearanceRule = fmt.Sprintf("turned so that the least gap in the box of %g × %g mm is as large as it can be", length, width)
	pose := turned(angle, r3.Vec{})
	l := layout{crossed: crossedWalls(around, pose.Point(in.CutPoint), pose.Dir(in.CutNormal))}
	r.AskedMM, r.CutWalls = a.sides(l.crossed), l.cutWalls()
	r.RubberLevelMM = min(around.max.Z+a.cover, max(height-a.freeboard, around.max.Z+a.cover/2), height)
	r.FreeboardMM = height - r.RubberLevelMM
	r.InsideMM = [3]float64{length, width, r.RubberLevelMM}
	centre := r2.Vec{X: (around.min.X + around.max.X) / 2, Y: (around.min.Y + around.max.Y) / 2}
	r.Shift = r3.Vec{X: 0 - centre.X, Y: 0 - centre.Y}
	stood := make([]r3.Vec, len(points))
	for i, p := range points {
		stood[i] = r.Pose().Point(p)
	}
	r.GapMM, r.Thin, r.ThinMore = Gaps(stood, r.Floor, r.RubberLevelMM, r.AskedMM)
	r.Panels = []Panel{}
	r.Findings = append(in.doubts(r, a), ownedDoubts(r, a)...)
	return r, nil
}

// roomiest returns the turn, in (−π/2, π/2], with the largest least gap, and that
// gap: a degree apart first, then finer round the best.
func (in Input) roomiest(points []r3.Vec, length, width float64) (angle, gap float64) {
	room := func(angle float64) float64 {
		s := extent(points, angle)
		return min(length-(s.max.X-s.min.X), width-(s.max.Y-s.min.Y)) / 2
	}
	gap = math.Inf(-1)
	try := func(a float64) {
		// Of gaps as large the turn that comes first.
		if g := room(a); g > gap+1e-9 {
			angle, gap = halfTurn(a), g
		}
	}
	const degree = math.Pi / 180
	for d := range 90 {
		try(float64(d) * degree)
		try(-float64(d) * degree)
	}
	try(math.Pi / 2)
	for step := degree / 2; step > degree/100; step /= 2 {
		at := angle
		try(at + step)
		try(at - step)
	}
	return angle, gap
}

// ownedDoubts warns of what an owned box is too small for.
func ownedDoubts(r Result, a asked) []finding.Finding {
	var fs []finding.Finding
	tell := func(text, action string) {
		fs = append(fs, finding.Finding{Question: "moldbox", Level: finding.Warn, Text: text, Action: action})
	}
	for _, s := range []struct {
		wall       string
		got, asked float64
	}{{"x0", r.GapMM.X0, r.AskedMM.X0}, {"x1", r.GapMM.X1, r.AskedMM.X1}, {"y0", r.GapMM.Y0, r.AskedMM.Y0}, {"y1", r.GapMM.Y1, r.AskedMM.Y1}} {
		if s.got < s.asked-0.5 && s.got >= s.asked/2 {
			tell(fmt.Sprintf("The box leaves %.0f mm of rubber to %s, and %.0f mm are usual.", s.got, sideName(s.wall), s.asked),
				"It may do: keep the cut away from there, or take a larger box.")
		}
	}
	if r.FreeboardMM < a.freeboard-0.5 {
		tell(fmt.Sprintf("Only %.0f mm of wall stand above the rubber.", r.FreeboardMM),
			"Tape a rim round the top, and pour slowly at the end.")
	}
	return fs
}
