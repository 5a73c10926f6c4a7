package analysis

import (
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis/hold"
	"pourwright/mesh"
)

// mouth is what of the cavity is open to the lid, without vents: all of the face that
// the part stands on, however narrow the spout's circle in it is, or the stem's end.
func (j *job) mouth() CastMouth {
	var m CastMouth
	var points []r2.Vec
	m.AreaMM2, points = footprint(j.posed.Mesh, hold.ContactHeightMM)
	if s := j.plan.Stand; s.StemMM > 0 {
		at := j.pose.Point(j.way.Spout)
		stem := hold.Disc(r2.Vec{X: at.X, Y: at.Y}, s.SpoutDiameterMM)
		m.AreaMM2 += stem.AreaMM2
		points = append(points, stem.Hull...)
	}
	m.Outline = [][2]float64{}
	var lo, hi r2.Vec
	for i, p := range mesh.Hull2(points) {
		m.Outline = append(m.Outline, [2]float64{p.X, p.Y})
		if i == 0 {
			lo, hi = p, p
		}
		lo = r2.Vec{X: min(lo.X, p.X), Y: min(lo.Y, p.Y)}
		hi = r2.Vec{X: max(hi.X, p.X), Y: max(hi.Y, p.Y)}
	}
	m.SizeMM = []float64{hi.X - lo.X, hi.Y - lo.Y}
	return m
}

// openFoot are the outlines of the face on the board, scan frame; none on a stem.
func (j *job) openFoot() [][]r3.Vec {
	if j.plan.Stand.StemMM > 0 {
		return nil
	}
	back := j.pose.Inverse()
	var all [][]r3.Vec
	for _, l := range j.posed.Section(r3.Vec{Z: hold.ContactHeightMM}, r3.Vec{Z: 1}) {
		ring := make([]r3.Vec, len(l.Points))
		for i, p := range l.Points {
			ring[i] = back.Point(p)
		}
		all = append(all, ring)
	}
	return all
}

// footprint is the area that a mesh covers on the board with what of it is lower than
// a height, and the corners around that. It sums what faces down, so a foot that
// narrows above the board counts at its widest. Where lines upwards enter the mesh
// more than once so low, it is more than the truth, and never less.
func footprint(m *mesh.Mesh, heightMM float64) (areaMM2 float64, around []r2.Vec) {
	var clipped []r3.Vec
	for _, f := range m.Faces {
		a, b, c := m.Vertices[f[0]], m.Vertices[f[1]], m.Vertices[f[2]]
		if min(a.Z, b.Z, c.Z) >= heightMM {
			continue
		}
		clipped = lower(clipped[:0], [3]r3.Vec{a, b, c}, heightMM)
		twice := 0.0
		for i, p := range clipped {
			around = append(around, r2.Vec{X: p.X, Y: p.Y})
			q := clipped[(i+1)%len(clipped)]
			p, q = r3.Sub(p, clipped[0]), r3.Sub(q, clipped[0])
			twice += p.X*q.Y - p.Y*q.X
		}
		areaMM2 += max(0, -twice/2)
	}
	return areaMM2, around
}

// lower appends what of a face is lower than a height. Source: Sutherland & Hodgman,
// Communications of the ACM 17(1), 1974 (from memory).
func lower(into []r3.Vec, face [3]r3.Vec, heightMM float64) []r3.Vec {
	for i, p := range face {
		q := face[(i+1)%3]
		if p.Z < heightMM {
			into = append(into, p)
		}
		if (p.Z < heightMM) != (q.Z < heightMM) {
			into = append(into, r3.Add(p, r3.Scale((heightMM-p.Z)/(q.Z-p.Z), r3.Sub(q, p))))
		}
	}
	return into
}

// ventsMM2 is what the vents open on the board: where they slant, an oval.
func (j *job) ventsMM2() float64 {
	sum := 0.0
	for i, v := range j.vents {
		if v == nil || slices.Index(j.vents, v) != i {
			continue
		}
		if r := (rod{v.From.Z, r3.Norm(r3.Sub(v.From, v.To)), v.DiameterMM}); r.topMM > 0 {
			sum += r.volume() / r.topMM
		}
	}
	return sum
}
