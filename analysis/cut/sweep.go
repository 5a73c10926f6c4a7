package cut

import (
	"context"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

const (
	sweepDeg  = 3    // between the upright planes looked at first
	fineDeg   = 0.25 // between those around the best
	promising = 3    // ways that are looked at finely
	leanDeg   = 15   // between planes through the spout that lean
	mostLean  = 45
	turnDeg   = 30 // between the directions of planes beside the spout
)

// upright returns the upright plane through the spout's axis whose normal is
// turned by so many degrees from +x.
func (j *judge) upright(deg float64) Sheet {
	sin, cos := math.Sincos(deg * math.Pi / 180)
	return NewPlane(j.in.Axis, r3.Vec{X: cos, Y: sin})
}

// throughSpout measures upright planes through the spout all round, and more of
// them around the best.
func (j *judge) throughSpout(ctx context.Context) ([]candidate, error) {
	var planes []Sheet
	for deg := 0.0; deg < 180; deg += sweepDeg {
		planes = append(planes, j.upright(deg))
	}
	first, err := j.measureAll(ctx, planes, true)
	if err != nil {
		return nil, err
	}
	j.tell(1)
	j.rateAgainst(first, first)
	if _, err := j.settle(ctx, first); err != nil {
		return nil, err
	}
	planes = planes[:0:0]
	tops := peaks(first)
	for _, i := range tops {
		for k := 1; k < sweepDeg/fineDeg; k++ {
			off := float64(k) * fineDeg
			planes = append(planes, j.upright(float64(i)*sweepDeg-off), j.upright(float64(i)*sweepDeg+off))
		}
	}
	fine, err := j.measureAll(ctx, planes, true)
	for k := range fine { // until they are counted
		fine[k].links = first[tops[k*len(tops)/len(fine)]].links
	}
	j.tell(2)
	return append(first, fine...), err
}

func (j *judge) tell(done int64) {
	if j.in.Progress != nil {
		j.in.Progress(done, 4)
	}
}

// peaks returns the places of the best local tops of a sweep all round.
func peaks(round []candidate) []int {
	n := len(round)
	var tops []int
	for i := range round {
		before, after := round[(i+n-1)%n].score, round[(i+1)%n].score
		if round[i].score >= before && round[i].score > after {
			tops = append(tops, i)
		}
	}
	if len(tops) == 0 {
		best, _ := extremes(round)
		tops = []int{best}
	}
	slices.SortStableFunc(tops, func(a, b int) int {
		switch {
		case round[a].score > round[b].score:
			return -1
		case round[a].score < round[b].score:
			return 1
		}
		return 0
	})
	return tops[:min(promising, len(tops))]
}

// leaning returns planes through the same point of the spout, leaned about the
// level line in the plane.
func leaning(s Sheet) []Sheet {
	var all []Sheet
	for deg := float64(leanDeg); deg <= mostLean; deg += leanDeg {
		for _, sign := range [2]float64{-1, 1} {
			sin, cos := math.Sincos(sign * deg * math.Pi / 180)
			all = append(all, NewPlane(s.Point, r3.Add(r3.Scale(cos, s.Normal), r3.Scale(sin, s.Up))))
		}
	}
	return all
}

// freePlanes measures planes that lean about the spout, and planes of all directions
// beside it: through the centroid, and a quarter of the way from there to the
// pattern's ends.
func (j *judge) freePlanes(ctx context.Context, from Sheet) ([]candidate, error) {
	lean, err := j.measureAll(ctx, leaning(from), true)
	if err != nil {
		return nil, err
	}
	normals := halfSphere(from)
	found := make([][]candidate, len(normals))
	inRows(len(normals), func(i int) {
		if ctx.Err() != nil {
			return
		}
		plane := NewPlane(j.in.Centroid, normals[i])
		sh := newShadow(j.coarse.Mesh, j.coarse.tree, &plane, screenLines)
		low, high := 0.0, 0.0
		for _, p := range j.coarse.Vertices {
			h := plane.Height(p)
			low, high = min(low, h), max(high, h)
		}
		for _, shift := range [3]float64{0, low / 4, high / 4} {
			moved := plane
			moved.Point = r3.Add(plane.Point, r3.Scale(shift, plane.Normal))
			found[i] = append(found[i], j.measure(moved, sh, shift))
		}
	})
	j.tell(3)
	return append(lean, slices.Concat(found...)...), ctx.Err()
}

// halfSphere returns directions all round, counted from an upright plane so that
// they turn with the pattern: the vertical, two rings that lean, and half a ring
// of level ones.
func halfSphere(from Sheet) []r3.Vec {
	level := r3.Unit(r3.Vec{X: from.Right.X, Y: from.Right.Y})
	across := r3.Cross(level, r3.Vec{Z: 1})
	all := []r3.Vec{{Z: 1}}
	for lean := turnDeg; lean <= 90; lean += turnDeg {
		sin, cos := math.Sincos(float64(lean) * math.Pi / 180)
		for turn := 0; turn < 360; turn += turnDeg {
			if lean == 90 && turn >= 180 {
				break
			}
			s, c := math.Sincos(float64(turn) * math.Pi / 180)
			flat := r3.Add(r3.Scale(c, across), r3.Scale(s, level))
			all = append(all, r3.Add(r3.Scale(sin, flat), r3.Vec{Z: cos}))
		}
	}
	return all
}
