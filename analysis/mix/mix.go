// Package mix answers "how much rubber to weigh, in which batches, and how
// high does it stand after each?".
//
// The rubber that fills the box is box − displaced, both up to the rubber
// level, times the rubber's density. To that comes an allowance for what stays
// in the cups and for a leak. The same balance at any lower level gives the
// marks on the wall.
package mix

import (
	"fmt"
	"math"

	"pourwright/analysis/finding"
	"pourwright/analysis/shelf"
)

// RuleGPerIn3 is the shop's rule of thumb for the whole box, nothing
// subtracted: 18.5 g/in³, which is 1.129 g/cm³ (common practice, no source).
const RuleGPerIn3 = 18.5

const (
	mm3PerIn3 = 25.4 * 25.4 * 25.4
	mm3PerCM3 = 1000
	mm3PerL   = 1e6
)

// The defaults that a zero in Input means.
const (
	DefaultScaleStepG = 1
	// A batch fills a quarter of a 10 L bucket, so that it can rise to four
	// times its volume under vacuum (common practice, no source).
	DefaultCupMM3   = 10 * mm3PerL
	DefaultHeadroom = 4
)

// Limits that tell a slip from a job.
const (
	mostMassG   = 1e6 // a tonne: the scan's units must be wrong
	mostBatches = 200
	mostStepG   = 100
)

// Input is a box, what stands in it, and the rubber for it.
type Input struct {
	Rubber   shelf.Rubber
	InsideMM [3]float64 // length, width, rubber level
	FloorMM2 float64    // area inside the walls; 0: length × width

	// Below gives the volume in mm³ of the pattern (with stem and posts) below
	// a level in mm above the board. Without it DisplacedMM3 is the displaced
	// volume, zero for an empty box, and is taken as equally thick all the way up.
	Below             func(levelMM float64) float64
	DisplacedMM3      float64
	DisplacedErrorMM3 float64 // how far the displaced volume may be off, either way

	BulgeMM3 shelf.Range // what the walls give under the rubber; zero: nothing
	FilmG    shelf.Range // that stays in a cup which held 1 L; zero: DefaultFilmG

	ScaleStepG float64 // smallest step of the scale; 0: DefaultScaleStepG
	BatchMaxG  float64 // heaviest batch; 0: what the vessel and the pot life allow
	CupMM3     float64 // the vessel that is mixed in, brimful; 0: a 10 L bucket
	Headroom   float64 // times its volume a batch may rise to in it; 0: 4; 1: it is not degassed
	RoomC      float64 // temperature of the room; 0: 23 °C, as on data sheets
	AltitudeM  float64 // above the sea, where the vacuum is pulled
	InchMarks  bool    // marks at round fractions of an inch, not of mm
}

// Result is the answer. MassG = NetG + AllowanceG = the sum of the batches.
type Result struct {
	BoxMM3, DisplacedMM3, NetMM3 float64 // up to the rubber level; net = box − displaced + bulge
	BulgeMM3                     float64 // likely
	NetG                         float64 // rubber in the full box: the block when cured
	AllowanceG                   float64 // cups, leak and rounding up
	AllowanceRule                string
	MassG                        float64 // likely mass to weigh out
	LowG, HighG                  float64 // 5 % and 95 % points of the mass needed
	RangeRule                    string
	Enough                       float64 // chance that MassG is enough if nothing leaks, 0–1
	RuleG                        float64 // L×W×level × RuleGPerIn3
	AG, BG                       float64 // parts A and B of MassG
	Batches                      []Batch
	BatchRule                    string
	TimeNeededS                  float64  // to mix, degas and pour one batch
	RoomC, PotLifeS              float64  // the room's temperature, and the pot life at it
	Buy                          Purchase // packs for HighG
	Marks                        []Mark   // upwards, the last one at the rubber level
	Findings                     []finding.Finding
}

// Batch is one weighing. LevelMM is where the rubber then stands.
type Batch struct {
	AG, BG, TotalG float64
	AMM3, BMM3     float64 // the same by volume, where the rubber may be measured so; else 0
	LevelMM        float64
}

// Mark is a level on the inside of the wall and the rubber below it.
type Mark struct {
	LevelMM   float64
	RubberMM3 float64
	MassG     float64 // of RubberMM3, without allowance
}

// Plan answers for one box.
func Plan(in Input) (Result, error) {
	in = in.withDefaults()
	if err := in.check(); err != nil {
		return Result{}, err
	}
	var r Result
	r.BoxMM3, r.DisplacedMM3 = in.box(in.InsideMM[2]), in.displaced(in.InsideMM[2])
	r.BulgeMM3 = in.BulgeMM3.Likely
	r.NetMM3 = r.BoxMM3 - r.DisplacedMM3 + r.BulgeMM3
	if !(r.NetMM3 > 0) {
		return Result{}, &InputError{
			fmt.Sprintf("the pattern takes %.0f cm³ and the box up to the rubber level holds only %.0f cm³", r.DisplacedMM3/mm3PerCM3, r.BoxMM3/mm3PerCM3),
			"check the pattern's volume and the box's inside measures; both must be in the same units",
		}
	}
	r.NetG = in.grams(r.NetMM3)
	r.RuleG = in.InsideMM[0] * in.InsideMM[1] * in.InsideMM[2] / mm3PerIn3 * RuleGPerIn3
	if r.NetG > mostMassG {
		return Result{}, &InputError{
			fmt.Sprintf("this box would take %.0f kg of rubber", r.NetG/1000),
			"check the units of the scan or the box",
		}
	}
	if err := in.portion(&r); err != nil {
		return Result{}, err
	}
	in.spread(&r)
	r.RoomC, r.PotLifeS = in.RoomC, in.potLife()
	if err := in.buy(&r); err != nil {
		return Result{}, err
	}
	r.Marks = in.marks()
	r.Findings = in.doubts(r)
	return r, nil
}

// At returns the rubber in the box up to a level in mm above the board, which
// is taken as at most the rubber level and at least zero.
func (in Input) At(levelMM float64) Mark {
	in = in.withDefaults()
	level := math.Max(0, math.Min(levelMM, in.InsideMM[2]))
	rubber := in.box(level) - in.displaced(level) + in.bulge(level)
	return Mark{LevelMM: level, RubberMM3: rubber, MassG: in.grams(rubber)}
}

func (in Input) withDefaults() Input {
	if in.ScaleStepG == 0 {
		in.ScaleStepG = DefaultScaleStepG
	}
	if in.FloorMM2 == 0 {
		in.FloorMM2 = in.InsideMM[0] * in.InsideMM[1]
	}
	if (in.FilmG == shelf.Range{}) {
		in.FilmG = DefaultFilmG
	}
	if in.CupMM3 == 0 {
		in.CupMM3 = DefaultCupMM3
	}
	if in.Headroom == 0 {
		in.Headroom = DefaultHeadroom
	}
	if in.RoomC == 0 {
		in.RoomC = dataSheetC
	}
	return in
}

func (in Input) check() error {
	for i, name := range [3]string{"length", "width", "rubber level"} {
		if v := in.InsideMM[i]; !(v > 0) || math.IsInf(v, 0) {
			return &InputError{
				fmt.Sprintf("the %s of the box is %v mm", name, v),
				"give the inside length, width and rubber level as positive lengths",
			}
		}
	}
	displaced := in.displaced(in.InsideMM[2])
	for _, c := range []struct {
		name, try string
		v, most   float64
	}{
		{"floor of the box", "give its area as a positive figure", in.FloorMM2, math.MaxFloat64},
		{"displaced volume", "give the pattern's volume as a positive figure", displaced, math.MaxFloat64},
		{"error of the displaced volume", "give it as a positive figure", in.DisplacedErrorMM3, math.MaxFloat64},
		{"scale step", "give the smallest step of your scale, such as 1 g", in.ScaleStepG, mostStepG},
		{"bulge of the walls", "give it as a positive figure", in.BulgeMM3.Likely, math.MaxFloat64},
		{"mixing vessel", "give what it holds, such as 10 L", in.CupMM3, 1e9},
		{"room in the vessel", "give how many times its own volume a batch may rise to, such as 4", in.Headroom - 1, 19},
		{"altitude", "give metres above the sea, such as 1500", in.AltitudeM, 5000},
		{"temperature of the room", "give degrees Celsius, such as 21", in.RoomC, 45},
		{"largest batch", "give the largest batch you can stir, such as 2500 g", in.BatchMaxG, mostMassG},
	} {
		if !(c.v >= 0 && c.v <= c.most) {
			return &InputError{fmt.Sprintf("the %s is %v, which cannot be", c.name, c.v), c.try}
		}
	}
	if d := in.Rubber.DensityGPerCM3; !(d.Low > 0 && d.Low <= d.Likely && d.Likely <= d.High && in.Rubber.RatioA > 0 && in.Rubber.RatioB > 0 && in.Rubber.PotLifeS > 0) {
		return &InputError{"no rubber with a density, a ratio and a pot life was given", "choose a rubber from the shelf"}
	}
	return nil
}

// box is the inside volume up to a level.
func (in Input) box(level float64) float64 { return in.FloorMM2 * level }

// displaced is what the pattern takes of it.
func (in Input) displaced(level float64) float64 {
	if in.Below != nil {
		return in.Below(level)
	}
	return in.DisplacedMM3 * level / in.InsideMM[2]
}

// bulge is what the walls have given when the rubber stands at a level. Its
// pressure grows with the level, and so does what it presses on: the cube of the
// level is between a wall held on all sides and one with a free top.
func (in Input) bulge(level float64) float64 {
	share := level / in.InsideMM[2]
	return in.BulgeMM3.Likely * share * share * share
}

// grams is the likely mass of a volume in mm³.
func (in Input) grams(mm3 float64) float64 { return mm3 / mm3PerCM3 * in.Rubber.DensityGPerCM3.Likely }

// levelOf is the level at which the box holds that volume of rubber, in mm;
// the rubber level when it holds less than that.
func (in Input) levelOf(rubberMM3 float64) float64 {
	lo, hi := 0.0, in.InsideMM[2]
	if in.At(hi).RubberMM3 <= rubberMM3 {
		return hi
	}
	for range 60 {
		mid := lo + (hi-lo)/2
		if in.At(mid).RubberMM3 < rubberMM3 {
			lo = mid
		} else {
			hi = mid
		}
	}
	return hi
}

// InputError is one sentence on what is wrong with an Input.
type InputError struct{ what, try string }

func (e *InputError) Error() string { return e.what }

// Hint says what to do about it.
func (e *InputError) Hint() string { return e.try }
