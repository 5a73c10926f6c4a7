package sheet

import (
	"math"
	"strings"

	"pourwright/analysis"
	"pourwright/render/say"
)

// Hollow tells whether the cast is turned about as a skin, since the resin poured
// solid gets too hot.
func (v *page) Hollow() bool { return v.Cast.TooThick && v.Cast.Slush != nil }

// Piece is what the mold comes apart into.
func (v *page) Piece() string {
	if v.TwoPart != nil {
		return "part"
	}
	return "half"
}

// wait is how long a step of the timetable takes.
type wait struct{ Ends, Likely string }

// What the timetable calls the waits that the steps name.
const (
	restStep = "let the open mold rest"
	setStep  = "let the cast set"
)

// waitFor finds a wait of the timetable; nil when there is none.
func (v *page) waitFor(name string) *wait {
	for _, s := range v.Clock {
		if s.Name == name && s.TakeS.High > 0 {
			return &wait{endsWords(s.TakeS), clockWords(s.TakeS.Likely)}
		}
	}
	return nil
}

// Rest is how long the opened mold rests before it is cast in.
func (v *page) Rest() *wait { return v.waitFor(restStep) }

// Set is how long the cast stays in the mold.
func (v *page) Set() *wait { return v.waitFor(setStep) }

// WallsHoldFoam tells whether all walls of the box are known to bear the foam.
func (v *page) WallsHoldFoam() bool {
	if v.Cast.Foam == nil || len(v.Cast.Foam.Walls) == 0 {
		return false
	}
	for _, w := range v.Cast.Foam.Walls {
		if w.Verdict != "holds" {
			return false
		}
	}
	return true
}

// CloseWords say what holds the closed mold together.
func (v *page) CloseWords() string {
	it := "it"
	if v.TwoPart != nil {
		it = "them"
	}
	switch {
	case !v.Foams():
		return "Put " + it + " back between the walls, or between boards, and strap all round: tight enough to close, not so tight that the rubber bulges."
	case v.WallsHoldFoam() && v.Bow.Bracing != nil:
		return "Put " + it + " back between the walls, with the bracing as it was, and strap all round."
	case v.WallsHoldFoam():
		return "Put " + it + " back between the walls, and strap all round."
	case v.Cast.Foam != nil && len(v.Cast.Foam.Walls) > 0:
		return "Set stiff boards against all sides, with straps all round: the walls of the box as they are do not bear the foam."
	}
	return "Set stiff boards against all sides, with straps all round: it is not known whether the walls of the box bear the foam."
}

// Bleeds are the ends of the cavity that want a bleed hole.
func (v *page) Bleeds() []string {
	var all []string
	for i, t := range v.Cast.Tips {
		if t.Bleed {
			all = append(all, v.Tips[i].Where)
		}
	}
	return all
}

// PlugsTold tells whether the tilt says in which order vents are plugged.
func (v *page) PlugsTold() bool {
	return v.TiltCast != nil && v.TiltCast.Helps && v.TiltCast.Plugs != ""
}

// TurnWords say which side of the mold lies down in turn for a hollow cast.
func (v *page) TurnWords() string {
	words := make([]string, len(v.Cast.Slush.Turns))
	for i, turn := range v.Cast.Slush.Turns {
		switch {
		case turn == "cover":
			words[i] = "the end away from the spout"
		case turn == "spout":
			words[i] = "the spout’s end with the lid on"
		case v.TwoPart != nil:
			words[i] = "the " + blockSides(v.TwoPart, []string{turn})
		default:
			words[i] = "the side that was the " + side(turn)
			if i > 0 && words[i-1] != "the end away from the spout" {
				words[i] = "the " + side(turn)
			}
		}
	}
	if len(words) == 0 {
		return "every side, the spout’s last"
	}
	return strings.Join(words, ", then ")
}

// castCard is what is weighed for one cast, or for each coat of a hollow one.
type castCard struct {
	TotalG float64
	A, B   string // by weight, else by volume; empty when that is not known
	Coats  int    // 0: poured solid
}

// Ticks are the boxes to tick off.
func (c castCard) Ticks() []struct{} { return make([]struct{}, max(c.Coats, 1)) }

// Card is the card of this cast.
func (v *page) Card() castCard {
	c := castCard{TotalG: v.Cast.MassG.Likely}
	if h := v.Cast.Slush; v.Hollow() {
		c.Coats, c.TotalG = h.Coats, h.CoatG
		c.A, c.B = v.divided(h.AG, h.BG, h.AMM3, h.BMM3)
		return c
	}
	c.A, c.B = v.charge()
	return c
}

// charge words A and B of the solid cast.
func (v *page) charge() (a, b string) {
	return v.divided(v.Cast.AG, v.Cast.BG, v.Cast.AMM3, v.Cast.BMM3)
}

// divided words A and B by weight, else by volume; empty where neither is known.
func (v *page) divided(aG, bG, aMM3, bMM3 *float64) (a, b string) {
	switch {
	case aG != nil && bG != nil:
		return grams(*aG), grams(*bG)
	case aMM3 != nil && bMM3 != nil:
		return v.Say.Liquid(*aMM3), v.Say.Liquid(*bMM3)
	}
	return "", ""
}

// SolidWords say what the cast would take if it were poured solid.
func (v *page) SolidWords() string {
	words := "Poured solid it would take " + v.Say.MassRange(v.Cast.MassG.Low, v.Cast.MassG.High) + " in one charge"
	if a, b := v.charge(); a != "" {
		words += ", likely A " + a + " and B " + b
	}
	words += ". This resin gets too hot for that"
	if v.Cast.ThickMM > 0 {
		words += ": its thickest place is " + v.Say.Length(v.Cast.ThickMM)
	}
	return words + ". A slow resin or a foam may be poured whole."
}

// castMass is what is mixed for one cast, in words.
func (v *page) CastMass() string {
	if v.Hollow() {
		return v.Say.Mass(v.Cast.Slush.MassG)
	}
	return v.Say.MassRange(v.Cast.MassG.Low, v.Cast.MassG.High)
}

// endsWords is a time with both its ends: "12 h to 72 h".
func endsWords(t analysis.Spread) string {
	low, high := clockWords(t.Low), clockWords(t.High)
	switch {
	case low == high:
		return high
	case !(t.Low > 0):
		return "up to " + high
	}
	return low + " to " + high
}

// clockWords is a time of the timetable: with its minutes after a day too, so that
// steps that follow one another differ.
func clockWords(seconds float64) string {
	minutes := math.Round(seconds / 60)
	hours := math.Floor(minutes / 60)
	if !(hours >= 24) || minutes == 60*hours {
		return duration(seconds)
	}
	return duration(3600*hours) + keep(" "+say.Duration(60*(minutes-60*hours)))
}
