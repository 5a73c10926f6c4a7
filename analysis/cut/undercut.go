package cut

import (
	"math"
	"runtime"
	"sync"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
)

// shadow is what parallel lines across a sheet's plane meet, laid on a grid.
type shadow struct {
	cellMM2 float64
	low     [2]float64 // where its first cell begins
	cell    [2]float64 // its size along u and v
	cells   [2]int
	lines   []line
}

// line is one of them that meets the pattern, at u, v of the plane.
type line struct {
	u, v  float64
	turns []turn // in order
}

// turn is where a line enters or leaves the pattern, at a height over the plane.
type turn struct {
	height float64
	leaves bool
}

// newShadow sends lines along the normal of a sheet through the mesh of the tree,
// n to the longer side of its shadow.
func newShadow(m *mesh.Mesh, tree *mesh.Tree, s *Sheet, n int) *shadow {
	low, high := math.Inf(1), math.Inf(-1)
	lo, hi := [2]float64{math.Inf(1), math.Inf(1)}, [2]float64{math.Inf(-1), math.Inf(-1)}
	for _, p := range m.Vertices {
		u, v := s.Flat(p)
		h := r3.Dot(s.Normal, r3.Sub(p, s.Point))
		lo, hi = [2]float64{min(lo[0], u), min(lo[1], v)}, [2]float64{max(hi[0], u), max(hi[1], v)}
		low, high = min(low, h), max(high, h)
	}
	step := max(hi[0]-lo[0], hi[1]-lo[1]) / float64(n)
	if !(step > 0) {
		return &shadow{}
	}
	across, along := max(1, int(math.Round((hi[0]-lo[0])/step))), max(1, int(math.Round((hi[1]-lo[1])/step)))
	du, dv := (hi[0]-lo[0])/float64(across), (hi[1]-lo[1])/float64(along)
	start := low - 1 - (high - low)
	rows := make([][]line, along)
	inRows(along, func(j int) {
		for i := range across {
			u, v := lo[0]+(float64(i)+0.5)*du, lo[1]+(float64(j)+0.5)*dv
			p := r3.Add(s.Point, r3.Add(r3.Add(r3.Scale(u, s.Right), r3.Scale(v, s.Up)), r3.Scale(start, s.Normal)))
			if turns := turnsOf(m, tree.Hits(p, s.Normal), s.Normal, start); len(turns) > 0 {
				rows[j] = append(rows[j], line{u, v, turns})
			}
		}
	})
	sh := &shadow{cellMM2: du * dv, low: lo, cell: [2]float64{du, dv}, cells: [2]int{across, along}}
	for _, r := range rows {
		sh.lines = append(sh.lines, r...)
	}
	return sh
}

func turnsOf(m *mesh.Mesh, hits []mesh.Hit, normal r3.Vec, start float64) []turn {
	var turns []turn
	for _, h := range hits {
		turns = append(turns, turn{start + h.Distance, r3.Dot(m.DoubleAreaNormal(int(h.Face)), normal) > 0})
	}
	return turns
}

// inRows does rows on all processors.
func inRows(n int, do func(row int)) {
	next := make(chan int, n)
	for j := range n {
		next <- j
	}
	close(next)
	var wg sync.WaitGroup
	for range min(n, runtime.GOMAXPROCS(0)) {
		wg.Go(func() {
			for j := range next {
				do(j)
			}
		})
	}
	wg.Wait()
}

// hooked is the rubber behind the pattern on the − and the + side.
type hooked struct {
	mm3     [2]float64
	depthMM [2]float64 // the most along one line
}

func (h hooked) all() float64     { return h.mm3[0] + h.mm3[1] }
func (h hooked) deepest() float64 { return max(h.depthMM[0], h.depthMM[1]) }

// behindSheet sums up the rubber behind the pattern for a sheet over the same
// plane as the shadow, moved along its normal by shift.
func (sh *shadow) behindSheet(s *Sheet, shift float64) hooked {
	var h hooked
	for i := range sh.lines {
		l := &sh.lines[i]
		below, above := behind(l.turns, shift+s.offset(l.u, l.v))
		h.mm3[0] += below
		h.mm3[1] += above
		h.depthMM[0], h.depthMM[1] = max(h.depthMM[0], below), max(h.depthMM[1], above)
	}
	h.mm3[0] *= sh.cellMM2
	h.mm3[1] *= sh.cellMM2
	return h
}

// behind returns the length of rubber behind the pattern below and above the
// sheet along one line: from the sheet to the last exit, less what is inside.
func behind(turns []turn, sheet float64) (below, above float64) {
	below = max(0, sheet-turns[0].height)
	above = max(0, turns[len(turns)-1].height-sheet)
	for i := 0; i+1 < len(turns); i++ {
		a, b := turns[i], turns[i+1]
		if a.leaves || !b.leaves {
			continue
		}
		below -= max(0, min(b.height, sheet)-a.height)
		above -= max(0, b.height-max(a.height, sheet))
	}
	return max(0, below), max(0, above)
}

// Undercut returns the rubber that lies behind some of the pattern when each half
// of the block is drawn straight off the sheet, on the − and on the + side: its
// volume (mm³), and its depth (mm), the most of it along one line. Lines along
// the normal go through the search tree of the mesh, n to the longer side of its
// shadow.
func Undercut(m *mesh.Mesh, tree *mesh.Tree, s Sheet, n int) (mm3, depthMM [2]float64) {
	h := newShadow(m, tree, &s, n).behindSheet(&s, 0)
	return h.mm3, h.depthMM
}
