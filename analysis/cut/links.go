package cut

import (
	"math"
	"sync"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
	"pourwright/mesh/field"
)

// Link is rubber of one half that goes round the pattern and meets itself again
// within that half: it does not come off, however far it is drawn out.
type Link struct {
	Side    int     // 0: −normal, 1: +normal
	At      r3.Vec  // in the rubber, where the way through is narrowest
	WidthMM float64 // of the hole or arch there
}

// Space is how far any place is from the pattern.
type Space struct {
	Field *field.Field
	Pose  mesh.Pose // from the pattern's frame to that of the field
}

// How links are looked for (an engineering choice): on about so many cubes. Rubber
// nearer to the pattern than sealed cubes counts as pattern, so that none leaks through
// a thin wall; a link must have rubber for a core of so many cubes off the pattern, and
// stay one when the sheet is moved a little: what is less is noise.
const (
	linkCubes  = 150_000
	sealed     = 0.5
	core       = 1.25
	linkMoveMM = 1.5
)

// linking is the rubber round the pattern as cubes of a grid, with a layer of them
// beyond the pattern all round.
type linking struct {
	origin   r3.Vec // centre of the first cube
	stepMM   float64
	n        [3]int
	words    int       // to a row along x
	distance []float64 // from the pattern, mm; +Inf in the outermost layer
	rubber   cubes     // that is not sealed
	core     cubes
	halves   sync.Pool
}

// newLinking lays the grid over the bounds of a pattern.
func newLinking(bounds r3.Box, space Space) *linking {
	size := r3.Sub(bounds.Max, bounds.Min)
	g := &linking{stepMM: math.Cbrt(size.X * size.Y * size.Z / linkCubes)}
	g.stepMM = max(g.stepMM, max(size.X, size.Y, size.Z)/(linkCubes/100), 1e-9)
	for k, mm := range [3]float64{size.X, size.Y, size.Z} {
		g.n[k] = int(math.Ceil(mm/g.stepMM)) + 4
	}
	middle := r3.Scale(0.5, r3.Add(bounds.Min, bounds.Max))
	g.origin = r3.Sub(middle, r3.Scale(g.stepMM/2, r3.Vec{X: float64(g.n[0] - 1), Y: float64(g.n[1] - 1), Z: float64(g.n[2] - 1)}))
	g.words = (g.n[0] + 63) / 64
	g.distance = make([]float64, g.n[0]*g.n[1]*g.n[2])
	inRows(g.n[1]*g.n[2], func(row int) {
		for i := row * g.n[0]; i < (row+1)*g.n[0]; i++ {
			g.distance[i] = math.Inf(1)
			if !g.outermost(i) {
				g.distance[i] = space.Field.At(space.Pose.Point(g.centre(i)))
			}
		}
	})
	g.rubber, g.core = g.fartherThan(sealed*g.stepMM), g.fartherThan(core*g.stepMM)
	g.halves.New = func() any { return g.newHalf() }
	return g
}

// cube returns the place of a cube in the grid.
func (g *linking) cube(i int) (x, y, z int) {
	return i % g.n[0], i / g.n[0] % g.n[1], i / (g.n[0] * g.n[1])
}

func (g *linking) outermost(i int) bool {
	x, y, z := g.cube(i)
	return x == 0 || y == 0 || z == 0 || x == g.n[0]-1 || y == g.n[1]-1 || z == g.n[2]-1
}

func (g *linking) centre(i int) r3.Vec {
	x, y, z := g.cube(i)
	return r3.Add(g.origin, r3.Scale(g.stepMM, r3.Vec{X: float64(x), Y: float64(y), Z: float64(z)}))
}

// fartherThan returns the cubes whose centre is farther from the pattern.
func (g *linking) fartherThan(mm float64) cubes {
	all := make(cubes, g.words*g.n[1]*g.n[2])
	for i, d := range g.distance {
		if d > mm {
			all[i/g.n[0]*g.words+i%g.n[0]/64] |= 1 << (i % g.n[0] % 64)
		}
	}
	return all
}

func (g *linking) has(c cubes, i int) bool {
	return c[i/g.n[0]*g.words+i%g.n[0]/64]>>(i%g.n[0]%64)&1 != 0
}

// moves are how far the sheet is moved to tell links from noise.
func (g *linking) moves() [3]float64 {
	mm := max(linkMoveMM, g.stepMM/2)
	return [3]float64{0, -mm, mm}
}

// count returns how many links each half of a block has that is cut along a sheet: the
// fewest with the sheet moved a little to either side.
func (g *linking) count(s *Sheet) (links [2]int) {
	h := g.halves.Get().(*half)
	defer g.halves.Put(h)
	h.lay(s)
	for k, move := range g.moves() {
		h.part(move)
		for side := range links {
			if k == 0 {
				links[side] = h.links(side)
			} else if links[side] > 0 {
				links[side] = min(links[side], h.links(side))
			}
		}
		if links == [2]int{} {
			break
		}
	}
	return links
}

// half is the rubber of one side of a sheet.
type half struct {
	*linking
	height []float32 // of each cube's centre over the sheet
	above  cubes     // those on the + side
	cubes  cubes
	wide   cubes
	runs   []run
	rows   []int32 // where each row's runs begin
}

func (g *linking) newHalf() *half {
	n := len(g.rubber)
	return &half{linking: g, height: make([]float32, len(g.distance)), above: make(cubes, n),
		cubes: make(cubes, n), wide: make(cubes, n), rows: make([]int32, g.n[1]*g.n[2]+1)}
}

// lay takes the heights of all cubes over a sheet.
func (h *half) lay(s *Sheet) {
	across, du, dv := h.stepMM*s.Normal.X, h.stepMM*s.Right.X, h.stepMM*s.Up.X
	flat := s.plane()
	for row := range h.n[1] * h.n[2] {
		i := row * h.n[0]
		p := h.centre(i)
		first := r3.Dot(s.Normal, r3.Sub(p, s.Point))
		u, v := s.Flat(p)
		for x := range h.n[0] {
			mm := first + float64(x)*across
			if !flat {
				mm -= s.offset(u+float64(x)*du, v+float64(x)*dv)
			}
			h.height[i+x] = float32(mm)
		}
	}
}

// part puts the cubes higher than the sheet, moved so far, on its + side.
func (h *half) part(moveMM float64) {
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

// take fills cubes with the rubber of one side: its core, and what touches that. Where
// sheet and pattern meet in a sharp edge the rubber ends before.
func (h *half) take(side int) {
	for i, w := range h.core {
		h.cubes[i] = h.on(i, side) & w
	}
	h.spread(h.wide, h.cubes)
	for i, w := range h.rubber {
		h.cubes[i] = h.on(i, side) & w & h.wide[i]
	}
}

// on returns a word of the cubes of one side.
func (h *half) on(i, side int) uint64 {
	if side == 1 {
		return h.above[i]
	}
	return ^h.above[i]
}

// links counts the loops in the rubber of one half that cannot be drawn together in
// it, its first Betti number: pieces + cavities − Euler characteristic. Source: the
// Euler–Poincaré formula, e.g. Edelsbrunner & Harer, "Computational Topology", 2010
// (from memory).
func (h *half) links(side int) int {
	h.take(side)
	return h.pieces(h.cubes, false) + h.cavities(side) - h.euler(h.cubes)
}

// cavities counts what is enclosed by the rubber of one half: all that is no such
// rubber, put together where it touches in any way, but for the piece beyond the sheet.
func (h *half) cavities(side int) int {
	for i, w := range h.cubes {
		h.wide[i] = ^w
	}
	h.trim(h.wide)
	beyond := 0
	for i := range h.distance {
		if h.has(h.above, i) != (side == 1) {
			beyond = 1
			break
		}
	}
	return h.pieces(h.wide, true) - beyond
}
