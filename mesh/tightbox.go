package mesh

import (
	"cmp"
	"math"
	"runtime"
	"slices"
	"sync"
	"sync/atomic"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// OrientedBox is a box in space, longest side first.
type OrientedBox struct {
	Center r3.Vec
	Axes   [3]r3.Vec // unit, right-handed
	Size   [3]float64
}

const (
	coarsePoints = 200  // of the hull, on which turns are compared
	spreadTurns  = 400  // turns tried besides those flush with the coarse hull
	boxStarts    = 24   // turns followed on the coarse hull
	besideEach   = 60   // turns tried around each of the best boxes so far
	boxFinals    = 6    // turns followed on the whole hull
	sameBox      = 1e-5 // relative volume: boxes closer than this are one
	widestTurn   = 0.04 // radians that a box turns before its points are picked anew
	leastTurn    = 1e-6 // radians
	// A smooth scan has its points on the hull by the hundred thousand. From so
	// many on, those that stand out by no more than a share of its size are left to
	// the end, when the box turns by thinTurn at most, which they allow for.
	manyCorners = 3000
	thinShare   = 3e-4
	thinTurn    = 1e-3
)

// TightestBox returns a box of least volume around points. A least box need not
// be flush with a face of the hull, only with edges (O'Rourke, "Finding minimal
// enclosing boxes", 1985), so boxes flush with the faces and edges of a coarse
// hull and turns spread over all rotations all start a search by small turns
// and rotating calipers, as in Chang, Gorissen & Melchior, "Fast oriented
// bounding box optimization on the rotation group SO(3,R)", 2011 (both from
// memory; they let a genetic search choose the starts). The best go on, on the
// whole hull, until nothing gets smaller. No points give the zero box.
func TightestBox(points []r3.Vec) OrientedBox {
	hull, whole, err := thinHull(points, manyCorners, thinShare)
	if err != nil {
		return flatBox(points)
	}
	corners, coarse := hull.Vertices, hull
	if len(corners) > coarsePoints {
		if coarse, err = Hull(spreadOut(corners)); err != nil {
			coarse = hull
		}
	}
	finals := eachBox(coarseBoxes(coarse), func(b turnedBox) turnedBox { return settled(corners, b.axes, widestTurn) })
	best := distinct(finals, 1)[0]
	if !whole {
		return orientedBox(points, settled(within(points, best.axes, thinTurn), best.axes, thinTurn).axes)
	}
	return orientedBox(corners, squared(corners, best).axes)
}

// coarseBoxes returns the best boxes around a small hull, best first.
func coarseBoxes(hull *Mesh) []turnedBox {
	points := hull.Vertices
	flush := eachBox(flushNormals(hull), func(n r3.Vec) turnedBox {
		return boxAlong(points, caliperAxes(points, n))
	})
	spread := eachBox(spreadRotations(), func(axes [3]r3.Vec) turnedBox {
		return boxAlong(points, axes)
	})
	spread = eachBox(distinct(spread, spreadTurns/8), func(b turnedBox) turnedBox {
		return refined(points, b.axes, 0.2, 0.04)
	})
	follow := func(b turnedBox) turnedBox {
		return refined(points, squared(points, b).axes, 0.2, 1e-4)
	}
	found := eachBox(append(distinct(flush, boxStarts/2), distinct(spread, boxStarts/2)...), follow)
	found = distinct(found, boxFinals)
	// What holds for the long sides may hold for several turns of the short ones.
	beside := eachBox(besideTurns(found), func(axes [3]r3.Vec) turnedBox {
		return boxAlong(points, axes)
	})
	return distinct(append(found, eachBox(distinct(beside, boxStarts), follow)...), boxFinals)
}

// besideTurns returns turns around boxes, by up to a radian for the short sides.
func besideTurns(boxes []turnedBox) (all [][3]r3.Vec) {
	for _, b := range boxes {
		for k := range besideEach {
			angle := (float64(k) + 0.5) / besideEach
			all = append(all, b.turned(spiral(k*7%besideEach, besideEach), angle))
		}
	}
	return all
}

// spiral returns the k-th of n directions on an even spiral.
func spiral(k, n int) r3.Vec {
	z := 1 - (2*float64(k)+1)/float64(n)
	sin, cos := math.Sincos(math.Pi * (3 - math.Sqrt(5)) * float64(k))
	r := math.Sqrt(1 - z*z)
	return r3.Vec{X: r * cos, Y: r * sin, Z: z}
}

// eachBox works on all starts, several at the same time.
func eachBox[S any](starts []S, work func(S) turnedBox) []turnedBox {
	out := make([]turnedBox, len(starts))
	var next atomic.Int64
	var wg sync.WaitGroup
	for range min(len(starts), runtime.GOMAXPROCS(0)) {
		wg.Go(func() {
			for i := next.Add(1) - 1; i < int64(len(starts)); i = next.Add(1) - 1 {
				out[i] = work(starts[i])
			}
		})
	}
	wg.Wait()
	return out
}

// distinct returns the n best boxes, best first, of those with one volume only
// the first: on a part with symmetries they are turns of each other.
func distinct(boxes []turnedBox, n int) []turnedBox {
	slices.SortStableFunc(boxes, func(a, b turnedBox) int { return cmp.Compare(a.volume, b.volume) })
	boxes = slices.CompactFunc(boxes, func(a, b turnedBox) bool { return b.volume-a.volume < sameBox*a.volume })
	return boxes[:min(n, len(boxes))]
}

// flushNormals returns the unit directions across the faces and along the edges
// of a hull.
func flushNormals(hull *Mesh) []r3.Vec {
	var out []r3.Vec
	add := func(v r3.Vec) {
		if l := r3.Norm(v); l > 0 {
			out = append(out, r3.Scale(1/l, v))
		}
	}
	for f, t := range hull.Faces {
		add(hull.DoubleAreaNormal(f))
		for i := range 3 {
			if a, b := t[i], t[(i+1)%3]; a < b {
				add(r3.Sub(hull.Vertices[b], hull.Vertices[a]))
			}
		}
	}
	return out
}

// spreadOut returns the points farthest along directions of an even spiral, seen
// with points drawn in so that they scatter alike in all directions: a guard in
// the middle of a long blade is not to be missed.
func spreadOut(points []r3.Vec) []r3.Vec {
	var out []r3.Vec
	seen := make(map[int]bool)
	scatter := cholesky(points)
	for k := range coarsePoints {
		d := drawnIn(scatter, spiral(k, coarsePoints))
		best := 0
		for i, p := range points {
			if dot(d, p) > dot(d, points[best]) {
				best = i
			}
		}
		if !seen[best] {
			seen[best] = true
			out = append(out, points[best])
		}
	}
	return out
}

// cholesky returns the lower triangle L, by rows, of the points' covariance LLᵀ.
func cholesky(points []r3.Vec) (l [3][3]float64) {
	var mean r3.Vec
	for _, p := range points {
		mean = r3.Add(mean, r3.Scale(1/float64(len(points)), p))
	}
	var c [3][3]float64
	for _, p := range points {
		d := [3]float64{p.X - mean.X, p.Y - mean.Y, p.Z - mean.Z}
		for i := range 3 {
			for j := range i + 1 {
				c[i][j] += d[i] * d[j] / float64(len(points))
			}
		}
	}
	for i := range 3 {
		for j := range i + 1 {
			rest := c[i][j] - l[i][0]*l[j][0] - l[i][1]*l[j][1] - l[i][2]*l[j][2]
			if i == j {
				l[i][i] = math.Sqrt(max(rest, 1e-20*(c[0][0]+c[1][1]+c[2][2])))
			} else {
				l[i][j] = rest / l[j][j]
			}
		}
	}
	return l
}

// drawnIn returns the direction x with Lᵀx = d: along it, points lie in the order
// that L⁻¹·points have along d.
func drawnIn(l [3][3]float64, d r3.Vec) r3.Vec {
	z := d.Z / l[2][2]
	y := (d.Y - l[2][1]*z) / l[1][1]
	x := (d.X - l[1][0]*y - l[2][0]*z) / l[0][0]
	return r3.Vec{X: x, Y: y, Z: z}
}

// turnedBox is the box around points along given axes.
type turnedBox struct {
	axes   [3]r3.Vec
	size   [3]float64
	volume float64
}

func boxAlong(points []r3.Vec, axes [3]r3.Vec) turnedBox {
	b := turnedBox{axes: axes, volume: 1}
	for i, s := range spans(points, axes) {
		b.size[i] = s.hi - s.lo
		b.volume *= b.size[i]
	}
	return b
}

type span struct{ lo, hi float64 }

// spans returns how far points reach along three axes.
func spans(points []r3.Vec, axes [3]r3.Vec) [3]span {
	u, v, w := axes[0], axes[1], axes[2]
	none := span{math.Inf(1), math.Inf(-1)}
	su, sv, sw := none, none, none
	for _, p := range points {
		su.take(dot(u, p))
		sv.take(dot(v, p))
		sw.take(dot(w, p))
	}
	return [3]span{su, sv, sw}
}

func (s *span) take(x float64) {
	if x < s.lo {
		s.lo = x
	}
	if x > s.hi {
		s.hi = x
	}
}

// caliperAxes returns n and the axes of the least rectangle across it.
func caliperAxes(points []r3.Vec, n r3.Vec) [3]r3.Vec {
	x, y := Frame(n)
	flat := make([]r2.Vec, len(points))
	for i, p := range points {
		flat[i] = r2.Vec{X: dot(x, p), Y: dot(y, p)}
	}
	sin, cos := math.Sincos(MinAreaRect(flat).Angle)
	u := r3.Add(r3.Scale(cos, x), r3.Scale(sin, y))
	return [3]r3.Vec{u, r3.Cross(n, u), n}
}

// spreadRotations returns an even sequence of rotations: Shoemake's uniform
// quaternions (Graphics Gems III, 1992) fed by the additive recurrence of three
// irrational steps (both from memory).
func spreadRotations() [][3]r3.Vec {
	all := make([][3]r3.Vec, spreadTurns)
	for i := range all {
		frac := func(step float64) float64 { return math.Mod(0.5+float64(i)*step, 1) }
		a := frac(0.8191725133961645)
		s1, c1 := math.Sincos(2 * math.Pi * frac(0.6710436067037893))
		s2, c2 := math.Sincos(2 * math.Pi * frac(0.5497004779019703))
		r1, r2 := math.Sqrt(1-a), math.Sqrt(a)
		x, y, z, w := r1*s1, r1*c1, r2*s2, r2*c2
		all[i] = [3]r3.Vec{
			{X: 1 - 2*(y*y+z*z), Y: 2 * (x*y - z*w), Z: 2 * (x*z + y*w)},
			{X: 2 * (x*y + z*w), Y: 1 - 2*(x*x+z*z), Z: 2 * (y*z - x*w)},
			{X: 2 * (x*z - y*w), Y: 2 * (y*z + x*w), Z: 1 - 2*(x*x+y*y)},
		}
	}
	return all
}

// squared turns a box about each of its axes to the least.
func squared(points []r3.Vec, b turnedBox) turnedBox {
	for _, n := range b.axes {
		if c := boxAlong(points, caliperAxes(points, n)); c.volume < b.volume {
			b = c
		}
	}
	return b
}

// settled follows a box until nothing gets smaller, by turns of up to reach. They
// become ever smaller, and with them the number of points that matter.
func settled(points []r3.Vec, axes [3]r3.Vec, reach float64) turnedBox {
	best := boxAlong(points, axes)
	for reach > leastTurn {
		near := within(points, best.axes, reach)
		turn := refined(near, best.axes, reach/4, reach/32)
		if b := boxAlong(points, turn.axes); b.volume < best.volume*(1-1e-9) {
			best = b
		} else {
			reach /= 8
		}
	}
	return best
}

// within returns the points that can be at a side of the box along axes, turned
// by no more than reach (radians): that lifts no point over another by more than
// twice reach times their distance from the middle.
func within(points []r3.Vec, axes [3]r3.Vec, reach float64) []r3.Vec {
	b := BoundsOf(points)
	depth := reach * r3.Norm(r3.Sub(b.Max, b.Min))
	span := spans(points, axes)
	var near []r3.Vec
	for _, p := range points {
		for k, a := range axes {
			if d := dot(a, p); min(d-span[k].lo, span[k].hi-d) <= depth {
				near = append(near, p)
				break
			}
		}
	}
	return near
}

// refined turns the axes by ever smaller angles, from first to last (radians),
// about the box's own axes and diagonals, as long as the volume falls.
func refined(points []r3.Vec, axes [3]r3.Vec, first, last float64) turnedBox {
	best := boxAlong(points, axes)
	for angle := first; angle > last; angle /= 2 {
		for better := true; better; {
			better = false
			for _, about := range turnAxes {
				b := boxAlong(points, best.turned(about, angle))
				if b.volume < best.volume*(1-1e-12) {
					best, better = b, true
				}
			}
		}
	}
	return best
}

// turnAxes are the six axes and eight corner diagonals of a box, and its twelve
// edge diagonals.
var turnAxes = func() (all []r3.Vec) {
	for x := -1.0; x <= 1; x++ {
		for y := -1.0; y <= 1; y++ {
			for z := -1.0; z <= 1; z++ {
				if x != 0 || y != 0 || z != 0 {
					all = append(all, r3.Unit(r3.Vec{X: x, Y: y, Z: z}))
				}
			}
		}
	}
	return all
}()

// turned rotates a box's axes by a vector given along them: about its direction,
// by its length times angle, but less where that turns a long side toward a
// short one, in proportion. So all turns change the volume about as much.
func (b turnedBox) turned(by r3.Vec, angle float64) [3]r3.Vec {
	x, y, z := b.size[0], b.size[1], b.size[2]
	by = r3.Vec{X: by.X * angle * ratio(y, z), Y: by.Y * angle * ratio(z, x), Z: by.Z * angle * ratio(x, y)}
	return turned(b.axes, by)
}

// ratio is the smaller by the larger.
func ratio(a, b float64) float64 { return min(a, b) / max(a, b) }

// turned rotates axes by a vector given along them: about its direction, by its
// length (radians).
func turned(axes [3]r3.Vec, by r3.Vec) [3]r3.Vec {
	angle := r3.Norm(by)
	if angle == 0 {
		return axes
	}
	by = r3.Scale(1/angle, by)
	k := r3.Add(r3.Add(r3.Scale(by.X, axes[0]), r3.Scale(by.Y, axes[1])), r3.Scale(by.Z, axes[2]))
	sin, cos := math.Sincos(angle)
	spin := func(v r3.Vec) r3.Vec { // Rodrigues
		return r3.Add(r3.Add(r3.Scale(cos, v), r3.Scale(sin, r3.Cross(k, v))), r3.Scale(dot(k, v)*(1-cos), k))
	}
	u := r3.Unit(spin(axes[0]))
	v := spin(axes[1])
	v = r3.Unit(r3.Sub(v, r3.Scale(dot(u, v), u)))
	return [3]r3.Vec{u, v, r3.Cross(u, v)}
}

// orientedBox returns the box along axes, longest side first.
func orientedBox(points []r3.Vec, axes [3]r3.Vec) OrientedBox {
	span, order := spans(points, axes), [3]int{0, 1, 2}
	long := func(i int) float64 { return span[i].hi - span[i].lo }
	slices.SortStableFunc(order[:], func(i, j int) int { return cmp.Compare(long(j), long(i)) })
	var b OrientedBox
	for i, k := range order {
		b.Axes[i], b.Size[i] = axes[k], long(k)
		b.Center = r3.Add(b.Center, r3.Scale((span[k].lo+span[k].hi)/2, axes[k]))
	}
	if dot(r3.Cross(b.Axes[0], b.Axes[1]), b.Axes[2]) < 0 {
		b.Axes[2] = r3.Scale(-1, b.Axes[2])
	}
	return b
}

// flatBox returns the box around points in one plane: the least rectangle in
// that plane, of no thickness.
func flatBox(points []r3.Vec) OrientedBox {
	if len(points) == 0 {
		return OrientedBox{}
	}
	a := points[0]
	line, normal := r3.Vec{}, r3.Vec{}
	for _, p := range points {
		if d := r3.Sub(p, a); r3.Norm2(d) > r3.Norm2(line) {
			line = d
		}
	}
	for _, p := range points {
		if n := r3.Cross(line, r3.Sub(p, a)); r3.Norm2(n) > r3.Norm2(normal) {
			normal = n
		}
	}
	switch {
	case r3.Norm(normal) > 0:
		return orientedBox(points, caliperAxes(points, r3.Unit(normal)))
	case r3.Norm(line) > 0:
		u := r3.Unit(line)
		v, w := Frame(u)
		return orientedBox(points, [3]r3.Vec{u, v, w})
	}
	return orientedBox(points, [3]r3.Vec{{X: 1}, {Y: 1}, {Z: 1}})
}
