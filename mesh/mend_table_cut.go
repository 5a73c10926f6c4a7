package mesh

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

const (
	// liftSteps is by how much the cut goes up from try to try, and liftMost the
	// highest cut, as a share of the part's height.
	liftSteps, liftMost = 1.4, 0.04
	// liftSlope is how much the walls' mean slope (run over rise) may change from
	// one try to the next where they have left the table: noise on a rim of some
	// thirty edges makes that much.
	liftSlope = 0.25
	// scrapShare is the area of a scrap that is left above the cut, as a share of
	// all that is left.
	scrapShare = 0.01
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
	m = m.used()
	b := m.Bounds()
	s := &stance{Mesh: m, up: t.Normal, level: dot(t.Normal, t.Point), size: farthest(r3.Sub(b.Max, b.Min))}
	s.measure()
	if rest, loose := s.withoutLoose(t); loose {
		return rest, 0
	}
	most := math.Inf(1)
	near := standBand * s.size
	if t.Slab {
		most = t.ThicknessMM / 2
		near = min(near, most)
	}
	s.settle(near)
	hair := s.clearOfCorners(s.liftOff(most))
	above, rim := s.above(hair)
	above, rim = s.withoutScraps(above, rim, 3*hair)
	return s.extruded(above, rim, hair), hair
}

// settle measures how the table scatters about its plane, from flat faces within
// a distance of it: the median tells, whatever else is near.
func (s *stance) settle(within float64) {
	corners := s.flatCorners(func(h float64) bool { return math.Abs(h-s.level) < within })
	for range 4 {
		sum, n := 0.0, 0
		for _, p := range corners {
			if h := dot(s.up, p) - s.level; math.Abs(h) <= within {
				sum += h * h
				n++
			}
		}
		if n == 0 {
			return
		}
		s.scatter = math.Sqrt(sum / float64(n))
		within = min(within, 3*s.scatter+5e-4*s.size)
	}
}

// liftOff returns the least height at which a cut leaves the part alone.
func (s *stance) liftOff(most float64) float64 {
	least := 3*s.scatter + 2*coordinateTolerance(s.Bounds()) + 1e-4*s.size
	most = max(min(liftMost*s.tall, most), 2*least)
	near := s.between(least/2, most*liftSteps*liftSteps)
	at := func(h float64) (area, length float64) {
		loops := near.section(h)
		for _, l := range loops {
			length += l.Length()
		}
		return math.Abs(LoopsArea(loops, s.up)), length
	}
	h := least
	area, _ := at(h)
	before := math.Inf(1)
	for {
		next := h * liftSteps
		a, length := at(next)
		slope := (area - a) / (length * (next - h))
		if length == 0 {
			slope = 0
		}
		if math.Abs(before-slope) < liftSlope*(1+math.Abs(slope)/2) {
			return h / liftSteps
		}
		if next > most {
			return h
		}
		h, area, before = next, a, slope
	}
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

// extruded adds the strip from the rim straight down to the plane.
func (s *stance) extruded(m *Mesh, rim [][2]int32, by float64) *Mesh {
	foot := map[int32]int32{}
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
	}
	return m.used()
}
