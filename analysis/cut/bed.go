package cut

import (
	"context"
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis/finding"
	"pourwright/mesh"
)

// Bedding is what the bed of a mold in two parts depends on, once the block is
// known.
type Bedding struct {
	Tree    *mesh.Tree // of the pattern
	Room    Room
	Detail  []float32 // score of each vertex, 0–1
	Allowed float64   // how far the rubber may be drawn out, as a share; see AllowedStretch
}

// Bed is the bed of clay that a pattern lies in while the first part of its mold is
// poured, and what is poured over it. Sides are − and + of the sheet's normal.
type Bed struct {
	First     int      // the side that is poured first: 0 or 1
	Why       string   // it is
	Rim       []r3.Vec // where the bed meets the walls
	ClayMM2   float64  // of the bed around the pattern, seen along the normal
	Keys      []BedKey
	RubberMM3 [2]float64 // of each part of the mold, keys counted
	DepthMM   [2]float64 // from the sheet's plane to the outside of the block
	PartMM3   [2]float64 // of the pattern
	OffMM     [2]float64 // how far the bed passes beside the pattern's silhouette, on average and at most
	OffAt     r3.Vec     // where it does most
	Locks     []Lock
	Findings  []finding.Finding

	rises [2]rise
}

// RubberTo returns the rubber on a side up to a height over the sheet's plane, and
// what the pattern takes of that space, mm³.
func (b *Bed) RubberTo(side int, heightMM float64) (rubber, part float64) {
	return b.rises[side].to(heightMM)
}

// MakeBed lays out the bed: what is poured on which side, the keys, what still
// locks.
func (r *Result) MakeBed(ctx context.Context, pattern *mesh.Solid, in Bedding) (Bed, error) {
	b := Bed{Rim: in.Room.Rim(&r.Sheet), PartMM3: r.Sides(pattern)}
	b.ClayMM2 = in.Room.rubberMM2(&r.Sheet, b.Rim) - r.SectionMM2
	for side, sign := range signs {
		for _, c := range in.Room.corners() {
			b.DepthMM[side] = max(b.DepthMM[side], sign*r3.Dot(r.Normal, r3.Sub(c, r.Point)))
		}
	}
	b.first(r, pattern.Mesh, in.Detail)
	var err error
	if b.RubberMM3, err = in.Room.Halves(&r.Sheet, pattern); err != nil {
		return b, err
	}
	sh := newShadow(pattern.Mesh, in.Tree, &r.Sheet, fullLines)
	if b.OffMM, b.OffAt = sh.offSilhouette(&r.Sheet); ctx.Err() != nil {
		return b, ctx.Err()
	}
	b.Locks = r.locksOf(sh, &in.Room, in.Allowed)
	b.Keys = newFace(&r.Sheet, r.Outline, in.Tree, &in.Room).bedKeys(signs[1-b.First])
	for _, k := range b.Keys {
		b.RubberMM3[b.First] += k.VolumeMM3()
		b.RubberMM3[1-b.First] -= k.VolumeMM3()
	}
	for side := range b.rises {
		b.rises[side] = newRise(&r.Sheet, &in.Room, sh, side, b.DepthMM[side], b.RubberMM3[side])
	}
	b.Findings = b.doubts()
	return b, ctx.Err()
}

// locksOf returns the locks behind the pattern; they agree with the links, where these
// were counted.
func (r *Result) locksOf(sh *shadow, room *Room, allowed float64) []Lock {
	locks := sh.locks(&r.Sheet, room, allowed)
	if r.counted {
		keepLinked(locks, r.Links, allowed)
	}
	return locks
}

// signs of the two sides along the normal.
var signs = [2]float64{-1, 1}

// sameDetail is how much more detail one side must have to be told apart.
const sameDetail = 0.01

// first chooses the side that is poured first: the other lies in clay, which smears
// what is fine; the larger part first where both are as plain (common practice, no
// source).
func (b *Bed) first(r *Result, m *mesh.Mesh, detail []float32) {
	var sum, area [2]float64
	for f, t := range m.Faces {
		a, p, q := m.Corners(f)
		side := 0
		if r.Height(r3.Scale(1./3, r3.Add(a, r3.Add(p, q)))) >= 0 {
			side = 1
		}
		double := r3.Norm(m.DoubleAreaNormal(f))
		area[side] += double
		sum[side] += double * float64(detail[t[0]]+detail[t[1]]+detail[t[2]]) / 3
	}
	more := sum[1]/max(area[1], thinnestMM) - sum[0]/max(area[0], thinnestMM)
	b.Why = "it has more detail, and clay on the other side smears less"
	switch {
	case math.Abs(more) <= sameDetail:
		b.Why = "both sides are as plain, and more of the part is on this one"
		if b.PartMM3[1] > b.PartMM3[0] {
			b.First = 1
		}
	case more > 0:
		b.First = 1
	}
}

// offSilhouette tells how far a sheet passes beside the silhouette, on average over
// the shadow's edge and at most, mm: at each line along the edge, how far the sheet
// is from where that line is in the pattern.
func (sh *shadow) offSilhouette(s *Sheet) (off [2]float64, worst r3.Vec) {
	at := sh.index()
	n := 0
	for i := range sh.lines {
		l := &sh.lines[i]
		x, y := sh.place(l)
		edge := false
		for _, d := range [4][2]int{{1, 0}, {-1, 0}, {0, 1}, {0, -1}} {
			edge = edge || at(x+d[0], y+d[1]) == nil
		}
		if !edge {
			continue
		}
		bed := s.offset(l.u, l.v)
		beside := max(0, l.turns[0].height-bed, bed-l.turns[len(l.turns)-1].height)
		off[0] += beside
		if beside > off[1] {
			off[1], worst = beside, s.over(l.u, l.v, (l.turns[0].height+l.turns[len(l.turns)-1].height)/2)
		}
		n++
	}
	off[0] /= float64(max(1, n))
	return off, worst
}

// place returns the cell of a line.
func (sh *shadow) place(l *line) (x, y int) {
	return int((l.u - sh.low[0]) / sh.cell[0]), int((l.v - sh.low[1]) / sh.cell[1])
}

// index returns what finds the line of a cell; nil where that meets nothing.
func (sh *shadow) index() func(x, y int) *line {
	of := make([]*line, sh.cells[0]*sh.cells[1])
	for i := range sh.lines {
		x, y := sh.place(&sh.lines[i])
		of[y*sh.cells[0]+x] = &sh.lines[i]
	}
	return func(x, y int) *line {
		if x < 0 || y < 0 || x >= sh.cells[0] || y >= sh.cells[1] {
			return nil
		}
		return of[y*sh.cells[0]+x]
	}
}

// Far beside the silhouette the bed leaves an edge that locks, or a feather of
// rubber (common practice, no source).
const farOffMM = 3

// leastKeys set two parts true against any shift and turn.
const leastKeys = 3

// doubts tells what a maker should know of the bed.
func (b *Bed) doubts() []finding.Finding {
	var all []finding.Finding
	if b.OffMM[1] > farOffMM {
		at := [3]float64{b.OffAt.X, b.OffAt.Y, b.OffAt.Z}
		all = append(all, finding.Finding{Question: "cut", Level: finding.Note, AtMM: &at,
			Text:   fmt.Sprintf("The clay lies up to %.0f mm beside the part's outermost line, %.1f mm on average.", b.OffMM[1], b.OffMM[0]),
			Action: "Press the clay up or down to that line by hand where you see it pass beside, and keep it square to the part for the last 5 mm."})
	}
	if len(b.Keys) < leastKeys {
		all = append(all, finding.Finding{Question: "cut", Level: finding.Warn,
			Text:   "There is room for " + [leastKeys]string{"no key", "one key", "two keys"}[len(b.Keys)] + " beside the part, where three at least set the parts of the mold true.",
			Action: "Leave about 10 mm more rubber round the part with --cut-clearance and --cover, or set the parts true by the box they were poured in."})
	}
	for _, l := range b.Locks {
		if l.Gives {
			continue
		}
		at := [3]float64{l.At.X, l.At.Y, l.At.Z}
		text := fmt.Sprintf("Rubber locks behind the part here, %.0f mm deep and %.0f mm in from where it is free.", l.DepthMM, l.ReachMM)
		action := "Fill this place with wax on the pattern, make a loose third piece of rubber for it, or pour a block and cut it open instead (--style block)."
		switch {
		case l.Linked:
			action = "Cut through this web of rubber with a fresh blade, away from yourself, when the other part is off, and close it with tape for each cast; or fill this place with wax on the pattern, or make a loose third piece of rubber for it."
			text = fmt.Sprintf("Rubber goes round the part here, as through a hole, %.0f mm deep: this part of the mold cannot be drawn off whole.", l.DepthMM)
		case math.IsInf(l.ReachMM, 1):
			text = fmt.Sprintf("Rubber locks behind the part here, %.0f mm deep, and is free on no side.", l.DepthMM)
		}
		all = append(all, finding.Finding{Question: "cut", Level: finding.Warn, AtMM: &at, Text: text,
			Action: action})
	}
	return all
}
