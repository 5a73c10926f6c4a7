package mesh

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

const (
	// liftSteps is by how much the cut goes up from try to try, and liftMost the
	// highest cut, as a share of the part's height.
	liftSteps, liftMost = 1.4, 0.04
	// liftSlope is how much the walls' mean slope (run over rise) may change over
	// the next liftAhead tries where they have left the table: noise on a rim of some
	// thirty edges makes that much. In a fillet it falls by more until two thirds of
	// its radius.
	liftSlope, liftAhead = 0.4, 3
	// steepWall is the largest slope of a wall that is no fillet's; inward, as in a
	// fillet, which an overhang is not.
	steepWall = 2
	// scrapShare is the area of a scrap that is left above the cut, as a share of
	// all that is left.
	scrapShare = 0.01
	// noiseSpread turns the median of absolute values into the standard deviation
	// of a normal distribution: 1/Φ⁻¹(3/4).
	noiseSpread = 1.4826
)

// WithoutTable cuts the mesh a hair above the table's upper plane and returns what
// is above, open where it stood, and how far above the plane it was cut, mm. The
// cut clears three standard deviations of the table's scatter and then goes up as
// long as the walls still turn outward, as in the fillet that a scanner leaves in
// a corner. From the cut the walls go straight down to the plane, so that the rim
// is in it and the foot's height is kept; what the part does between the two is not
// known: up to the cut's height times the opening's area is in doubt. A loose table
// is left out whole, and nothing is cut: 0 mm. m is not changed.
func (m *Mesh) WithoutTable(t Table) (*Mesh, float64) {
	if len(m.Faces) == 0 {
		return m, 0
	}
	m = m.ownCorners()
	b := m.Bounds()
	s := &stance{Mesh: m, sample: m.sampled(), up: t.Normal, level: dot(t.Normal, t.Point), size: farthest(r3.Sub(b.Max, b.Min))}
	s.measure()
	if rest, loose := s.withoutLoose(t); loose {
		return rest, 0
	}
	near := standBand * s.size
	if t.Slab {
		near = min(near, t.ThicknessMM/2)
	}
	s.settle(near)
	hair := s.clearOfCorners(s.liftOff())
	above, rim := s.above(hair)
	above, rim = s.withoutScraps(above, rim, 3*hair)
	return s.extruded(above, rounded(above, rim), hair), hair
}

// settle measures how the table scatters about its plane: the median over the flat
// faces within a distance of it, most of which are the table's.
func (s *stance) settle(within float64) {
	var off []float64
	for _, p := range s.sample.flatCorners(s.up, func(h float64) bool { return math.Abs(h-s.level) < within }) {
		off = append(off, math.Abs(dot(s.up, p)-s.level))
	}
	if len(off) > 0 {
		slices.Sort(off)
		s.scatter = noiseSpread * off[len(off)/2]
	}
}

// liftOff returns the least height at which a cut leaves the part alone: where the
// walls' mean slope changes no more over the next few tries. Where they never are
// as steep as steepWall, the part is shallow and its slope alone decides.
func (s *stance) liftOff() float64 {
	least := 3*s.scatter + 2e-4*s.size
	most := max(liftMost*s.tall, 2*least)
	heights := []float64{least}
	for h := least; h < most; {
		h *= liftSteps
		heights = append(heights, h)
	}
	for range liftAhead {
		heights = append(heights, heights[len(heights)-1]*liftSteps)
	}
	slopes := s.between(least, heights[len(heights)-1]).wallSlopes(heights)
	shallow := least
	for k := len(slopes) - liftAhead; k >= 0; k-- {
		next := slopes[k : k+liftAhead]
		lo, hi := slices.Min(next), slices.Max(next)
		if hi-lo > liftSlope*(1+math.Abs(hi)/2) {
			continue
		}
		shallow = heights[k]
	}
	for k := range len(slopes) - liftAhead + 1 {
		next := slopes[k : k+liftAhead]
		lo, hi := slices.Min(next), slices.Max(next)
		if hi-lo <= liftSlope && hi <= steepWall {
			return heights[k]
		}
	}
	return shallow
}

// wallSlopes returns the mean slope of the walls, run over rise, from each height
// to the next: how much the section shrinks along its length.
func (s *stance) wallSlopes(heights []float64) []float64 {
	var slopes []float64
	before := 0.0
	for k, h := range heights {
		loops := s.section(h)
		area, length := math.Abs(LoopsArea(loops, s.up)), 0.0
		for _, l := range loops {
			length += l.Length()
		}
		if k > 0 {
			slope := 0.0
			if length > 0 {
				slope = (before - area) / (length * (h - heights[k-1]))
			}
			slopes = append(slopes, slope)
		}
		before = area
	}
	return slopes
}

// clearOfCorners returns a height near h that no corner is at.
func (s *stance) clearOfCorners(h float64) float64 {
	gap := 1e-7 * s.size
	for range 16 {
		free := true
		for _, x := range s.height {
			if math.Abs(x-h) < gap {
				free = false
				break
			}
		}
		if free {
			break
		}
		h += 3 * gap
	}
	return h
}

// above returns what is above a height, cut there, and the new edges, each as the
// face at it runs.
func (s *stance) above(height float64) (*Mesh, [][2]int32) {
	out := &Mesh{}
	to := make([]int32, len(s.Vertices))
	keep := func(v int32) int32 {
		if to[v] == 0 {
			out.Vertices = append(out.Vertices, s.Vertices[v])
			to[v] = int32(len(out.Vertices))
		}
		return to[v] - 1
	}
	cuts := map[[2]int32]int32{}
	cut := func(a, b int32) int32 {
		e := ordered(a, b)
		v, known := cuts[e]
		if !known {
			p, q := s.Vertices[e[0]], s.Vertices[e[1]]
			u := (s.height[e[0]] - height) / (s.height[e[0]] - s.height[e[1]])
			v = int32(len(out.Vertices))
			cuts[e] = v
			out.Vertices = append(out.Vertices, r3.Add(p, r3.Scale(u, r3.Sub(q, p))))
		}
		return v
	}
	var rim [][2]int32
	for _, t := range s.Faces {
		var kept [4]int32
		n, leave, enter := 0, int32(-1), int32(-1)
		for k, a := range t {
			b := t[(k+1)%3]
			up, next := s.height[a] > height, s.height[b] > height
			if up {
				kept[n] = keep(a)
				n++
			}
			if up != next {
				v := cut(a, b)
				kept[n] = v
				n++
				if up {
					leave = v
				} else {
					enter = v
				}
			}
		}
		for k := 2; k < n; k++ {
			out.Faces = append(out.Faces, [3]int32{kept[0], kept[k-1], kept[k]})
		}
		if leave >= 0 {
			rim = append(rim, [2]int32{leave, enter})
		}
	}
	return out, rim
}

// withoutScraps leaves out the bumps of the table that rise above the cut: small
// shells that end below a height.
func (s *stance) withoutScraps(m *Mesh, rim [][2]int32, below float64) (*Mesh, [][2]int32) {
	shellOf, n := m.cornerShells()
	if n < 2 {
		return m, rim
	}
	area, top, total := make([]float64, n), make([]float64, n), 0.0
	for f, t := range m.Faces {
		a := m.faceArea(int32(f))
		area[shellOf[t[0]]] += a
		total += a
		for _, v := range t {
			top[shellOf[v]] = max(top[shellOf[v]], dot(s.up, m.Vertices[v])-s.level)
		}
	}
	scrap := func(v int32) bool { return top[shellOf[v]] < below && area[shellOf[v]] < scrapShare*total }
	out := &Mesh{Vertices: m.Vertices}
	for _, t := range m.Faces {
		if !scrap(t[0]) {
			out.Faces = append(out.Faces, t)
		}
	}
	var left [][2]int32
	for _, e := range rim {
		if !scrap(e[0]) {
			left = append(left, e)
		}
	}
	return out, left
}

// rounded closes a rim with gaps, where the scan has holes beside the table: from
// each place where it ends it goes on straight to the nearest where it starts.
func rounded(m *Mesh, rim [][2]int32) [][2]int32 {
	out, in := map[int32]int{}, map[int32]int{}
	for _, e := range rim {
		out[e[0]]++
		in[e[1]]++
	}
	var starts, ends []int32
	for _, e := range rim {
		if in[e[0]] == 0 {
			starts = append(starts, e[0])
		}
		if out[e[1]] == 0 {
			ends = append(ends, e[1])
		}
	}
	for _, end := range ends {
		best, least := -1, math.Inf(1)
		for k, start := range starts {
			if d := r3.Norm(r3.Sub(m.Vertices[start], m.Vertices[end])); d < least {
				best, least = k, d
			}
		}
		if best >= 0 {
			rim = append(rim, [2]int32{end, starts[best]})
			starts = slices.Delete(starts, best, best+1)
		}
	}
	return rim
}

// extruded adds the strip from the rim straight down to the plane.
func (s *stance) extruded(m *Mesh, rim [][2]int32, by float64) *Mesh {
	foot, walked := map[int32]int32{}, make([][2]int32, 0, len(rim))
	down := func(v int32) int32 {
		w, known := foot[v]
		if !known {
			w = int32(len(m.Vertices))
			foot[v] = w
			m.Vertices = append(m.Vertices, r3.Sub(m.Vertices[v], r3.Scale(by, s.up)))
		}
		return w
	}
	for _, e := range rim {
		a, b := down(e[0]), down(e[1])
		m.Faces = append(m.Faces, [3]int32{e[1], e[0], a}, [3]int32{e[1], a, b})
		walked = append(walked, [2]int32{a, b})
	}
	s.bridgeRings(m, walked)
	return m.used()
}

// bridgeRings makes one opening of a foot that is a ring: two faces in the plane
// join the rim around the hollow to the one around the foot, where they are
// nearest, so that the patch that closes the opening leaves out the hollow.
func (s *stance) bridgeRings(m *Mesh, steps [][2]int32) {
	slices.SortFunc(steps, func(a, b [2]int32) int { return cmp.Or(cmp.Compare(a[0], b[0]), cmp.Compare(a[1], b[1])) })
	rings := directedRings(steps)
	points, areas := make([][]r3.Vec, len(rings)), make([]float64, len(rings))
	outer := 0
	for k, ring := range rings {
		for _, v := range ring {
			points[k] = append(points[k], m.Vertices[v])
		}
		areas[k] = LoopsArea([]Loop{{Points: points[k]}}, s.up)
		if math.Abs(areas[k]) > math.Abs(areas[outer]) {
			outer = k
		}
	}
	taken := make([][]int, len(rings)) // edges of each ring that are bridged
	for k := range rings {
		around := -1
		for j := range rings {
			if areas[j]*areas[k] < 0 && areas[j]*areas[outer] > 0 && s.within(points[k][0], points[j]) &&
				(around < 0 || math.Abs(areas[j]) < math.Abs(areas[around])) {
				around = j
			}
		}
		if around < 0 {
			continue
		}
		i, j := nearest(points[around], points[k], taken[around])
		taken[around] = append(taken[around], i)
		a, b := rings[around][i], rings[around][(i+1)%len(rings[around])]
		n := len(rings[k])
		c, d := rings[k][(j+n-1)%n], rings[k][j]
		m.Faces = append(m.Faces, [3]int32{b, a, d}, [3]int32{b, d, c})
	}
}

// nearest returns which two of some points and others are nearest, but for those
// taken.
func nearest(some, others []r3.Vec, taken []int) (i, j int) {
	least := math.Inf(1)
	for k, p := range some {
		if slices.Contains(taken, k) {
			continue
		}
		for l, q := range others {
			if d := r3.Sub(p, q); dot(d, d) < least {
				i, j, least = k, l, dot(d, d)
			}
		}
	}
	return i, j
}
