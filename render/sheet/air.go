package sheet

import (
	"strconv"

	"pourwright/analysis"
	"pourwright/render/say"
)

// trapPlace is air with no vent of its own, in words.
type trapPlace struct {
	Number int // of all traps of this pour, the first is 1
	Where  string
	AirMM3 float64
	Do     string // what frees it; empty when that is not known
}

// trapPlaces lists the traps without a vent; tilt is that of the same pour.
func trapPlaces(p *analysis.Plan, s units, traps []analysis.Trap, tilt *tilting) []trapPlace {
	var list []trapPlace
	for i, trap := range traps {
		if trap.Vent != nil {
			continue
		}
		one := trapPlace{Number: i + 1, Where: placeAt(p, trap.AtMM, trap.Part).Words(s), AirMM3: trap.VolumeMM3}
		switch {
		case trap.Remedy == nil:
		case trap.Remedy.Way == "tilt" && tilt != nil && tilt.Helps:
			one.Do = "The tilt in the steps frees it."
		default:
			one.Do = s.Prose(trap.Remedy.Text)
		}
		list = append(list, one)
	}
	return list
}

// tilting says how to prop up the box or the block so that air leaves.
type tilting struct {
	Helps  bool
	Angle  string
	Down   string // the side that goes down
	Up     string // the side to lift
	LiftMM float64
	Frees  string // which places, when whole ones become free
	Plugs  string // in which order vents are plugged; empty for none
	*analysis.Tilt
}

// wordTilt words a tilt, or gives nil where there is no air to free.
func wordTilt(p *analysis.Plan, t *analysis.Tilt) *tilting {
	if t == nil {
		return nil
	}
	words := &tilting{Tilt: t, LiftMM: t.LiftMM}
	if !(t.Deg > 0) || len(t.Side) == 0 {
		return words
	}
	words.Helps = true
	words.Angle, words.Down, words.Up = say.Angle(t.Deg), sides(t.Side), sides(across(t.Side))
	if p.TwoPart != nil {
		words.Down, words.Up = blockSides(p.TwoPart, t.Side), blockSides(p.TwoPart, across(t.Side))
	}
	for _, i := range t.Frees {
		words.Frees = joined(words.Frees, "place "+strconv.Itoa(i+1))
	}
	for _, post := range t.PlugOrder {
		words.Plugs = joined(words.Plugs, "vent "+strconv.Itoa(post))
	}
	return words
}

// joined adds a word to a list in order.
func joined(list, word string) string {
	if list == "" {
		return word
	}
	return list + ", " + word
}

// LeastAir is the smallest air that matters, in mm³.
func (v *page) LeastAir() float64 { return max(v.Air.LeastMM3, 1) }
