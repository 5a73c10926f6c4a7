package stand

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
)

// contactMM is how far above the lowest point the section is taken in which
// the spout is measured.
const contactMM = 0.5

// footMM2 is the least section that counts as a place where the pattern touches.
const footMM2 = 4

// opening is one place the spout can be.
type opening struct {
	centre   r3.Vec     // on the pattern's lowest plane, or on the pattern where the spout was wished higher up
	diameter float64    // of the largest circle in the section there, 0 for a bare tip
	rings    [][]r2.Vec // of that section, across the board
	others   int        // places besides where the pattern touches the board
}

// contact is how the pattern meets the board.
type contact struct {
	lowest   int32
	low      float64   // height of the lowest point along up
	height   []float64 // of every vertex above it
	feet     []r2.Vec  // where it touches, in the frame (x, y) of mesh.Frame(up)
	openings []opening // widest first, never none
}

// board is one direction that points at the board, with the frame across it.
type board struct{ up, x, y r3.Vec }

func newBoard(down r3.Vec) board {
	up := r3.Scale(-1, down)
	x, y := mesh.Frame(up)
	return board{up, x, y}
}

func (b board) flat(p r3.Vec) r2.Vec { return r2.Vec{X: r3.Dot(b.x, p), Y: r3.Dot(b.y, p)} }

// raised returns the point over p at a height along up.
func (b board) raised(p r2.Vec, height float64) r3.Vec {
	return r3.Add(r3.Add(r3.Scale(p.X, b.x), r3.Scale(p.Y, b.y)), r3.Scale(height, b.up))
}

// touch finds how the judge's mesh meets a board below it, without openings.
func (j *judge) touch(b board) contact {
	c := contact{height: make([]float64, len(j.m.Vertices)), low: math.Inf(1)}
	for v, p := range j.m.Vertices {
		h := b.up.X*p.X + b.up.Y*p.Y + b.up.Z*p.Z
		c.height[v] = h
		if h < c.low {
			c.low, c.lowest = h, int32(v)
		}
	}
	for v := range c.height {
		c.height[v] -= c.low
		if c.height[v] <= contactMM {
			c.feet = append(c.feet, b.flat(j.m.Vertices[v]))
		}
	}
	return c
}

// foot is one part of the section: an outer ring with the holes in it.
type foot struct {
	rings [][]r2.Vec
	area  float64
}

// feetAt returns the parts of the section at a height along up, largest first.
func (j *judge) feetAt(b board, height float64) []foot {
	loops := j.m.Section(r3.Scale(height, b.up), b.up)
	var feet []foot
	var holes []foot
	for _, l := range loops {
		ring := make([]r2.Vec, len(l.Points))
		for i, p := range l.Points {
			ring[i] = b.flat(p)
		}
		part := foot{[][]r2.Vec{thinned(ring, 0.1*j.share*j.in.LeastSpoutMM)}, ringArea(ring)}
		if part.area > 0 {
			feet = append(feet, part)
		} else {
			holes = append(holes, part)
		}
	}
	for _, h := range holes {
		for i := range feet {
			if insideDistance(feet[i].rings[:1], h.rings[0][0]) > 0 {
				feet[i].rings = append(feet[i].rings, h.rings[0])
				feet[i].area += h.area
				break
			}
		}
	}
	slices.SortStableFunc(feet, func(a, b foot) int { return cmp.Compare(b.area, a.area) })
	return feet
}

func ringArea(ring []r2.Vec) float64 {
	sum := 0.0
	for i, p := range ring {
		sum += r2.Cross(r2.Sub(p, ring[0]), r2.Sub(ring[(i+1)%len(ring)], ring[0]))
	}
	return sum / 2
}

// mostOpenings is in how many feet, largest first, the spout is tried.
const mostOpenings = 4

// look fills the openings: the widest circle in each foot.
func (j *judge) look(b board, c *contact) {
	feet := j.feetAt(b, c.low+j.depth)
	touching := 0
	for _, f := range feet {
		if f.area > footMM2 {
			touching++
		}
		for _, ring := range f.rings {
			c.feet = append(c.feet, ring...)
		}
	}
	for i, f := range feet {
		if i == mostOpenings || i > 0 && f.area <= footMM2 {
			break
		}
		if centre, radius := j.circleIn(f); radius > 0 {
			c.openings = append(c.openings, opening{b.raised(centre, c.low), 2 * radius, f.rings, max(0, touching-1)})
		}
	}
	slices.SortStableFunc(c.openings, func(a, b opening) int { return cmp.Compare(b.diameter, a.diameter) })
	if len(c.openings) == 0 {
		c.openings = []opening{{centre: j.m.Vertices[c.lowest]}}
	}
}

// circleIn returns the widest circle in a foot, below the centroid where it is as
// wide there, or wide enough for a stem that is asked for.
func (j *judge) circleIn(f foot) (centre r2.Vec, radius float64) {
	centre, radius = widestCircle(f.rings, nil, j.share)
	under := insideDistance(f.rings, r2.Vec{})
	if under >= (1-j.share)*radius || j.in.StemMM > 0 && under >= j.in.LeastSpoutMM/2 {
		return r2.Vec{}, under
	}
	return centre, radius
}

// openings lists the vertices where the pattern lies open to the board: with no
// stem all those on it; with one those in the spout, at least the nearest.
func (j *judge) openings(w Way) []int32 {
	b := newBoard(w.Down)
	c := j.touch(b)
	centre, radius := b.flat(w.Spout), min(w.SpoutDiameterMM, j.in.LeastSpoutMM)/2
	rise := r3.Dot(b.up, w.Spout) - c.low
	lowest := rise - j.depth
	if j.wish != nil {
		lowest -= 2 * radius // a place on a slant has a lower rim
	}
	var open []int32
	nearest, least := c.lowest, math.Inf(1)
	for v, h := range c.height {
		switch {
		case h > rise+j.depth:
			continue
		case w.StemMM == 0:
			open = append(open, int32(v))
			continue
		case h < lowest:
			continue
		}
		d := r2.Norm(r2.Sub(b.flat(j.m.Vertices[v]), centre))
		if d < least {
			nearest, least = int32(v), d
		}
		if d <= radius {
			open = append(open, int32(v))
		}
	}
	if len(open) == 0 {
		open = []int32{nearest}
	}
	return open
}
