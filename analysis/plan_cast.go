package analysis

import (
	"fmt"
	"slices"

	"pourwright/analysis/cast"
)

// Cast says what the mold is filled with and how it fills. Times hold while the
// spout is kept full; null where the material's figures are not known, for foam,
// whose rise is no matter of viscosity, and where the flow is too fast to tell.
type Cast struct {
	Material    string       `json:"material"`       // shelf key
	CavityMM3   float64      `json:"cavity_mm3"`     // pattern + stem + vents
	ViscosityPS *Spread      `json:"viscosity_pa_s"` // mixed, when it is poured
	WorkingS    *float64     `json:"working_time_s"`
	AllowedS    *float64     `json:"allowed_s"` // how long the filling may take: a third of the working time, halved since it thickens
	Spout       CastSpout    `json:"spout"`
	Necks       []Neck       `json:"necks"`
	FillS       *Spread      `json:"fill_s"`     // the whole cavity
	Passes      *bool        `json:"passes"`     // fill_s.likely is within allowed_s
	UnseenMM3   float64      `json:"unseen_mm3"` // volume that no way from the spout was found to
	Tips        []CastTip    `json:"tips"`       // ends of the cavity in the order the material comes to them
	Advice      []CastAdvice `json:"advice"`     // ways to fill it, as planned first, with the time of each

	Charge
}

// Ways is the advice that a maker needs: none where the mold surely fills in time as
// planned, and level, and for a hollow cast, whose coats are poured in and rolled about.
func (c Cast) Ways() []CastAdvice {
	tilted := slices.ContainsFunc(c.Advice, func(a CastAdvice) bool { return a.Kind == cast.Tilted })
	if c.TooThick || len(c.Advice) < 2 || c.FillS != nil && c.AllowedS != nil && c.FillS.High <= *c.AllowedS && !tilted {
		return nil
	}
	return c.Advice
}

// Charge is what is weighed into the mold, and what comes out of it.
type Charge struct {
	Name           string          `json:"material_name"`
	PartMM3        float64         `json:"part_mm3"`  // of the cavity: the part alone
	RodMM3         float64         `json:"rod_mm3"`   // that a stiffener takes off
	ThickMM        float64         `json:"thick_mm"`  // diameter of the largest ball inside
	TooThick       bool            `json:"too_thick"` // for the resin, poured solid: cast it hollow
	MassG          Spread          `json:"mass_g"`    // to mix, with what stays in cup and funnel
	AG             *float64        `json:"a_g"`       // of the likely mass; null where the shelf has no ratio by weight
	BG             *float64        `json:"b_g"`
	AMM3           *float64        `json:"a_mm3"` // by volume, likewise
	BMM3           *float64        `json:"b_mm3"`
	Mouth          CastMouth       `json:"mouth"`      // what a lid has to cover
	Foam           *CastFoam       `json:"foam"`       // null of a resin
	Slush          *CastSlush      `json:"slush"`      // a hollow cast instead; null of a foam
	FinishedG      Spread          `json:"finished_g"` // trimmed, without the rod
	Candidates     []CastCandidate `json:"candidates"` // lightest first
	Shrink         CastShrink      `json:"shrink"`
	Pulls          Spread          `json:"pulls"`            // casts that the mold may give
	CastsFromStock *float64        `json:"casts_from_stock"` // hollow ones where too_thick; null when it was not said what there is
}

// CastMouth is what of the cavity is open to a lid, without vents: the whole face that
// the part stands on, or the stem's end.
type CastMouth struct {
	AreaMM2 float64      `json:"area_mm2"`
	SizeMM  []float64    `json:"size_mm"` // along x and y of the block
	Outline [][2]float64 `json:"outline"` // convex, around it, on the board of the stand frame
}

// CastFoam is what a foam does in the mold. Forces are of the likely pressure, with the
// safety in them.
type CastFoam struct {
	MouldedGPerCM3 Spread     `json:"moulded_g_cm3"`
	Expansion      float64    `json:"expansion"`   // risen freely
	LiquidMM3      float64    `json:"liquid_mm3"`  // before it rises
	LevelMM        float64    `json:"level_mm"`    // of the liquid, over the lowest place of the mold
	PressurePa     Spread     `json:"pressure_pa"` // gauge, upper bound in a closed mold
	LidN           float64    `json:"lid_n"`       // on mouth and vents
	OpenN          float64    `json:"open_n"`      // that opens the cut
	WallN          [2]float64 `json:"wall_n"`      // on the walls along x and along y
	Safety         float64    `json:"safety"`
	Walls          []FoamWall `json:"walls"` // those the rubber was poured in; empty where they are not flat, or not known
}

// PressureWords says how hard it pushes.
func (f CastFoam) PressureWords() string {
	return fmt.Sprintf("likely %.2f bar, up to %.2f", f.PressurePa.Likely/1e5, f.PressurePa.High/1e5)
}

// SafetyWords says what the forces are reckoned from, and what is left at the highest
// pressure.
func (f CastFoam) SafetyWords() string {
	words := fmt.Sprintf("each %.0f times what the likely pressure does", f.Safety)
	left := f.Safety * f.PressurePa.Likely / f.PressurePa.High
	switch {
	case !(left > 0): // no pressure
		return words
	case left < 0.9:
		return fmt.Sprintf("%s, and %.1f times too little for the highest", words, 1/left)
	case left < 1.1:
		return words + ", and about what the highest does"
	}
	return fmt.Sprintf("%s, and %.1f times what the highest does", words, left)
}

// FoamWall is what foam in a closed mold does to a wall of the box, with its bracing,
// when the block is put back into it. No safety is in these figures.
type FoamWall struct {
	Name    string  `json:"name"`
	PushPa  Spread  `json:"push_pa"` // all over the wall
	ForceN  float64 `json:"force_n"`
	Safety  *Spread `json:"safety"`  // strength over stress; null: not known
	Verdict string  `json:"verdict"` // "holds" | "brace" | "bursts" | "unknown"
}

// CastSlush is a hollow cast, turned about until it sets.
type CastSlush struct {
	SkinMM float64  `json:"skin_mm"`
	Coats  int      `json:"coats"`
	MassG  float64  `json:"mass_g"`
	CoatG  float64  `json:"coat_g"`
	AG     *float64 `json:"coat_a_g"` // of a coat; null where the shelf has no ratio by weight
	BG     *float64 `json:"coat_b_g"`
	AMM3   *float64 `json:"coat_a_mm3"` // by volume, likewise
	BMM3   *float64 `json:"coat_b_mm3"`
	DwellS *float64 `json:"dwell_s"` // each side lies down so long, round after round; null: not known
	Turns  []string `json:"turns"`   // which side goes down: "cover" is away from the spout, walls are named as in box
	How    string   `json:"how"`
}

// CastCandidate is the finished weight in one material of the shelf; a resin has one
// more for a hollow cast.
type CastCandidate struct {
	Material  string `json:"material"`
	Name      string `json:"name"`
	Coats     int    `json:"coats"`     // of a hollow cast, which has no rod; 0: solid
	TooThick  bool   `json:"too_thick"` // a solid that gets too hot: not to be poured so
	FinishedG Spread `json:"finished_g"`
	PropG     Spread `json:"prop_g"` // with its rod
	Chosen    bool   `json:"chosen"`
	Nearest   bool   `json:"nearest"` // to the weight that is wanted
}

// Words names the cast.
func (o CastCandidate) Words() string {
	if o.Coats > 0 {
		return fmt.Sprintf("%s, hollow in %d coats", o.Name, o.Coats)
	}
	return o.Name
}

// CastShrink is how much smaller than the original a cast is.
type CastShrink struct {
	LinearPct Spread `json:"linear_pct"`
	VolumePct Spread `json:"volume_pct"`
	ScaleUp   Spread `json:"scale_up"` // of the original, so that the cast comes out at size
}

// ClockStep is one step from the first weighing to the first cast.
type ClockStep struct {
	Name  string `json:"name"`
	FromS Spread `json:"from_s"` // after the first weighing
	TakeS Spread `json:"take_s"`
	Wait  bool   `json:"wait"` // nothing is to be done
	Why   string `json:"why"`
}

// Spread is a figure with the ends that it hardly passes.
type Spread struct {
	Low    float64 `json:"low"`
	Likely float64 `json:"likely"`
	High   float64 `json:"high"`
}

// plus adds two that go up and down together.
func (s Spread) plus(o Spread) Spread {
	return Spread{s.Low + o.Low, s.Likely + o.Likely, s.High + o.High}
}

// CastSpout is what the material passes on its way into the pattern, where that
// is narrowest.
type CastSpout struct {
	RimMM      float64  `json:"rim_mm"`   // how wide it is at the rim
	JointMM    float64  `json:"joint_mm"` // and where it meets the part; 0: a bare tip
	DiameterMM float64  `json:"diameter_mm"`
	LengthMM   float64  `json:"length_mm"` // stem, or how far into the pattern it goes on as wide
	FillS      *Spread  `json:"fill_s"`    // the whole cavity through it
	Reynolds   *float64 `json:"reynolds"`  // of the fastest flow; the times hold under 1000
	Passes     *bool    `json:"passes"`
	WidenMM    *float64 `json:"widen_to_mm"` // diameter that would do; null when this one does

	Foam *SpoutFoam `json:"foam"` // null of a resin, and where its cream time is not on the shelf
}

// SpoutFoam is how the liquid that a foam rises from gets in through the spout; what
// comes back through it is only the overflow.
type SpoutFoam struct {
	LiquidMM3 float64 `json:"liquid_mm3"` // that the part needs
	TakesS    *Spread `json:"takes_s"`    // null: through a bare tip
	CreamS    float64 `json:"cream_s"`    // until it rises
	AllowedS  float64 `json:"allowed_s"`  // of that, for pouring
	Verdict   string  `json:"verdict"`    // "passes" | "doubtful" | "will not"
	LeastMM   float64 `json:"least_mm"`   // foam tends to close up in what is narrower
}

// CastTip is an end of the cavity, away from where the material starts: of a limb,
// or a closed top.
type CastTip struct {
	AtMM   [3]float64 `json:"at_mm"`
	Share  float64    `json:"share"`  // of the cavity that is filled when the material comes there, 0–1; 1: not before the rest is full
	Behind *int       `json:"behind"` // the neck on the way to it, the first is 0; null: none
	Trap   *int       `json:"trap"`   // the closed top of cast_traps that it is, the first is 0; null: air leaves upwards
	Vented bool       `json:"vented"` // by a vent, so that air leaves
	Held   bool       `json:"held"`   // by a neck that is slower than the spout, or that foam does not surely pass
	Bleed  bool       `json:"bleed"`  // of foam: it wants a bleed hole here
}

// CastAdvice is one way to fill the mold.
type CastAdvice struct {
	Kind    string      `json:"kind"`    // "as planned" | "widen" | "squeeze" | "tilt" | "other end" | "second spout" | "more cups" | "slower material" | "lay in"
	Text    string      `json:"text"`    // what to do
	FillS   *Spread     `json:"fill_s"`  // the whole cavity; of foam, the neck that takes longest, or the spout where it does not surely get in; null: not known, or nothing to pass
	Passes  *bool       `json:"passes"`  // in time; null: not known
	Verdict string      `json:"verdict"` // of foam: "passes" | "doubtful" | "will not"; of resin "doubtful" when fill_s has both times that are allowed and times that are not, whatever passes says of the likely one; else empty
	AtMM    *[3]float64 `json:"at_mm"`   // where the spout would be at the other end, or the second one begin; else null
}

// Neck is a narrow place inside the pattern on the way of the casting material.
type Neck struct {
	DiameterMM  float64    `json:"diameter_mm"`  // of the largest ball that passes
	AreaMM2     *float64   `json:"area_mm2"`     // of the least section through it
	PerimeterMM *float64   `json:"perimeter_mm"` // of that section
	LengthMM    *float64   `json:"length_mm"`    // that it stays within 1.25 of diameter_mm
	DoubtMM     float64    `json:"doubt_mm"`     // diameter_mm may be so much too small
	AtMM        [3]float64 `json:"at_mm"`        // the middle of it
	Along       [3]float64 `json:"along"`        // unit, the way the material goes
	BehindMM3   float64    `json:"behind_mm3"`   // volume filled through it
	After       *int       `json:"after"`        // the neck before it, the first is 0; null: the spout
	HeadMM      float64    `json:"head_mm"`      // from its far end up to the spout's rim
	FillS       *Spread    `json:"fill_s"`       // what is behind it
	Reynolds    *float64   `json:"reynolds"`
	Passes      *bool      `json:"passes"`
	Foam        *NeckFoam  `json:"foam"` // null of a resin, and where its rise is not on the shelf
}

// NeckFoam is how foam passes a neck while it rises.
type NeckFoam struct {
	PassMM3  float64  `json:"pass_mm3"`    // of risen foam that has to
	Back     bool     `json:"back"`        // towards the spout: the liquid runs behind the neck first
	TakesS   Spread   `json:"takes_s"`     // at the thickness it starts to rise with
	AllowedS Spread   `json:"allowed_s"`   // the time of its rise, less what thickening takes off
	Verdict  string   `json:"verdict"`     // "passes" | "doubtful" | "will not"
	WidenMM  *float64 `json:"widen_to_mm"` // diameter that lets it pass; null when this one does
}
