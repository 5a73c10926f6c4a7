package mesh

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// outer returns the corners of a hull of some of the points, and the points that are
// not inside it: whatever box holds these holds all, to within rounding.
func (c *cloud) outer(h *polyhedron) []r3.Vec {
	s := outerSearch{cloud: c, out: append([]r3.Vec{}, h.Vertices...)}
	b := BoundsOf(h.Vertices)
	size := r3.Norm(r3.Sub(b.Max, b.Min)) + math.Max(farthest(b.Min), farthest(b.Max))
	all := make([]int32, 0, len(h.Faces))
	for f, n := range h.normals {
		// What is beyond a face by rounding is inside. So little is known of where the
		// plane of a needle is that all is outside.
		u, v, w := h.Corners(f)
		long := max(r3.Norm2(r3.Sub(v, u)), r3.Norm2(r3.Sub(w, v)), r3.Norm2(r3.Sub(u, w)))
		doubt := 1e-15 * long / r3.Norm(h.areas[f])
		limit := dot(n, u) + (1e-13+doubt)*size
		if !(doubt < 1e-11) {
			limit = math.Inf(-1)
		}
		s.faces = append(s.faces, halfSpace{n, r3.Vec{X: math.Abs(n.X), Y: math.Abs(n.Y), Z: math.Abs(n.Z)}, limit})
		all = append(all, int32(f))
	}
	s.look(len(c.boxes)-1, 0, all)
	return s.out
}

// halfSpace are the places that reach up to a limit along a unit normal; abs is that
// without signs.
type halfSpace struct {
	normal, abs r3.Vec
	limit       float64
}

// outerSearch is a search for the points outside some half spaces.
type outerSearch struct {
	*cloud
	faces []halfSpace
	out   []r3.Vec
	open  []int32 // a stack: the faces that some of a box may be beyond
}

// look looks into box i of a level, which may be beyond some faces.
func (s *outerSearch) look(level, i int, beyond []int32) {
	start := len(s.open)
	defer func() { s.open = s.open[:start] }()
	box := &s.boxes[level][i]
	for _, f := range beyond {
		if t := &s.faces[f]; box.most(&t.normal, &t.abs) > t.limit {
			s.open = append(s.open, f)
		}
	}
	open := s.open[start:]
	switch {
	case len(open) == 0:
	case level == 0:
		b := s.blocks[i]
		for _, p := range s.points[b.first : b.first+b.n] {
			for _, f := range open {
				if t := &s.faces[f]; dot(t.normal, p) > t.limit {
					s.out = append(s.out, p)
					break
				}
			}
		}
	default:
		for k := i * fanOut; k < min((i+1)*fanOut, len(s.boxes[level-1])); k++ {
			s.look(level-1, k, open)
		}
	}
}
