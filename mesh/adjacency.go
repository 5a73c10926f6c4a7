package mesh

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
	index := make([]int32, start[targets+1])
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
	e := newEdgeTable(m)
	start := make([]int32, len(m.Vertices)+2)
	e.each(0, len(m.Vertices), func(r edgeRun) {
		start[r.smaller+2]++
		start[r.uses[0].larger()+2]++
	})
	for v := 1; v < len(start); v++ {
		start[v] += start[v-1]
	}
	index := make([]int32, start[len(start)-1])
	// Edges come in order of their smaller, then their larger end, so each
	// list grows in ascending order.
	e.each(0, len(m.Vertices), func(r edgeRun) {
		a, b := r.smaller, r.uses[0].larger()
		index[start[a+1]], index[start[b+1]] = b, a
		start[a+1]++
		start[b+1]++
	})
	return Adjacency{Start: start[:len(m.Vertices)+1], Index: index}
}
