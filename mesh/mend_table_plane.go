package mesh

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

const (
	// standCells is how many cells along each side keep one corner each for the
	// coarse hull: where the scan may stand.
	standCells = 48
	// standAngle is how far in cosine facets of that hull may be turned and still
	// be one flat side: noise turns them (6°).
	standCos = 0.9945
	// standShare is the area of the smallest flat side of the hull, and carryShare
	// that of the surface in it, as shares of all.
	standShare, carryShare = 0.015, 0.01
	// mostStands is how many flat sides are looked at.
	mostStands = 12
	// standBand is how deep, as a share of the longest side, a flat side is sought
	// before its plane is fitted.
	standBand = 0.03
	// standScatter is the largest scatter of a flat side out of its plane, as a share
	// of the longest side. A slope through the whole band has 0.03/√12 = 0.009.
	standScatter = 0.006
	// standLevel is the least mean cosine between a flat side and its faces.
	standLevel = 0.88
	// flatCos is the least cosine between a flat face and its plane: corners that
	// are off by a fifth of an edge turn faces as far.
	flatCos = 0.7
	// fitFaces is about how many faces a plane is fitted to.
	fitFaces = 4000
)

// stance is a scan as it stands on one of its flat sides.
type stance struct {
	*Mesh
	up      r3.Vec    // from the plane into the scan
	level   float64   // of the plane along up, mm
	scatter float64   // of the flat side's corners out of the plane, standard deviation
	height  []float64 // of each vertex above the plane
	tall    float64   // the largest height
	size    float64   // longest side of the bounds
	flux    r3.Vec    // sum of all faces' vectors
}

// stances returns how the scan stands on its flat sides: large faces of its hull
// with much of the surface in them, and nothing below.
func (m *Mesh) stances() []*stance {
	b := m.Bounds()
	size := farthest(r3.Sub(b.Max, b.Min))
	ups, lows := m.flatSides()
	carried, flux := m.carried(ups, lows, standBand*size)
	total := flux.area
	var all []*stance
	for _, k := range byArea(len(ups), func(i int) float64 { return carried[i] }) {
		if carried[k] < carryShare*total {
			break
		}
		s := &stance{Mesh: m, up: ups[k], size: size, flux: flux.vector}
		if s.fit(lows[k], standBand*size) {
			all = append(all, s)
		}
	}
	return all
}

// flatSides returns the inward normals and levels of the large flat sides of a
// coarse hull. The hull is of one corner for each cell of a grid; being corners
// of the scan, those on a flat side are on the flat side of the hull.
func (m *Mesh) flatSides() (ups []r3.Vec, lows []float64) {
	points := m.onePerCell()
	hull, err := Hull(points)
	if err != nil {
		return nil, nil // all in a plane
	}
	normal, area, total := make([]r3.Vec, len(hull.Faces)), make([]float64, len(hull.Faces)), 0.0
	for f := range hull.Faces {
		n := hull.DoubleAreaNormal(f)
		normal[f], area[f] = unit(n), r3.Norm(n)/2
		total += area[f]
	}
	const seeds = 200
	taken := make([]bool, len(normal))
	var sides []r3.Vec // each as long as its area
	order := byArea(len(normal), func(f int) float64 { return area[f] })
	for _, seed := range order[:min(seeds, len(order))] {
		if taken[seed] {
			continue
		}
		var sum r3.Vec
		for f, n := range normal {
			if !taken[f] && dot(n, normal[seed]) > standCos {
				taken[f] = true
				sum = r3.Add(sum, r3.Scale(area[f], n))
			}
		}
		if r3.Norm(sum) > standShare*total {
			sides = append(sides, sum)
		}
	}
	for _, k := range byArea(len(sides), func(i int) float64 { return r3.Norm(sides[i]) }) {
		if len(ups) == mostStands {
			break
		}
		up := r3.Scale(-1, unit(sides[k]))
		low := math.Inf(1)
		for _, p := range hull.Vertices {
			low = min(low, dot(up, p))
		}
		ups, lows = append(ups, up), append(lows, low)
	}
	return ups, lows
}

// onePerCell returns the first corner in each cell of a grid.
func (m *Mesh) onePerCell() []r3.Vec {
	b := m.Bounds()
	size := farthest(r3.Sub(b.Max, b.Min))
	scale := (standCells - 1e-9) / size
	var taken [standCells * standCells * standCells]bool
	var points []r3.Vec
	for _, p := range m.Vertices {
		d := r3.Scale(scale, r3.Sub(p, b.Min))
		if c := (int(d.Z)*standCells+int(d.Y))*standCells + int(d.X); !taken[c] {
			taken[c] = true
			points = append(points, p)
		}
	}
	return points
}

// wholeArea is a surface's area and the sum of its faces' vectors.
type wholeArea struct {
	area   float64
	vector r3.Vec
}

// carried returns the area of the flat faces within a band above each level, and
// that of all faces.
func (m *Mesh) carried(ups []r3.Vec, lows []float64, band float64) ([]float64, wholeArea) {
	type sums struct {
		at [mostStands]float64
		wholeArea
	}
	blocks := make([]sums, blocksOf(len(m.Faces)))
	eachBlock(len(m.Faces), func(block, lo, hi int) {
		s := &blocks[block]
		for f := lo; f < hi; f++ {
			a, b, c := m.Corners(f)
			n := cross(r3.Sub(b, a), r3.Sub(c, a))
			area := math.Sqrt(dot(n, n))
			s.area += area / 2
			s.vector = r3.Add(s.vector, r3.Scale(0.5, n))
			for k, up := range ups {
				if h := dot(up, a) - lows[k]; h < band && math.Abs(dot(up, n)) > flatCos*area {
					s.at[k] += area / 2
				}
			}
		}
	})
	total := sums{}
	for _, s := range blocks {
		total.area += s.area
		total.vector = r3.Add(total.vector, s.vector)
		for k := range ups {
			total.at[k] += s.at[k]
		}
	}
	return total.at[:len(ups)], total.wholeArea
}

// fit fits the plane to the lowest of the flat faces near a level and measures
// heights from it; false when they are in no plane.
func (s *stance) fit(low, band float64) bool {
	first := s.up
	corners := s.flatCorners(func(h float64) bool { return math.Abs(h-low) < band })
	if len(corners) < 3 {
		return false
	}
	least := 5e-4 * s.size
	for range 6 {
		z := make([]float64, len(corners))
		for i, p := range corners {
			z[i] = dot(s.up, p)
		}
		slices.Sort(z)
		// The lower fifth tells where the lowest plane is and how it scatters,
		// whatever is above: for a normal distribution the quantiles 0.02 and 0.2
		// are 1.21 standard deviations apart.
		at := z[len(z)/5]
		sigma := (at - z[len(z)/50]) / 1.21
		s.plane(corners, at-4*sigma-least, at+3*sigma+least)
	}
	if dot(first, s.up) < 0.97 || s.scatter > standScatter*s.size || s.levelness(corners) < standLevel {
		return false
	}
	s.measure()
	low = slices.Min(s.height)
	return low > -2*s.band() && s.tall > 2*s.band()
}

// levelness returns the mean cosine between the plane and the faces in it, given
// by their corners.
func (s *stance) levelness(corners []r3.Vec) float64 {
	sum, n := 0.0, 0
	for i := 0; i < len(corners); i += 3 {
		a, b, c := corners[i], corners[i+1], corners[i+2]
		if math.Abs(dot(s.up, a)-s.level) <= s.band() {
			sum += math.Abs(dot(s.up, unit(cross(r3.Sub(b, a), r3.Sub(c, a)))))
			n++
		}
	}
	return sum / float64(max(1, n))
}

// measure finds the heights.
func (s *stance) measure() {
	s.height = makeLarge[float64](len(s.Vertices))
	inParts(len(s.Vertices), func(_, lo, hi int) {
		for v := lo; v < hi; v++ {
			s.height[v] = dot(s.up, s.Vertices[v]) - s.level
		}
	})
	s.tall = slices.Max(s.height)
}

// band is how far from the plane corners of the flat side are.
func (s *stance) band() float64 { return 4*s.scatter + 1e-3*s.size }

// raised returns the same stance above its plane, with the upper plane of a slab
// fitted anew.
func (s *stance) raised(by float64) *stance {
	r := *s
	corners := s.flatCorners(func(h float64) bool { return math.Abs(h-s.level-by) < min(by/2, s.band()) })
	if len(corners) >= 3 {
		lo := s.level + by - min(by/2, s.band())
		r.plane(corners, lo, 2*(s.level+by)-lo)
	} else {
		r.level += by
	}
	r.measure()
	return &r
}

// plane fits up, level and scatter to the corners with lo <= height <= hi by
// least squares.
func (s *stance) plane(corners []r3.Vec, lo, hi float64) {
	var some []r3.Vec
	var middle r3.Vec
	for _, p := range corners {
		if h := dot(s.up, p); h >= lo && h <= hi {
			some = append(some, p)
			middle = r3.Add(middle, p)
		}
	}
	if len(some) < 3 {
		return
	}
	middle = r3.Scale(1/float64(len(some)), middle)
	x, y := Frame(s.up)
	var xx, xy, yy, xz, yz, zz float64
	for _, p := range some {
		d := r3.Sub(p, middle)
		u, v, h := dot(x, d), dot(y, d), dot(s.up, d)
		xx, xy, yy, xz, yz = xx+u*u, xy+u*v, yy+v*v, xz+u*h, yz+v*h
		zz += h * h
	}
	det := xx*yy - xy*xy
	if !(det > 1e-9*xx*yy) {
		return
	}
	a, b := (xz*yy-yz*xy)/det, (yz*xx-xz*xy)/det
	s.up = unit(r3.Sub(s.up, r3.Add(r3.Scale(a, x), r3.Scale(b, y))))
	s.level = dot(s.up, middle)
	s.scatter = math.Sqrt(max(0, zz-a*xz-b*yz) / float64(len(some)))
}

// flatCorners returns the corners of about fitFaces flat faces at certain
// heights along up: those in which the area passes another part, so that large
// faces come as often as their area says.
func (s *stance) flatCorners(at func(h float64) bool) []r3.Vec {
	type flat struct {
		face int32
		area float64
	}
	parts := make([][]flat, partsFor(len(s.Faces)))
	inParts(len(s.Faces), func(part, lo, hi int) {
		for f := lo; f < hi; f++ {
			a, b, c := s.Corners(f)
			if !at((dot(s.up, a) + dot(s.up, b) + dot(s.up, c)) / 3) {
				continue
			}
			n := cross(r3.Sub(b, a), r3.Sub(c, a))
			if area := math.Sqrt(dot(n, n)); math.Abs(dot(s.up, n)) > flatCos*area {
				parts[part] = append(parts[part], flat{int32(f), area})
			}
		}
	})
	all := slices.Concat(parts...)
	total := 0.0
	for _, f := range all {
		total += f.area
	}
	var corners []r3.Vec
	step, passed := total/fitFaces, 0.0
	for _, f := range all {
		for passed += f.area; passed >= step && step > 0; passed -= step {
			a, b, c := s.Corners(int(f.face))
			corners = append(corners, a, b, c)
		}
	}
	return corners
}

// flat returns the area of the flat faces between two heights.
func (s *stance) flat(lo, hi float64) float64 {
	area := 0.0
	s.eachFlat(hi, func(h, a float64) {
		if h >= lo {
			area += a
		}
	})
	return area
}

// eachFlat visits the flat faces up to a height in order: their middle heights and
// shadows.
func (s *stance) eachFlat(most float64, visit func(height, shadow float64)) {
	for f, t := range s.Faces {
		h := (s.height[t[0]] + s.height[t[1]] + s.height[t[2]]) / 3
		if h > most {
			continue
		}
		n := s.DoubleAreaNormal(f)
		if shadow := math.Abs(dot(s.up, n)); shadow > flatCos*r3.Norm(n) {
			visit(h, shadow/2)
		}
	}
}

// thickness looks for a second plane above the first with at least a third of
// its area, and returns how far it is above.
func (s *stance) thickness() (float64, bool) {
	step := max(s.scatter, 2e-4*s.size)
	limit := tableThick * s.tall
	areas, moments := make([]float64, int(limit/step)+8), make([]float64, int(limit/step)+8)
	under := 0.0
	least := max(4*s.scatter, 1e-3*s.size)
	s.eachFlat(limit, func(h, a float64) {
		if h < least {
			under += a
		} else if k := int(h / step); k < len(areas) {
			areas[k] += a
			moments[k] += a * h
		}
	})
	best, at := 0.0, 0.0
	for k := range areas {
		sum, moment := 0.0, 0.0
		for j := max(0, k-3); j < min(len(areas), k+4); j++ {
			sum, moment = sum+areas[j], moment+moments[j]
		}
		if sum > best {
			best, at = sum, moment/sum
		}
	}
	return at, best > under/3
}

// between returns the faces that reach into a range of heights, with their
// corners only.
func (s *stance) between(lo, hi float64) *stance {
	to := make([]int32, len(s.Vertices))
	n := &stance{Mesh: &Mesh{}, up: s.up, level: s.level, scatter: s.scatter, tall: s.tall, size: s.size}
	for _, t := range s.Faces {
		a, b, c := s.height[t[0]], s.height[t[1]], s.height[t[2]]
		if max(a, b, c) < lo || min(a, b, c) > hi {
			continue
		}
		for k, v := range t {
			if to[v] == 0 {
				n.Vertices = append(n.Vertices, s.Vertices[v])
				n.height = append(n.height, s.height[v])
				to[v] = int32(len(n.Vertices))
			}
			t[k] = to[v] - 1
		}
		n.Faces = append(n.Faces, t)
	}
	return n
}

// section returns the loops at a height.
func (s *stance) section(height float64) []Loop {
	return s.Section(r3.Scale(s.level+height, s.up), s.up)
}
