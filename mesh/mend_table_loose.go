package mesh

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

const (
	// mostLoose is the number of shells above which the scan is rather unjoined.
	mostLoose = 64
	// leastLoose is the area of the smallest shell that may be a table, as a share
	// of all.
	leastLoose = 0.01
	// looseFlat is how far a loose sheet may be out of its plane, as a share of its
	// span: a tenth more than sheetFlat allows at two and a half deviations.
	looseFlat = 0.04
)

// ownCorners returns the mesh with no corners but those of its faces: itself when
// it has no others.
func (m *Mesh) ownCorners() *Mesh {
	used := make([]bool, len(m.Vertices))
	for _, t := range m.Faces {
		used[t[0]], used[t[1]], used[t[2]] = true, true, true
	}
	if slices.Contains(used, false) {
		return m.used()
	}
	return m
}

// cornerShells numbers the parts of the mesh that no corner joins, and returns
// the one of each corner and how many there are.
func (m *Mesh) cornerShells() (shellOf []int32, n int) {
	p := newForest(len(m.Vertices))
	used := make([]bool, len(m.Vertices))
	inParts(len(m.Faces), func(_, lo, hi int) {
		for _, t := range m.Faces[lo:hi] {
			p.join(t[0], t[1])
			p.join(t[1], t[2])
		}
	})
	for _, t := range m.Faces {
		used[t[0]], used[t[1]], used[t[2]] = true, true, true
	}
	return p, p.number(func(v int) bool { return !used[v] })
}

// looseTable looks for a table that is a shell of its own, under the part's low
// end or through it.
func (m *Mesh) looseTable(told bool) (t Table, certain, found bool) {
	shellOf, n := m.cornerShells()
	if n < 2 || n > mostLoose {
		return Table{}, false, false
	}
	faces, area, total := make([][][3]int32, n), make([]float64, n), 0.0
	for f, t := range m.Faces {
		a := m.faceArea(int32(f))
		k := shellOf[t[0]]
		faces[k] = append(faces[k], t)
		area[k] += a
		total += a
	}
	for k := range faces {
		if area[k] < leastLoose*total || area[k] > 0.999*total {
			continue
		}
		own := (&Mesh{Vertices: m.Vertices, Faces: faces[k]}).used()
		rest := (&Mesh{Vertices: m.Vertices, Faces: slices.Concat(slices.Concat(faces[:k]...), slices.Concat(faces[k+1:]...))}).used()
		if u, sure, is := rest.standsOn(own, told); is && (!found || sure) {
			t, certain, found = u, sure, true
		}
	}
	return t, certain, found
}

// standsOn says whether a shell is a table under the mesh.
func (m *Mesh) standsOn(shell *Mesh, told bool) (t Table, certain, found bool) {
	plate, ok := shell.flatShell()
	if !ok {
		return Table{}, false, false
	}
	part := &stance{Mesh: m, up: plate.up, level: plate.level, size: plate.size}
	part.measure()
	low := slices.Min(part.height)
	if thick := plate.tall; -low > part.tall {
		part.up, part.level = r3.Scale(-1, plate.up), -plate.level
		part.measure()
		low = slices.Min(part.height)
	} else if plate.closed() {
		// The upper side of a slab.
		part.level += thick
		part.measure()
		low -= thick
	}
	slab := plate.closed()
	directions := ways(part.up)
	on := make([]float64, len(shell.Vertices))
	reach := shell.reaches(directions, on, 0, 0)
	foot := m.reaches(directions, part.height, math.Inf(-1), 2*footReach*part.tall)
	area := shell.Area()
	b := shell.Bounds()
	middle := r3.Scale(0.5, r3.Add(b.Min, b.Max))
	t = Table{Normal: part.up, Slab: slab, AreaMM2: area, SpanMM: span2(reach), At: plate.Vertices[plate.Faces[0][0]]}
	t.Point = r3.Add(middle, r3.Scale(part.level-dot(part.up, middle), part.up))
	if slab {
		t.ThicknessMM, t.AreaMM2 = plate.tall, area/2
	}
	switch {
	case math.Abs(low) > footReach*part.tall || part.tall < leastTall*t.SpanMM,
		beyond(reach, foot) < tableBeyond,
		slab && (t.ThicknessMM > tableThick*part.tall || t.ThicknessMM > slabFlat*t.SpanMM),
		!slab && plate.tall > looseFlat*t.SpanMM,
		slab && !part.plateUnder(t, reach, directions, middle, told):
		return Table{}, false, false
	}
	return t, !slab, true
}

// plateUnder says whether a loose plate is larger than the part's foot as a table
// is, and, unless we are told that it is one, no base plate of the part.
func (s *stance) plateUnder(t Table, reach []float64, directions []r3.Vec, middle r3.Vec, told bool) bool {
	hair := max(0.01*s.tall, footReach*s.tall/2)
	foot, area := middleOfLoops(s.section(hair), s.up)
	return t.AreaMM2 > tableDrop*math.Abs(area) &&
		(told || !plinth(middle, foot, reach, s.reaches(directions, s.height, math.Inf(-1), math.Inf(1)), directions))
}

// flatShell returns how a shell lies in its own plane; tall is how thick it is.
func (m *Mesh) flatShell() (*stance, bool) {
	b := m.Bounds()
	s := &stance{Mesh: m, sample: m.sampled(), size: farthest(r3.Sub(b.Max, b.Min))}
	var largest, sum r3.Vec
	for f := range m.Faces {
		if n := m.DoubleAreaNormal(f); dot(n, n) > dot(largest, largest) {
			largest = n
		}
	}
	for f := range m.Faces {
		n := m.DoubleAreaNormal(f)
		sum = r3.Add(sum, r3.Scale(math.Copysign(1, dot(n, largest)), n))
	}
	s.up = unit(sum)
	if s.up == (r3.Vec{}) {
		return nil, false
	}
	s.plane(s.sample.flatCorners(s.up, func(float64) bool { return true }), math.Inf(-1), math.Inf(1))
	s.measure()
	low := slices.Min(s.height)
	if s.closed() {
		s.level += low
		s.measure()
		return s, s.tall < slabFlat*s.size
	}
	s.tall -= low
	return s, s.tall < slabFlat*s.size
}

// closed says whether a flat shell has two sides: then the faces' vectors add up to
// the area of its holes at most, those of a sheet to its own.
func (s *stance) closed() bool { return r3.Norm(s.sample.flux) < 0.3*s.Area() }

// withoutLoose leaves out shells that are within the table.
func (s *stance) withoutLoose(t Table) (*Mesh, bool) {
	shellOf, n := s.cornerShells()
	if n < 2 || n > mostLoose {
		return nil, false
	}
	band := looseFlat * t.SpanMM
	within := slices.Repeat([]bool{true}, n)
	for v, k := range shellOf {
		if k >= 0 && (s.height[v] > band || s.height[v] < -t.ThicknessMM-band) {
			within[k] = false
		}
	}
	out := &Mesh{Vertices: s.Vertices}
	area := 0.0
	for f, t := range s.Faces {
		if within[shellOf[t[0]]] {
			area += s.faceArea(int32(f))
		} else {
			out.Faces = append(out.Faces, t)
		}
	}
	if area < t.AreaMM2/2 || len(out.Faces) == 0 {
		return nil, false
	}
	return out.used(), true
}
