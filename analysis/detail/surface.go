package detail

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
)

// surface is a mesh with the direction of its surface at each vertex.
type surface struct {
	*mesh.Mesh
	double []r3.Vec // of each face: its direction, twice its area long
	normal []r3.Vec // of each vertex, a unit vector; zero where faces cancel
	frame  mesh.Pose
	area   float64
	span   float64 // twice the distance of the farthest vertex from the middle
}

func newSurface(m *mesh.Mesh) *surface {
	s := &surface{Mesh: m, double: make([]r3.Vec, len(m.Faces)), normal: make([]r3.Vec, len(m.Vertices))}
	var middle r3.Vec
	for f, t := range m.Faces {
		n := m.DoubleAreaNormal(f)
		s.double[f] = n
		a := long(n)
		s.area += a
		for _, v := range t {
			add(&s.normal[v], n)
			add(&middle, r3.Scale(a, m.Vertices[v]))
		}
	}
	if s.area > 0 {
		middle = r3.Scale(1/(3*s.area), middle)
	}
	s.area /= 2
	for v, n := range s.normal {
		s.normal[v] = unit(n)
	}
	s.frame, s.span = frameOf(m.Vertices, middle)
	return s
}

// unit is v one long; zero stays zero.
func unit(v r3.Vec) r3.Vec {
	if l := long(v); l > 0 {
		return r3.Scale(1/l, v)
	}
	return r3.Vec{}
}

// tied is how near two distances are, as a share, that count as equal: far more
// than rounding, far less than any scanner.
const tied = 1e-9

// frameOf returns the move to a frame that turns with the part and does not
// depend on the order of its vertices: x points from the middle to the farthest
// vertex, y to the one farthest from that line. Among the farthest that tie, as
// on a symmetric part, the first is taken: the part looks the same from each.
func frameOf(points []r3.Vec, middle r3.Vec) (frame mesh.Pose, span float64) {
	far, at := farthest(points, func(p r3.Vec) r3.Vec { return r3.Sub(p, middle) })
	if !(far > 0) {
		return mesh.Pose{Rows: [3]r3.Vec{{X: 1}, {Y: 1}, {Z: 1}}, T: r3.Scale(-1, middle)}, 0
	}
	x := r3.Scale(1/far, at)
	off, side := farthest(points, func(p r3.Vec) r3.Vec {
		d := r3.Sub(p, middle)
		return r3.Sub(d, r3.Scale(r3.Dot(d, x), x))
	})
	y, z := mesh.Frame(x)
	if off > tied*far {
		y = r3.Scale(1/off, side)
		z = r3.Cross(x, y)
	}
	frame.Rows = [3]r3.Vec{x, y, z}
	frame.T = r3.Scale(-1, frame.Dir(middle))
	return frame, 2 * far
}

// farthest returns the longest of some vectors of points, and its length.
func farthest(points []r3.Vec, of func(r3.Vec) r3.Vec) (length float64, at r3.Vec) {
	most := 0.0
	for _, p := range points {
		most = max(most, r3.Norm2(of(p)))
	}
	for _, p := range points {
		if v := of(p); r3.Norm2(v) >= (1-2*tied)*most {
			return math.Sqrt(r3.Norm2(v)), v
		}
	}
	return 0, r3.Vec{}
}

// point stands for a piece of surface: its middle, its direction as long as its
// area, and its area.
type point struct {
	at, vector r3.Vec
	area       float64
}

// piece is a part of a face: the point that stands for it, and the shares of the
// face's corners in its middle.
type piece struct {
	point
	face  int32
	share r3.Vec
}

// Faces with edges up to the radius over sharedPer are shared among their
// corners; pieces of larger ones are about as wide as the radius over piecePer.
const (
	sharedPer = 4
	piecePer  = 2
)

// divided is a surface as points: a small face is shared among its corners, whose
// directions smooth out some of the scanner's noise, and a larger one is cut.
type divided struct {
	points []point
	own    []float64 // of each vertex: area of faces that are not vast
	inside []piece   // some of those of vast faces, each standing for several
}

// vast tells whether a face's longest edge is over twice the radius: its corners
// then say nothing of its middle.
func vast(edge2, radius float64) bool { return edge2 > 4*radius*radius }

func (s *surface) divide(radius float64) divided {
	small2, wide := radius*radius/(sharedPer*sharedPer), radius/piecePer
	d := divided{own: make([]float64, len(s.Vertices))}
	d.points = make([]point, 0, len(s.Faces)+int(s.area/(wide*wide)))
	shared := make([]float64, len(s.Vertices))
	var cut []piece
	for f, t := range s.Faces {
		size := long(s.double[f]) / 2
		a, b, c := s.Corners(f)
		edge2 := longest2(a, b, c)
		if edge2 <= small2 {
			for _, v := range t {
				shared[v] += size / 3
			}
		} else if size > 0 {
			p := s.patch(f, math.Sqrt(edge2), radius)
			cut = p.cut(cut[:0], [3]r3.Vec{{X: 1}, {Y: 1}, {Z: 1}}, size)
			for i := range cut {
				d.points = append(d.points, cut[i].point)
			}
		}
		if vast(edge2, radius) && size > 0 {
			d.inside = append(d.inside, some(cut)...)
			continue
		}
		for _, v := range t {
			d.own[v] += size / 3
		}
	}
	for v, p := range s.Vertices {
		if a := shared[v]; a > 0 {
			d.points = append(d.points, point{p, r3.Scale(a, s.normal[v]), a})
		}
	}
	return d
}

// mostInVast is about how many pieces of a vast face are looked at: enough for its
// mean.
const mostInVast = 200

// some returns pieces spread over a vast face, that stand for all of it.
func some(cut []piece) []piece {
	var out []piece
	step := (len(cut) + mostInVast - 1) / mostInVast
	for i := 0; i < len(cut); i += step {
		p := cut[i]
		p.area *= float64(step)
		out = append(out, p)
	}
	return out
}

// coarserThan tells whether most faces have an edge longer than that.
func (s *surface) coarserThan(radius float64) bool {
	n := 0
	for f := range s.Faces {
		if a, b, c := s.Corners(f); longest2(a, b, c) > radius*radius {
			n++
		}
	}
	return 2*n > len(s.Faces)
}

func longest2(a, b, c r3.Vec) float64 {
	return max(r3.Norm2(r3.Sub(a, b)), r3.Norm2(r3.Sub(b, c)), r3.Norm2(r3.Sub(c, a)))
}

// patch is a large face, with the directions to blend over it.
type patch struct {
	face           int32
	corner, normal [3]r3.Vec
	limit          float64 // of a piece's edges
}

// creaseCos is how far a vertex's direction may be from that of a large face, 20°,
// to be blended over it: facets of a round shape are, the faces of a block not.
const creaseCos = 0.94

// patch prepares a face. Where faces are about half as large as the radius, half
// of the direction is the face's own, because blending would smooth away detail.
// Towards smaller ones, which noise turns more, and towards those as large as the
// radius, whose facets are no detail, more and more is blended.
func (s *surface) patch(f int, edge, radius float64) patch {
	p := patch{face: int32(f), limit: radius / piecePer}
	flat := unit(s.double[f])
	own := max(0, min(2*edge/radius-0.5, 1-edge/radius))
	p.corner[0], p.corner[1], p.corner[2] = s.Corners(f)
	for k, v := range s.Faces[f] {
		p.normal[k] = flat
		if n := s.normal[v]; r3.Dot(n, flat) > creaseCos {
			p.normal[k] = r3.Add(r3.Scale(own, flat), r3.Scale(1-own, n))
		}
	}
	return p
}

// cut halves the longest edge of a part of the face, given by the shares of the
// face's corners in its own, until its shortest is within the limit, and slices
// that.
func (p *patch) cut(out []piece, part [3]r3.Vec, area float64) []piece {
	var at [3]r3.Vec
	for k, share := range part {
		at[k] = blend(share, &p.corner)
	}
	long2, short2, longest, shortest := 0.0, math.Inf(1), 0, 0
	for i := range at {
		d := r3.Norm2(r3.Sub(at[i], at[(i+1)%3]))
		if d > long2*(1+tied) {
			long2, longest = d, i
		}
		if d < short2*(1-tied) {
			short2, shortest = d, i
		}
	}
	if short2 <= p.limit*p.limit {
		return p.slice(out, part[(shortest+2)%3], part[shortest], part[(shortest+1)%3], math.Ceil(math.Sqrt(long2)/p.limit), area)
	}
	k, j := longest, (longest+1)%3
	half := r3.Scale(0.5, r3.Add(part[k], part[j]))
	one, other := part, part
	one[k], other[j] = half, half
	return p.cut(p.cut(out, one, area/2), other, area/2)
}

// slice cuts a part of the face into n slices of equal height along its short side
// bc, and adds their centroids.
func (p *patch) slice(out []piece, a, b, c r3.Vec, n, area float64) []piece {
	foot := r3.Scale(0.5, r3.Add(b, c))
	for t := 0.0; t < n; t++ {
		from, to := t/n, (t+1)/n // of the height
		share := to*to - from*from
		middle := along(a, foot, 2./3*(to*to*to-from*from*from)/share)
		size := area * share
		n := unit(blend(middle, &p.normal))
		out = append(out, piece{point{blend(middle, &p.corner), r3.Scale(size, n), size}, p.face, middle})
	}
	return out
}

func along(a, b r3.Vec, t float64) r3.Vec { return r3.Add(a, r3.Scale(t, r3.Sub(b, a))) }

// blend is the mean of three vectors with the given shares.
func blend(share r3.Vec, of *[3]r3.Vec) r3.Vec {
	return r3.Add(r3.Scale(share.X, of[0]), r3.Add(r3.Scale(share.Y, of[1]), r3.Scale(share.Z, of[2])))
}
