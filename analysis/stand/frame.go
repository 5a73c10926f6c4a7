package stand

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
)

// ownFrame is where the search works: the origin in the centroid, the axes along
// the principal moments of inertia, each to the side where the surface reaches
// farther. A turned or mirrored scan looks the same there, so it gets the same
// plan, turned or mirrored with it.
type ownFrame struct {
	axes   [3]r3.Vec // unit, frame of the scan; left-handed for one of two mirror images
	origin r3.Vec
}

func newOwnFrame(m *mesh.Mesh, measures mesh.Measures) ownFrame {
	o := ownFrame{axes: principalAxes(measures.Inertia), origin: measures.Centroid}
	// Sums in a fixed order, over the middles of the faces: ∫ d³ dA.
	var third [3]float64
	for f := range m.Faces {
		a, b, c := m.Corners(f)
		p := r3.Sub(r3.Scale(1./3, r3.Add(r3.Add(a, b), c)), o.origin)
		area := r3.Norm(m.DoubleAreaNormal(f))
		for i, axis := range o.axes {
			d := r3.Dot(axis, p)
			third[i] += area * d * d * d
		}
	}
	for i := range o.axes {
		if third[i] < 0 {
			o.axes[i] = r3.Scale(-1, o.axes[i])
		}
	}
	return o
}

// principalAxes returns the axes of inertia, smallest moment first.
func principalAxes(in [3][3]float64) [3]r3.Vec {
	var eigen mat.EigenSym
	if !eigen.Factorize(mat.NewSymDense(3, slices.Concat(in[0][:], in[1][:], in[2][:])), true) {
		return [3]r3.Vec{{X: 1}, {Y: 1}, {Z: 1}}
	}
	var v mat.Dense
	eigen.VectorsTo(&v)
	x := r3.Unit(r3.Vec{X: v.At(0, 0), Y: v.At(1, 0), Z: v.At(2, 0)})
	y := r3.Vec{X: v.At(0, 1), Y: v.At(1, 1), Z: v.At(2, 1)}
	y = r3.Unit(r3.Sub(y, r3.Scale(r3.Dot(x, y), x)))
	return [3]r3.Vec{x, y, r3.Cross(x, y)}
}

// in returns a point of the scan in the own frame.
func (o ownFrame) in(p r3.Vec) r3.Vec { return o.dirIn(r3.Sub(p, o.origin)) }

func (o ownFrame) dirIn(d r3.Vec) r3.Vec {
	return r3.Vec{X: r3.Dot(o.axes[0], d), Y: r3.Dot(o.axes[1], d), Z: r3.Dot(o.axes[2], d)}
}

// out returns a point of the own frame in the scan's.
func (o ownFrame) out(p r3.Vec) r3.Vec { return r3.Add(o.dirOut(p), o.origin) }

func (o ownFrame) dirOut(d r3.Vec) r3.Vec {
	return r3.Add(r3.Add(r3.Scale(d.X, o.axes[0]), r3.Scale(d.Y, o.axes[1])), r3.Scale(d.Z, o.axes[2]))
}

// mesh returns a copy of m in the own frame, wound outward there too.
func (o ownFrame) mesh(m *mesh.Mesh) *mesh.Mesh {
	own := &mesh.Mesh{Vertices: make([]r3.Vec, len(m.Vertices)), Faces: m.Faces}
	for v, p := range m.Vertices {
		own.Vertices[v] = o.in(p)
	}
	if r3.Dot(r3.Cross(o.axes[0], o.axes[1]), o.axes[2]) < 0 {
		own.Faces = make([][3]int32, len(m.Faces))
		for f, t := range m.Faces {
			own.Faces[f] = [3]int32{t[0], t[2], t[1]}
		}
	}
	return own
}

// tangents returns two unit vectors across a direction of the own frame, in a
// way that turns and mirrors with the part: the first leans to the axis that is
// farthest from the direction.
func tangents(d r3.Vec) (x, y r3.Vec) {
	axis, least := r3.Vec{X: 1}, math.Abs(d.X)
	if a := math.Abs(d.Y); a < least {
		axis, least = r3.Vec{Y: 1}, a
	}
	if a := math.Abs(d.Z); a < least {
		axis = r3.Vec{Z: 1}
	}
	x = r3.Unit(r3.Sub(axis, r3.Scale(r3.Dot(axis, d), d)))
	return x, r3.Cross(d, x)
}
