package analysis

// Hold says what lifts the pattern while the rubber rises, and what holds it.
// Uplift is before the pattern's weight.
type Hold struct {
	PatternLowG    float64    `json:"pattern_low_g"`
	PatternHighG   float64    `json:"pattern_high_g"`
	PatternFrom    string     `json:"pattern_from"`  // how its mass was obtained
	PatternKnown   bool       `json:"pattern_known"` // weighed, or worked out from its material
	UpliftSealedN  float64    `json:"uplift_sealed_n"`
	UpliftLeakingN float64    `json:"uplift_leaking_n"` // with rubber under the pattern: to design for
	NetLiftN       float64    `json:"net_lift_n"`       // leaking, densest rubber, lightest pattern; negative when it stays down by its weight
	WorstLevelMM   float64    `json:"worst_level_mm"`   // of the rubber, when it lifts most
	ShoveN         float64    `json:"shove_n"`          // sideways, of the stream and of rubber that stands higher on one side
	ShoveRule      string     `json:"shove_rule"`
	PatchMM2       float64    `json:"patch_mm2"`     // that takes glue
	GlueAreaMM2    *float64   `json:"glue_area_mm2"` // that the chosen glue needs; null for screws, or when none holds
	Safety         float64    `json:"safety"`
	Kinds          []HoldKind `json:"kinds"`
	Pins           []Pin      `json:"pins"` // through the walls, where the patch alone does not hold
	PinsBearN      float64    `json:"pins_bear_n"`
	Bar            *Bar       `json:"bar"`          // across the top of the box, where pins do not do either
	FilledBoxG     Spread     `json:"filled_box_g"` // rubber, pattern and boards
	WithBox        bool       `json:"with_box"`     // the boards are in it
	SpillMM3       float64    `json:"spill_mm3"`    // that a tray under it has to hold
	SpillRule      string     `json:"spill_rule"`
}

// HoldKind is one way to hold the pattern down.
type HoldKind struct {
	Name    string   `json:"name"`
	AreaMM2 *float64 `json:"area_mm2"` // of glue needed, safety in it; null for pieces
	Pieces  int      `json:"pieces"`   // screws needed; 0 for glue
	Holds   bool     `json:"holds"`
	Chosen  bool     `json:"chosen"`
	Basis   string   `json:"basis"`
}

// Pin is a dowel through a wall that props the pattern.
type Pin struct {
	Panel  string     `json:"panel"`
	XMM    float64    `json:"x_mm"`  // from the panel's left end, seen from outside
	ZMM    float64    `json:"z_mm"`  // from its lower edge
	AtMM   [3]float64 `json:"at_mm"` // its end on the pattern
	GapMM  float64    `json:"gap_mm"`
	BearsN float64    `json:"bears_n"`
}

// Bar is a prop under a bar across the top of the box.
type Bar struct {
	AtMM    [3]float64 `json:"at_mm"` // its end on the pattern
	PushN   float64    `json:"push_n"`
	WeightG float64    `json:"weight_g"` // that would do instead, laid on top
}
