package stand

import (
	"cmp"
	"context"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
)

const (
	coarseVertices = 5_000  // of the mesh on which all directions are judged
	fineVertices   = 40_000 // of the mesh for the finalists, where the scan has more
	finalists      = 12
	batch          = 64  // directions whose air is counted before asking whether more can win
	mostAired      = 512 // directions whose air is counted at all
	leanest        = 6   // finalists that are leaned once more
)

// search is one run, in the own frame.
type search struct {
	ctx            context.Context
	in             Input
	frame          ownFrame
	sizeMM         float64 // diagonal of the hull's bounds
	flats          []r3.Vec
	down           *r3.Vec
	coarse, fine   *judge
	screened       []Way  // all directions, by the coarse mesh, best first
	screenedImages []Way  // of them, those left out as images of a finalist
	scan           *judge // measures contacts only; fine itself where that is the scan
}

func newSearch(ctx context.Context, solid *mesh.Solid, in Input) (*search, error) {
	s := &search{ctx: ctx, in: in, frame: newOwnFrame(solid.Mesh, in.Measures)}
	own := s.frame.mesh(solid.Mesh)
	if in.Down != nil {
		down := s.frame.dirIn(*in.Down)
		s.down = &down
	}
	if in.Passage != nil {
		s.in.Passage = func(spout r3.Vec, diameter float64) (float64, float64) {
			return in.Passage(s.frame.out(spout), diameter)
		}
	}
	var wished *wish
	if in.Spout != nil {
		var err error
		if wished, err = newWish(own, s.frame.in(*in.Spout), in.LeastSpoutMM); err != nil {
			return nil, err
		}
	}
	m, detail := reduced(own, in.Detail, in.Measures.AreaMM2, fineVertices)
	hull := hullOf(m.Vertices)
	s.flats = hullFlats(hull, r3.Vec{})
	s.fine = newJudge(m, detail, &s.in, m == own)
	s.fine.hull, s.fine.air = hull.Vertices, in.Air(m, detail, false)
	s.fine.rim = farthest(hull.Vertices, sphere(rimDirections))
	s.scan = s.fine
	if m != own {
		s.scan = newJudge(own, in.Detail, &s.in, true)
		s.scan.hull, s.scan.rim = hull.Vertices, s.fine.rim
	}
	m, detail = reduced(m, detail, in.Measures.AreaMM2, coarseVertices)
	s.coarse = newJudge(m, detail, &s.in, m == own)
	s.coarse.hull, s.coarse.rim, s.coarse.share = hull.Vertices, s.fine.rim, 0.05
	s.coarse.air, s.coarse.quick = in.Air(m, detail, true), true
	tightest := in.TightestMM
	if tightest == [3]float64{} {
		tightest = mesh.TightestBox(hull.Vertices).Size
	}
	least := s.in.leastOf(tightest)
	for _, j := range []*judge{s.coarse, s.fine, s.scan} {
		j.best, j.wish = least, wished
	}
	b := mesh.BoundsOf(hull.Vertices)
	s.sizeMM = r3.Norm(r3.Sub(b.Max, b.Min))
	return s, nil
}

// directions lists all that are tried as down.
func (s *search) directions() ([]r3.Vec, error) {
	ds := append(sphere(sphereDirections), s.flats...)
	w := s.fine.wish
	if w == nil {
		return ds, nil
	}
	if s.down != nil {
		if reason := s.fine.refuses(*s.down); reason != "" {
			return nil, &Refused{"the spout's place and the direction down do not go together: " + reason, "Leave out --spout or --down, or give a place that is on the board with that direction."}
		}
	}
	ds = s.fine.takes(append(ds, cone(w.normal)...))
	if len(ds) == 0 {
		return nil, &Refused{"no way up brings the spout's place to the board: " + s.fine.refuses(w.normal),
			"Give a place farther out with --spout, or a longer --stem."}
	}
	return ds, nil
}

// screen judges all directions on the coarse mesh and returns those for the
// fine one. Air is counted in the order of what a way could score without
// any, until no more can be among the best.
func (s *search) screen(ds []r3.Vec) ([]Way, error) {
	j := s.coarse
	total := int64(len(ds))
	bounds, err := on(s.ctx, ds, func(i int) {
		if s.in.Progress != nil {
			s.in.Progress(int64(i), total)
		}
	}, j.outline)
	if err != nil {
		return nil, err
	}
	slices.SortStableFunc(bounds, s.better)
	var best []Way
	for from := 0; from < min(len(bounds), mostAired); from += batch {
		to := min(from+batch, len(bounds))
		if err := eachOf(s.ctx, to-from, func(int) {}, func(i int) { j.addAir(&bounds[from+i]) }); err != nil {
			return nil, err
		}
		judged := slices.Clone(bounds[:to])
		slices.SortStableFunc(judged, s.better)
		best, s.screenedImages = s.distinct(judged, finalists)
		if len(best) == finalists && to < len(bounds) && best[finalists-1].Score >= bounds[to].Score {
			break
		}
	}
	slices.SortStableFunc(bounds, s.better)
	s.screened = bounds
	best = s.withChampions(best, bounds)
	return j.leaned(s.ctx, best, coarseTilts)
}

// withChampions adds the ways that are best at one thing; those whose air was
// not counted are as good as they can be.
func (s *search) withChampions(best, all []Way) []Way {
	for c := range criteriaCount {
		if s.in.Weights[c] == 0 {
			continue
		}
		top := -1
		for i, w := range all {
			x := w.Criteria[c]
			if w.Score >= best[0].Score-championSlack && !math.IsNaN(x) && (top < 0 || x > all[top].Criteria[c]+toleranceShare) {
				top = i
			}
		}
		if top >= 0 && !slices.ContainsFunc(best, func(b Way) bool { return s.same(b, all[top]) }) {
			w := all[top]
			s.coarse.addAir(&w)
			best = append(best, w)
		}
	}
	return best
}

// judgeFinals judges the finalists, the flats near them and the maker's own
// direction on the fine mesh.
func (s *search) judgeFinals(finals []Way) ([]Way, error) {
	ds, err := s.flattened(finals)
	if err != nil {
		return nil, err
	}
	ways, err := on(s.ctx, ds, func(int) {}, s.fine.way)
	if err != nil {
		return nil, err
	}
	slices.SortStableFunc(ways, s.better)
	first, _ := s.distinct(ways, leanest)
	// What lies on a flat stays flat.
	first = slices.DeleteFunc(first, func(w Way) bool { return slices.Contains(s.flats, w.Down) })
	leant, err := s.fine.leaned(s.ctx, first, fineTilts)
	if err != nil {
		return nil, err
	}
	again, err := on(s.ctx, moved(first, leant), func(int) {}, s.fine.way)
	if err != nil {
		return nil, err
	}
	ways = append(ways, again...)
	slices.SortStableFunc(ways, s.better)
	more, err := on(s.ctx, s.others(ways), func(int) {}, s.fine.way)
	if err != nil {
		return nil, err
	}
	ways = append(ways, more...)
	if s.down != nil {
		ways = append([]Way{s.fine.way(*s.down)}, ways...)
	}
	return ways, nil
}

// flatter tells whether to take a flat for a way near it. What only leans on the
// edge of a flat that is wide enough for a spout is set flat, as any maker would.
func (s *search) flatter(flat, own Way) bool {
	if r3.Dot(flat.Down, own.Down) > math.Cos(facetAngleDeg*math.Pi/180) {
		return flat.SpoutDiameterMM >= s.in.LeastSpoutMM || flat.Score > own.Score-2*toleranceShare
	}
	return flat.Score > own.Score
}

// others returns directions that differ from the ways there are, enough for all
// alternatives: leaned to their best tilt, few ways may be left.
func (s *search) others(judged []Way) []r3.Vec {
	ways, images := s.distinct(judged, alternatives+1)
	var ds []r3.Vec
	images = append(images, s.screenedImages...)
	for _, strict := range []bool{true, false} {
		for _, w := range s.screened {
			if len(ways) > alternatives {
				return ds
			}
			if !(strict && leansOn(w, images)) && !slices.ContainsFunc(ways, func(o Way) bool { return s.same(o, w) }) {
				ways, ds = append(ways, w), append(ds, w.Down)
			}
		}
	}
	return ds
}

// moved lists the downs of ways that were leaned.
func moved(before, after []Way) []r3.Vec {
	var ds []r3.Vec
	for i, w := range after {
		if w.Down != before[i].Down {
			ds = append(ds, w.Down)
		}
	}
	return ds
}

// flattened returns the downs of ways, each with the largest or the nearest flat
// around it in its place where that is better: a coarse mesh blurs flats.
func (s *search) flattened(ways []Way) ([]r3.Vec, error) {
	var three []r3.Vec
	for _, w := range ways {
		largest, nearest := w.Down, w.Down
		most := math.Cos(apartDeg * math.Pi / 180)
		for _, f := range s.flats {
			if cos := r3.Dot(f, w.Down); cos > most {
				if nearest == w.Down {
					largest = f
				}
				nearest, most = f, cos
			}
		}
		three = append(three, w.Down, largest, nearest)
	}
	outlines, err := on(s.ctx, three, func(int) {}, s.fine.outline)
	if err != nil {
		return nil, err
	}
	var ds []r3.Vec
	for i := range ways {
		best := outlines[3*i]
		for _, flat := range outlines[3*i+1 : 3*i+3] {
			if s.flatter(flat, best) {
				best = flat
			}
		}
		if !slices.Contains(ds, best.Down) {
			ds = append(ds, best.Down)
		}
	}
	return s.fine.takes(ds), nil
}

// better orders ways: by score, then by what does not change when the scan is
// turned or mirrored, at last by the scan's own axes, its foot down. Figures
// are held against each other in steps, so that rounding decides nothing.
func (s *search) better(a, b Way) int {
	step := func(x, size float64) int { return int(math.Round(x / size)) }
	down := func(w Way) r3.Vec { return s.frame.dirOut(w.Down) }
	return cmp.Or(
		cmp.Compare(step(b.Score, tieScore), step(a.Score, tieScore)),
		cmp.Compare(step(a.HeightMM, 0.01*s.sizeMM), step(b.HeightMM, 0.01*s.sizeMM)),
		cmp.Compare(step(down(a).Z, 1e-3), step(down(b).Z, 1e-3)),
		cmp.Compare(step(down(a).Y, 1e-3), step(down(b).Y, 1e-3)),
		cmp.Compare(step(down(a).X, 1e-3), step(down(b).X, 1e-3)),
	)
}

// tieScore is the least difference of a score that counts.
const tieScore = 1e-4
