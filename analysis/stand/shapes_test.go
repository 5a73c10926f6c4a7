package stand

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

// spool is a shaft of radius 15 along z with plain ends of radius 20.
func spool() *mesh.Mesh {
	return meshtest.Lathe([]r2.Vec{{}, {X: 20}, {X: 20, Y: 15}, {X: 15, Y: 20}, {X: 15, Y: 60}, {X: 20, Y: 65}, {X: 20, Y: 80}, {Y: 80}}, 64)
}

// lopsided is a part without any symmetry: a turned foot under a bent and flattened body.
func lopsided() *mesh.Mesh {
	var profile []r2.Vec
	for i := range 41 {
		z := 3 * float64(i)
		profile = append(profile, r2.Vec{X: 14 + 6*math.Cos(z/17), Y: z})
	}
	m := meshtest.Lathe(append(append([]r2.Vec{{}}, profile...), r2.Vec{Y: 120}), 40)
	for v, p := range m.Vertices {
		if p.Z > 6 {
			p.X *= 1 + (p.Z-6)/200
			p.X += (p.Z - 6) * (p.Z - 6) / 900
			p.Y = p.Y*0.8 + (p.Z-6)*0.05*math.Sin(p.Z/30)
		}
		m.Vertices[v] = p
	}
	return m
}

// turned is a rotation and a shift.
func turned(p r3.Vec) r3.Vec {
	pose := mesh.PoseDown(r3.Unit(r3.Vec{X: 1, Y: -2, Z: 0.5}))
	return r3.Add(pose.Dir(p), r3.Vec{X: 30, Y: -70, Z: 400})
}

// mirrored is a reflection in a slanting plane, and a shift.
func mirrored(p r3.Vec) r3.Vec {
	n := r3.Unit(r3.Vec{X: 3, Y: 1, Z: -2})
	return r3.Add(r3.Sub(p, r3.Scale(2*r3.Dot(n, p), n)), r3.Vec{X: 5, Y: 100, Z: -20})
}

// movedMesh moves all vertices, and turns the faces round where that mirrors.
func movedMesh(m *mesh.Mesh, by func(r3.Vec) r3.Vec, flip bool) *mesh.Mesh {
	out := &mesh.Mesh{Faces: m.Faces}
	for _, p := range m.Vertices {
		out.Vertices = append(out.Vertices, by(p))
	}
	if flip {
		out.Faces = nil
		for _, f := range m.Faces {
			out.Faces = append(out.Faces, [3]int32{f[0], f[2], f[1]})
		}
	}
	return out
}

func frameOf(t *testing.T, m *mesh.Mesh) ownFrame {
	t.Helper()
	s, _, err := mesh.NewSolid(m)
	if err != nil {
		t.Fatal(err)
	}
	return newOwnFrame(m, s.Measure())
}

func ring(n int, r float64, center r2.Vec) []r2.Vec {
	points := make([]r2.Vec, n)
	for i := range points {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		points[i] = r2.Vec{X: center.X + r*cos, Y: center.Y + r*sin}
	}
	return points
}

func noAir(*mesh.Mesh, []float32, bool) AirFinder {
	return func(r3.Vec, []int32) (Air, Air) { return Air{}, Air{} }
}

// inputOf prepares the choice for a solid without detail or air.
func inputOf(t *testing.T, m *mesh.Mesh) (*mesh.Solid, Input) {
	t.Helper()
	s, _, err := mesh.NewSolid(m)
	if err != nil {
		t.Fatal(err)
	}
	return s, Input{Measures: s.Measure(), Detail: make([]float32, len(m.Vertices)), LeastSpoutMM: 25, ClearanceMM: 16, CoverMM: 20, Air: noAir}
}

func choose(t *testing.T, m *mesh.Mesh, change func(*Input)) Result {
	t.Helper()
	s, in := inputOf(t, m)
	if change != nil {
		change(&in)
	}
	r, err := Choose(t.Context(), s, in)
	if err != nil {
		t.Fatal(err)
	}
	return r
}
