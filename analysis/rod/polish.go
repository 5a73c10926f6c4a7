package rod

import (
	"gonum.org/v1/gonum/spatial/r3"
)

// care is how much work goes into making a rod longer.
type care struct {
	steps   int
	push    float64 // of the first step at each end, a share of the length
	ease    float64 // of each further one, of the one before
	samples int     // along the axis at least
	finest  float64 // gap of samples where it is tight, a share of the length
	settle  int     // steps without a push at the end
}

var (
	quick    = care{steps: 11, push: 0.1, ease: 0.65, samples: 12, finest: 1.0 / 24, settle: 3}
	thorough = care{steps: 20, push: 0.04, ease: 0.72, samples: 20, finest: 1.0 / 120, settle: 4}
)

// remembered is how many places of the surface are kept in mind.
const remembered = 300

// polish makes a rod longer by pushing both its ends outward again and again, a
// little less each time, and turning and shifting it so that it keeps away from
// the places of the surface that it came near to. The walls are taken as flat
// within a step. This is an exchange method: places are added as they become
// tight (Hettich & Kortanek, "Semi-infinite programming", SIAM Review 35(3), 1993,
// from memory). A way in may be given that the rod has to pass.
func (r *room) polish(s Segment, by *Spout, c care) Segment {
	var seen []r3.Vec
	push := max(c.push*s.Length(), 2*r.voxelMM)
	for range c.steps {
		s, seen = r.step(s, by, push, seen, c)
		push *= c.ease
	}
	return r.settle(s, by, seen, c)
}

// settle moves a rod as little as possible, so that it keeps its distance.
func (r *room) settle(s Segment, by *Spout, seen []r3.Vec, c care) Segment {
	for range c.settle {
		s, seen = r.step(s, by, 0, seen, c)
	}
	return s
}

// step makes one move and returns the places of the surface that are near.
func (r *room) step(s Segment, by *Spout, push float64, seen []r3.Vec, with care) (Segment, []r3.Vec) {
	near := r.tight(s, push, with)
	if by != nil {
		near = append(near, r.wayIn(s, *by)...)
	}
	var limits []limit
	for _, c := range near {
		if l, ok := c.limit(r.stride(push)); ok {
			limits = append(limits, l)
		}
	}
	for _, q := range seen {
		if l, ok := s.awayFrom(q, r.reach+r.margin).limit(r.stride(push)); ok {
			limits = append(limits, l)
		}
	}
	if by != nil {
		limits = append(limits, by.limits(s, r.bore())...)
	}
	u := s.Along()
	move := project(Segment{r3.Scale(-push, u), r3.Scale(push, u)}, limits)
	most := r.stride(push)
	s = Segment{r3.Add(s.From, atMost(move.From, most)), r3.Add(s.To, atMost(move.To, most))}
	for _, c := range near {
		if !c.far && c.t >= 0 && c.deep > 0 && c.deep < c.need+push {
			seen = append(seen, c.on)
		}
	}
	return s, seen[max(0, len(seen)-remembered):]
}

func atMost(v r3.Vec, most float64) r3.Vec {
	if n := r3.Norm(v); n > most {
		return r3.Scale(most/n, v)
	}
	return v
}

// stride is how far an end may move in a step.
func (r *room) stride(push float64) float64 { return 2 * (push + r.voxelMM) }

// limit keeps the axis at a distance from the plane through a contact, if it can
// come there in a stride.
func (c contact) limit(stride float64) (limit, bool) {
	if c.far || c.deep == 0 || c.deep > c.need+stride {
		return limit{}, false
	}
	return limit{normal: r3.Scale(1/c.deep, r3.Sub(c.at, c.on)), a: 1 - c.t, b: c.t, least: c.need - c.deep}, true
}

// awayFrom is the contact of an axis with a known place of the surface.
func (s Segment) awayFrom(q r3.Vec, need float64) contact {
	d := r3.Sub(s.To, s.From)
	t := 0.0
	if l2 := r3.Norm2(d); l2 > 0 {
		t = min(1, max(0, r3.Dot(r3.Sub(q, s.From), d)/l2))
	}
	p := s.At(t)
	return contact{t: t, at: p, on: q, deep: r3.Norm(r3.Sub(p, q)), need: need}
}

// tight samples the surface around an axis, closer where it may be short of what
// it needs.
func (r *room) tight(s Segment, push float64, with care) []contact {
	need := r.reach + r.margin
	l := s.Length()
	var all []contact
	look := func(t float64) contact {
		c := r.touch(s.At(t), need+r.stride(push))
		c.t, c.need = t, need
		all = append(all, c)
		return c
	}
	var between func(a, b contact)
	between = func(a, b contact) {
		gap := (b.t - a.t) * l
		if b.t-a.t <= with.finest || a.deep+b.deep-2*need-push/2 >= gap {
			return
		}
		mid := look((a.t + b.t) / 2)
		between(a, mid)
		between(mid, b)
	}
	last := look(0)
	for i := 1; i <= with.samples; i++ {
		next := look(float64(i) / float64(with.samples))
		between(last, next)
		last = next
	}
	return all
}

// finish makes sure of a rod: it returns the longest stretch that is proved, after
// moving it off the places that are too near.
func (r *room) finish(s Segment, by *Spout) Segment {
	var best Segment
	for range 4 {
		sure, low := r.proved(s)
		if sure.Length() > best.Length() {
			best = sure
		}
		if len(low) == 0 || sure.Length() > 0.9995*s.Length() {
			break
		}
		var seen []r3.Vec
		for i := 0; i < len(low); i += 1 + len(low)/remembered {
			if low[i].deep > 0 {
				seen = append(seen, low[i].on)
			}
		}
		s = r.settle(s, by, seen, thorough)
	}
	return best
}
