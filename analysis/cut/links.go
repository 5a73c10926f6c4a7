package cut

import (
	"math"
	"math/bits"
	"slices"
	"sync"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
	"pourwright/mesh/field"
)

// Link is rubber of one half that goes round the pattern and meets itself again,
// within that half: it does not come off, however far it is drawn out.
type Link struct {
	Side    int     // 0: −normal, 1: +normal
	At      r3.Vec  // in the rubber, where the way through is narrowest
	WidthMM float64 // of the hole or arch there
}

// How links are looked for: on about so many cubes, less than that being noise, and
// with all that lies nearer to the pattern than a share of a cube taken for pattern.
// A link stays one when the sheet is moved a little (an engineering choice).
const (
	linkVoxels  = 125_000
	linkShare   = 0.4
	linkMoveMM  = 1.5
	linkPenalty = 0.5 // a score is divided by 1 and so much for each link (common practice, no source)
)

var linkMoves = [3]float64{0, -linkMoveMM, linkMoveMM}

// linking is the rubber round the pattern as cubes of a grid, with a layer of them
// beyond the pattern all round.
type linking struct {
	pose     mesh.Pose // from the pattern's frame to that of the grid
	origin   r3.Vec    // centre of the first cube
	stepMM   float64
	n        [3]int
	words    int          // to a row along x
	distance []float64    // from the pattern, mm; +Inf in the outermost layer
	rubber   [2]cubes     // all of it, and what is left of it a little off the pattern
	shells   [2][][]int32 // the pattern's pieces that do not touch, for either
	buffers  sync.Pool
}

// cubes is a set of them, a bit each, row by row.
type cubes []uint64

// newLinking takes every so many voxels of the pattern's field.
func newLinking(f *field.Field, pose mesh.Pose) *linking {
	stride := max(1, int(math.Ceil(math.Cbrt(float64(len(f.Distance))/linkVoxels))))
	g := &linking{pose: pose, stepMM: float64(stride) * f.VoxelMM}
	for k := range g.n {
		g.n[k] = (f.N[k]-1)/stride + 3
	}
	g.origin = r3.Sub(f.Origin, r3.Vec{X: g.stepMM, Y: g.stepMM, Z: g.stepMM})
	g.words = (g.n[0] + 63) / 64
	g.distance = make([]float64, g.n[0]*g.n[1]*g.n[2])
	for i := range g.distance {
		g.distance[i] = math.Inf(1)
		x, y, z := g.cube(i)
		if x > 0 && y > 0 && z > 0 && x < g.n[0]-1 && y < g.n[1]-1 && z < g.n[2]-1 {
			g.distance[i] = float64(f.Distance[(((z-1)*stride)*f.N[1]+(y-1)*stride)*f.N[0]+(x-1)*stride])
		}
	}
	for k, share := range [2]float64{0, linkShare} {
		g.rubber[k], g.shells[k] = g.fartherThan(share * g.stepMM)
	}
	g.buffers.New = func() any { return g.newHalving() }
	return g
}

// cube returns the place of a cube in the grid.
func (g *linking) cube(i int) (x, y, z int) {
	return i % g.n[0], i / g.n[0] % g.n[1], i / (g.n[0] * g.n[1])
}

func (g *linking) centre(i int) r3.Vec {
	x, y, z := g.cube(i)
	return r3.Add(g.origin, r3.Scale(g.stepMM, r3.Vec{X: float64(x), Y: float64(y), Z: float64(z)}))
}

// fartherThan returns the cubes whose centre is farther from the pattern, and the
// others put together where they touch, in any way. What of those is small is rubber.
func (g *linking) fartherThan(mm float64) (cubes, [][]int32) {
	all := make(cubes, g.words*g.n[1]*g.n[2])
	var shells [][]int32
	seen := make([]bool, len(g.distance))
	for i, d := range g.distance {
		if d > mm {
			g.set(all, i)
		} else if !seen[i] {
			shells = append(shells, g.touching(i, mm, seen))
		}
	}
	largest := 0
	for _, s := range shells {
		largest = max(largest, len(s))
	}
	shells = slices.DeleteFunc(shells, func(s []int32) bool {
		small := len(s) < largest/100
		for _, i := range s {
			if small {
				g.set(all, int(i))
			}
		}
		return small
	})
	return all, shells
}

func (g *linking) set(c cubes, i int) {
	c[i/g.n[0]*g.words+i%g.n[0]/64] |= 1 << (i % g.n[0] % 64)
}

func (g *linking) has(c cubes, i int) bool {
	return c[i/g.n[0]*g.words+i%g.n[0]/64]>>(i%g.n[0]%64)&1 != 0
}

// touching lists the pattern's cubes that hang together with one of them.
func (g *linking) touching(first int, mm float64, seen []bool) []int32 {
	seen[first] = true
	piece := []int32{int32(first)}
	for k := 0; k < len(piece); k++ {
		for dz := -1; dz <= 1; dz++ {
			for dy := -1; dy <= 1; dy++ {
				for dx := -1; dx <= 1; dx++ {
					i := int(piece[k]) + (dz*g.n[1]+dy)*g.n[0] + dx
					if !seen[i] && !(g.distance[i] > mm) { // never beyond the outermost layer
						seen[i] = true
						piece = append(piece, int32(i))
					}
				}
			}
		}
	}
	return piece
}

// count returns how many links each half of a block has that is cut along a sheet:
// the least of those found with the sheet moved a little to either side, and with the
// pattern a little thicker, for what is there each time is no noise.
func (g *linking) count(s *Sheet) [2]int {
	h := g.buffers.Get().(*halving)
	defer g.buffers.Put(h)
	h.lay(s)
	least := [2]int{math.MaxInt, math.MaxInt}
	for _, move := range linkMoves {
		h.part(move)
		for level := range g.rubber {
			for side := range least {
				if least[side] > 0 {
					least[side] = min(least[side], h.links(level, side, least[side]))
				}
			}
		}
		if least == [2]int{} {
			break
		}
	}
	return least
}

// halving is room for parting the grid by a sheet.
type halving struct {
	*linking
	height []float32 // of each cube's centre over the sheet
	above  cubes     // those on the + side
	half   cubes
	runs   []run
	rows   []int32 // where each row's runs begin
}

// run is cubes of a row that touch, up to the one before end.
type run struct{ start, end, root int32 }

func (g *linking) newHalving() *halving {
	return &halving{linking: g, height: make([]float32, len(g.distance)), above: make(cubes, len(g.rubber[0])),
		half: make(cubes, len(g.rubber[0])), rows: make([]int32, g.n[1]*g.n[2]+1)}
}

// lay takes the heights of all cubes over a sheet, given in the pattern's frame.
func (h *halving) lay(s *Sheet) {
	moved := s.Moved(h.pose)
	across := h.stepMM * moved.Normal.X
	for row := range h.n[1] * h.n[2] {
		i := row * h.n[0]
		first := moved.Height(h.centre(i))
		for x := range h.n[0] {
			if moved.plane() {
				h.height[i+x] = float32(first + float64(x)*across)
			} else {
				h.height[i+x] = float32(moved.Height(h.centre(i + x)))
			}
		}
	}
}

// part puts the cubes higher than the sheet, moved so far, on its + side.
func (h *halving) part(moveMM float64) {
	move := float32(moveMM)
	for row := range h.n[1] * h.n[2] {
		heights := h.height[row*h.n[0] : (row+1)*h.n[0]]
		for k := range h.words {
			var word uint64
			for b, height := range heights[64*k : min(64*k+64, h.n[0])] {
				if height >= move {
					word |= 1 << b
				}
			}
			h.above[row*h.words+k] = word
		}
	}
}

// take fills half with the rubber of one side.
func (h *halving) take(level, side int) {
	for i, w := range h.rubber[level] {
		if side == 1 {
			h.half[i] = w & h.above[i]
		} else {
			h.half[i] = w &^ h.above[i]
		}
	}
}

// links counts the loops in the rubber of one half that cannot be drawn together in
// it, its first Betti number: pieces + cavities − Euler characteristic; cavities are
// the pattern's pieces that lie wholly in that half. From enough on it says no more
// than that. Source: Euler–Poincaré formula, e.g. Edelsbrunner & Harer, "Computational
// Topology", 2010 (from memory).
func (h *halving) links(level, side, enough int) int {
	h.take(level, side)
	found := h.cavities(level, side) - h.euler()
	if found+1 >= enough {
		return enough
	}
	return found + h.pieces()
}

func (h *halving) cavities(level, side int) int {
	n := 0
	for _, shell := range h.shells[level] {
		if !slices.ContainsFunc(shell, func(i int32) bool { return h.has(h.above, int(i)) != (side == 1) }) {
			n++
		}
	}
	return n
}

// euler counts the cubes of half, less the pairs that share a face, with the squares
// of four and less the blocks of eight.
func (h *halving) euler() int {
	w, ny := h.words, h.n[1]
	none := make([]uint64, w)
	row := func(y, z int) []uint64 {
		if y >= ny || z >= h.n[2] {
			return none
		}
		return h.half[(z*ny+y)*w : (z*ny+y+1)*w]
	}
	next := func(r []uint64, k int) uint64 { // each cube's neighbour along x
		if k+1 < w {
			return r[k]>>1 | r[k+1]<<63
		}
		return r[k] >> 1
	}
	sum := 0
	for z := range h.n[2] {
		for y := range ny {
			a, b, c, d := row(y, z), row(y+1, z), row(y, z+1), row(y+1, z+1)
			for k, word := range a {
				if word == 0 {
					continue
				}
				pair, ab, ac, abcd := word&next(a, k), word&b[k], word&c[k], word&b[k]&c[k]&d[k]
				xab, xac := pair&b[k]&next(b, k), pair&c[k]&next(c, k)
				sum += bits.OnesCount64(word) - bits.OnesCount64(pair) - bits.OnesCount64(ab) - bits.OnesCount64(ac) +
					bits.OnesCount64(xab) + bits.OnesCount64(xac) + bits.OnesCount64(abcd) - bits.OnesCount64(xab&xac&d[k]&next(d, k))
			}
		}
	}
	return sum
}

// pieces counts those of half that share no face.
func (h *halving) pieces() int {
	h.findRuns()
	pieces := len(h.runs)
	for z := range h.n[2] {
		for y := range h.n[1] {
			row := z*h.n[1] + y
			if y > 0 {
				pieces -= h.join(row-1, row)
			}
			if z > 0 {
				pieces -= h.join(row-h.n[1], row)
			}
		}
	}
	return pieces
}

func (h *halving) findRuns() {
	h.runs = h.runs[:0]
	for row := range h.n[1] * h.n[2] {
		h.rows[row] = int32(len(h.runs))
		start := int32(-1)
		for k, word := range h.half[row*h.words : (row+1)*h.words] {
			for at := 0; at < 64; {
				rest := word >> at
				if start < 0 { // look for the next cube
					if rest == 0 {
						break
					}
					at += bits.TrailingZeros64(rest)
					start = int32(64*k + at)
				}
				at += bits.TrailingZeros64(^(word >> at)) // 64 where all are set
				if at >= 64 && k+1 < h.words {
					break
				}
				h.runs = append(h.runs, run{start, int32(64*k + min(at, 64)), int32(len(h.runs))})
				start = -1
			}
		}
	}
	h.rows[len(h.rows)-1] = int32(len(h.runs))
}

// join puts runs of two rows together where they touch, and returns how many pieces
// that are no longer apart.
func (h *halving) join(one, other int) (joined int) {
	i, j := h.rows[one], h.rows[other]
	for i < h.rows[one+1] && j < h.rows[other+1] {
		a, b := &h.runs[i], &h.runs[j]
		if a.start < b.end && b.start < a.end {
			if p, q := h.root(i), h.root(j); p != q {
				h.runs[max(p, q)].root = min(p, q)
				joined++
			}
		}
		if a.end < b.end {
			i++
		} else {
			j++
		}
	}
	return joined
}

func (h *halving) root(i int32) int32 {
	for h.runs[i].root != i {
		h.runs[i].root = h.runs[h.runs[i].root].root
		i = h.runs[i].root
	}
	return i
}
