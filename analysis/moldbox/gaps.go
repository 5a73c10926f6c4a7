package moldbox

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

// Thin is a place where the gap is under half the clearance asked.
type Thin struct {
	Wall  string // "x0" … "y1", "cover"
	GapMM float64
	AtMM  [3]float64 // on the pattern, stand frame
}

// thinPerWall is how many thin places are listed for one wall.
const thinPerWall = 4

// Gaps measures a box of the given floor and rubber level, in the stand frame,
// against the points of the pattern in it: the smallest gap per side, negative
// where a point sticks out, and the thin places, deepest first by wall. Points
// within the asked clearance of a listed place belong to it; more counts the thin
// points that belong to none. A flat face is nearest to a flat wall at a corner,
// and so it is to a round wall that bends round it, so vertices alone give the true
// gap of a mesh.
func Gaps(points []r3.Vec, floor Floor, levelMM float64, asked Sides) (gap Sides, thin []Thin, more int) {
	for _, s := range sidesOf(floor, levelMM, asked, &gap) {
		least := math.Inf(1)
		var under []near
		for _, p := range points {
			g := s.of(p)
			least = math.Min(least, g)
			if g < s.asked/2 {
				under = append(under, near{g, p})
			}
		}
		*s.gap = math.Min(*s.gap, least)
		places, rest := gather(under, s.asked)
		for _, n := range places {
			thin = append(thin, Thin{Wall: s.name, GapMM: n.gap, AtMM: [3]float64{n.at.X, n.at.Y, n.at.Z}})
		}
		more += rest
	}
	return gap, thin, more
}

// side is one wall, or the top of the rubber.
type side struct {
	name  string
	asked float64
	gap   *float64 // where the smallest is put
	of    func(r3.Vec) float64
}

// sidesOf lists the sides of a box, which put their gaps into gap.
func sidesOf(floor Floor, levelMM float64, asked Sides, gap *Sides) []side {
	inf := math.Inf(1)
	var sides []side
	if floor.Shape == Rectangle {
		*gap = Sides{X0: inf, X1: inf, Y0: inf, Y1: inf, Cover: inf}
		for _, w := range floor.Walls() {
			of := map[string]side{"x0": {asked: asked.X0, gap: &gap.X0}, "x1": {asked: asked.X1, gap: &gap.X1}, "y0": {asked: asked.Y0, gap: &gap.Y0}, "y1": {asked: asked.Y1, gap: &gap.Y1}}[w.Name]
			of.name, of.of = w.Name, w.Gap
			sides = append(sides, of)
		}
		// x0 first, as they are listed.
		sides = []side{sides[3], sides[1], sides[0], sides[2]}
	} else {
		*gap = Sides{Radial: inf, Cover: inf}
		if floor.Shape == Tube {
			sides = append(sides, side{"tube", asked.Radial, &gap.Radial, floor.GapMM})
		}
		for _, w := range floor.Walls() {
			sides = append(sides, side{w.Name, asked.Radial, &gap.Radial, w.Gap})
		}
	}
	return append(sides, side{"cover", asked.Cover, &gap.Cover, func(p r3.Vec) float64 { return levelMM - p.Z }})
}

// near is a point and its gap to one wall.
type near struct {
	gap float64
	at  r3.Vec
}

// gather picks the deepest points that lie more than reach apart, at most
// thinPerWall of them, and counts those within reach of none.
func gather(under []near, reach float64) (places []near, rest int) {
	slices.SortStableFunc(under, func(a, b near) int { return cmp.Compare(a.gap, b.gap) })
	for _, n := range under {
		taken := slices.ContainsFunc(places, func(p near) bool { return r3.Norm(r3.Sub(p.at, n.at)) <= reach })
		switch {
		case taken:
		case len(places) < thinPerWall:
			places = append(places, n)
		default:
			rest++
		}
	}
	return places, rest
}
