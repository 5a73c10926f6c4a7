package bow

import (
	"math"

	"pourwright/analysis/shelf"
)

// DefaultCreep multiplies the bow of plastic, foam and wood-based boards over a
// cure of hours, where the shelf does not say (from memory).
var DefaultCreep = shelf.Range{Low: 1.2, Likely: 1.5, High: 2}

// Known tells whether the stiffness of a board is on the shelf.
func Known(b shelf.Board) bool {
	return b.ThicknessMM > 0 && (b.BendNM != shelf.Range{} || b.YoungPa != shelf.Range{})
}

// luck picks one end of every spread: the one that bows little, the likely
// one, or the one that bows much.
type luck int

const (
	lucky luck = iota
	likely
	unlucky
)

var lucks = [3]luck{lucky, likely, unlucky}

// less picks from a range of which less bows less; more, of which more does.
func (l luck) less(r shelf.Range) float64 { return [3]float64{r.Low, r.Likely, r.High}[l] }
func (l luck) more(r shelf.Range) float64 { return [3]float64{r.High, r.Likely, r.Low}[l] }

// plateOf is a board as a plate, its grain along the width of the wall. The
// stiffness counts that is given for the board itself, else the modulus.
func plateOf(b shelf.Board, l luck) Plate {
	along, up := b.BendNM, b.BendUpNM
	perUnit := 1.0
	if (along == shelf.Range{}) {
		along, up = b.YoungPa, b.YoungUpPa
		perUnit = Isotropic(1, b.Poisson, b.ThicknessMM).DxNM
	}
	p := Grained(perUnit*l.more(along), perUnit*l.more(or(up, along)), b.Poisson, b.ThicknessMM)
	p.ShearNPerM = l.more(b.ShearNPerM)
	return p.Strong(l.more(b.StrengthPa))
}

func or(r, instead shelf.Range) shelf.Range {
	if (r == shelf.Range{}) {
		return instead
	}
	return r
}

// stiffness is the likely one of a board against bending, both ways taken
// together, N·m; zero: not known.
func stiffness(b shelf.Board) float64 {
	if !Known(b) {
		return 0
	}
	p := plateOf(b, likely)
	return math.Sqrt(p.DxNM * p.DyNM)
}

func creep(b shelf.Board, l luck) float64 { return l.less(or(b.Creep, DefaultCreep)) }

func checkBoard(b shelf.Board) error {
	for _, r := range []struct {
		name string
		shelf.Range
	}{
		{"Young's modulus", b.YoungPa}, {"Young's modulus up the wall", b.YoungUpPa},
		{"bending stiffness", b.BendNM}, {"bending stiffness up the wall", b.BendUpNM},
		{"shear stiffness", b.ShearNPerM}, {"bending strength", b.StrengthPa}, {"creep", b.Creep},
	} {
		if (r.Range != shelf.Range{}) && !ordered(r.Range) {
			return &InputError{
				"the " + r.name + " of " + b.Name + " is not a range",
				"give low, likely and high above zero, in this order",
			}
		}
	}
	return nil
}

func ordered(r shelf.Range) bool {
	return r.Low > 0 && r.Low <= r.Likely && r.Likely <= r.High && !math.IsInf(r.High, 0)
}
