// Package rod answers "where does a stiffener go?": the longest straight rod
// that casting material covers everywhere, how it gets in, what it weighs, and
// how much stiffer it makes the cast.
package rod

import (
	"context"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis/finding"
	"pourwright/mesh"
	"pourwright/mesh/field"
)

// What is taken when nothing is chosen, mm. Basis: common practice, no source.
const (
	DefaultDiameterMM = 6
	DefaultCoverMM    = 8
)

// Input is what is asked. Points are in the frame of the field.
type Input struct {
	Field      *field.Field
	Tree       *mesh.Tree // of the surface
	ToTree     mesh.Pose  // from the field's frame to the tree's
	DiameterMM float64
	CoverMM    float64
	Spout      Spout
	LongestMM  float64 // longest side of the cast
}

// Spout is the opening that the casting material, and perhaps the rod, goes in
// by.
type Spout struct {
	At         r3.Vec // its middle, on the pattern
	Inward     r3.Vec // unit, into the pattern
	DiameterMM float64
	StemMM     float64 // length of the channel before it
	// Open are the outlines, holes among them, of the whole foot that is open to the
	// lid, where there is no stem; none: the spout's circle only.
	Open [][]r3.Vec

	rings [][]r2.Vec // the same as seen from the spout, along x and y
	x, y  r3.Vec
}

// Entry says how a rod gets to its place.
type Entry string

// The ways in, the one preferred first.
const (
	BySpout Entry = "spout" // pushed in through it, into the closed mold
	ByMouth Entry = "mouth" // lowered as it lies through the open foot, into the closed mold
	InHalf  Entry = "half"  // laid into a half on spacers before the mold is closed
	InTwo   Entry = "two"   // two rods that pass each other, laid in like that
	None    Entry = "none"  // too thin everywhere
)

// Segment is the axis of a rod.
type Segment struct{ From, To r3.Vec }

// Length returns its length, mm.
func (s Segment) Length() float64 { return r3.Norm(r3.Sub(s.To, s.From)) }

// At returns the place a share t of the way along.
func (s Segment) At(t float64) r3.Vec {
	return r3.Add(r3.Scale(1-t, s.From), r3.Scale(t, s.To))
}

// Along returns the unit vector from one end to the other, zero for a segment
// without length.
func (s Segment) Along() r3.Vec {
	l := s.Length()
	if l == 0 {
		return r3.Vec{}
	}
	return r3.Scale(1/l, r3.Sub(s.To, s.From))
}

func (s Segment) turned() Segment { return Segment{s.To, s.From} }

// Result is where the rod goes. A rod's ends may be sawn square: every point of
// it has the cover, since its whole axis is the cover and half the diameter away
// from the surface.
type Result struct {
	Entry     Entry
	Rod       Segment  // From is the end at the spout; zero for none
	Second    *Segment // of two
	Tie       *r3.Vec  // where two touch and are bound together
	LapMM     float64  // half of it is how far each goes on beyond that
	LongestMM float64  // of the longest single rod, whichever way it gets in
	SpoutMM   float64  // of the longest that goes into the closed mold by spout or foot; 0: none does
	CoverMM   float64  // least that there is over the rods
	DepthMM   float64  // from the spout's rim to its near end, along it; of one lowered as it lies, straight down
	Standoffs []Standoff
	// Stops are the places on the surface that keep the rod from being longer, at
	// either end; for none, the place nearest to the thickest spot.
	Stops []r3.Vec
	// Thickest is the middle of the largest ball inside, and its diameter, mm.
	Thickest   r3.Vec
	ThickestMM float64
	Why        string
	Findings   []finding.Finding
}

// Rods lists the axes, none, one or two.
func (r Result) Rods() []Segment {
	switch {
	case r.Entry == None:
		return nil
	case r.Second != nil:
		return []Segment{r.Rod, *r.Second}
	}
	return []Segment{r.Rod}
}

const (
	// A rod by the spout is taken when it is at least this share of the longest:
	// the mold need not be closed around it (common practice, no source).
	spoutShare = 0.8
	// Two rods are taken where one is less than oneShare of the part's length and
	// two reach at least twoGain times as far (common practice, no source).
	oneShare, twoGain = 0.6, 1.25
)

// leastLength is the shortest rod worth its trouble, mm: eight diameters, 40 mm
// at least (common practice, no source). It is the least lap of two rods too.
func leastLength(diameterMM float64) float64 { return max(40, 8*diameterMM) }

// Find looks for the rod. The only error is the context's.
func Find(ctx context.Context, in Input) (Result, error) {
	r := newRoom(in)
	free, err := r.longest(ctx)
	if err != nil {
		return Result{}, err
	}
	out := Result{Entry: None}
	out.Thickest, out.ThickestMM = r.thickest()
	if len(free) == 0 || free[0].Length() < leastLength(in.DiameterMM) {
		if len(free) > 0 {
			out.LongestMM = free[0].Length()
		}
		r.describeNone(&out)
		return out, nil
	}
	out.Entry, out.Rod, out.LongestMM = InHalf, r.fromSpout(free[0]), free[0].Length()
	if err := r.prefer(ctx, &out, free); err != nil {
		return Result{}, err
	}
	r.describe(&out)
	return out, nil
}

// prefer takes the rod by the spout, or two, where they serve.
func (r *room) prefer(ctx context.Context, out *Result, free []Segment) error {
	spout, found, err := r.bySpout(ctx)
	if err != nil {
		return err
	}
	var lowered Segment
	if i := slices.IndexFunc(free, r.lowers); i >= 0 {
		lowered = free[i]
	}
	closed := max(spout.Length(), lowered.Length())
	out.SpoutMM, out.LongestMM = closed, max(out.LongestMM, closed)
	one := out.LongestMM
	switch least := max(spoutShare*one, leastLength(r.in.DiameterMM)); {
	case found && spout.Length() >= max(least, straightShare*closed):
		out.Entry = BySpout
		out.Rod = r.straighten(spout, closed, func(s Segment) bool { return r.slides(r.inward(s), r.in.Spout) })
		out.Rod = r.inward(out.Rod)
		out.DepthMM = r3.Norm(r3.Sub(out.Rod.From, r.in.Spout.mouth(out.Rod, r.in.Spout.StemMM)))
		one = spout.Length()
	case lowered.Length() >= least:
		out.Entry = ByMouth
		out.Rod = r.straighten(lowered, closed, r.lowers)
		out.Rod, out.DepthMM = r.nearFirst(out.Rod)
		one = lowered.Length()
	}
	var pair *lapped
	if one < oneShare*r.in.LongestMM {
		if pair, err = r.lapped(ctx, free); err != nil {
			return err
		}
	}
	if pair != nil && pair.reach() >= twoGain*one {
		out.Entry, out.Rod, out.DepthMM = InTwo, r.fromSpout(pair.first), 0
		out.Second, out.Tie, out.LapMM = &pair.second, &pair.tie, leastLength(r.in.DiameterMM)
	}
	if out.Entry == InHalf {
		out.Rod = r.fromSpout(r.straighten(out.Rod, out.LongestMM, func(Segment) bool { return true }))
	}
	return nil
}

// nearFirst turns a rod that is lowered as it lies so that it starts at the end that is
// less deep, and says how deep that is.
func (r *room) nearFirst(s Segment) (Segment, float64) {
	deep := func(p r3.Vec) float64 { return r3.Dot(r3.Sub(p, r.in.Spout.At), r.in.Spout.Inward) }
	if deep(s.To) < deep(s.From) {
		s = s.turned()
	}
	return s, deep(s.From)
}

// fromSpout turns a rod so that it starts at the end nearer to the spout.
func (r *room) fromSpout(s Segment) Segment {
	if r3.Norm2(r3.Sub(s.To, r.in.Spout.At)) < r3.Norm2(r3.Sub(s.From, r.in.Spout.At)) {
		return s.turned()
	}
	return s
}

// volumeMM3 is that of a rod of square ends.
func volumeMM3(diameterMM, lengthMM float64) float64 {
	return math.Pi / 4 * diameterMM * diameterMM * lengthMM
}

// DisplacedMM3 returns what the rods take of the casting material, mm³.
func (r Result) DisplacedMM3(diameterMM float64) float64 {
	sum := 0.0
	for _, s := range r.Rods() {
		sum += volumeMM3(diameterMM, s.Length())
	}
	return sum
}
