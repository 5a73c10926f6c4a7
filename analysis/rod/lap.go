package rod

import (
	"context"
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// lapped is two rods that pass each other, close enough to be bound together
// there, and go on beyond that place for half a lap each.
type lapped struct {
	first, second Segment
	tie           r3.Vec // midway between the axes where they pass
}

// reach is how far apart the outer ends are.
func (l lapped) reach() float64 { return r3.Norm(r3.Sub(l.second.To, l.first.From)) }

const (
	lapTouch  = 1.02 // of a diameter between the axes: rods that touch, and a hair
	lapFirsts = 4    // rods that a second one is tried on
	// A first rod sawn shorter may let the second one reach farther.
	firstSteps, firstStep = 5, 0.12
	// Second rods leave at up to mostTurn from the first's direction, tried in rings
	// and then more closely around the best.
	mostTurn, turnRings = 75 * math.Pi / 180, 10
	turnCloser          = 6
)

// lapped returns the two rods that together reach farthest; nil for none.
func (r *room) lapped(ctx context.Context, free []Segment) (*lapped, error) {
	var best *lapped
	for _, whole := range free[:min(len(free), lapFirsts)] {
		for _, turned := range [2]Segment{whole, whole.turned()} {
			for i := range firstSteps {
				if err := ctx.Err(); err != nil {
					return nil, err
				}
				first := Segment{turned.From, turned.At(1 - firstStep*float64(i))}
				if l := r.lapAtEnd(first); l != nil && (best == nil || l.reach() > best.reach()) {
					best = l
				}
			}
		}
	}
	return best, nil
}

// lapAtEnd passes a second rod by a first one, half a lap before its end.
func (r *room) lapAtEnd(first Segment) *lapped {
	half := leastLength(r.in.DiameterMM) / 2
	if first.Length() < 2*half {
		return nil
	}
	u := first.Along()
	x, y := across(u)
	at := first.At(1 - half/first.Length())
	var best *lapped
	var bestTurn, bestRound float64
	try := func(turn, round float64) {
		st, ct := math.Sincos(turn)
		sr, cr := math.Sincos(round)
		way := r3.Add(r3.Scale(cr, x), r3.Scale(sr, y)) // across u, where the second turns to
		side := r3.Cross(u, way)                        // across both
		along := r3.Add(r3.Scale(ct, u), r3.Scale(st, way))
		for _, sign := range [2]float64{1, -1} {
			off := r3.Scale(sign*lapTouch*r.in.DiameterMM, side)
			if l := r.secondRod(first, r3.Add(at, off), along, half); l != nil && (best == nil || l.reach() > best.reach()) {
				l.tie = r3.Add(at, r3.Scale(0.5, off))
				best, bestTurn, bestRound = l, turn, round
			}
		}
	}
	step := mostTurn / turnRings
	for i := range turnRings + 1 {
		n := max(8, 6*i)
		for k := range n {
			try(float64(i)*step, 2*math.Pi*float64(k)/float64(n))
		}
	}
	for range turnCloser {
		step /= 2
		turn, round := bestTurn, bestRound
		for i := -1; i <= 1; i++ {
			for k := -1; k <= 1; k++ {
				try(turn+float64(i)*step, round+float64(k)*step/max(0.2, math.Sin(turn)))
			}
		}
	}
	return r.proveLapped(best, half)
}

// secondRod runs a rod through a point along a unit vector, from half a lap
// before it as far as the field lets it.
func (r *room) secondRod(first Segment, through, along r3.Vec, half float64) *lapped {
	start := r3.Sub(through, r3.Scale(half, along))
	line := Segment{start, r3.Add(start, r3.Scale(2*r.in.LongestMM, along))}
	need := r.reach + r.margin + r.voxelMM/4 // the field's doubt, mostly
	if !r.clear(Segment{start, r3.Add(through, r3.Scale(half, along))}, need) {
		return nil
	}
	w := runs{tol: r.voxelMM / 4, hopeful: true, slack: func(x float64) float64 { return r.depth(line.At(x/line.Length())) - need }}
	all := w.over(line.Length())
	if len(all) == 0 || all[0].from > 0 {
		return nil
	}
	return &lapped{first: first, second: line.part(all[0])}
}

// proveLapped keeps two rods when the second's cover is proved and it does not
// run into the first.
func (r *room) proveLapped(l *lapped, half float64) *lapped {
	if l == nil {
		return nil
	}
	sure, _ := r.proved(l.second)
	before := r3.Dot(r3.Sub(l.tie, sure.From), sure.Along())
	l.second = sure
	if before < 0.95*half || sure.Length() < 2*half || l.apart() < r.in.DiameterMM {
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

// across returns two unit vectors that make a right-handed frame (x, y, u).
func across(u r3.Vec) (x, y r3.Vec) {
	x = r3.Unit(r3.Cross(u, axes[2*leastAxis(u)]))
	return x, r3.Cross(u, x)
}
