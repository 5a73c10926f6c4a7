package airtrap

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// Ceilings flatter than this hold bubbles in thick liquids (common practice,
// no source); patches below the area do not matter.
const (
	shallowDeg = 8
	shallowMM2 = 200
)

// shallow sums the patches of nearly level ceiling, an opening's own left out.
func (w *sweep) shallow() *Shallow {
	opens := make(map[int32]bool, len(w.in.Open))
	for _, v := range w.in.Open {
		opens[v] = true
	}
	flat := func(f int32) bool {
		t := w.s.m.Faces[f]
		n := w.s.m.DoubleAreaNormal(int(f))
		return w.sign*r3.Dot(n, w.in.Up) > math.Cos(shallowDeg*math.Pi/180)*r3.Norm(n) &&
			!(opens[t[0]] && opens[t[1]] && opens[t[2]])
	}
	var all Shallow
	largest := 0.0
	seen := make([]bool, len(w.s.m.Faces))
	for f := range seen {
		if seen[f] || !flat(int32(f)) {
			continue
		}
		area, at := w.patch(int32(f), flat, seen)
		if area < shallowMM2 {
			continue
		}
		all.AreaMM2 += area
		if area > largest {
			largest, all.At = area, at
		}
	}
	if largest == 0 {
		return nil
	}
	return &all
}

// patch measures the connected faces around f that belong, and marks them.
func (w *sweep) patch(f int32, belongs func(int32) bool, seen []bool) (area float64, middle r3.Vec) {
	seen[f] = true
	todo := []int32{f}
	for len(todo) > 0 {
		g := todo[len(todo)-1]
		todo = todo[:len(todo)-1]
		a, b, c := w.s.m.Corners(int(g))
		size := r3.Norm(w.s.m.DoubleAreaNormal(int(g))) / 2
		area += size
		middle = r3.Add(middle, r3.Scale(size/3, r3.Add(r3.Add(a, b), c)))
		for _, v := range w.s.m.Faces[g] {
			for _, h := range w.s.faces.Of(int(v)) {
				if !seen[h] && belongs(h) {
					seen[h] = true
					todo = append(todo, h)
				}
			}
		}
	}
	return area, r3.Scale(1/area, middle)
}
