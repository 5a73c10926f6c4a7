package mesh_test

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

// Sheets against closed forms: shells between two surfaces a thickness apart.
func TestInwardVolume(t *testing.T) {
	open := func(m *mesh.Mesh, above float64) *mesh.Mesh {
		out := &mesh.Mesh{Vertices: m.Vertices}
		for f, face := range m.Faces {
			a, b, c := m.Corners(f)
			if r3.Scale(1.0/3, r3.Add(a, r3.Add(b, c))).Z > above {
				out.Faces = append(out.Faces, face)
			}
		}
		return out
	}
	var dome []r2.Vec // a hemisphere of radius 50 on its rim
	for i := range 201 {
		sin, cos := math.Sincos(math.Pi / 2 * float64(i) / 200)
		dome = append(dome, r2.Vec{X: 50 * cos, Y: 50 * sin})
	}
	dome[200].X = 0
	ball := func(r float64) float64 { return 4 * math.Pi / 3 * r * r * r }
	tests := []struct {
		name  string
		sheet *mesh.Mesh
		t     float64
		want  float64
	}{
		{"ball", meshtest.Icosphere(6).Scaled(50), 3, ball(50) - ball(47)},
		{"hemisphere", open(meshtest.Lathe(append([]r2.Vec{{}}, dome...), 256), 1e-6), 3, (ball(50) - ball(47)) / 2},
		{"tube with ends off", tubeSides(t), 2, math.Pi * 100 * (30*30 - 28*28)},
		{"box", meshtest.Box(60, 40, 100), 2, 60*40*100 - 56*36*96},
		{"torus", meshtest.TorusMesh(512, 256, 60, 20), 4, 2 * math.Pi * math.Pi * 60 * (20*20 - 16*16)},
	}
	for _, c := range tests {
		if got := c.sheet.InwardVolume(c.t); math.Abs(got/c.want-1) > 1e-3 {
			t.Errorf("%s: %.1f mm³, want %.1f", c.name, got, c.want)
		}
	}
}

// tubeSides is the side of a cylinder of radius 30 and height 100.
func tubeSides(t *testing.T) *mesh.Mesh {
	t.Helper()
	m := meshtest.Cylinder(512, 30, 100)
	out := &mesh.Mesh{Vertices: m.Vertices}
	for f, face := range m.Faces {
		if math.Abs(m.DoubleAreaNormal(f).Z) < 1e-9 {
			out.Faces = append(out.Faces, face)
		}
	}
	return out
}
