// Package hold answers "will the pattern stay where it was glued?".
//
// Rubber lifts what it surrounds. As long as the glue keeps rubber from under
// the pattern, only what overhangs the glued patch is lifted, and what the
// patch carries is pressed down; the first leak under it brings back the whole
// uplift. So the level is followed from the board to full, sealed and leaking,
// and the joint is judged on the leaking one. Everything is in the stand frame:
// the board at z = 0, +z up, the origin in the centre of the box floor.
package hold

import (
	"context"
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis/finding"
	"pourwright/mesh"
)

// Gravity is the standard acceleration of free fall, m/s². Source: ISO
// 80000-3:2019 (from memory).
const Gravity = 9.80665

// DefaultSafety is how many times the greatest load a joint is to bear
// (common practice, no source).
const DefaultSafety = 3

// Range is a figure with its spread.
type Range struct{ Low, Likely, High float64 }

func (r Range) ordered() bool { return r.Low <= r.Likely && r.Likely <= r.High }

// Input is the pattern as it stands, the rubber around it, and what can hold it.
type Input struct {
	Solid   *mesh.Solid // what rubber cannot enter
	Tree    *mesh.Tree  // of Solid; nil: made where it is needed
	Contact Contact     // Touch, or Disc for a stem
	StemMM  float64     // length of the stem under the pattern, its contact being Disc; 0 for none
	Posts   []Post
	// GlueMM2 is the area that takes glue where it is less than the contact's, as
	// under the rim of a shell; 0: all of it.
	GlueMM2 float64
	Mass    Mass

	DensityGPerCM3 Range   // of the rubber
	ViscosityPaS   float64 // of the rubber; 0: not known
	LevelMM        float64 // where the rubber stands when full
	InsideMM       [2]float64
	Walls          []Wall // where a pin can go through; none: no pins are placed
	RubberMM3      float64
	BoxG           float64 // mass of walls and base board, 0: not known
	StreamMM3PerS  float64 // how fast rubber is poured; 0: DefaultStreamMM3PerS

	Safety float64 // 0: DefaultSafety
	Kinds  []Kind  // ways to fix it
	Rod    Rod     // what pins are made of; zero: DefaultRod

	Detail              []float32 // of each vertex, 0 plain to 1; nil: all alike
	CutPoint, CutAcross r3.Vec    // the cut plane; a zero CutAcross means that it is not known
}

// Result says what pulls on the pattern and what holds it. Forces N, moments
// N·mm, lengths mm, areas mm², masses g, volumes mm³.
type Result struct {
	Mass      Mass
	PatternN  float64 // weight of the lightest pattern
	Uplift    Uplift
	Tip       Tip
	Shove     Shove
	PatchMM2  float64 // that takes glue
	Need      []Need  // one for each kind, in their order
	Held      int     // the gentlest of Need that holds, see gentler; −1: none does
	Pins      []Pin   // where the patch alone does not hold
	PinsBearN float64 // what they bear together, the safety in it
	Bar       *Bar    // where pins do not do either
	Weights   Weights
	Safety    float64
	Findings  []finding.Finding
}

// Hold follows the rubber's level from the board to full. The error is an
// *InputError or the context's.
func Hold(ctx context.Context, in Input) (Result, error) {
	in.fill()
	if err := in.check(); err != nil {
		return Result{}, err
	}
	b := newBody(in)
	r := Result{Mass: in.Mass, PatternN: in.Mass.LowG / 1000 * Gravity, PatchMM2: in.patch(), Safety: in.Safety}
	levels := b.levels(in.LevelMM)
	states := b.below(levels)
	if err := ctx.Err(); err != nil {
		return Result{}, err
	}
	r.Uplift = in.uplift(b, levels)
	r.Tip = in.tip(b, states)
	r.Shove = in.shove(b)
	load := in.load(b, states, r.Shove)
	r.Need, r.Held = in.need(load)
	r.Weights = WeightsOf(in.RubberMM3, in.DensityGPerCM3, in.Mass, in.BoxG)
	if r.Held < 0 && load.liftN+load.pullPa > 0 {
		if err := in.pin(ctx, &r, load); err != nil {
			return Result{}, err
		}
	}
	r.Findings = in.doubts(r, load)
	return r, nil
}

func (in *Input) fill() {
	if in.Safety == 0 {
		in.Safety = DefaultSafety
	}
	if in.StreamMM3PerS == 0 {
		in.StreamMM3PerS = DefaultStreamMM3PerS
	}
	if in.Rod == (Rod{}) {
		in.Rod = DefaultRod
	}
}

// patch is the area that takes glue.
func (in *Input) patch() float64 {
	if in.GlueMM2 > 0 {
		return math.Min(in.GlueMM2, in.Contact.AreaMM2)
	}
	return in.Contact.AreaMM2
}

func (in *Input) check() error {
	fail := func(try, format string, a ...any) error { return &InputError{fmt.Sprintf(format, a...), try} }
	if in.Solid == nil || len(in.Solid.Faces) == 0 {
		return fail("give a scan that bounds space", "there is no pattern to hold down")
	}
	d := in.DensityGPerCM3
	if !(d.Low > 0) || !d.ordered() || math.IsInf(d.High, 1) {
		return fail("give it in g/cm³, the low figure first", "the rubber's density %v, %v, %v is no range", d.Low, d.Likely, d.High)
	}
	if !(in.Mass.LowG >= 0) || !(in.Mass.LowG <= in.Mass.HighG) || math.IsInf(in.Mass.HighG, 1) {
		return fail("weigh the pattern", "%g to %g g is no mass of a pattern", in.Mass.LowG, in.Mass.HighG)
	}
	for _, v := range []struct {
		name  string
		value float64
	}{
		{"rubber level", in.LevelMM}, {"inside length", in.InsideMM[0]}, {"inside width", in.InsideMM[1]}, {"safety factor", in.Safety},
		{"stream", in.StreamMM3PerS},
	} {
		if !(v.value > 0) || math.IsInf(v.value, 1) {
			return fail("give a figure above zero", "the %s of %g is not above zero", v.name, v.value)
		}
	}
	if len(in.Contact.Hull) == 0 {
		return fail("stand it on the board or on a stem", "it is not known where the pattern stands")
	}
	for _, k := range in.Kinds {
		if !k.valid() {
			return fail("give its strength, the low figure first", "%q has no strength to hold with", k.Name)
		}
	}
	if in.Detail != nil && len(in.Detail) != len(in.Solid.Vertices) {
		return fail("score each vertex", "there are %d scores of detail for %d vertices", len(in.Detail), len(in.Solid.Vertices))
	}
	return nil
}

// newtons is the weight in N of a volume in mm³ of something of that density.
func newtons(mm3, gPerCM3 float64) float64 { return mm3 * gPerCM3 * 1e-6 * Gravity }

func array(p r3.Vec) [3]float64 { return [3]float64{p.X, p.Y, p.Z} }

func flat(p r3.Vec) r2.Vec { return r2.Vec{X: p.X, Y: p.Y} }

// InputError is one sentence on what is wrong with an Input.
type InputError struct{ what, try string }

func (e *InputError) Error() string { return e.what }

// Hint says what to do about it.
func (e *InputError) Hint() string { return e.try }
