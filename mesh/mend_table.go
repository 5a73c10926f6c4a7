package mesh

import (
	"math"

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
func FindTable(m *Mesh) (t Table, certain, found bool) { return m.findTable(false) }

// findTable is FindTable; told says that there is a table, so that a plate which
// could as well be a plinth is one.
func (m *Mesh) findTable(told bool) (t Table, certain, found bool) {
	m = m.ownCorners()
	if len(m.Faces) == 0 || !m.finite() {
		return Table{}, false, false
	}
	if t, certain, found = m.looseTable(told); found {
		return t, certain, true
	}
	for _, s := range m.stances() {
		if t, certain, found = s.sheet(); found {
			return t, certain, true
		}
		if t, found = s.slab(told); found {
			return t, false, true
		}
	}
	return Table{}, false, false
}

// slab looks for a plate under the part.
func (s *stance) slab(told bool) (Table, bool) {
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
		!told && plinth(plate, part, reach, shadow, directions):
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
