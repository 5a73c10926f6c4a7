package cut

// rise is how the rubber of one part of a mold rises over the bed.
type rise struct {
	sheet        *Sheet
	side         int
	block        []column
	pattern      *shadow
	perModelMM3  float64 // what is known exactly over what the lines make of it
	fullMM       float64
	rubberAtFull float64
}

// newRise sums the block up in columns, the pattern in lines, and
// scales both to the rubber that is known.
func newRise(s *Sheet, room *Room, sh *shadow, side int, fullMM, rubberMM3 float64) rise {
	r := rise{sheet: s, side: side, block: room.columns(s), pattern: sh, perModelMM3: 1, fullMM: fullMM, rubberAtFull: rubberMM3}
	if rubber, _ := r.to(fullMM); rubber > 0 {
		r.perModelMM3 = rubberMM3 / rubber
	}
	return r
}

// to returns the rubber, and the pattern, up to a height over the plane.
func (r *rise) to(heightMM float64) (rubber, part float64) {
	h := min(heightMM, r.fullMM)
	block := 0.0
	for _, c := range r.block {
		block += max(0, h-signs[r.side]*c.offset) * c.areaMM2
	}
	for i := range r.pattern.lines {
		l := &r.pattern.lines[i]
		part += insideTo(l.turns, signs[r.side]*r.sheet.offset(l.u, l.v), h, signs[r.side])
	}
	part *= r.pattern.cellMM2
	return max(0, block-part) * r.perModelMM3, part
}

// insideTo returns the length of a line that is in the pattern between two heights,
// counted in the direction of sign.
func insideTo(turns []turn, from, to, sign float64) float64 {
	sum := 0.0
	for i := 0; i+1 < len(turns); i++ {
		a, b := turns[i], turns[i+1]
		if a.leaves || !b.leaves {
			continue
		}
		lo, hi := a.height, b.height
		if sign < 0 {
			lo, hi = -hi, -lo
		}
		sum += max(0, min(hi, to)-max(lo, from))
	}
	return sum
}
