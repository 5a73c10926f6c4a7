package analysis

// Cast says what the mold is filled with and how it fills. Times hold while the
// spout is kept full; null where the material's figures are not known, for foam,
// whose rise is no matter of viscosity, and where the flow is too fast to tell.
type Cast struct {
	Material    string    `json:"material"`       // shelf key
	CavityMM3   float64   `json:"cavity_mm3"`     // pattern + stem + vents
	ViscosityPS *Spread   `json:"viscosity_pa_s"` // mixed, when it is poured
	WorkingS    *float64  `json:"working_time_s"`
	AllowedS    *float64  `json:"allowed_s"` // how long the filling may take: a third of the working time, halved since it thickens
	Spout       CastSpout `json:"spout"`
	Necks       []Neck    `json:"necks"`
	FillS       *Spread   `json:"fill_s"`     // the whole cavity
	Passes      *bool     `json:"passes"`     // fill_s.likely is within allowed_s
	UnseenMM3   float64   `json:"unseen_mm3"` // volume that no way from the spout was found to
}

// Spread is a figure with the ends that it hardly passes.
type Spread struct {
	Low    float64 `json:"low"`
	Likely float64 `json:"likely"`
	High   float64 `json:"high"`
}

// CastSpout is what the material passes on its way into the pattern, where that
// is narrowest.
type CastSpout struct {
	DiameterMM float64  `json:"diameter_mm"`
	LengthMM   float64  `json:"length_mm"` // stem, or how far into the pattern it goes on as wide
	FillS      *Spread  `json:"fill_s"`    // the whole cavity through it
	Reynolds   *float64 `json:"reynolds"`  // of the fastest flow; the times hold under 1000
	Passes     *bool    `json:"passes"`
	WidenMM    *float64 `json:"widen_to_mm"` // diameter that would do; null when this one does
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
}
