package analysis

// TwoPart is a mold that is poured in two parts, each lying on its side: the first
// over a bed of clay along the cut, the second over the first. Its box is the one of
// box.panels, box.sheets, box.assembly, box.wall_height_mm and bow; inside_mm of the
// box stays that of the finished block, in the stand frame, which is the frame that
// the mold is cast in.
type TwoPart struct {
	InsideMM       [3]float64    `json:"inside_mm"`      // of the box on its side: length, width, and how thick the block is
	Rotation       [3][3]float64 `json:"rotation"`       // from the stand frame to that of the box at the first pour: board at z = 0,
	TranslationMM  [3]float64    `json:"translation_mm"` // origin in the centre of its floor, +x along its length
	BedMM          float64       `json:"bed_mm"`         // height of the clay over the board at the spout, and all over where it is level
	LowMM          float64       `json:"low_mm"`         // lowest and highest place of the bed over the board
	HighMM         float64       `json:"high_mm"`
	Line           []BedPoint    `json:"line"`         // the parting line, some 25 mm apart; where the bed is level, empty
	Contours       []BedContour  `json:"contours"`     // of a shaped bed, every 5 mm
	ClayMM3        float64       `json:"clay_mm3"`     // of the bed
	OffMM          float64       `json:"off_mm"`       // how far the bed passes beside the part's silhouette, on average
	MostOffMM      float64       `json:"most_off_mm"`  // and at most
	Keys           []BedKey      `json:"keys"`         // dimples in the clay
	Parts          [2]MoldPart   `json:"parts"`        // in the order they are poured
	Locks          []Lock        `json:"locks"`        // rubber that lies behind the part when the parts are drawn off
	Why            string        `json:"why"`          // the first is poured first
	Release        string        `json:"release"`      // shelf key of what goes between the parts
	ReleaseName    string        `json:"release_name"` // and its name
	ReleaseNote    string        `json:"release_note"`
	PeelFirst      int           `json:"peel_first"` // 1 or 2: the part to draw off first, less rubber of which hooks
	PeelWhy        string        `json:"peel_why"`
	StretchAllowed float64       `json:"stretch_allowed"` // as a share, of the rubber
	LiftArmMM      float64       `json:"lift_arm_mm"`     // from the wall at the spout end to where the part is lifted
}

// MoldPart is one of the two parts of a mold.
type MoldPart struct {
	Side           int      `json:"side"`        // −1 or +1: of cut.normal
	DepthMM        float64  `json:"depth_mm"`    // from the bed to the outside
	LevelMM        float64  `json:"level_mm"`    // of the full rubber, over the board that is then below
	RubberMM3      float64  `json:"rubber_mm3"`  // net
	PatternMM3     float64  `json:"pattern_mm3"` // of the part that lies in it
	MassG          float64  `json:"mass_g"`      // to weigh out, allowance in it
	LowG           float64  `json:"low_g"`
	HighG          float64  `json:"high_g"`
	Batches        []Batch  `json:"batches"`
	Marks          []Mark   `json:"marks"` // over that board
	UpliftSealedN  float64  `json:"uplift_sealed_n"`
	UpliftLeakingN float64  `json:"uplift_leaking_n"` // with rubber under all of the pattern: to design for
	NetLiftN       float64  `json:"net_lift_n"`       // densest rubber, lightest pattern; negative when it stays down by its weight
	TimeNeededS    *float64 `json:"time_needed_s"`    // slowest batch
}

// BedPoint is a place of the parting line on the part, and how high the clay stands
// there.
type BedPoint struct {
	AtMM        [3]float64 `json:"at_mm"`
	FromSpoutMM float64    `json:"from_spout_mm"` // as of a key
	FromRightMM float64    `json:"from_right_mm"`
	HeightMM    float64    `json:"height_mm"` // over the board at the first pour
}

// BedContour is where a shaped bed is so high.
type BedContour struct {
	HeightMM float64   `json:"height_mm"` // over the board at the first pour
	Lines    []CutLine `json:"lines"`
}

// BedKey is an oval dimple in the clay, half an ellipsoid: a knob on the part that is
// poured first, and a hollow in the other.
type BedKey struct {
	AtMM  [3]float64 `json:"at_mm"` // its middle on the bed
	Along [3]float64 `json:"along"` // unit, its long axis
	// Looking from the spout's end along the box at the first pour.
	FromSpoutMM float64 `json:"from_spout_mm"` // from that end
	FromRightMM float64 `json:"from_right_mm"` // from the wall on the right
	TurnDeg     float64 `json:"turn_deg"`      // of the long axis, from straight ahead to the left, 0 to 180
	LengthMM    float64 `json:"length_mm"`
	WidthMM     float64 `json:"width_mm"`
	DepthMM     float64 `json:"depth_mm"`
}

// Lock is rubber that lies behind the part on its way off.
type Lock struct {
	Side      int        `json:"side"`  // −1 or +1 of cut.normal: which part of the mold
	AtMM      [3]float64 `json:"at_mm"` // in the rubber, where it is deepest
	VolumeMM3 float64    `json:"volume_mm3"`
	DepthMM   float64    `json:"depth_mm"`  // along the pull
	ReachMM   *float64   `json:"reach_mm"`  // sideways to where it is free; null: nowhere near
	BesideMM  float64    `json:"beside_mm"` // rubber beyond, to the outside
	Linked    bool       `json:"linked"`    // rubber goes round the pattern, as through a hole
	Gives     bool       `json:"gives"`     // the rubber can move aside so far: an indication
}
