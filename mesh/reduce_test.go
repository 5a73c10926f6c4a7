package mesh

import (
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

func TestClusteredKeepsShape(t *testing.T) {
	m := ring(200, 100)
	got, to := m.Clustered(2)
	if len(to) != len(m.Vertices) || len(got.Faces) > len(m.Faces)/2 || len(got.Faces) == 0 {
		t.Fatalf("%d vertices mapped, %d faces of %d", len(to), len(got.Faces), len(m.Faces))
	}
	next := int32(0)
	for v, c := range to {
		if d := r3.Norm(r3.Sub(m.Vertices[v], got.Vertices[c])); d > 2*math.Sqrt(3) {
			t.Fatalf("vertex %d moved %v mm, more than a cell's diagonal", v, d)
		}
		if c > next {
			t.Fatalf("vertex %d is out of order", c)
		}
		next = max(next, c+1)
	}
	if int(next) != len(got.Vertices) {
		t.Errorf("%d of %d vertices used", next, len(got.Vertices))
	}
	// Winding is kept, so the volume keeps its sign and nearly its size.
	if r := signedVolume(got) / signedVolume(m); math.Abs(r-1) > 0.03 {
		t.Errorf("volume changed by a factor of %v", r)
	}
	seen := map[key]bool{}
	for _, f := range got.Faces {
		if collapsed(f) || seen[faceKey(f)] {
			t.Fatalf("face %v is degenerate or there twice", f)
		}
		seen[faceKey(f)] = true
	}
}

func TestClusteredFinerThanMesh(t *testing.T) {
	m := ring(40, 30)
	for _, cell := range []float64{1e-3, 1e-300} {
		got, _ := m.Clustered(cell)
		if !slices.Equal(got.Faces, m.Faces) || !slices.Equal(got.Vertices, m.Vertices) {
			t.Errorf("cell %v: the mesh changed", cell)
		}
	}
	for _, cell := range []float64{0, -1, math.NaN()} {
		if got, to := m.Clustered(cell); got != m || to[7] != 7 {
			t.Errorf("cell %v: the mesh changed", cell)
		}
	}
}

func TestClusteredCoarserThanMesh(t *testing.T) {
	for _, cell := range []float64{1e4, math.Inf(1)} {
		got, _ := ring(40, 30).Clustered(cell)
		if len(got.Vertices) != 1 || len(got.Faces) != 0 {
			t.Errorf("cell %v: %d vertices, %d faces", cell, len(got.Vertices), len(got.Faces))
		}
	}
}

// TestClusteredWeighsByArea: two vertices in a cell, one with a face of three
// times the area of the other's, meet at three quarters of the way.
func TestClusteredWeighsByArea(t *testing.T) {
	m := &Mesh{
		Vertices: []r3.Vec{{}, {X: 0.8}, {X: 5}, {Y: 5}, {X: 5.8, Z: 15}, {X: 5.8}},
		Faces:    [][3]int32{{0, 3, 2}, {1, 5, 4}},
	}
	m.Vertices[2], m.Vertices[3] = r3.Vec{X: 5}, r3.Vec{Y: 5}
	got, to := m.Clustered(1)
	if to[0] != to[1] {
		t.Fatal("not in one cell")
	}
	if p := got.Vertices[to[0]]; math.Abs(p.X-0.6) > 1e-12 || p.Y != 0 || p.Z != 0 {
		t.Errorf("meet at %v", p)
	}
}
