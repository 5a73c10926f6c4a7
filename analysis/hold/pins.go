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
	XMM, ZMM   float64    // from the panel's left end, seen from inside, and from its lower edge
	AtMM       [3]float64 // its end on the pattern, stand frame
	GapMM      float64    // from there to the wall
	Detail     float64    // of the surface there
	BearsN     float64    // across, the safety in it
	CrossesCut bool
}

// Limits of pins. Basis: common practice, no source.
const (
	mostPins     = 6
	leastPins    = 2  // one lets the pattern turn about it
	pinApartMM   = 25 // from each other
	pinCutMM     = 8  // from the cut: its land and half a pin
	pinEdgeMM    = 12 // from the board, the rubber's level and the corners of the box
	pinSquare    = 0.8
	pinHeight    = 0.65 // of the pattern's height, where a pin also keeps it upright
	detailMM     = 25   // of gap that full detail is worth avoiding
	heightMM     = 0.3  // of gap that 1 mm off the best height is worth
	pinCellMM    = 5.0  // one candidate for each such square of a wall
	shortestPin  = 5.0  // a rod that is clamped closer is held by the wood around it
	candidatesUp = 400  // looked at for one pin
)

// spot is a place a pin could reach.
type spot struct {
	pin   Pin
	wall  int
	score float64
	at    r3.Vec
}

// pin places pins, and a bar across the box where they do not do.
func (in Input) pin(ctx context.Context, r *Result, l load) error {
	if in.Tree == nil {
		in.Tree = mesh.NewTree(in.Solid.Mesh)
	}
	normals := vertexNormals(in.Solid.Mesh)
	spots := in.spots(normals)
	if err := ctx.Err(); err != nil {
		return err
	}
	r.Pins = in.place(spots, l, false)
	if len(r.Pins) < leastPins {
		if across := in.place(spots, l, true); len(across) > len(r.Pins) {
			r.Pins = across
		}
	}
	for _, p := range r.Pins {
		r.PinsBearN += p.BearsN
	}
	if len(r.Pins) < leastPins || r.PinsBearN < l.liftN {
		r.Bar = in.bar(normals, l)
	}
	return ctx.Err()
}

func vertexNormals(m *mesh.Mesh) []r3.Vec {
	normals := make([]r3.Vec, len(m.Vertices))
	for f, face := range m.Faces {
		n := m.DoubleAreaNormal(f)
		for _, v := range face {
			normals[v] = r3.Add(normals[v], n)
		}
	}
	for v, n := range normals {
		if l := r3.Norm(n); l > 0 {
			normals[v] = r3.Scale(1/l, n)
		}
	}
	return normals
}

// spots lists, for each wall, the places that face it, best first, one for each
// small square of the wall.
func (in Input) spots(normals []r3.Vec) [][]spot {
	spots := make([][]spot, len(in.Walls))
	top := in.Solid.Bounds().Max.Z
	low := in.Contact.HeightMM + in.StemMM + pinEdgeMM
	high := math.Min(in.LevelMM, top) - in.Rod.DiameterMM
	for w, wall := range in.Walls {
		index := make(map[[2]int]int)
		to := wall.toWall()
		for v, p := range in.Solid.Vertices {
			if p.Z < low || p.Z > high || r3.Dot(normals[v], to) < pinSquare {
				continue
			}
			x, gap := wall.place(p)
			if x < pinEdgeMM || x > wall.LengthMM-pinEdgeMM || gap <= 0 {
				continue
			}
			s := in.spot(w, v, x, gap, top)
			key := [2]int{int(x / pinCellMM), int(p.Z / pinCellMM)}
			if i, seen := index[key]; !seen {
				index[key] = len(spots[w])
				spots[w] = append(spots[w], s)
			} else if s.score < spots[w][i].score {
				spots[w][i] = s
			}
		}
		slices.SortStableFunc(spots[w], func(a, b spot) int { return cmp.Compare(a.score, b.score) })
	}
	return spots
}

func (in Input) spot(w, v int, x, gap, top float64) spot {
	p, wall := in.Solid.Vertices[v], in.Walls[w]
	s := spot{wall: w, at: p, pin: Pin{
		Panel: wall.Panel, XMM: wall.PanelXMM + x, ZMM: p.Z, AtMM: [3]float64{p.X, p.Y, p.Z}, GapMM: gap,
		CrossesCut: in.crossesCut(p, r3.Add(p, r3.Scale(gap, wall.toWall()))), BearsN: in.bears(gap),
	}}
	if in.Detail != nil {
		s.pin.Detail = float64(in.Detail[v])
	}
	s.score = gap + detailMM*s.pin.Detail + heightMM*math.Abs(p.Z-pinHeight*top)
	return s
}

// bears returns what a pin bears across itself, the safety in it, N: clamped in
// the wall and in the pattern it bends to an S, with M = P·gap/2 at either end,
// and breaks at M = strength·π·d³/32.
func (in Input) bears(gap float64) float64 {
	d := in.Rod.DiameterMM
	moment := in.Rod.BendingPa.Low * 1e-6 / in.Safety * math.Pi * d * d * d / 32
	return 2 * moment / math.Max(gap, shortestPin)
}

func (in Input) crossesCut(a, b r3.Vec) bool {
	l := r3.Norm(in.CutAcross)
	if l == 0 {
		return false
	}
	da, db := r3.Dot(in.CutAcross, r3.Sub(a, in.CutPoint))/l, r3.Dot(in.CutAcross, r3.Sub(b, in.CutPoint))/l
	return da*db < 0 || math.Min(math.Abs(da), math.Abs(db)) < pinCutMM
}

// place takes pins, spread over the walls, until they bear the lift.
func (in Input) place(spots [][]spot, l load, acrossCut bool) []Pin {
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
		if len(taken) == 1 && r2.Dot(in.Walls[w].inward(), in.Walls[taken[0].wall].inward()) > -0.7 {
			count[w]++
		}
		for i := range min(len(list), candidatesUp) {
			if s := list[i]; (acrossCut || !s.pin.CrossesCut) && apart(s, taken) && in.free(s) {
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

// free tells whether a pin reaches the spot from its wall past the rest of the
// pattern, looked at along its middle and four lines on its skin.
func (in Input) free(s spot) bool {
	wall := in.Walls[s.wall]
	to, r := wall.toWall(), in.Rod.DiameterMM/2
	side := r3.Vec{X: wall.Along.X * r, Y: wall.Along.Y * r}
	for _, off := range [5]r3.Vec{{}, {Z: r}, {Z: -r}, side, r3.Scale(-1, side)} {
		from := r3.Add(r3.Add(s.at, r3.Scale(math.Min(2, s.pin.GapMM/2), to)), off)
		if h, hit := in.Tree.First(from, to); hit && h.Distance < s.pin.GapMM {
			return false
		}
	}
	return true
}
