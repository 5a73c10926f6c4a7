package hold_test

import (
	"context"
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis/hold"
	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

// sides is of how many flats round shapes are here: their area is within 4e-7
// of the circle's.
const sides = 4096

// onBoard is so low a contact that it is the shape's own foot.
const onBoard = 1e-7

func solidOf(t testing.TB, m *mesh.Mesh) *mesh.Solid {
	t.Helper()
	s, _, err := mesh.NewSolid(m)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// lathe turns a profile of pairs radius, height.
func lathe(profile ...float64) *mesh.Mesh {
	var p []r2.Vec
	for i := 0; i < len(profile); i += 2 {
		p = append(p, r2.Vec{X: profile[i], Y: profile[i+1]})
	}
	return meshtest.Lathe(p, sides)
}

func mushroom() *mesh.Mesh { return lathe(0, 0, 10, 0, 10, 60, 50, 60, 50, 80, 0, 80) }

// dome is a hemisphere, flat side down; ball touches the board in a point.
func dome(r float64) *mesh.Mesh { return arc(r, 0, []r2.Vec{{}}, 0) }
func ball(r float64) *mesh.Mesh { return arc(r, -math.Pi/2, nil, r) }

func arc(r, from float64, profile []r2.Vec, lift float64) *mesh.Mesh {
	const steps = 900
	for k := range steps + 1 {
		sin, cos := math.Sincos(from + (math.Pi/2-from)*float64(k)/steps)
		if k == steps || k == 0 && from < 0 {
			cos = 0
		}
		profile = append(profile, r2.Vec{X: r * cos, Y: lift + r*sin})
	}
	return meshtest.Lathe(profile, 720)
}

// gallows is a column 40×40×100 mm with an arm of 100×40×40 mm at its top,
// toward +x, of density 0.3.
func gallows() *mesh.Mesh {
	outline := []r2.Vec{{X: -20}, {X: 20}, {X: 20, Y: 60}, {X: 120, Y: 60}, {X: 120, Y: 100}, {X: 20, Y: 100}, {X: -20, Y: 100}, {X: -20, Y: 60}}
	m := &mesh.Mesh{}
	for _, y := range [2]float64{-20, 20} {
		for _, p := range outline {
			m.Vertices = append(m.Vertices, r3.Vec{X: p.X, Y: y, Z: p.Y})
		}
	}
	n := int32(len(outline))
	for i := range n {
		j := (i + 1) % n
		m.Faces = append(m.Faces, [3]int32{i, n + j, j}, [3]int32{i, n + i, n + j})
	}
	for _, f := range [][3]int32{{0, 1, 2}, {0, 2, 7}, {7, 2, 5}, {7, 5, 6}, {2, 3, 4}, {2, 4, 5}} {
		m.Faces = append(m.Faces, f, [3]int32{n + f[0], n + f[2], n + f[1]})
	}
	return m
}

// input is rubber of 1.13 g/cm³ around a massless pattern, up to a level.
func input(s *mesh.Solid, level float64) hold.Input {
	return hold.Input{
		Solid: s, Contact: hold.Touch(s.Mesh, onBoard),
		DensityGPerCM3: hold.Range{Low: 1.13, Likely: 1.13, High: 1.13},
		LevelMM:        level, InsideMM: [2]float64{400, 400},
	}
}

func ask(t testing.TB, in hold.Input) hold.Result {
	t.Helper()
	r, err := hold.Hold(context.Background(), in)
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

// kinds are a weak paste, a strong one, and screws.
func kinds() []hold.Kind {
	pa := func(low float64) hold.Range { return hold.Range{Low: low, Likely: 3 * low, High: 10 * low} }
	return []hold.Kind{
		{Name: "weak paste", TensilePa: pa(1e5), ShearPa: pa(1e5)},
		{Name: "strong paste", TensilePa: pa(4e5), ShearPa: pa(4e5)},
		{Name: "screws", EachN: pa(150)},
	}
}
