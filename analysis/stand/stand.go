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
	screenVertices = 20_000
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
	Air          func(m *mesh.Mesh, detail []float32, screen bool) AirFinder
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
	SpoutDetail     float64 // mean detail under and around the spout, 0–1
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

// Choose searches the ways up of a solid.
func Choose(ctx context.Context, s *mesh.Solid, in Input) (Result, error) {
	if len(in.Detail) != len(s.Vertices) {
		return Result{}, errors.New("detail and vertices do not match")
	}
	coarse, detail := screenMesh(s, in)
	ds := directions(s, in.Measures)
	j := newJudge(coarse, detail, in, true)
	screened, err := j.all(ctx, ds, int64(len(ds)))
	if err != nil {
		return Result{}, err
	}
	best := bestApart(nil, screened, finalists)
	tried := make([]r3.Vec, 0, len(best)+1)
	if in.Down != nil {
		tried = append(tried, *in.Down)
	}
	for _, w := range best {
		tried = append(tried, w.Down)
	}
	full := newJudge(s.Mesh, in.Detail, in, false)
	ways, err := full.all(ctx, tried, 0)
	if err != nil {
		return Result{}, err
	}
	ways = rank(ways, in.Down != nil)
	for i := range ways {
		ways[i].Why = why(ways, i)
	}
	return Result{Ways: ways, Searched: len(ds)}, nil
}

// rank scores ways against each other and keeps the choice and its
// alternatives. The first way stays the choice when the maker gave it.
func rank(ways []Way, given bool) []Way {
	relative(ways)
	var chosen []Way
	if given {
		chosen, ways = ways[:1:1], ways[1:]
	}
	return bestApart(chosen, ways, alternatives+1)
}

// relative fills the criteria that compare a way with the best of all, and
// with them the score.
func relative(ways []Way) {
	rubber, height := math.Inf(1), math.Inf(1)
	for _, w := range ways {
		rubber, height = min(rubber, w.RubberMM3), min(height, w.HeightMM)
	}
	for i := range ways {
		w := &ways[i]
		w.Criteria.RubberMass, w.Criteria.Height = rubber/w.RubberMM3, height/w.HeightMM
		w.Score = w.Criteria.Score()
	}
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

// screenMesh returns a coarse copy of s with its detail.
func screenMesh(s *mesh.Solid, in Input) (*mesh.Mesh, []float32) {
	cell := 0.0
	if len(s.Vertices) > screenVertices {
		cell = math.Sqrt(in.Measures.AreaMM2 / screenVertices)
	}
	coarse, to := s.Clustered(cell)
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
	hull   []r3.Vec
	air    AirFinder
	depth  float64 // of the section in which the spout is measured
}

func newJudge(m *mesh.Mesh, detail []float32, in Input, screen bool) *judge {
	j := &judge{m: m, in: in, detail: detail, area: make([]float64, len(m.Vertices)), depth: contactMM}
	total := 0.0
	for f, t := range m.Faces {
		a := r3.Norm(m.DoubleAreaNormal(f)) / 6
		total += 3 * a
		for _, v := range t {
			j.area[v] += a
		}
	}
	if screen {
		j.depth = max(contactMM, math.Sqrt(total/float64(1+len(m.Faces)))/2)
	}
	j.hull = m.Vertices
	if h, err := mesh.Hull(m.Vertices); err == nil {
		j.hull = h.Vertices
	}
	j.air = in.Air(m, detail, screen)
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
	relative(ways)
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
	w.SpoutDetail = j.detailAround(c)
	w.RubberMM3 = j.roughRubber(up, w)
	w.TipDeg = j.tip(up, c, w.StemMM)
	v := j.in.Measures.VolumeMM3
	w.Criteria = Criteria{
		Detail:    1 - min(1, 2*w.SpoutDetail),
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

// detailAround returns the mean detail of the surface that the spout scars: all
// within 3 mm of its rim and no higher than its radius above the board.
func (j *judge) detailAround(c contact) float64 {
	reach := max(c.diameter, j.in.LeastSpoutMM)/2 + 3
	sum, area := 0.0, 0.0
	for v, h := range c.height {
		if h > reach {
			continue
		}
		if r3.Norm2(r3.Sub(j.m.Vertices[v], c.centre)) <= reach*reach {
			sum += float64(j.detail[v]) * j.area[v]
			area += j.area[v]
		}
	}
	if area == 0 {
		return float64(j.detail[c.lowest])
	}
	return sum / area
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
