package rod

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// room is the space that a rod's axis may be in: wherever the surface is at
// least reach away.
type room struct {
	in      Input
	reach   float64 // cover and half the diameter, mm
	margin  float64 // more than that which is aimed at, so that it can be proved, mm
	coarse  float64 // by how much the field may be off, mm
	voxelMM float64
}

// marginShare is small enough to cost next to no length, and large enough to
// prove the cover along an axis in a few thousand looks.
const marginShare = 0.003

func newRoom(in Input) *room {
	reach := in.CoverMM + in.DiameterMM/2
	h := in.Field.VoxelMM
	// Between voxels the field is a mean of places at most that far away, on average
	// much less; distances change no faster than places.
	return &room{in: in, reach: reach, margin: marginShare * reach, coarse: math.Sqrt(3) / 2 * h, voxelMM: h}
}

// contact is the place of the surface nearest to a point of the axis.
type contact struct {
	t    float64 // share of the way along the axis; below 0 on the way in
	at   r3.Vec  // on the axis
	on   r3.Vec  // on the surface
	deep float64 // distance, negative outside, mm
	need float64 // that it should be, mm
}

// depth is the field's distance from the surface, positive inside.
func (r *room) depth(p r3.Vec) float64 { return -r.in.Field.At(p) }

// touch measures on the surface itself.
func (r *room) touch(p r3.Vec) contact {
	hit, ok := r.in.Tree.Closest(r.in.ToTree.Point(p), math.Inf(1))
	if !ok {
		return contact{at: p, on: p, deep: math.Inf(-1)}
	}
	c := contact{at: p, on: r.in.ToTree.Inverse().Point(hit.Point), deep: hit.Distance}
	if !r.inside(p, hit.Distance) {
		c.deep = -hit.Distance
	}
	return c
}

// inside tells the side of a point that is that far from the surface.
func (r *room) inside(p r3.Vec, distance float64) bool {
	if distance > 2*r.coarse {
		return r.in.Field.At(p) < 0
	}
	return math.Abs(r.in.Tree.Winding(r.in.ToTree.Point(p))) >= 0.5
}

// thickest returns about the middle and the diameter of the largest ball inside.
func (r *room) thickest() (r3.Vec, float64) {
	f := r.in.Field
	deepest, at := float32(math.Inf(1)), 0
	for i, d := range f.Distance {
		if d < deepest {
			deepest, at = d, i
		}
	}
	x, rest := at%f.N[0], at/f.N[0]
	p := r3.Add(f.Origin, r3.Scale(f.VoxelMM, r3.Vec{X: float64(x), Y: float64(rest % f.N[1]), Z: float64(rest / f.N[1])}))
	best := r.touch(p)
	for step := r.voxelMM / 2; step > r.voxelMM/64; {
		moved := false
		for _, d := range axes {
			if c := r.touch(r3.Add(best.at, r3.Scale(step, d))); c.deep > best.deep {
				best, moved = c, true
			}
		}
		if !moved {
			step /= 2
		}
	}
	return best.at, 2 * max(0, best.deep)
}

var axes = [6]r3.Vec{{X: 1}, {X: -1}, {Y: 1}, {Y: -1}, {Z: 1}, {Z: -1}}
