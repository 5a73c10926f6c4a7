package mesh

import (
	"fmt"
	"slices"
	"sync/atomic"
)

// What to do with a closed surface wholly inside another that is wound outward, as
// a part of its own would be.
const (
	InnerHollow = "hollow" // it is the wall of a hollow
	InnerSolid  = "solid"  // the part is not empty inside
)

// copyShare is the share of the outer surface's volume from which a surface inside
// it may as well be the same part, scanned again (common practice, no source).
const copyShare = 0.8

// turnShells turns closed shells so that those in nothing, or in a hollow, face
// outward, and those in one of them inward.
func (w *mending) turnShells() error {
	shellOf, n, odd := w.faceShells()
	if !odd.none() || n == 0 {
		return nil
	}
	list, _, _ := w.tally(shellOf, n, w.bounds)
	if n > 1 {
		if err := w.windAround(w.ctx, shellOf, list); err != nil {
			return err
		}
	}
	w.turnOutward(shellOf, list)
	return w.keepHollows(shellOf, list)
}

// turnOutward turns shells that are inside out, with the hollows inside them.
func (w *mending) turnOutward(shellOf []int32, list []shell) {
	if !w.choice.Makes(MendOutward) {
		return
	}
	inward := list[largestShell(list)].volume < 0
	crossed := slices.ContainsFunc(list, shell.crossed)
	turn := make([]bool, len(list))
	for s := range list {
		turn[s] = list[s].around == 0 && list[s].volume < 0 || list[s].around != 0 && inward
		if !crossed {
			turn[s] = list[s].wrongWay() && (list[s].depth == 0 || inward)
		}
	}
	if count, area, _ := w.turn(shellOf, list, turn); count > 0 {
		w.note(MendOutward, count, area, 0, plural(count, "part of the surface that was", "parts of the surface that were")+" inside out turned")
	}
}

// wrongWay says whether a shell is wound against what is around it: those in
// nothing, or in a hollow, face outward, and those in one of them inward.
func (s shell) wrongWay() bool { return (s.depth%2 == 0) != (s.volume > 0) && s.volume != 0 }

// turn turns the faces of some shells and returns how many shells these are.
func (w *mending) turn(shellOf []int32, list []shell, turn []bool) (count int, area float64, first int32) {
	if !slices.Contains(turn, true) {
		return 0, 0, -1
	}
	w.Mesh = &Mesh{Vertices: w.Vertices, Faces: slices.Clone(w.Faces)}
	first = -1
	for f, t := range w.Faces {
		if s := shellOf[f]; s >= 0 && turn[s] {
			w.Faces[f] = [3]int32{t[0], t[2], t[1]}
			area += w.faceArea(int32(f))
			if first < 0 {
				first = int32(f)
			}
		}
	}
	for s, t := range turn {
		if t {
			list[s].volume = -list[s].volume
			count++
		}
	}
	return count, area, first
}

// keepHollows turns surfaces wholly inside another inward that are wound outward:
// programs that mend windings turn every surface outward, and rubber reaches none
// of these in any case. One that may as well be a second scan of the part is
// asked about.
func (w *mending) keepHollows(shellOf []int32, list []shell) error {
	if !w.choice.Makes(MendHollow) || slices.ContainsFunc(list, shell.crossed) {
		return nil
	}
	turn := make([]bool, len(list))
	for s := range list {
		turn[s] = list[s].wrongWay() && list[s].depth > 0
		outer := -1
		if turn[s] && w.choice.Inner != InnerHollow {
			outer = w.copied(s, shellOf, list)
		}
		switch {
		case outer < 0:
		case w.choice.Inner == InnerSolid:
			return nil
		default:
			return w.hollowQuestion(list[s], list[outer])
		}
	}
	if !slices.Contains(turn, true) || !w.wellInside(shellOf, list, turn) {
		return nil
	}
	count, area, first := w.turn(shellOf, list, turn)
	w.note(MendHollow, count, area, 0, plural(count, "closed surface", "closed surfaces")+" wholly inside another taken for the wall of a hollow, near "+w.place(w.middle(first)))
	return nil
}

// copied returns the shell around shell s that has little more volume, −1 for none.
func (w *mending) copied(s int, shellOf []int32, list []shell) int {
	for o := range list {
		if list[o].depth == list[s].depth-1 && list[s].volume >= copyShare*list[o].volume &&
			list[s].volume <= list[o].volume && w.inside(list[s].at, shellOf, int32(o)) {
			return o
		}
	}
	return -1
}

func (w *mending) hollowQuestion(inner, outer shell) error {
	return &OpenQuestion{
		text: fmt.Sprintf("the scan has a closed surface wholly inside another, near %s, with %s less volume: it may be the wall of a hollow, or the part scanned twice",
			w.place(inner.at), percent(1-inner.volume/outer.volume)),
		question: "say --as hollow if the part is empty inside that surface, or --as solid if it is not",
	}
}

// wellInside says whether each corner of the shells to be turned that lie in one
// more shell than they should is inside the others: none reaches out of them.
func (w *mending) wellInside(shellOf []int32, list []shell, turn []bool) bool {
	inner, others := make([]bool, len(w.Vertices)), &Mesh{Vertices: w.Vertices}
	for f, t := range w.Faces {
		s := shellOf[f]
		switch {
		case s < 0:
		case !turn[s]:
			others.Faces = append(others.Faces, t)
		case list[s].depth%2 == 1:
			inner[t[0]], inner[t[1]], inner[t[2]] = true, true, true
		}
	}
	const least = 0.75 // between 1, inside, and ½, on the surface
	tree := NewTree(others)
	var out atomic.Bool
	inParts(len(inner), func(_, lo, hi int) {
		for v := lo; v < hi && !out.Load(); v++ {
			if inner[v] && tree.Winding(w.Vertices[v]) < least {
				out.Store(true)
			}
		}
	})
	return !out.Load()
}
