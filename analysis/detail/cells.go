package detail

import (
	"cmp"
	"context"
	"math"
	"runtime"
	"slices"
	"sync"
	"sync/atomic"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
)

// Samples per radius along each axis, and the most samples that time and memory
// allow.
const (
	samplesPerRadius = 3
	maxSamples       = 1_000_000
)

// sample stands for the surface of a small cell: the mean place and direction of
// its points, in the part's own frame, and their area.
type sample struct {
	at, normal r3.Vec
	area       float64
}

// cells hold the samples by the cells of a grid, as wide as the radius, in the
// part's own frame.
type cells struct {
	frame   mesh.Pose
	radius  float64
	key     []uint64 // of each cell that has samples, ascending
	start   []int32  // of its samples; one more than there are cells
	samples []sample
}

// keyBits is how many bits of a key are for one axis; offset makes them positive.
const (
	keyBits   = 21
	offset    = 1 << (keyBits - 1)
	mostCells = offset // along an axis
)

// grid puts a place, in cells from the middle of the part, off the planes of
// symmetry in which its vertices may lie.
func grid(x, size float64) float64 { return x/size + offset + 0.381966 }

func (c *cells) keyAt(p r3.Vec) uint64 {
	x, y, z := grid(p.X, c.radius), grid(p.Y, c.radius), grid(p.Z, c.radius)
	return uint64(x)<<(2*keyBits) | uint64(y)<<keyBits | uint64(z)
}

// keyed is an item and the cell it lies in.
type keyed struct {
	key  uint64
	item int32
}

// newCells sorts points into cells and thins them out.
func newCells(points []point, frame mesh.Pose, radius float64) *cells {
	c := &cells{frame: frame, radius: radius}
	order := make([]keyed, len(points))
	eachPart(len(points), func(lo, hi int) {
		for i := lo; i < hi; i++ {
			p := &points[i]
			p.at, p.vector = frame.Point(p.at), frame.Dir(p.vector)
			order[i] = keyed{c.keyAt(p.at), int32(i)}
		}
	})
	order = sorted(order)
	runs := runsOf(order)
	thin := make([][]sample, len(runs)-1)
	eachPart(len(thin), func(lo, hi int) {
		var t thinner
		for i := lo; i < hi; i++ {
			thin[i] = t.thinned(points, order[runs[i]:runs[i+1]], radius)
		}
	})
	for i, some := range thin {
		c.key, c.start = append(c.key, order[runs[i]].key), append(c.start, int32(len(c.samples)))
		c.samples = append(c.samples, some...)
	}
	c.start = append(c.start, int32(len(c.samples)))
	return c
}

// sorted sorts by key, items of a cell in their order: by 11 bits at a time, the
// lowest first, leaving out bits in which no keys differ.
func sorted(list []keyed) []keyed {
	const digit = 11
	all, none := ^uint64(0), uint64(0)
	for _, k := range list {
		all, none = all&k.key, none|k.key
	}
	other := make([]keyed, len(list))
	for shift := 0; shift < 3*keyBits; shift += digit {
		if (all^none)>>shift&(1<<digit-1) == 0 {
			continue
		}
		var count [1<<digit + 1]int32
		for _, k := range list {
			count[k.key>>shift&(1<<digit-1)+1]++
		}
		for d := range 1 << digit {
			count[d+1] += count[d]
		}
		for _, k := range list {
			d := k.key >> shift & (1<<digit - 1)
			other[count[d]] = k
			count[d]++
		}
		list, other = other, list
	}
	return list
}

// runsOf returns where each cell begins in a sorted list, and its length.
func runsOf(list []keyed) []int {
	var runs []int
	for i, k := range list {
		if i == 0 || k.key != list[i-1].key {
			runs = append(runs, i)
		}
	}
	return append(runs, len(list))
}

// thinner adds up the points of a cell in small cells.
type thinner struct {
	sum   [fine]point
	twice [2 * fine]point // small cells with two skins
}

const fine = samplesPerRadius * samplesPerRadius * samplesPerRadius

// agreeing is how long the sum of area vectors must be, as a share of the area,
// for a small cell to hold one skin. Faces at a cube's corner reach 0.58.
const agreeing = 0.5

func (t *thinner) thinned(points []point, of []keyed, radius float64) []sample {
	t.sum = [fine]point{}
	for _, k := range of {
		p := &points[k.item]
		t.sum[small(p.at, radius)].take(p)
	}
	var out []sample
	split := false
	for i := range t.sum {
		if s := &t.sum[i]; s.area > 0 {
			if long(s.vector) < agreeing*s.area {
				split = true
				continue
			}
			out = append(out, s.sample())
		}
	}
	if split {
		out = t.skins(out, points, of, radius)
	}
	return out
}

// skins adds two samples for each small cell whose faces do not agree: of those
// that face either way along the axis that most of them face along.
func (t *thinner) skins(out []sample, points []point, of []keyed, radius float64) []sample {
	var along [fine]r3.Vec
	for _, k := range of {
		p := &points[k.item]
		add(&along[small(p.at, radius)], r3.Vec{X: math.Abs(p.vector.X), Y: math.Abs(p.vector.Y), Z: math.Abs(p.vector.Z)})
	}
	t.twice = [2 * fine]point{}
	for _, k := range of {
		p := &points[k.item]
		i := small(p.at, radius)
		if long(t.sum[i].vector) >= agreeing*t.sum[i].area {
			continue
		}
		side, a := p.vector.Z, along[i]
		switch {
		case a.X >= a.Y && a.X >= a.Z:
			side = p.vector.X
		case a.Y >= a.Z:
			side = p.vector.Y
		}
		if i *= 2; side > 0 {
			i++
		}
		t.twice[i].take(p)
	}
	for i := range t.twice {
		if s := &t.twice[i]; s.area > 0 && s.vector != (r3.Vec{}) {
			out = append(out, s.sample())
		}
	}
	return out
}

func (s *point) take(p *point) {
	add(&s.at, r3.Scale(p.area, p.at))
	add(&s.vector, p.vector)
	s.area += p.area
}

func (s *point) sample() sample { return sample{r3.Scale(1/s.area, s.at), unit(s.vector), s.area} }

// small is the number of the small cell that a place lies in, in its cell.
func small(p r3.Vec, radius float64) int {
	part := func(x float64) int {
		g := grid(x, radius)
		return min(int((g-math.Floor(g))*samplesPerRadius), samplesPerRadius-1)
	}
	return (part(p.X)*samplesPerRadius+part(p.Y))*samplesPerRadius + part(p.Z)
}

// near appends the samples in the 27 cells around a key.
func (c *cells) near(key uint64, out []sample) []sample {
	for dx := -1; dx <= 1; dx++ {
		for dy := -1; dy <= 1; dy++ {
			row := key + uint64(dx)<<(2*keyBits) + uint64(dy)<<keyBits
			i, _ := slices.BinarySearch(c.key, row-1)
			for ; i < len(c.key) && c.key[i] <= row+1; i++ {
				out = append(out, c.samples[c.start[i]:c.start[i+1]]...)
			}
		}
	}
	return out
}

// residuals finds the residual at each of n places, cell after cell, given each
// one's place and unit direction.
func (c *cells) residuals(ctx context.Context, n int, place func(i int32) (at, normal r3.Vec)) ([]float32, error) {
	order := make([]keyed, n)
	eachPart(n, func(lo, hi int) {
		for i := lo; i < hi; i++ {
			at, _ := place(int32(i))
			order[i] = keyed{c.keyAt(c.frame.Point(at)), int32(i)}
		}
	})
	order = sorted(order)
	runs := runsOf(order)
	out := make([]float32, n)
	eachPart(len(runs)-1, func(lo, hi int) {
		var near []sample
		for i := lo; i < hi && ctx.Err() == nil; i++ {
			cell := order[runs[i]:runs[i+1]]
			near = c.near(cell[0].key, near[:0])
			for _, k := range cell {
				at, normal := place(k.item)
				out[k.item] = float32(residual(c.frame.Point(at), c.frame.Dir(normal), near, c.radius))
			}
		}
	})
	return out, ctx.Err()
}

// eachPart shares 0..n among all processors, a thousand or fewer at a time.
func eachPart(n int, do func(lo, hi int)) {
	const most = 1024
	step := max(1, min(most, n/runtime.GOMAXPROCS(0)))
	var next atomic.Int64
	var wg sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), cmp.Or(n/step, 1)) {
		wg.Go(func() {
			for lo := int(next.Add(int64(step))) - step; lo < n; lo = int(next.Add(int64(step))) - step {
				do(lo, min(lo+step, n))
			}
		})
	}
	wg.Wait()
}
