package cut

import (
	"context"
	"math"
)

// Heights are the offsets of a shaped sheet at the nodes of a grid over its plane;
// bilinear between them, beyond them as at the nearest edge.
type Heights struct {
	Low   [2]float64 // u, v of the first node
	Step  [2]float64
	Nodes [2]int
	MM    []float64 // row by row of v
}

// at returns the offset over a place of the plane.
func (h *Heights) at(u, v float64) float64 {
	x := max(0, min(float64(h.Nodes[0]-1), (u-h.Low[0])/h.Step[0]))
	y := max(0, min(float64(h.Nodes[1]-1), (v-h.Low[1])/h.Step[1]))
	i, j := min(int(x), h.Nodes[0]-2), min(int(y), h.Nodes[1]-2)
	fx, fy := x-float64(i), y-float64(j)
	k := j*h.Nodes[0] + i
	low := h.MM[k] + fx*(h.MM[k+1]-h.MM[k])
	k += h.Nodes[0]
	high := h.MM[k] + fx*(h.MM[k+1]-h.MM[k])
	return low + fy*(high-low)
}

// A shaped bed is clay that rises and falls with the pattern's outermost line. It is
// made gentle: no steeper than bedSlope (common practice, no source).
const (
	bedSlope     = 0.8
	relaxation   = 1.8 // of each step towards the mean of the neighbours
	relaxRounds  = 160
	gentleRound  = 2000 // at most
	mostAround   = 40   // cells round the pattern; beyond, the bed goes on as it is
	roughDeg     = 30   // between the planes that are bent to compare ways up
	gentleEnough = 0.02 // share that a slope may be over
	spoutSquare  = 5    // mm above the spout's rim that stay in the plane with it
)

// shapeBeds bends planes all round to the pattern's silhouette as seen along their
// normals.
func (j *judge) shapeBeds(ctx context.Context, plane candidate) ([]candidate, error) {
	apart := basesDeg
	if j.in.Rough {
		apart = roughDeg
	}
	bases := turnedPlanes(plane, apart)
	found := make([]candidate, len(bases))
	inRows(len(bases), func(i int) {
		if ctx.Err() != nil {
			return
		}
		sh := newShadow(j.coarse.Mesh, j.coarse.tree, &bases[i], 2*screenLines)
		s := bases[i]
		s.Shape = sh.gentle(j.in.ClearanceMM, j.in.SpoutMM/2)
		found[i] = j.measure(s, sh, 0)
		found[i].throughSpout = true
	})
	return found, ctx.Err()
}

// gentle returns the membrane that passes through the pattern along every line that
// meets it, stretched over margin mm around, and through the spout in the middle of
// the plane's lower edge, and then made gentle: where that was steeper it is eased, and
// passes beside the pattern there. Nil where no line meets a pattern. On a line between
// its first and its last turn the sheet leaves no more behind it than any sheet. Source: the
// obstacle problem, by over-relaxation with projection (Cryer, SIAM Journal on
// Control 9(3), 1971, from memory).
func (sh *shadow) gentle(marginMM, spoutMM float64) *Heights {
	if len(sh.lines) == 0 || !(sh.cell[0] > 0 && sh.cell[1] > 0) {
		return nil
	}
	around := [2]int{}
	for k := range around {
		around[k] = int(min(mostAround, math.Ceil(marginMM/sh.cell[k]))) + 1
	}
	h := &Heights{Step: sh.cell}
	for k := range 2 {
		h.Nodes[k] = sh.cells[k] + 2*around[k]
		h.Low[k] = sh.low[k] + sh.cell[k]/2 - float64(around[k])*sh.cell[k]
	}
	n := h.Nodes[0] * h.Nodes[1]
	h.MM = make([]float64, n)
	low, high := make([]float64, n), make([]float64, n)
	for k := range n {
		low[k], high[k] = math.Inf(-1), math.Inf(1)
		u, v := h.Low[0]+float64(k%h.Nodes[0])*h.Step[0], h.Low[1]+float64(k/h.Nodes[0])*h.Step[1]
		if v <= spoutSquare && math.Abs(u) <= spoutMM {
			low[k], high[k] = 0, 0
		}
	}
	for i := range sh.lines {
		l := &sh.lines[i]
		x, y := sh.place(l)
		k := (y+around[1])*h.Nodes[0] + x + around[0]
		if low[k] != 0 || high[k] != 0 {
			low[k], high[k] = l.turns[0].height, l.turns[len(l.turns)-1].height
		}
	}
	h.relax(low, high)
	h.flatten(low, high)
	return h
}

// relax stretches the membrane between its bounds.
func (h *Heights) relax(low, high []float64) {
	nu, nv := h.Nodes[0], h.Nodes[1]
	for k := range h.MM {
		h.MM[k] = max(low[k], min(high[k], h.MM[k]))
	}
	// Cells need not be square.
	wu, wv := 1/(h.Step[0]*h.Step[0]), 1/(h.Step[1]*h.Step[1])
	for range relaxRounds {
		for j := range nv {
			for i := range nu {
				k := j*nu + i
				sum, weight := 0.0, 0.0
				if i > 0 {
					sum, weight = sum+wu*h.MM[k-1], weight+wu
				}
				if i < nu-1 {
					sum, weight = sum+wu*h.MM[k+1], weight+wu
				}
				if j > 0 {
					sum, weight = sum+wv*h.MM[k-nu], weight+wv
				}
				if j < nv-1 {
					sum, weight = sum+wv*h.MM[k+nu], weight+wv
				}
				h.MM[k] = max(low[k], min(high[k], h.MM[k]+relaxation*(sum/weight-h.MM[k])))
			}
		}
	}
}

// flatten takes from the steepest steps what they have too much, half on either side,
// until none has; the spout's nodes, whose bounds meet, stay. Along both axes a step
// may rise as much as a slope that runs between them.
func (h *Heights) flatten(low, high []float64) {
	nu, nv := h.Nodes[0], h.Nodes[1]
	fixed := func(k int) bool { return low[k] == 0 && high[k] == 0 }
	worst := 0.0
	ease := func(a, b int, most float64) {
		over := math.Abs(h.MM[b]-h.MM[a]) - most
		if over <= 0 {
			return
		}
		worst = max(worst, over/most)
		move := math.Copysign(over/2, h.MM[b]-h.MM[a])
		switch {
		case fixed(a):
			h.MM[b] -= 2 * move
		case fixed(b):
			h.MM[a] += 2 * move
		default:
			h.MM[a] += move
			h.MM[b] -= move
		}
	}
	for range gentleRound {
		worst = 0
		for j := range nv {
			for i := range nu {
				k := j*nu + i
				if i < nu-1 {
					ease(k, k+1, bedSlope/math.Sqrt2*h.Step[0])
				}
				if j < nv-1 {
					ease(k, k+nu, bedSlope/math.Sqrt2*h.Step[1])
				}
			}
		}
		if worst < gentleEnough {
			return
		}
	}
}
