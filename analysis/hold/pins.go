package hold

import (
	"cmp"
	"context"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
)

// Rod is what pins are cut from.
type Rod struct {
	Name       string
	DiameterMM float64
	BendingPa  Range // strength in bending
	Basis      string
}

// DefaultRod is found in every shop.
var DefaultRod = Rod{
	"hardwood dowel, 6 mm", 6, Range{40e6, 80e6, 120e6},
	"bending strength of clear hardwood is 80 to 120 MPa (from memory), taken at half for slanting grain",
}

// Pin is a rod through a wall whose end sits in a shallow hole in the pattern.
type Pin struct {
	Panel      string     // named as on the cut list
	XMM, ZMM   float64    // from the panel's left end, seen from outside, and from its lower edge
	AtMM       [3]float64 // its end on the pattern, stand frame
	GapMM      float64    // from there to the wall
	Detail     float64    // of the surface there
	BearsN     float64    // across, the safety in it
	CrossesCut bool
}

// Limits of pins. Basis: common practice, no source.
const (
	mostPins      = 6
	leastPins     = 2    // one lets the pattern turn about it
	pinApartMM    = 25   // from each other
	pinCutMM      = 8    // from the cut: its land and half a pin
	pinEdgeMM     = 12   // from the board, the rubber's level and the corners of the box
	pinHeight     = 0.65 // of the pattern's height, where a pin also keeps it upright
	detailMM      = 25   // of gap that full detail is worth avoiding
	heightMM      = 0.3  // of gap that 1 mm off the best height is worth
	shortestPin   = 5.0  // a shorter rod bends in the wood around it
	candidatesUp  = 400  // looked at for one pin
	oppositeLeast = 0.9  // cosine between walls that count as opposite
)

// spot is a place a pin could reach.
type spot struct {
	place
	pin   Pin
	wall  int
	score float64
}

// pin places pins, and a bar across the box where they do not do.
func (in Input) pin(ctx context.Context, r *Result, l load) error {
	if in.Tree == nil {
		in.Tree = mesh.NewTree(in.Solid.Mesh)
	}
	spots := make([][]spot, len(in.Walls))
	for w := range in.Walls {
		if err := ctx.Err(); err != nil {
			return err
		}
		spots[w] = in.spots(w)
	}
	r.Pins = in.choose(spots, l, false)
	if len(r.Pins) < leastPins {
		if across := in.choose(spots, l, true); len(across) > len(r.Pins) {
			r.Pins = across
		}
	}
	for _, p := range r.Pins {
		r.PinsBearN += p.BearsN
	}
	if len(r.Pins) < leastPins || r.PinsBearN < l.liftN {
		r.Bar = in.bar(l)
	}
	return ctx.Err()
}

// spots lists the places that face a wall, best first.
func (in Input) spots(w int) []spot {
	wall, top := in.Walls[w], in.Solid.Bounds().Max.Z
	low := in.Contact.HeightMM + in.StemMM + pinEdgeMM
	high := math.Min(in.LevelMM, top) - in.Rod.DiameterMM
	return bestSpots(in.facing(wall.toWall()), func(p place) (s spot, cell [2]int, ok bool) {
		x, gap := wall.place(p.at)
		if p.at.Z < low || p.at.Z > high || x < pinEdgeMM || x > wall.lengthMM()-pinEdgeMM || gap <= 0 {
			return s, cell, false
		}
		end := r3.Add(p.at, r3.Scale(gap, wall.toWall()))
		s = spot{place: p, wall: w, pin: Pin{
			Panel: wall.Panel, XMM: wall.PanelXMM + x, ZMM: p.at.Z, AtMM: [3]float64{p.at.X, p.at.Y, p.at.Z}, GapMM: gap,
			Detail: p.detail, BearsN: in.bears(gap), CrossesCut: in.crossesCut(p.at, end),
		}}
		s.score = gap + detailMM*p.detail + heightMM*math.Abs(p.at.Z-pinHeight*top)
		return s, [2]int{int(x / placeMM), int(p.at.Z / placeMM)}, true
	})
}

// bears returns what a pin bears across itself, the safety in it, N: held in
// the wall like a bracket, while its end may turn in its hole, it breaks at the
// moment P·gap = strength·π·d³/32.
func (in Input) bears(gap float64) float64 {
	d := in.Rod.DiameterMM
	return in.Rod.BendingPa.Low * 1e-6 / in.Safety * math.Pi * d * d * d / 32 / math.Max(gap, shortestPin)
}

func (in Input) crossesCut(a, b r3.Vec) bool {
	l := r3.Norm(in.CutAcross)
	if l == 0 {
		return false
	}
	da, db := r3.Dot(in.CutAcross, r3.Sub(a, in.CutPoint))/l, r3.Dot(in.CutAcross, r3.Sub(b, in.CutPoint))/l
	return da*db < 0 || math.Min(math.Abs(da), math.Abs(db)) < pinCutMM
}

// choose takes pins, spread over the walls, until they bear the lift.
func (in Input) choose(spots [][]spot, l load, acrossCut bool) []Pin {
	var pins []Pin
	var taken []spot
	bears := 0.0
	for len(pins) < mostPins && (len(pins) < leastPins || bears < l.liftN) {
		s, found := in.next(spots, taken, acrossCut)
		if !found {
			break
		}
		taken = append(taken, s)
		pins = append(pins, s.pin)
		bears += s.pin.BearsN
	}
	return pins
}

// next returns the best spot on the wall with the fewest pins; the second pin
// comes from the opposite wall where it can, so that the two clamp the pattern.
func (in Input) next(spots [][]spot, taken []spot, acrossCut bool) (spot, bool) {
	count := make([]int, len(in.Walls))
	for _, t := range taken {
		count[t.wall] += 2
	}
	var free []spot
	for w, list := range spots {
		if len(taken) == 1 && r2.Dot(in.Walls[w].inward(), in.Walls[taken[0].wall].inward()) > -oppositeLeast {
			count[w]++
		}
		for i := range min(len(list), candidatesUp) {
			if s := list[i]; (acrossCut || !s.pin.CrossesCut) && apart(s, taken) && in.free(s.at, in.Walls[w].toWall(), s.pin.GapMM) {
				free = append(free, s)
				break
			}
		}
	}
	if len(free) == 0 {
		return spot{}, false
	}
	return slices.MinFunc(free, func(a, b spot) int {
		return cmp.Or(cmp.Compare(count[a.wall], count[b.wall]), cmp.Compare(a.score, b.score))
	}), true
}

func apart(s spot, taken []spot) bool {
	return !slices.ContainsFunc(taken, func(t spot) bool { return r3.Norm(r3.Sub(s.at, t.at)) < pinApartMM })
}
