package rod

import (
	"cmp"
	"context"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

const (
	// slideMM is the room around a rod that is slid in (common practice, no source).
	slideMM     = 1
	farEnds     = 3000 // blocks tried as the far end, at most
	spoutStarts = 5    // different ones that are polished
	wayStepMM   = 1.5  // between the places looked at on the way in
	leastRise   = 0.1  // of a rod that is pushed in, for its length
)

// bore is how far the surface must be from the axis on the way in.
func (r *room) bore() float64 { return r.in.DiameterMM/2 + slideMM }

// mouth returns where the line of a rod passes the spout's plane, or one that far
// before it.
func (s Spout) mouth(rod Segment, beforeMM float64) r3.Vec {
	u := rod.Along()
	plane := r3.Sub(s.At, r3.Scale(beforeMM, s.Inward))
	across := r3.Dot(u, s.Inward)
	if across == 0 {
		return plane
	}
	return r3.Add(rod.From, r3.Scale(r3.Dot(r3.Sub(plane, rod.From), s.Inward)/across, u))
}

// fits says whether the line of a rod passes the spout and its stem, or what is open.
func (s Spout) fits(rod Segment, bore float64) bool {
	if r3.Dot(rod.Along(), s.Inward) <= leastRise {
		return false
	}
	for _, before := range [2]float64{0, s.StemMM} {
		if s.rings != nil {
			return s.within(s.mouth(rod, 0)) >= bore-1e-6
		}
		off := r3.Sub(s.mouth(rod, before), r3.Sub(s.At, r3.Scale(before, s.Inward)))
		if r3.Norm(off) > s.DiameterMM/2-bore+1e-6 {
			return false
		}
	}
	return true
}

// limits keep the line of a rod in the spout and its stem as it moves.
func (s Spout) limits(rod Segment, bore float64) []limit {
	u, l := rod.Along(), rod.Length()
	across := r3.Dot(u, s.Inward)
	if l == 0 || across < 0.05 {
		return nil
	}
	if s.rings != nil {
		return s.openLimits(rod, s.mouth(rod, 0), bore)
	}
	var all []limit
	for _, before := range [2]float64{0, s.StemMM} {
		x := s.mouth(rod, before)
		off := r3.Sub(x, r3.Sub(s.At, r3.Scale(before, s.Inward)))
		size := r3.Norm(off)
		if size < 1e-9 {
			continue
		}
		out := r3.Scale(1/size, off)
		// A move d of the line at x shifts its place in the plane by d less what of it
		// is along the line; out lies in the plane.
		normal := r3.Sub(r3.Scale(r3.Dot(out, u)/across, s.Inward), out)
		t := r3.Dot(r3.Sub(x, rod.From), u) / l
		all = append(all, limit{normal: normal, a: 1 - t, b: t, least: size - (s.DiameterMM/2 - bore - 0.01)})
	}
	return all
}

// wayIn samples the surface on the way from the spout to a rod's near end. Right
// behind the spout the pattern's own foot is near, and no obstacle.
func (r *room) wayIn(rod Segment, s Spout) []contact {
	u, l := rod.Along(), rod.Length()
	way := r3.Dot(r3.Sub(rod.From, s.mouth(rod, 0)), u)
	if l == 0 || !(way > 0) || way > 10*r.in.LongestMM {
		return nil
	}
	var all []contact
	n := int(math.Ceil(way / max(wayStepMM, way/60)))
	for i := 1; i <= n; i++ {
		x := way * float64(i) / float64(n) // back from the near end
		p := r3.Sub(rod.From, r3.Scale(x, u))
		if r3.Dot(r3.Sub(p, s.At), s.Inward) < s.behind(r.bore()) {
			break
		}
		c := r.touch(p, r.reach+r.stride(0))
		c.t, c.need = -x/l, r.bore()+r.margin
		all = append(all, c)
	}
	return all
}

// slides says whether a rod can be slid in.
func (r *room) slides(rod Segment, s Spout) bool {
	if !s.fits(rod, r.bore()) || r3.Dot(r3.Sub(rod.From, s.At), s.Inward) < 0 {
		return false
	}
	for _, c := range r.wayIn(rod, s) {
		if c.deep < r.bore()-1e-6 {
			return false
		}
	}
	return true
}

// bySpout returns the longest rod that can be pushed in through the spout.
func (r *room) bySpout(ctx context.Context) (Segment, bool, error) {
	s := r.in.Spout
	if s.rings == nil && s.DiameterMM/2 < r.bore() {
		return Segment{}, false, nil
	}
	starts, err := r.spoutStarts(ctx)
	if err != nil {
		return Segment{}, false, err
	}
	all, err := r.improve(ctx, starts, &s)
	if err != nil {
		return Segment{}, false, err
	}
	for _, rod := range all {
		if rod = r.inward(rod); r.slides(rod, s) {
			return rod, true, nil
		}
	}
	return Segment{}, false, nil
}

// inward turns a rod so that it starts at the spout.
func (r *room) inward(s Segment) Segment {
	if r3.Dot(s.Along(), r.in.Spout.Inward) < 0 {
		return s.turned()
	}
	return s
}

// spoutStarts tries lines from places in the spout to everywhere by the field.
func (r *room) spoutStarts(ctx context.Context) ([]Segment, error) {
	s := r.in.Spout
	level, levels := 0, r.pyramid()
	ends := levels[0].deeper(r.reach - r.coarse)
	for len(ends) > farEnds && level+1 < len(levels) {
		level++
		ends = levels[level].deeper(r.reach - r.coarse)
	}
	kept := newBest(3*r.voxelMM, spoutStarts)
	places := s.places(r.bore())
	for i, e := range ends {
		if i&255 == 0 && ctx.Err() != nil {
			return nil, ctx.Err()
		}
		far := levels[level].middle(e)
		for _, from := range places {
			line := Segment{from, far}
			if s.rings == nil && !s.fits(line, r.bore()) || r3.Dot(line.Along(), s.Inward) <= leastRise {
				continue
			}
			if line = r.open(line, s); line.Length() > 0 {
				kept.add(r.roughly(line, r.reach-r.voxelMM/4))
				kept.hope(r.roughly(line, r.reach-r.coarse))
			}
		}
	}
	all := slices.DeleteFunc(kept.all(), func(s Segment) bool { return s.Length() == 0 })
	slices.SortStableFunc(all, func(a, b Segment) int { return cmp.Compare(b.Length(), a.Length()) })
	return all, nil
}

// open returns how far along a line from the spout a rod slides, by the field.
func (r *room) open(line Segment, s Spout) Segment {
	u, l := line.Along(), line.Length()
	behind := s.behind(r.bore()) / r3.Dot(u, s.Inward) // see wayIn
	if behind >= l {
		return line
	}
	w := runs{tol: r.voxelMM / 2, hopeful: true, slack: func(x float64) float64 {
		return r.depth(line.At((behind+x)/l)) - r.bore() + r.voxelMM/2
	}}
	all := w.over(l - behind)
	if len(all) == 0 || all[0].from > 0 {
		return Segment{}
	}
	return line.part(run{0, behind + all[0].to})
}

// places returns the middle of the spout and two rings around it that an axis may
// pass.
func (s Spout) places(bore float64) []r3.Vec {
	if s.rings != nil {
		return s.openPlaces(bore)
	}
	all := []r3.Vec{s.At}
	room := s.DiameterMM/2 - bore
	x, y := across(s.Inward)
	for ring := 1; ring <= 2; ring++ {
		for i := range 6 * ring {
			sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(6*ring))
			out := r3.Add(r3.Scale(cos, x), r3.Scale(sin, y))
			all = append(all, r3.Add(s.At, r3.Scale(0.95*room*float64(ring)/2, out)))
		}
	}
	return all
}

// leastAxis returns the axis that is most across v.
func leastAxis(v r3.Vec) int {
	x, y, z := math.Abs(v.X), math.Abs(v.Y), math.Abs(v.Z)
	switch {
	case x <= y && x <= z:
		return 0
	case y <= z:
		return 1
	}
	return 2
}
