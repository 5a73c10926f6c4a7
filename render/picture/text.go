package picture

import (
	"image"
	"image/draw"
	"math"
	"strings"
	"sync"
	"unicode"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/gomedium"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/opentype"
	"golang.org/x/image/math/fixed"
)

// style is one weight and size of type. The smallest is 24 px, which is 2.2 mm
// high when the picture is printed 149 mm wide.
type style int

const (
	small   style = iota // names
	normal               // words
	figure               // quantities
	heading              // of a part of the picture
	title
	styles
)

var sizes = [styles]float64{small: 24, normal: 25, figure: 26, heading: 27, title: 46}

// parsedFonts reads the Go fonts once: regular, medium, bold.
var parsedFonts = sync.OnceValue(func() [3]*opentype.Font {
	var all [3]*opentype.Font
	for i, ttf := range [][]byte{goregular.TTF, gomedium.TTF, gobold.TTF} {
		f, err := opentype.Parse(ttf)
		if err != nil {
			panic(err) // the fonts are part of the program
		}
		all[i] = f
	}
	return all
})

// typefaces are ready to draw with, by one goroutine.
type typefaces struct{ faces [styles]font.Face }

func newTypefaces() *typefaces {
	fonts := parsedFonts()
	weight := [styles]int{small: 0, normal: 0, figure: 1, heading: 1, title: 2}
	t := &typefaces{}
	for s := range t.faces {
		face, err := opentype.NewFace(fonts[weight[s]], &opentype.FaceOptions{Size: sizes[s], DPI: 72, Hinting: font.HintingNone})
		if err != nil {
			panic(err) // no size or hinting of ours is wrong
		}
		t.faces[s] = face
	}
	return t
}

// width is how wide a line of text is, in px.
func (t *typefaces) width(s style, text string) float64 {
	return float64(font.MeasureString(t.faces[s], text)) / 64
}

// ascent and descent are how far letters reach above and below the line.
func (t *typefaces) ascent(s style) float64 { return math.Ceil(0.78 * sizes[s]) }

func (t *typefaces) descent(s style) float64 { return math.Ceil(0.22 * sizes[s]) }

// fit shortens a text that is wider than room, with an ellipsis.
func (t *typefaces) fit(s style, text string, room float64) string {
	if t.width(s, text) <= room {
		return text
	}
	letters := []rune(text)
	for n := len(letters) - 1; n > 0; n-- {
		short := strings.TrimRight(string(letters[:n]), " ") + "…"
		if t.width(s, short) <= room {
			return short
		}
	}
	return "…"
}

// readable replaces what cannot be drawn on one line.
func readable(text string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsSpace(r) {
			return ' '
		}
		if !unicode.IsPrint(r) {
			return -1
		}
		return r
	}, text)
}

// text writes a line whose letters stand on y, and remembers its place.
func (c *canvas) text(s style, t tint, x, y float64, text string) rect {
	at := c.letters.box(s, x, y, text)
	c.labels = append(c.labels, at)
	c.write(c.img, s, t, x, y, text)
	return at
}

// box is the place that text takes.
func (t *typefaces) box(s style, x, y float64, text string) rect {
	return rect{x, y - t.ascent(s), x + t.width(s, text), y + t.descent(s)}
}

func (c *canvas) write(on draw.Image, s style, t tint, x, y float64, text string) {
	d := font.Drawer{
		Dst: on, Src: image.NewUniform(t.opaque()), Face: c.letters.faces[s],
		Dot: fixed.Point26_6{X: fixed.Int26_6(math.Round(x * 64)), Y: fixed.Int26_6(math.Round(y * 64))},
	}
	d.DrawString(text)
}

// upright writes text that reads upwards, its letters standing on the line
// x to their right, beginning at y. It is drawn lying and then turned.
func (c *canvas) upright(s style, t tint, x, y float64, text string) rect {
	wide, up, down := int(c.letters.width(s, text))+2, int(c.letters.ascent(s))+2, int(c.letters.descent(s))+2
	flat := image.NewAlpha(image.Rect(0, 0, wide, up+down))
	c.write(flat, s, t, 0, float64(up), text)
	left, bottom := int(x)-up, int(y)
	turned := image.NewAlpha(image.Rect(0, 0, up+down, wide))
	for row := range wide {
		for col := range up + down {
			turned.SetAlpha(col, row, flat.AlphaAt(wide-1-row, col))
		}
	}
	where := image.Rect(left, bottom-wide, left+up+down, bottom)
	draw.DrawMask(c.img, where, image.NewUniform(t.opaque()), image.Point{}, turned, image.Point{}, draw.Over)
	at := rect{x - c.letters.ascent(s), y - c.letters.width(s, text), x + c.letters.descent(s), y}
	c.labels = append(c.labels, at)
	return at
}
