package drawing

import (
	"math"
	"strings"

	"pourwright/render/say"
)

// knifeDepths draws the plan's marks for the knife: how deep it goes before it meets
// the land, rounded down. Marks whose figures would cover others are left out.
func (f *cutFace) knifeDepths() {
	for _, k := range f.plan.Cut.Knife {
		at, in, ok := f.edgeAt(f.flat(k.AtMM))
		if !ok || !(k.ToLandMM >= 0) || f.inMouth(at) {
			continue
		}
		from := func(mm float64) Point { return f.paper(at.plus(mm*in.X, mm*in.Y)) }
		if f.lines(from(-3), Point{-in.X, in.Y}, f.depths(k.ToLandMM), "knife-label") {
			f.add(Line{from(0), from(k.ToLandMM), knifePen, "knife-depth"}, Line{from(-2), from(0), edgePen, "knife-tick"})
		}
	}
}

// depths words how deep a knife goes, a line for each system.
func (f *cutFace) depths(mm float64) []string {
	if f.show == say.Both {
		return []string{say.Metric.LengthDown(mm), say.Inch.LengthDown(mm)}
	}
	return []string{f.show.LengthDown(mm)}
}

// inMouth tells whether a place on the edge is in the spout's mouth, where there is
// nothing to cut.
func (f *cutFace) inMouth(p Point) bool {
	a, b, ok := f.mouth()
	return ok && math.Abs(p.Y-a.Y) < 0.5 && p.X > a.X && p.X < b.X
}

// edgeAt is the place on the edge of the block next to a point, and the way straight
// in from there.
func (f *cutFace) edgeAt(p Point) (at, in Point, ok bool) {
	place := f.onRim(p)
	a, b := f.rim[place.side], f.rim[(place.side+1)%len(f.rim)]
	d := math.Hypot(b.X-a.X, b.Y-a.Y)
	if d == 0 {
		return at, in, false
	}
	at, in = f.rimAt(place), Point{-(b.Y - a.Y) / d, (b.X - a.X) / d}
	if !within(f.rim, at.plus(0.1*in.X, 0.1*in.Y)) {
		in = Point{-in.X, -in.Y}
	}
	return at, in, true
}

// lines writes short lines of text beside a point on paper, on the side of it that a
// direction points to, if they cover no text there. It tells whether it did.
func (f *cutFace) lines(at, side Point, words []string, class string) bool {
	const size = smallMM
	anchor := Middle
	switch {
	case side.X > 0.7:
		anchor = Start
	case side.X < -0.7:
		anchor = End
	}
	high := size * 1.1 * float64(len(words))
	top := at.Y - high/2 + high/2*side.Y
	if anchor != Middle {
		top = at.Y - high/2
	}
	var texts []Text
	for i, w := range words {
		texts = append(texts, Text{Point{at.X, top + size*(0.82+1.1*float64(i))}, size, w, anchor, false, ink, class})
	}
	for _, t := range texts {
		if !f.clear(t.box().grown(0.2), false) {
			return false
		}
	}
	for _, t := range texts {
		f.add(t)
	}
	return true
}

// waveDepths writes into each wave how far its crest is off the cut.
func (f *cutFace) waveDepths() {
	for _, k := range f.plan.Cut.KeyLines {
		for _, w := range k.Waves {
			if w.AmplitudeMM > 0 && w.DepthMM != 0 {
				f.waveDepth(f.flat(w.AtMM), w.AmplitudeMM, w.DepthMM*f.sign)
			}
		}
	}
}

func (f *cutFace) waveDepth(crest Point, amplitude, depth float64) {
	words := f.lengths(math.Abs(depth))
	sign := "+"
	if depth < 0 {
		sign = "−"
	}
	words[0] = sign + words[0]
	// Toward the part there is room under the crest; away from it there may be.
	foot := f.nearestPattern(crest)
	d := math.Hypot(foot.X-crest.X, foot.Y-crest.Y)
	if d == 0 {
		return
	}
	ux, uy := (foot.X-crest.X)/d, (foot.Y-crest.Y)/d
	inches := strings.Join(words, " ")
	for _, t := range [][]string{words, {words[0]}, {inches}} {
		for _, away := range []float64{0.55 * amplitude, 0.4 * amplitude, 0.7 * amplitude, -3.5, -5, -7, -9} {
			for _, aside := range []float64{0, 3, -3, 6, -6, 9, -9} {
				if f.block(f.paper(crest.plus(away*ux-aside*uy, away*uy+aside*ux)), t) {
					return
				}
			}
		}
	}
	f.place(false, Text{f.paper(crest.plus(0.5*amplitude*ux, 0.5*amplitude*uy)).plus(0, 0.9), smallMM, words[0], Middle, false, blue, "wave-label"})
}

// block writes lines of text around a point where they cover nothing. It tells
// whether there is room.
func (f *cutFace) block(middle Point, words []string) bool {
	const size = 2.3
	var texts []Text
	for i, w := range words {
		y := middle.Y + size*(1.1*(float64(i)-float64(len(words)-1)/2)+0.36)
		t := Text{Point{middle.X, y}, size, w, Middle, false, blue, "wave-label"}
		if !f.clear(t.box().grown(0.3), true) {
			return false
		}
		texts = append(texts, t)
	}
	for _, t := range texts {
		f.add(t)
	}
	return true
}

func (f *cutFace) nearestPattern(p Point) Point {
	best, at := math.Inf(1), p
	for _, loop := range f.pattern {
		for _, q := range loop {
			if d := math.Hypot(q.X-p.X, q.Y-p.Y); d < best {
				best, at = d, q
			}
		}
	}
	return at
}
