// Package stand answers "which way up, and where is the spout?".
//
// Every direction of a sphere and every flat of the convex hull is tried as
// the one that points at the board, first on a coarse mesh; the best dozen are
// leaned to their best tilt and judged on a finer one, and the choice and its
// alternatives on the scan itself. The spout is where the pattern touches the
// board, the widest circle in a section just above it.
package stand

import (
	"cmp"
	"context"
	"errors"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
)

// StemMM is how long a stem is where one is needed.
const StemMM = 20

const (
	screenVertices = 10_000 // of the mesh on which all directions are judged
	secondVertices = 50_000 // of the mesh for the finalists, where the scan has more
	finalists      = 12
	apartDeg       = 20 // ways up closer than this are one alternative
	alternatives   = 4
)

// Weights of the criteria (common practice, no source).
var weights = Criteria{Detail: 3, Spout: 2, CastAir: 2, RubberAir: 1, RubberMass: 1, Height: 0.5, Stability: 0.5}

// Criteria are the parts of a score, each 0–1, higher better.
type Criteria struct {
	Detail, Spout, CastAir, RubberAir, RubberMass, Height, Stability float64
}

// Score returns the weighted mean of the criteria, 0–1.
func (c Criteria) Score() float64 {
	w := weights
	sum := w.Detail*c.Detail + w.Spout*c.Spout + w.CastAir*c.CastAir + w.RubberAir*c.RubberAir +
		w.RubberMass*c.RubberMass + w.Height*c.Height + w.Stability*c.Stability
	return sum / (w.Detail + w.Spout + w.CastAir + w.RubberAir + w.RubberMass + w.Height + w.Stability)
}

// Air is what one pour leaves trapped.
type Air struct {
	Count     int
	OnDetail  float64 // sum over the traps of the detail at their tops, 0–1 each
	VolumeMM3 float64
}

// AirFinder tells, for one mesh, what each pour traps when down points at the
// board and the cavity is open at the given vertices. It must be safe for
// concurrent use.
type AirFinder func(down r3.Vec, open []int32) (cast, rubber Air)

// Input is what the choice depends on. Lengths in mm.
type Input struct {
	Measures     mesh.Measures
	Detail       []float32 // score of each vertex, 0–1
	Down         *r3.Vec   // unit, given by the maker; nil to search
	LeastSpoutMM float64
	ClearanceMM  float64
	CoverMM      float64
	Air          func(m *mesh.Mesh, detail []float32, quick bool) AirFinder
	Progress     func(done, total int64)
}

// Way is one way up. Points and directions are in the frame of the solid.
type Way struct {
	Down            r3.Vec // unit
	Spout           r3.Vec // centre of the opening on the pattern
	SpoutDiameterMM float64
	StemMM          float64 // 0: the pattern touches the board itself
	Open            []int32 // vertices in the spout and wherever else it lies open to the board
	OtherFeet       int     // places besides the spout where the pattern touches the board
	HeightMM        float64
	Cast, Rubber    Air
	SpoutDetail     float64 // mean detail under and around the spout and on the board, 0–1
	DetailLost      float64 // share of all the pattern's detail that is, 0–1
	RubberMM3       float64 // of a rough box
	TipDeg          float64 // tilt at which it would fall over, negative: it would not stand
	Criteria        Criteria
	Score           float64
	Why             string
}

// Result lists the choice first, then its alternatives, best first.
type Result struct {
	Ways     []Way
	Searched int
}

// Choose searches the ways up of a solid: all directions on a coarse mesh, the
// best and the flats near them on a finer one, the choice and its alternatives
// on the scan itself.
func Choose(ctx context.Context, s *mesh.Solid, in Input) (Result, error) {
	if len(in.Detail) != len(s.Vertices) {
		return Result{}, errors.New("detail and vertices do not match")
	}
	flats := hullFlats(s)
	ds := append(sphere(s, in.Measures), flats...)
	first := newJudge(s.Mesh, in, screenVertices, true)
	ways, err := first.all(ctx, ds, int64(len(ds)))
	if err != nil {
		return Result{}, err
	}
	finals, err := first.leaned(ctx, bestApart(nil, ways, finalists))
	if err != nil {
		return Result{}, err
	}
	second := newJudge(s.Mesh, in, secondVertices, false)
	if ways, err = second.all(ctx, withFlats(finals, flats), 0); err != nil {
		return Result{}, err
	}
	var tried []r3.Vec
	if in.Down != nil {
		tried = append(tried, *in.Down)
	}
	for _, w := range bestApart(nil, ways, alternatives+2) {
		tried = append(tried, w.Down)
	}
	full := second
	if second.m != s.Mesh {
		full = newJudge(s.Mesh, in, len(s.Vertices), false)
	}
	if ways, err = full.all(ctx, tried, 0); err != nil {
		return Result{}, err
	}
	ways = rank(ways, in.Down != nil)
	for i := range ways {
		ways[i].Why = why(ways, i)
	}
	return Result{Ways: ways, Searched: len(ds)}, nil
}

// withFlats returns directions and, for each, the largest flat near it: a flat
// that a coarse mesh has blurred.
func withFlats(downs, flats []r3.Vec) []r3.Vec {
	near := math.Cos(apartDeg * math.Pi / 180)
	var ds []r3.Vec
	for _, d := range downs {
		ds = append(ds, d)
		for _, f := range flats {
			if r3.Dot(f, d) > near {
				if !slices.Contains(ds, f) {
					ds = append(ds, f)
				}
				break
			}
		}
	}
	return ds
}

// rank scores ways against each other and keeps the choice and its
// alternatives. The first way stays the choice when the maker gave it.
func rank(ways []Way, given bool) []Way {
	l := leastOf(ways)
	for i := range ways {
		ways[i].rate(l)
	}
	var chosen []Way
	if given {
		chosen, ways = ways[:1:1], ways[1:]
	}
	return bestApart(chosen, ways, alternatives+1)
}

// leasts are the best figures among ways, which others are compared with.
type leasts struct{ rubber, height float64 }

func leastOf(ways []Way) leasts {
	l := leasts{math.Inf(1), math.Inf(1)}
	for _, w := range ways {
		l.rubber, l.height = min(l.rubber, w.RubberMM3), min(l.height, w.HeightMM)
	}
	return l
}

// rate fills the criteria that compare a way with others, and the score.
func (w *Way) rate(l leasts) {
	w.Criteria.RubberMass, w.Criteria.Height = min(1, l.rubber/w.RubberMM3), min(1, l.height/w.HeightMM)
	w.Score = w.Criteria.Score()
}

// bestApart adds to chosen, up to n in all, the best of ways that are not
// within apartDeg of a better one.
func bestApart(chosen, ways []Way, n int) []Way {
	sorted := slices.Clone(ways)
	slices.SortStableFunc(sorted, func(a, b Way) int { return cmp.Compare(b.Score, a.Score) })
	near := math.Cos(apartDeg * math.Pi / 180)
	for _, w := range sorted {
		if len(chosen) == n {
			break
		}
		if !slices.ContainsFunc(chosen, func(b Way) bool { return r3.Dot(b.Down, w.Down) > near }) {
			chosen = append(chosen, w)
		}
	}
	return chosen
}
