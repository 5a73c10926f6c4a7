package prop

import (
	"math"

	"pourwright/samples/implicit"
)

// Patterns for carving, as heights between 0 and 1 (waves: −1 and 1) of two
// coordinates that count in repeats: u round the part, v along it.

// wave is a sine that repeats with every whole number.
func wave(x float64) float64 { return math.Sin(2 * math.Pi * x) }

// phase returns x less its whole part.
func phase(x float64) float64 { return x - math.Floor(x) }

// strand is the round back of a rope that lies across 0 ≤ x < 1, repeated.
func strand(x float64) float64 {
	off := 2*phase(x) - 1
	return math.Sqrt(max(0, 1-0.98*off*off))
}

// twisted is a rope wound on in turns along v and laid, itself, of strands that
// slant across each turn: u counts the strands passed going round.
func twisted(u, v float64) float64 {
	return 0.7*strand(v) + 0.3*strand(u+0.5*phase(v))*strand(v)
}

// turksHead is a band of three plaited strands, each a sine of the given number
// of bights round the part, passing over and under the others in turn. along
// is the place across the band from its middle, half the band's half width and
// girth the way round, all in mm.
func turksHead(bights, turn, along, half, girth float64) float64 {
	const strandMM = 2.7 // half of its width
	swing := half - strandMM
	top := 0.0
	for k := range 3 {
		u := bights*turn + float64(k)/3
		slope := swing * 2 * math.Pi * bights / girth * wave(u+0.25)
		off := (along - swing*wave(u)) / (strandMM * math.Sqrt(1+slope*slope))
		if off > -1 && off < 1 {
			over := 0.75 + 0.25*wave(2*u)
			top = max(top, over*math.Sqrt(1-off*off))
		}
	}
	return top
}

// feathers overlap like roof tiles, tips towards lower v, every second row
// set over by half, each with a quill line along its middle.
func feathers(u, v float64) float64 {
	row := math.Floor(v)
	for range 2 {
		across := 2*phase(u+0.5*math.Mod(math.Abs(row), 2)) - 1
		along := v - row
		tip := 0.85 * (1 - math.Sqrt(max(0, 1-across*across)))
		if edge := along - tip; edge > 0 {
			quill := 0.35 * (1 - implicit.Step(math.Abs(across), 0.05, 0.22))
			return implicit.Step(edge, 0, 0.18)*(1-0.45*along) - quill*(1-0.5*along)
		}
		row--
	}
	return 0.1
}

// star is a compass rose of the given number of points: 1 inside, falling to 0
// over soft. out is the distance from its middle in outer radii, turn in turns.
func star(points int, out, turn, soft float64) float64 {
	off := 2 * math.Abs(phase(turn*float64(points))-0.5) // 1 on a point, 0 between
	reach := 0.38 + 0.62*off*off*off
	return 1 - implicit.Step(out-reach, -soft, soft)
}
