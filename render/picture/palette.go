package picture

import "image/color"

// tint is a colour with parts 0–1, not linear: mixed as it is shown.
type tint struct{ R, G, B float64 }

func hex(rgb uint32) tint {
	return tint{float64(rgb>>16) / 255, float64(rgb>>8&255) / 255, float64(rgb&255) / 255}
}

// The look shared by all our pictures and paper.
var (
	paper  = hex(0xF6F3EC)
	ink    = hex(0x22303A)
	oak    = hex(0xB98B5E) // pattern
	glass  = hex(0x7FB7A6) // rubber
	blue   = hex(0x2F5D8C) // cut
	lamp   = hex(0xE0A526) // spout, stem and vents
	signal = hex(0xC8402F) // what is wrong
	chalk  = hex(0xFFFFFF)
	board  = hex(0xE6DFD1) // base board: the paper, a shade darker
	amber  = lamp.mix(ink, 0.45)
	shade  = ink.mix(paper, 0.30) // second text
	faint  = ink.mix(paper, 0.55) // thin lines
	filler = hex(0xD8C9A8)        // wood in the place of rubber
	steel  = ink.mix(paper, 0.40) // pins, bar and straps
	deep   = glass.mix(ink, 0.30) // rubber in the cut face's hatching
	shadow = oak.mix(ink, 0.62)

	leftOut = ink.mix(paper, 0.62) // of a scan, what mending left out

	behindCut = oak.mix(paper, 0.45) // pattern further off than the cut face
)

// mix moves a by share (0–1) towards b.
func (a tint) mix(b tint, share float64) tint {
	return tint{a.R + (b.R-a.R)*share, a.G + (b.G-a.G)*share, a.B + (b.B-a.B)*share}
}

// times is a in light of the given strength.
func (a tint) times(s float64) tint { return tint{a.R * s, a.G * s, a.B * s} }

func (a tint) plus(b tint) tint { return tint{a.R + b.R, a.G + b.G, a.B + b.B} }

// opaque is a as a pixel.
func (a tint) opaque() color.RGBA {
	return color.RGBA{level(a.R), level(a.G), level(a.B), 255}
}

func level(x float64) uint8 { return uint8(min(max(x, 0), 1)*255 + 0.5) }
