package analysis

// Bow says whether the walls hold.
type Bow struct {
	Verdict     string       `json:"verdict"` // "holds" | "brace" | "unknown": of the box as it is, without bracing
	Why         string       `json:"why"`
	Walls       []BowedWall  `json:"walls"`
	LevelDropMM *Spread      `json:"level_drop_mm"` // of the level, when nothing is poured after; with the bracing, where there is one
	Bracing     *BraceTrial  `json:"bracing"`       // the cheapest that holds; null where none is needed or none does
	Trials      []BraceTrial `json:"trials"`        // what was tried, cheapest first
}

// BowedWall is how one wall bows, without bracing.
type BowedWall struct {
	Name         string  `json:"name"`          // "front" | "right end" | "back" | "left end" | "facet 1" …
	DeflectionMM *Spread `json:"deflection_mm"` // null beyond linear_mm: the number would mean nothing
	LinearMM     float64 `json:"linear_mm"`     // half the thickness
	BulgeMM3     *Spread `json:"bulge_mm3"`
	ForceN       float64 `json:"force_n"`
	CornerN      *Spread `json:"corner_n"` // that each corner joint holds back
	FootN        *Spread `json:"foot_n"`   // that the joint with the base board holds back
	Safety       *Spread `json:"safety"`   // strength over stress; null: not known
	Verdict      string  `json:"verdict"`
	Why          string  `json:"why"`
}

// BraceTrial is the box with one way of bracing.
type BraceTrial struct {
	Name         string    `json:"name"`
	HeightsMM    []float64 `json:"heights_mm"`    // of straps or battens, above the board
	DeflectionMM *Spread   `json:"deflection_mm"` // of the wall that bows most; null beyond the linear range
	BulgeMM3     *Spread   `json:"bulge_mm3"`     // of all walls
	Passes       bool      `json:"passes"`
	Chosen       bool      `json:"chosen"`
}
