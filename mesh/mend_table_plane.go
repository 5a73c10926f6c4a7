package mesh

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh/large"
)

const (
	// standCells is how many cells along each side keep one corner each for the
	// coarse hull: where the scan may stand.
	standCells = 48
	// standCos is how far in cosine facets of that hull may be turned and still
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
	// fitFaces is how many faces are sampled for fitting planes.
	fitFaces = 20000
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
	sample  *faceSample
}

// stances returns how the scan stands on its flat sides: large faces of its hull
// with much of the surface in them, and nothing below. Planes are fitted to a
// sample of the faces, so that a scan that stands on none is soon done with.
func (m *Mesh) stances() []*stance {
	b := m.Bounds()
	size := farthest(r3.Sub(b.Max, b.Min))
	if size == 0 {
		return nil
	}
	sides := m.flatSides()
	faces := m.sampled()
	carried := make([]float64, len(sides))
	for k, side := range sides {
		for _, f := range faces.faces {
			if dot(side.up, f.a) < side.low+standBand*size && math.Abs(dot(side.up, f.normal)) > flatCos {
				carried[k]++
			}
		}
	}
	var all []*stance
	for _, k := range byArea(len(sides), func(i int) float64 { return carried[i] }) {
		if carried[k] < carryShare*float64(len(faces.faces)) {
			break
		}
		s := &stance{Mesh: m, up: sides[k].up, size: size, tall: sides[k].high - sides[k].low, sample: faces}
		if s.fit(sides[k].low, standBand*size) {
			all = append(all, s)
		}
	}
	return all
}

// flatSide is a flat side of the hull: its inward normal and the levels along it
// of its plane and of the far end.
type flatSide struct {
	up        r3.Vec
	low, high float64
}

// flatSides returns the large flat sides of a coarse hull, the largest first. The hull is of one corner for each cell of a grid; being corners
// of the scan, those on a flat side are on the flat side of the hull.
func (m *Mesh) flatSides() []flatSide {
	points := m.onePerCell()
	hull, err := Hull(points)
	if err != nil {
		return nil // all in a plane
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
	var found []flatSide
	for _, k := range byArea(len(sides), func(i int) float64 { return r3.Norm(sides[i]) }) {
		if len(found) == mostStands {
			break
		}
		side := flatSide{r3.Scale(-1, unit(sides[k])), math.Inf(1), math.Inf(-1)}
		for _, p := range hull.Vertices {
			h := dot(side.up, p)
			side.low, side.high = min(side.low, h), max(side.high, h)
		}
		found = append(found, side)
	}
	return found
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

// faceSample is faces spread evenly over a surface: those in which its area, summed
// up face by face, passes another step, so that large faces come as often as their
// area says.
type faceSample struct {
	faces []sampledFace
	step  float64 // area that each stands for, mm²
	flux  r3.Vec  // sum of the vectors of all faces, mm²
}

// sampledFace is a face by its corners and unit normal.
type sampledFace struct{ a, b, c, normal r3.Vec }

func (m *Mesh) sampled() *faceSample {
	type sums struct {
		area float64
		flux r3.Vec
	}
	blocks := make([]sums, blocksOf(len(m.Faces)))
	eachBlock(len(m.Faces), func(block, lo, hi int) {
		s := sums{}
		for f := lo; f < hi; f++ {
			a, b, c := m.Corners(f)
			n := cross(r3.Sub(b, a), r3.Sub(c, a))
			s.area += math.Sqrt(dot(n, n)) / 2
			s.flux = r3.Add(s.flux, n)
		}
		blocks[block] = s
	})
	all := &faceSample{}
	before, total := make([]float64, len(blocks)), 0.0
	for k, s := range blocks {
		before[k] = total
		total += s.area
		all.flux = r3.Add(all.flux, r3.Scale(0.5, s.flux))
	}
	all.step = total / fitFaces
	if all.step == 0 {
		return all
	}
	parts := make([][]sampledFace, len(blocks))
	eachBlock(len(m.Faces), func(block, lo, hi int) {
		passed := before[block]
		next := math.Floor(passed/all.step) + 1
		for f := lo; f < hi; f++ {
			a, b, c := m.Corners(f)
			n := cross(r3.Sub(b, a), r3.Sub(c, a))
			for passed += math.Sqrt(dot(n, n)) / 2; next*all.step <= passed; next++ {
				parts[block] = append(parts[block], sampledFace{a, b, c, unit(n)})
			}
		}
	})
	all.faces = slices.Concat(parts...)
	return all
}

// flatCorners returns the corners of the faces that lie flat at certain heights
// along up.
func (s *faceSample) flatCorners(up r3.Vec, at func(h float64) bool) []r3.Vec {
	var corners []r3.Vec
	for _, f := range s.faces {
		if math.Abs(dot(up, f.normal)) > flatCos && at((dot(up, f.a)+dot(up, f.b)+dot(up, f.c))/3) {
			corners = append(corners, f.a, f.b, f.c)
		}
	}
	return corners
}

// fit fits the plane to the lowest of the flat faces near a level; false when they
// are in no plane.
func (s *stance) fit(low, band float64) bool {
	first := s.up
	corners := s.sample.flatCorners(s.up, func(h float64) bool { return math.Abs(h-low) < band })
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
	return dot(first, s.up) > 0.97 && s.scatter < standScatter*s.size && s.levelness(corners) > standLevel
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
	s.height = large.Make[float64](len(s.Vertices))
	inParts(len(s.Vertices), func(_, lo, hi int) {
		for v := lo; v < hi; v++ {
			s.height[v] = dot(s.up, s.Vertices[v]) - s.level
		}
	})
	s.tall = slices.Max(s.height)
}

// deep says whether the scan goes on below the plane.
func (s *stance) deep() bool { return slices.Min(s.height) < -2*s.band() || s.tall < 2*s.band() }

// band is how far from the plane corners of the flat side are.
func (s *stance) band() float64 { return 4*s.scatter + 1e-3*s.size }

// raised returns the same stance above its plane, with the upper plane of a slab
// fitted anew.
func (s *stance) raised(by float64) *stance {
	r := *s
	corners := s.sample.flatCorners(s.up, func(h float64) bool { return math.Abs(h-s.level-by) < min(by/2, s.band()) })
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

// byArea sorts indices by falling value, equal ones in order.
func byArea(n int, area func(i int) float64) []int {
	order := make([]int, n)
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(area(b), area(a)) })
	return order
}
