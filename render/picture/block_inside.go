package picture

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis"
)

// setFillers takes the blocks that stand in the box instead of rubber.
func (s *scene) setFillers(all []analysis.Filler) {
	for _, f := range all {
		if len(f.FootMM) < 3 || !(f.HeightMM > 0) {
			continue
		}
		foot := make([]r3.Vec, len(f.FootMM))
		for i, p := range f.FootMM {
			foot[i] = r3.Vec{X: p[0], Y: p[1]}
		}
		s.fillers = append(s.fillers, newPrism(foot, 0, math.Min(f.HeightMM, s.block.Max.Z)))
	}
}

// held are the stretches of a line of sight that fillers take from the rubber.
type held []stretch

// between is how much of them lies between two depths.
func (h held) between(in, out float64) (sum float64) {
	for _, s := range h {
		sum += math.Max(math.Min(s.hi, out)-math.Max(s.lo, in), 0)
	}
	return sum
}

// How much a filler hides by its face towards the viewer and by the one away.
const (
	fillerFront = 0.34
	fillerBack  = 0.22
)

// throughFillers adds the faces of fillers between two depths of a line of sight.
func (r *rubber) throughFillers(veils []veil, from r3.Vec, in, end float64) ([]veil, held) {
	var inside held
	for i := range r.fillers {
		s := r.fillers[i].span(from, r.cam.toward)
		if s.in >= s.out || s.in >= end || s.out <= in {
			continue
		}
		inside = append(inside, stretch{s.in, s.out})
		veils = append(veils, veil{math.Max(s.in, in), fillerTint(s.normal), fillerFront})
		if s.out < end {
			veils = append(veils, veil{s.out, filler, fillerBack})
		}
	}
	return veils, inside
}

// fillerTint shades a face by where it is turned.
func fillerTint(n r3.Vec) tint {
	if n.Z > 0.5 {
		return filler.mix(chalk, 0.5)
	}
	return filler.mix(ink, 0.2*n.X*n.X)
}

// drawFillers draws the edges of the fillers, softly where they cross the pattern.
func (c *canvas) drawFillers(s *scene, cam camera, o *opaque) {
	var edges [][]r3.Vec
	for i := range s.fillers {
		f := &s.fillers[i]
		foot, top := f.around(0, 0), f.around(f.top, 0)
		edges = append(edges, append(top, top[0]))
		for k := range foot {
			if f.faces(k, cam) {
				edges = append(edges, []r3.Vec{foot[k], foot[(k+1)%len(foot)]})
			}
			if f.edgeAt(k, cam) == seenEdge {
				edges = append(edges, []r3.Vec{foot[k], top[k]})
			}
		}
	}
	if len(edges) == 0 {
		return
	}
	var seen [][]point
	for _, e := range edges {
		before, _ := o.seen(cam, e, 0)
		seen = append(seen, before...)
	}
	c.draw(line(filler.mix(ink, 0.55), 1.5), seen...)
}
