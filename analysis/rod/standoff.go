package rod

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// Standoff is a bridge that holds a rod off the nearest wall of the mold while
// the casting material sets: a piece of the same material, cast before.
type Standoff struct {
	OnRod     r3.Vec  // on the axis
	OnSurface r3.Vec  // nearest place of the surface that is rubber
	LengthMM  float64 // between the rod's side and the surface
}

// Bridges are a fifth of the length from either end, where an evenly loaded beam
// on two supports sags least between and beyond them (at 0.207 of its length;
// common practice, no source).
var bridges = [2]float64{0.2, 0.8}

func (r *room) standoffs(s Segment) []Standoff {
	var all []Standoff
	for _, t := range bridges {
		c, ok := r.onRubber(s.At(t), s.Along())
		if !ok {
			continue
		}
		all = append(all, Standoff{OnRod: c.at, OnSurface: c.on, LengthMM: c.deep - r.in.DiameterMM/2})
	}
	return all
}

// cover returns the least cover over rods, from the surface itself, as the places
// proved leave it: no less than asked, and right to the margin.
func (r *room) cover(rods []Segment) float64 {
	least := 0.0
	for i, s := range rods {
		for k, c := range r.tight(s, 0, thorough) {
			if cover := c.deep - r.in.DiameterMM/2; i+k == 0 || cover < least {
				least = cover
			}
		}
	}
	return least
}

// stops returns the places of the surface that keep a rod from being longer.
func (r *room) stops(s Segment) []r3.Vec {
	return []r3.Vec{r.touch(s.From, math.Inf(1)).on, r.touch(s.To, math.Inf(1)).on}
}
