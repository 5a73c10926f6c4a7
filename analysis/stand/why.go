package stand

import (
	"fmt"
	"math"
	"strings"
)

// why says in plain words what speaks for and against way i; the first of ways
// is the choice, which the others are compared with. It names no lengths, since
// people choose their units later.
func why(ways []Way, i int) string {
	w := ways[i]
	parts := []string{spoutWords(w), castWords(w.Cast)}
	if w.Rubber.Count > 0 {
		parts = append(parts, "rubber would trap air "+places(w.Rubber.Count))
	}
	parts = append(parts, standWords(w))
	if i > 0 {
		parts = append(parts, rubberWords(w, ways[0]))
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
	if w.Criteria.Spout < 0.2 {
		return "the spout is " + where + ", but only a tip or a narrow edge touches, so it needs a stem"
	}
	return "the spout is " + where + ", but too narrow there, so it needs a stem"
}

func castWords(a Air) string {
	switch {
	case a.Count == 0:
		return "no air stays in the cast"
	case a.OnDetail > 0.5*float64(a.Count):
		return "air stays in the cast " + places(a.Count) + ", and the vents land on detail"
	default:
		return "air stays in the cast " + places(a.Count) + " unless vented"
	}
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
		return "it does not stand by itself, so pin it or hold it from above"
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
		return "it takes about as much rubber"
	}
}
