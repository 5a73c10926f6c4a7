package sheet

import (
	"strings"

	"pourwright/analysis"
	"pourwright/render/say"
)

// post is a rod to glue between the pattern and the board, or a vent that the
// pattern makes itself where it stands on the board.
type post struct {
	analysis.Vent
	Number int
	Leans  string  // which way its upper end does; empty when it is upright
	AirMM3 float64 // that its vent lets out, of all traps that share it
}

// leastPost is the shortest post, in mm, as in the picture.
const leastPost = 1

// Glued tells whether there is a rod to glue in. Where the part is nearer to
// the board than the shortest post it stands on it, and leaves the vent itself.
func (p post) Glued() bool { return !(p.LengthMM < leastPost) }

// posts lists the posts in the order of the traps, each once.
func posts(p *analysis.Plan) []post {
	var all []post
	at := map[int]int{}
	for _, trap := range p.CastTrap {
		if trap.Vent == nil {
			continue
		}
		number := trap.Vent.Post
		if number == 0 {
			number = len(all) + 1
		}
		if i, shared := at[number]; shared {
			all[i].AirMM3 += trap.VolumeMM3
			continue
		}
		at[number] = len(all)
		one := post{Vent: *trap.Vent, Number: number, AirMM3: trap.VolumeMM3}
		if one.SlantDeg >= 0.5 && len(one.LeanToward) > 0 {
			one.Leans = "leans " + say.Angle(one.SlantDeg) + ", its upper end towards the " + sides(one.LeanToward)
		}
		all = append(all, one)
	}
	return all
}

// sides names the walls that are given as x0 … y1, joined.
func sides(walls []string) string {
	words := make([]string, len(walls))
	for i, wall := range walls {
		words[i] = side(wall)
	}
	return strings.Join(words, " and the ")
}

// side names one wall within a sentence.
func side(wall string) string {
	if name, known := wallNames[wall]; known {
		return strings.ToLower(name)
	}
	return wall
}

// across lists the walls opposite to those given.
func across(walls []string) []string {
	opposite := map[string]string{"x0": "x1", "x1": "x0", "y0": "y1", "y1": "y0"}
	all := make([]string, len(walls))
	for i, wall := range walls {
		all[i] = opposite[wall]
	}
	return all
}
