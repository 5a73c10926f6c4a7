package airtrap

import (
	"context"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
)

// Vent is the hole that a post between a trap and the board leaves.
type Vent struct {
	From, To   r3.Vec // on the pattern, on the board
	DiameterMM float64
	Foot       int32   // the vertex at From
	MovedMM    float64 // from the middle of the trap's level region to From
	Detail     float64 // mean score of the surface that the post covers, 0–1
	LeftMM3    float64 // air above From that this post does not free
}

// Room is what the posts have to fit into, in the stand frame.
type Room struct {
	WallMM   func(p r3.Vec) float64         // distance of a point on the board from the nearest wall, negative beyond it
	Spout    r3.Vec                         // middle of the spout on the board
	StemMM   float64                        // length of the stem there, 0 for none
	SpoutMM  float64                        // its diameter
	Diameter func(lengthMM float64) float64 // of a post
	Detail   []float32                      // score of each vertex, 0 plain; nil: all plain
	DepthMM  float64                        // a post may end this far below the top of the trap,
	LeastMM3 float64                        // if no more air than this stays above it
}

// webMM is the least rubber between a post and another, a wall or the pattern that
// does not tear (common practice, no source); where nothing else fits, a post
// may pass as close to the pattern as it likes.
const webMM = 2

// Degrees off upright of the posts that are tried, and ways to lean.
var slants = [...]float64{0, 5, 10, 20, 30, 40}

const leans = 16

// Vents returns a post from each trap of the cavity to the board at z = 0. A
// straight one is taken where there is one, from the plainest part of the level
// region at the trap's top, else the steepest free slanted one. Traps under one
// post share it. The post is nil where the pattern, the walls or another post
// leave no way; beside then names the trap whose post is in the way, or is −1.
func Vents(ctx context.Context, s *Surface, traps []Trap, room Room) (vents []*Vent, beside []int, err error) {
	vents, beside = make([]*Vent, len(traps)), make([]int, len(traps))
	p := &postPlan{s: s, room: room, vents: vents, traps: traps}
	for i, t := range traps {
		if err := ctx.Err(); err != nil {
			return nil, nil, err
		}
		beside[i] = -1
		if k := p.covering(t.At); k >= 0 {
			vents[i] = vents[k]
			continue
		}
		vents[i], beside[i] = p.plan(t)
	}
	return vents, beside, nil
}

// postPlan places one post after the other.
type postPlan struct {
	s     *Surface
	room  Room
	traps []Trap
	vents []*Vent    // of each trap, so far
	whole *mesh.Tree // of all faces that a post can meet, made when first needed
}

// below returns a tree of the faces that straight posts from the feet of one trap
// can meet, on a large mesh a small part of it.
func (p *postPlan) below(feet []foot) *mesh.Tree {
	var ends []r3.Vec
	for _, f := range feet {
		ends = append(ends, f.at)
	}
	const margin = 2 * farthestLook
	box := mesh.BoundsOf(ends)
	return p.treeOf(func(a, b, c r3.Vec) bool {
		return min(a.Z, b.Z, c.Z) < box.Max.Z+margin &&
			min(a.X, b.X, c.X) < box.Max.X+margin && max(a.X, b.X, c.X) > box.Min.X-margin &&
			min(a.Y, b.Y, c.Y) < box.Max.Y+margin && max(a.Y, b.Y, c.Y) > box.Min.Y-margin
	})
}

// around returns a tree of the faces that a post from any trap can meet.
func (p *postPlan) around() *mesh.Tree {
	if p.whole == nil {
		top := math.Inf(-1)
		for _, t := range p.traps {
			top = max(top, t.At.Z)
		}
		p.whole = p.treeOf(func(a, b, c r3.Vec) bool { return min(a.Z, b.Z, c.Z) < top+2*farthestLook })
	}
	return p.whole
}

func (p *postPlan) treeOf(keep func(a, b, c r3.Vec) bool) *mesh.Tree {
	var faces []int32
	for f := range p.s.m.Faces {
		if keep(p.s.m.Corners(f)) {
			faces = append(faces, int32(f))
		}
	}
	return mesh.NewTree(p.s.m.Some(faces))
}

// covering returns the trap whose post also covers the point: it is within the
// post's width, and no farther above or below its end than a quarter of that,
// which is filled with clay when the post is set.
func (p *postPlan) covering(at r3.Vec) int {
	for k, v := range p.vents {
		if v == nil {
			continue
		}
		d := r3.Sub(at, v.From)
		if math.Hypot(d.X, d.Y) <= 0.4*v.DiameterMM && math.Abs(d.Z) <= v.DiameterMM/4 {
			return k
		}
	}
	return -1
}

// mostSlanted is how many places of a level region slanted posts are tried at.
const mostSlanted = 12

// plan returns the post of a trap, or nil and the trap whose post is in its way.
func (p *postPlan) plan(t Trap) (*Vent, int) {
	feet := p.feet(t)
	tree := p.below(feet)
	for _, web := range [...]float64{webMM, 0} {
		for _, slant := range slants {
			some := feet
			if slant > 0 {
				some, tree = feet[:min(len(feet), mostSlanted)], p.around()
			}
			for _, f := range some {
				if v := p.from(t, f, slant, web, tree); v != nil {
					v.LeftMM3 = p.airAbove(t, v)
					return v, -1
				}
			}
		}
	}
	for k, v := range p.vents {
		if v != nil && r3.Norm(r3.Sub(v.From, t.At)) < 2*v.DiameterMM+webMM {
			return nil, k
		}
	}
	return nil, -1
}

// from returns the first free post with a slant from one foot.
func (p *postPlan) from(t Trap, f foot, slant, web float64, tree *mesh.Tree) *Vent {
	turns := leans
	if slant == 0 {
		turns = 1
	}
	for k := range turns {
		sin, cos := math.Sincos(2 * math.Pi * float64(k) / leans)
		out := max(f.at.Z, 0) * math.Tan(slant*math.Pi/180)
		v := &Vent{From: f.at, To: r3.Vec{X: f.at.X + out*cos, Y: f.at.Y + out*sin}, Foot: f.vertex,
			MovedMM: r3.Norm(r3.Sub(f.at, t.At)), Detail: f.detail}
		v.DiameterMM = p.room.Diameter(r3.Norm(r3.Sub(v.From, v.To)))
		if p.fits(v) && v.clear(tree, t.topZ(), web) {
			return v
		}
	}
	return nil
}

// airAbove returns the air, mm³, that a trap keeps above the end of its post once
// the block is turned over.
func (p *postPlan) airAbove(t Trap, v *Vent) float64 {
	region := p.s.flood(t.Vertex, func(w int32) bool { return p.s.m.Vertices[w].Z < t.topZ()+p.room.DepthMM })
	return p.s.airBelow(p.s.facesAround(region), v.From.Z)
}

// topZ is the stand z of the top of a trap of the cavity, its lowest point.
func (t Trap) topZ() float64 { return -t.Spill - t.PersistenceMM }
