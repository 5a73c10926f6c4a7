package stand

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

const (
	apartDeg     = 20 // ways up closer than this are one
	sameFootDeg  = 40 // and so are these, when the spout is at the same place
	alternatives = 4
	// An alternative that is best at something may score that much less.
	championSlack = 0.3
)

// same tells whether two ways up are one to a maker: nearly the same direction,
// the same spout leaned otherwise, or each other's image by a symmetry of the
// part.
func (s *search) same(a, b Way) bool {
	cos := r3.Dot(a.Down, b.Down)
	switch {
	case cos > math.Cos(apartDeg*math.Pi/180):
		return true
	case cos > math.Cos(sameFootDeg*math.Pi/180) && r3.Norm(r3.Sub(a.Spout, b.Spout)) < s.in.LeastSpoutMM/2:
		return true
	}
	return s.images(a, b, toTheEye)
}

// alike holds what two images of a way have in common: the criteria within most
// each, and lengths within a share of the part's size.
type alike struct {
	most  Criteria
	share float64
}

var (
	// A maker would not tell them apart: detail, air, rubber, height, and where
	// the spout lies as seen from the centroid.
	toTheEye = alike{Criteria{Detail: 0.1, Spout: 1, CastAir: 0.15, RubberAir: 0.1, RubberMass: 0.1, Height: 0.1, Stability: 1, Necks: 0.3}, 0.03}
	// Nothing but the scan's own axes tells them apart.
	toTheFigure = alike{Criteria{0.01, 0.01, 0.01, 0.01, 0.01, 0.01, 0.01, 0.01}, 0.003}
)

// images tells whether two ways are each other's image by a symmetry of the part.
func (s *search) images(a, b Way, by alike) bool {
	for c, most := range by.most {
		if math.Abs(a.Criteria[c]-b.Criteria[c]) > most { // not where one is unknown
			return false
		}
	}
	near := by.share * s.sizeMM
	return (a.StemMM > 0) == (b.StemMM > 0) &&
		math.Abs(a.HeightMM-b.HeightMM) < near &&
		math.Abs(a.SpoutDiameterMM-b.SpoutDiameterMM) < max(0.5*s.in.LeastSpoutMM, 0.1*a.SpoutDiameterMM) &&
		math.Abs(r3.Norm(a.Spout)-r3.Norm(b.Spout)) < near &&
		math.Abs(r3.Dot(a.Spout, a.Down)-r3.Dot(b.Spout, b.Down)) < near
}

// distinct returns the first n ways of a sorted list that really differ, and
// the ways left out because they are images of one of those: what leans on an
// image is no way of its own either. Of two that only the scan's axes tell apart,
// the one with its own foot down is kept.
func (s *search) distinct(sorted []Way, n int) (kept, images []Way) {
	for _, w := range sorted {
		i := slices.IndexFunc(kept, func(k Way) bool { return s.same(k, w) })
		switch {
		case i >= 0 && s.images(kept[i], w, toTheEye):
			if s.images(kept[i], w, toTheFigure) && s.footFirst(w, kept[i]) {
				kept[i], w = w, kept[i]
			}
			if !leansOn(w, kept[i:i+1]) {
				images = append(images, w)
			}
		case i < 0 && len(kept) < n && !leansOn(w, images):
			kept = append(kept, w)
		}
	}
	return kept, images
}

// leansOn tells whether a way is nearly the same direction as one of others.
func leansOn(w Way, others []Way) bool {
	near := math.Cos(apartDeg * math.Pi / 180)
	return slices.ContainsFunc(others, func(o Way) bool { return r3.Dot(o.Down, w.Down) > near })
}

// footFirst tells whether a is more the way the scan stands than b.
func (s *search) footFirst(a, b Way) bool {
	b.Score, b.HeightMM = a.Score, a.HeightMM
	return s.better(a, b) < 0
}

// markPareto marks the ways that no other dominates, and counts them.
func markPareto(ways []Way, w Weights) int {
	count := 0
	for i := range ways {
		ways[i].Pareto = !slices.ContainsFunc(ways, func(o Way) bool { return o.Criteria.dominates(ways[i].Criteria, w) })
		if ways[i].Pareto {
			count++
		}
	}
	return count
}

// settle picks the choice and its alternatives from judged ways, the maker's own
// direction first when one is given, and measures them on the scan.
func (s *search) settle(ways []Way) (Result, error) {
	given := 0
	if s.down != nil {
		given = 1
	}
	sorted := slices.Clone(ways[given:])
	slices.SortStableFunc(sorted, s.better)
	field, _ := s.distinct(sorted, len(sorted))
	field = slices.DeleteFunc(field, func(w Way) bool { return given > 0 && s.same(ways[0], w) })
	field = append(slices.Clone(ways[:given]), field...)
	markPareto(field, s.in.Weights)
	s.closeUp(field, s.pick(field, given > 0))
	slices.SortStableFunc(field[given:], s.better)
	r := Result{Judged: len(field), Pareto: markPareto(field, s.in.Weights)}
	picked := s.pick(field, given > 0)
	s.closeUp(field, picked)
	for _, i := range picked {
		r.Ways = append(r.Ways, s.turnedBack(field[i]))
	}
	markBest(r.Ways, s.in.Weights)
	return r, s.ctx.Err()
}

// pick returns the choice and then the alternatives, best first, as indices of
// a field in order of score: the best of those that none beats, the next best,
// the best at each criterion that the choice is not, and what else scores high.
func (s *search) pick(field []Way, given bool) []int {
	choice := 0
	if !given {
		choice = slices.IndexFunc(field, func(w Way) bool { return w.Pareto })
	}
	var others []int
	add := func(i int) {
		if i >= 0 && i != choice && len(others) < alternatives && !slices.Contains(others, i) {
			others = append(others, i)
		}
	}
	next := func(from int) int {
		for i := range field {
			if i != from && field[i].Pareto {
				return i
			}
		}
		return -1
	}
	add(next(choice))
	for _, c := range s.in.Weights.heaviestFirst() {
		add(champion(field, choice, c))
	}
	for _, pareto := range []bool{true, false} {
		for i, w := range field {
			if w.Pareto == pareto {
				add(i)
			}
		}
	}
	slices.SortStableFunc(others, func(a, b int) int { return cmp.Or(s.better(field[a], field[b]), cmp.Compare(a, b)) })
	return append([]int{choice}, others...)
}

// champion returns the way that is best at a criterion, when it is plainly better
// there than the choice; else −1.
func champion(field []Way, choice int, c Criterion) int {
	best := -1
	atLeast := field[choice].Criteria[c] + 2*toleranceShare
	for i, w := range field {
		if x := w.Criteria[c]; w.Pareto && w.Score > field[choice].Score-championSlack && x > atLeast {
			best, atLeast = i, x+toleranceShare
		}
	}
	return best
}

// heaviestFirst lists the criteria that count by their weight.
func (w Weights) heaviestFirst() []Criterion {
	var cs []Criterion
	for c := range criteriaCount {
		if w[c] > 0 {
			cs = append(cs, c)
		}
	}
	slices.SortStableFunc(cs, func(a, b Criterion) int { return cmp.Compare(w[b], w[a]) })
	return cs
}

// markBest fills in at what each way is better than all the others.
func markBest(ways []Way, w Weights) {
	for i := range ways {
		own := ways[i].Criteria.steps(w)
		for c := range criteriaCount {
			alone := len(ways) > 1 && w[c] > 0
			for k := range ways {
				alone = alone && (k == i || ways[k].Criteria.steps(w)[c] < own[c])
			}
			if alone {
				ways[i].BestAt = append(ways[i].BestAt, c)
			}
		}
	}
}

// closeUp measures the contacts of picked ways on the scan itself.
func (s *search) closeUp(field []Way, picked []int) {
	if s.scan == s.fine {
		return
	}
	// A search that is cancelled here is found out by who asked for it.
	_ = eachOf(s.ctx, len(picked), func(int) {}, func(i int) {
		w := &field[picked[i]]
		if w.close {
			return
		}
		near := s.scan.outline(w.Down)
		near.Open = s.scan.openings(near)
		near.Cast, near.Rubber = w.Cast, w.Rubber
		s.scan.rateAir(&near)
		near.Pareto, near.close = w.Pareto, true
		*w = near
	})
}

// turnedBack returns a way in the frame of the scan.
func (s *search) turnedBack(w Way) Way {
	w.Down, w.Spout = r3.Unit(s.frame.dirOut(w.Down)), s.frame.out(w.Spout)
	if s.in.Down != nil && s.down != nil && r3.Norm(r3.Sub(w.Down, *s.in.Down)) < 1e-12 {
		w.Down = *s.in.Down
	}
	return w
}
