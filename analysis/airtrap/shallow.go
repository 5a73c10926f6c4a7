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

// Shallow is ceiling so nearly level that thick liquid leaves bubbles on it
// although nothing stops them.
type Shallow struct {
	AreaMM2 float64 // of all such patches
	At      r3.Vec  // middle of the largest
}

// NearlyLevel sums the nearly level ceiling of the liquid's space, an opening's
// own left out; nil when there is too little to matter.
func NearlyLevel(s *Surface, in Input) *Shallow {
	opens := make(map[int32]bool, len(in.Open))
	for _, v := range in.Open {
		opens[v] = true
	}
	sign := in.Domain.sign()
	flat := func(f int32) bool {
		t := s.m.Faces[f]
		n := s.m.DoubleAreaNormal(int(f))
		rise := sign * r3.Dot(n, in.Up)
		cos := math.Cos(shallowDeg * math.Pi / 180)
		return rise > 0 && rise*rise > cos*cos*r3.Norm2(n) && !(opens[t[0]] && opens[t[1]] && opens[t[2]])
	}
	var all Shallow
	largest := 0.0
	seen := make([]bool, len(s.m.Faces))
	for f := range seen {
		if seen[f] || !flat(int32(f)) {
			continue
		}
		area, at := s.patch(int32(f), flat, seen)
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
func (s *Surface) patch(f int32, belongs func(int32) bool, seen []bool) (area float64, middle r3.Vec) {
	seen[f] = true
	todo := []int32{f}
	for len(todo) > 0 {
		g := todo[len(todo)-1]
		todo = todo[:len(todo)-1]
		a, b, c := s.m.Corners(int(g))
		size := r3.Norm(s.m.DoubleAreaNormal(int(g))) / 2
		area += size
		middle = r3.Add(middle, r3.Scale(size/3, r3.Add(r3.Add(a, b), c)))
		for _, v := range s.m.Faces[g] {
			for _, h := range s.faces.Of(int(v)) {
				if !seen[h] && belongs(h) {
					seen[h] = true
					todo = append(todo, h)
				}
			}
		}
	}
	return area, r3.Scale(1/area, middle)
}
