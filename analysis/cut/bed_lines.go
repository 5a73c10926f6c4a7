package cut

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// Contour is where a shaped bed lies so far along the normal from its plane.
type Contour struct {
	OffsetMM float64
	Lines    []Line
}

// contourNodeMM is how finely contours are followed.
const contourNodeMM = 2

// Contours returns the lines of equal height of a shaped sheet in the block, at an
// offset and whole multiples of a step from it, lowest first, the range of its offsets
// there; nothing of another sheet.
func (s *Sheet) Contours(room *Room, fromMM, stepMM float64) (all []Contour, low, high float64) {
	if s.Shape == nil {
		return nil, 0, 0
	}
	lo, hi := r2.Vec{X: math.Inf(1), Y: math.Inf(1)}, r2.Vec{X: math.Inf(-1), Y: math.Inf(-1)}
	for _, c := range room.corners() {
		u, v := s.Flat(c)
		lo, hi = r2.Vec{X: min(lo.X, u), Y: min(lo.Y, v)}, r2.Vec{X: max(hi.X, u), Y: max(hi.Y, v)}
	}
	g := raster{low: lo, stepMM: contourNodeMM, nu: int((hi.X-lo.X)/contourNodeMM) + 1, nv: int((hi.Y-lo.Y)/contourNodeMM) + 1}
	offset := func(p r2.Vec) float64 { return s.offset(p.X, p.Y) }
	g.fill(func(i, j int) float64 { return offset(g.place(i, j)) })
	low, high = math.Inf(1), math.Inf(-1)
	for _, h := range g.at {
		low, high = min(low, h), max(high, h)
	}
	for k := math.Ceil((low - fromMM) / stepMM); fromMM+k*stepMM < high; k++ {
		c := Contour{OffsetMM: fromMM + k*stepMM}
		for _, line := range g.contours(c.OffsetMM+1e-9, offset) {
			l := Line{Closed: line.closed}
			for _, p := range line.points {
				l.Points = append(l.Points, s.At(p.X, p.Y))
			}
			c.Lines = append(c.Lines, l)
		}
		all = append(all, c)
	}
	return all, low, high
}

// Spaced returns points about so far apart on each loop of the outline, the first where
// the loop is lowest.
func (r *Result) Spaced(everyMM float64) (all []r3.Vec) {
	for _, l := range r.Outline {
		first := 0
		for i, p := range l.Points {
			if p.Z < l.Points[first].Z {
				first = i
			}
		}
		n := max(1, int(math.Round(l.Length()/everyMM)))
		step, walked, next := l.Length()/float64(n), 0.0, 0.0
		for k := range l.Points {
			a, b := l.Points[(first+k)%len(l.Points)], l.Points[(first+k+1)%len(l.Points)]
			d := r3.Norm(r3.Sub(b, a))
			for ; next < float64(n)*step-1e-9 && walked+d >= next && d > 0; next += step {
				all = append(all, r3.Add(a, r3.Scale((next-walked)/d, r3.Sub(b, a))))
			}
			walked += d
		}
	}
	return all
}
