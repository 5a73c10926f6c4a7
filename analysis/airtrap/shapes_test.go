package airtrap

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

// A narrow rim beside a large flaring side is a top all the same.
func TestTopBesideLargeFaces(t *testing.T) {
	flare := meshtest.Lathe([]r2.Vec{{}, {X: 10}, {X: 50, Y: 40}, {X: 49, Y: 40}, {Y: 40}}, 96)
	if r := find(t, flare, Input{Domain: Inside, Up: up, Open: nearest(flare, r3.Vec{}), VolumeMM3: DefaultVolumeMM3}); len(r) != 1 {
		t.Errorf("flare open at its foot: %d traps, want 1", len(r))
	}
	for _, c := range [][3]float64{{10, 50, 100}, {10, 60, 40}, {20, 30, 150}} {
		m := meshtest.Frustum(96, c[0], c[1], c[2])
		if r := find(t, m, Input{Domain: Inside, Up: up, Open: nearest(m, r3.Vec{}), VolumeMM3: DefaultVolumeMM3}); len(r) != 1 {
			t.Errorf("frustum %v open at its foot: %d traps, want 1", c, len(r))
		}
		if r := find(t, m, Input{Domain: Outside, Up: up, VolumeMM3: DefaultVolumeMM3}); len(r) != 0 {
			t.Errorf("rubber around frustum %v: %+v", c, r)
		}
	}
}

// A cup upside down under a sloping canopy: its trap spills at the rim, though
// the cup's top hangs under a ceiling that is not yet known to be open.
func TestCupUnderCanopy(t *testing.T) {
	turned := cup(96).Posed(mesh.Pose{Rows: [3]r3.Vec{{X: 1}, {Y: -1}, {Z: -1}}, T: r3.Vec{Z: 80}})
	sin, cos := math.Sincos(10 * math.Pi / 180)
	canopy := meshtest.Box(120, 120, 5).
		Posed(mesh.Pose{Rows: [3]r3.Vec{{X: 1}, {Y: 1}, {Z: 1}}, T: r3.Vec{X: -60, Y: -60}}).
		Posed(mesh.Pose{Rows: [3]r3.Vec{{X: cos, Z: -sin}, {Y: 1}, {X: sin, Z: cos}}, T: r3.Vec{Z: 120}})
	floor := meshtest.Box(200, 200, 5).Posed(mesh.Pose{Rows: [3]r3.Vec{{X: 1}, {Y: 1}, {Z: 1}}, T: r3.Vec{X: -100, Y: -100, Z: -10}})
	r := find(t, joined(joined(turned, canopy), floor), Input{Domain: Outside, Up: up, VolumeMM3: DefaultVolumeMM3})
	if len(r) != 1 || math.Abs(r[0].Spill-20) > 1e-9 {
		t.Errorf("got %+v, want one trap that spills at 20", r)
	}
}

// can is a closed can, ceiling at 40, whose floor rises in a cone to 30.
func can() *mesh.Mesh {
	return meshtest.Lathe([]r2.Vec{{X: 0, Y: 30}, {X: 10, Y: 0}, {X: 50, Y: 0}, {X: 50, Y: 20}, {X: 50, Y: 40}, {X: 0, Y: 40}}, 96)
}

func TestOpeningOnAHump(t *testing.T) {
	m := can()
	r := find(t, m, Input{Domain: Inside, Up: up, Open: nearest(m, r3.Vec{Z: 30}), VolumeMM3: DefaultVolumeMM3})
	if len(r) != 1 || math.Abs(r[0].Spill-30) > 1e-9 {
		t.Errorf("got %+v, want one trap that spills at the hump's top, 30", r)
	}
}

// Scaling part and thresholds by k scales volumes by k³.
func TestScalingLaw(t *testing.T) {
	m := can()
	volume := func(k float64) float64 {
		q := m.Scaled(k)
		r, err := Find(NewSurface(q), Input{Domain: Inside, Up: up, Open: nearest(q, r3.Vec{X: 50 * k, Z: 20 * k}),
			PersistenceMM: 0.5 * k, VolumeMM3: 50 * k * k * k})
		if err != nil || len(r) != 1 {
			t.Fatalf("scaled by %g: %+v, %v", k, r, err)
		}
		return r[0].VolumeMM3 / (k * k * k)
	}
	want := volume(1)
	for _, k := range []float64{0.005, 0.1, 30} {
		if got := volume(k); math.Abs(got-want) > 1e-6*want {
			t.Errorf("scaled by %g: %g, want %g", k, got, want)
		}
	}
}

// The lower of two horns without a vent lies in the pocket of both.
func TestNestedPocket(t *testing.T) {
	r := find(t, horns(80), Input{Domain: Inside, Up: up, VolumeMM3: DefaultVolumeMM3})
	if len(r) != 2 || r[0].Nested || !r[1].Nested {
		t.Errorf("got %+v, want the second in the first's pocket", r)
	}
}
