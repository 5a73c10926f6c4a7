package mesh

import (
	"context"
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
	_ = s.windAround(context.Background(), shellOf, list) // fails only where that ends
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
