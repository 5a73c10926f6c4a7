package wall_test

import (
	"math"
	"math/rand"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
	"pourwright/analysis/wall"
	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

// shapes is how many patterns each law is tried on.
const shapes = 8

// turned makes a turned pattern with flanges, whose webs come and go.
func turned(rng *rand.Rand) *mesh.Mesh {
	profile := []r2.Vec{{}}
	z := 0.0
	for range 2 + rng.Intn(7) {
		r := 4 + 46*rng.Float64()
		profile = append(profile, r2.Vec{X: r, Y: z})
		z += 1 + 19*rng.Float64()
		profile = append(profile, r2.Vec{X: r, Y: z})
	}
	profile = append(profile, r2.Vec{Y: z})
	return meshtest.Lathe(profile, 5+rng.Intn(11))
}

func boxed(m *mesh.Mesh, clearance float64) wall.Input {
	b := m.Bounds()
	x, y := math.Max(b.Max.X, -b.Min.X), math.Max(b.Max.Y, -b.Min.Y)
	return wall.Input{
		Side: wall.Rectangle(2*(x+clearance), 2*(y+clearance)), LevelMM: b.Max.Z + clearance,
		ClearanceMM: clearance, FloppyMM: 10, WastedMM: 50, CastLeastMM: 3,
	}
}

// A box with more clearance leaves no place with thinner rubber.
func TestLawMoreClearanceNeverThinner(t *testing.T) {
	rng := rand.New(rand.NewSource(3))
	for range shapes {
		m := turned(rng)
		in := boxed(m, 5+25*rng.Float64())
		a, b := measure(t, m, in), measure(t, m, boxed(m, in.ClearanceMM+20*rng.Float64()))
		if b.Wall.MM < a.Wall.MM-1e-9 || b.FloppyMM2 > a.FloppyMM2+1e-6 {
			t.Fatalf("least %v, then %v; floppy %v, then %v", a.Wall.MM, b.Wall.MM, a.FloppyMM2, b.FloppyMM2)
		}
		for v := range a.Vertex {
			if b.Vertex[v] < a.Vertex[v]-1e-4 {
				t.Fatalf("at %v: %v, then %v", m.Vertices[v], a.Vertex[v], b.Vertex[v])
			}
		}
	}
}

// Twice as large, all is twice as thick and has four times the area.
func TestLawScaling(t *testing.T) {
	rng := rand.New(rand.NewSource(4))
	for range shapes {
		m := turned(rng)
		in := boxed(m, 5+25*rng.Float64())
		const s = 2
		big := boxed(m.Scaled(s), s*in.ClearanceMM)
		big.FloppyMM, big.WastedMM, big.CastLeastMM, big.ContactMM = s*in.FloppyMM, s*in.WastedMM, s*in.CastLeastMM, s*wall.DefaultContactMM
		a, b := measure(t, m, in), measure(t, m.Scaled(s), big)
		like := func(what string, x, y, power float64) {
			if math.Abs(x*power-y) > 1e-6*(1+math.Abs(y)) {
				t.Fatalf("%s: %v, scaled %v", what, x, y)
			}
		}
		like("least", a.Wall.MM, b.Wall.MM, s)
		like("floppy", a.FloppyMM2, b.FloppyMM2, s*s)
		like("wasted", a.WastedMM2, b.WastedMM2, s*s)
		like("thin cast", a.Cast.ThinMM2, b.Cast.ThinMM2, s*s)
		if (a.Web == nil) != (b.Web == nil) {
			t.Fatalf("web %v, scaled %v", a.Web, b.Web)
		}
		if a.Web != nil {
			like("web", a.Web.MM, b.Web.MM, s)
		}
	}
}

// The same question has the same digits each time, on any number of goroutines.
func TestSameDigits(t *testing.T) {
	m := meshtest.Moved(meshtest.TorusMesh(90, 40, 40, 12), r3.Vec{Z: 12})
	in := wall.Input{Side: wall.Rectangle(130, 130), LevelMM: 40, ClearanceMM: 13, CastLeastMM: 6}
	a, b := measure(t, m, in), measure(t, m, in)
	for v := range a.Vertex {
		if math.Float32bits(a.Vertex[v]) != math.Float32bits(b.Vertex[v]) {
			t.Fatalf("vertex %d: %v, then %v", v, a.Vertex[v], b.Vertex[v])
		}
	}
	if a.Wall != b.Wall || a.FloppyMM2 != b.FloppyMM2 || len(a.Webs) != len(b.Webs) {
		t.Errorf("%+v, then %+v", a.Wall, b.Wall)
	}
}
