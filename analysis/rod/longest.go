package rod

import (
	"cmp"
	"container/heap"
	"context"
	"runtime"
	"slices"
	"sync"

	"gonum.org/v1/gonum/spatial/r3"
)

const (
	firstBlocks = 450     // ends to begin with, at most
	mostLooks   = 120_000 // pairs of blocks looked into
	enough      = 1.003   // a pair must promise so much more than what was found
	keptStarts  = 10      // different ones that are made longer on the surface itself
	withCare    = 4       // of them, with care
)

// pair stands for all axes that start in one block and end in another.
type pair struct {
	level  int
	a, b   int32
	length float64 // between the middles, mm
}

type pairs []pair

func (p pairs) Len() int           { return len(p) }
func (p pairs) Swap(i, j int)      { p[i], p[j] = p[j], p[i] }
func (p *pairs) Push(x any)        { *p = append(*p, x.(pair)) }
func (p *pairs) Pop() any          { old := *p; last := old[len(old)-1]; *p = old[:len(old)-1]; return last }
func (p pairs) Less(i, j int) bool { return cmpPairs(p[i], p[j]) < 0 }

// cmpPairs puts longer ones first, and settles ties for the same order every run.
func cmpPairs(p, q pair) int {
	return cmp.Or(cmp.Compare(q.length, p.length), cmp.Compare(p.level, q.level), cmp.Compare(p.a, q.a), cmp.Compare(p.b, q.b))
}

// longest returns the longest rods that differ, as good as proved, longest first.
func (r *room) longest(ctx context.Context) ([]Segment, error) {
	starts, err := r.starts(ctx)
	if err != nil {
		return nil, err
	}
	return r.improve(ctx, starts, nil)
}

// improve makes rods longer, all of them a little and those that promise most
// with care, and returns what is proved of these, longest first.
func (r *room) improve(ctx context.Context, starts []Segment, by *Spout) ([]Segment, error) {
	rough, err := r.each(ctx, starts, func(s Segment) Segment {
		s = r.polish(s, by, quick)
		sure := r.likely(s)
		if sure.Length() < 0.98*s.Length() {
			if again := r.likely(r.polish(sure, by, quick)); again.Length() > sure.Length() {
				return again
			}
		}
		return sure
	})
	if err != nil {
		return nil, err
	}
	good := newBest(r.voxelMM, withCare)
	for _, s := range rough {
		good.add(s)
	}
	found, err := r.each(ctx, good.sure, func(s Segment) Segment { return r.finish(r.polish(s, by, thorough), by) })
	if err != nil {
		return nil, err
	}
	found = slices.DeleteFunc(found, func(s Segment) bool { return s.Length() == 0 })
	slices.SortStableFunc(found, func(a, b Segment) int { return cmp.Compare(b.Length(), a.Length()) })
	return found, nil
}

// each does the same to all segments, on all processors.
func (r *room) each(ctx context.Context, all []Segment, do func(Segment) Segment) ([]Segment, error) {
	out := make([]Segment, len(all))
	slots := make(chan struct{}, runtime.GOMAXPROCS(0))
	var wg sync.WaitGroup
	for i, s := range all {
		wg.Go(func() {
			slots <- struct{}{}
			defer func() { <-slots }()
			if ctx.Err() == nil && s.Length() > 0 {
				out[i] = do(s)
			}
		})
	}
	wg.Wait()
	return out, ctx.Err()
}

// starts searches all axes by the field, from coarse to fine, and returns the
// best that differ. An axis between points of two blocks is nowhere farther from
// the one between their middles than the blocks' corners are from those, and
// distances change no faster than places; so a pair whose middle line comes too
// near to the surface by more than that is left out with all that is in it.
func (r *room) starts(ctx context.Context) ([]Segment, error) {
	levels := r.pyramid()
	deep := r.reach - r.coarse
	queue := r.firstPairs(levels, deep)
	best := newBest(3*r.voxelMM, keptStarts)
	var as, bs []int32
	for looks := 0; queue.Len() > 0 && looks < mostLooks; {
		if looks&1023 == 0 && ctx.Err() != nil {
			return nil, ctx.Err()
		}
		p := heap.Pop(queue).(pair)
		b := levels[p.level]
		if p.length+2*b.corner() < enough*best.longest() {
			continue
		}
		looks++
		s := Segment{b.middle(p.a), b.middle(p.b)}
		if !r.clear(s, r.reach-b.corner()-r.coarse) {
			continue
		}
		if sure := r.roughly(s, r.reach-r.voxelMM/4); sure.Length() > 0 {
			best.add(sure)
		}
		if p.level == 0 {
			best.hope(s)
			continue
		}
		finer := levels[p.level-1]
		as, bs = finer.within(b, p.a, deep, as[:0]), finer.within(b, p.b, deep, bs[:0])
		for _, i := range as {
			for _, j := range bs {
				l := r3.Norm(r3.Sub(finer.middle(i), finer.middle(j)))
				if l+2*finer.corner() >= enough*best.longest() {
					heap.Push(queue, pair{p.level - 1, i, j, l})
				}
			}
		}
	}
	if all := best.all(); len(all) > 0 {
		return all, nil
	}
	return r.around(levels[0]), nil
}

// firstPairs pairs the blocks of the finest level that has few enough.
func (r *room) firstPairs(levels []blocks, deep float64) *pairs {
	level := 0
	ends := levels[0].deeper(deep)
	for len(ends) > firstBlocks && level+1 < len(levels) {
		level++
		ends = levels[level].deeper(deep)
	}
	queue := &pairs{}
	for i, a := range ends {
		for _, b := range ends[i+1:] {
			l := r3.Norm(r3.Sub(levels[level].middle(a), levels[level].middle(b)))
			*queue = append(*queue, pair{level, a, b, l})
		}
		if level > 0 { // both ends in the same block
			*queue = append(*queue, pair{level, a, a, 0})
		}
	}
	heap.Init(queue)
	return queue
}

// clear says whether by the field all of a segment is at least need deep; a
// negative need is always met.
func (r *room) clear(s Segment, need float64) bool {
	if need <= 0 {
		need = 0
	}
	l := s.Length()
	for x := 0.0; ; {
		t := 1.0
		if l > 0 {
			t = min(1, x/l)
		}
		deep := r.depth(s.At(t))
		if deep < need {
			return false
		}
		if t == 1 {
			return true
		}
		x += max(deep-need, r.voxelMM/2)
	}
}

// around returns short axes through the deepest place, for polishing.
func (r *room) around(voxels blocks) []Segment {
	deepest := slices.Index(voxels.deep, slices.Max(voxels.deep))
	if float64(voxels.deep[deepest]) < r.reach-r.coarse {
		return nil
	}
	p := voxels.middle(int32(deepest))
	var all []Segment
	for i := 0; i < len(axes); i += 2 {
		d := r3.Scale(r.voxelMM/2, axes[i])
		all = append(all, Segment{r3.Sub(p, d), r3.Add(p, d)})
	}
	return all
}
