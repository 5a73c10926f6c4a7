package mesh

import "slices"

// oddEdges are edges that are not regular, in order of their ends. A heap of loose
// faces has nothing but such edges, so each of their uses takes four bytes.
type oddEdges struct {
	mesh  *Mesh
	parts [][]sideUse // by part of the vertices, see eachEdge
}

// sideUse is the use of an edge by a face: three times the face, plus which of its
// corners the edge starts from; −1 minus that for the first use of an edge.
type sideUse int32

// appendSides appends the uses of an edge.
func (m *Mesh) appendSides(sides []sideUse, r edgeRun) []sideUse {
	for i, u := range r.uses {
		from := r.smaller
		if u.backward() {
			from = u.larger()
		}
		side := sideUse(3*u.face()) + sideUse(slices.Index(m.Faces[u.face()][:], from))
		if i == 0 {
			side = -1 - side
		}
		sides = append(sides, side)
	}
	return sides
}

// none says whether all edges are regular.
func (o oddEdges) none() bool {
	return !slices.ContainsFunc(o.parts, func(part []sideUse) bool { return len(part) > 0 })
}

// each visits the edges. The uses last only for the visit.
func (o oddEdges) each(visit func(r edgeRun)) {
	var r edgeRun
	for _, part := range o.parts {
		for i, side := range part {
			first := side < 0
			if first {
				side = -1 - side
			}
			face, k := int(side/3), int(side%3)
			a, b := o.mesh.Faces[face][k], o.mesh.Faces[face][(k+1)%3]
			if first {
				r.smaller, r.uses = min(a, b), r.uses[:0]
			}
			r.uses = append(r.uses, newEdgeUse(max(a, b), b < a, face))
			if i+1 == len(part) || part[i+1] < 0 {
				visit(r)
			}
		}
	}
}

// shared returns the edges that three or more faces use.
func (o oddEdges) shared() (list []edgeRun) {
	o.each(func(r edgeRun) {
		if len(r.uses) > 2 {
			list = append(list, edgeRun{r.smaller, slices.Clone(r.uses)})
		}
	})
	return list
}

// openEdge is an edge of one face.
type openEdge struct {
	smaller int32
	use     edgeUse
}

func (e openEdge) larger() int32 { return e.use.larger() }

// open returns the edges of one face.
func (o oddEdges) open() []openEdge {
	list := make([]openEdge, 0, o.countOpen())
	o.each(func(r edgeRun) {
		if len(r.uses) == 1 {
			list = append(list, openEdge{r.smaller, r.uses[0]})
		}
	})
	return list
}

// countOpen returns how many edges have one face.
func (o oddEdges) countOpen() (n int) {
	o.each(func(r edgeRun) {
		if len(r.uses) == 1 {
			n++
		}
	})
	return n
}

// countOpen returns how many edges of the mesh have one face.
func (m *Mesh) countOpen() int {
	_, _, odd := m.faceShells()
	return odd.countOpen()
}

// openEdges returns the edges of one face, in order of their ends.
func (m *Mesh) openEdges() []openEdge {
	_, _, odd := m.faceShells()
	return odd.open()
}
