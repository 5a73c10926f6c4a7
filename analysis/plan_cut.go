package analysis

// Cut is the parting plane.
type Cut struct {
	PointMM       [3]float64     `json:"point_mm"`
	Normal        [3]float64     `json:"normal"`
	OutlineMM     float64        `json:"outline_mm"` // length around the pattern
	Outline       [][][3]float64 `json:"outline"`    // loops, stand frame
	AreaMM2       float64        `json:"area_mm2"`   // rubber to cut: block section − pattern section
	DetailCrossed float64        `json:"detail_crossed"`
	UndercutMM3   [2]float64     `json:"undercut_mm3"` // −normal side, +normal side
	Searched      int            `json:"searched"`
	Why           string         `json:"why"`

	Style           string       `json:"style"`   // "block": poured whole and cut open | "two-part": see two_part; nothing is cut
	Surface         string       `json:"surface"` // "plane" | "stepped" | "shaped": a bed of clay that follows the part
	Steps           []CutStep    `json:"steps"`   // corners of a stepped sheet's profile; empty of a plane
	StepsAlong      *[3]float64  `json:"steps_along"`
	ThroughSpout    bool         `json:"through_spout"`
	UndercutDepthMM [2]float64   `json:"undercut_depth_mm"` // the most along one line of the pull, same sides
	SquareDeg       float64      `json:"square_deg"`        // mean angle between the cut and the pattern's surface; 90 is best
	Score           float64      `json:"score"`             // 0–1, weighted mean of the criteria
	Criteria        CutCriteria  `json:"criteria"`
	LandMM          float64      `json:"land_mm"`
	Land            []CutLine    `json:"land"`       // the land's outer edge
	KeyLine         [][3]float64 `json:"key_line"`   // the longest of key_lines; empty where there is none
	KeyDepthsMM     []float64    `json:"key_depths"` // of its waves, off the cut along the normal
	KeyLines        []KeyLine    `json:"key_lines"`
	Rim             [][3]float64 `json:"rim"`     // where the cut meets the outside of the block: corners of that polygon
	Knife           []KnifeMark  `json:"knife"`   // how deep the knife goes in, round the rim where the cut is made
	SlitMM          float64      `json:"slit_mm"` // least slit, from the spout along the outline; the whole outline when the halves come apart
	Slit            Slit         `json:"slit"`
	Hinge           *Hinge       `json:"hinge"` // null when the halves come apart
	Stretch         CutStretch   `json:"stretch"`
	Tear            *Tear        `json:"tear"`       // an indication; null without stretch, or where the tear strength is not known
	Links           []CutLink    `json:"links"`      // rubber that stays linked round the part; of a mold in two parts see its locks
	HalvesMM3       *[2]float64  `json:"halves_mm3"` // rubber on the −normal, +normal side, keys left out; null when it was not asked for
}

// SlitCounts says why slit and hinge are not as long together as the line round the
// part; empty where the halves come apart.
func (p *Plan) SlitCounts() string {
	switch {
	case p.Cut.Hinge == nil:
		return ""
	case p.Stand.StemMM > 0:
		return "Slit and hinge count from the board, so along the sides and the top of the stem too; the seam is round the part alone."
	}
	return "Slit and hinge leave out what of the part stands on the board; the seam is all the way round."
}

// CutStep is a corner of a stepped sheet's profile: so far along steps_along from
// point_mm, the sheet is so far along the normal from the plane. Linear between,
// level beyond.
type CutStep struct {
	AtMM     float64 `json:"at_mm"`
	OffsetMM float64 `json:"offset_mm"`
}

// CutCriteria are the parts of a cut's score, each 0–1, higher better.
type CutCriteria struct {
	Detail   float64 `json:"detail"`
	Undercut float64 `json:"undercut"`
	Middle   float64 `json:"middle"`
	Draw     float64 `json:"draw"` // how shallow the halves are
	Outline  float64 `json:"outline"`
	Area     float64 `json:"area"`
	Keys     float64 `json:"keys"`
	Links    float64 `json:"links"` // 1 where no rubber stays linked round the part; the others are multiplied by it
}

// CutLink is rubber of one half that goes round the part and meets itself again within
// that half, so that it does not come off.
type CutLink struct {
	Side    int        `json:"side"`     // −1 or +1 of cut.normal: which half
	Half    string     `json:"half"`     // "left" | "right" | "front" | "back" | "lower" | "upper", in the box
	AtMM    [3]float64 `json:"at_mm"`    // in the rubber, in the hole or under the arch
	WidthMM float64    `json:"width_mm"` // of the hole or arch where it is narrowest; of less than 5 it is only known that it is narrow
}

// CutLine is a line on the cut.
type CutLine struct {
	Points [][3]float64 `json:"points"`
	Closed bool         `json:"closed"`
}

// KeyLine is a waved line beyond the land. Its waves leave the cut to both sides.
type KeyLine struct {
	Points  [][3]float64 `json:"points"`
	Closed  bool         `json:"closed"`
	PitchMM float64      `json:"pitch_mm"`
	Waves   []KeyWave    `json:"waves"`
}

// KeyWave is one wave, from trough to trough.
type KeyWave struct {
	AtMM        [3]float64 `json:"at_mm"`        // its crest
	AmplitudeMM float64    `json:"amplitude_mm"` // of the crest over a straight line from trough to trough, within the cut; 0: no rubber for it
	DepthMM     float64    `json:"depth_mm"`     // of the crest off the cut, along the normal
}

// KnifeMark says how deep the knife goes, straight in from the outside.
type KnifeMark struct {
	AtMM        [3]float64 `json:"at_mm"` // on the rim
	ToLandMM    float64    `json:"to_land_mm"`
	ToPatternMM float64    `json:"to_pattern_mm"`
}

// Slit is the least opening that lets the pattern out towards the spout.
type Slit struct {
	Full      bool         `json:"full"`        // the halves come apart
	Because   *string      `json:"because"`     // why they must; null when they do not
	Path      [][3]float64 `json:"path"`        // along the pattern's outline, from the spout
	RimMM     float64      `json:"rim_mm"`      // of the spout, without the slit
	GirthMM   float64      `json:"girth_mm"`    // the widest section on the way out
	GirthAtMM float64      `json:"girth_at_mm"` // its height
}

// Hinge is what of the cut is left whole.
type Hinge struct {
	LengthMM float64        `json:"length_mm"` // along the pattern's outline
	Path     [][3]float64   `json:"path"`
	Stop     *[2][3]float64 `json:"stop"`        // where the knife stops, from the pattern to the outside; null where that line meets the pattern
	Square   bool           `json:"stop_square"` // straight in from the outside; else it slants, since no such way is clear of the pattern
}

// CutStretch is how far the rubber is drawn out, as shares of its length.
type CutStretch struct {
	Needed   *float64 `json:"needed"`   // at the narrowest place, with the slit; null when the halves come apart
	Straight *float64 `json:"straight"` // the same when the part is drawn straight, not turned along its bends
	Without  float64  `json:"without_slit"`
	Allowed  float64  `json:"allowed"`
	Guessed  bool     `json:"guessed"` // the rubber's elongation is not known
}

// Tear says from which nick the drawn rubber may tear on.
type Tear struct {
	NickMM    float64 `json:"nick_mm"`
	StressMPa float64 `json:"stress_mpa"`
}
