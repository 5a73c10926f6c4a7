package cut

import (
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

// The knife goes in square to the outside, so it stops along a line square to it:
// level from the side of a post or from under its cap, straight down from above the
// cap. What it is told beyond that line it would cut of the hinge.
func TestKnifeStopsSquareToTheOutside(t *testing.T) {
	m := meshtest.Lathe([]r2.Vec{{}, {X: 15, Y: 0}, {X: 10, Y: 20}, {X: 10, Y: 100}, {X: 32, Y: 112}, {X: 32, Y: 122}, {X: 4, Y: 132}, {Y: 132}}, 90)
	room := blockAround(m, 30)
	s := NewPlane(r3.Vec{}, r3.Vec{Y: 1})
	r := Result{Sheet: s, ThroughSpout: true}
	r.Outline, _ = s.Section(m)
	f := newFace(&s, r.Outline, mesh.NewTree(m), &room)
	rim := room.Rim(&s)
	ways, _ := r.ways(Opening{})
	all := f.knifeMarks(rim, 5, nil)
	for _, c := range []struct {
		mm   float64
		side bool // in from the side, not from the top
	}{{60, true}, {95, true}, {110, true}, {118, true}, {133, true}, {155, false}} {
		slit := Slit{MM: c.mm}
		slit.Path, slit.Hinge = ways[0].split(c.mm)
		stop, square := f.stop(slit, rim)
		if stop == nil || !square {
			t.Fatalf("slit of %g mm: no stop", c.mm)
		}
		way := r3.Sub(stop[1], stop[0])
		level := math.Abs(way.Z) < 1e-9 && way.X*stop[0].X > 0
		if upright := math.Abs(way.X) < 1e-9 && way.Z > 0; level != c.side || upright == c.side || math.Abs(room.Outside(stop[1])) > 1e-9 {
			t.Errorf("slit of %g mm: the knife stops along %v", c.mm, *stop)
		}
		out := Placed{Slit: slit, Stop: stop, Rim: rim}
		told := f.knifeMarks(rim, 5, f.openTo(&out, r3.Vec{}))
		if want := before(all, stop, c.side); len(want) == 0 || !slices.Equal(told, want) {
			t.Errorf("slit of %g mm: marks at %v, want at %v", c.mm, placesOf(told), placesOf(want))
		}
	}
}

// before lists the marks on the slit's side of the block below the stop, or of the
// stop on top outward, whose way in does not cross the stop.
func before(all []KnifeMark, stop *[2]r3.Vec, side bool) (want []KnifeMark) {
	for _, k := range all {
		near := k.At.X*stop[0].X > 0
		onWall := k.At.Z > 1e-6 && k.At.Z < 161.9
		under := k.At.Z < 1e-6 && k.PatternMM < stop[0].Z+1e-6
		if side && near && (onWall && k.At.Z < stop[0].Z || under) ||
			!side && near && (onWall || under || math.Abs(k.At.X) > math.Abs(stop[0].X)) {
			want = append(want, k)
		}
	}
	return want
}

func placesOf(all []KnifeMark) (at []r3.Vec) {
	for _, k := range all {
		at = append(at, k.At)
	}
	return at
}
