package mesh

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

// Table is a flat sheet or slab that the part was scanned standing on.
type Table struct {
	Point, Normal r3.Vec  // of the table's upper plane; Normal, of length 1, points at the part
	Slab          bool    // closed, with a thickness; else an open sheet
	ThicknessMM   float64 // of the slab, 0 for a sheet
	AreaMM2       float64 // of the table's surface around the part
	SpanMM        float64 // of the table, between points far apart
	At            r3.Vec  // a place on it
}

// What tells a table from a foot or a plinth. All shares are common practice, no
// source; they were set so that no sound sample or open-data mesh has a table.
const (
	// tableThick is the thickness of the thickest slab, as a share of the height of
	// the part on it, and slabFlat as a share of the slab's own span: beyond, it is
	// a block to stand on.
	tableThick, slabFlat = 0.08, 0.15
	// tableDrop is how many times larger than the part's section just above a slab
	// the slab's is.
	tableDrop = 2.5
	// tablePrism is how far the areas of a slab's two sides may be from its
	// section's, as a share of that: a foot is rounded, hollow or moulded.
	tablePrism = 0.1
	// tableBeyond is in how many directions of all a slab reaches beyond the shadow
	// of all that stands on it.
	tableBeyond = 0.75
	// plinthCentred is how far the middles of a plinth and of what stands on it are
	// apart, as a share of the plinth's span, and plinthEven how far its two halves
	// differ, and those of the shadow of all above: such a plate was turned or sawn
	// with the part. They are turnedCentred and turnedEven where the plate is more
	// than plinthSpan times as wide as all above: a table is rarely so well centred.
	plinthCentred, plinthEven, plinthSpan = 0.03, 0.04, 1.5
	turnedCentred, turnedEven             = 0.01, 0.02
	// sheetFlat is the scatter of a sheet out of its plane, as a share of its span.
	sheetFlat = 0.015
	// sheetShare is the area of the smallest sheet, as a share of the part's section.
	sheetShare = 0.15
	// brimEven is how much farther the rim of a sheet is from the part in some
	// places than in others (nine tenths and one tenth of them); below, the sheet
	// may be a brim or a flange.
	brimEven = 1.5
	// leastTall is the height of the part as a share of the table's span, below
	// which all that was scanned is rather a relief.
	leastTall = 0.05
	// footReach is how far the part's low end may be from a loose table, above or
	// below, as a share of the part's height.
	footReach = 0.05
)

// FindTable looks for a table that the part was scanned standing on: an open
// sheet or a closed slab at one end of the scan, joined to the part or loose.
// certain says that nothing else fits, so that cutting needs no question: the
// sheet is open all around the part and its rim is no even brim. A slab is never
// certain, since a part may have a base plate. Faces should be turned alike and
// corners joined; then every face is looked at a few times.
func FindTable(m *Mesh) (t Table, certain, found bool) {
	m = m.ownCorners()
	if len(m.Faces) == 0 || !m.finite() {
		return Table{}, false, false
	}
	if t, certain, found = m.looseTable(); found {
		return t, certain, true
	}
	for _, s := range m.stances() {
		if t, certain, found = s.sheet(); found {
			return t, certain, true
		}
		if t, found = s.slab(); found {
			return t, false, true
		}
	}
	return Table{}, false, false
}

// reachWays is how many directions of a plane are looked at.
const reachWays = 32

// ways returns reachWays unit vectors across up, evenly spread.
func ways(up r3.Vec) []r3.Vec {
	x, y := Frame(up)
	all := make([]r3.Vec, reachWays)
	for k := range all {
		sin, cos := math.Sincos(2 * math.Pi * float64(k) / reachWays)
		all[k] = r3.Add(r3.Scale(cos, x), r3.Scale(sin, y))
	}
	return all
}

// reaches returns how far the vertices with a height in [lo, hi] go from the
// origin in each direction, −∞ when there are none.
func (m *Mesh) reaches(directions []r3.Vec, height []float64, lo, hi float64) []float64 {
	n := 0
	for _, h := range height {
		if h >= lo && h <= hi {
			n++
		}
	}
	far := slices.Repeat([]float64{math.Inf(-1)}, len(directions))
	step, i := n/mostReaching+1, 0
	for v, h := range height {
		if h < lo || h > hi {
			continue
		}
		if i++; i%step > 0 {
			continue
		}
		for k, d := range directions {
			far[k] = max(far[k], dot(d, m.Vertices[v]))
		}
	}
	return far
}

// mostReaching is about how many corners tell an outline: of more, only a part is
// looked at, an edge or two from the rest.
const mostReaching = 40000

// beyond returns the share of directions in which one outline goes farther than
// another by a hundredth of its span.
func beyond(outline, other []float64) float64 {
	n, by := 0, span2(outline)/100
	for k := range outline {
		if outline[k] > other[k]+by {
			n++
		}
	}
	return float64(n) / float64(len(outline))
}

// span2 returns the largest width of an outline.
func span2(reach []float64) float64 {
	widest := 0.0
	for k := range reach {
		widest = max(widest, reach[k]+reach[(k+len(reach)/2)%len(reach)])
	}
	return widest
}

// centerOf returns the middle of the box along two of the directions.
func centerOf(reach []float64, directions []r3.Vec) r3.Vec {
	half, quarter := len(reach)/2, len(reach)/4
	return r3.Add(r3.Scale((reach[0]-reach[half])/2, directions[0]),
		r3.Scale((reach[quarter]-reach[quarter+half])/2, directions[quarter]))
}

// middleOfLoops returns the middle of the area within loops, and the area with its
// sign as LoopsArea gives it.
func middleOfLoops(loops []Loop, up r3.Vec) (middle r3.Vec, area float64) {
	if len(loops) == 0 {
		return r3.Vec{}, 0
	}
	o := loops[0].Points[0]
	var sum r3.Vec
	for _, l := range loops {
		for i, p := range l.Points {
			a, b := r3.Sub(p, o), r3.Sub(l.Points[(i+1)%len(l.Points)], o)
			d := dot(up, cross(a, b)) / 2
			area += d
			sum = r3.Add(sum, r3.Scale(d/3, r3.Add(a, b)))
		}
	}
	if area == 0 {
		return o, 0
	}
	return r3.Add(o, r3.Scale(1/area, sum)), area
}

// plinth says whether a plate belongs to what stands on it, given their middles
// and the outlines of the plate and of all above.
func plinth(plate, on r3.Vec, reach, shadow []float64, directions []r3.Vec) bool {
	span := span2(reach)
	centred, even := plinthCentred*span, plinthEven*span
	if span > plinthSpan*span2(shadow) {
		centred, even = turnedCentred*span, turnedEven*span
	}
	half := len(reach) / 2
	for k, d := range directions[:half] {
		at := dot(d, plate)
		other := reach[k+half] + at
		if math.Abs(dot(d, on)-at) > centred || math.Abs(reach[k]-at-other) > even ||
			math.Abs(shadow[k]-at-shadow[k+half]-at) > even {
			return false
		}
	}
	return true
}

// slab looks for a plate under the part.
func (s *stance) slab() (Table, bool) {
	thick, ok := s.thickness()
	if !ok {
		return Table{}, false
	}
	s.measure()
	under, upper := s.flat(-s.band(), s.band()), s.flat(thick-s.band(), thick+s.band())
	if s.deep() || under < upper/2 || upper < under/3 {
		return Table{}, false
	}
	top := s.raised(thick)
	hair := top.liftOff()
	middle := top.between(-thick, 0).section(-thick / 2)
	on := top.between(0, 2*hair).section(hair)
	plate, area := middleOfLoops(middle, s.up)
	part, drop := middleOfLoops(on, s.up)
	area, drop = math.Abs(area), math.Abs(drop)
	directions := ways(s.up)
	reach := s.reaches(directions, top.height, math.Inf(-1), hair/2)
	if area < under/2 { // its side has a hole
		plate, area = centerOf(reach, directions), under
	}
	shadow := s.reaches(directions, top.height, 2*hair, math.Inf(1))
	t := Table{Normal: top.up, Slab: true, ThicknessMM: thick, AreaMM2: upper, SpanMM: span2(reach)}
	t.Point = r3.Add(plate, r3.Scale(top.level-dot(top.up, plate), top.up))
	t.At = s.placeOn(top.height, top.band(), plate)
	switch {
	case drop == 0 || area < tableDrop*drop,
		thick > tableThick*(s.tall-thick) || thick > slabFlat*t.SpanMM || s.tall-thick < leastTall*t.SpanMM,
		math.Abs(under-area) > tablePrism*area || math.Abs(upper+drop-area) > tablePrism*area,
		beyond(reach, shadow) < tableBeyond,
		plinth(plate, part, reach, shadow, directions):
		return Table{}, false
	}
	return t, true
}

// sheet looks for an open sheet around the part.
func (s *stance) sheet() (t Table, certain, found bool) {
	// The vectors of all faces of a closed surface add up to nothing; those of an
	// open one to the area within its rims.
	open := math.Abs(dot(s.up, s.sample.flux))
	if open < float64(len(s.sample.faces))*s.sample.step*carryShare/2 {
		return Table{}, false, false
	}
	s.measure()
	area := s.flat(-s.band(), s.band())
	if s.deep() || open < area/2 {
		return Table{}, false, false
	}
	rim, within := s.rimInPlane()
	if rim == nil {
		return Table{}, false, false
	}
	hair := s.liftOff()
	on := s.between(0, 2*hair).section(hair)
	_, part := middleOfLoops(on, s.up)
	part = math.Abs(part)
	directions := ways(s.up)
	reach := make([]float64, reachWays)
	for k, d := range directions {
		reach[k] = math.Inf(-1)
		for _, p := range rim {
			reach[k] = max(reach[k], dot(d, p))
		}
	}
	t = Table{Normal: s.up, AreaMM2: area, SpanMM: span2(reach), At: rim[0]}
	center := BoundsOf(rim)
	middle := r3.Scale(0.5, r3.Add(center.Min, center.Max))
	t.Point = r3.Add(middle, r3.Scale(s.level-dot(s.up, middle), s.up))
	switch {
	case part == 0 || area < sheetShare*part || s.scatter > sheetFlat*t.SpanMM,
		s.tall < leastTall*t.SpanMM,
		math.Abs(within-area-part) > 0.3*within,
		!s.surrounds(rim, on):
		return Table{}, false, false
	}
	return t, !s.evenBrim(rim, on), true
}

// rimInPlane returns the largest ring of open edges in the plane, and the area
// within it.
func (s *stance) rimInPlane() (ring []r3.Vec, area float64) {
	w := newRimWalk(s.openEdges())
	band := max(s.band(), 0.01*s.size)
	for e := range w.used {
		if w.used[e] {
			continue
		}
		w.walk(int32(e), func(vertices []int32) {
			out := 0
			points := make([]r3.Vec, len(vertices))
			for i, v := range vertices {
				points[i] = s.Vertices[v]
				if math.Abs(s.height[v]) > band {
					out++
				}
			}
			if a := math.Abs(LoopsArea([]Loop{{Points: points}}, s.up)); out*20 <= len(vertices) && a > area {
				ring, area = points, a
			}
		})
	}
	return ring, area
}

// surrounds says whether nearly all of a section is within a rim, as seen along
// up.
func (s *stance) surrounds(rim []r3.Vec, on []Loop) bool {
	inside := 0
	points := thinned(on)
	for _, p := range points {
		if s.within(p, rim) {
			inside++
		}
	}
	return inside*50 >= len(points)*49
}

// within says whether a point is inside a ring, as seen along up.
func (s *stance) within(p r3.Vec, ring []r3.Vec) bool {
	x, y := Frame(s.up)
	in := false
	for i, a := range ring {
		b := r3.Sub(ring[(i+1)%len(ring)], p)
		a = r3.Sub(a, p)
		ay, by := dot(y, a), dot(y, b)
		if (ay > 0) != (by > 0) && dot(x, a)+ay/(ay-by)*(dot(x, b)-dot(x, a)) > 0 {
			in = !in
		}
	}
	return in
}

// mostCompared is about how many points of a line are held against others.
const mostCompared = 500

// thinned returns points spread over some loops.
func thinned(loops []Loop) []r3.Vec {
	n := 0
	for _, l := range loops {
		n += len(l.Points)
	}
	var points []r3.Vec
	i := 0
	for _, l := range loops {
		for _, p := range l.Points {
			if i%(n/mostCompared+1) == 0 {
				points = append(points, p)
			}
			i++
		}
	}
	return points
}

// evenBrim says whether a rim is equally far from the part everywhere.
func (s *stance) evenBrim(rim []r3.Vec, on []Loop) bool {
	part := thinned(on)
	var far []float64
	for _, p := range thinned([]Loop{{Points: rim}}) {
		least := math.Inf(1)
		for _, q := range part {
			d := r3.Sub(p, q)
			d = r3.Sub(d, r3.Scale(dot(s.up, d), s.up))
			least = min(least, dot(d, d))
		}
		far = append(far, math.Sqrt(least))
	}
	slices.Sort(far)
	n := len(far)
	return far[n*9/10] < brimEven*far[n/10]
}

// placeOn returns the corner in the plane that is farthest from a place.
func (s *stance) placeOn(height []float64, band float64, from r3.Vec) r3.Vec {
	var at r3.Vec
	far := -1.0
	for v, p := range s.Vertices {
		if d := r3.Sub(p, from); math.Abs(height[v]) <= band && dot(d, d) > far {
			at, far = p, dot(d, d)
		}
	}
	return at
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
