// Package wall answers "how thick is the rubber everywhere?", and where the
// pattern itself is too thin for the casting material to fill.
//
// Rubber is as thick at a place of the pattern as the nearest of four things is
// far: the box wall, the rubber's level, the board under an overhang, and
// another face of the pattern that looks back at it across the rubber, which
// makes the rubber between them a web. Everything is in the stand frame: the
// board at z = 0, +z up, the origin in the centre of the box floor.
package wall

import (
	"context"
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis/finding"
	"pourwright/mesh"
)

// WastedOverClearance is the thickness, as a multiple of the clearance asked,
// beyond which rubber does nothing (common practice, no source).
const WastedOverClearance = 2.5

// FloppyMM is the thickness under which rubber of that hardness does not hold
// its shape: 10 mm, 13 mm when softer than 20 A (common practice, no source).
func FloppyMM(shoreA float64) float64 {
	if shoreA < 20 {
		return 13
	}
	return 10
}

// Input says where the rubber ends. Lengths in mm.
type Input struct {
	Tree *mesh.Tree // of the pattern; nil: it is made
	// Side is the distance from a point inside the box to the nearest side wall:
	// Rectangle, Tube or Outline. Wall is exact where the inside is convex.
	Side    func(r3.Vec) float64
	LevelMM float64 // of the rubber

	ContactMM float64 // how far above the board, or the stem, the pattern still touches it; 0: DefaultContactMM
	Stem      *Stem   // nil: the pattern stands on the board

	ClearanceMM float64 // asked
	ShoreA      float64 // of the rubber
	FloppyMM    float64 // 0: by hardness
	WastedMM    float64 // 0: WastedOverClearance × clearance
	CastLeastMM float64 // thinnest that the casting material fills; 0: not asked

	Progress func(done, total int64) // may be nil
}

// DefaultContactMM is how far above the board glue keeps rubber out (common
// practice, no source).
const DefaultContactMM = 0.5

// Stem is the round plug under the pattern.
type Stem struct{ X, Y, DiameterMM, LengthMM float64 }

// Result says how thick the rubber is.
type Result struct {
	// Vertex is the rubber's thickness at each vertex, mm: the least of side,
	// level, floor and web. NaN where the pattern touches board or stem.
	Vertex []float32

	Wall  Place  // the least to a side wall or the level; exact in a convex box
	Floor *Place // the least over the board, away from the contact; nil: nothing overhangs it
	Web   *Place // in the thinnest of all webs under ThinMM; nil: there is none

	AreaMM2   float64 // of the pattern's surface against rubber
	ThinMM2   float64 // of it, under ThinMM
	FloppyMM2 float64 // under FloppyMM
	WastedMM2 float64 // over WastedMM
	ThinMM    float64 // half the clearance asked
	FloppyMM  float64
	WastedMM  float64
	Histogram []Bin

	Webs     []Web // under ThinMM, largest first
	WebsMore int   // that are not listed
	Cast     Cast

	Samples   int     // places looked at
	SpacingMM float64 // between them
	Findings  []finding.Finding
}

// Place is a thickness and where it is.
type Place struct {
	MM float64
	At r3.Vec
}

// Thickness measures the rubber around a closed mesh. The error is an
// *InputError or the context's.
func Thickness(ctx context.Context, m *mesh.Mesh, in Input) (Result, error) {
	if err := in.fill(m); err != nil {
		return Result{}, err
	}
	s := &survey{in: in, m: m, tree: in.Tree, contact: newContact(m, in)}
	if s.tree == nil {
		s.tree = mesh.NewTree(m)
	}
	s.takeSamples()
	if err := s.look(ctx); err != nil {
		return Result{}, err
	}
	r := Result{ThinMM: in.ClearanceMM / 2, FloppyMM: in.FloppyMM, WastedMM: in.WastedMM, Samples: len(s.samples), SpacingMM: s.spacing}
	s.areas(&r)
	s.webs(&r)
	r.Cast = s.cast()
	if err := s.toVertices(ctx, &r); err != nil {
		return Result{}, err
	}
	r.Findings = in.doubts(r)
	return r, nil
}

func (in *Input) fill(m *mesh.Mesh) error {
	fail := func(try, format string, a ...any) error { return &InputError{fmt.Sprintf(format, a...), try} }
	switch area := m.Area(); {
	case !(area > 0) || math.IsInf(area, 1):
		return fail("give a scan with at least one face", "the pattern has no surface")
	case in.Side == nil:
		return fail("say what shape the box has", "it is not known where the side walls are")
	}
	for _, v := range []struct {
		name  string
		value float64
	}{{"clearance", in.ClearanceMM}, {"rubber level", in.LevelMM}} {
		if !(v.value > 0) || math.IsInf(v.value, 1) {
			return fail("give a length above zero", "the %s of %g mm is not above zero", v.name, v.value)
		}
	}
	if !(in.CastLeastMM >= 0) || math.IsInf(in.CastLeastMM, 1) {
		return fail("give a length", "the least thickness of the cast, %g mm, is no length", in.CastLeastMM)
	}
	if in.ContactMM == 0 {
		in.ContactMM = DefaultContactMM
	}
	if in.FloppyMM == 0 {
		in.FloppyMM = FloppyMM(in.ShoreA)
	}
	if in.WastedMM == 0 {
		in.WastedMM = WastedOverClearance * in.ClearanceMM
	}
	return nil
}

// side is the distance to the nearest of side walls and level.
func (in *Input) side(p r3.Vec) float64 { return math.Min(in.Side(p), in.LevelMM-p.Z) }

// InputError is one sentence on what is wrong with an Input.
type InputError struct{ what, try string }

func (e *InputError) Error() string { return e.what }

// Hint says what to do about it.
func (e *InputError) Hint() string { return e.try }
