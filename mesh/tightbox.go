package mesh

import (
	"cmp"
	"math"
	"runtime"
	"slices"
	"sync"
	"sync/atomic"

	"gonum.org/v1/gonum/spatial/r3"
)

// OrientedBox is a box in space, longest side first.
type OrientedBox struct {
	Center r3.Vec
	Axes   [3]r3.Vec // unit, right-handed
	Size   [3]float64
}

const (
	coarsePoints = 400     // of a hull, on which turns are compared
	cloudPoints  = 120     // of a cloud, likewise: the work on them counts there
	spreadTurns  = 400     // turns tried besides those flush with the coarse hull
	spreadBest   = 6       // of them, brought nearer to the least before they are compared again
	boxStarts    = 2       // turns of each kind that are followed on the coarse hull
	flushFaces   = 64      // largest faces of a coarse hull that boxes are tried flush with
	besideTurns  = 60      // turns tried around the best box so far
	sameBox      = 1e-5    // relative volume: boxes closer than this are one
	widestTurn   = 0.04    // radians that a box turns before its points are picked anew
	leastTurn    = 1e-6    // radians
	mostHulled   = 1 << 14 // points of which the hull is made, whatever they are
	roundCorners = 60      // of the coarse hull of more points: then theirs is not made
)

// TightestBox returns a box of about the least volume around points: of 19 scans and
// models in 30 poses each, one in 60 boxes was over 0.2 % larger than the least found,
// the worst 0.4 %. A least box need not
// be flush with a face of the hull, only with edges (O'Rourke, "Finding minimal
// enclosing boxes", 1985), so boxes flush with the faces and edges of a coarse
// hull and turns spread over all rotations all start a search by small turns
// and rotating calipers, as in Chang, Gorissen & Melchior, "Fast oriented
// bounding box optimization on the rotation group SO(3,R)", 2011 (both from
// memory; they let a genetic search choose the starts). The best goes on, on the
// whole hull, until nothing gets smaller. A scan may have its points on the hull by
// the hundred thousand; then the hull is not made, see cloud. No points give the
// zero box.
func TightestBox(points []r3.Vec) OrientedBox {
	if len(points) > mostHulled {
		all := newCloud(points)
		coarse, err := Hull(all.spreadOut())
		if err != nil {
			return flatBox(points)
		}
		if len(coarse.Vertices) > roundCorners {
			return all.tightestBox(coarse)
		}
		points = all.outer(newPolyhedron(coarse))
	}
	hull, err := Hull(points)
	if err != nil {
		return flatBox(points)
	}
	corners, coarse := hull.Vertices, hull
	if len(corners) > coarsePoints {
		if coarse, err = Hull(spreadOut(corners)); err != nil {
			coarse = hull
		}
	}
	best := settled(corners, coarseBox(newPolyhedron(coarse), coarse == hull).axes)
	return orientedBox(corners, squared(corners, best).axes)
}

// coarseBox returns the best box around a small hull. Where that is not exact, the
// box to be found has no more to do with an edge or a small face of it than with
// any other direction.
func coarseBox(hull *polyhedron, exact bool) turnedBox {
	points, normals := hull.Vertices, flushNormals(hull.Mesh)
	if !exact {
		normals = hull.largestFaces(flushFaces)
	}
	flush := hull.flushBoxes(normals, boxStarts)
	spread := each(spreadRotations(), func(axes [3]r3.Vec) turnedBox {
		return boxAlong(points, axes)
	})
	spread = each(distinct(spread, spreadBest), func(b turnedBox) turnedBox {
		return refined(points, b.axes, 0.2, 0.04, math.Pi)
	})
	follow := func(b turnedBox) turnedBox {
		return refined(points, hull.squared(b).axes, 0.2, 1e-2, math.Pi)
	}
	found := distinct(each(append(flush, distinct(spread, boxStarts)...), follow), 1)
	// What holds for the long sides may hold for several turns of the short ones.
	beside := each(found[0].besideTurns(), func(axes [3]r3.Vec) turnedBox {
		return boxAlong(points, axes)
	})
	return distinct(append(found, each(distinct(beside, boxStarts), follow)...), 1)[0]
}

// besideTurns returns turns around a box, by up to about a radian for the short sides.
func (b turnedBox) besideTurns() (all [][3]r3.Vec) {
	for k := range besideTurns {
		angle := (float64(k) + 0.5) / besideTurns
		all = append(all, b.turned(spiral(k*7%besideTurns, besideTurns), angle))
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

// each works on all items, several at the same time. One processor is left to what
// goes on beside: a scan is checked meanwhile.
func each[S, T any](items []S, work func(S) T) []T {
	out := make([]T, len(items))
	var next atomic.Int64
	some := func() {
		for i := next.Add(1) - 1; i < int64(len(items)); i = next.Add(1) - 1 {
			out[i] = work(items[i])
		}
	}
	var wg sync.WaitGroup
	for range min(len(items), runtime.GOMAXPROCS(0)-1) - 1 {
		wg.Go(some)
	}
	some()
	wg.Wait()
	return out
}

// distinct returns the n best boxes, best first, of those with one volume only
// the first: on a part with symmetries they are turns of each other.
func distinct(boxes []turnedBox, n int) []turnedBox {
	var best []turnedBox
	for least := math.Inf(-1); len(best) < n; least = best[len(best)-1].volume * (1 + sameBox) {
		next := -1
		for i := range boxes {
			if v := boxes[i].volume; v > least && (next < 0 || v < boxes[next].volume) {
				next = i
			}
		}
		if next < 0 {
			break
		}
		best = append(best, boxes[next])
	}
	return best
}

// flushBoxes returns the n best boxes that have an axis along one of some
// directions, best first. Directions whose shadow times height is more than the volume
// of n boxes are left out: the box across them is no smaller than that.
func (h *polyhedron) flushBoxes(normals []r3.Vec, n int) (best []turnedBox) {
	type direction struct {
		along r3.Vec
		least float64
	}
	directions := each(normals, func(n r3.Vec) direction {
		return direction{n, h.shadow(n) * reachAlong(h.Vertices, n)}
	})
	slices.SortStableFunc(directions, func(a, b direction) int { return cmp.Compare(a.least, b.least) })
	for some := range slices.Chunk(directions, 32) {
		if len(best) == n && some[0].least*(1-sameBox) > best[n-1].volume {
			break
		}
		best = distinct(append(best, each(some, func(d direction) turnedBox {
			return boxAlong(h.Vertices, h.caliperAxes(d.along))
		})...), n)
	}
	return best
}

// largestFaces returns the unit directions across the n largest faces.
func (h *polyhedron) largestFaces(n int) (normals []r3.Vec) {
	order := make([]int, len(h.areas))
	for f := range order {
		order[f] = f
	}
	slices.SortStableFunc(order, func(f, g int) int { return cmp.Compare(r3.Norm2(h.areas[g]), r3.Norm2(h.areas[f])) })
	for _, f := range order[:min(n, len(order))] {
		if h.normals[f] != (r3.Vec{}) {
			normals = append(normals, h.normals[f])
		}
	}
	return normals
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
