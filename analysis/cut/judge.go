package cut

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"
	"sync"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
)

// Criteria are the parts of a sheet's score, each 0–1, higher better.
type Criteria struct {
	Detail   float64 // crosses none
	Undercut float64 // against the least that any sheet leaves, volume and depth
	Middle   float64 // 1 through the centroid, 0 where the pattern ends on that side
	Draw     float64 // how shallow the pattern lies in its deeper half, against the shallowest
	Outline  float64 // against the seam of a ball with as much surface
	Area     float64 // against the least rubber to cut
	Keys     float64 // share of the outline with rubber for keys beyond the land
	Links    float64 // 1 where no rubber stays linked round the pattern; the others count that much
}

// Weights of the criteria (common practice, no source): of a block that is cut
// open, whose rubber is flexed off, and of a mold in two parts, which are drawn off.
var (
	blockWeights   = Criteria{Detail: 3, Undercut: 2, Middle: 1, Draw: 1, Outline: 0.5, Area: 0.5, Keys: 1}
	twoPartWeights = Criteria{Detail: 2, Undercut: 5, Middle: 0.5, Draw: 1, Outline: 0.5, Area: 0.5, Keys: 1}
)

// score is the mean weighed by w, times Links.
func (c Criteria) score(w Criteria) float64 {
	sum := w.Detail*c.Detail + w.Undercut*c.Undercut + w.Middle*c.Middle + w.Draw*c.Draw + w.Outline*c.Outline + w.Area*c.Area + w.Keys*c.Keys
	return c.Links * sum / (w.Detail + w.Undercut + w.Middle + w.Draw + w.Outline + w.Area + w.Keys)
}

// What a sheet must be better by, of a score to 1, to be worth its trouble, and
// what makes a plane poor (common practice, no source).
const (
	leaningMargin = 0.05 // than upright planes through the spout, which are easiest to cut
	steppedMargin = 0.05
	besideMargin  = 0.08 // no slit can start at the spout

	// Clay is shaped more easily than a knife is led.
	steppedBedMargin = 0.015
	shapedMargin     = 0.03

	PoorDetail   = 0.25 // mean detail along the outline
	PoorUndercut = 0.10 // of the pattern's volume

	undercutSlack = 0.05 // of the pattern's volume: undercut that does not matter
	depthSlack    = 0.05 // of the root of the pattern's area: likewise
	linkPenalty   = 0.4  // the score is divided by 1 and so much where there are links,
	eachPenalty   = 0.05 // and so much for each
	keysFromMM    = 15   // a key's place, off the outline
	keysRoomMM    = 10   // and the rubber around it to the pattern
)

// BedRule says how the bed of a mold in two parts is chosen.
var BedRule = fmt.Sprintf("highest weighted mean of the criteria: undercut %g, detail %g, shallow parts %g, rubber for keys %g, nearness to the middle of the pattern %g, parting line %g, bed %g; a stepped bed must be better by %g, a shaped one by %g (common practice, no source)",
	twoPartWeights.Undercut, twoPartWeights.Detail, twoPartWeights.Draw, twoPartWeights.Keys, twoPartWeights.Middle, twoPartWeights.Outline, twoPartWeights.Area, steppedBedMargin, shapedMargin)

// candidate is one sheet with what is measured of it.
type candidate struct {
	sheet        Sheet
	throughSpout bool
	outlineMM    float64
	cutMM2       float64 // rubber in the sheet, roughly: the box is not known yet
	detail       float64
	middle, keys float64
	drawMM       float64 // depth of the deeper half
	hooked       hooked
	links        [2]int // in either half: a guess until they are counted
	counted      bool
	criteria     Criteria
	score        float64
}

func (c *candidate) poor(volume float64) bool {
	return c.detail > PoorDetail || c.hooked.all() > PoorUndercut*volume || c.links != [2]int{}
}

// margin is what a sheet must be better by than an upright plane through the spout.
func (j *judge) margin(c *candidate) float64 {
	switch {
	case c.sheet.Shape != nil:
		return shapedMargin
	case j.in.TwoPart && len(c.sheet.Steps) > 0:
		return steppedBedMargin
	case !c.throughSpout && c.links != [2]int{}: // the halves come apart in any case
		return 0
	case !c.throughSpout:
		return besideMargin
	case len(c.sheet.Steps) > 0:
		return steppedMargin
	case math.Abs(c.sheet.Normal.Z) > 1e-9:
		return leaningMargin
	}
	return 0
}

// judge measures sheets on the coarse mesh.
type judge struct {
	in      Input
	weights Criteria
	coarse  *coarse
	linking *linking  // nil where how far the pattern is is not known
	room    sync.Pool // of heights
}

func newJudge(m *mesh.Mesh, in Input) (*judge, error) {
	j := &judge{in: in, weights: blockWeights, coarse: newCoarse(m, in.Detail, in.AreaMM2)}
	if in.TwoPart {
		j.weights = twoPartWeights
	}
	if in.Space.Field != nil {
		var err error
		if j.linking, err = newLinking(in.Space); err != nil {
			return nil, err
		}
	}
	n := len(j.coarse.Vertices)
	j.room.New = func() any { h := make([]float64, n); return &h }
	return j, nil
}

// measure takes all figures of a sheet; sh is the shadow over its plane, which
// the sheet lies shift from.
func (j *judge) measure(s Sheet, sh *shadow, shift float64) candidate {
	c := candidate{sheet: s, hooked: sh.behindSheet(&s, shift)}
	heights := j.room.Get().(*[]float64)
	defer j.room.Put(heights)
	pieces, section := j.coarse.crossings(&s, *heights)
	for _, p := range pieces {
		c.outlineMM += p.lengthMM
		c.detail += p.lengthMM * p.detail
	}
	if c.outlineMM > 0 {
		c.detail /= c.outlineMM
	}
	c.keys = j.keysRoom(pieces)
	c.middle, c.drawMM = j.middle(&s)
	c.cutMM2 = j.blockMM2(&s) - section
	return c
}

// keysRoom is the share of the outline that has rubber for keys beside it.
func (j *judge) keysRoom(pieces []crossing) float64 {
	const sampleMM = 10
	stride := max(1, len(pieces)/400)
	room, all := 0.0, 0.0
	for i := 0; i < len(pieces); i += stride {
		p := pieces[i]
		n := int(p.lengthMM/sampleMM) + 1
		for k := range n {
			along := p.lengthMM * ((float64(k)+0.5)/float64(n) - 0.5)
			at := r3.Add(p.middle, r3.Add(r3.Scale(keysFromMM, p.outward), r3.Scale(along, p.along)))
			all += p.lengthMM / float64(n)
			if _, near := j.coarse.tree.Closest(at, keysRoomMM); !near {
				room += p.lengthMM / float64(n)
			}
		}
	}
	return room / max(all, 1e-9)
}

// middle tells how near to the centroid the sheet passes, as a share of the way
// from the centroid to the pattern's end on the sheet's side, and how deep the
// pattern lies in the deeper half.
func (j *judge) middle(s *Sheet) (middle, drawMM float64) {
	normal, off := s.Normal, -s.Height(j.in.Centroid)
	if off < 0 {
		normal, off = r3.Scale(-1, normal), -off
	}
	far := 0.0
	for _, p := range j.coarse.Vertices {
		far = max(far, r3.Dot(normal, r3.Sub(p, j.in.Centroid)))
		drawMM = max(drawMM, math.Abs(s.Height(p)))
	}
	return max(0, 1-off/far), drawMM
}

// blockMM2 is about how large the sheet is in a block with the clearance around.
func (j *judge) blockMM2(s *Sheet) float64 {
	lo, hi := [2]float64{math.Inf(1), math.Inf(1)}, [2]float64{math.Inf(-1), math.Inf(-1)}
	for _, p := range j.coarse.Vertices {
		u, v := s.Flat(p)
		lo, hi = [2]float64{min(lo[0], u), min(lo[1], v)}, [2]float64{max(hi[0], u), max(hi[1], v)}
	}
	return (hi[0] - lo[0] + 2*j.in.ClearanceMM) * (hi[1] - lo[1] + 2*j.in.ClearanceMM)
}

// rateAgainst scores some candidates against the best of all in each criterion.
func (j *judge) rateAgainst(some, all []candidate) {
	volume, depth, area, draw := math.Inf(1), math.Inf(1), math.Inf(1), math.Inf(1)
	for _, c := range all {
		volume, depth = min(volume, c.hooked.all()), min(depth, c.hooked.deepest())
		area, draw = min(area, c.cutMM2), min(draw, c.drawMM)
	}
	against := func(least, is, slack float64) float64 {
		return min(1, (max(0, least)+slack)/max(is+slack, 1e-9))
	}
	for i := range some {
		c := &some[i]
		c.criteria = Criteria{
			Detail: 1 - c.detail, Middle: c.middle, Keys: c.keys,
			Undercut: 0.5*against(volume, c.hooked.all(), undercutSlack*j.in.VolumeMM3) +
				0.5*against(depth, c.hooked.deepest(), depthSlack*math.Sqrt(j.in.AreaMM2)),
			Outline: against(math.Sqrt(math.Pi*j.in.AreaMM2), c.outlineMM, 0), Area: against(area, c.cutMM2, 0), Draw: against(draw, c.drawMM, 0),
		}
		c.takeLinks(j.weights)
	}
}

// extremes returns the places of the best and the worst; the first of equals.
func extremes(all []candidate) (best, worst int) {
	for i, c := range all {
		if c.score > all[best].score+1e-9 {
			best = i
		}
		if c.score < all[worst].score {
			worst = i
		}
	}
	return best, worst
}

// countedAtOnce is how many candidates' links are counted before the best is looked
// for again.
const countedAtOnce = 4

// settle returns the place of the best, all margins taken off: the first of equals.
// Links only make a score less, so that they are counted only of candidates that would be
// best without, or with as many as a plane close by.
func (j *judge) settle(ctx context.Context, all []candidate) (best int, err error) {
	worth := func(i int) float64 { return all[i].score - j.margin(&all[i]) }
	order := make([]int, len(all))
	for i := range order {
		order[i] = i
	}
	for {
		slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(worth(b), worth(a)) })
		if all[order[0]].counted || j.linking == nil {
			break
		}
		inRows(min(countedAtOnce, len(order)), func(k int) {
			if c := &all[order[k]]; ctx.Err() == nil {
				j.count(c)
			}
		})
		if ctx.Err() != nil {
			return 0, ctx.Err()
		}
	}
	for i := range all {
		if worth(i) > worth(best)+1e-9 {
			best = i
		}
	}
	return best, nil
}

// count counts the links of a candidate, once, and takes them off its score.
func (j *judge) count(c *candidate) {
	if c.counted {
		return
	}
	c.links, c.counted = j.linking.count(&c.sheet), true
	c.takeLinks(j.weights)
}

func (c *candidate) takeLinks(weights Criteria) {
	c.criteria.Links = 1
	if n := c.links[0] + c.links[1]; n > 0 {
		c.criteria.Links = 1 / (1 + linkPenalty + eachPenalty*float64(n))
	}
	c.score = c.criteria.score(weights)
}

// measureAll measures planes, each over a shadow of its own, on all processors.
func (j *judge) measureAll(ctx context.Context, planes []Sheet, throughSpout bool) ([]candidate, error) {
	all := make([]candidate, len(planes))
	inRows(len(planes), func(i int) {
		if ctx.Err() != nil {
			return
		}
		sh := newShadow(j.coarse.Mesh, j.coarse.tree, &planes[i], screenLines)
		all[i] = j.measure(planes[i], sh, 0)
		all[i].throughSpout = throughSpout
	})
	return all, ctx.Err()
}
