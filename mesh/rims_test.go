package mesh_test

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

// around is the length of a closed line.
func around(ring []r3.Vec) (sum float64) {
	for i, p := range ring {
		sum += r3.Norm(r3.Sub(p, ring[(i+1)%len(ring)]))
	}
	return sum
}

// Rims of closed forms: a closed surface has none; a cube without a face has a
// square; a cylinder without its ends has two regular polygons of
// 2·n·r·sin(π/n).
func TestOpenRims(t *testing.T) {
	cube := meshtest.Box(2, 2, 2)
	open := &mesh.Mesh{Vertices: cube.Vertices}
	for f, c := range cube.Faces {
		if n := cube.DoubleAreaNormal(f); !(n.Z > 0) {
			open.Faces = append(open.Faces, c)
		}
	}
	const n, r = 24, 5.0
	tube := meshtest.Cylinder(n, r, 12)
	bare := &mesh.Mesh{Vertices: tube.Vertices}
	for f, c := range tube.Faces {
		if d := tube.DoubleAreaNormal(f); math.Abs(d.Z) < 1e-9 {
			bare.Faces = append(bare.Faces, c)
		}
	}
	ring := 2 * n * r * math.Sin(math.Pi/n)
	for _, c := range []struct {
		name   string
		mesh   *mesh.Mesh
		around []float64
		points int
	}{
		{"closed", cube, nil, 0},
		{"empty", &mesh.Mesh{}, nil, 0},
		{"a face missing", open, []float64{8}, 4},
		{"a tube", bare, []float64{ring, ring}, n},
		{"one face", &mesh.Mesh{Vertices: []r3.Vec{{}, {X: 3}, {Y: 4}}, Faces: [][3]int32{{0, 1, 2}}}, []float64{12}, 3},
	} {
		rings := c.mesh.OpenRims()
		if len(rings) != len(c.around) || len(rings) != mesh.Check(c.mesh).OpenLoops {
			t.Errorf("%s: %d rims, want %d", c.name, len(rings), len(c.around))
			continue
		}
		for i, got := range rings {
			if len(got) != c.points || math.Abs(around(got)-c.around[i]) > 1e-12*c.around[i] {
				t.Errorf("%s: a rim of %d points and %g mm, want %d and %g", c.name, len(got), around(got), c.points, c.around[i])
			}
		}
	}
}
