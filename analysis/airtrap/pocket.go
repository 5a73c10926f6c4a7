package airtrap

import (
	"context"
	"errors"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
)

// DefaultColumns is about how many columns a pocket is cut into. The volume is
// then within 1 % for round pockets.
const DefaultColumns = 4000

// PocketInput says whose pockets to locate.
type PocketInput struct {
	Domain  Domain
	Up      r3.Vec // unit, against gravity, in the frame of the mesh
	Traps   []Trap // largest first, as Find returns them
	Columns int    // about how many a pocket is cut into, 0 = DefaultColumns
}

// Pockets tells where trapped air is, in the frame of the mesh. It is never
// changed once made, and may be used by many goroutines.
//
// A pocket is the part of the liquid's space above the spill level that hangs
// together with the trap's top. It is cut into upright columns on a square grid
// of its own; along a column its ends are exact, and a column joins the next one
// where a level line between them meets no surface. The volume is the midpoint
// rule over the columns.
type Pockets struct {
	up, u, v r3.Vec
	each     []*pocket
}

// pocket is the columns of one trap.
type pocket struct {
	spill   float64
	cell    float64    // side of a column, mm
	corner  [2]float64 // where four columns meet, along u and v: under the top
	columns map[[2]int32][]span
	volume  float64
}

// span is the part of a column that is in the liquid's space above the spill
// level, between two heights; the surface is above it.
type span struct {
	lo, hi float64
	taken  bool // it belongs to the pocket
}

// LocatePockets finds the pockets of traps in m.
func LocatePockets(ctx context.Context, m *mesh.Mesh, in PocketInput) (*Pockets, error) {
	if d := r3.Norm(in.Up); !(math.Abs(d-1) < 1e-9) {
		return nil, errors.New("the direction against gravity is not a unit vector")
	}
	p := &Pockets{up: in.Up}
	p.u, p.v = mesh.Frame(in.Up)
	if len(in.Traps) == 0 {
		return p, ctx.Err()
	}
	most := in.Columns
	if most <= 0 {
		most = DefaultColumns
	}
	f := &flood{ctx: ctx, domain: in.Domain, pockets: p, lines: mesh.NewLines(m, in.Up), tree: mesh.NewTree(m)}
	for _, t := range in.Traps {
		found, err := f.locate(t, most)
		if err != nil {
			return nil, err
		}
		p.each = append(p.each, found)
	}
	return p, nil
}

// At returns the trap whose pocket holds q, by its place in PocketInput.Traps,
// the first of those that share it; −1 where no air is trapped.
func (p *Pockets) At(q r3.Vec) int {
	u, v, h := r3.Dot(p.u, q), r3.Dot(p.v, q), r3.Dot(p.up, q)
	for i, each := range p.each {
		for _, s := range each.columns[each.cellOf(u, v)] {
			if s.taken && h >= s.lo && h <= s.hi {
				return i
			}
		}
	}
	return -1
}

// VolumeMM3 returns the volume of a trap's pocket.
func (p *Pockets) VolumeMM3(trap int) float64 { return p.each[trap].volume }

func (p *pocket) cellOf(u, v float64) [2]int32 {
	return [2]int32{int32(math.Floor((u - p.corner[0]) / p.cell)), int32(math.Floor((v - p.corner[1]) / p.cell))}
}

// middle returns where the column of a cell is, along u and v.
func (p *pocket) middle(c [2]int32) (u, v float64) {
	return p.corner[0] + (float64(c[0])+0.5)*p.cell, p.corner[1] + (float64(c[1])+0.5)*p.cell
}

// flood is what locating pockets needs of the mesh.
type flood struct {
	ctx     context.Context
	domain  Domain
	pockets *Pockets
	lines   *mesh.Lines
	tree    *mesh.Tree
	met     []mesh.Crossing
}

// overflow is how many times the columns asked for a pocket may have before its
// grid is made coarser: a deep hole in a wide shallow pocket.
const overflow = 32

// locate floods the pocket of a trap from under its top.
func (f *flood) locate(t Trap, columns int) (*pocket, error) {
	depth := max(t.PersistenceMM, r3.Dot(f.pockets.up, t.At)-t.Spill)
	if !(depth > 0) || !(t.VolumeMM3 > 0) {
		return &pocket{}, nil
	}
	// A cone's footprint is three times its volume over its depth, a can's once.
	cell := math.Sqrt(1.5 * t.VolumeMM3 / depth / float64(columns))
	for {
		p := &pocket{spill: t.Spill, cell: cell, columns: map[[2]int32][]span{}}
		p.corner = [2]float64{r3.Dot(f.pockets.u, t.At), r3.Dot(f.pockets.v, t.At)}
		done, err := f.fill(p, r3.Dot(f.pockets.up, t.At), overflow*columns)
		if err != nil || done {
			return p, err
		}
		cell *= 2
	}
}

// place is one span of one column.
type place struct {
	cell [2]int32
	span int
}

// fill takes everything that hangs together with the top; false when that is
// more than so many columns.
func (f *flood) fill(p *pocket, top float64, most int) (done bool, err error) {
	start, found := f.start(p, top)
	if !found {
		return true, nil
	}
	p.columns[start.cell][start.span].taken = true
	queue := []place{start}
	for i := 0; i < len(queue); i++ {
		if i%1024 == 0 && f.ctx.Err() != nil {
			return false, f.ctx.Err()
		}
		if i > most {
			return false, nil
		}
		at := queue[i]
		here := p.columns[at.cell][at.span]
		p.volume += (here.hi - here.lo) * p.cell * p.cell
		for _, step := range [4][2]int32{{1, 0}, {-1, 0}, {0, 1}, {0, -1}} {
			next := [2]int32{at.cell[0] + step[0], at.cell[1] + step[1]}
			for k, s := range f.column(p, next) {
				if !s.taken && f.joined(p, at.cell, next, max(s.lo, here.lo), min(s.hi, here.hi)) {
					p.columns[next][k].taken = true
					queue = append(queue, place{next, k})
				}
			}
		}
	}
	return true, nil
}

// startReach is within how many columns of the top the span to begin with is
// looked for; further off where a thin ridge leaves none so near.
const (
	startReach = 3
	farReach   = 48
)

// start returns the span that ends nearest to the top.
func (f *flood) start(p *pocket, top float64) (best place, found bool) {
	for reach := int32(startReach); reach <= farReach && !found; reach *= 2 {
		least := math.Inf(1)
		for i := -reach; i < reach; i++ {
			for j := -reach; j < reach; j++ {
				for k, s := range f.column(p, [2]int32{i, j}) {
					off := math.Hypot(s.hi-top, p.cell*math.Hypot(float64(i)+0.5, float64(j)+0.5))
					if off < least {
						best, least, found = place{[2]int32{i, j}, k}, off, true
					}
				}
			}
		}
	}
	return best, found
}

// column returns the spans of a column, which are worked out once.
func (f *flood) column(p *pocket, cell [2]int32) []span {
	if known, ok := p.columns[cell]; ok {
		return known
	}
	u, v := p.middle(cell)
	f.met = f.lines.Through(f.at(u, v, 0), f.met[:0])
	var spans []span
	depth, lo := 0, math.Inf(-1)
	for _, c := range f.met {
		was := depth
		if c.Leaves {
			depth--
		} else {
			depth++
		}
		switch {
		case f.domain == Inside && was <= 0 && depth > 0, f.domain == Outside && was > 0 && depth <= 0:
			lo = c.Height
		case f.domain == Inside && was > 0 && depth <= 0, f.domain == Outside && was <= 0 && depth > 0:
			if c.Height > p.spill {
				spans = append(spans, span{lo: max(lo, p.spill), hi: c.Height})
			}
		}
	}
	p.columns[cell] = spans
	return spans
}

// at returns the point with the given coordinates along u, v and up.
func (f *flood) at(u, v, h float64) r3.Vec {
	return r3.Add(r3.Scale(h, f.pockets.up), r3.Add(r3.Scale(u, f.pockets.u), r3.Scale(v, f.pockets.v)))
}

// joined tells whether two columns side by side see each other somewhere between
// two heights.
func (f *flood) joined(p *pocket, a, b [2]int32, lo, hi float64) bool {
	if !(hi > lo) {
		return false
	}
	au, av := p.middle(a)
	bu, bv := p.middle(b)
	for _, share := range [...]float64{0.5, 0.9, 0.1} {
		from, to := f.at(au, av, lo+share*(hi-lo)), f.at(bu, bv, lo+share*(hi-lo))
		if hit, met := f.tree.First(from, r3.Sub(to, from)); !met || hit.Distance > p.cell {
			return true
		}
	}
	return false
}
