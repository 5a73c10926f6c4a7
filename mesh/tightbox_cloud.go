package mesh

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh/large"
)

// cloud answers which of many points is farthest in a direction. The points are
// put in an order in which neighbours stand together and are taken in blocks with
// a box around each, these in larger ones and so on, so that few come into
// question for a direction.
type cloud struct {
	points []r3.Vec
	boxes  [][]reachBox // around blockPoints points each; fanOut of those each; ...; one
}

const (
	blockPoints = 32
	fanOut      = 8
)

// reachBox is a box along the axes, a little too large, so that rounding never
// puts a point beyond it.
type reachBox struct{ mid, half r3.Vec }

func newReachBox(b r3.Box) reachBox {
	const more = 1e-15 // several times the rounding of a product of three
	grow := func(lo, hi float64) float64 { return (hi-lo)/2 + more*(math.Abs(lo)+math.Abs(hi)) }
	return reachBox{
		mid:  r3.Scale(0.5, r3.Add(b.Min, b.Max)),
		half: r3.Vec{X: grow(b.Min.X, b.Max.X), Y: grow(b.Min.Y, b.Max.Y), Z: grow(b.Min.Z, b.Max.Z)},
	}
}

// most returns how far along d the box reaches; abs is d without signs.
func (b *reachBox) most(d, abs *r3.Vec) float64 {
	return b.mid.X*d.X + b.mid.Y*d.Y + b.mid.Z*d.Z + b.half.X*abs.X + b.half.Y*abs.Y + b.half.Z*abs.Z
}

// newCloud makes a cloud of those points that are not inside, as beyondSample tells;
// of all where that is nil.
func newCloud(points []r3.Vec, to []int32) *cloud {
	c := &cloud{points: filed(points, to)}
	points = c.points
	blocks := make([]reachBox, (len(points)+blockPoints-1)/blockPoints)
	inParts(len(points), func(_, lo, hi int) {
		for b := (lo + blockPoints - 1) / blockPoints; b*blockPoints < hi; b++ {
			blocks[b] = newReachBox(BoundsOf(c.points[b*blockPoints : min((b+1)*blockPoints, len(points))]))
		}
	})
	c.boxes = append(c.boxes, blocks)
	for len(blocks) > 1 {
		larger := make([]reachBox, 0, len(blocks)/fanOut+1)
		for some := range slices.Chunk(blocks, fanOut) {
			larger = append(larger, around(some))
		}
		blocks = larger
		c.boxes = append(c.boxes, blocks)
	}
	return c
}

// around returns a box around boxes.
func around(some []reachBox) reachBox {
	all := r3.Box{Min: r3.Sub(some[0].mid, some[0].half), Max: r3.Add(some[0].mid, some[0].half)}
	for _, b := range some[1:] {
		lo, hi := r3.Sub(b.mid, b.half), r3.Add(b.mid, b.half)
		all.Min = r3.Vec{X: min(all.Min.X, lo.X), Y: min(all.Min.Y, lo.Y), Z: min(all.Min.Z, lo.Z)}
		all.Max = r3.Vec{X: max(all.Max.X, hi.X), Y: max(all.Max.Y, hi.Y), Z: max(all.Max.Z, hi.Z)}
	}
	return newReachBox(all)
}

// within returns which boxes, or points of level −1, make up box i of a level.
func (c *cloud) within(level, i int) (first, end int) {
	if level == 0 {
		return i * blockPoints, min((i+1)*blockPoints, len(c.points))
	}
	return i * fanOut, min((i+1)*fanOut, len(c.boxes[level-1]))
}

// filed returns the points that are not inside sorted by the cells of a grid, the
// cells in Morton's order (eight cells that make a larger one stand together, at
// every scale).
func filed(points []r3.Vec, to []int32) []r3.Vec {
	b := boundsInParts(points)
	size := r3.Sub(b.Max, b.Min)
	const side = 1 << cellBits
	const none = side * side * side // the cell of those inside
	per := (side - 0.001) / max(size.X, size.Y, size.Z)
	cells := large.Make[uint16](len(points))
	inParts(len(points), func(_, lo, hi int) {
		for i, p := range points[lo:hi] {
			if to != nil && to[lo+i] == inside {
				cells[lo+i] = none
				continue
			}
			x, y, z := uint((p.X-b.Min.X)*per), uint((p.Y-b.Min.Y)*per), uint((p.Z-b.Min.Z)*per)
			cells[lo+i] = mortonBits[x%side] | mortonBits[y%side]<<1 | mortonBits[z%side]<<2
		}
	})
	next := make([]int32, none+2)
	for _, c := range cells {
		next[c+1]++
	}
	for i := 1; i <= none; i++ {
		next[i] += next[i-1]
	}
	out := large.Make[r3.Vec](int(next[none]))
	for i, p := range points {
		if c := cells[i]; c != none {
			out[next[c]] = p
			next[c]++
		}
	}
	return out
}

// cellBits is how often filed halves the bounds along each axis.
const cellBits = 5

// mortonBits spreads the bits of a number to every third place.
var mortonBits = func() (spread [1 << cellBits]uint16) {
	for x := range spread {
		for bit := range cellBits {
			spread[x] |= uint16(x>>bit&1) << (3 * bit)
		}
	}
	return spread
}()

// farthest returns a point that is farthest along d.
func (c *cloud) farthest(d r3.Vec) r3.Vec {
	s := search{cloud: c, d: d, abs: r3.Vec{X: math.Abs(d.X), Y: math.Abs(d.Y), Z: math.Abs(d.Z)}, far: math.Inf(-1)}
	s.look(len(c.boxes)-1, 0)
	return c.points[s.at]
}

// search is a search for the farthest point.
type search struct {
	*cloud
	d, abs r3.Vec
	far    float64
	at     int
}

// look looks into box i of a level: first where it reaches farthest, then where
// it reaches beyond what was found there.
func (s *search) look(level, i int) {
	first, end := s.within(level, i)
	if level == 0 {
		for k, p := range s.points[first:end] {
			if x := dot(s.d, p); x > s.far {
				s.far, s.at = x, first+k
			}
		}
		return
	}
	var most [fanOut]float64
	best := 0
	for k := range s.boxes[level-1][first:end] {
		most[k] = s.boxes[level-1][first+k].most(&s.d, &s.abs)
		if most[k] > most[best] {
			best = k
		}
	}
	if most[best] > s.far {
		s.look(level-1, first+best)
	}
	for k := range end - first {
		if k != best && most[k] > s.far {
			s.look(level-1, first+k)
		}
	}
}

// boxAlong returns the box around all points along axes, and points at its sides.
func (c *cloud) boxAlong(axes [3]r3.Vec) (turnedBox, []r3.Vec) {
	touched := make([]r3.Vec, 0, 6)
	for _, a := range axes {
		touched = append(touched, c.farthest(a), c.farthest(r3.Scale(-1, a)))
	}
	return boxAlong(touched, axes), touched
}

const (
	cloudTurn = 0.16 // radians that a box on all points turns at a time, at first
	mostCuts  = 32   // turns of about one size that are tried in a row
	movedFar  = 1e-3 // relative volume: a box that has lost more is followed once more
)

// tightestBox is TightestBox.
func (c *cloud) tightestBox() OrientedBox {
	coarse, err := Hull(c.spreadOut())
	if err != nil {
		return flatBox(c.points)
	}
	best := c.settled(coarseBox(newPolyhedron(coarse), false), coarse.Vertices)
	_, touched := c.boxAlong(best.axes)
	return orientedBox(touched, best.axes)
}

// settled follows a box on all points until nothing gets smaller. Its turns
// become ever smaller, and with them the part of the surface that matters. The
// box is turned about some points all around, later about points of that part
// alone; when all points then say that the box is larger than it seemed, the ones
// that do are added.
func (c *cloud) settled(b turnedBox, some []r3.Vec) turnedBox {
	best, touched := c.boxAlong(b.axes)
	near := slices.Concat(some, touched)
	for reach, before := cloudTurn, best.volume; reach > leastTurn; reach /= 8 {
		if reach < cloudTurn {
			near = append(near[:0], touched...)
		}
		near = append(near, c.beside(best, reach)...)
		for range mostCuts {
			turn := refined(near, best.axes, reach, reach/8)
			if turn.volume >= best.volume*(1-1e-9) {
				break
			}
			whole, at := c.boxAlong(turn.axes)
			near = append(near, at...)
			if whole.volume < best.volume {
				best, touched = whole, at
			}
		}
		if reach/8 <= leastTurn && best.volume < before*(1-movedFar) {
			reach, before = 8*cloudTurn, best.volume
		}
	}
	return best
}

// beside returns the points at the sides of a box that is turned a little about
// its axes and between them.
func (c *cloud) beside(b turnedBox, angle float64) (points []r3.Vec) {
	for _, about := range turnAxes {
		axes := b.turned(about, angle)
		for k, along := range [3]float64{about.X, about.Y, about.Z} {
			if along == 0 { // others turn this side like one of these
				points = append(points, c.farthest(axes[k]), c.farthest(r3.Scale(-1, axes[k])))
			}
		}
	}
	return points
}

// spreadOut is what spreadOut is for few points.
func (c *cloud) spreadOut() []r3.Vec {
	scatter := cholesky(c.points)
	directions := make([]r3.Vec, coarsePoints)
	for k := range directions {
		directions[k] = drawnIn(scatter, spiral(k, coarsePoints))
	}
	var out []r3.Vec
	seen := make(map[r3.Vec]bool)
	for _, p := range each(directions, c.farthest) {
		if !seen[p] {
			seen[p] = true
			out = append(out, p)
		}
	}
	return out
}
