package rod

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
)

// room is the space that a rod's axis may be in: wherever the surface is at
// least reach away.
type room struct {
	in      Input
	back    mesh.Pose // from the tree's frame to the field's
	reach   float64   // cover and half the diameter, mm
	margin  float64   // more than that which is aimed at, so that it can be proved, mm
	coarse  float64   // by how much the field may be off, mm
	voxelMM float64
}

// marginShare is small enough to cost next to no length, and large enough to
// prove the cover along an axis in a few thousand looks.
const marginShare = 0.003

func newRoom(in Input) *room {
	in.Spout = in.Spout.ready()
	reach := in.CoverMM + in.DiameterMM/2
	h := in.Field.VoxelMM
	// Between voxels the field is a mean of places at most that far away, on average
	// much less; distances change no faster than places.
	return &room{in: in, back: in.ToTree.Inverse(), reach: reach, margin: marginShare * reach, coarse: math.Sqrt(3) / 2 * h, voxelMM: h}
}

// contact is the place of the surface nearest to a point of the axis.
type contact struct {
	t    float64 // share of the way along the axis; below 0 on the way in
	at   r3.Vec  // on the axis
	on   r3.Vec  // on the surface
	deep float64 // distance, negative outside, mm
	need float64 // that it should be, mm
	far  bool    // deep enough not to matter: deep is a lower bound
}

// depth is the field's distance from the surface, positive inside.
func (r *room) depth(p r3.Vec) float64 { return -r.in.Field.At(p) }

// touch measures on the surface itself, up to a depth: deeper places, of which
// the field is sure, are that deep at least and have no place on the surface. From
// deep inside, where much of the surface is about as near, looks are slow.
func (r *room) touch(p r3.Vec, upTo float64) contact {
	if d := r.depth(p) - fieldDoubt*r.voxelMM; d > upTo {
		return contact{at: p, deep: d, far: true}
	}
	hit, ok := r.in.Tree.Closest(r.in.ToTree.Point(p), upTo+2*fieldDoubt*r.voxelMM)
	if !ok && r.depth(p) < 0 {
		return contact{at: p, deep: -upTo, far: true}
	}
	if !ok {
		return contact{at: p, deep: upTo, far: true}
	}
	c := contact{at: p, on: r.back.Point(hit.Point), deep: hit.Distance}
	if !r.inside(p, hit.Distance) {
		c.deep = -hit.Distance
	}
	return c
}

// fieldDoubt is how far the field may be off at any place, voxels: it is a mean
// over places at most 0.87 voxels away, and good to less than one there.
const fieldDoubt = 1.8

// inside tells the side of a point that is that far from the surface.
func (r *room) inside(p r3.Vec, distance float64) bool {
	if distance > 2*r.coarse {
		return r.in.Field.At(p) < 0
	}
	return math.Abs(r.in.Tree.Winding(r.in.ToTree.Point(p))) >= 0.5
}

// thickest returns about the middle and the diameter of the largest ball inside,
// to a fraction of a voxel.
func (r *room) thickest() (r3.Vec, float64) {
	f := r.in.Field
	deepest, at := float32(math.Inf(1)), 0
	for i, d := range f.Distance {
		if d < deepest {
			deepest, at = d, i
		}
	}
	x, rest := at%f.N[0], at/f.N[0]
	place := r3.Vec{X: float64(x), Y: float64(rest % f.N[1]), Z: float64(rest / f.N[1])}
	best := contact{at: r3.Add(f.Origin, r3.Scale(f.VoxelMM, place)), deep: -float64(deepest)}
	look := func(p r3.Vec) contact { return contact{at: p, deep: r.depth(p)} }
	if best.deep < r.reach+2*r.voxelMM { // it matters, and looks are quick
		look = func(p r3.Vec) contact { return r.touch(p, r.reach+4*r.voxelMM) }
		best = look(best.at)
	}
	for step := r.voxelMM / 2; step > r.voxelMM/64; {
		moved := false
		for _, d := range axes {
			if c := look(r3.Add(best.at, r3.Scale(step, d))); c.deep > best.deep {
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
