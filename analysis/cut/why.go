package cut

import (
	"fmt"
	"math"
)

// Why compares the chosen sheet with the worst plane through the spout, in plain
// words without lengths.
func (r *Result) Why() string {
	undercut := r.UndercutMM3[0] + r.UndercutMM3[1]
	text := fmt.Sprintf("Of %d cuts tried, this one", r.Searched)
	switch {
	case r.bed && r.Shape != nil:
		text = fmt.Sprintf("Of %d beds tried through the spout, this one rises and falls with the part's outermost line: its outline", r.Searched)
	case r.bed && r.Stepped():
		text = fmt.Sprintf("Of %d beds tried through the spout, this one steps aside from a plane to follow the part: its outline", r.Searched)
	case r.bed:
		text = fmt.Sprintf("Of %d beds tried through the spout, this one", r.Searched)
	case r.Stepped():
		text += " steps aside from a plane, since every plane was poor: its outline"
	case !r.ThroughSpout:
		text += " passes beside the spout, since every one through it was clearly worse: its outline"
	case math.Abs(r.Normal.Z) > 1e-6:
		text += " leans about the spout, since every upright one was clearly worse: its outline"
	default:
		text += ", through the spout,"
	}
	text += " crosses " + detailWords(r.DetailCrossed)
	if r.worst.detail > r.DetailCrossed+0.02 {
		text += fmt.Sprintf(" (mean detail %.0f of 100 along it; the worst plane has %.0f)", 100*r.DetailCrossed, 100*r.worst.detail)
	}
	text += " and leaves " + r.undercutWords(100*undercut/r.volume)
	if worst := r.worst.hooked.all(); worst > undercut+0.05*r.volume {
		text += fmt.Sprintf(" (rubber that hooks behind the pattern: %s its volume; the worst plane has %s)",
			Times(undercut/r.volume), Times(worst/r.volume))
	}
	return text + "." + r.linkWords()
}

// linkWords compares what stays linked with the other cuts.
func (r *Result) linkWords() string {
	n, cut := len(r.Links), "cut"
	if r.bed {
		cut = "bed"
	}
	switch {
	case n == 0 && r.mostLinks == 1:
		return fmt.Sprintf(" It leaves no rubber linked round the part, as other %ss do.", cut)
	case n == 0 && r.mostLinks > 1:
		return fmt.Sprintf(" It leaves no rubber linked round the part; other %ss leave it so in up to %s.", cut, places(r.mostLinks))
	case n > 0 && n < r.mostLinks:
		return fmt.Sprintf(" Rubber stays linked round the part in %s, where other %ss leave it so in up to %d.", places(n), cut, r.mostLinks)
	case n > 0:
		return fmt.Sprintf(" Rubber stays linked round the part in %s, which no better %s avoids.", places(n), cut)
	}
	return ""
}

// places counts them in words.
func places(n int) string {
	if n == 1 {
		return "one place"
	}
	return fmt.Sprintf("%d places", n)
}

// Times writes how many times the pattern's volume something is.
func Times(x float64) string {
	if x < 0.01 {
		return "under 0.01 times"
	}
	return fmt.Sprintf("%.2g times", x)
}

func detailWords(d float64) string {
	switch {
	case d < 0.08:
		return "hardly any detail"
	case d < PoorDetail:
		return "little detail"
	default:
		return "detail that no better cut avoids"
	}
}

// What undercut is hardly any, of the pattern's volume and along the pull, and what is
// deep (common practice, no source).
const (
	hardlyPercent, hardlyMM = 5, 5
	deepPercent             = 40
)

// undercutWords judges by volume and depth, and, once the block is known, by whether the
// rubber can move aside as far as it hooks.
func (r *Result) undercutWords(percent float64) string {
	switch {
	case percent < hardlyPercent && max(r.DepthMM[0], r.DepthMM[1]) < hardlyMM:
		return "hardly any undercut"
	case r.bed:
		return "undercut"
	case percent < hardlyPercent && r.heldMM >= hardlyMM:
		return "little undercut, but deep in places: expect to flex the rubber well open there"
	case percent < deepPercent && r.heldMM < hardlyMM:
		if deep := max(r.DepthMM[0], r.DepthMM[1]); deep >= 2*hardlyMM {
			return fmt.Sprintf("undercut up to %.0f mm deep, which the rubber can still give way to", deep)
		}
		return "some undercut, which the rubber can give way to"
	default:
		return "deep undercut: expect to flex the rubber well open"
	}
}
