package mesh

import (
	"math"
	"slices"
	"sync"

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
	odd.each(func(r edgeRun) {
		for _, u := range r.uses {
			open[shellOf[u.face()]] = true
		}
	})
	drop, count := make([]bool, n), 0
	inside := w.insideOf(shellOf, int32(largest), n)
	for s := range list {
		if err := w.ctx.Err(); err != nil {
			return err
		}
		drop[s] = list[s].area < floaterShare*list[largest].area &&
			(open[s] || list[s].volume*list[largest].volume > 0 || !inside(list[s].at))
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

// fewPlaces is up to how many places are held against a shell face by face; for more,
// a tree pays.
const fewPlaces = 64

// insideOf returns a function that says whether a shell winds around a place at
// least half, to be called for about so many places.
func (w *mending) insideOf(shellOf []int32, shell int32, places int) func(p r3.Vec) bool {
	if places <= fewPlaces {
		return func(p r3.Vec) bool { return w.inside(p, shellOf, shell) }
	}
	tree := sync.OnceValue(func() *Tree {
		own := &Mesh{Vertices: w.Vertices}
		for f, t := range w.Faces {
			if shellOf[f] == shell {
				own.Faces = append(own.Faces, t)
			}
		}
		return NewTree(own)
	})
	return func(p r3.Vec) bool { return math.Abs(tree().Winding(p)) > 0.5 }
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

// turnOutward turns closed shells that are inside out, with the hollows inside
// them.
func (w *mending) turnOutward() error {
	shellOf, n, odd := w.faceShells()
	if !w.choice.Makes(MendOutward) || !odd.none() || n == 0 {
		return nil
	}
	list, _, _ := w.tally(shellOf, n, w.bounds)
	if err := w.windAround(w.ctx, shellOf, list); err != nil {
		return err
	}
	largest := largestShell(list)
	turn, count := make([]bool, n), 0
	for s := range list {
		turn[s] = list[s].around == 0 && list[s].volume < 0 || list[s].around != 0 && list[largest].volume < 0
		if turn[s] {
			count++
		}
	}
	if count == 0 {
		return nil
	}
	w.Faces = slices.Clone(w.Faces)
	area := 0.0
	for f, t := range w.Faces {
		if turn[shellOf[f]] {
			w.Faces[f] = [3]int32{t[0], t[2], t[1]}
			area += w.faceArea(int32(f))
		}
	}
	w.note(MendOutward, count, area, 0, plural(count, "part of the surface that was", "parts of the surface that were")+" inside out turned")
	return nil
}
