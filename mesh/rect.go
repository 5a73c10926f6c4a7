package mesh

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
)

// Rect is a rectangle in a plane.
type Rect struct {
	Angle  float64 // of its long side to +x, radians, in (−π/2, π/2]
	Center r2.Vec
	Size   [2]float64 // long side, short side
}

// Hull2 returns the convex hull of points in the plane, counter-clockwise from
// the leftmost (lowest of those), without points on its edges. Source: Andrew,
// "Another efficient algorithm for convex hulls in two dimensions", Information
// Processing Letters 9, 1979 (from memory), with exact signs.
func Hull2(points []r2.Vec) []r2.Vec {
	if len(points) > 4096 {
		points = outsideSample(points)
	}
	sorted := slices.Clone(points)
	slices.SortFunc(sorted, func(a, b r2.Vec) int {
		switch { // cmp.Compare takes several times as long, for NaN
		case a.X < b.X || a.X == b.X && a.Y < b.Y:
			return -1
		case a.X > b.X || a.Y > b.Y:
			return 1
		}
		return 0
	})
	sorted = slices.Compact(sorted)
	if len(sorted) < 3 {
		return sorted
	}
	hull := chain(nil, sorted)
	slices.Reverse(sorted)
	return chain(hull, sorted)
}

// chain adds the half hull to the right of the sorted points, less its last.
func chain(hull, sorted []r2.Vec) []r2.Vec {
	first := len(hull)
	for _, p := range sorted {
		for len(hull) >= first+2 && orient2(hull[len(hull)-2], hull[len(hull)-1], p) <= 0 {
			hull = hull[:len(hull)-1]
		}
		hull = append(hull, p)
	}
	return hull[:len(hull)-1]
}

// outsideSample drops the points that are inside the hull of a sample of them,
// so that few are left to sort.
func outsideSample(points []r2.Vec) []r2.Vec {
	var sample []r2.Vec
	for _, i := range sampleOf(len(points), len(points)/64) {
		sample = append(sample, points[i])
	}
	hull := Hull2(sample)
	if len(hull) < 3 {
		return points
	}
	right := 0
	for i, p := range hull {
		if p.X > hull[right].X {
			right = i
		}
	}
	upper := append(slices.Clone(hull[right:]), hull[0])
	slices.Reverse(upper)
	below, above := newColumns(hull[:right+1]), newColumns(upper)
	kept := make([][]r2.Vec, partsFor(len(points)))
	inParts(len(points), func(part, lo, hi int) {
		for _, p := range points[lo:hi] {
			if below.side(p) <= 0 || above.side(p) >= 0 {
				kept[part] = append(kept[part], p)
			}
		}
	})
	return slices.Concat(kept...)
}

// columns finds the edge of a chain, which runs from left to right, over or
// under a point.
type columns struct {
	chain    []r2.Vec
	perMM    float64
	firstEnd [256]int32 // first point of the chain beyond the left side of a column
}

func newColumns(chain []r2.Vec) *columns {
	lo, hi := chain[0].X, chain[len(chain)-1].X
	c := &columns{chain: chain, perMM: float64(len(columns{}.firstEnd)) / (hi - lo)}
	end := 1
	for k := range c.firstEnd {
		for end < len(chain)-1 && (chain[end].X-lo)*c.perMM < float64(k) {
			end++
		}
		c.firstEnd[k] = int32(end)
	}
	return c
}

// side returns 1 when p is surely above the chain, −1 when surely below and 0
// when too close to tell, or not over it.
func (c *columns) side(p r2.Vec) int {
	column := (p.X - c.chain[0].X) * c.perMM
	if !(column >= 0 && column < float64(len(c.firstEnd))) {
		return 0
	}
	end := int(c.firstEnd[int(column)])
	for end < len(c.chain)-1 && c.chain[end].X < p.X {
		end++
	}
	a, b := c.chain[end-1], c.chain[end]
	if p.X < a.X || p.X > b.X {
		return 0
	}
	left, right := (b.X-a.X)*(p.Y-a.Y), (b.Y-a.Y)*(p.X-a.X)
	switch bound := orient2Bound * (math.Abs(left) + math.Abs(right)); {
	case float64(left)-float64(right) > bound:
		return 1
	case float64(right)-float64(left) > bound:
		return -1
	}
	return 0
}

// MinAreaRect returns the rectangle of least area around points; it has a side
// on an edge of their convex hull (Freeman & Shapira, 1975), found by rotating
// calipers (Toussaint, "Solving geometric problems with the rotating calipers",
// 1983; both from memory). The hull is exact, so that no point is under any of
// its edges, however short. Points on a line give a short side of zero.
func MinAreaRect(points []r2.Vec) Rect {
	hull := Hull2(points)
	switch len(hull) {
	case 0:
		return Rect{}
	case 1:
		return Rect{Center: hull[0]}
	}
	best, least := Rect{}, math.Inf(1)
	var touch [3]int // right, top, left
	for i, a := range hull {
		u := r2.Unit(r2.Sub(hull[(i+1)%len(hull)], a))
		v := r2.Vec{X: -u.Y, Y: u.X}
		for k, d := range [3]r2.Vec{u, v, r2.Scale(-1, u)} {
			if i == 0 {
				touch[k] = extreme(hull, d)
			}
			touch[k] = climb(hull, touch[k], d)
		}
		along := func(d r2.Vec, k int) float64 { return r2.Dot(d, r2.Sub(hull[touch[k]], a)) }
		lo, hi, h := along(u, 2), along(u, 0), along(v, 1)
		w := hi - lo
		if w*h < least {
			least = w * h
			center := r2.Add(a, r2.Add(r2.Scale((lo+hi)/2, u), r2.Scale(h/2, v)))
			best = longFirst(Rect{Angle: math.Atan2(u.Y, u.X), Center: center, Size: [2]float64{w, h}})
		}
	}
	return best
}

// extreme returns the index of the point farthest along d.
func extreme(points []r2.Vec, d r2.Vec) int {
	best := 0
	for i, p := range points {
		if r2.Dot(d, p) > r2.Dot(d, points[best]) {
			best = i
		}
	}
	return best
}

// climb moves on round the hull while that leads farther along d.
func climb(hull []r2.Vec, i int, d r2.Vec) int {
	for range hull {
		next := (i + 1) % len(hull)
		if r2.Dot(d, r2.Sub(hull[next], hull[i])) <= 0 {
			break
		}
		i = next
	}
	return i
}

func longFirst(r Rect) Rect {
	if r.Size[1] > r.Size[0] {
		r.Size[0], r.Size[1] = r.Size[1], r.Size[0]
		r.Angle += math.Pi / 2
	}
	r.Angle = math.Remainder(r.Angle, math.Pi)
	if r.Angle <= -math.Pi/2 {
		r.Angle += math.Pi
	}
	return r
}
