package cast

import (
	"context"
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
	"pourwright/mesh/field"
	"pourwright/mesh/meshtest"
)

// turned is a solid about z of that radius at each height, closed at both ends.
func turned(from, to float64, radius func(z float64) float64, corners ...float64) *mesh.Mesh {
	const rows = 160
	profile := []r2.Vec{{Y: from}}
	last := from
	add := func(z float64) {
		if z > last {
			profile = append(profile, r2.Vec{X: radius(z), Y: z})
			last = z
		}
	}
	next := 0
	for i := 1; i < rows; i++ {
		z := from + (to-from)*float64(i)/rows
		for ; next < len(corners) && corners[next] <= z; next++ {
			add(corners[next])
		}
		add(z)
	}
	return meshtest.Lathe(append(profile, r2.Vec{Y: to}), 96)
}

// ballAt is the radius of a ball about the axis.
func ballAt(z, centre, r float64) float64 {
	return math.Sqrt(max(0, r*r-(z-centre)*(z-centre)))
}

// dumbbell has balls of radius R about z = 0 and z = apart, joined by a rod of
// radius r.
func dumbbell(R, r, apart float64) *mesh.Mesh {
	in := math.Sqrt(R*R - r*r)
	return turned(-R, apart+R, func(z float64) float64 {
		widest := max(ballAt(z, 0, R), ballAt(z, apart, R))
		if z > 0 && z < apart {
			return max(widest, r)
		}
		return widest
	}, in, apart-in)
}

// threeBalls has balls of radius 25, 20 and 25 about z = 0, 60 and 120, joined by
// rods of radius 6 and 9.
func threeBalls() *mesh.Mesh {
	return turned(-25, 145, func(z float64) float64 {
		widest := max(ballAt(z, 0, 25), ballAt(z, 60, 20), ballAt(z, 120, 25))
		switch {
		case z > 0 && z < 60:
			return max(widest, 6)
		case z > 60 && z < 120:
			return max(widest, 9)
		}
		return widest
	}, math.Sqrt(625-36), 60-math.Sqrt(400-36), 60+math.Sqrt(400-81), 120-math.Sqrt(625-81))
}

// pose turns by three angles, degrees, and moves.
func pose(x, y, z float64, by r3.Vec) mesh.Pose {
	turn := func(axis int, deg float64) mesh.Pose {
		sin, cos := math.Sincos(deg * math.Pi / 180)
		return [3]mesh.Pose{
			{Rows: [3]r3.Vec{{X: 1}, {Y: cos, Z: -sin}, {Y: sin, Z: cos}}},
			{Rows: [3]r3.Vec{{X: cos, Z: sin}, {Y: 1}, {X: -sin, Z: cos}}},
			{Rows: [3]r3.Vec{{X: cos, Y: -sin}, {X: sin, Y: cos}, {Z: 1}}},
		}[axis]
	}
	p := turn(0, x).Then(turn(1, y)).Then(turn(2, z))
	p.T = by
	return p
}

func fieldOf(t testing.TB, m *mesh.Mesh, cells int) *field.Field {
	t.Helper()
	f, err := field.New(context.Background(), m, field.Choice{Cells: cells}, nil)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func passagesOf(t testing.TB, m *mesh.Mesh, cells int) *Passages {
	t.Helper()
	p, err := NewPassages(context.Background(), fieldOf(t, m, cells))
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// near checks a figure against what it should be, relative.
func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance*math.Abs(want)) {
		t.Errorf("%s: %.6g, want %.6g within %g", what, got, want, tolerance)
	}
}
