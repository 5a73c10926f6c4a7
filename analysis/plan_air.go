package analysis

// Air is what holds for trapped air as a whole.
type Air struct {
	LeastMM3      float64 `json:"least_mm3"`      // smaller traps are left out
	LeastDepthMM  float64 `json:"least_depth_mm"` // so are shallower ones
	SqueezedShare float64 `json:"squeezed_share"` // volumes are at room pressure; the weight of the rubber takes off this much at most
	Tilt          Tilts   `json:"tilt"`
}

// Tilts are the least tilts that free the most air; null where there is none to
// free.
type Tilts struct {
	Cast   *Tilt `json:"cast"`   // of the block, spout up, while casting
	Rubber *Tilt `json:"rubber"` // of the box while pouring rubber
}

// Tilt is how far to prop up the box or the block until the air is out; then it
// is set level again and filled up.
type Tilt struct {
	Deg        float64    `json:"deg"`         // 0: no tilt up to 30° helps
	Toward     [3]float64 `json:"toward"`      // stand frame: the side that goes down; zeros for none
	BearingDeg float64    `json:"bearing_deg"` // of toward, from x1 counter-clockwise seen from above the board
	Side       []string   `json:"side"`        // the wall that goes down, or the two walls of the corner
	LiftMM     float64    `json:"lift_mm"`     // how far the opposite side of the box's inside rises
	BeforeMM3  float64    `json:"before_mm3"`  // air trapped when level, posts in place
	FreedMM3   float64    `json:"freed_mm3"`
	LeftMM3    float64    `json:"left_mm3"`
	Frees      []int      `json:"frees"`      // which of the traps of this pour, the first is 0
	PlugOrder  []int      `json:"plug_order"` // posts whose holes end below the spout's rim: plug each as material shows
}

// Trap is a place air cannot leave as liquid rises.
type Trap struct {
	AtMM          [3]float64 `json:"at_mm"`
	SpillMM       float64    `json:"spill_mm"` // a stand z; of the rubber of a mold in two parts over the board at that pour
	VolumeMM3     float64    `json:"volume_mm3"`
	PersistenceMM float64    `json:"persistence_mm"`
	Vent          *Vent      `json:"vent"`
	Remedy        *Remedy    `json:"remedy"` // of a trap of the rubber
	Part          int        `json:"part"`   // 1 or 2: the pour of a mold in two parts; 0: a block
}

// Vent is the hole a post leaves between a trap and the board.
type Vent struct {
	FromMM     [3]float64 `json:"from_mm"`
	ToMM       [3]float64 `json:"to_mm"`
	DiameterMM float64    `json:"diameter_mm"`
	Post       int        `json:"post"` // its number, 1 the first; traps may share one
	LengthMM   float64    `json:"length_mm"`
	BoardMM    [2]float64 `json:"board_mm"`   // x, y on the board
	FromWalls  [2]FromMM  `json:"from_walls"` // the same as a rule measures it inside the box
	SlantDeg   float64    `json:"slant_deg"`  // off upright
	LeanDeg    float64    `json:"lean_deg"`   // which way its upper end leans, from x1 counter-clockwise; 0 when upright
	LeanToward []string   `json:"lean_toward"`
	MovedMM    float64    `json:"moved_mm"` // from the middle of the trap's top, to plainer surface or clear of the pattern
	Detail     float64    `json:"detail"`   // mean score of the surface under the post, 0 plain
	LeftMM3    float64    `json:"left_mm3"` // air above the post's end
}

// FromMM is a distance from the inside of a wall.
type FromMM struct {
	Wall string  `json:"wall"`
	MM   float64 `json:"mm"`
}

// Remedy is what frees a trap of the rubber.
type Remedy struct {
	Way     string      `json:"way"`      // "seal" | "tilt" | "brush" | "fill_from_below" | "drill" | "turn"
	MouthMM *[3]float64 `json:"mouth_mm"` // fill_from_below: where the tube leaves the trap
	OutMM   *[3]float64 `json:"out_mm"`   // drill: where the hole from at_mm comes out
	DrillMM *float64    `json:"drill_mm"` // drill: how long it is
	Text    string      `json:"text"`     // what to do
}
