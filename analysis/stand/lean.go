package stand

import (
	"context"
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// Tilts that are tried around a finalist, degrees: an even spiral of directions
// alone would stand a cane up crooked.
var (
	coarseTilts = []float64{4, 2, 1, 0.5}
	fineTilts   = []float64{0.8, 0.4, 0.2}
)

// leaned returns ways after small tilts that better their score.
func (j *judge) leaned(ctx context.Context, ways []Way, tilts []float64) ([]Way, error) {
	leant := make([]Way, len(ways))
	err := eachOf(ctx, len(ways), func(int) {}, func(i int) { leant[i] = j.lean(ways[i], tilts) })
	return leant, err
}

// leastGain is by how much a tilt has to better the score.
const leastGain = 1e-3

// lean tilts a way, whichever way is best, until none is better.
func (j *judge) lean(best Way, tilts []float64) Way {
	const mostRounds = 4
	for _, deg := range tilts {
		for range mostRounds {
			next := j.tilted(best, math.Tan(deg*math.Pi/180))
			if next.Down == best.Down {
				break
			}
			best = next
		}
	}
	return best
}

// tilted returns the best of a way and its four tilts. On a coarse mesh the
// air of those that could be better without any is counted; on a fine one it
// takes too long, and the small tilts there take the way's own air along.
func (j *judge) tilted(best Way, t float64) Way {
	next := best
	x, y := tangents(best.Down)
	for _, d := range [4]r3.Vec{x, y, r3.Scale(-1, x), r3.Scale(-1, y)} {
		down := r3.Unit(r3.Add(best.Down, r3.Scale(t, d)))
		if j.wish != nil && j.refuses(down) != "" {
			continue
		}
		w := j.outline(down)
		if !j.quick {
			j.takeAir(&w, best)
		}
		if w.Score <= next.Score+leastGain {
			continue
		}
		if j.quick {
			j.addAir(&w)
		}
		if w.Score > next.Score+leastGain {
			next = w
		}
	}
	return next
}
