package wall_test

import (
	"context"
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis/wall"
	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

func solid(t testing.TB, m *mesh.Mesh) *mesh.Mesh {
	t.Helper()
	s, _, err := mesh.NewSolid(m)
	if err != nil {
		t.Fatal(err)
	}
	return s.Mesh
}

// block is a box centred on the board.
func block(x, y, z float64) *mesh.Mesh {
	return meshtest.Moved(meshtest.Box(x, y, z), r3.Vec{X: -x / 2, Y: -y / 2})
}

// bar extrudes a counter-clockwise outline in y and z, cut into the triangles
// given, along x about the origin.
func bar(length float64, outline []r2.Vec, triangles [][3]int32) *mesh.Mesh {
	m := &mesh.Mesh{}
	for _, x := range [2]float64{-length / 2, length / 2} {
		for _, p := range outline {
			m.Vertices = append(m.Vertices, r3.Vec{X: x, Y: p.X, Z: p.Y})
		}
	}
	n := int32(len(outline))
	for i := range n {
		j := (i + 1) % n
		m.Faces = append(m.Faces, [3]int32{i, j, n + j}, [3]int32{i, n + j, n + i})
	}
	for _, f := range triangles {
		m.Faces = append(m.Faces, [3]int32{f[0], f[2], f[1]}, [3]int32{n + f[0], n + f[1], n + f[2]})
	}
	return m
}

// channel is a bar 30 mm wide and 40 high with a slot down from its top.
func channel(slot, deep float64) *mesh.Mesh {
	h := slot / 2
	return bar(60, []r2.Vec{{X: -15}, {X: 15}, {X: 15, Y: 40}, {X: h, Y: 40}, {X: h, Y: 40 - deep}, {X: -h, Y: 40 - deep}, {X: -h, Y: 40}, {X: -15, Y: 40}},
		[][3]int32{{0, 1, 4}, {0, 4, 5}, {1, 2, 4}, {2, 3, 4}, {0, 5, 7}, {5, 6, 7}})
}

// groove is a bar with a V down from its top, of that opening angle.
func groove(degrees, deep float64) *mesh.Mesh {
	h := deep * math.Tan(degrees*math.Pi/360)
	return bar(60, []r2.Vec{{X: -h - 10}, {X: h + 10}, {X: h + 10, Y: 40}, {X: h, Y: 40}, {Y: 40 - deep}, {X: -h, Y: 40}, {X: -h - 10, Y: 40}},
		[][3]int32{{0, 1, 4}, {1, 2, 4}, {2, 3, 4}, {0, 4, 6}, {4, 5, 6}})
}

// input is a box of 300×300 mm, rubber to 200, 20 mm of it asked.
func input() wall.Input {
	return wall.Input{Side: wall.Rectangle(300, 300), LevelMM: 200, ClearanceMM: 20, ShoreA: 30}
}

func measure(t testing.TB, m *mesh.Mesh, in wall.Input) wall.Result {
	t.Helper()
	r, err := wall.Thickness(context.Background(), m, in)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: %.8g, want %.8g within %.2g", what, got, want, tolerance)
	}
}
