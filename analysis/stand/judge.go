package stand

import (
	"context"
	"math"
	"runtime"
	"sync"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
)

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

// all judges directions and scores them against each other. A total above zero
// is what progress counts up to.
func (j *judge) all(ctx context.Context, ds []r3.Vec, total int64) ([]Way, error) {
	ways := make([]Way, len(ds))
	err := eachOf(ctx, len(ds), func(i int) {
		if total > 0 && j.in.Progress != nil {
			j.in.Progress(int64(i), total)
		}
	}, func(i int) { ways[i] = j.way(ds[i]) })
	j.least = leastOf(ways)
	for i := range ways {
		ways[i].rate(j.least)
	}
	return ways, err
}

// eachOf does 0..n on every processor, telling of each before it is begun, and
// stops early when ctx ends.
func eachOf(ctx context.Context, n int, tell, do func(i int)) error {
	next := make(chan int)
	var wg sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		wg.Go(func() {
			for i := range next {
				do(i)
			}
		})
	}
	for i := 0; i < n && ctx.Err() == nil; i++ {
		tell(i)
		next <- i
	}
	close(next)
	wg.Wait()
	return ctx.Err()
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
	} else {
		w.Open, w.OtherFeet = c.onBoard(j.depth), c.others
	}
	w.Cast, w.Rubber = j.air(down, w.Open)
	w.SpoutDetail, w.DetailLost = j.scarredDetail(c, w.StemMM == 0)
	w.RubberMM3 = j.roughRubber(up, w)
	w.TipDeg = j.tip(up, c, w.StemMM)
	v := j.in.Measures.VolumeMM3
	w.Criteria = Criteria{
		Detail: 1 - min(1, max(2*w.SpoutDetail, 4*w.DetailLost)),
		// Each other place on the board is one more hole in the mold.
		Spout:     min(1, c.diameter/j.in.LeastSpoutMM) / (1 + 0.3*float64(w.OtherFeet)),
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
