package analysis

// Wall says how thick the rubber is around the pattern.
type Wall struct {
	MinMM       float64    `json:"min_mm"` // to a wall or the rubber's level
	MinAtMM     [3]float64 `json:"min_at_mm"`
	FloorMM     *float64   `json:"floor_mm"` // the least between the pattern and the board under it; null: nothing overhangs the board
	WebMM       *float64   `json:"web_mm"`   // the thinnest web between two faces of the pattern; null: none is thin
	AreaMM2     float64    `json:"area_mm2"` // of the pattern against rubber
	ThinMM      float64    `json:"thin_mm"`  // half the clearance asked
	ThinMM2     float64    `json:"thin_area_mm2"`
	FloppyMM    float64    `json:"floppy_mm"` // by the rubber's hardness
	FloppyMM2   float64    `json:"floppy_area_mm2"`
	WastedMM    float64    `json:"wasted_mm"`
	WastedMM2   float64    `json:"wasted_area_mm2"`
	Histogram   []WallBin  `json:"histogram"`
	Webs        []Web      `json:"webs"`          // largest first
	CastLeastMM float64    `json:"cast_least_mm"` // thinnest that the casting material fills
	CastThinMM2 float64    `json:"cast_thin_area_mm2"`
	CastThin    []CastThin `json:"cast_thin"` // where the pattern is thinner than that
	Samples     int        `json:"samples"`
	SpacingMM   float64    `json:"spacing_mm"` // between the places looked at
}

// WallBin is the area with rubber of that thickness.
type WallBin struct {
	FromMM  float64 `json:"from_mm"`
	ToMM    float64 `json:"to_mm"`
	AreaMM2 float64 `json:"area_mm2"`
}

// Web is rubber between two faces of the pattern, which tears when it is pulled.
type Web struct {
	AtMM        [3]float64 `json:"at_mm"`
	ThicknessMM float64    `json:"thickness_mm"`
	AreaMM2     float64    `json:"area_mm2"` // of the sheet, seen flat
	DepthMM     *float64   `json:"depth_mm"` // null where the shape does not tell
	Strain      *float64   `json:"strain"`   // when it is folded back by half a circle over its depth; null where that says nothing
}

// CastThin is a place where the pattern is thinner than the material fills.
type CastThin struct {
	AtMM        [3]float64 `json:"at_mm"`
	ThicknessMM float64    `json:"thickness_mm"`
	AreaMM2     float64    `json:"area_mm2"`
}
