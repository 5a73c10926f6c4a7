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
	At      r3.Vec  // on the largest, near its middle
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
	seen, spread := make([]bool, len(s.m.Faces)), make([]bool, len(s.m.Vertices))
	for f := range seen {
		if seen[f] || !flat(int32(f)) {
			continue
		}
		area, at := s.patch(int32(f), flat, seen, spread)
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

// patch measures the connected faces around f that belong, and marks them and
// the vertices whose faces were looked at. The
// place is the middle of the face nearest to the patch's own middle.
func (s *Surface) patch(f int32, belongs func(int32) bool, seen, spread []bool) (area float64, at r3.Vec) {
	seen[f] = true
	faces := []int32{f}
	var sum r3.Vec
	for i := 0; i < len(faces); i++ {
		size := r3.Norm(s.m.DoubleAreaNormal(int(faces[i]))) / 2
		area += size
		sum = r3.Add(sum, r3.Scale(size, s.middle(faces[i])))
		for _, v := range s.m.Faces[faces[i]] {
			if spread[v] {
				continue
			}
			spread[v] = true
			for _, h := range s.faces.Of(int(v)) {
				if !seen[h] && belongs(h) {
					seen[h] = true
					faces = append(faces, h)
				}
			}
		}
	}
	centre := r3.Scale(1/area, sum)
	at = s.middle(f)
	for _, g := range faces {
		if p := s.middle(g); r3.Norm2(r3.Sub(p, centre)) < r3.Norm2(r3.Sub(at, centre)) {
			at = p
		}
	}
	return area, at
}

func (s *Surface) middle(f int32) r3.Vec {
	a, b, c := s.m.Corners(int(f))
	return r3.Scale(1./3, r3.Add(r3.Add(a, b), c))
}
