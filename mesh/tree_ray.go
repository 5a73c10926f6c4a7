package mesh

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

// First returns the first place where the ray from origin along dir, of any
// length but zero, meets the surface. See Hits.
func (t *Tree) First(origin, dir r3.Vec) (Hit, bool) {
	r, ok := newRay(origin, dir)
	best := Hit{Face: -1, Distance: math.Inf(1)}
	if !ok {
		return Hit{}, false
	}
	t.eachMet(&r, &best.Distance, func(h Hit) {
		if h.Distance < best.Distance || h.Distance == best.Distance && (h.Face < best.Face || best.Face < 0) {
			best = h
		}
	})
	if best.Face < 0 {
		return Hit{}, false
	}
	return best, true
}

// Hits returns the places where the ray meets the surface, in order along the
// ray, those at the same distance by face. A ray through an edge or a corner of
// a closed surface meets one of its faces for each time it passes through the
// surface, so that going in and out alternate; along a face it meets none of it.
func (t *Tree) Hits(origin, dir r3.Vec) []Hit {
	r, ok := newRay(origin, dir)
	if !ok {
		return nil
	}
	var hits []Hit
	all := math.Inf(1)
	t.eachMet(&r, &all, func(h Hit) { hits = append(hits, h) })
	slices.SortFunc(hits, func(a, b Hit) int {
		return cmp.Or(cmp.Compare(a.Distance, b.Distance), cmp.Compare(a.Face, b.Face))
	})
	return hits
}

// ray is a ray prepared for faces and boxes. Axis k[2] is the one it runs along
// most; seen in a frame sheared so that the ray is this axis, a face is met when
// the origin of the plane is inside it.
type ray struct {
	origin  r3.Vec
	unit    r3.Vec
	k       [3]int
	shear   [3]float64
	inverse [3]float64 // 1 over the components of unit
}

func newRay(origin, dir r3.Vec) (ray, bool) {
	largest := max(math.Abs(dir.X), math.Abs(dir.Y), math.Abs(dir.Z))
	if !(largest > 0 && largest <= math.MaxFloat64) {
		return ray{}, false
	}
	u := r3.Vec{X: dir.X / largest, Y: dir.Y / largest, Z: dir.Z / largest}
	length := math.Sqrt(dot(u, u))
	u = r3.Vec{X: u.X / length, Y: u.Y / length, Z: u.Z / length}
	r := ray{origin: origin, unit: u, inverse: [3]float64{1 / u.X, 1 / u.Y, 1 / u.Z}}
	d := [3]float64{u.X, u.Y, u.Z}
	z := 0
	for k := range d {
		if math.Abs(d[k]) > math.Abs(d[z]) {
			z = k
		}
	}
	r.k = [3]int{(z + 1) % 3, (z + 2) % 3, z}
	if d[z] < 0 { // keeps counter-clockwise faces so
		r.k[0], r.k[1] = r.k[1], r.k[0]
	}
	r.shear = [3]float64{d[r.k[0]] / d[z], d[r.k[1]] / d[z], 1 / d[z]}
	return r, true
}

// eachMet visits the faces met not farther than *limit, which visit may lower.
func (t *Tree) eachMet(r *ray, limit *float64, visit func(h Hit)) {
	if len(t.nodes) == 0 {
		return
	}
	type far struct {
		node  int32
		enter float64
	}
	var stack [treeDepth]far
	enter, met := r.box(&t.nodes[0].box)
	if !met {
		return
	}
	depth, at := 0, int32(0)
	for {
		if n := &t.nodes[at]; enter > *limit {
		} else if n.count > 0 {
			t.eachMetIn(n, r, visit)
		} else {
			left, leftMet := r.box(&t.nodes[n.first].box)
			right, rightMet := r.box(&t.nodes[n.first+1].box)
			switch {
			case leftMet && rightMet && right < left:
				stack[depth] = far{n.first, left}
				depth++
				at, enter = n.first+1, right
				continue
			case leftMet:
				if rightMet {
					stack[depth] = far{n.first + 1, right}
					depth++
				}
				at, enter = n.first, left
				continue
			case rightMet:
				at, enter = n.first+1, right
				continue
			}
		}
		if depth == 0 {
			return
		}
		depth--
		at, enter = stack[depth].node, stack[depth].enter
	}
}

func (t *Tree) eachMetIn(n *treeNode, r *ray, visit func(h Hit)) {
	for i := n.first; i < n.first+n.count; i++ {
		c := &t.corners[i]
		if d, met := r.triangle(c[0], c[1], c[2]); met {
			visit(Hit{t.faces[i], along(r.origin, d, r.unit), d})
		}
	}
}

// slabMargin is more than what rounding may shift the distances to the sides of
// a box, as a share. Source: Ize, "Robust BVH ray traversal", Journal of
// Computer Graphics Techniques 2(2), 2013 (from memory).
const slabMargin = 16 * 0x1p-52

// box returns where the ray enters a box, and whether it meets it. Where the
// ray runs within a side, the distances are NaN, which bound nothing.
func (r *ray) box(b *box32) (enter float64, met bool) {
	leave := math.Inf(1)
	o := [3]float64{r.origin.X, r.origin.Y, r.origin.Z}
	for k := range 3 {
		near, away := float64(b.min[k]), float64(b.max[k])
		if math.Signbit(r.inverse[k]) {
			near, away = away, near
		}
		if d := (near - o[k]) * r.inverse[k]; d > enter {
			enter = d
		}
		if d := (away - o[k]) * r.inverse[k]; d < leave {
			leave = d
		}
	}
	enter *= 1 - slabMargin
	return enter, enter <= leave*(1+slabMargin)
}

// triangle returns where the ray meets triangle abc, if it does. Signs are those
// of the sheared corners exactly, and when the ray meets an edge or a corner
// they are as if it passed beside it, for all faces there on the same side.
// Source: Woop, Benthin, Wald, "Watertight ray/triangle intersection", Journal
// of Computer Graphics Techniques 2(1), 2013 (from memory), where the faces at
// an edge are met both; passing beside it is after Edelsbrunner & Mücke,
// "Simulation of simplicity", ACM TOG 9(1), 1990 (from memory).
func (r *ray) triangle(a, b, c r3.Vec) (distance float64, met bool) {
	ax, ay, az := r.sheared(a)
	bx, by, bz := r.sheared(b)
	cx, cy, cz := r.sheared(c)
	u, uSign := edgeSide(bx, by, cx, cy)
	v, vSign := edgeSide(cx, cy, ax, ay)
	w, wSign := edgeSide(ax, ay, bx, by)
	if uSign != vSign || vSign != wSign || uSign == 0 {
		return 0, false
	}
	det := u + v + w
	if det == 0 {
		return 0, false
	}
	distance = (float64(u*az) + float64(v*bz) + float64(w*cz)) / det
	return distance, distance >= 0
}

// sheared returns a point in the frame of the ray; z is the distance along it.
func (r *ray) sheared(p r3.Vec) (x, y, z float64) {
	d := [3]float64{p.X - r.origin.X, p.Y - r.origin.Y, p.Z - r.origin.Z}
	z = d[r.k[2]]
	return d[r.k[0]] - float64(r.shear[0]*z), d[r.k[1]] - float64(r.shear[1]*z), r.shear[2] * z
}

// edgeSide returns the double area of the triangle origin, p, q and its sign:
// where it is zero, that for the origin moved by a hair along x and, by far
// less, along y. It is 0 only for an edge without length.
func edgeSide(px, py, qx, qy float64) (area float64, sign int) {
	left, right := float64(px*qy), float64(py*qx)
	area = left - right
	if area == 0 { // rounding never turns the sign, but may hide it
		area = math.FMA(px, qy, -left) - math.FMA(py, qx, -right)
	}
	switch {
	case area > 0 || area == 0 && (py > qy || py == qy && px < qx):
		return area, 1
	case area < 0 || py < qy || px > qx:
		return area, -1
	}
	return 0, 0
}
