package airtrap

import (
	"cmp"
	"maps"
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
	region = p.s.upTo(p.highestEnd(t, p.s.facesAround(region)), region)
	radius := p.room.Diameter(max(0, t.At.Z)) / 2
	best := map[[2]int]foot{}
	for i, v := range region {
		at := m.Vertices[v]
		f := foot{vertex: v, at: at, away: r3.Norm(r3.Sub(at, t.At))}
		cell := [2]int{int(math.Floor(at.X / radius)), int(math.Floor(at.Y / radius))}
		if i == 0 {
			cell = [2]int{math.MaxInt, 0} // the lowest, whatever else is near it
		}
		if b, known := best[cell]; !known || cmp.Or(cmp.Compare(f.away, b.away), cmp.Compare(v, b.vertex)) < 0 {
			best[cell] = f
		}
	}
	feet := slices.Collect(maps.Values(best)) // sorted below
	for i := range feet {
		feet[i].detail = p.detailAround(feet[i].vertex, radius)
		feet[i].step = max(0, int(math.Ceil(feet[i].detail/plainDetail))-1)
	}
	slices.SortFunc(feet, func(a, b foot) int {
		return cmp.Or(cmp.Compare(a.step, b.step), cmp.Compare(a.away, b.away), cmp.Compare(a.vertex, b.vertex))
	})
	return feet
}

// upTo keeps the vertices up to a height, the lowest of all first.
func (s *Surface) upTo(height float64, vertices []int32) []int32 {
	at := s.m.Vertices
	lowest := slices.MinFunc(vertices, func(v, w int32) int {
		return cmp.Or(cmp.Compare(at[v].Z, at[w].Z), cmp.Compare(v, w))
	})
	kept := []int32{lowest}
	for _, v := range vertices {
		if v != lowest && at[v].Z <= height {
			kept = append(kept, v)
		}
	}
	return kept
}

// highestEnd returns the highest z at which a post may end: as far below the
// trap's top, seen with the block turned over, as leaves no air that matters.
func (p *postPlan) highestEnd(t Trap, faces []int32) float64 {
	low, high := t.topZ(), t.topZ()+p.room.DepthMM
	if p.s.airBelow(faces, high) <= p.room.LeastMM3 {
		return high
	}
	for range 16 {
		if mid := (low + high) / 2; p.s.airBelow(faces, mid) <= p.room.LeastMM3 {
			low = mid
		} else {
			high = mid
		}
	}
	return low
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

// facesAround returns the faces at some vertices, each once.
func (s *Surface) facesAround(vertices []int32) []int32 {
	seen := map[int32]bool{}
	var faces []int32
	for _, v := range vertices {
		for _, f := range s.faces.Of(int(v)) {
			if !seen[f] {
				seen[f] = true
				faces = append(faces, f)
			}
		}
	}
	return faces
}

// airBelow returns the volume, mm³, of the cavity's space over some faces of its
// low places that is below a level of the stand; that is above it once the block
// is turned over.
func (s *Surface) airBelow(faces []int32, level float64) float64 {
	sum := 0.0
	for _, f := range faces {
		a, b, c := s.m.Corners(int(f))
		sum += column(r3.Vec{Z: -1}, a, b, c, -level)
	}
	return max(0, sum)
}
