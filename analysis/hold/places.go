package hold

import (
	"cmp"
	"iter"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
)

// place is a place on the pattern and the detail there.
type place struct {
	at     r3.Vec
	detail float64
}

const (
	// placeMM is how far apart places are looked at on a large face, and how
	// large the squares are of which one place each is kept.
	placeMM = 5.0
	// facingLeast is the cosine between the surface and a rod that may end on it.
	facingLeast = 0.8
	// landMM is how uneven the surface may be under a rod's end.
	landMM = 2
	// mostSteps is into how many parts the side of a large face is cut at most.
	mostSteps = 60
)

// facing visits places spread over the faces that look along a direction.
func (in Input) facing(to r3.Vec) iter.Seq[place] {
	return func(yield func(place) bool) {
		m := in.Solid.Mesh
		for f := range m.Faces {
			n := m.DoubleAreaNormal(f)
			if length := r3.Norm(n); length == 0 || r3.Dot(n, to) < facingLeast*length {
				continue
			}
			for _, w := range weightsOver(in.Solid.Corners(f)) {
				if !yield(in.placeOn(f, w)) {
					return
				}
			}
		}
	}
}

// placeOn is the place on a face at weights of its corners.
func (in Input) placeOn(f int, w [3]float64) (p place) {
	for k, v := range in.Solid.Faces[f] {
		p.at = r3.Add(p.at, r3.Scale(w[k], in.Solid.Vertices[v]))
		if in.Detail != nil {
			p.detail += w[k] * float64(in.Detail[v])
		}
	}
	return p
}

var middleOnly = [][3]float64{{1. / 3, 1. / 3, 1. / 3}}

// weightsOver returns weights of the corners for places about placeMM apart,
// within the face; the middle of a small one.
func weightsOver(a, b, c r3.Vec) [][3]float64 {
	longest := max(r3.Norm(r3.Sub(b, a)), r3.Norm(r3.Sub(c, b)), r3.Norm(r3.Sub(a, c)))
	n := int(math.Min(mostSteps, math.Ceil(longest/placeMM)))
	if n <= 1 {
		return middleOnly
	}
	var all [][3]float64
	for i := range n {
		for j := range n - i {
			u, v := (float64(i)+1./3)/float64(n), (float64(j)+1./3)/float64(n)
			all = append(all, [3]float64{1 - u - v, u, v})
		}
	}
	return all
}

// bestSpots returns the spots made of places, the one of the least score in
// each cell, rising by score.
func bestSpots(places iter.Seq[place], of func(place) (spot, [2]int, bool)) []spot {
	var spots []spot
	index := make(map[[2]int]int)
	for p := range places {
		s, cell, ok := of(p)
		if !ok {
			continue
		}
		if i, seen := index[cell]; !seen {
			index[cell] = len(spots)
			spots = append(spots, s)
		} else if s.score < spots[i].score {
			spots[i] = s
		}
	}
	slices.SortStableFunc(spots, func(a, b spot) int { return cmp.Compare(a.score, b.score) })
	return spots
}

// free tells whether a rod reaches a place from a gap away along a direction,
// past the rest of the pattern, and lands on even surface: it is looked at
// along its middle and four lines on its skin.
func (in Input) free(at, to r3.Vec, gap float64) bool {
	x, y := mesh.Frame(to)
	r := in.Rod.DiameterMM / 2
	for _, off := range [5]r3.Vec{{}, r3.Scale(r, x), r3.Scale(-r, x), r3.Scale(r, y), r3.Scale(-r, y)} {
		from := r3.Add(r3.Add(at, r3.Scale(gap, to)), off)
		if h, hit := in.Tree.First(from, r3.Scale(-1, to)); !hit || math.Abs(h.Distance-gap) > landMM {
			return false
		}
	}
	return true
}
