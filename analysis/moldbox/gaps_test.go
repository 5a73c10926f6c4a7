package moldbox_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis/moldbox"
)

// A box too small for its pattern, worked out by hand.
func TestGapsAndThinPlaces(t *testing.T) {
	points := []r3.Vec{
		{X: -98, Y: 0, Z: 10},  // 2 mm from x0: thin
		{X: -97, Y: 3, Z: 10},  // within 20 mm of it: the same place
		{X: -99, Y: 40, Z: 10}, // 1 mm, the deepest of another place
		{X: 60, Y: 51, Z: 10},  // sticks out of y1 by 1 mm
		{X: 60, Y: 0, Z: 71},   // 9 mm under the level, half of 18: not thin
		{X: 80, Y: -40, Z: 10}, // 20 mm from x1, 10 mm from y0: not thin
	}
	asked := moldbox.Sides{X0: 20, X1: 20, Y0: 20, Y1: 20, Cover: 18}
	gap, thin, more := moldbox.Gaps(points, moldbox.RectangleFloor(200, 100), 80, asked)
	if want := (moldbox.Sides{X0: 1, X1: 20, Y0: 10, Y1: -1, Cover: 9}); gap != want {
		t.Errorf("gap %v, want %v", gap, want)
	}
	want := []moldbox.Thin{
		{Wall: "x0", GapMM: 1, AtMM: [3]float64{-99, 40, 10}},
		{Wall: "x0", GapMM: 2, AtMM: [3]float64{-98, 0, 10}},
		{Wall: "y1", GapMM: -1, AtMM: [3]float64{60, 51, 10}},
	}
	if d := cmp.Diff(want, thin); d != "" || more != 0 {
		t.Errorf("more %d, %s", more, d)
	}
}

func TestThinPlacesAreCapped(t *testing.T) {
	var points []r3.Vec
	for i := range 10 {
		points = append(points, r3.Vec{X: -49, Y: float64(i)*30 - 135, Z: 5})
	}
	gap, thin, more := moldbox.Gaps(points, moldbox.RectangleFloor(100, 400), 50, moldbox.Sides{X0: 10, X1: 10, Y0: 10, Y1: 10, Cover: 10})
	if gap.X0 != 1 || len(thin) != 4 || more != 6 {
		t.Errorf("gap %v, %d places, %d more", gap, len(thin), more)
	}
}
