package rod

// run is a stretch of a line, from and to in mm along it.
type run struct{ from, to float64 }

func (r run) length() float64 { return r.to - r.from }

// runs finds where a function along a line is not negative that changes no
// faster than its argument, such as the distance from a surface less what it
// should be. A gap between two samples cannot hide a negative value when it is
// no longer than both samples together. Gaps shorter than tol are not looked
// into: they count only as far as is certain, or as a whole when hopeful and
// both ends do.
type runs struct {
	slack   func(x float64) float64
	tol     float64
	hopeful bool
	found   []run
}

// over returns the stretches between 0 and length, in order.
func (r *runs) over(length float64) []run {
	r.found = r.found[:0]
	r.visit(0, r.slack(0), length, r.slack(length))
	return r.found
}

func (r *runs) visit(x0, s0, x1, s1 float64) {
	gap := x1 - x0
	both := s0 >= 0 && s1 >= 0
	switch {
	case both && s0+s1 >= gap:
		r.add(x0, x1)
	case s0 < 0 && s1 < 0 && -s0-s1 >= gap:
	case gap > r.tol:
		mid := (x0 + x1) / 2
		s := r.slack(mid)
		r.visit(x0, s0, mid, s)
		r.visit(mid, s, x1, s1)
	case both && r.hopeful:
		r.add(x0, x1)
	default:
		if s0 >= 0 {
			r.add(x0, x0+min(s0, gap))
		}
		if s1 >= 0 {
			r.add(x1-min(s1, gap), x1)
		}
	}
}

func (r *runs) add(from, to float64) {
	if n := len(r.found); n > 0 && from <= r.found[n-1].to {
		r.found[n-1].to = to
		return
	}
	r.found = append(r.found, run{from, to})
}

// longestOf returns the longest stretch, the first of equals; none: no length.
func longestOf(all []run) run {
	var best run
	for _, r := range all {
		if r.length() > best.length() {
			best = r
		}
	}
	return best
}

// part returns a stretch of a segment.
func (s Segment) part(r run) Segment {
	l := s.Length()
	if l == 0 {
		return s
	}
	return Segment{s.At(r.from / l), s.At(r.to / l)}
}

// roughly returns the longest stretch of s that by the field is at least need
// from the surface.
func (r *room) roughly(s Segment, need float64) Segment {
	l := s.Length()
	if l == 0 {
		return s
	}
	w := runs{tol: r.voxelMM / 2, hopeful: true, slack: func(x float64) float64 { return r.depth(s.At(x/l)) - need }}
	return s.part(longestOf(w.over(l)))
}

// likely returns the longest stretch of s that seems far enough from the surface
// itself: short gaps between places that are count as well.
func (r *room) likely(s Segment) Segment {
	l := s.Length()
	if l == 0 {
		return s
	}
	w := runs{tol: max(r.voxelMM/2, l/100), hopeful: true, slack: func(x float64) float64 {
		return r.touch(s.At(x/l), r.reach+r.voxelMM).deep - r.reach
	}}
	return s.part(longestOf(w.over(l)))
}

// proved returns the longest stretch of s whose every point is at least reach
// from the surface: no gap between the places looked at can hide one that is
// not. The contacts are those of the places that are short of the margin.
func (r *room) proved(s Segment) (Segment, []contact) {
	l := s.Length()
	if l == 0 {
		return s, nil
	}
	var low []contact
	w := runs{tol: r.margin / 4, slack: func(x float64) float64 {
		c := r.touch(s.At(x/l), r.reach+2*r.margin)
		if c.t, c.need = x/l, r.reach+r.margin; !c.far && c.deep < r.reach+r.margin/2 {
			low = append(low, c)
		}
		return c.deep - r.reach
	}}
	return s.part(longestOf(w.over(l))), low
}
