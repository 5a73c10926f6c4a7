package mesh

import (
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// TestAdjacencyAgainstPairs compares with sets of pairs, on faces at random.
func TestAdjacencyAgainstPairs(t *testing.T) {
	random := rand.New(rand.NewPCG(5, 6))
	m := &Mesh{Vertices: make([]r3.Vec, 60)}
	for range 150 {
		m.Faces = append(m.Faces, [3]int32{random.Int32N(59), random.Int32N(59), random.Int32N(59)})
	}
	near, at := make([][]int32, 60), make([][]int32, 60)
	for f, face := range m.Faces {
		for i, v := range face {
			at[v] = append(at[v], int32(f))
			if w := face[(i+1)%3]; !collapsed(face) {
				near[v], near[w] = append(near[v], w), append(near[w], v)
			}
		}
	}
	neighbours, faces := m.Neighbours(), m.VertexFaces()
	for v := range near {
		slices.Sort(near[v])
		if want := slices.Compact(near[v]); !slices.Equal(neighbours.Of(v), want) {
			t.Errorf("neighbours of %d: %v, want %v", v, neighbours.Of(v), want)
		}
		if !slices.Equal(faces.Of(v), at[v]) {
			t.Errorf("faces at %d: %v, want %v", v, faces.Of(v), at[v])
		}
	}
	if len(neighbours.Of(59)) != 0 {
		t.Error("a vertex no face uses has neighbours")
	}
}

// TestNeighboursOfRing: in a ring of quads cut in two every vertex has six.
func TestNeighboursOfRing(t *testing.T) {
	m := ring(30, 20)
	a := m.Neighbours()
	for v := range m.Vertices {
		if n := a.Of(v); len(n) != 6 || !slices.IsSorted(n) {
			t.Fatalf("neighbours of %d: %v", v, n)
		}
	}
}
