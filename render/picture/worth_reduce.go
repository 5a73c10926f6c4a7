package picture

import (
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
)

// agreeing is how long the sum of area vectors has to be, as a share of the
// area, for the faces of a place to have one direction.
const agreeing = 0.8

// scanBody returns the scan to draw and how far, in mm, what is drawn may lie
// behind what the scan has there.
func (w *worth) scanBody(scale float64) (scan body, drop float64) {
	if len(w.scan.Faces) <= mostFaces {
		return shaded(w.scan, oak), 0.002*w.size + 1/scale
	}
	return w.coarse(scale), 0.006*w.size + 2/scale
}

// coarse is the scan reduced, with the directions of its own faces: reduced
// faces are lit by them, and those that reducing has turned round are turned
// back, so that what shows its back does so in the scan.
func (w *worth) coarse(scale float64) body {
	cell := cellFor(w.scan, scale)
	m, to := w.scan.Clustered(cell)
	sum, area := make([]r3.Vec, len(m.Vertices)), make([]float64, len(m.Vertices))
	for f, t := range w.scan.Faces {
		n := w.scan.DoubleAreaNormal(f)
		size := r3.Norm(n)
		for _, v := range t {
			sum[to[v]] = r3.Add(sum[to[v]], n)
			area[to[v]] += size
		}
	}
	direction := func(v int32) r3.Vec { // zero where faces disagree
		if l := r3.Norm(sum[v]); l > agreeing*area[v] {
			return r3.Scale(1/l, sum[v])
		}
		return r3.Vec{}
	}
	m = &mesh.Mesh{Vertices: m.Vertices, Faces: append([][3]int32(nil), m.Faces...)}
	for f, t := range m.Faces {
		a, b, c := direction(t[0]), direction(t[1]), direction(t[2])
		flat, all := m.DoubleAreaNormal(f), r3.Add(a, r3.Add(b, c))
		if r3.Norm(all) > 3*agreeing && r3.Dot(flat, all) < 0 {
			m.Faces[f] = [3]int32{t[0], t[2], t[1]}
		}
	}
	out := shaded(m, oak)
	for f, t := range m.Faces {
		flat := m.DoubleAreaNormal(f)
		for k, v := range t {
			if d := direction(v); r3.Dot(d, flat) > creaseCos*r3.Norm(flat) {
				out.normals[f][k] = d
			}
		}
	}
	return out
}
