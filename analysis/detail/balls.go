package detail

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
)

// Ball is where a maker decides by hand, in the frame of the mesh.
type Ball struct {
	Centre   r3.Vec
	RadiusMM float64
}

// Untouched is the error for a ball that no surface touches.
type Untouched struct {
	Ball      Ball
	KeepClear bool   // else a plain one
	Nearest   r3.Vec // point of the surface
	AwayMM    float64
}

func (e *Untouched) Error() string {
	c := e.Ball.Centre
	return fmt.Sprintf("the ball of %g mm about (%g, %g, %g) touches no surface", e.Ball.RadiusMM, c.X, c.Y, c.Z)
}

// override gives the vertices in the balls a score. The edge is hard: what the
// maker decides is exactly what the balls hold. Of a ball that cuts a face
// without holding a vertex, the face's corners take the score.
func override(m *mesh.Mesh, score []float32, balls []Ball, to float32) error {
	for _, b := range balls {
		held := false
		for v, p := range m.Vertices {
			if r3.Norm2(r3.Sub(p, b.Centre)) <= b.RadiusMM*b.RadiusMM {
				score[v], held = to, true
			}
		}
		if held {
			continue
		}
		at, faces := nearest(m, b)
		if len(faces) == 0 {
			return &Untouched{Ball: b, KeepClear: to > 0, Nearest: at, AwayMM: r3.Norm(r3.Sub(at, b.Centre))}
		}
		for _, f := range faces {
			for _, v := range m.Faces[f] {
				score[v] = to
			}
		}
	}
	return nil
}

// nearest returns the point of the surface nearest to the centre of a ball, and
// the faces that the ball cuts.
func nearest(m *mesh.Mesh, b Ball) (at r3.Vec, cut []int) {
	least := math.Inf(1)
	for f := range m.Faces {
		p := onTriangle(m, f, b.Centre)
		d := r3.Norm2(r3.Sub(p, b.Centre))
		if d <= b.RadiusMM*b.RadiusMM {
			cut = append(cut, f)
		}
		if d < least {
			at, least = p, d
		}
	}
	return at, cut
}

// onTriangle returns the point of a face nearest to p: the foot of the
// perpendicular where that is in the face, else the nearest on an edge.
func onTriangle(m *mesh.Mesh, f int, p r3.Vec) r3.Vec {
	a, b, c := m.Corners(f)
	n := m.DoubleAreaNormal(f)
	if n2 := r3.Norm2(n); n2 > 0 {
		foot := r3.Sub(p, r3.Scale(r3.Dot(r3.Sub(p, a), n)/n2, n))
		inside := func(a, b r3.Vec) bool { return r3.Dot(r3.Cross(r3.Sub(b, a), r3.Sub(foot, a)), n) >= 0 }
		if inside(a, b) && inside(b, c) && inside(c, a) {
			return foot
		}
	}
	best := onSegment(a, b, p)
	for _, q := range []r3.Vec{onSegment(b, c, p), onSegment(c, a, p)} {
		if r3.Norm2(r3.Sub(q, p)) < r3.Norm2(r3.Sub(best, p)) {
			best = q
		}
	}
	return best
}

func onSegment(a, b, p r3.Vec) r3.Vec {
	d := r3.Sub(b, a)
	l := r3.Norm2(d)
	if l == 0 {
		return a
	}
	return r3.Add(a, r3.Scale(min(1, max(0, r3.Dot(r3.Sub(p, a), d)/l)), d))
}
