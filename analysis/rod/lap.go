package rod

import (
	"context"
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// lapped is two rods side by side for a lap.
type lapped struct {
	first, second Segment
	lapMM         float64
}

// reach is how far apart the outer ends are.
func (l lapped) reach() float64 { return r3.Norm(r3.Sub(l.second.To, l.first.From)) }

const (
	azimuths = 16
	// The axes are apart by at least a diameter, and over the lap by at most
	// lapApart of them, so that a lashing holds (common practice, no source).
	lapApart   = 2.0
	lapFirsts  = 6    // rods that a second one is tried on
	firstShare = 0.7  // they are at least this share of the longest
	lapTouch   = 1.02 // of a diameter: rods that touch, and a hair
)

// lapped returns the two rods that together reach farthest; nil for none.
func (r *room) lapped(ctx context.Context, free []Segment) (*lapped, error) {
	var best *lapped
	for i, first := range free {
		if i == lapFirsts || first.Length() < firstShare*free[0].Length() {
			break
		}
		for _, turned := range [2]Segment{first, first.turned()} {
			if err := ctx.Err(); err != nil {
				return nil, err
			}
			if l := r.lapAtEnd(turned); l != nil && (best == nil || l.reach() > best.reach()) {
				best = l
			}
		}
	}
	return best, nil
}

// lapAtEnd puts a second rod beside the end of a first, in the directions that
// keep the two together over the lap.
func (r *room) lapAtEnd(first Segment) *lapped {
	d, lap := r.in.DiameterMM, leastLength(r.in.DiameterMM)
	if first.Length() < lap {
		return nil
	}
	u := first.Along()
	x := r3.Unit(r3.Cross(u, axes[2*leastAxis(u)]))
	y := r3.Cross(u, x)
	beside := func(p r3.Vec, i int, apart float64) r3.Vec {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / azimuths)
		return r3.Add(p, r3.Scale(apart, r3.Add(r3.Scale(cos, x), r3.Scale(sin, y))))
	}
	back := r3.Sub(first.To, r3.Scale(lap, u))
	var found *lapped
	for i := range azimuths {
		from := beside(back, i, lapTouch*d)
		for j := -2; j <= 2; j++ {
			for _, apart := range [3]float64{lapTouch, (lapTouch + lapApart) / 2, 0.99 * lapApart} {
				pass := beside(first.To, i+j, apart*d)
				l := r.secondRod(first, from, pass)
				if l != nil && (found == nil || l.reach() > found.reach()) {
					found = l
				}
			}
		}
	}
	if found == nil {
		return nil
	}
	sure, _ := r.proved(found.second)
	found.second = sure
	found.lapMM = found.lap(d)
	if found.lapMM < 0.97*lap || found.apart() < d {
		return nil
	}
	return found
}

// secondRod runs a rod from beside the first on past its end, as far as the field
// lets it.
func (r *room) secondRod(first Segment, from, pass r3.Vec) *lapped {
	along := Segment{from, pass}
	line := Segment{from, r3.Add(from, r3.Scale(r.in.LongestMM, along.Along()))}
	if line.Length() == 0 || !r.clear(along, r.reach+r.margin) {
		return nil
	}
	w := runs{tol: r.voxelMM / 4, hopeful: true, slack: func(x float64) float64 {
		return r.depth(line.At(x/line.Length())) - r.reach - r.margin
	}}
	all := w.over(line.Length())
	if len(all) == 0 || all[0].from > 0 {
		return nil
	}
	l := &lapped{first: first, second: line.part(all[0])}
	if l.second.Length() < 1.5*leastLength(r.in.DiameterMM) || l.apart() < r.in.DiameterMM {
		return nil
	}
	return l
}

// apart is the least distance of the two axes. Along the second the distance from
// the first is convex, so thirds of it can be left out one after another.
func (l lapped) apart() float64 {
	away := func(t float64) float64 { return l.first.awayFrom(l.second.At(t), 0).deep }
	lo, hi := 0.0, 1.0
	for range 60 {
		a, b := lo+(hi-lo)/3, hi-(hi-lo)/3
		if away(a) <= away(b) {
			hi = b
		} else {
			lo = a
		}
	}
	return away((lo + hi) / 2)
}

// lap returns how long the second rod's beginning lies beside the first, mm.
func (l lapped) lap(diameterMM float64) float64 {
	const stepMM = 0.25
	length := l.second.Length()
	for x := 0.0; x < length; x += stepMM {
		c := l.first.awayFrom(l.second.At(x/length), 0)
		if c.deep > lapApart*diameterMM || c.t >= 1 || c.t <= 0 {
			return x
		}
	}
	return length
}
