package drawing

import "strings"

// helvetica is how wide the letters from space to tilde are, in thousandths of
// the size: those of Nimbus Sans, which is made to the widths of Helvetica (its
// published font metrics file).
var helvetica = [...]float64{
	278, 278, 355, 556, 556, 889, 667, 191, 333, 333, 389, 584, 278, 333, 278, 278,
	556, 556, 556, 556, 556, 556, 556, 556, 556, 556, 278, 278, 584, 584, 584, 556,
	1015, 667, 667, 722, 722, 667, 611, 778, 722, 278, 500, 667, 556, 833, 722, 778,
	667, 778, 722, 667, 611, 722, 667, 944, 667, 667, 611, 278, 278, 278, 469, 556,
	333, 556, 556, 500, 556, 556, 278, 556, 556, 222, 222, 500, 222, 833, 556, 556,
	556, 556, 333, 500, 278, 556, 500, 722, 500, 500, 500, 334, 260, 334, 584,
}

// otherLetters are the widths of what else we write, from the same file.
var otherLetters = map[rune]float64{'×': 584, '−': 584, '±': 584, '°': 400, '·': 278, '²': 333, '³': 333, '\u00a0': 278, '…': 1000}

const (
	usualLetter = 556.0
	// Letters of other fonts without serifs are up to so much wider, which a
	// drawing that is shown with the reader's own font leaves room for.
	wider = 1.17
	// How far letters reach above and below the line they stand on, in sizes.
	ascent, descent = 0.76, 0.22
)

// width is how long a text is in Helvetica, mm.
func width(words string, sizeMM float64) float64 {
	sum := 0.0
	for _, r := range words {
		w, known := otherLetters[r]
		switch {
		case r >= ' ' && r <= '~':
			w = helvetica[r-' ']
		case !known:
			w = usualLetter
		}
		sum += w
	}
	return sum * sizeMM / 1000
}

// room is how long a text may come out in the reader's own font, mm.
func room(words string, sizeMM float64) float64 { return width(words, sizeMM) * wider }

// box is the room that a text takes.
func (t Text) box() Rect {
	w := room(t.Words, t.SizeMM)
	before := map[Anchor]float64{Start: 0, Middle: w / 2, End: w}[t.Anchor]
	up, down := ascent*t.SizeMM, descent*t.SizeMM
	if t.Up {
		return Rect{t.At.plus(-up, before-w), t.At.plus(down, before)}
	}
	return Rect{t.At.plus(-before, -up), t.At.plus(w-before, down)}
}

// wrap parts a text into lines that are at most long mm.
func wrap(words string, sizeMM, long float64) []string {
	var lines []string
	line := ""
	for _, word := range strings.Fields(words) {
		if line != "" && room(line+" "+word, sizeMM) > long {
			lines, line = append(lines, line), ""
		}
		line = strings.TrimPrefix(line+" "+word, " ")
	}
	return append(lines, line)
}

// fit shortens a text to at most long mm.
func fit(words string, sizeMM, long float64) string {
	letters := []rune(words)
	for n := len(letters); n > 1 && room(words, sizeMM) > long; n-- {
		words = string(letters[:n-1]) + "…"
	}
	return words
}
