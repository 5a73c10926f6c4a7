package mesh

import (
	"cmp"
	"math"
	"slices"

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
	coarsePoints = 300 // of the hull, on which turns are compared
	spreadTurns  = 300 // turns tried besides those flush with a hull face
	boxStarts    = 16  // turns that are refined
)

// TightestBox returns a box of least volume around points. Boxes flush with
// each face of a coarse hull, where rotating calipers give the other two axes,
// and turns spread over all rotations are compared; the best are refined by
// small turns until nothing gets smaller. A least box need not be flush with a
// face, only with edges (O'Rourke, "Finding minimal enclosing boxes", 1985, from
// memory), which the refining finds. No points give the zero box.
func TightestBox(points []r3.Vec) OrientedBox {
	hull, err := Hull(points)
	if err != nil {
		return flatBox(points)
	}
	coarse := hull
	if len(hull.Vertices) > coarsePoints {
		if coarse, err = Hull(spreadOut(hull.Vertices)); err != nil {
			coarse = hull
		}
	}
	best := turnedBox{volume: math.Inf(1)}
	for _, start := range firstTurns(coarse) {
		if b := refined(coarse.Vertices, start, 0.1, 1e-4); b.volume < best.volume {
			best = b
		}
	}
	return orientedBox(hull.Vertices, refined(hull.Vertices, best.axes, 0.01, 1e-7).axes)
}

// firstTurns returns the best of many axes, best first.
func firstTurns(hull *Mesh) [][3]r3.Vec {
	var tried []turnedBox
	for f := range hull.Faces {
		if n := hull.DoubleAreaNormal(f); r3.Norm(n) > 0 {
			tried = append(tried, boxAlong(hull.Vertices, caliperAxes(hull.Vertices, r3.Unit(n))))
		}
	}
	for i := range spreadTurns {
		tried = append(tried, boxAlong(hull.Vertices, spreadTurn(i)))
	}
	slices.SortStableFunc(tried, func(a, b turnedBox) int { return cmp.Compare(a.volume, b.volume) })
	var axes [][3]r3.Vec
	for _, t := range tried[:boxStarts] {
		axes = append(axes, t.axes)
	}
	return axes
}

// spreadOut returns the points farthest along directions of an even spiral.
func spreadOut(points []r3.Vec) []r3.Vec {
	var out []r3.Vec
	seen := make(map[int]bool)
	for k := range coarsePoints {
		z := 1 - (2*float64(k)+1)/coarsePoints
		sin, cos := math.Sincos(math.Pi * (3 - math.Sqrt(5)) * float64(k))
		r := math.Sqrt(1 - z*z)
		d := r3.Vec{X: r * cos, Y: r * sin, Z: z}
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

// turnedBox is the box around points along given axes.
type turnedBox struct {
	axes   [3]r3.Vec
	volume float64
}

func boxAlong(points []r3.Vec, axes [3]r3.Vec) turnedBox {
	volume := 1.0
	for _, a := range axes {
		lo, hi := spanAlong(points, a)
		volume *= hi - lo
	}
	return turnedBox{axes, volume}
}

func spanAlong(points []r3.Vec, axis r3.Vec) (lo, hi float64) {
	lo, hi = math.Inf(1), math.Inf(-1)
	for i := range points {
		p := &points[i]
		d := p.X*axis.X + p.Y*axis.Y + p.Z*axis.Z
		if d < lo {
			lo = d
		}
		if d > hi {
			hi = d
		}
	}
	return lo, hi
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

// spreadTurn returns the i-th of an even sequence of rotations: Shoemake's
// uniform quaternions (Graphics Gems III, 1992) fed by the additive recurrence
// of three irrational steps (both from memory).
func spreadTurn(i int) [3]r3.Vec {
	frac := func(step float64) float64 { return math.Mod(0.5+float64(i)*step, 1) }
	a := frac(0.8191725133961645)
	s1, c1 := math.Sincos(2 * math.Pi * frac(0.6710436067037893))
	s2, c2 := math.Sincos(2 * math.Pi * frac(0.5497004779019703))
	r1, r2 := math.Sqrt(1-a), math.Sqrt(a)
	x, y, z, w := r1*s1, r1*c1, r2*s2, r2*c2
	return [3]r3.Vec{
		{X: 1 - 2*(y*y+z*z), Y: 2 * (x*y - z*w), Z: 2 * (x*z + y*w)},
		{X: 2 * (x*y + z*w), Y: 1 - 2*(x*x+z*z), Z: 2 * (y*z - x*w)},
		{X: 2 * (x*z - y*w), Y: 2 * (y*z + x*w), Z: 1 - 2*(x*x+y*y)},
	}
}

// refined turns the axes by ever smaller angles, from first to last (radians),
// about the box's own axes and diagonals, as long as the volume falls.
func refined(points []r3.Vec, axes [3]r3.Vec, first, last float64) turnedBox {
	best := boxAlong(points, axes)
	for angle := first; angle > last; angle /= 2 {
		for better := true; better; {
			better = false
			for _, about := range turnAxes {
				b := boxAlong(points, turned(best.axes, about, angle))
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

// turned rotates axes by an angle about a vector given along the axes.
func turned(axes [3]r3.Vec, about r3.Vec, angle float64) [3]r3.Vec {
	k := r3.Add(r3.Add(r3.Scale(about.X, axes[0]), r3.Scale(about.Y, axes[1])), r3.Scale(about.Z, axes[2]))
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
	type side struct {
		axis   r3.Vec
		lo, hi float64
	}
	var sides [3]side
	for i, a := range axes {
		lo, hi := spanAlong(points, a)
		sides[i] = side{a, lo, hi}
	}
	slices.SortStableFunc(sides[:], func(a, b side) int { return cmp.Compare(b.hi-b.lo, a.hi-a.lo) })
	var b OrientedBox
	for i, s := range sides {
		b.Axes[i], b.Size[i] = s.axis, s.hi-s.lo
		b.Center = r3.Add(b.Center, r3.Scale((s.lo+s.hi)/2, s.axis))
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
