package stand

import (
	"container/heap"
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
)

// contactMM is how far above the lowest point the section is taken in which
// the spout is measured.
const contactMM = 0.5

// footMM2 is the least section that counts as a place where the pattern touches.
const footMM2 = 4

// contact is where the pattern meets the board.
type contact struct {
	lowest   int32
	centre   r3.Vec    // of the spout, on the lowest plane, frame of the mesh
	diameter float64   // of the largest circle in the section, 0 for a bare tip
	others   int       // places besides the spout's where the pattern touches
	feet     []r2.Vec  // the section's points, in the frame (x, y) of mesh.Frame(up)
	open     []int32   // vertices in the spout
	height   []float64 // of every vertex above the lowest
}

// touch finds the contact of m with a board below it.
func touch(m *mesh.Mesh, up r3.Vec, depth float64) contact {
	c := contact{height: make([]float64, len(m.Vertices))}
	low := math.Inf(1)
	for v, p := range m.Vertices {
		c.height[v] = r3.Dot(up, p)
		if c.height[v] < low {
			low, c.lowest = c.height[v], int32(v)
		}
	}
	for v := range c.height {
		c.height[v] -= low
	}
	x, y := mesh.Frame(up)
	flat := func(p r3.Vec) r2.Vec { return r2.Vec{X: r3.Dot(x, p), Y: r3.Dot(y, p)} }
	tip := m.Vertices[c.lowest]
	loops := m.Section(r3.Add(tip, r3.Scale(depth, up)), up)
	var rings [][]r2.Vec
	for _, l := range loops {
		if mesh.LoopsArea([]mesh.Loop{l}, up) > footMM2 {
			c.others++
		}
		ring := make([]r2.Vec, len(l.Points))
		for i, p := range l.Points {
			ring[i] = flat(p)
		}
		rings = append(rings, ring)
		c.feet = append(c.feet, ring...)
	}
	c.others = max(0, c.others-1)
	centre, radius := widestCircle(rings)
	if radius <= 0 {
		c.centre = tip
		c.feet = append(c.feet, flat(tip))
		c.open = []int32{c.lowest}
		return c
	}
	c.diameter = 2 * radius
	c.centre = r3.Add(r3.Add(r3.Scale(centre.X, x), r3.Scale(centre.Y, y)), r3.Scale(low, up))
	c.openSpout(m, flat, centre, radius, depth)
	return c
}

// onBoard lists every vertex within the depth: without a stem all of them are
// openings.
func (c *contact) onBoard(depth float64) []int32 {
	var all []int32
	for v, h := range c.height {
		if h <= depth {
			all = append(all, int32(v))
		}
	}
	return all
}

// openSpout lists the vertices on the board within the spout's circle; the one
// nearest to its middle where there is none.
func (c *contact) openSpout(m *mesh.Mesh, flat func(r3.Vec) r2.Vec, centre r2.Vec, radius, depth float64) {
	nearest, least := c.lowest, math.Inf(1)
	for v, p := range m.Vertices {
		if c.height[v] > depth {
			continue
		}
		d := r2.Norm(r2.Sub(flat(p), centre))
		if d < least {
			nearest, least = int32(v), d
		}
		if d <= radius {
			c.open = append(c.open, int32(v))
		}
	}
	if len(c.open) == 0 {
		c.open = []int32{nearest}
	}
}

// A circle of no more than this radius (mm) is no opening.
const noCircleMM = 0.1

// widestCircle returns the largest circle inside rings (outer ones and holes,
// even-odd), to 1 % of its radius; radius 0, or any up to noCircleMM, when there
// is none to speak of. It searches
// squares best first by an upper bound of the distance to the rings (Agafonkin,
// "A new algorithm for finding a visual center of a polygon", 2016, from memory).
func widestCircle(rings [][]r2.Vec) (centre r2.Vec, radius float64) {
	lo, hi := r2.Vec{X: math.Inf(1), Y: math.Inf(1)}, r2.Vec{X: math.Inf(-1), Y: math.Inf(-1)}
	for _, ring := range rings {
		for _, p := range ring {
			lo = r2.Vec{X: min(lo.X, p.X), Y: min(lo.Y, p.Y)}
			hi = r2.Vec{X: max(hi.X, p.X), Y: max(hi.Y, p.Y)}
		}
	}
	w, h := hi.X-lo.X, hi.Y-lo.Y
	if !(w > 0 && h > 0) {
		return r2.Vec{}, 0
	}
	side := max(min(w, h), max(w, h)/64)
	var todo squares
	for x := lo.X + side/2; x < hi.X+side/2; x += side {
		for y := lo.Y + side/2; y < hi.Y+side/2; y += side {
			todo = append(todo, newSquare(rings, r2.Vec{X: x, Y: y}, side/2))
		}
	}
	heap.Init(&todo)
	for len(todo) > 0 {
		s := heap.Pop(&todo).(square)
		if s.inside > radius {
			centre, radius = s.middle, s.inside
		}
		if s.most <= max(radius*1.01, noCircleMM) {
			break
		}
		half := s.half / 2
		for _, d := range [4]r2.Vec{{X: -half, Y: -half}, {X: half, Y: -half}, {X: -half, Y: half}, {X: half, Y: half}} {
			heap.Push(&todo, newSquare(rings, r2.Add(s.middle, d), half))
		}
	}
	return centre, radius
}

// square is one part of the plane still to be searched.
type square struct {
	middle r2.Vec
	half   float64
	inside float64 // distance of the middle to the rings, negative outside
	most   float64 // bound for any point of the square
}

type squares []square

func newSquare(rings [][]r2.Vec, middle r2.Vec, half float64) square {
	d := insideDistance(rings, middle)
	return square{middle, half, d, d + half*math.Sqrt2}
}

func (s squares) Len() int           { return len(s) }
func (s squares) Less(i, j int) bool { return s[i].most > s[j].most }
func (s squares) Swap(i, j int)      { s[i], s[j] = s[j], s[i] }
func (s *squares) Push(x any)        { *s = append(*s, x.(square)) }
func (s *squares) Pop() any {
	last := (*s)[len(*s)-1]
	*s = (*s)[:len(*s)-1]
	return last
}

// insideDistance returns the distance from p to the nearest ring, negative
// when p is outside by the even-odd rule.
func insideDistance(rings [][]r2.Vec, p r2.Vec) float64 {
	inside, least := false, math.Inf(1)
	for _, ring := range rings {
		a := ring[len(ring)-1]
		for _, b := range ring {
			if (a.Y > p.Y) != (b.Y > p.Y) && p.X < a.X+(b.X-a.X)*(p.Y-a.Y)/(b.Y-a.Y) {
				inside = !inside
			}
			least = min(least, segmentDistance2(p, a, b))
			a = b
		}
	}
	if !inside {
		return -math.Sqrt(least)
	}
	return math.Sqrt(least)
}

func segmentDistance2(p, a, b r2.Vec) float64 {
	ab, ap := r2.Sub(b, a), r2.Sub(p, a)
	if l := r2.Norm2(ab); l > 0 {
		t := min(1, max(0, r2.Dot(ab, ap)/l))
		ap = r2.Sub(ap, r2.Scale(t, ab))
	}
	return r2.Norm2(ap)
}
