package mesh

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

// unifyWinding turns faces so that neighbours agree, in each patch of faces
// joined over two-face edges the fewer ones. A surface with a twist is left.
func (w *mending) unifyWinding() error {
	if !w.choice.Makes(MendWinding) {
		return nil
	}
	sides := newSides(len(w.Faces))
	against, twisted := false, false
	w.eachEdgeInOrder(func(r edgeRun) {
		if len(r.uses) == 2 {
			against = against || !r.regular()
			twisted = !sides.join(r.uses[0].face(), r.uses[1].face(), !r.regular()) || twisted
		}
	})
	if !against || twisted {
		return nil
	}
	turn := sides.fewer()
	w.Faces = slices.Clone(w.Faces)
	area := 0.0
	for _, f := range turn {
		t := w.Faces[f]
		w.Faces[f] = [3]int32{t[0], t[2], t[1]}
		area += w.faceArea(f)
	}
	w.note(MendWinding, len(turn), area, 0, plural(len(turn), "face", "faces")+" turned to agree with the neighbours, the first near "+w.place(w.middle(turn[0])))
	return nil
}

// floaterShare is the area under which a separate shell is a scrap, as a share
// of the largest shell's (common practice, no source).
const floaterShare = 0.01

// dropFloaters leaves out small separate shells, open or closed, but not closed
// hollows inside the part.
func (w *mending) dropFloaters() error {
	if !w.choice.Makes(MendFloater) {
		return nil
	}
	shellOf, n, odd := w.faceShells()
	if n < 2 {
		return nil
	}
	list, _, _ := w.tally(shellOf, n, w.bounds)
	largest := largestShell(list)
	open := make([]bool, n)
	for _, r := range odd {
		for _, u := range r.uses {
			open[shellOf[u.face()]] = true
		}
	}
	drop, count := make([]bool, n), 0
	for s := range list {
		drop[s] = list[s].area < floaterShare*list[largest].area &&
			(open[s] || list[s].volume*list[largest].volume > 0 || !w.inside(list[s].at, shellOf, int32(largest)))
		if drop[s] {
			count++
		}
	}
	if _, area, at := w.without(func(f int32) bool { return shellOf[f] >= 0 && drop[shellOf[f]] }); count > 0 {
		w.note(MendFloater, count, area, 0, plural(count, "loose scrap", "loose scraps")+" left out, each under "+
			percent(floaterShare)+" of the part's surface, the first near "+w.place(w.Vertices[at]))
	}
	return nil
}

// largestShell returns the number of the shell of most area.
func largestShell(list []shell) int {
	largest := 0
	for s := range list {
		if list[s].area > list[largest].area {
			largest = s
		}
	}
	return largest
}

// inside says whether shell of winds around p at least half. The winding number
// is summed over solid angles, so it also serves an open shell. Source: Jacobson,
// Kavan, Sorkine-Hornung, "Robust inside-outside segmentation using generalized
// winding numbers", ACM TOG 32(4), 2013 (from memory).
func (w *mending) inside(p r3.Vec, shellOf []int32, of int32) bool {
	blocks := make([]float64, blocksOf(len(w.Faces)))
	eachBlock(len(w.Faces), func(block, lo, hi int) {
		for f := lo; f < hi; f++ {
			if shellOf[f] == of {
				a, b, c := w.Corners(f)
				blocks[block] += solidAngle(p, a, b, c)
			}
		}
	})
	total := 0.0
	for _, x := range blocks {
		total += x
	}
	return math.Abs(total) > 2*math.Pi
}
