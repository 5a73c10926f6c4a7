package stand

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
)

// Refused tells why a wish cannot be met, and what to do.
type Refused struct{ what, try string }

// Error returns one sentence that says what is wrong.
func (r *Refused) Error() string { return r.what }

// Hint returns what to do about it.
func (r *Refused) Hint() string { return r.try }

// wish is where the maker wants the spout, in the own frame.
type wish struct {
	point  r3.Vec // of the surface
	normal r3.Vec // unit, outward
	tree   *mesh.Tree
	bumpMM float64 // how far off the surface a line starts
}

// Surface that faces down by less than this takes no spout.
const wishSlantDeg = 70

// newWish finds the surface nearest to a point (own frame).
func newWish(m *mesh.Mesh, p r3.Vec, farMM float64) (*wish, error) {
	w := &wish{tree: mesh.NewTree(m), bumpMM: 1e-4 * farMM}
	hit, found := w.tree.Closest(p, math.Inf(1))
	if !found || hit.Distance > farMM {
		return nil, &Refused{
			fmt.Sprintf("the spout's place is %.0f mm away from the part", hit.Distance),
			"Give a point on its surface with --spout, in mm and the scan's own axes.",
		}
	}
	w.point = hit.Point
	// The face's own normal where it is wide; around a fine vertex, that of all
	// faces nearby.
	w.normal = meanNormal(m, hit.Point, contactMM, m.DoubleAreaNormal(int(hit.Face)))
	return w, nil
}

// meanNormal returns the unit mean of the normals of the faces whose middle is
// within a distance of p, or the unit vector of other where there are none.
func meanNormal(m *mesh.Mesh, p r3.Vec, within float64, other r3.Vec) r3.Vec {
	sum := r3.Scale(1e-9, other)
	for f := range m.Faces {
		a, b, c := m.Corners(f)
		middle := r3.Scale(1./3, r3.Add(r3.Add(a, b), c))
		if r3.Norm2(r3.Sub(middle, p)) <= within*within {
			sum = r3.Add(sum, m.DoubleAreaNormal(f))
		}
	}
	if l := r3.Norm(sum); l > 0 {
		return r3.Scale(1/l, sum)
	}
	return r3.Vec{Z: -1}
}

// rise is how high the wished place is above the lowest point of the hull.
func (j *judge) rise(down r3.Vec) float64 {
	most := math.Inf(-1)
	for _, p := range j.hull {
		most = max(most, r3.Dot(down, p))
	}
	return most - r3.Dot(down, j.wish.point)
}

// onBoard tells whether a place so high above the lowest point still counts as
// lying on the board.
func (j *judge) onBoard(rise float64) bool { return rise <= j.depth }

// reach is how high above the board's side of the pattern a spout can be: it
// takes a stem, and rubber has to get in below the pattern.
func (in *Input) reach() float64 { return in.stemLength() - webMM }

// refuses says why the wished place cannot be the spout with that down; "" when
// it can.
func (j *judge) refuses(down r3.Vec) string {
	rise := j.rise(down)
	if rise <= contactMM {
		return ""
	}
	if rise > j.in.reach() {
		return fmt.Sprintf("it is %.0f mm above the lowest point of the part", rise)
	}
	if r3.Dot(j.wish.normal, down) < math.Cos(wishSlantDeg*math.Pi/180) {
		return "the surface there does not face the board"
	}
	from := r3.Add(j.wish.point, r3.Scale(j.wish.bumpMM, j.wish.normal))
	if _, blocked := j.wish.tree.First(from, down); blocked {
		return "another part of the pattern is between it and the board"
	}
	return ""
}

// takes keeps the directions with which the wish can be met.
func (j *judge) takes(ds []r3.Vec) []r3.Vec {
	if j.wish == nil {
		return ds
	}
	var kept []r3.Vec
	for _, d := range ds {
		if j.refuses(d) == "" {
			kept = append(kept, d)
		}
	}
	return kept
}

// lookAtWish fills the one opening at the wished place.
func (j *judge) lookAtWish(b board, c *contact) {
	rise := r3.Dot(b.up, j.wish.point) - c.low
	onBoard := j.onBoard(rise)
	level, reach := c.low+rise+j.depth, j.in.LeastSpoutMM/2
	if onBoard {
		level, reach = c.low+j.depth, j.in.LeastSpoutMM
	}
	at := b.flat(j.wish.point)
	touching, best, most := 0, foot{}, math.Inf(-1)
	for _, f := range j.feetAt(b, level) {
		if f.area > footMM2 && onBoard {
			touching++
		}
		if onBoard {
			for _, ring := range f.rings {
				c.feet = append(c.feet, ring...)
			}
		}
		if d := insideDistance(f.rings, at); d > most {
			best, most = f, d
		}
	}
	o := opening{centre: j.wish.point, others: max(0, touching-1)}
	if best.rings != nil {
		centre, radius := at, most
		if most < j.in.LeastSpoutMM/2 { // too narrow right there
			centre, radius = widestCircle(best.rings, &near{at, reach}, j.share)
		}
		o.diameter = 2 * max(0, radius)
		if onBoard && radius > noCircleMM {
			o.centre, o.rings = b.raised(centre, c.low), best.rings
		}
	}
	c.openings = []opening{o}
}
