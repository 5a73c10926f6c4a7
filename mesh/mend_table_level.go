package mesh

import (
	"math"
	"slices"
)

// flat returns the area of the flat faces' shadows between two heights.
func (s *stance) flat(lo, hi float64) float64 {
	blocks := make([]float64, blocksOf(len(s.Faces)))
	eachBlock(len(s.Faces), func(block, from, to int) {
		for f, t := range s.Faces[from:to] {
			h := (s.height[t[0]] + s.height[t[1]] + s.height[t[2]]) / 3
			if h < lo || h > hi {
				continue
			}
			n := s.DoubleAreaNormal(from + f)
			if shadow := math.Abs(dot(s.up, n)); shadow > flatCos*math.Sqrt(dot(n, n)) {
				blocks[block] += shadow / 2
			}
		}
	})
	area := 0.0
	for _, a := range blocks {
		area += a
	}
	return area
}

// thickness looks for a second plane above the first, with at least a third of
// its area and half of all that lies flat up to the thickest slab, and hardly
// anything flat between the two. It returns how far it is above: a slab thinner
// than eight times its scatter cannot be told from a curved underside.
func (s *stance) thickness() (float64, bool) {
	step := max(s.scatter, 2e-4*s.size)
	limit := tableThick * s.tall
	areas, moments := make([]float64, int(limit/step)+8), make([]float64, int(limit/step)+8)
	under, upper := 0.0, 0.0
	least := max(4*s.scatter, 1e-3*s.size)
	for _, f := range s.sample.faces {
		shadow := math.Abs(dot(s.up, f.normal))
		h := (dot(s.up, f.a)+dot(s.up, f.b)+dot(s.up, f.c))/3 - s.level
		if k := int(h / step); shadow < flatCos || k >= len(areas) {
			continue
		} else if h < least {
			under += shadow
		} else {
			areas[k] += shadow
			moments[k] += shadow * h
			upper += shadow
		}
	}
	best, at, below, between := 0.0, 0.0, 0.0, 0.0
	for k := range areas {
		sum, moment := 0.0, 0.0
		for j := max(0, k-3); j < min(len(areas), k+4); j++ {
			sum, moment = sum+areas[j], moment+moments[j]
		}
		if k > 3 {
			below += areas[k-4]
		}
		if sum > best {
			best, at, between = sum, moment/sum, below
		}
	}
	return at, at > 8*s.scatter && best > under/3 && best > upper/2 && between < tablePrism*under
}

// between returns the faces that reach into a range of heights, with their
// corners only.
func (s *stance) between(lo, hi float64) *stance {
	parts := make([][][3]int32, partsFor(len(s.Faces)))
	inParts(len(s.Faces), func(part, from, to int) {
		for _, t := range s.Faces[from:to] {
			a, b, c := s.height[t[0]], s.height[t[1]], s.height[t[2]]
			if max(a, b, c) >= lo && min(a, b, c) <= hi {
				parts[part] = append(parts[part], t)
			}
		}
	})
	n := *s
	n.Mesh, n.height = &Mesh{Faces: slices.Concat(parts...)}, nil
	to := make([]int32, len(s.Vertices))
	for f, t := range n.Faces {
		for k, v := range t {
			if to[v] == 0 {
				n.Vertices = append(n.Vertices, s.Vertices[v])
				n.height = append(n.height, s.height[v])
				to[v] = int32(len(n.Vertices))
			}
			n.Faces[f][k] = to[v] - 1
		}
	}
	return &n
}

// section returns the loops at a height, as Section does, but closes lines that end
// at a hole by a straight one.
func (s *stance) section(height float64) []Loop {
	above := make([]float64, len(s.height))
	for v, h := range s.height {
		above[v] = h - height
	}
	cuts := s.cutFaces(above)
	from, left := make(map[[2]int32]int32, len(cuts)), make(map[[2]int32]bool, len(cuts))
	for i, c := range cuts {
		if _, taken := from[c.enter]; !taken {
			from[c.enter] = int32(i)
		}
		left[c.leave] = true
	}
	var loops []Loop
	used := make([]bool, len(cuts))
	for _, starts := range []bool{true, false} { // first where lines start, then rings
		for i, c := range cuts {
			if used[i] || starts && left[c.enter] {
				continue
			}
			if l, _ := s.follow(cuts, from, used, int32(i), above); len(l.Points) > 2 {
				loops = append(loops, l)
			}
		}
	}
	return loops
}
