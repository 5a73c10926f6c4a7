package mesh

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh/large"
)

// star is a hull seen from a place inside it: each face covers the directions
// to the left of its three edges.
type star struct {
	middle r3.Vec
	faces  []starFace
	near   [6 * starCells * starCells]int32 // faces to start from, by direction
}

type starFace struct {
	edge   [3]r3.Vec // normal of the plane through edge i and the middle, inward
	beside [3]int32
	// As of the hullFace, to be at hand.
	normal        r3.Vec
	offset, doubt float64
}

// newStar looks at the living faces from their mean corner.
func (h *hull) newStar() *star {
	s := &star{faces: make([]starFace, len(h.faces))}
	alive := h.alive()
	for _, f := range alive {
		for _, v := range h.faces[f].corner {
			s.middle = r3.Add(s.middle, r3.Scale(1/float64(3*len(alive)), h.points[v]))
		}
	}
	for _, f := range alive {
		t := &h.faces[f]
		a, b, c := r3.Sub(h.points[t.corner[0]], s.middle), r3.Sub(h.points[t.corner[1]], s.middle), r3.Sub(h.points[t.corner[2]], s.middle)
		s.faces[f] = starFace{
			edge:   [3]r3.Vec{cross(a, b), cross(b, c), cross(c, a)},
			beside: t.beside,
			normal: t.normal, offset: t.offset, doubt: t.doubt,
		}
	}
	for i := range s.near {
		s.near[i] = alive[0]
	}
	return s
}

// starCells is how many squares a side of a cube around the middle has along
// each edge, to tell directions apart.
const starCells = 16

func starCell(w r3.Vec) int {
	x, y, z := math.Abs(w.X), math.Abs(w.Y), math.Abs(w.Z)
	side, out, u, v := 0, w.X, w.Y, w.Z
	if y > x && y >= z {
		side, out, u, v = 2, w.Y, w.X, w.Z
	} else if z > x {
		side, out, u, v = 4, w.Z, w.X, w.Y
	}
	if out < 0 {
		side, out = side+1, -out
	}
	if !(out > 0) {
		return 0
	}
	const half = starCells / 2.0
	i, j := min(int((u/out+1)*half), starCells-1), min(int((v/out+1)*half), starCells-1)
	return (side*starCells+i)*starCells + j
}

// face returns the face that covers the direction w from the middle, walking
// over edges from the one last found near there; −1 when the walk gets lost.
func (s *star) face(w r3.Vec, near *[len(star{}.near)]int32) int32 {
	start := &near[starCell(w)]
	f := *start
walk:
	for range 100 + len(s.faces) {
		t := &s.faces[f]
		for k := range t.edge {
			if e := &t.edge[k]; w.X*e.X+w.Y*e.Y+w.Z*e.Z < 0 {
				f = t.beside[k]
				continue walk
			}
		}
		*start = f
		return f
	}
	return -1
}

// assignAll gives all points to the faces that cover them, if they are beyond.
// Most points of a scan are inside, which costs them one short walk.
func (h *hull) assignAll() {
	to := h.placed(h.points)
	alive := h.alive()
	for i, f := range to {
		switch f {
		case inside:
		case unsure:
			h.place(alive, int32(i))
		default:
			h.give(f, int32(i))
		}
	}
	h.todo = append(h.todo, alive...)
}

// assignLost gives points that are surely beyond a face to one, and says whether there
// are any. The corners of the hull are on it, and need no looking at.
func (h *hull) assignLost() (any bool) {
	alive := h.alive()
	corner := make([]bool, len(h.points))
	for _, f := range alive {
		for _, v := range h.faces[f].corner {
			corner[v] = true
		}
	}
	var rest []int32
	var points []r3.Vec
	for i, p := range h.points {
		if !corner[i] {
			rest, points = append(rest, int32(i)), append(points, p)
		}
	}
	for k, f := range h.placed(points) {
		if f == unsure {
			f = h.surelyBeyond(alive, rest[k])
		}
		if f >= 0 {
			h.give(f, rest[k])
			any = true
		}
	}
	h.todo = append(h.todo, alive...)
	return any
}

// surelyBeyond returns the first of faces that a point is beyond by more than rounding
// can be, inside if there is none.
func (h *hull) surelyBeyond(faces []int32, i int32) int32 {
	for _, f := range faces {
		if d := h.beyond(f, i); d > h.slack && d > h.faces[f].doubt {
			return f
		}
	}
	return inside
}

// placed returns for each of many points the face that it is beyond, or inside or
// unsure.
func (h *hull) placed(points []r3.Vec) []int32 {
	s := h.newStar()
	to := large.Make[int32](len(points))
	inParts(len(points), func(_, lo, hi int) {
		near := s.near
		for i := lo; i < hi; i++ {
			to[i] = inside
			f := s.face(r3.Sub(points[i], s.middle), &near)
			if f < 0 {
				to[i] = unsure
				continue
			}
			t, p := &s.faces[f], &points[i]
			switch d := p.X*t.normal.X + p.Y*t.normal.Y + p.Z*t.normal.Z - t.offset; {
			case d > h.slack && d > t.doubt:
				to[i] = f
			case t.doubt > h.slack && d > -t.doubt:
				to[i] = unsure
			}
		}
	})
	return to
}

// What assignAll finds for a point besides a face.
const (
	inside = -1 - iota
	unsure
)
