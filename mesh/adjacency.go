package mesh

import "pourwright/mesh/large"

// Adjacency lists, for each item, the items next to it, one list after another:
// those of i are Index[Start[i]:Start[i+1]], ascending.
type Adjacency struct {
	Start []int32
	Index []int32
}

// Of returns the list of item i; do not change it.
func (a Adjacency) Of(i int) []int32 { return a.Index[a.Start[i]:a.Start[i+1]] }

// gather turns "item i touches these targets" into "target t is touched by
// these items".
func gather(targets, items int, touches func(i int) []int32) Adjacency {
	start := make([]int32, targets+2)
	for i := range items {
		for _, t := range touches(i) {
			start[t+2]++
		}
	}
	for t := 1; t < len(start); t++ {
		start[t] += start[t-1]
	}
	index := large.Make[int32](int(start[targets+1]))
	// While filling, start[t+1] is where the next item of t goes; in the end
	// it is where those of t+1 begin.
	for i := range items {
		for _, t := range touches(i) {
			index[start[t+1]] = int32(i)
			start[t+1]++
		}
	}
	return Adjacency{Start: start[:targets+1], Index: index}
}

// VertexFaces returns the faces at each vertex. A face with two equal corners
// is listed twice there.
func (m *Mesh) VertexFaces() Adjacency {
	return gather(len(m.Vertices), len(m.Faces), func(f int) []int32 { return m.Faces[f][:] })
}

// Neighbours returns the vertices that share an edge with each vertex, each
// once. Faces with two equal corners are passed over.
func (m *Mesh) Neighbours() Adjacency {
	pairs := make([][][2]int32, partsFor(len(m.Vertices)))
	for p := range pairs {
		// A closed mesh has three edges a vertex.
		pairs[p] = large.Make[[2]int32](3*len(m.Vertices)/len(pairs) + 8)[:0]
	}
	m.eachEdge(func(part int, r edgeRun) {
		pairs[part] = append(pairs[part], [2]int32{r.smaller, r.uses[0].larger()})
	})
	start := make([]int32, len(m.Vertices)+2)
	for _, part := range pairs {
		for _, p := range part {
			start[p[0]+2]++
			start[p[1]+2]++
		}
	}
	for v := 1; v < len(start); v++ {
		start[v] += start[v-1]
	}
	index := large.Make[int32](int(start[len(start)-1]))
	// Edges come in order of their smaller, then their larger end, so each
	// list grows in ascending order.
	for _, part := range pairs {
		for _, p := range part {
			index[start[p[0]+1]], index[start[p[1]+1]] = p[1], p[0]
			start[p[0]+1]++
			start[p[1]+1]++
		}
	}
	return Adjacency{Start: start[:len(m.Vertices)+1], Index: index}
}
