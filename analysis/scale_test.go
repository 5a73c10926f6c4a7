package analysis

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

// TestKnownScale asks that a scale that is said to be known beforehand is the one
// chosen for the tightest box, however a part lies, and that it is known where
// only one unit comes into question.
func TestKnownScale(t *testing.T) {
	known := 0
	for k := range 60 {
		longest := 0.02 * math.Pow(1.25, float64(k)) // 0.02 to over 10 000
		for turn := range 4 {
			down := r3.Unit(r3.Vec{X: 1, Y: float64(turn), Z: float64(turn * turn)})
			m := meshtest.Box(longest, longest, longest).Posed(mesh.PoseDown(down))
			box := mesh.TightestBox(m.Vertices).Size[0]
			for _, c := range []Choices{{}, {Units: "cm"}, {LongestMM: 100}} {
				for _, unit := range []float64{0, 1, 25.4} {
					source := mesh.Source{UnitMM: unit}
					scale, sure := c.knownScale(source, m)
					if !sure {
						continue
					}
					known++
					u, err := chooseUnits(c, source, box)
					if err != nil || u.scale != scale {
						t.Errorf("%g units long, %+v, file in %g mm: scale %g known, then %g (%v)", longest, c, unit, scale, u.scale, err)
					}
				}
			}
		}
	}
	if known < 300 {
		t.Errorf("known %d times", known)
	}
	for _, c := range []struct {
		longest float64
		known   bool
	}{{300, true}, {10, true}, {0.3, true}, {1.5, false}, {40, false}} {
		_, known := Choices{}.knownScale(mesh.Source{}, meshtest.Box(c.longest, 1e-3*c.longest, 1e-3*c.longest))
		if _, err := chooseUnits(Choices{}, mesh.Source{}, c.longest); err != nil || known != c.known {
			t.Errorf("%g units long: known: %t, want %t (%v)", c.longest, known, c.known, err)
		}
	}
}
