package stand

import (
	"context"
	"math"
	"runtime"
	"slices"
	"sync"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
)

// reduced returns a copy of m of about so many vertices, with its detail; m
// itself when it has no more.
func reduced(m *mesh.Mesh, detail []float32, areaMM2 float64, vertices int) (*mesh.Mesh, []float32) {
	if len(m.Vertices) <= vertices {
		return m, detail
	}
	coarse, to := m.Clustered(math.Sqrt(areaMM2 / float64(vertices)))
	sum, count := make([]float32, len(coarse.Vertices)), make([]float32, len(coarse.Vertices))
	for v, c := range to {
		sum[c] += detail[v]
		count[c]++
	}
	for c := range sum {
		sum[c] /= count[c]
	}
	return coarse, sum
}

// judge looks at ways up of one mesh, in the own frame.
type judge struct {
	m         *mesh.Mesh
	in        *Input // lengths and measures, in the own frame
	wish      *wish
	best      leasts
	detail    []float32
	area      []float64 // a third of the faces at each vertex
	weighed   []float64 // detail of each vertex times the area it is known for
	allDetail float64   // detail²·area of all, at least that of a part with hardly any
	hull      []r3.Vec
	rim       []r3.Vec // enough of the hull to tell its shadow by
	air       AirFinder
	quick     bool    // it counts air quickly
	depth     float64 // of the section in which the spout is measured
	share     float64 // to which its circle is found
}

// newJudge prepares a mesh. That it is as fine as the scan is told by exact.
func newJudge(m *mesh.Mesh, detail []float32, in *Input, exact bool) *judge {
	j := &judge{m: m, in: in, detail: detail, area: make([]float64, len(m.Vertices)), depth: contactMM, share: 0.01}
	total := 0.0
	for f, t := range m.Faces {
		a := r3.Norm(m.DoubleAreaNormal(f)) / 6
		total += 3 * a
		for _, v := range t {
			j.area[v] += a
		}
	}
	// The middle of a large face says nothing about its corners, nor they about it.
	known := math.Pi * in.detailRadius() * in.detailRadius()
	if !exact {
		known = max(known, 1.5*total/float64(len(m.Vertices)))
	}
	for v, a := range j.area {
		j.weighed = append(j.weighed, float64(detail[v])*min(a, known))
		j.allDetail += float64(detail[v]) * j.weighed[v]
	}
	j.allDetail = max(j.allDetail, 0.05*total)
	if !exact {
		j.depth = max(contactMM, math.Sqrt(total/float64(1+len(m.Faces)))/2)
	}
	return j
}

// on judges directions with a judge's way of looking at them.
func on(ctx context.Context, ds []r3.Vec, tell func(i int), look func(down r3.Vec) Way) ([]Way, error) {
	ways := make([]Way, len(ds))
	err := eachOf(ctx, len(ds), tell, func(i int) { ways[i] = look(ds[i]) })
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

// way judges one direction in full.
func (j *judge) way(down r3.Vec) Way {
	w := j.outline(down)
	j.addAir(&w)
	return w
}

// outline judges what is quick to tell: all but the air, which counts as not
// there at all, so that the score is a bound of the true one.
func (j *judge) outline(down r3.Vec) Way {
	b := newBoard(down)
	c := j.touch(b)
	if j.wish != nil {
		j.lookAtWish(b, &c)
	} else {
		j.look(b, &c)
	}
	var best Way
	for i, o := range c.openings {
		if w := j.through(b, c, o); i == 0 || w.Score > best.Score+tieScore {
			best = w
		}
	}
	return best
}

// through judges a way with its spout in one opening.
func (j *judge) through(b board, c contact, o opening) Way {
	rise := r3.Dot(b.up, o.centre) - c.low
	w := Way{Down: r3.Scale(-1, b.up), Spout: o.centre, SpoutDiameterMM: o.diameter, OtherFeet: o.others, HeightMM: slices.Max(c.height)}
	if j.in.StemMM > 0 || o.diameter < j.in.LeastSpoutMM || !j.onBoard(rise) {
		w.StemMM, w.OtherFeet = j.in.stemLength(), 0
	}
	w.SpoutDetail, w.DetailLost = j.scarredDetail(w, b, c, o, rise)
	w.RubberMM3 = j.roughRubber(w, b, rise)
	w.TipDeg = j.tip(w, b, c)
	wide := o.diameter
	if w.StemMM > 0 {
		wide = min(wide, j.in.LeastSpoutMM)
	}
	w.Criteria = Criteria{
		Detail: 1 - min(1, max(2*w.SpoutDetail, 4*w.DetailLost)),
		// Each other place on the board is one more hole in the mold.
		Spout:      openingScore(wide, j.in.LeastSpoutMM) / (1 + 0.3*float64(w.OtherFeet)),
		CastAir:    1,
		RubberAir:  1,
		RubberMass: min(1, j.best.rubber/w.RubberMM3),
		Height:     min(1, j.best.height/w.HeightMM),
		Stability:  min(1, max(0, w.TipDeg/30)),
		Necks:      math.NaN(),
	}
	w.NeckMM = math.NaN()
	if j.in.Passage != nil {
		w.NeckMM, w.BehindMM3 = j.in.Passage(w.Spout, j.spoutMM(w))
		w.Criteria[Necks] = j.neckScore(w)
	}
	w.Score = w.Criteria.Score(j.in.Weights)
	return w
}

// spoutMM is the diameter of a way's spout: the stem's where there is one.
func (j *judge) spoutMM(w Way) float64 {
	if w.StemMM > 0 {
		return j.in.LeastSpoutMM
	}
	return w.SpoutDiameterMM
}

// addAir fills in what each pour traps.
func (j *judge) addAir(w *Way) {
	w.Open = j.openings(*w)
	w.Cast, w.Rubber = j.air(w.Down, w.Open)
	j.rateAir(w)
}

// takeAir gives a way the air of another.
func (j *judge) takeAir(w *Way, from Way) {
	w.Open, w.Cast, w.Rubber = from.Open, from.Cast, from.Rubber
	j.rateAir(w)
}

// rateAir scores a way by its traps.
func (j *judge) rateAir(w *Way) {
	v := j.in.Measures.VolumeMM3
	w.Criteria[CastAir], w.Criteria[RubberAir] = castAirScore(w.Cast, v), rubberAirScore(w.Rubber, v)
	w.Score = w.Criteria.Score(j.in.Weights)
}

const (
	// Where the pattern is nearer to the board than this, the rubber between is
	// too thin to hold and the surface is lost (common practice, no source).
	webMM = 3
	// Cutting off the spout scars this far beyond its rim, and this far up.
	scarMM, scarUpMM = 3, 6
	fadeMM           = 0.75
)

// scarredDetail returns the mean detail of the surface that this way up scars,
// and which share of all detail is lost there, where what is finer counts more
// than a plain edge: all around the spout and, when the pattern lies on the board
// itself, all that is too close to the board. The edge of a flat that stands on
// the board counts as plain: the spout is trimmed along it.
func (j *judge) scarredDetail(w Way, b board, c contact, o opening, rise float64) (mean, share float64) {
	wide := w.SpoutDiameterMM
	if w.StemMM > 0 {
		wide = 0 // the stem is as wide as the least spout, whatever it stands on
	}
	reach := max(wide, j.in.LeastSpoutMM)/2 + scarMM
	edge := j.in.detailRadius() + j.depth
	sum, lost, area := 0.0, 0.0, 0.0
	for v, h := range c.height {
		if h > rise+scarUpMM+fadeMM {
			continue
		}
		p := j.m.Vertices[v]
		beside := math.Sqrt(max(0, r3.Norm2(r3.Sub(p, o.centre))-(h-rise)*(h-rise)))
		scarred := upTo(math.Abs(h-rise), scarUpMM) * upTo(beside, reach)
		if w.StemMM == 0 {
			scarred = max(scarred, upTo(h, webMM))
		}
		if scarred == 0 {
			continue
		}
		area += scarred * j.area[v]
		if low := upTo(h, edge); w.StemMM == 0 && low > 0 {
			scarred *= 1 - low*upTo(math.Abs(insideDistance(o.rings, b.flat(p))), edge)
		}
		sum += scarred * j.weighed[v]
		lost += scarred * j.weighed[v] * float64(j.detail[v])
	}
	if area == 0 { // within a large face
		return 0, 0
	}
	return sum / area, lost / j.allDetail
}

// upTo is 1 for x below a limit and 0 above, and falls evenly around it, so that
// a vertex on the limit is not in or out by its last digit.
func upTo(x, limit float64) float64 {
	return min(1, max(0, (limit+fadeMM-x)/(2*fadeMM)))
}

// roughRubber returns the rubber of a box with the usual clearance all round.
func (j *judge) roughRubber(w Way, b board, rise float64) float64 {
	flat := make([]r2.Vec, len(j.rim))
	for i, p := range j.rim {
		flat[i] = b.flat(p)
	}
	size := mesh.MinAreaRect(flat).Size
	return j.in.rubberOf([3]float64{size[0], size[1], w.HeightMM + max(0, w.StemMM-rise)})
}

// rubberOf returns the rubber about a pattern of that size, mm³.
func (in *Input) rubberOf(size [3]float64) float64 {
	c := 2 * in.ClearanceMM
	box := (size[0] + c) * (size[1] + c) * (size[2] + in.CoverMM)
	return max(box-in.Measures.VolumeMM3, 0.01*box)
}

// leasts are what rubber and height are held against: the least that the
// tightest box about the pattern allows, so that a way up has the same score
// whatever else is looked at.
type leasts struct{ rubber, height float64 }

func (in *Input) leastOf(tightest [3]float64) leasts {
	l := leasts{math.Inf(1), min(tightest[0], tightest[1], tightest[2])}
	for i := range 3 {
		l.rubber = min(l.rubber, in.rubberOf([3]float64{tightest[i], tightest[(i+1)%3], tightest[(i+2)%3]}))
	}
	return l
}
