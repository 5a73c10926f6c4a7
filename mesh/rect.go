package mesh

import (
	"cmp"
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
// "Another efficient algorithm for convex hulls in two dimensions", 1979 (from
// memory).
func Hull2(points []r2.Vec) []r2.Vec {
	sorted := slices.Clone(points)
	slices.SortFunc(sorted, func(a, b r2.Vec) int {
		return cmp.Or(cmp.Compare(a.X, b.X), cmp.Compare(a.Y, b.Y))
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
		for len(hull) >= first+2 && cross2(hull[len(hull)-2], hull[len(hull)-1], p) <= 0 {
			hull = hull[:len(hull)-1]
		}
		hull = append(hull, p)
	}
	return hull[:len(hull)-1]
}

// cross2 is twice the area of abc, positive when counter-clockwise.
func cross2(a, b, c r2.Vec) float64 {
	return float64((b.X-a.X)*(c.Y-a.Y)) - float64((b.Y-a.Y)*(c.X-a.X))
}

// MinAreaRect returns the rectangle of least area around points; it has a side
// on an edge of their convex hull (Freeman & Shapira, 1975), found by rotating
// calipers (Toussaint, "Solving geometric problems with the rotating calipers",
// 1983; both from memory). Points on a line give a short side of zero.
func MinAreaRect(points []r2.Vec) Rect {
	hull := Hull2(points)
	switch len(hull) {
	case 0:
		return Rect{}
	case 1:
		return Rect{Center: hull[0]}
	}
	best, least := Rect{}, math.Inf(1)
	n := len(hull)
	top, right, left := 1, 1, 1
	for i := range n {
		a, b := hull[i], hull[(i+1)%n]
		u := r2.Unit(r2.Sub(b, a))
		v := r2.Vec{X: -u.Y, Y: u.X}
		if i == 0 {
			right, top, left = extreme(hull, u), extreme(hull, v), extreme(hull, r2.Scale(-1, u))
		}
		right, top, left = climb(hull, right, u), climb(hull, top, v), climb(hull, left, r2.Scale(-1, u))
		lo, hi := r2.Dot(u, r2.Sub(hull[left], a)), r2.Dot(u, r2.Sub(hull[right], a))
		w, h := hi-lo, r2.Dot(v, r2.Sub(hull[top], a))
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
