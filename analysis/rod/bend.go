package rod

import (
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis/shelf"
)

// Bending is what the cast resists: the force in the middle that bends it by a
// millimetre there while it rests on supports a tenth of its length from either
// end, in the direction in which it is softest, N/mm.
//
// Model: a straight beam of the real sections across the longest axis, which stay
// plane; casting material and rod are bonded and elastic; no shear, no stretching
// of skin. Of a part that is bent itself this is a comparison, not a strength.
type Bending struct {
	WithoutNPerMM, WithNPerMM shelf.Range
	Gain                      shelf.Range // deflection without over deflection with
}

// bar is a rod in the frame of the slices.
type bar struct {
	from, to r3.Vec // z along the axis
	radius   float64
}

// at returns the bar's share of a section at a height: an area that counts as
// cos³ of its slope, since it strains by cos² of what the beam does, pulls along
// by another cos², and is cut 1/cos as wide; and the area cut, whose casting
// material is not there. A bar that lies more across than along adds nothing.
func (b bar) at(z float64) (pulls, takes Plane, cut bool) {
	lo, hi := min(b.from.Z, b.to.Z), max(b.from.Z, b.to.Z)
	if z < lo || z > hi || hi == lo {
		return Plane{}, Plane{}, false
	}
	d := r3.Sub(b.to, b.from)
	cos := math.Abs(d.Z) / r3.Norm(d)
	if cos < 0.5 {
		return Plane{}, Plane{}, false
	}
	t := (z - b.from.Z) / d.Z
	p := r3.Add(b.from, r3.Scale(t, d))
	pulls.addScaled(cos*cos*cos, disc(p.X, p.Y, b.radius))
	takes.addScaled(1/cos, disc(p.X, p.Y, b.radius))
	return pulls, takes, true
}

// bars turns rods into the frame of the slices.
func (s Slices) bars(rods []Segment, diameterMM float64) []bar {
	local := func(p r3.Vec) r3.Vec {
		d := r3.Sub(p, s.Origin)
		return r3.Vec{X: r3.Dot(d, s.X), Y: r3.Dot(d, s.Y), Z: r3.Dot(d, s.Axis)}
	}
	var all []bar
	for _, r := range rods {
		all = append(all, bar{local(r.From), local(r.To), diameterMM / 2})
	}
	return all
}

// softness returns how far a force of 1 N in the middle bends a beam on two
// supports there, in the direction in which that is most, mm: ∫ m² / EI, m the
// moment of the unit force (Castigliano). E in MPa, which is N/mm². A section
// without stiffness makes it infinite.
func (s Slices) softness(bars []bar, castMPa, rodMPa float64) float64 {
	var xx, xy, yy float64
	length := s.SpanMM()
	for i, section := range s.At {
		var ei Plane
		ei.addScaled(castMPa, section)
		for _, b := range bars {
			if pulls, takes, cut := b.at(s.Height(i)); cut {
				ei.addScaled(rodMPa, pulls)
				ei.addScaled(-castMPa, takes)
			}
		}
		a, b, c := ei.Central()
		det := a*c - b*b
		if !(det > 0) {
			return math.Inf(1)
		}
		w := middleMoment2(float64(i)*s.StepMM, float64(i+1)*s.StepMM, length)
		xx, xy, yy = xx+w*c/det, xy-w*b/det, yy+w*a/det
	}
	return (xx+yy)/2 + math.Hypot((xx-yy)/2, xy)
}

// middleMoment2 integrates the square of the moment of a unit force in the middle
// of a beam on end supports, from x0 to x1, mm³. The moment is x/2 up to the
// middle and the same mirrored beyond.
func middleMoment2(x0, x1, length float64) float64 {
	half := length / 2
	from0 := func(x float64) float64 { // over 0..x
		if x <= half {
			return x * x * x / 12
		}
		left := length - x
		return half*half*half/6 - left*left*left/12
	}
	return from0(x1) - from0(x0)
}

// Bend compares the cast with and without its rods. The moduli are in MPa. Nil:
// the slices tell no stiffness, since some of them are empty.
func Bend(s Slices, rods []Segment, diameterMM float64, cast, steel shelf.Range) *Bending {
	bars := s.bars(rods, diameterMM)
	ratio := func(castMPa, rodMPa float64) float64 {
		return s.softness(nil, castMPa, 0) / s.softness(bars, castMPa, rodMPa)
	}
	stiff := func(castMPa, rodMPa float64) float64 { return 1 / s.softness(bars, castMPa, rodMPa) }
	alone := 1 / s.softness(nil, 1, 0)
	if !(alone > 0) || math.IsInf(alone, 0) {
		return nil
	}
	b := &Bending{
		WithoutNPerMM: shelf.Range{Low: alone * cast.Low, Likely: alone * cast.Likely, High: alone * cast.High},
		WithNPerMM:    shelf.Range{Low: stiff(cast.Low, steel.Low), Likely: stiff(cast.Likely, steel.Likely), High: stiff(cast.High, steel.High)},
		// The softer the cast, the more a rod adds.
		Gain: shelf.Range{Low: ratio(cast.High, steel.Low), Likely: ratio(cast.Likely, steel.Likely), High: ratio(cast.Low, steel.High)},
	}
	if !(b.WithNPerMM.Low > 0) { // a rod as wide as a section
		return nil
	}
	return b
}

// LongAxis returns the unit axis about which a solid turns most easily: the long
// way of the part. Inertia is symmetric; its scale does not matter.
func LongAxis(inertia [3][3]float64) r3.Vec {
	var values mat.EigenSym
	sym := mat.NewSymDense(3, nil)
	for i := range 3 {
		for k := i; k < 3; k++ {
			sym.SetSym(i, k, inertia[i][k])
		}
	}
	if !values.Factorize(sym, true) {
		return r3.Vec{Z: 1}
	}
	var v mat.Dense
	values.VectorsTo(&v) // ascending
	return r3.Unit(r3.Vec{X: v.At(0, 0), Y: v.At(1, 0), Z: v.At(2, 0)})
}
