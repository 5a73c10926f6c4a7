package picture

import (
	"strconv"
	"strings"

	"pourwright/render/say"
)

// filmTitle heads a frame.
func (f *film) filmTitle(s shot) string {
	name := strings.TrimSpace(readable(f.s.plan.Name))
	if name == "" {
		name = "Block mold"
	}
	if s.turns {
		return name + ": turning the block over"
	}
	if s.pour == castRises {
		return name + ": casting"
	}
	return name + ": pouring the rubber"
}

// opening is said while nothing is closed off yet.
func (f *film) opening(pour pouring) string {
	if pour == castRises {
		return "Casting material goes in by the spout and rises in the cavity."
	}
	return "Rubber rises around the pattern, which stands on its board."
}

// closing is said when a trap closes.
func (f *film) closing(pour pouring, trap int) string {
	c := f.panels[pour].cut
	if trap == c.most {
		return c.lead(f.show)
	}
	return "Air at " + strconv.Itoa(trap+1) + ": " + c.row(trap, f.show) + "."
}

// ending is said when the pour is done.
func (f *film) ending(pour pouring) string {
	c := f.panels[pour].cut
	stays, volume := 0, 0.0
	for _, t := range c.traps {
		if t.vent == nil {
			stays, volume = stays+1, volume+t.volume
		}
	}
	done := "The block is full."
	if pour == castRises {
		done = "The mold is full."
	}
	switch {
	case stays > 0:
		return done + " Air stayed in " + say.Count(stays, "place", "places") + "."
	case len(c.traps) > 0:
		return done + " The vents let all trapped air out: plug each as material shows in it."
	}
	return done + " No air was trapped."
}

// turning is said while the block is turned over.
func (f *film) turning() string {
	rubber, cast := f.panels[rubberRises].cut, f.panels[castRises].cut
	text := "The rubber has cured and the pattern is out: the block is turned over, spout on top."
	if len(rubber.traps) > 0 {
		text += " Drawn as if no air had stayed in it."
	}
	if rubber.along != cast.along {
		text += " The cut now runs through place " + strconv.Itoa(cast.most+1) + "."
	}
	return text
}

// chip is a colour and its name.
type chip struct {
	colour tint
	name   string
}

// chips are the colours of a pour.
func (f *film) chips(pour pouring) []chip {
	traps := f.panels[pour].cut.traps
	all := []chip{{rubberIn, "rubber"}, {oak, "pattern"}}
	if pour == castRises {
		all = []chip{{cured, "rubber"}, {poured, "casting material"}}
	}
	if anyStays(traps) {
		all = append(all, chip{trapped, "air that stays"})
	}
	if anyVented(traps) {
		all = append(all, chip{leaving, "air that leaves"})
	}
	return all
}

// drawFilmKey names the colours at the foot of the frame.
func (f *film) drawFilmKey(pour pouring) {
	c, x, y := f.canvas, f.room.X0, float64(FilmHeight)-14
	for _, e := range f.chips(pour) {
		box := rect{x, y - 18, x + 28, y}.corners()
		c.fill(e.colour, 1, box)
		c.draw(line(shade, 1.2), closed(box))
		x = c.text(small, shade, x+38, y-1, e.name).X1 + 26
	}
}
