package stand

import (
	"fmt"
	"math"
	"strings"
)

// why says in plain words what speaks for and against way i; the first of ways
// is the choice, which the others are compared with. It names no lengths, since
// people choose their units later.
func why(ways []Way, i int, w Weights) string {
	way := ways[i]
	parts := []string{spoutWords(way), castWords(way.Cast)}
	if way.Rubber.Count > 0 && w[RubberAir] > 0 {
		parts = append(parts, "rubber would trap air "+places(way.Rubber.Count))
	}
	if w[Stability] > 0 {
		parts = append(parts, standWords(way))
	}
	if n := way.Criteria[Necks]; n < 0.8 && (i == 0 || n < ways[0].Criteria[Necks]-0.05) {
		parts = append(parts, "much of the cast has to pass a neck that is narrower than a spout should be")
	}
	if i > 0 {
		parts = append(parts, rubberWords(way, ways[0]))
	} else if len(ways) > 1 && way.Score > ways[1].Score {
		parts = append(parts, winWords(way, ways[1], w)...)
	}
	if i > 0 && len(way.BestAt) > 0 {
		parts = append(parts, "of the ways told here it is the best for "+listed(way.BestAt))
	}
	for k, p := range parts {
		parts[k] = strings.ToUpper(p[:1]) + p[1:] + "."
	}
	return strings.Join(parts, " ")
}

func spoutWords(w Way) string {
	where := "on plain surface"
	switch {
	case w.SpoutDetail > 0.5:
		where = "on fine detail and would spoil it"
	case w.SpoutDetail > 0.15:
		where = "close to detail"
	}
	if w.StemMM == 0 && w.DetailLost > 0.03 {
		where += " and part of the detail lies on the board"
	}
	if w.StemMM == 0 {
		where += ", wide enough where the pattern stands on the board"
		if w.OtherFeet > 0 {
			where += "; it also touches the board " + places(w.OtherFeet) + ", each a hole in the mold"
		}
		return "the spout is " + where
	}
	switch s := w.Criteria[Spout]; {
	case s >= openingScore(1, 1)-1e-9:
		return "the spout is " + where + ", by a stem that stands full on the pattern"
	case s < openingScore(0.3, 1):
		return "the spout is " + where + ", but only a tip or a narrow edge touches, so it needs a stem"
	}
	return "the spout is " + where + ", but too narrow there, so it needs a stem"
}

// castWords tells of the air in the cast: what vents free, and what stays.
func castWords(a Air) string {
	stay := a.Count - a.Vents
	switch {
	case a.Count == 0:
		return "no air stays in the cast"
	case a.Vents == 0:
		return "air stays in the cast " + places(stay) + ", out of reach of any post"
	}
	text, marks := "one vent lets the air out of the cast", " and leaves its mark on detail"
	if a.Vents > 1 {
		text, marks = fmt.Sprintf("%d vents let the air out of the cast", a.Vents), " and leave their marks on detail"
	}
	if a.OnDetail > 0.5*float64(a.Count) {
		text += marks
	}
	if stay > 0 {
		text += ", but it stays " + places(stay) + " out of reach of any post"
	}
	return text
}

func places(n int) string {
	if n == 1 {
		return "in one place"
	}
	return fmt.Sprintf("in %d places", n)
}

func standWords(w Way) string {
	switch {
	case w.TipDeg >= 15:
		return "it stands steadily"
	case w.TipDeg > 3:
		return "it stands, but glue it well"
	default:
		return "it does not stand by itself, so hold it from above"
	}
}

func rubberWords(w, best Way) string {
	more := math.Round(100 * (w.RubberMM3/best.RubberMM3 - 1))
	switch {
	case more >= 3:
		return fmt.Sprintf("it takes about %.0f %% more rubber than the choice", more)
	case more <= -3:
		return fmt.Sprintf("it would save about %.0f %% of the rubber", -more)
	default:
		return "it takes about as much rubber as the choice"
	}
}

// winWords says by what the choice is ahead of the next best way: the one or two
// criteria that add most to its lead.
func winWords(choice, next Way, w Weights) []string {
	var first, second Criterion = -1, -1
	lead := func(c Criterion) float64 {
		if c < 0 {
			return 0.02
		}
		return w[c] * (choice.Criteria[c] - next.Criteria[c])
	}
	for _, c := range w.heaviestFirst() {
		switch {
		case lead(c) > lead(first):
			first, second = c, first
		case lead(c) > lead(second):
			second = c
		}
	}
	switch {
	case first < 0:
		return nil
	case second < 0 || lead(second) < lead(first)/4:
		return []string{"it is ahead of the next best way by " + first.Words()}
	}
	return []string{"it is ahead of the next best way by " + listed([]Criterion{first, second})}
}

// listed joins criteria as words.
func listed(cs []Criterion) string {
	var words []string
	for _, c := range cs {
		words = append(words, c.Words())
	}
	last := len(words) - 1
	if last == 0 {
		return words[0]
	}
	return strings.Join(words[:last], ", ") + " and " + words[last]
}
