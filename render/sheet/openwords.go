package sheet

import (
	"math"
	"strings"

	"pourwright/analysis"
	"pourwright/render/say"
)

func landWords(c analysis.Cut, s units) string {
	words := s.Length(c.LandMM) + " straight in from the part"
	if c.SquareDeg > 0 {
		words += ", which the cut meets at " + say.Angle(c.SquareDeg) + " on average"
	}
	return words
}

// LandMM is how far from the part the cut is kept straight.
func (v *page) LandMM() float64 {
	if v.Cut.LandMM > 0 {
		return v.Cut.LandMM
	}
	return leastKeep
}

// leastKeep is how near the waves come to the part at the least, in mm, where the
// land is narrower.
const leastKeep = 5

// waveWords says how many waves the key line has, how long, high and deep.
func waveWords(c analysis.Cut, s units) string {
	waves := 0
	var high, deep, pitch figures
	for _, k := range c.KeyLines {
		here := waves
		for _, w := range k.Waves {
			if w.AmplitudeMM > 0 {
				waves++
				high.add(w.AmplitudeMM)
				deep.add(math.Abs(w.DepthMM))
			}
		}
		if waves > here {
			pitch.add(k.PitchMM)
		}
	}
	if waves == 0 {
		return "none: there is no rubber for it. Find the halves again by marks across the cut."
	}
	words := say.Count(waves, "wave", "waves") + ", one every " + pitch.words(s) + ", " + high.words(s) + " high"
	if deep.most > 0 {
		words += "; crests " + deep.words(s) + " off the cut, by turns to one side and the other"
	}
	return words + ", no nearer than " + s.Length(max(c.LandMM, leastKeep)) + " to the part"
}

// leastHook is the least rubber behind the part worth a figure, in mm³.
const leastHook = 10

// hookWords says how much rubber hooks behind the part in each half, and how deep.
func hookWords(c analysis.Cut, s units) string {
	words := ""
	for i, sign := range [2]float64{-1, 1} {
		one := towards(c.Normal, sign) + " half "
		if c.UndercutMM3[i] < leastHook {
			one += "none"
		} else {
			one += s.Volume(c.UndercutMM3[i]) + ", up to " + s.Length(c.UndercutDepthMM[i]) + " deep"
		}
		words = joinWith(words, one, "; ")
	}
	return words
}

// figures are the least and the most of some.
type figures struct {
	least, most float64
	some        bool
}

func (f *figures) add(x float64) {
	if !f.some {
		f.least, f.most, f.some = x, x, true
	}
	f.least, f.most = min(f.least, x), max(f.most, x)
}

// words gives the least and the most as lengths, or one when they read alike.
func (f figures) words(s units) string {
	least, most := s.Length(f.least), s.Length(f.most)
	if least == most {
		return most
	}
	return least + " to " + most
}

// slitWords says how far the block is cut open.
func slitWords(p *analysis.Plan, s units) string {
	c := p.Cut
	switch {
	case c.Slit.Full && c.Slit.Because != nil:
		return "full halves, because " + *c.Slit.Because
	case c.Slit.Full:
		return "full halves"
	case c.SlitMM == 0:
		return "none: the part comes out of the spout. Cut only if it will not"
	}
	words := s.Length(c.SlitMM) + " along the part, from the spout"
	if n := len(c.Slit.Path); n > 0 {
		at, spout := c.Slit.Path[n/2], spoutInBox(p)
		words += " up its " + towards([3]float64{at[0] - spout[0], at[1] - spout[1]}, 1) + " side"
	}
	return words
}

// hingeWords says what is left whole, and where the knife stops.
func hingeWords(p *analysis.Plan, s units) string {
	h := p.Cut.Hinge
	if h == nil {
		if p.Cut.Slit.Full {
			return ""
		}
		return say.Unknown
	}
	words := s.Length(h.LengthMM) + " along the part left whole"
	if h.Stop == nil {
		return words
	}
	return words + stopWords(p, s)
}

// stopWords says where the knife stops, and along which way.
func stopWords(p *analysis.Plan, s units) string {
	h := p.Cut.Hinge
	inner, outer := h.Stop[0], h.Stop[1]
	face := blockFace(p, outer)
	up, outside := s.Length(inner[2])+" above the board", "outside ("+strings.ToLower(face)+")"
	words := ". Stop at the part " + up
	if face == topFace || face == spoutFace {
		outside += ", " + along(p, s, outer)
	} else if out := s.Length(outer[2]); out+" above the board" != up {
		outside += " " + out + " above it"
	} else if h.Square {
		return ". Stop " + up + ", straight in from " + outside + " to the part"
	}
	if h.Square {
		return words + ", straight in from " + outside
	}
	return words + ", " + outside + "; the line slants, since no straight way in is clear of the part"
}

// stretchWords sets how far the rubber is drawn out against what it gives.
func stretchWords(c analysis.Cut) string {
	allowed := keep(say.Percent(c.Stretch.Allowed)) + " allowed"
	if c.Stretch.Guessed {
		allowed += " (a guess: the rubber’s elongation is not known)"
	}
	without := keep(say.Percent(c.Stretch.Without)) + " needed without a slit"
	if c.Slit.Full {
		return allowed + "; " + without
	}
	needed := say.Unknown + " with the slit"
	if c.Stretch.Needed != nil {
		needed = keep(say.Percent(*c.Stretch.Needed)) + " needed"
		if straight := c.Stretch.Straight; straight != nil && *straight > *c.Stretch.Needed+0.005 {
			needed += ", " + keep(say.Percent(*straight)) + " if you pull the part out straight and do not turn it along its bends"
		}
	}
	return needed + "; " + allowed + "; " + without
}

func tearWords(c analysis.Cut, s units) string {
	if c.Tear == nil {
		return say.Unknown
	}
	return "about " + s.Length(c.Tear.NickMM)
}

// stepWords says where the corner of a stepped cut lies.
func stepWords(c analysis.Cut, s units, step analysis.CutStep) string {
	words := "at its start"
	if step.AtMM != 0 && c.StepsAlong != nil {
		words = s.Length(math.Abs(step.AtMM)) + " " + bearing(*c.StepsAlong, step.AtMM)
	}
	if step.OffsetMM == 0 {
		return words + ": on the plane"
	}
	return words + ": " + s.Length(math.Abs(step.OffsetMM)) + " off the plane " + bearing(c.Normal, step.OffsetMM)
}

// bearing says which way along a direction, by a factor, something lies.
func bearing(d [3]float64, factor float64) string {
	switch name := towards(d, factor); name {
	case "upper":
		return "up"
	case "lower":
		return "down"
	default:
		return "to the " + name
	}
}
