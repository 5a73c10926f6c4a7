package cut

import (
	"context"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

// A stepped sheet has a corner every column of the plane; its offsets are sought
// among levels. mostSlope keeps it gentle to cut (common practice, no source).
const (
	columns   = 24
	levels    = 41
	mostSlope = 0.6
	reach     = 0.35 // of the pattern's size across the plane: the largest offset
	basesDeg  = 10   // between the planes that it may step aside from
	// bendCost is what a step of one level costs, as a share of a flat sheet.
	bendCost = 0.004
)

// stepAside looks for sheets that cross less detail and leave less undercut
// by stepping aside from some plane, with corners along either direction of it.
// The offsets come by dynamic programming over the columns: what a column costs
// depends only on its own offset, what a step costs on two neighbours. They are
// scored against all others.
func (j *judge) stepAside(ctx context.Context, plane candidate, all []candidate) ([]candidate, error) {
	bases := turnedPlanes(plane, basesDeg)
	found := make([][]candidate, len(bases))
	inRows(len(bases), func(i int) {
		if ctx.Err() != nil {
			return
		}
		sh := newShadow(j.coarse.Mesh, j.coarse.tree, &bases[i], 2*screenLines)
		for _, alongUp := range [2]bool{true, false} {
			p := newProfileSearch(j, bases[i], alongUp)
			if !(p.columnMM > 0 && p.levelMM > 0) {
				continue
			}
			if s := p.sheet(p.cheapest(p.costs(sh))); len(s.Steps) > 0 {
				c := j.measure(s, sh, 0)
				c.throughSpout = plane.throughSpout
				found[i] = append(found[i], c)
			}
		}
	})
	stepped := slices.Concat(found...)
	j.rateAgainst(stepped, all)
	return stepped, ctx.Err()
}

// turnedPlanes returns a plane and, where it is upright, others through the same
// point all round, so far apart: the best plane need not lie under the best sheet.
func turnedPlanes(plane candidate, apartDeg int) []Sheet {
	s := plane.sheet
	bases := []Sheet{s}
	if math.Abs(s.Normal.Z) > 1e-9 {
		return bases
	}
	for turn := apartDeg; turn < 180; turn += apartDeg {
		sin, cos := math.Sincos(float64(turn) * math.Pi / 180)
		bases = append(bases, NewPlane(s.Point, r3.Add(r3.Scale(cos, s.Normal), r3.Scale(sin, s.Right))))
	}
	return bases
}

// profileSearch is the grid of offsets.
type profileSearch struct {
	j                 *judge
	plane             Sheet
	startMM, columnMM float64
	levelMM           float64
	fixed             [columns]bool // columns of the spout, where the offset is none
}

func newProfileSearch(j *judge, plane Sheet, alongUp bool) *profileSearch {
	p := &profileSearch{j: j, plane: plane}
	p.plane.AlongUp = alongUp
	lo, hi, low, high := math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)
	for _, q := range j.coarse.Vertices {
		at, h := p.plane.along(q), p.plane.Height(q)
		lo, hi, low, high = min(lo, at), max(hi, at), min(low, h), max(high, h)
	}
	p.startMM, p.columnMM = lo, (hi-lo)/columns
	p.levelMM = 2 * reach * (high - low) / (levels - 1)
	spout := p.plane.along(j.in.Axis)
	for c := range p.fixed {
		p.fixed[c] = math.Abs(p.middle(c)-spout) <= max(j.in.SpoutMM, p.columnMM)/2
	}
	return p
}

func (p *profileSearch) middle(column int) float64 {
	return p.startMM + (float64(column)+0.5)*p.columnMM
}

func (p *profileSearch) column(at float64) int {
	return max(0, min(columns-1, int((at-p.startMM)/p.columnMM)))
}

func (p *profileSearch) offset(level int) float64 { return float64(level-levels/2) * p.levelMM }

// costs tells what each column costs at each level: detail crossed and undercut
// as shares of the sums of the flat sheet, weighed as in the score, and a little
// for the length of the seam. The length of the outline at a level, times the
// step to the next, is the area of the surface between the two, seen across the
// normal (coarea formula).
func (p *profileSearch) costs(sh *shadow) (cost [columns][levels]float64) {
	var length, crossed, undercut [columns][levels]float64
	p.outlines(&length, &crossed)
	for i := range sh.lines {
		l := &sh.lines[i]
		at := l.u
		if p.plane.AlongUp {
			at = l.v
		}
		column := p.column(at)
		for k := range levels {
			below, above := behind(l.turns, p.offset(k))
			undercut[column][k] += (below + above) * sh.cellMM2
		}
	}
	w := p.j.weights
	var seam, hooks float64
	for c := range columns {
		seam += length[c][levels/2]
		hooks += undercut[c][levels/2]
	}
	hooks = max(hooks, undercutSlack*p.j.in.VolumeMM3)
	for c := range columns {
		for k := range levels {
			cost[c][k] = w.Undercut * undercut[c][k] / hooks
			if seam > 0 {
				cost[c][k] += (w.Detail*crossed[c][k] + w.Outline*length[c][k]) / seam
			}
			if p.fixed[c] && k != levels/2 {
				cost[c][k] = math.Inf(1)
			}
		}
	}
	return cost
}

// outlines sums up, for each column and level, the length of the outline and the
// detail along it.
func (p *profileSearch) outlines(length, crossed *[columns][levels]float64) {
	m := p.j.coarse
	for f, t := range m.Faces {
		n := m.DoubleAreaNormal(f)
		twice := r3.Norm(n)
		if twice == 0 {
			continue
		}
		cos := r3.Dot(n, p.plane.Normal) / twice
		share := twice / 2 * math.Sqrt(max(0, 1-cos*cos)) / p.levelMM
		a, b, c := m.Corners(f)
		middle := r3.Scale(1./3, r3.Add(a, r3.Add(b, c)))
		level := int(math.Round(p.plane.Height(middle)/p.levelMM)) + levels/2
		if level < 0 || level >= levels {
			continue
		}
		column := p.column(p.plane.along(middle))
		length[column][level] += share
		crossed[column][level] += share * (m.detail[t[0]] + m.detail[t[1]] + m.detail[t[2]]) / 3
	}
}

// cheapest returns the level of each column for which costs and bends are least.
// Source: Bellman, "Dynamic Programming", 1957 (from memory).
func (p *profileSearch) cheapest(cost [columns][levels]float64) (level [columns]int) {
	most := max(1, int(mostSlope*p.columnMM/p.levelMM))
	var from [columns][levels]int
	total := cost[0]
	for c := 1; c < columns; c++ {
		var next [levels]float64
		for k := range levels {
			next[k] = math.Inf(1)
			for i := max(0, k-most); i <= min(levels-1, k+most); i++ {
				if x := total[i] + bendCost*math.Abs(float64(i-k)); x < next[k] {
					next[k], from[c][k] = x, i
				}
			}
			next[k] += cost[c][k]
		}
		total = next
	}
	last := levels / 2
	for k := range levels {
		if total[k] < total[last] {
			last = k
		}
	}
	for c := columns - 1; c >= 0; c-- {
		level[c] = last
		last = from[c][last]
	}
	return level
}

// sheet makes the sheet of the levels, without corners that do not bend it; the
// plane itself where all are level.
func (p *profileSearch) sheet(level [columns]int) Sheet {
	s := p.plane
	for c := range columns {
		if c > 0 && c < columns-1 && level[c-1]-level[c] == level[c]-level[c+1] {
			continue
		}
		s.Steps = append(s.Steps, Step{p.middle(c), p.offset(level[c])})
	}
	for _, step := range s.Steps {
		if step.OffsetMM != 0 {
			return s
		}
	}
	s.Steps = nil
	return s
}
