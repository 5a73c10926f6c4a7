package airtrap

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

// foot is a place where a post may leave the pattern.
type foot struct {
	vertex int32
	at     r3.Vec
	detail float64 // mean score around it
	step   int     // the same in steps, 0 plain
	away   float64 // from the middle of the trap's level region
}

// Detail of a foot up to this is as good as plain; beyond, steps of the same
// size tell one place from another.
const plainDetail = 0.1

// feet lists places in the level region at a trap's top, one for each square of
// a post's radius: plain ones first, of equals the one nearest the middle. It
// always holds the top itself, where no air is left.
func (p *postPlan) feet(t Trap) []foot {
	m := p.s.m
	limit := t.topZ() + p.room.DepthMM
	region := p.s.flood(t.Vertex, func(v int32) bool { return m.Vertices[v].Z < limit })
	radius := p.room.Diameter(max(0, t.At.Z)) / 2
	lowest := region[0]
	best := map[[2]int]foot{}
	for _, v := range region {
		at := m.Vertices[v]
		if z := m.Vertices[lowest].Z; at.Z < z || at.Z == z && v < lowest {
			lowest = v
		}
		f := foot{vertex: v, at: at, away: r3.Norm(r3.Sub(at, t.At))}
		cell := [2]int{int(math.Floor(at.X / radius)), int(math.Floor(at.Y / radius))}
		if b, known := best[cell]; !known || cmp.Or(cmp.Compare(f.away, b.away), cmp.Compare(v, b.vertex)) < 0 {
			best[cell] = f
		}
	}
	feet := make([]foot, 0, len(best)+1)
	for _, f := range best { // sorted below
		feet = append(feet, f)
	}
	if !slices.ContainsFunc(feet, func(f foot) bool { return f.vertex == lowest }) {
		feet = append(feet, foot{vertex: lowest, at: m.Vertices[lowest], away: r3.Norm(r3.Sub(m.Vertices[lowest], t.At))})
	}
	for i := range feet {
		feet[i].detail = p.detailAround(feet[i].vertex, radius)
		feet[i].step = max(0, int(math.Ceil(feet[i].detail/plainDetail))-1)
	}
	slices.SortFunc(feet, func(a, b foot) int {
		return cmp.Or(cmp.Compare(a.step, b.step), cmp.Compare(a.away, b.away), cmp.Compare(a.vertex, b.vertex))
	})
	return feet
}

// detailAround returns the mean score of the vertices within a radius of one.
func (p *postPlan) detailAround(v int32, radius float64) float64 {
	if p.room.Detail == nil {
		return 0
	}
	m := p.s.m
	around := p.s.flood(v, func(w int32) bool { return r3.Norm2(r3.Sub(m.Vertices[w], m.Vertices[v])) <= radius*radius })
	sum := 0.0
	for _, w := range around {
		sum += float64(p.room.Detail[w])
	}
	return sum / float64(len(around))
}

// airBelow returns the volume, mm³, of the trap's space that is lower in the
// stand than level, which is above it once the block is turned over.
func (s *Surface) airBelow(t Trap, level float64) float64 {
	m, down := s.m, r3.Vec{Z: -1}
	seen := map[int32]bool{}
	sum := 0.0
	low := t.Vertex
	for _, v := range s.flood(t.Vertex, func(v int32) bool { return m.Vertices[v].Z < max(level, t.At.Z) }) {
		if m.Vertices[v].Z < m.Vertices[low].Z {
			low = v
		}
	}
	if m.Vertices[low].Z >= level {
		return 0
	}
	for _, v := range s.flood(low, func(v int32) bool { return m.Vertices[v].Z < level }) {
		for _, f := range s.faces.Of(int(v)) {
			if !seen[f] {
				seen[f] = true
				a, b, c := m.Corners(int(f))
				sum += column(down, a, b, c, -level)
			}
		}
	}
	return max(0, sum)
}
