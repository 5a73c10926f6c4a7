package analysis

// Stand says which way up the pattern is molded and where its spout is.
type Stand struct {
	Down            [3]float64    `json:"down"`                // scan frame
	SpoutMM         [3]float64    `json:"spout_mm"`            // scan frame: centre of the opening on the pattern
	SpoutDiameterMM float64       `json:"spout_diameter_mm"`   // of the stem, where there is one
	ContactMM       float64       `json:"contact_diameter_mm"` // widest circle where the pattern touches the board or stem
	StemMM          float64       `json:"stem_mm"`             // 0 when the pattern touches the board itself
	Rotation        [3][3]float64 `json:"rotation"`            // rows; p_stand = rotation·p_scan + translation
	TranslationMM   [3]float64    `json:"translation_mm"`
	HeightMM        float64       `json:"height_mm"` // of the pattern alone
	Chosen          string        `json:"chosen"`    // "search" | "down" (given by the maker)
	Searched        int           `json:"searched"`  // directions looked at
	Score           float64       `json:"score"`     // 0–1, weighted mean of the criteria
	Criteria        Criteria      `json:"criteria"`
	Why             string        `json:"why"`
	Alternatives    []Alternative `json:"alternatives"`
}

// Criteria are the parts of a stand's score, each 0–1, higher better.
type Criteria struct {
	Detail     float64  `json:"detail"`
	Spout      float64  `json:"spout"`
	CastAir    float64  `json:"cast_air"`
	RubberAir  float64  `json:"rubber_air"`
	RubberMass float64  `json:"rubber_mass"`
	Height     float64  `json:"height"`
	Stability  float64  `json:"stability"`
	Necks      *float64 `json:"necks"` // null until necks are computed
}

// Alternative is another way up that was considered.
type Alternative struct {
	Down            [3]float64    `json:"down"`     // scan frame
	SpoutMM         [3]float64    `json:"spout_mm"` // scan frame
	SpoutDiameterMM float64       `json:"spout_diameter_mm"`
	StemMM          float64       `json:"stem_mm"`
	HeightMM        float64       `json:"height_mm"`
	Rotation        [3][3]float64 `json:"rotation"`
	TranslationMM   [3]float64    `json:"translation_mm"`
	Score           float64       `json:"score"`
	Criteria        Criteria      `json:"criteria"`
	Why             string        `json:"why"`
}

// CriterionNames lists the criteria as they are named in plan.json and by
// Choices.Prefer.
func CriterionNames() []string {
	return []string{"detail", "spout", "cast_air", "rubber_air", "rubber_mass", "height", "stability", "necks"}
}
