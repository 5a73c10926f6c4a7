// Package stand answers "which way up, and where is the spout?".
//
// Every direction of a sphere and every flat of the convex hull is tried as
// the one that points at the board, first on a coarse mesh; the best dozen are
// then judged on the scan itself. The spout is where the pattern touches the
// board, the widest circle in a section just above it.
package stand

import (
	"cmp"
	"context"
	"errors"
	"math"
	"runtime"
	"slices"
	"sync"

	"gonum.org/v1/gonum/spatial/r2"
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
	Open            []int32 // vertices in the spout
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

// reduced returns a copy of m of about so many vertices, with its detail; m
// itself when it has no more.
func reduced(m *mesh.Mesh, in Input, vertices int) (*mesh.Mesh, []float32) {
	if len(m.Vertices) <= vertices {
		return m, in.Detail
	}
	coarse, to := m.Clustered(math.Sqrt(in.Measures.AreaMM2 / float64(vertices)))
	sum, count := make([]float32, len(coarse.Vertices)), make([]float32, len(coarse.Vertices))
	for v, c := range to {
		sum[c] += in.Detail[v]
		count[c]++
	}
	for c := range sum {
		sum[c] /= count[c]
	}
	return coarse, sum
}

// judge looks at ways up of one mesh.
type judge struct {
	m      *mesh.Mesh
	in     Input
	detail []float32
	area   []float64 // a third of the faces at each vertex
	// Σ detail·area, at least that of a part with hardly any.
	allDetail float64
	hull      []r3.Vec
	air       AirFinder
	depth     float64 // of the section in which the spout is measured
	least     leasts  // of the ways that all has judged
}

// newJudge prepares a mesh, reduced to about so many vertices. A quick judge
// looks less closely at the air.
func newJudge(m *mesh.Mesh, in Input, vertices int, quick bool) *judge {
	m, detail := reduced(m, in, vertices)
	j := &judge{m: m, in: in, detail: detail, area: make([]float64, len(m.Vertices)), depth: contactMM}
	total := 0.0
	for f, t := range m.Faces {
		a := r3.Norm(m.DoubleAreaNormal(f)) / 6
		total += 3 * a
		for _, v := range t {
			j.area[v] += a
		}
	}
	for v, a := range j.area {
		j.allDetail += float64(detail[v]) * a
	}
	j.allDetail = max(j.allDetail, 0.02*total)
	if len(detail) != len(in.Detail) {
		j.depth = max(contactMM, math.Sqrt(total/float64(1+len(m.Faces)))/2)
	}
	j.hull = m.Vertices
	if h, err := mesh.Hull(m.Vertices); err == nil {
		j.hull = h.Vertices
	}
	j.air = in.Air(m, detail, quick)
	return j
}

// all judges directions on every processor and scores them against each other.
func (j *judge) all(ctx context.Context, ds []r3.Vec, total int64) ([]Way, error) {
	ways := make([]Way, len(ds))
	next := make(chan int)
	var wg sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		wg.Go(func() {
			for i := range next {
				ways[i] = j.way(ds[i])
			}
		})
	}
	var err error
	for i := range ds {
		if err = ctx.Err(); err != nil {
			break
		}
		if total > 0 && j.in.Progress != nil {
			j.in.Progress(int64(i), total)
		}
		next <- i
	}
	close(next)
	wg.Wait()
	j.least = leastOf(ways)
	for i := range ways {
		ways[i].rate(j.least)
	}
	return ways, err
}

// way judges one direction, all but what is relative to the others.
func (j *judge) way(down r3.Vec) Way {
	up := r3.Scale(-1, down)
	c := touch(j.m, up, j.depth)
	w := Way{Down: down, Spout: c.centre, SpoutDiameterMM: c.diameter, Open: c.open}
	for _, h := range c.height {
		w.HeightMM = max(w.HeightMM, h)
	}
	if c.diameter < j.in.LeastSpoutMM {
		w.StemMM = StemMM
	}
	w.Cast, w.Rubber = j.air(down, c.open)
	w.SpoutDetail, w.DetailLost = j.scarredDetail(c, w.StemMM == 0)
	w.RubberMM3 = j.roughRubber(up, w)
	w.TipDeg = j.tip(up, c, w.StemMM)
	v := j.in.Measures.VolumeMM3
	w.Criteria = Criteria{
		Detail:    1 - min(1, max(2*w.SpoutDetail, 4*w.DetailLost)),
		Spout:     min(1, c.diameter/j.in.LeastSpoutMM),
		CastAir:   airScore(w.Cast, v),
		RubberAir: airScore(w.Rubber, v),
		Stability: min(1, max(0, w.TipDeg/30)),
	}
	return w
}

// airScore is 1 without traps; each trap costs, one on detail twice as much,
// and so does the share of the pattern's volume that is lost.
func airScore(a Air, volume float64) float64 {
	return 1 / (1 + 0.4*(float64(a.Count)+a.OnDetail) + 10*a.VolumeMM3/volume)
}

const (
	// Where the pattern is nearer to the board than this, the rubber between is
	// too thin to hold and the surface is lost (common practice, no source).
	webMM = 3
	// Cutting off the spout scars this far beyond its rim, and this far up.
	scarMM, scarUpMM = 3, 6
)

// scarredDetail returns the mean detail of the surface that this way up scars,
// and which share of all detail that is: all around the spout and, when the
// pattern lies on the board itself, all that is too close to the board.
func (j *judge) scarredDetail(c contact, onBoard bool) (mean, share float64) {
	reach := max(c.diameter, j.in.LeastSpoutMM)/2 + scarMM
	sum, area := 0.0, 0.0
	for v, h := range c.height {
		if h > scarUpMM {
			continue
		}
		beside2 := r3.Norm2(r3.Sub(j.m.Vertices[v], c.centre)) - h*h
		if beside2 <= reach*reach || onBoard && h < webMM {
			sum += float64(j.detail[v]) * j.area[v]
			area += j.area[v]
		}
	}
	if area == 0 {
		return float64(j.detail[c.lowest]), 0
	}
	return sum / area, sum / j.allDetail
}

// roughRubber returns the rubber of a box with the usual clearance all round.
func (j *judge) roughRubber(up r3.Vec, w Way) float64 {
	x, y := mesh.Frame(up)
	flat := make([]r2.Vec, len(j.hull))
	for i, p := range j.hull {
		flat[i] = r2.Vec{X: r3.Dot(x, p), Y: r3.Dot(y, p)}
	}
	r := mesh.MinAreaRect(flat)
	c := 2 * j.in.ClearanceMM
	box := (r.Size[0] + c) * (r.Size[1] + c) * (w.HeightMM + w.StemMM + j.in.CoverMM)
	return max(box-j.in.Measures.VolumeMM3, 0.01*box)
}
