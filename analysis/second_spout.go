package analysis

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis/cast"
	"pourwright/mesh"
)

// What a bore for a second spout is (common practice, no source).
const (
	mostBoreMM  = 80  // long
	boreStepMM  = 4   // between the places that are tried
	boreWallMM  = 6   // of rubber between it and spout, post or part
	boreDetail  = 0.1 // mean score of the surface it lands on: plain
	boreRing    = 12  // places on its rim that are looked at
	boreSlanted = 0.7 // of its width: deeper on one side than on the other, it slides off
)

// bores finds for each neck the shortest straight hole down from the spout's face of
// the block to plain surface behind that neck, through nothing but rubber; nil where
// there is none. Stand frame, in which the block stands on that face.
func (j *job) bores(p *cast.Passages, necks []cast.Neck) []*cast.Bore {
	out := make([]*cast.Bore, len(necks))
	if len(necks) == 0 {
		return out
	}
	back := j.pose.Inverse()
	box := j.posed.Bounds()
	for x := box.Min.X; x <= box.Max.X; x += boreStepMM {
		for y := box.Min.Y; y <= box.Max.Y; y += boreStepMM {
			hit, ok := j.search().First(r3.Vec{X: x, Y: y}, r3.Vec{Z: 1})
			if !ok || hit.Distance > mostBoreMM {
				continue
			}
			room := p.RoomAt(back.Point(hit.Point))
			for i, n := range necks {
				if !slices.Contains(n.Rooms, room) {
					continue
				}
				rooms := func(at r3.Vec) bool { return slices.Contains(n.Rooms, p.RoomAt(back.Point(at))) }
				b := j.boreAt(hit, j.casting.LeastSpoutMM(n.BehindMM3), rooms)
				if b != nil && (out[i] == nil || b.LengthMM < out[i].LengthMM) {
					out[i] = b
				}
			}
		}
	}
	return out
}

// boreAt is the bore with its middle through a place of the surface; nil where its rim
// meets something else, too far down, or detail.
func (j *job) boreAt(middle mesh.Hit, diameterMM float64, behind func(r3.Vec) bool) *cast.Bore {
	from := r3.Vec{X: middle.Point.X, Y: middle.Point.Y}
	post, clear := j.boreClear(from, diameterMM)
	if !clear {
		return nil
	}
	deepest, shallowest, sum, detail := middle.Distance, middle.Distance, middle.Distance, j.detailOf(middle.Face)
	ring := func(r float64, visit func(h mesh.Hit, ok bool) bool) bool {
		for k := range boreRing {
			sin, cos := math.Sincos(2 * math.Pi * float64(k) / boreRing)
			if !visit(j.search().First(r3.Add(from, r3.Vec{X: r * cos, Y: r * sin}), r3.Vec{Z: 1})) {
				return false
			}
		}
		return true
	}
	lands := ring(diameterMM/2, func(h mesh.Hit, ok bool) bool {
		if !ok || h.Distance > mostBoreMM || !behind(h.Point) {
			return false
		}
		deepest, shallowest = max(deepest, h.Distance), min(shallowest, h.Distance)
		sum, detail = sum+h.Distance, detail+j.detailOf(h.Face)
		return true
	})
	if !lands || deepest-shallowest > boreSlanted*diameterMM || detail/(boreRing+1) > boreDetail {
		return nil
	}
	// The rubber around it does not break through to another part of the pattern.
	whole := ring(diameterMM/2+boreWallMM, func(h mesh.Hit, ok bool) bool { return !ok || h.Distance > shallowest || behind(h.Point) })
	if !whole {
		return nil
	}
	return &cast.Bore{From: from, DiameterMM: diameterMM, LengthMM: deepest, Post: post, VolumeMM3: math.Pi / 4 * diameterMM * diameterMM * sum / (boreRing + 1)}
}

// boreClear tells whether a bore keeps off the spout and the posts, or takes the place
// of the post that stands wholly in it: that one's number, else 0.
func (j *job) boreClear(from r3.Vec, diameterMM float64) (post int, ok bool) {
	off := func(at r3.Vec) float64 { return math.Hypot(at.X-from.X, at.Y-from.Y) }
	if off(j.spoutOnBoard()) < (diameterMM+j.plan.Stand.SpoutDiameterMM)/2+boreWallMM {
		return 0, false
	}
	for _, t := range j.plan.CastTrap {
		v := t.Vent
		if v == nil {
			continue
		}
		nearest, farthest := math.Inf(1), 0.0
		for k := range boreRing + 1 {
			d := off(r3.Add(vec(v.FromMM), r3.Scale(float64(k)/boreRing, r3.Sub(vec(v.ToMM), vec(v.FromMM)))))
			nearest, farthest = min(nearest, d), max(farthest, d)
		}
		switch {
		case farthest+v.DiameterMM/2 <= diameterMM/2:
			post = v.Post
		case nearest < (diameterMM+v.DiameterMM)/2+boreWallMM:
			return 0, false
		}
	}
	return post, true
}

// detailOf is the mean score of a face's corners.
func (j *job) detailOf(face int32) float64 {
	f := j.posed.Faces[face]
	return float64(j.detail[f[0]]+j.detail[f[1]]+j.detail[f[2]]) / 3
}
