package shelf

// Board is one sheet material for the walls of the box. A range of zeros, and
// a zero, mean that the figure is not known.
type Board struct {
	Key                string
	Name               string
	ThicknessMM        float64
	SheetMM            [2]float64 // the sheet it is sold as
	KerfMM             float64    // that a saw or knife takes
	PricePerSheet      float64    // in any currency
	Scores             bool       // it bends along a scored line
	DensityGPerCM3     Range
	YoungPa, YoungUpPa Range // in bending: along the grain, which runs round the box, and up
	BendNM, BendUpNM   Range // bending stiffness per width, in place of the moduli
	ShearNPerM         Range // shear stiffness of a soft core, per width
	Poisson            float64
	StrengthPa         Range // in bending
	Creep              Range // how many times more it bows after hours
	Basis              string
}

// Glue is one way to hold a pattern to the board: an adhesive, which has
// strengths, or pieces, which hold so much each.
type Glue struct {
	Key, Name          string
	TensilePa, ShearPa Range  // of an adhesive
	EachN              Range  // of one piece
	Porous             bool   // it also holds on wood, plaster and other porous patterns
	Note               string // what to know before it is used
	Basis              string
}

// Kinds of bracing.
const (
	Strap   = "strap"   // goes round the box at a height
	Batten  = "batten"  // is screwed across a wall
	Bandage = "bandage" // is laid on the wall and sets
)

// Brace is one way to keep a wall from bowing.
type Brace struct {
	Key, Name   string
	Kind        string
	ThicknessMM float64 // of a bandage: one layer's; of a batten: how far it stands out
	WidthMM     float64 // of a strap or batten
	YoungPa     Range
	PullN       Range   // of a strap, drawn tight by hand
	Price       float64 // for a box, in any currency; 0: not known
	Effort      int     // order in which a maker would try it, 1 first
	Basis       string
}

// RubberOnRubber is the use of a release between rubber and cured rubber.
const RubberOnRubber = "rubber on rubber"

// Release keeps things from sticking, or seals a pattern.
type Release struct {
	Key, Name string
	For       []string // what it goes between: "rubber on rubber", "pattern", "foam", "resin"
	Not       []string // what it spoils, in the same words
	Note      string
	Basis     string
}

// Pattern is what an original is made of.
type Pattern struct {
	Key, Name      string
	DensityGPerCM3 Range
	Porous         bool     // rubber creeps into it, and water
	Inhibits       []string // cures that it may keep from setting: Tin, Platinum
	Note           string
	Basis          string
}

type boardEntry struct {
	Name        string     `toml:"name"`
	ThicknessMM float64    `toml:"thickness_mm"`
	SheetMM     [2]float64 `toml:"sheet_mm"`
	KerfMM      float64    `toml:"kerf_mm"`
	Price       float64    `toml:"price_per_sheet"`
	Scores      bool       `toml:"scores"`
	Density     Range      `toml:"density_g_cm3"`
	Young       Range      `toml:"young_gpa"`
	YoungUp     Range      `toml:"young_up_gpa"`
	Bend        Range      `toml:"bend_nm"`
	BendUp      Range      `toml:"bend_up_nm"`
	Shear       Range      `toml:"shear_n_per_m"`
	Poisson     float64    `toml:"poisson"`
	Strength    Range      `toml:"strength_mpa"`
	Creep       Range      `toml:"creep"`
	Basis       string     `toml:"basis"`
}

func (e boardEntry) board(key string) Board {
	return Board{Key: key, Name: e.Name, ThicknessMM: e.ThicknessMM, SheetMM: e.SheetMM, KerfMM: e.KerfMM, PricePerSheet: e.Price,
		Scores: e.Scores, DensityGPerCM3: e.Density, YoungPa: e.Young.times(1e9), YoungUpPa: e.YoungUp.times(1e9), BendNM: e.Bend, BendUpNM: e.BendUp,
		ShearNPerM: e.Shear, Poisson: e.Poisson, StrengthPa: e.Strength.times(1e6), Creep: e.Creep, Basis: basisOr(e.Basis)}
}

func (e boardEntry) faults() faults {
	var f faults
	f.unless(e.Name != "", "name is missing")
	f.number("thickness_mm", e.ThicknessMM, 0.5, 100)
	for _, mm := range e.SheetMM {
		f.number("sheet_mm", mm, 0, 10_000)
	}
	f.unless((e.SheetMM[0] > 0) == (e.SheetMM[1] > 0), "sheet_mm needs length and width")
	f.number("kerf_mm", e.KerfMM, 0, 10)
	f.number("price_per_sheet", e.Price, 0, 1e6)
	f.known("density_g_cm3", e.Density, 0.01, 10)
	f.known("young_gpa", e.Young, 0.01, 250)
	f.known("young_up_gpa", e.YoungUp, 0.01, 250)
	f.known("bend_nm", e.Bend, 0.01, 1e6)
	f.known("bend_up_nm", e.BendUp, 0.01, 1e6)
	f.known("shear_n_per_m", e.Shear, 10, 1e9)
	f.number("poisson", e.Poisson, 0, 0.49)
	f.known("strength_mpa", e.Strength, 0.1, 1000)
	f.known("creep", e.Creep, 1, 10)
	return f
}

type glueEntry struct {
	Name    string `toml:"name"`
	Tensile Range  `toml:"tensile_kpa"`
	Shear   Range  `toml:"shear_kpa"`
	Each    Range  `toml:"each_n"`
	Porous  bool   `toml:"porous"`
	Note    string `toml:"note"`
	Basis   string `toml:"basis"`
}

func (e glueEntry) glue(key string) Glue {
	return Glue{Key: key, Name: e.Name, TensilePa: e.Tensile.times(1e3), ShearPa: e.Shear.times(1e3), EachN: e.Each, Porous: e.Porous, Note: e.Note, Basis: basisOr(e.Basis)}
}

func (e glueEntry) faults() faults {
	var f faults
	f.unless(e.Name != "", "name is missing")
	f.known("tensile_kpa", e.Tensile, 0.1, 100_000)
	f.known("shear_kpa", e.Shear, 0.1, 100_000)
	f.known("each_n", e.Each, 0.1, 100_000)
	f.unless((e.Each != Range{}) != (e.Tensile != Range{}), "give tensile_kpa and shear_kpa of an adhesive, or each_n of pieces")
	f.unless((e.Shear == Range{}) == (e.Tensile == Range{}), "tensile_kpa and shear_kpa go together")
	return f
}

type braceEntry struct {
	Name      string  `toml:"name"`
	Kind      string  `toml:"kind"`
	Thickness float64 `toml:"thickness_mm"`
	Width     float64 `toml:"width_mm"`
	Young     Range   `toml:"young_gpa"`
	Pull      Range   `toml:"pull_n"`
	Price     float64 `toml:"price"`
	Effort    int     `toml:"effort"`
	Basis     string  `toml:"basis"`
}

func (e braceEntry) brace(key string) Brace {
	return Brace{Key: key, Name: e.Name, Kind: e.Kind, ThicknessMM: e.Thickness, WidthMM: e.Width, YoungPa: e.Young.times(1e9), PullN: e.Pull, Price: e.Price, Effort: e.Effort, Basis: basisOr(e.Basis)}
}

func (e braceEntry) faults() faults {
	var f faults
	f.unless(e.Name != "", "name is missing")
	f.unless(e.Kind == Strap || e.Kind == Batten || e.Kind == Bandage, "kind is %q and must be %q, %q or %q", e.Kind, Strap, Batten, Bandage)
	f.number("thickness_mm", e.Thickness, 0.1, 200)
	f.number("width_mm", e.Width, 0, 500)
	f.unless(e.Kind == Bandage || e.Width > 0, "width_mm is missing")
	f.known("young_gpa", e.Young, 0.01, 250)
	f.known("pull_n", e.Pull, 1, 100_000)
	f.unless(e.Kind == Strap && e.Pull != (Range{}) || e.Kind != Strap && e.Young != (Range{}), "pull_n of a strap, or young_gpa of anything else, is missing")
	f.number("price", e.Price, 0, 1e6)
	f.number("effort", float64(e.Effort), 1, 9)
	return f
}

type releaseEntry struct {
	Name  string   `toml:"name"`
	For   []string `toml:"for"`
	Not   []string `toml:"not"`
	Note  string   `toml:"note"`
	Basis string   `toml:"basis"`
}

func (e releaseEntry) release(key string) Release {
	return Release{Key: key, Name: e.Name, For: e.For, Not: e.Not, Note: e.Note, Basis: basisOr(e.Basis)}
}

func (e releaseEntry) faults() faults {
	var f faults
	f.unless(e.Name != "", "name is missing")
	f.unless(len(e.For) > 0, "for is missing: say what it goes between")
	return f
}

type patternEntry struct {
	Name     string   `toml:"name"`
	Density  Range    `toml:"density_g_cm3"`
	Porous   bool     `toml:"porous"`
	Inhibits []string `toml:"inhibits"`
	Note     string   `toml:"note"`
	Basis    string   `toml:"basis"`
}

func (e patternEntry) pattern(key string) Pattern {
	return Pattern{Key: key, Name: e.Name, DensityGPerCM3: e.Density, Porous: e.Porous, Inhibits: e.Inhibits, Note: e.Note, Basis: basisOr(e.Basis)}
}

func (e patternEntry) faults() faults {
	var f faults
	f.unless(e.Name != "", "name is missing")
	f.scale("density_g_cm3", e.Density, 0.01, 25)
	for _, cure := range e.Inhibits {
		f.unless(cure == Tin || cure == Platinum, "inhibits lists %q and may list %q and %q", cure, Tin, Platinum)
	}
	return f
}

// Over divides all of a range.
func (r Range) Over(k float64) Range { return r.times(1 / k) }

// times scales all of a range.
func (r Range) times(k float64) Range { return Range{r.Low * k, r.Likely * k, r.High * k} }
