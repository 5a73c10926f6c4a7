package airtrap

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

// pot is a pot upside down, its hollow so wide and deep, its rim at z, its bottom
// so thick.
func pot(radius, depth, z, bottom float64) *mesh.Mesh {
	m := meshtest.Lathe([]r2.Vec{{X: 0, Y: 0}, {X: radius + 5, Y: 0}, {X: radius + 5, Y: bottom + depth}, {X: radius, Y: bottom + depth}, {X: radius, Y: bottom}, {X: 0, Y: bottom}}, 96)
	return m.Posed(mesh.Pose{Rows: [3]r3.Vec{{X: 1}, {Y: -1}, {Z: -1}}, T: r3.Vec{Z: z + bottom + depth}})
}

func TestRemedies(t *testing.T) {
	plate := shifted(meshtest.Box(60, 60, 3), -30, -30, 10)
	for _, c := range []struct {
		name   string
		m      *mesh.Mesh
		tilted bool
		want   Way
	}{
		{"rim on the board", pot(30, 40, 0, 5), false, BySeal},
		{"a tilt frees it", pot(30, 40, 20, 5), true, ByTilt},
		{"rim on the board, whatever a tilt does", pot(30, 40, 0, 5), true, BySeal},
		{"shallow and wide", pot(30, 8, 20, 5), false, ByBrush},
		{"shallow, a hand's breadth over a plate", joined(pot(30, 8, 60, 5), plate), false, ByBrush},
		{"shallow, but close over a plate", joined(pot(30, 8, 17, 5), plate), false, ByDrill},
		{"deep", pot(30, 40, 20, 5), false, ByTube},
		{"deep, no room under the rim", pot(30, 40, 4, 5), false, ByDrill},
		{"deep, no room, and too thick to drill", pot(30, 40, 4, 150), false, ByTurn},
	} {
		s := NewSurface(c.m)
		traps, err := Find(s, Input{Domain: Outside, Up: up, PersistenceMM: DefaultPersistenceMM, VolumeMM3: DefaultVolumeMM3})
		if err != nil || len(traps) != 1 {
			t.Fatalf("%s: %+v, %v", c.name, traps, err)
		}
		r := Remedies(s, traps, []bool{c.tilted})[0]
		if r.Way != c.want {
			t.Errorf("%s: %s, want %s", c.name, r.Way, c.want)
		}
		if r.Way == ByDrill && (math.Abs(r.Drill-5) > 1e-9 || math.Abs(r.Out.Z-traps[0].At.Z-5) > 1e-9) {
			t.Errorf("%s: a hole of %g mm out at %v, want 5 mm through the bottom", c.name, r.Drill, r.Out)
		}
		if r.Way == ByTube && math.Abs(r.Mouth.Z-(20-tubeMM/2)) > 1e-9 {
			t.Errorf("%s: the tube leaves at %v, want under the rim", c.name, r.Mouth)
		}
	}
	if r := Remedies(NewSurface(plate), nil, nil); len(r) != 0 {
		t.Errorf("no traps, but %+v", r)
	}
}
