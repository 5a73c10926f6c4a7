package rod

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

const (
	// straightShare of the longest is long enough for a rod that lies straighter: one
	// that runs askew for the last millimetres is hard to place (common practice, no
	// source).
	straightShare   = 0.97
	straightSamples = 24
	snapSpare       = 0.003 // of the length is kept to turn it level at the end
	mostStraighter  = 80    // moves
)

// straighten moves a rod to the middle of the part, as long as it stays nearly as long
// as the longest and gets in: uphill in the mean depth of its axis.
func (r *room) straighten(s Segment, longestMM float64, getsIn func(Segment) bool) Segment {
	least := (straightShare + snapSpare) * longestMM
	best, deep := s, r.meanDepth(s)
	try := func(c Segment, atLeast float64) bool {
		c = r.stretched(c)
		if c.Length() < least {
			return false
		}
		d := r.meanDepth(c)
		if d <= atLeast || !getsIn(c) {
			return false
		}
		best, deep = c, d
		return true
	}
	r.snap(best, deep, try)
	for i, step := 0, r.reach/2; i < mostStraighter && step > r.voxelMM/16; i++ {
		from, to := r.uphill(best)
		from, to = r3.Add(best.From, r3.Scale(step, from)), r3.Add(best.To, r3.Scale(step, to))
		if !try(Segment{from, to}, deep) && !try(Segment{best.From, to}, deep) && !try(Segment{from, best.To}, deep) {
			step /= 2
		}
	}
	least = straightShare * longestMM
	r.snap(best, 0.98*deep, try)
	if sure, _ := r.proved(best); sure.Length() >= least && getsIn(sure) {
		return sure
	}
	return s
}

// stretched is the longest stretch of a line that by the field has its cover.
func (r *room) stretched(s Segment) Segment {
	u := r3.Scale(2*r.reach, s.Along())
	return r.roughly(Segment{r3.Sub(s.From, u), r3.Add(s.To, u)}, r.reach+r.margin)
}

func (r *room) meanDepth(s Segment) float64 {
	sum := 0.0
	for i := range straightSamples {
		sum += r.depth(s.At((float64(i) + 0.5) / straightSamples))
	}
	return sum / straightSamples
}

// uphill is how both ends move across the rod so that its axis gets deeper, the longest
// of the two by one.
func (r *room) uphill(s Segment) (from, to r3.Vec) {
	u, h := s.Along(), r.voxelMM/2
	for i := range straightSamples {
		t := (float64(i) + 0.5) / straightSamples
		p := s.At(t)
		g := r3.Vec{
			X: r.depth(r3.Add(p, r3.Vec{X: h})) - r.depth(r3.Sub(p, r3.Vec{X: h})),
			Y: r.depth(r3.Add(p, r3.Vec{Y: h})) - r.depth(r3.Sub(p, r3.Vec{Y: h})),
			Z: r.depth(r3.Add(p, r3.Vec{Z: h})) - r.depth(r3.Sub(p, r3.Vec{Z: h})),
		}
		g = r3.Sub(g, r3.Scale(r3.Dot(g, u), u))
		from, to = r3.Add(from, r3.Scale(1-t, g)), r3.Add(to, r3.Scale(t, g))
	}
	if most := math.Max(r3.Norm(from), r3.Norm(to)); most > 0 {
		return r3.Scale(1/most, from), r3.Scale(1/most, to)
	}
	return from, to
}

// snap tries a rod that is turned about its middle to lie along the spout, or level
// across it.
func (r *room) snap(s Segment, atLeast float64, try func(Segment, float64) bool) {
	u, in := s.Along(), r.in.Spout.Inward
	rise := r3.Dot(u, in)
	level := r3.Sub(u, r3.Scale(rise, in))
	mid, half := s.At(0.5), s.Length()/2
	for _, along := range [2]r3.Vec{r3.Scale(math.Copysign(1, rise), in), level} {
		if n := r3.Norm(along); n > 0 && try(Segment{r3.Sub(mid, r3.Scale(half/n, along)), r3.Add(mid, r3.Scale(half/n, along))}, atLeast) {
			return
		}
	}
}
