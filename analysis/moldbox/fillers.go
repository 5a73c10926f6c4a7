package moldbox

import (
	"context"
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// Fillers worth the work, and how far they keep from the cut, whose keys want
// rubber (common practice, no source).
const (
	leastFilletMM   = 20
	leastBlockMM    = 25
	leastBlockMM3   = 100_000
	leastBlockShare = 0.03 // of the box
	mostBlocks      = 4
	fromCutMM       = 25
)

// Filler takes the place of rubber that would only be waste. It stands on the
// board.
type Filler struct {
	Kind     string   // "fillet" in a corner | "block"
	Foot     []r2.Vec // corners of its foot, counter-clockwise, stand frame
	HeightMM float64
}

// VolumeMM3 returns what it displaces below a level.
func (f Filler) VolumeMM3(levelMM float64) float64 {
	return polygonArea(f.Foot) * max(0, min(levelMM, f.HeightMM))
}

// DistanceMM returns the distance of a point outside the filler from it.
func (f Filler) DistanceMM(p r3.Vec) float64 {
	q := r2.Vec{X: p.X, Y: p.Y}
	beside, inside := math.Inf(1), true
	for i, a := range f.Foot {
		b := f.Foot[(i+1)%len(f.Foot)]
		d := r2.Sub(b, a)
		t := min(1, max(0, r2.Dot(r2.Sub(q, a), d)/r2.Norm2(d)))
		beside = min(beside, r2.Norm(r2.Sub(q, r2.Add(a, r2.Scale(t, d)))))
		inside = inside && turn(a, b, q) >= 0
	}
	if inside {
		beside = 0
	}
	return math.Hypot(beside, max(0, p.Z-f.HeightMM))
}

// Void says where a filler may not stand.
type Void struct {
	ClearanceMM float64                // to keep from the pattern
	Distance    func(p r3.Vec) float64 // of a point outside the pattern from it
	Keep        []Pillar               // stems and posts
	CutPoint    r3.Vec
	CutNormal   r3.Vec // zero: no cut is known
}

// Pillar is a round upright place to keep from.
type Pillar struct {
	At       r2.Vec
	RadiusMM float64
}

// Fillers returns what can stand in a rectangular box where the rubber would
// only be waste: fillets in its corners, then blocks, the largest first. Other
// boxes have none: they hug the pattern already.
func Fillers(ctx context.Context, floor Floor, wallMM, levelMM float64, v Void) ([]Filler, error) {
	if floor.Shape != Rectangle {
		return nil, nil
	}
	length, width := floor.overAll()
	g := newVoidGrid(length, width, levelMM, v)
	if err := g.measure(ctx); err != nil {
		return nil, err
	}
	fillers := g.fillets(wallMM)
	for range mostBlocks {
		b, found := g.block(length * width * levelMM)
		if !found {
			break
		}
		fillers = append(fillers, b)
	}
	return fillers, nil
}

// voidGrid is the box in upright columns, and how high each is free from the
// board up.
type voidGrid struct {
	v             Void
	length, width float64
	level         float64
	nx, ny, nz    int
	dx, dy, dz    float64
	free          []int // cells of column (i, j) free from the board up, at i + j·nx
}

func newVoidGrid(length, width, level float64, v Void) *voidGrid {
	step := max(4, max(length, width, level)/64)
	g := &voidGrid{v: v, length: length, width: width, level: level}
	g.nx, g.ny, g.nz = int(math.Ceil(length/step)), int(math.Ceil(width/step)), int(math.Ceil(level/step))
	g.dx, g.dy, g.dz = length/float64(g.nx), width/float64(g.ny), level/float64(g.nz)
	g.free = make([]int, g.nx*g.ny)
	return g
}

func (g *voidGrid) middle(i, j int) r2.Vec {
	return r2.Vec{X: (float64(i)+0.5)*g.dx - g.length/2, Y: (float64(j)+0.5)*g.dy - g.width/2}
}

// measure finds how high each column is free. A cell is when its middle is as far
// from the pattern as the clearance and half the cell's diagonal.
func (g *voidGrid) measure(ctx context.Context) error {
	reach := g.v.ClearanceMM + math.Sqrt(g.dx*g.dx+g.dy*g.dy+g.dz*g.dz)/2
	flat := math.Hypot(g.dx, g.dy) / 2
	for j := range g.ny {
		if err := ctx.Err(); err != nil {
			return err
		}
		for i := range g.nx {
			at := g.middle(i, j)
			if !g.mayStand(at, flat) {
				continue
			}
			k := 0
			for k < g.nz && g.v.Distance(r3.Vec{X: at.X, Y: at.Y, Z: (float64(k) + 0.5) * g.dz}) >= reach {
				k++
			}
			g.free[i+j*g.nx] = k
		}
	}
	return nil
}

// mayStand tells whether a place on the board is off the cut and the posts.
func (g *voidGrid) mayStand(at r2.Vec, slack float64) bool {
	if n := g.v.CutNormal; n.X != 0 || n.Y != 0 {
		if math.Abs(n.X*(at.X-g.v.CutPoint.X)+n.Y*(at.Y-g.v.CutPoint.Y))/math.Hypot(n.X, n.Y) < fromCutMM+slack {
			return false
		}
	}
	for _, p := range g.v.Keep {
		if r2.Norm(r2.Sub(at, p.At)) < p.RadiusMM+g.v.ClearanceMM+slack {
			return false
		}
	}
	return true
}

// fillets returns the largest fillet of each corner, at 45°, that is free up to
// the level, and takes its columns.
func (g *voidGrid) fillets(wallMM float64) []Filler {
	var all []Filler
	for _, c := range [4][2]float64{{-1, -1}, {1, -1}, {1, 1}, {-1, 1}} {
		corner := r2.Vec{X: c[0] * g.length / 2, Y: c[1] * g.width / 2}
		leg := min(g.length, g.width) / 2
		for i := range g.nx {
			for j := range g.ny {
				if g.free[i+j*g.nx] == g.nz {
					continue
				}
				// The corner of the cell nearest to the box's corner must stay out.
				at := g.middle(i, j)
				off := math.Abs(corner.X-at.X) - g.dx/2 + math.Abs(corner.Y-at.Y) - g.dy/2
				leg = min(leg, off)
			}
		}
		leg = math.Floor(leg)
		if leg < leastFilletMM {
			continue
		}
		x, y := r2.Vec{X: corner.X - c[0]*leg, Y: corner.Y}, r2.Vec{X: corner.X, Y: corner.Y - c[1]*leg}
		foot := []r2.Vec{corner, y, x}
		if polygonArea(foot) < 0 {
			foot = []r2.Vec{corner, x, y}
		}
		all = append(all, Filler{Kind: "fillet", Foot: foot, HeightMM: wallMM})
		g.take(func(at r2.Vec) bool {
			return math.Abs(corner.X-at.X)+math.Abs(corner.Y-at.Y) < leg+g.dx/2+g.dy/2
		})
	}
	return all
}

// take makes columns no longer free.
func (g *voidGrid) take(in func(r2.Vec) bool) {
	for i := range g.nx {
		for j := range g.ny {
			if in(g.middle(i, j)) {
				g.free[i+j*g.nx] = 0
			}
		}
	}
}

// block returns the largest free block, and takes its columns: for each height
// the largest rectangle of columns that are free so high.
func (g *voidGrid) block(boxMM3 float64) (Filler, bool) {
	best, volume, height := cells{}, 0.0, 0.0
	for k := 1; k <= g.nz; k++ {
		c := g.widest(k)
		h := float64(k) * g.dz
		dx, dy := float64(c.i1-c.i0)*g.dx, float64(c.j1-c.j0)*g.dy
		if min(dx, dy, h) < leastBlockMM {
			continue
		}
		if v := dx * dy * h; v > volume {
			best, volume, height = c, v, h
		}
	}
	if volume < max(leastBlockMM3, leastBlockShare*boxMM3) {
		return Filler{}, false
	}
	for i := best.i0; i < best.i1; i++ {
		for j := best.j0; j < best.j1; j++ {
			g.free[i+j*g.nx] = 0
		}
	}
	x0, x1 := float64(best.i0)*g.dx-g.length/2, float64(best.i1)*g.dx-g.length/2
	y0, y1 := float64(best.j0)*g.dy-g.width/2, float64(best.j1)*g.dy-g.width/2
	return Filler{Kind: "block", Foot: []r2.Vec{{X: x0, Y: y0}, {X: x1, Y: y0}, {X: x1, Y: y1}, {X: x0, Y: y1}}, HeightMM: height}, true
}

// cells is a rectangle of columns, the far ends not in it.
type cells struct{ i0, i1, j0, j1 int }

// widest returns the largest rectangle of columns free for k cells, by the
// heights of runs in each row and a stack (the largest rectangle under a
// histogram, textbooks on algorithms).
func (g *voidGrid) widest(k int) cells {
	run := make([]int, g.nx+1) // the last one stays 0
	best, area := cells{}, 0.0
	for j := range g.ny {
		for i := range g.nx {
			if g.free[i+j*g.nx] >= k {
				run[i]++
			} else {
				run[i] = 0
			}
		}
		var open []int // columns whose runs still go on, lowest first
		for i, r := range run {
			for len(open) > 0 && run[open[len(open)-1]] > r {
				high := run[open[len(open)-1]]
				open = open[:len(open)-1]
				from := 0
				if len(open) > 0 {
					from = open[len(open)-1] + 1
				}
				if a := float64(high*(i-from)) * g.dx * g.dy; a > area {
					area, best = a, cells{from, i, j + 1 - high, j + 1}
				}
			}
			open = append(open, i)
		}
	}
	return best
}
