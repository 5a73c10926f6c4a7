package wall

import (
	"context"
	"math"
	"runtime"
	"sync"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
)

// mostSamples bounds the work: places are spread evenly by area, however many
// faces the scan has.
const mostSamples = 12_000

// survey is one look at the rubber.
type survey struct {
	in      Input
	m       *mesh.Mesh
	tree    *mesh.Tree
	contact contact
	samples []sample
	area    float64 // of one sample, mm²
	spacing float64 // between samples, mm
}

// sample is a place on the pattern's surface.
type sample struct {
	at, normal r3.Vec
	dry        bool    // no rubber: it touches the board or the stem
	outer      float64 // to side, level or floor
	floor      float64 // to the board; infinite where it does not count
	web        gap     // across the rubber
	inner      gap     // through the pattern
}

// thickness is that of the rubber at the sample.
func (s *sample) thickness() float64 { return math.Max(0, math.Min(s.outer, s.web.mm)) }

// takeSamples puts samples at equal steps of the surface's area, in the order of
// the faces, and within a face by a sequence that fills it evenly. Source:
// Roberts, "The unreasonable effectiveness of quasirandom sequences", 2018
// (from memory).
func (s *survey) takeSamples() {
	double := make([]float64, len(s.m.Faces))
	total := 0.0
	for f := range double {
		double[f] = r3.Norm(s.m.DoubleAreaNormal(f))
		total += double[f]
	}
	s.area = total / 2 / mostSamples
	s.spacing = math.Sqrt(s.area)
	s.samples = make([]sample, 0, mostSamples)
	const g1, g2 = 0.7548776662466927, 0.5698402909980532
	step, before := total/mostSamples, 0.0
	for f, d := range double {
		for k := len(s.samples); k < mostSamples && (float64(k)+0.5)*step < before+d; k++ {
			_, u := math.Modf(0.5 + g1*float64(k))
			_, v := math.Modf(0.5 + g2*float64(k))
			s.samples = append(s.samples, s.sampleOn(f, u, v))
		}
		before += d
	}
}

// sampleOn maps the unit square evenly onto a face.
func (s *survey) sampleOn(f int, u, v float64) sample {
	if u+v > 1 {
		u, v = 1-u, 1-v
	}
	a, b, c := s.m.Corners(f)
	n := s.m.DoubleAreaNormal(f)
	return sample{
		at:     r3.Add(a, r3.Add(r3.Scale(u, r3.Sub(b, a)), r3.Scale(v, r3.Sub(c, a)))),
		normal: r3.Scale(1/r3.Norm(n), n),
	}
}

// webBeyond: a web matters where it is thinner than what is left to the wall, at
// the sample or at a vertex that takes its web from there; so many spacings is
// the farthest of these.
const webBeyond = 8

// lot is how many samples are looked at between two looks at the context.
const lot = 256

// look measures all samples.
func (s *survey) look(ctx context.Context) error {
	p := prober{s.m, s.tree}
	return inLots(ctx, len(s.samples), s.in.Progress, func(i int) {
		x := &s.samples[i]
		x.outer, x.floor, x.dry = s.outer(x.at, x.normal)
		x.web, x.inner = noGap, noGap
		if s.in.CastLeastMM > 0 {
			x.inner = p.gap(x.at, x.normal, s.in.CastLeastMM, inside)
		}
		if x.dry {
			return
		}
		if most := s.in.side(x.at) + webBeyond*s.spacing; most > 0 {
			x.web = p.gap(x.at, x.normal, most, outside)
		}
	})
}

// outer returns the distance from a place of the surface to the nearest of side
// wall, level and, where it counts, board; the last by itself; and whether there
// is no rubber at all.
func (s *survey) outer(p, normal r3.Vec) (mm, floor float64, dry bool) {
	mm = s.in.side(p)
	floor, dry = s.contact.floor(p, normal, mm)
	return math.Min(mm, floor), floor, dry
}

// inLots does work for 0..n on all processors, and tells of progress one call
// at a time.
func inLots(ctx context.Context, n int, progress func(done, total int64), work func(i int)) error {
	var wg sync.WaitGroup
	var lock sync.Mutex
	next, done := 0, 0
	take := func(finished int) (lo, hi int) {
		lock.Lock()
		defer lock.Unlock()
		if done += finished; progress != nil && finished > 0 {
			progress(int64(done), int64(n))
		}
		lo = next
		next = min(n, next+lot)
		return lo, next
	}
	for range min(runtime.GOMAXPROCS(0), 1+n/lot) {
		wg.Go(func() {
			for lo, hi := take(0); lo < hi && ctx.Err() == nil; lo, hi = take(hi - lo) {
				for i := lo; i < hi; i++ {
					work(i)
				}
			}
		})
	}
	wg.Wait()
	return ctx.Err()
}
