package mesh

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh/large"
)

// cloud answers which of many points is farthest in a direction. Points that follow
// each other, mostly neighbours, are taken in blocks with a box around each; the
// blocks are put in an order in which neighbours stand together and are taken in
// larger ones and so on, so that few come into question for a direction.
type cloud struct {
	points []r3.Vec
	blocks []pointBlock
	boxes  [][]reachBox // around each block; around fanOut of those; ...; one around all
}

// pointBlock are the points from first on, n of them.
type pointBlock struct{ first, n int32 }

const (
	blockPoints = 32 // at most in a block
	blockReach  = 8  // the part of the longest side that a block may reach over, along an axis
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

func newCloud(points []r3.Vec) *cloud {
	size := longestSide(boundsInParts(points)) / blockReach
	if inDisorder(points, size) {
		// Points that follow each other are no neighbours: those of cells that do are.
		sorted := large.Make[r3.Vec](len(points))
		for k, i := range filed(points) {
			sorted[k] = points[i]
		}
		points = sorted
	}
	return cloudInOrder(points, size)
}

// inDisorder says whether points that follow each other would make blocks of fewer
// than eight, judged by an eighth of the points.
func inDisorder(points []r3.Vec, size float64) bool {
	blocks, looked := 0, 0
	for lo := 0; lo < len(points); lo += 8 * blockSize {
		end := min(lo+blockSize, len(points))
		looked += end - lo
		for at := lo; at < end; blocks++ {
			at += runOfNeighbours(points[at:min(at+blockPoints, end)], size)
		}
	}
	return blocks > looked/8
}

// cloudInOrder makes a cloud of points that follow each other as they are; a block
// reaches no farther than size.
func cloudInOrder(points []r3.Vec, size float64) *cloud {
	c := &cloud{points: points}
	// Blocks do not depend on the number of processors.
	blocksIn, boxesIn := make([][]pointBlock, blocksOf(len(points))), make([][]reachBox, blocksOf(len(points)))
	eachBlock(len(points), func(some, lo, hi int) {
		usual := (hi - lo) / blockPoints
		blocksIn[some], boxesIn[some] = make([]pointBlock, 0, usual+usual/8), make([]reachBox, 0, usual+usual/8)
		for lo < hi {
			n := runOfNeighbours(points[lo:min(lo+blockPoints, hi)], size)
			blocksIn[some] = append(blocksIn[some], pointBlock{int32(lo), int32(n)})
			boxesIn[some] = append(boxesIn[some], newReachBox(BoundsOf(points[lo:lo+n])))
			lo += n
		}
	})
	blocks, boxes := slices.Concat(blocksIn...), slices.Concat(boxesIn...)
	c.blocks = make([]pointBlock, len(blocks))
	level := make([]reachBox, len(blocks))
	mids := make([]r3.Vec, len(boxes))
	for i := range boxes {
		mids[i] = boxes[i].mid
	}
	for k, i := range filed(mids) {
		c.blocks[k], level[k] = blocks[i], boxes[i]
	}
	c.boxes = append(c.boxes, level)
	for len(level) > 1 {
		larger := make([]reachBox, 0, len(level)/fanOut+1)
		for some := range slices.Chunk(level, fanOut) {
			larger = append(larger, around(some))
		}
		level = larger
		c.boxes = append(c.boxes, level)
	}
	return c
}

// runOfNeighbours returns how many points, from the first on, are no farther from
// that one than size along any axis.
func runOfNeighbours(points []r3.Vec, size float64) int {
	a := points[0]
	for i, p := range points {
		if math.Abs(p.X-a.X) > size || math.Abs(p.Y-a.Y) > size || math.Abs(p.Z-a.Z) > size {
			return i
		}
	}
	return len(points)
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

// filed returns the numbers of points sorted by the cells of a grid that they are in,
// the cells in Morton's order (eight cells that make a larger one stand together, at
// every scale).
func filed(points []r3.Vec) []int32 {
	b := BoundsOf(points)
	const side = 1 << cellBits
	per := (side - 0.001) / longestSide(b)
	cells := make([]uint16, len(points))
	next := make([]int32, side*side*side+1)
	for i := range points {
		m := &points[i]
		x, y, z := uint((m.X-b.Min.X)*per), uint((m.Y-b.Min.Y)*per), uint((m.Z-b.Min.Z)*per)
		cells[i] = mortonBits[x%side] | mortonBits[y%side]<<1 | mortonBits[z%side]<<2
		next[cells[i]+1]++
	}
	for i := 1; i < len(next); i++ {
		next[i] += next[i-1]
	}
	order := make([]int32, len(points))
	for i, c := range cells {
		order[next[c]] = int32(i)
		next[c]++
	}
	return order
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
	if level == 0 {
		b := s.blocks[i]
		for k, p := range s.points[b.first : b.first+b.n] {
			if x := dot(s.d, p); x > s.far {
				s.far, s.at = x, int(b.first)+k
			}
		}
		return
	}
	first := i * fanOut
	end := min(first+fanOut, len(s.boxes[level-1]))
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
	mostCuts  = 4    // turns of about one size, in a row, that are tried in vain
)

// tightestBox is TightestBox, given the hull of points that are spread out.
func (c *cloud) tightestBox(coarse *Mesh) OrientedBox {
	best := c.settled(coarseBox(newPolyhedron(coarse), false), coarse.Vertices)
	_, touched := c.boxAlong(best.axes)
	return orientedBox(touched, best.axes)
}

// settled follows a box on all points until nothing gets smaller. Its turns
// become ever smaller, and with them the part of the surface that matters. The
// box is turned about some points all around at first, then about points of that part
// alone; when all points then say that the box is larger than it seemed, the ones
// that do are added.
func (c *cloud) settled(b turnedBox, some []r3.Vec) turnedBox {
	best, touched := c.boxAlong(b.axes)
	near := slices.Concat(some, touched)
	for reach := cloudTurn; reach > leastTurn; reach /= 8 {
		if reach < cloudTurn {
			near = append(near[:0], touched...)
		}
		near = append(near, c.beside(best, reach)...)
		for cuts := mostCuts; cuts > 0; cuts-- {
			turn := refined(near, best.axes, reach, reach/8, 2*reach)
			if turn.volume >= best.volume*(1-1e-9) {
				break
			}
			whole, at := c.boxAlong(turn.axes)
			near = append(near, at...)
			if whole.volume < best.volume*(1-1e-9) {
				cuts = mostCuts
			}
			if whole.volume < best.volume {
				best, touched = whole, at
			}
		}
	}
	return best
}

// beside returns the points at the sides of a box, each turned a little to and fro
// about both other axes.
func (c *cloud) beside(b turnedBox, angle float64) (points []r3.Vec) {
	for k := range b.axes {
		for _, about := range [2]int{(k + 1) % 3, (k + 2) % 3} {
			for _, by := range [2]float64{angle, -angle} {
				var turn [3]float64
				turn[about] = by
				a := b.turned(r3.Vec{X: turn[0], Y: turn[1], Z: turn[2]}, 1)[k]
				points = append(points, c.farthest(a), c.farthest(r3.Scale(-1, a)))
			}
		}
	}
	return points
}

// spreadOut is what spreadOut is for few points.
func (c *cloud) spreadOut() []r3.Vec {
	scatter := cholesky(c.points)
	directions := make([]r3.Vec, cloudPoints)
	for k := range directions {
		directions[k] = drawnIn(scatter, spiral(k, cloudPoints))
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
