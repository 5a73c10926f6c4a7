package cut

import (
	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// knifeStepMM is how far apart the marks for the knife are on the outside of the
// block (common practice, no source).
const knifeStepMM = 25

// KnifeMark says how deep the knife goes in, straight from the outside along the
// cut. Waves and land lie on the way.
type KnifeMark struct {
	At        r3.Vec  // on the rim
	ToLandMM  float64 // to the land, where a fresh blade takes over
	PatternMM float64 // to the pattern
}

// knifeMarks go round the rim, where a straight way in meets the pattern. What is
// farther than any stretch of rubber is left out, and what a hinge leaves whole.
func (f *face) knifeMarks(rim []r3.Vec, landMM float64, open func(p r2.Vec) float64) []KnifeMark {
	polygon := make([]r2.Vec, len(rim))
	for i, p := range rim {
		polygon[i].X, polygon[i].Y = f.sheet.Flat(p)
	}
	var marks []KnifeMark
	for i, a := range polygon {
		d := r2.Sub(polygon[(i+1)%len(polygon)], a)
		length := r2.Norm(d)
		if length == 0 {
			continue
		}
		along := r2.Scale(1/length, d)
		inward := r2.Vec{X: -along.Y, Y: along.X} // the rim runs counter-clockwise
		n := max(1, int(length/knifeStepMM))
		for k := range n {
			from := r2.Add(a, r2.Scale((float64(k)+0.5)/float64(n)*length, along))
			if m, ok := f.knifeMark(from, inward, landMM); ok && m.within(open, from, inward) {
				marks = append(marks, m)
			}
		}
	}
	return marks
}

// within tells whether the knife's way in is cut, from the outside to the pattern.
func (m KnifeMark) within(open func(p r2.Vec) float64, from, inward r2.Vec) bool {
	at := func(mm float64) r2.Vec { return r2.Add(from, r2.Scale(mm, inward)) }
	return open == nil || open(at(intoOpenMM)) >= 0 && open(at(m.PatternMM-intoOpenMM)) >= 0
}

// knifeMark goes in from a place of the rim to the outline.
func (f *face) knifeMark(from, inward r2.Vec, landMM float64) (KnifeMark, bool) {
	mm, met := f.firstOutline(from, inward)
	if !met || f.fromOutline(from, landMM) < landMM { // the pattern stands on the board here
		return KnifeMark{}, false
	}
	// The land is an offset of the outline: it may come sooner than straight on.
	step := f.grid.stepMM
	land := 0.0
	for land+step < mm && f.fromOutline(r2.Add(from, r2.Scale(land+step, inward)), landMM+1) > landMM {
		land += step
	}
	return KnifeMark{f.at(from), land, mm}, true
}

// firstOutline returns how far a straight way on the flat sheet goes until it meets
// the outline.
func (f *face) firstOutline(from, dir r2.Vec) (mm float64, met bool) {
	for _, loop := range f.loops {
		for i, a := range loop {
			d := r2.Sub(loop[(i+1)%len(loop)], a)
			det := dir.X*-d.Y + d.X*dir.Y
			if det == 0 {
				continue
			}
			o := r2.Sub(a, from)
			t := (o.X*-d.Y + d.X*o.Y) / det
			s := (dir.X*o.Y - dir.Y*o.X) / det
			if s >= 0 && s < 1 && t > 0 && (!met || t < mm) {
				mm, met = t, true
			}
		}
	}
	return mm, met
}
