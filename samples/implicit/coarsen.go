package implicit

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
)

// Coarsened returns m with edges shorter than the given length collapsed to
// their middles, shortest first, as long as that keeps the surface a manifold
// (the link condition: Dey, Edelsbrunner, Guha and Nekhayev, "Topology
// preserving edge contraction", Publ. Inst. Math. 66, 1999; from memory) and
// turns no face over. m must be closed.
func Coarsened(m *mesh.Mesh, shortest float64) *mesh.Mesh {
	c := newCollapser(m)
	for c.round(shortest) > 0 {
	}
	return c.mesh()
}

// collapser is a mesh whose edges are being collapsed. A face that is gone has
// a negative first corner.
type collapser struct {
	at    []r3.Vec
	faces [][3]int32
	fan   [][]int32 // faces around each vertex; empty for one that is gone
}

func newCollapser(m *mesh.Mesh) *collapser {
	c := &collapser{at: slices.Clone(m.Vertices), faces: slices.Clone(m.Faces)}
	c.fan = make([][]int32, len(c.at))
	for f, face := range c.faces {
		for _, p := range face {
			c.fan[p] = append(c.fan[p], int32(f))
		}
	}
	return c
}

// shortEdge is an edge from a to b > a, with its squared length in steps that
// are coarse against rounding, so that its place in the order does not hang on
// the last bit.
type shortEdge struct {
	steps int64
	a, b  int32
}

const stepsPerMM2 = 1e6

// round collapses short edges that do not touch one another and returns how
// many.
func (c *collapser) round(shortest float64) int {
	touched := make([]bool, len(c.at))
	count := 0
	for _, e := range c.shortEdges(shortest) {
		if touched[e.a] || touched[e.b] || !c.collapse(e) {
			continue
		}
		count++
		for _, f := range c.fan[e.a] {
			for _, p := range c.faces[f] {
				touched[p] = true
			}
		}
	}
	return count
}

func (c *collapser) shortEdges(shortest float64) []shortEdge {
	limit := int64(shortest * shortest * stepsPerMM2)
	var edges []shortEdge
	for _, face := range c.faces {
		if face[0] < 0 {
			continue
		}
		for k, a := range face {
			b := face[(k+1)%3]
			if a > b { // the other face of the edge has it the right way
				continue
			}
			steps := int64(math.Round(r3.Norm2(r3.Sub(c.at[a], c.at[b])) * stepsPerMM2))
			if steps < limit {
				edges = append(edges, shortEdge{steps, a, b})
			}
		}
	}
	slices.SortFunc(edges, func(x, y shortEdge) int {
		return cmp.Or(cmp.Compare(x.steps, y.steps), cmp.Compare(x.a, y.a), cmp.Compare(x.b, y.b))
	})
	return edges
}

// collapse merges b into a at their middle and reports whether it might.
func (c *collapser) collapse(e shortEdge) bool {
	if c.shared(e.a, e.b) != 2 {
		return false
	}
	middle := r3.Scale(0.5, r3.Add(c.at[e.a], c.at[e.b]))
	if c.turnsOver(e.a, e.b, middle) || c.turnsOver(e.b, e.a, middle) {
		return false
	}
	var fan []int32
	for _, f := range c.fan[e.b] {
		face := &c.faces[f]
		if slices.Contains(face[:], e.a) {
			c.drop(f, e)
			continue
		}
		face[slices.Index(face[:], e.b)] = e.a
		fan = append(fan, f)
	}
	c.fan[e.a] = append(c.fan[e.a], fan...)
	c.fan[e.b] = nil
	c.at[e.a] = middle
	return true
}

// drop removes a face on both ends of e from the fans of its other corners.
func (c *collapser) drop(f int32, e shortEdge) {
	for _, p := range c.faces[f] {
		if p != e.b {
			at := slices.Index(c.fan[p], f)
			c.fan[p] = slices.Delete(c.fan[p], at, at+1)
		}
	}
	c.faces[f][0] = -1
}

// shared counts the vertices that are neighbours of both a and b.
func (c *collapser) shared(a, b int32) int {
	around := c.around(a)
	n := 0
	for _, p := range c.around(b) {
		if slices.Contains(around, p) {
			n++
		}
	}
	return n
}

// around returns the neighbours of a, each once: in a closed fan every
// neighbour follows a in exactly one face.
func (c *collapser) around(a int32) []int32 {
	next := make([]int32, 0, 8)
	for _, f := range c.fan[a] {
		face := c.faces[f]
		next = append(next, face[(slices.Index(face[:], a)+1)%3])
	}
	return next
}

// leastCosine is how far a face may turn when a corner of it moves.
const leastCosine = 0.5

// turnsOver reports whether a face around a, not on b, turns too far or
// vanishes when a moves to place.
func (c *collapser) turnsOver(a, b int32, place r3.Vec) bool {
	for _, f := range c.fan[a] {
		face := c.faces[f]
		if slices.Contains(face[:], b) {
			continue
		}
		i := slices.Index(face[:], a)
		p, q := c.at[face[(i+1)%3]], c.at[face[(i+2)%3]]
		was := r3.Cross(r3.Sub(p, c.at[a]), r3.Sub(q, c.at[a]))
		now := r3.Cross(r3.Sub(p, place), r3.Sub(q, place))
		if r3.Dot(was, now) <= leastCosine*r3.Norm(was)*r3.Norm(now) {
			return true
		}
	}
	return false
}

// mesh returns what is left, in the old order.
func (c *collapser) mesh() *mesh.Mesh {
	m := &mesh.Mesh{}
	number := make([]int32, len(c.at))
	for p, fan := range c.fan {
		if len(fan) > 0 {
			number[p] = int32(len(m.Vertices))
			m.Vertices = append(m.Vertices, c.at[p])
		}
	}
	for _, face := range c.faces {
		if face[0] >= 0 {
			m.Faces = append(m.Faces, [3]int32{number[face[0]], number[face[1]], number[face[2]]})
		}
	}
	return m
}
