package mesh

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

// shell is one connected part of the surface.
type shell struct {
	faces  int
	volume float64 // signed, about the mesh's box centre
	area   float64
	at     r3.Vec // on a face of it that is no needle; else on its first face
	seen   bool   // at is on a face that is no needle
	// How often the other shells wind around places spread over this one: the
	// least and the most.
	around, aroundMost int
	depth              int // how many other shells it lies in, however they are wound
}

// crossed says whether part of the shell is inside others and part is not.
func (s shell) crossed() bool { return s.around != s.aroundMost }

// tallyRun is the sum over neighbouring faces of one shell.
type tallyRun struct {
	shell, faces, sound int32 // sound: a face that is no needle, or −1
	volume, area        float64
}

// tally measures each shell, lists the needle faces, which have no height above
// rounding noise, and sums up what Measure needs, about the middle of the bounds.
func (m *Mesh) tally(shellOf []int32, shells int, bounds r3.Box) (list []shell, needles []int32, sums moments) {
	blocks := make([]tallyBlock, blocksOf(len(m.Faces)))
	eachBlock(len(m.Faces), func(block, lo, hi int) {
		blocks[block].take(m, shellOf, lo, hi, bounds)
	})
	list = make([]shell, shells)
	var total momentSums
	for b := range blocks {
		for _, r := range blocks[b].runs {
			m.addRun(&list[r.shell], r)
		}
		needles = append(needles, blocks[b].needles...)
		total.join(&blocks[b].sums)
	}
	if slices.ContainsFunc(list, func(s shell) bool { return s.faces > 0 && !s.seen }) {
		for f, s := range shellOf {
			if s >= 0 && !list[s].seen {
				list[s].at, list[s].seen = m.middle(int32(f)), true
			}
		}
	}
	return list, needles, total.values()
}

func (m *Mesh) addRun(s *shell, r tallyRun) {
	s.faces += int(r.faces)
	s.volume += r.volume
	s.area += r.area
	if r.sound >= 0 && !s.seen {
		s.at, s.seen = m.middle(r.sound), true
	}
}

// tallyBlock is the tally of a block of faces.
type tallyBlock struct {
	runs    []tallyRun
	needles []int32
	sums    momentSums
}

func (t *tallyBlock) take(m *Mesh, shellOf []int32, lo, hi int, bounds r3.Box) {
	middle := r3.Scale(0.5, r3.Add(bounds.Min, bounds.Max))
	height := needleHeight(bounds)
	plump := height * r3.Norm(r3.Sub(bounds.Max, bounds.Min)) // no needle has more, twice its area
	var faces [runLength]faceMoments
	for ; lo < hi; lo += runLength {
		some := shellOf[lo:min(lo+runLength, hi)]
		run := m.run(middle, lo, lo+len(some), &faces)
		t.sums.add(&run)
		for i, shell := range some {
			if shell >= 0 {
				f := int32(lo + i)
				needle := faces[i].area2 <= plump && faces[i].area2 <= height*m.longestEdge(f)
				t.takeFace(f, shell, &faces[i], needle)
			}
		}
	}
}

func (t *tallyBlock) takeFace(f, shell int32, of *faceMoments, needle bool) {
	last := len(t.runs) - 1
	if last < 0 || t.runs[last].shell != shell {
		t.runs = append(t.runs, tallyRun{shell: shell, sound: -1})
		last++
	}
	r := &t.runs[last]
	r.faces++
	r.volume += of.det / 6
	r.area += of.area2 / 2
	if needle {
		t.needles = append(t.needles, f)
	} else if r.sound < 0 {
		r.sound = f
	}
}

// longestEdge returns the length of the longest edge of face f.
func (m *Mesh) longestEdge(f int32) float64 {
	a, b, c := m.Corners(int(f))
	u, v, w := r3.Sub(b, a), r3.Sub(c, a), r3.Sub(c, b)
	return math.Sqrt(max(dot(u, u), dot(v, v), dot(w, w)))
}

// middle returns the mean of the corners of face f.
func (m *Mesh) middle(f int32) r3.Vec {
	a, b, c := m.Corners(int(f))
	return r3.Scale(1.0/3, r3.Add(a, r3.Add(b, c)))
}

// placesPerShell is how many places of a shell are held against the others.
const placesPerShell = 12

// probe is one place of a shell.
type probe struct {
	at     r3.Vec
	shell  int32
	turns  int // of the shell that is being looked at
	around int // turns of all others
	depth  int // how many others turn around it
}

// probes returns the middles of faces spread over each shell.
func (m *Mesh) probes(shellOf []int32, list []shell) []probe {
	var all []probe
	passed := make([]int, len(list))
	for f, s := range shellOf {
		if s < 0 {
			continue
		}
		stride := max(1, list[s].faces/placesPerShell)
		if passed[s]%stride == 0 {
			all = append(all, probe{at: m.middle(int32(f)), shell: s})
		}
		passed[s]++
	}
	return all
}

// windAround sets, for each of several closed shells, how often all others wind
// around its places: 0 outside, 1 inside an outward shell, −1 inside an inward
// one; and how many others it lies in. It counts signed crossings of an upward ray.
func (m *Mesh) windAround(shellOf []int32, list []shell) {
	all := m.probes(shellOf, list)
	slices.SortStableFunc(all, func(p, q probe) int { return cmp.Compare(p.at.X, q.at.X) })
	facesOf := gather(len(list), len(shellOf), func(f int) []int32 {
		if shellOf[f] < 0 {
			return nil
		}
		return shellOf[f : f+1]
	})
	for s := range list {
		m.windOne(int32(s), facesOf.Of(s), all)
	}
	met := make([]bool, len(list))
	for _, p := range all {
		s := &list[p.shell]
		if !met[p.shell] {
			s.around, s.aroundMost, s.depth, met[p.shell] = p.around, p.around, p.depth, true
		}
		s.around, s.aroundMost, s.depth = min(s.around, p.around), max(s.aroundMost, p.around), min(s.depth, p.depth)
	}
}

// windOne adds to the places of other shells, ascending in x, what one shell
// winds around them.
func (m *Mesh) windOne(own int32, faces []int32, all []probe) {
	var met []*probe // those with a crossing
	for _, f := range faces {
		a, b, c := m.Corners(int(f))
		lo, hi := min(a.X, b.X, c.X), max(a.X, b.X, c.X)
		i, _ := slices.BinarySearchFunc(all, lo, func(p probe, x float64) int { return cmp.Compare(p.at.X, x) })
		for ; i < len(all) && all[i].at.X <= hi; i++ {
			if p := &all[i]; p.shell != own {
				if n := crossing(p.at, a, b, c); n != 0 {
					p.turns += n
					met = append(met, p)
				}
			}
		}
	}
	for _, p := range met {
		if p.turns != 0 { // 0 when it was met before
			p.around += p.turns
			p.depth++
			p.turns = 0
		}
	}
}

// crossing returns +1 when the upward ray from p leaves through triangle abc
// (the triangle's normal points up), −1 when it enters, 0 when it misses. Seen
// from above, an edge counts when it crosses the line y = p.Y to the right of
// p, its lower end included and its upper end not, so that triangles that share
// an edge agree and a closed surface is counted exactly.
func crossing(p, a, b, c r3.Vec) int {
	turn := halfTurn(p, a, b) + halfTurn(p, b, c) + halfTurn(p, c, a)
	if turn == 0 || p.Z >= max(a.Z, b.Z, c.Z) {
		return 0
	}
	if p.Z < min(a.Z, b.Z, c.Z) {
		return turn
	}
	n := r3.Cross(r3.Sub(b, a), r3.Sub(c, a))
	if n.Z == 0 || dot(r3.Sub(a, p), n)/n.Z <= 0 {
		return 0
	}
	return turn
}

// halfTurn returns +1 when edge ab crosses y = p.Y upward right of p, −1 when
// downward. The test sees the ends in order of y whatever the direction, so
// that it rounds alike for both faces at the edge.
func halfTurn(p, a, b r3.Vec) int {
	sign := 1
	if a.Y > b.Y {
		a, b, sign = b, a, -1
	}
	if p.Y < a.Y || p.Y >= b.Y {
		return 0
	}
	if float64((b.X-a.X)*(p.Y-a.Y)) > float64((p.X-a.X)*(b.Y-a.Y)) {
		return sign
	}
	return 0
}

// Envelope returns the solid without the closed hollows inside it and without what
// lies in them: what rubber poured around it cannot enter. It returns s itself when
// there are none.
func (s *Solid) Envelope() *Solid {
	shellOf, n, _ := s.faceShells()
	if n < 2 {
		return s
	}
	list, _, _ := s.tally(shellOf, n, s.Bounds())
	s.windAround(shellOf, list)
	var faces [][3]int32
	for f, t := range s.Faces {
		if shellOf[f] >= 0 && list[shellOf[f]].volume > 0 && list[shellOf[f]].depth == 0 {
			faces = append(faces, t)
		}
	}
	if len(faces) == len(s.Faces) {
		return s
	}
	return &Solid{Mesh: (&Mesh{Vertices: s.Vertices, Faces: faces}).used()}
}

// used returns the mesh without the vertices that no face uses.
func (m *Mesh) used() *Mesh {
	to := make([]int32, len(m.Vertices))
	for _, t := range m.Faces {
		to[t[0]], to[t[1]], to[t[2]] = 1, 1, 1
	}
	out := &Mesh{Faces: make([][3]int32, len(m.Faces))}
	for v, used := range to {
		if used > 0 {
			to[v] = int32(len(out.Vertices))
			out.Vertices = append(out.Vertices, m.Vertices[v])
		}
	}
	for f, t := range m.Faces {
		out.Faces[f] = [3]int32{to[t[0]], to[t[1]], to[t[2]]}
	}
	return out
}
