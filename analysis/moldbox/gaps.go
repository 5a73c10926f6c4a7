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

// Gaps measures a box of the given inside (length, width, rubber level; stand
// frame) against the points of the pattern in it: the smallest gap per side,
// negative where a point sticks out, and the thin places, deepest first by
// wall. Points within the asked clearance of a listed place belong to it; more
// counts the thin points that belong to none. A flat face is nearest to a flat
// wall at a corner, so vertices alone give the true gap of a mesh.
func Gaps(points []r3.Vec, insideMM [3]float64, asked Sides) (gap Sides, thin []Thin, more int) {
	halfX, halfY := insideMM[0]/2, insideMM[1]/2
	sides := []struct {
		name  string
		asked float64
		gap   *float64
		of    func(r3.Vec) float64
	}{
		{"x0", asked.X0, &gap.X0, func(p r3.Vec) float64 { return halfX + p.X }},
		{"x1", asked.X1, &gap.X1, func(p r3.Vec) float64 { return halfX - p.X }},
		{"y0", asked.Y0, &gap.Y0, func(p r3.Vec) float64 { return halfY + p.Y }},
		{"y1", asked.Y1, &gap.Y1, func(p r3.Vec) float64 { return halfY - p.Y }},
		{"cover", asked.Cover, &gap.Cover, func(p r3.Vec) float64 { return insideMM[2] - p.Z }},
	}
	for _, s := range sides {
		*s.gap = math.Inf(1)
		var under []near
		for _, p := range points {
			g := s.of(p)
			*s.gap = math.Min(*s.gap, g)
			if g < s.asked/2 {
				under = append(under, near{g, p})
			}
		}
		places, rest := gather(under, s.asked)
		for _, n := range places {
			thin = append(thin, Thin{Wall: s.name, GapMM: n.gap, AtMM: [3]float64{n.at.X, n.at.Y, n.at.Z}})
		}
		more += rest
	}
	return gap, thin, more
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
