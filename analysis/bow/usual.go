package bow

import (
	"cmp"
	"math"
	"slices"

	"pourwright/analysis/shelf"
)

// bandagePoisson is Poisson's ratio of set plaster (from memory).
const bandagePoisson = 0.2

// Usual lists bracings of a box of this board from what is on the shelf, from
// the least trouble to the most (common practice, no source): none; the braces
// by their effort, a row of battens being held by a strap; second boards under
// straps; the boards that are stiffer, the cheapest first; and these with
// battens too.
func Usual(board shelf.Board, boards []shelf.Board, braces []shelf.Brace) []Bracing {
	all := []Bracing{{Name: "no bracing"}}
	braces = slices.Clone(braces)
	slices.SortStableFunc(braces, func(a, b shelf.Brace) int { return cmp.Compare(a.Effort, b.Effort) })
	if Known(board) {
		for _, brace := range braces {
			all = append(all, ways(brace)...)
		}
		if i := slices.IndexFunc(braces, func(b shelf.Brace) bool { return b.Kind == shelf.Strap }); i >= 0 {
			all = append(all, Bracing{Name: "second boards outside under two straps", Backing: &board, Rounds: 2, PullN: braces[i].PullN})
		}
	}
	stiffer := slices.DeleteFunc(slices.Clone(boards), func(b shelf.Board) bool { return stiffness(b) <= stiffness(board) })
	slices.SortStableFunc(stiffer, func(a, b shelf.Board) int {
		return cmp.Or(cmp.Compare(a.PricePerSheet, b.PricePerSheet), cmp.Compare(stiffness(a), stiffness(b)))
	})
	for i := range stiffer {
		all = append(all, Bracing{Name: "walls of " + stiffer[i].Name, Board: &stiffer[i]})
	}
	for _, brace := range braces {
		if brace.Kind != shelf.Batten {
			continue
		}
		for i := range stiffer {
			b := battens(brace, 2)
			b.Name, b.Board = "walls of "+stiffer[i].Name+"; "+b.Name, &stiffer[i]
			all = append(all, b)
		}
	}
	return all
}

// ways are the bracings that one brace of the shelf makes.
func ways(brace shelf.Brace) []Bracing {
	switch brace.Kind {
	case shelf.Strap:
		return []Bracing{
			{Name: brace.Name + ": one, pulled tight", Rounds: 1, PullN: brace.PullN},
			{Name: brace.Name + ": two, pulled tight", Rounds: 2, PullN: brace.PullN},
		}
	case shelf.Batten:
		return []Bracing{battens(brace, 1), battens(brace, 2), battens(brace, 3)}
	case shelf.Bandage:
		layer := shelf.Board{Name: brace.Name, ThicknessMM: brace.ThicknessMM, YoungPa: brace.YoungPa, Poisson: bandagePoisson}
		return []Bracing{{Name: brace.Name, Backing: &layer}}
	}
	return nil
}

// battens are rows of battens round the box, each under a strap. One is
// ThicknessMM deep and WidthMM wide: its stiffness is E·width·depth³/12. The
// pull of the strap is left for the corners and not counted on.
func battens(brace shelf.Brace, rows int) Bracing {
	i := brace.WidthMM * math.Pow(brace.ThicknessMM, 3) / 12 * 1e-12
	return Bracing{
		Name:   brace.Name + [...]string{": one row", ": two rows", ": three rows"}[rows-1] + " all round, under straps",
		Rounds: rows, BattenNM2: shelf.Range{Low: i * brace.YoungPa.Low, Likely: i * brace.YoungPa.Likely, High: i * brace.YoungPa.High},
	}
}
