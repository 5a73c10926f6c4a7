package rod

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

type shape struct {
	name            string
	m               *mesh.Mesh
	diameter, cover float64
	spout           Spout
	entry           string
}

// bentBar is a round bar of radius r along an arc of radius R over an angle, with
// flat ends, in the plane z = 0.
func bentBar(R, r, angle float64, along, around int) *mesh.Mesh {
	m := &mesh.Mesh{}
	at := func(i, k int) int32 { return int32(i*around + k%around) }
	for i := range along + 1 {
		sa, ca := math.Sincos(angle * float64(i) / float64(along))
		for k := range around {
			sb, cb := math.Sincos(2 * math.Pi * float64(k) / float64(around))
			m.Vertices = append(m.Vertices, r3.Vec{X: (R + r*cb) * ca, Y: (R + r*cb) * sa, Z: r * sb})
		}
	}
	for i := range along {
		for k := range around {
			a, b, c, d := at(i, k), at(i+1, k), at(i+1, k+1), at(i, k+1)
			m.Faces = append(m.Faces, [3]int32{a, b, c}, [3]int32{a, c, d})
		}
	}
	for k := 1; k+1 < around; k++ {
		m.Faces = append(m.Faces, [3]int32{at(0, 0), at(0, k), at(0, k+1)}, [3]int32{at(along, 0), at(along, k+1), at(along, k)})
	}
	return m
}

// knobbed is a bar with a thick end: a grip of radius r, 2 r long, on a shaft of
// radius w, l long, upright on z = 0, its shaft up.
func knobbed(r, w, l float64) *mesh.Mesh {
	return meshtest.Lathe([]r2.Vec{{}, {X: r}, {X: r, Y: 2 * r}, {X: w, Y: 2*r + 5}, {X: w, Y: 2*r + l}, {Y: 2*r + l}}, 64)
}

// upright is a spout in the middle of z = 0.
func upright(diameter, stem float64) Spout {
	return Spout{Inward: r3.Vec{Z: 1}, DiameterMM: diameter, StemMM: stem}
}

// aside is a spout that no rod gets in by: it is too narrow.
func aside() Spout { return Spout{At: r3.Vec{X: 1000}, Inward: r3.Vec{X: -1}, DiameterMM: 1} }

// shapes lists parts with every way for a rod to get in.
func shapes() []shape {
	return []shape{
		{"cylinder on its end", meshtest.Cylinder(96, 25, 200), 6, 8, upright(20, 0), "spout"},
		{"cylinder on a stem", meshtest.Cylinder(96, 25, 200), 6, 8, upright(16, 20), "spout"},
		{"cylinder, spout in its side", meshtest.Cylinder(96, 25, 200), 6, 8,
			Spout{At: r3.Vec{X: 25, Z: 100}, Inward: r3.Vec{X: -1}, DiameterMM: 20}, "half"},
		{"box", meshtest.Box(200, 100, 60), 6, 8, aside(), "half"},
		{"L-plate", lPlate(200, 40), 8, 5, aside(), "half"},
		{"bent bar", bentBar(300, 20, 1.7, 90, 40), 6, 8, aside(), "two"},
		{"thin sheet", meshtest.Box(200, 150, 12), 6, 8, aside(), "none"},
		{"small cube", meshtest.Box(40, 40, 40), 6, 8, aside(), "none"},
		{"bar with a thick end", knobbed(30, 8, 200), 6, 8, upright(25, 0), "half"},
		{"ring", meshtest.TorusMesh(96, 32, 90, 30), 5, 9, aside(), "half"},
	}
}
