package analysis

import "pourwright/analysis/stand"

// Stand says which way up the pattern is molded and where its spout is.
type Stand struct {
	Down            [3]float64    `json:"down"`                // scan frame
	SpoutMM         [3]float64    `json:"spout_mm"`            // scan frame: centre of the opening on the pattern
	SpoutDiameterMM float64       `json:"spout_diameter_mm"`   // of the stem, where there is one
	ContactMM       float64       `json:"contact_diameter_mm"` // widest circle where the pattern touches the board or stem
	StemMM          float64       `json:"stem_mm"`             // 0 when the pattern touches the board itself
	Rotation        [3][3]float64 `json:"rotation"`            // rows; p_stand = rotation·p_scan + translation
	TranslationMM   [3]float64    `json:"translation_mm"`
	HeightMM        float64       `json:"height_mm"`    // of the pattern alone
	Chosen          string        `json:"chosen"`       // "search" | "down", "spout" (given by the maker) | "rim" | "bed": of the best, for a mold in two parts
	Searched        int           `json:"searched"`     // directions looked at
	Judged          int           `json:"judged"`       // of those, looked at closely and really different
	ParetoCount     int           `json:"pareto_count"` // of those, beaten by none: no other is better at one criterion and as good at all
	Score           float64       `json:"score"`        // 0–1, weighted mean of the criteria that are known
	Criteria        Criteria      `json:"criteria"`
	Weights         Weights       `json:"weights"`
	Figures         StandFigures  `json:"figures"`
	Pareto          bool          `json:"pareto"`  // beaten by none
	BestAt          []string      `json:"best_at"` // criteria at which no alternative is as good
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
	Necks      *float64 `json:"necks"` // null where it is not known
}

// Weights say how much each criterion counts in a score.
type Weights struct {
	Detail     float64 `json:"detail"`
	Spout      float64 `json:"spout"`
	CastAir    float64 `json:"cast_air"`
	RubberAir  float64 `json:"rubber_air"`
	RubberMass float64 `json:"rubber_mass"`
	Height     float64 `json:"height"`
	Stability  float64 `json:"stability"`
	Necks      float64 `json:"necks"`
}

// StandFigures are what the criteria of a way up are worked out from. They come from the
// search, whose mesh is coarser than a large scan.
type StandFigures struct {
	SpoutDetail   float64  `json:"spout_detail"`    // mean detail of the surface that the spout and the board scar, 0–1
	DetailLost    float64  `json:"detail_lost"`     // share of all detail that is, 0–1
	OtherContacts int      `json:"other_contacts"`  // places besides the spout where the pattern touches the board
	CastTraps     int      `json:"cast_traps"`      // places where air would stay in the cast
	Vents         int      `json:"vents"`           // of those, freed by a straight post
	CastStayMM3   float64  `json:"cast_stay_mm3"`   // air that stays all the same
	RubberTraps   int      `json:"rubber_traps"`    // places where air would stay under the pattern
	RubberStayMM3 float64  `json:"rubber_stay_mm3"` // that air
	RubberMM3     float64  `json:"rubber_mm3"`      // of a rough box, for comparing ways up
	TipDeg        float64  `json:"tip_deg"`         // tilt at which it falls over, negative: it does not stand
	NeckMM        *float64 `json:"neck_mm"`         // narrowest place behind the spout; null where it is not known
	BehindNeckMM3 *float64 `json:"behind_neck_mm3"` // volume behind it
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
	Figures         StandFigures  `json:"figures"`
	Pareto          bool          `json:"pareto"`  // beaten by none
	BestAt          []string      `json:"best_at"` // criteria at which neither the choice nor another alternative is as good
	Why             string        `json:"why"`
}

// CriterionNames lists the criteria as they are named in plan.json and by
// Choices.Prefer.
func CriterionNames() []string { return stand.CriterionNames() }
