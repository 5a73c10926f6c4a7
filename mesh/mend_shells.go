package mesh

import (
	"fmt"
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
// hollows inside the part. A heap of pieces none of which is the part is refused.
func (w *mending) dropFloaters() error {
	shellOf, n, odd := w.faceShells()
	if n < 2 {
		return nil
	}
	list, _, _ := w.tally(shellOf, n, w.bounds)
	open := openShells(shellOf, n, odd)
	if err := refuseHeap(list, open); err != nil || !w.choice.Makes(MendFloater) {
		return err
	}
	drop, count, err := w.scraps(shellOf, list, open)
	if err != nil || count == 0 {
		return err
	}
	loose := func(f int32) bool { return shellOf[f] >= 0 && drop[shellOf[f]] }
	whole := &Mesh{Vertices: w.Vertices, Faces: w.Faces}
	_, area, at := w.without(loose)
	w.leaveOut(whole, loose)
	w.note(MendFloater, count, area, 0, plural(count, "loose scrap", "loose scraps")+" left out, each under "+
		percent(floaterShare)+" of the part's surface, the first near "+w.place(w.Vertices[at]))
	return nil
}

// scraps says which shells are small and no hollows, and how many these are.
func (w *mending) scraps(shellOf []int32, list []shell, open []bool) (is []bool, count int, err error) {
	largest := largestShell(list)
	is, inside := make([]bool, len(list)), w.insideOf(shellOf, int32(largest), len(list))
	for s := range list {
		if err := w.ctx.Err(); err != nil {
			return nil, 0, err
		}
		is[s] = list[s].area < floaterShare*list[largest].area &&
			(open[s] || list[s].volume*list[largest].volume > 0 || !inside(list[s].at))
		if is[s] {
			count++
		}
	}
	return is, count, nil
}

// openShells says which of n shells have odd edges.
func openShells(shellOf []int32, n int, odd oddEdges) []bool {
	open := make([]bool, n)
	odd.each(func(r edgeRun) {
		for _, u := range r.uses {
			open[shellOf[u.face()]] = true
		}
	})
	return open
}

// heapPieces is how many open pieces a scan may be in of which none is half of it
// (common practice, no source).
const heapPieces = 50

// refuseHeap refuses a scan of many open pieces none of which is half of it: to
// close each would make a part of each.
func refuseHeap(list []shell, open []bool) error {
	pieces, area := 0, 0.0
	for s := range list {
		area += list[s].area
		if open[s] {
			pieces++
		}
	}
	if pieces <= heapPieces || list[largestShell(list)].area >= area/2 {
		return nil
	}
	return heapQuestion(fmt.Sprintf("the scan is a heap of %d loose pieces: its faces hardly hang together", pieces))
}

// heapQuestion says of a scan that it is no surface.
func heapQuestion(text string) error {
	return &OpenQuestion{text: text, question: "let the scanner's program make one surface of it, or scan again"}
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
