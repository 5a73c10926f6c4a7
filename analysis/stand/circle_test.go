package stand

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

// Closed forms: incircle of a right triangle (a+b−c)/2, of a rectangle half its
// short side, of an annulus half its width.
func TestWidestCircle(t *testing.T) {
	for _, c := range []struct {
		name  string
		rings [][]r2.Vec
		want  float64
	}{
		{"triangle 3-4-5", [][]r2.Vec{{{}, {X: 4}, {Y: 3}}}, 1},
		{"rectangle 100×8", [][]r2.Vec{{{}, {X: 100}, {X: 100, Y: 8}, {Y: 8}}}, 4},
		{"disc of radius 7", [][]r2.Vec{ring(256, 7, r2.Vec{X: 3, Y: -2})}, 7},
		{"annulus 10/4", [][]r2.Vec{ring(256, 10, r2.Vec{}), ring(256, 4, r2.Vec{})}, 3},
		{"two discs, the larger wins", [][]r2.Vec{ring(64, 2, r2.Vec{}), ring(256, 5, r2.Vec{X: 20})}, 5},
		{"a line", [][]r2.Vec{{{}, {X: 4}, {X: 2}}}, 0},
		{"nothing", nil, 0},
	} {
		if _, got := widestCircle(c.rings, nil, 0.01); math.Abs(got-c.want) > 0.015*c.want {
			t.Errorf("%s: radius %g, want %g", c.name, got, c.want)
		}
	}
}

// With its middle to be near a place, a circle is no wider than there is room
// for: 6 mm from the side of a square, that is its radius.
func TestWidestCircleNearAPlace(t *testing.T) {
	square := [][]r2.Vec{{{}, {X: 100}, {X: 100, Y: 100}, {Y: 100}}}
	at := r2.Vec{X: 6, Y: 50}
	centre, radius := widestCircle(square, &near{at: at}, 0.01)
	if math.Abs(radius-6) > 0.1 || r2.Norm(r2.Sub(centre, at)) > 0.1 {
		t.Errorf("radius %g about %v, want 6 about %v", radius, centre, at)
	}
	if _, radius = widestCircle(square, &near{at, 10}, 0.01); math.Abs(radius-16) > 0.2 {
		t.Errorf("within 10 mm of there: radius %g, want 16", radius)
	}
}

func TestThinnedRingKeepsItsShape(t *testing.T) {
	fine := ring(4096, 30, r2.Vec{X: 1, Y: 2})
	few := thinned(fine, 0.02)
	if len(few) > 200 {
		t.Errorf("%d of 4096 points are left", len(few))
	}
	if _, radius := widestCircle([][]r2.Vec{few}, nil, 0.001); math.Abs(radius-30) > 0.06 {
		t.Errorf("radius %g, want 30", radius)
	}
}
