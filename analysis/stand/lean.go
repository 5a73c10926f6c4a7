package stand

import (
	"context"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
)

// leaned returns the down directions of ways after small tilts that better the
// score: the spiral of directions alone would stand a cane up crooked.
func (j *judge) leaned(ctx context.Context, ways []Way) ([]r3.Vec, error) {
	downs := make([]r3.Vec, len(ways))
	err := eachOf(ctx, len(ways), func(int) {}, func(i int) { downs[i] = j.lean(ways[i]) })
	return downs, err
}

// lean tilts a way by 4° and less, whichever way is better, until none is.
func (j *judge) lean(best Way) r3.Vec {
	const mostRounds = 4
	for _, deg := range []float64{4, 2, 1, 0.5} {
		t := math.Tan(deg * math.Pi / 180)
		for range mostRounds {
			before := best.Score
			x, y := mesh.Frame(best.Down)
			for _, d := range []r3.Vec{x, y, r3.Scale(-1, x), r3.Scale(-1, y)} {
				w := j.way(r3.Unit(r3.Add(best.Down, r3.Scale(t, d))))
				w.rate(j.least)
				if w.Score > best.Score+1e-4 {
					best = w
				}
			}
			if best.Score == before {
				break
			}
		}
	}
	return best.Down
}
