package picture

import (
	"math"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"gonum.org/v1/gonum/spatial/r3"
)

// The page: verdict on top, then the two views and what was found, either below
// or beside them, with the key and the scale at the foot of the views.
const (
	pageLeft, pageRight = 40.0, Width - 40.0
	pageFoot            = 1164.0
	lineHigh            = 31.0 // px from one line of text to the next
	entryGap            = 13.0
	entryIndent         = 54.0
	mostListed          = 12
	mostLines           = 4 // of a problem, and as many when there are many
	leastLines          = 2
	keyRow              = 40.0
	captionHigh         = 40.0
	markRoom            = 58.0 // px left around the scan for numbers
	verdictLines        = 3
)

// page is where everything goes.
type page struct {
	heading   string
	verdict   []string
	rule      float64
	views     [2]rect
	scale     float64 // px per mm
	scaleText string
	bar       float64 // mm
	sizeText  string
	sizeBelow bool // the size has a row of its own
	key       []keyEntry
	entries   []found
}

// keyEntry is a row of the key, with its top left corner.
type keyEntry struct {
	entry
	at point
}

// found is a row of the list of problems.
type found struct {
	number int // 0 for none
	sign   func(c *canvas, middle point)
	lines  []string
	at     point
}

// page arranges everything so that the scan is drawn as large as possible.
func (w *worth) page(t *typefaces) page {
	p := page{}
	var rest string
	p.heading, rest = splitVerdict(w.in.Verdict)
	p.heading = t.fit(title, p.heading, pageRight-pageLeft)
	p.verdict = t.wrapped(heading, rest, pageRight-pageLeft, verdictLines)
	p.rule = 92 + 35*float64(len(p.verdict)) + 14*min(float64(len(p.verdict)), 1)
	best := w.below(t, p, false)
	for _, other := range []page{w.below(t, p, true), w.beside(t, p, false), w.beside(t, p, true)} {
		if other.scale*other.told() > preferred*best.scale*best.told() && other.listed() >= best.listed() {
			best = other
		}
	}
	return best
}

// preferred is how much larger a scan has to be drawn for another arrangement
// than the usual one.
const preferred = 1.2

// told is near 1 when every row says all it has to say.
func (p page) told() float64 {
	const each = 0.05
	return math.Max(1-each*float64(p.cut()), 0.1)
}

// below puts the list in two columns under the views, which are side by side or
// stacked.
func (w *worth) below(t *typefaces, p page, stacked bool) page {
	const apart, most = 40.0, 0.40
	wide := (pageRight - pageLeft - apart) / 2
	rows := w.list(t, wide, 2, most*Height)
	half := columnsOf(rows)
	high := math.Max(highOf(rows[:half]), highOf(rows[half:]))
	p.key = w.key(t, pageLeft, pageRight)
	top := pageFoot - high
	p.entries = append(placed(rows[:half], pageLeft, top), placed(rows[half:], pageLeft+wide+apart, top)...)
	w.setViews(t, &p, rect{pageLeft, p.rule, pageRight, top - 24}, stacked)
	return p
}

// beside puts the list in a column at the right.
func (w *worth) beside(t *typefaces, p page, stacked bool) page {
	const wide = 500.0
	x := pageRight - wide
	rows := w.list(t, wide, 1, pageFoot-p.rule-28)
	p.entries = placed(rows, x, p.rule+28)
	p.key = w.key(t, pageLeft, x-40)
	w.setViews(t, &p, rect{pageLeft, p.rule, x - 40, pageFoot}, stacked)
	return p
}

// setViews shares a part of the page among the views, the scale and the key.
func (w *worth) setViews(t *typefaces, p *page, on rect, stacked bool) {
	rows := 0.0
	if len(p.key) > 0 {
		rows = 1 + p.key[len(p.key)-1].at.Y/keyRow
	}
	w.setSize(t, p, on)
	top := on.Y1 - keyRow*(rows+1)
	if p.sizeBelow {
		top -= keyRow
	}
	for i := range p.key {
		p.key[i].at.Y += on.Y1 - keyRow*rows
	}
	const apart = 24.0
	wide, high := (on.wide()-apart)/2, top-14-on.Y0
	step := point{wide + apart, 0}
	if stacked {
		wide, high = on.wide(), high/2
		step = point{0, high}
	}
	first := rect{on.X0, on.Y0 + captionHigh + 8, on.X0 + wide, on.Y0 + high}
	p.views = [2]rect{first, first.moved(step)}
	if w.size == 0 {
		return
	}
	p.scale = math.Inf(1)
	for i, b := range w.seen {
		room := p.views[i].grown(-markRoom)
		least := 1e-6 * w.size
		p.scale = min(p.scale, room.wide()/math.Max(b.wide(), least), room.high()/math.Max(b.high(), least))
	}
	p.bar = roundLength(scaleBarRoom/p.scale, w.words.inches)
	p.scaleText = t.fit(figure, w.words.length(p.bar), scaleTextRoom)
}

// Room for the scale bar and the words beside it, px.
const (
	scaleBarRoom  = 150.0
	scaleTextRoom = 300.0
	scaleGap      = 14.0
)

// setSize words the size of the scan; it goes beside the scale bar where there
// is room.
func (w *worth) setSize(t *typefaces, p *page, on rect) {
	size := r3.Sub(w.frame.Max, w.frame.Min)
	p.sizeText = "Along the scan's axes " + w.words.size([]float64{size.X, size.Y, size.Z})
	p.sizeText = t.fit(figure, p.sizeText, on.wide())
	p.sizeBelow = t.width(figure, p.sizeText) > on.wide()-scaleBarRoom-scaleGap-scaleTextRoom-40
}

// splitVerdict parts a sentence at its first colon when a heading stands before it.
func splitVerdict(text string) (heading, rest string) {
	text = strings.TrimSpace(readable(text))
	if text == "" {
		return "The scan as it arrived", ""
	}
	const longest = 60 // letters
	before, after, ok := strings.Cut(text, ": ")
	if ok && utf8.RuneCountInString(before) <= longest {
		return before, ended(after)
	}
	return "The scan as it arrived", text
}

// sentence begins with a capital and ends with a full stop.
func sentence(text string) string {
	text = strings.TrimSpace(readable(text))
	first, size := utf8.DecodeRuneInString(text)
	if size == 0 {
		return ""
	}
	return ended(string(unicode.ToUpper(first)) + text[size:])
}

// ended ends with a full stop.
func ended(text string) string {
	if !strings.ContainsAny(text[len(text)-1:], ".!?") {
		text += "."
	}
	return text
}

// wrapped breaks text into lines of at most room px; what is more than so many
// lines ends in an ellipsis.
func (t *typefaces) wrapped(s style, text string, room float64, most int) []string {
	var lines []string
	words := unbroken(text)
	for len(words) > 0 {
		if len(lines) == most-1 {
			return append(lines, t.fit(s, strings.Join(words, " "), room))
		}
		n := 1
		for n < len(words) && t.width(s, strings.Join(words[:n+1], " ")) <= room {
			n++
		}
		if n == 1 && t.width(s, words[0]) > room {
			head := t.begin(s, words[0], room)
			lines, words[0] = append(lines, head), words[0][len(head):]
			continue
		}
		lines, words = append(lines, strings.Join(words[:n], " ")), words[n:]
	}
	return lines
}

// unbroken parts text into words and places: (1, 2, 3) stays together.
func unbroken(text string) []string {
	var out []string
	open := false
	for _, word := range strings.Fields(text) {
		if open {
			out[len(out)-1] += " " + word
		} else {
			out = append(out, word)
		}
		number := strings.TrimLeft(word, "(−-")
		starts := !open && strings.HasPrefix(word, "(") && number != "" && number[0] >= '0' && number[0] <= '9'
		open = (open || starts) && strings.HasSuffix(word, ",")
	}
	return out
}

// begin is as much of a word as has room, one letter at the least.
func (t *typefaces) begin(s style, word string, room float64) string {
	end := 0
	for i, r := range word {
		next := i + utf8.RuneLen(r)
		if end > 0 && t.width(s, word[:next]) > room {
			break
		}
		end = next
	}
	return word[:end]
}

// list words what was found for columns of a width that together are at most
// so high each: first with shorter texts, then with fewer problems.
func (w *worth) list(t *typefaces, wide float64, columns int, most float64) (rows []found) {
	for lines := mostLines; lines >= leastLines; lines-- {
		if rows = w.rows(t, wide, mostListed, lines); fits(rows, columns, most) {
			return rows
		}
	}
	for listed := min(mostListed, len(w.in.Problems)) - 1; listed >= 0; listed-- {
		if rows = w.rows(t, wide, listed, leastLines); fits(rows, columns, most) {
			return rows
		}
	}
	return rows
}

func fits(rows []found, columns int, most float64) bool {
	if columns == 1 {
		return highOf(rows) <= most
	}
	half := columnsOf(rows)
	return highOf(rows[:half]) <= most && highOf(rows[half:]) <= most
}

// rows are at most so many problems of at most so many lines, and what else
// has to be said.
func (w *worth) rows(t *typefaces, wide float64, listed, lines int) []found {
	var rows []found
	add := func(number int, sign func(*canvas, point), text string) {
		rows = append(rows, found{number: number, sign: sign, lines: t.wrapped(normal, text, wide-entryIndent, lines)})
	}
	switch {
	case w.in.Sound && len(w.in.Problems) == 0:
		add(0, (*canvas).tick, "Nothing is wrong with this scan.")
	case len(w.in.Problems) == 0:
		add(0, nil, "There is no place to mark.")
	}
	if w.strays.any {
		add(0, (*canvas).outward, "Loose surface up to "+w.words.length(w.strays.awayMM)+
			" away lies outside the picture, where this arrow points; the size is without it.")
	}
	if w.rims.heap {
		add(0, nil, "So many faces are loose that their rims would hide the rest; they are not drawn.")
	}
	for i, p := range w.in.Problems {
		if i == listed {
			add(0, nil, "and "+strconv.Itoa(len(w.in.Problems)-listed)+" more")
			break
		}
		add(i+1, nil, sentence(w.words.prose(p.Text)))
	}
	return rows
}

// high is how high a row is with the gap below it.
func (f found) high() float64 { return lineHigh*float64(max(len(f.lines), 1)) + entryGap }

func highOf(rows []found) (sum float64) {
	for _, r := range rows {
		sum += r.high()
	}
	return sum
}

// columnsOf returns how many rows the first of two columns takes so that the
// higher one is as low as can be.
func columnsOf(rows []found) int {
	best, least := 0, math.Inf(1)
	for n := range len(rows) + 1 {
		if high := math.Max(highOf(rows[:n]), highOf(rows[n:])); high < least || high == least && n > best {
			best, least = n, high
		}
	}
	return best
}

func placed(rows []found, x, y float64) []found {
	out := make([]found, len(rows))
	for i, r := range rows {
		r.at = point{x, y}
		out[i] = r
		y += r.high()
	}
	return out
}

// cut is how many rows do not say all.
func (p page) cut() (n int) {
	for _, r := range p.entries {
		if len(r.lines) > 0 && strings.HasSuffix(r.lines[len(r.lines)-1], "…") {
			n++
		}
	}
	return n
}

// listed is how many problems have a number on the page.
func (p page) listed() (n int) {
	for _, r := range p.entries {
		n = max(n, r.number)
	}
	return n
}
