package analysis

// Choices is everything a maker decides about a job; job.toml holds it, and a
// plan made again from it is the same plan. A nil pointer, empty string or
// zero means "let the program choose by the stated default".
type Choices struct {
	Scan            string             `toml:"scan" comment:"the scan file, relative to this file"`
	Units           string             `toml:"units,omitempty" comment:"mm, cm, m or in: what one unit of the scan file is"`
	LongestMM       float64            `toml:"longest_mm,omitempty" comment:"longest side of the tightest box, by caliper"`
	CheckSide       int                `toml:"check_side,omitempty" comment:"which side of the tightest box was measured as well, 1 the longest"`
	CheckLengthMM   float64            `toml:"check_length_mm,omitempty" comment:"its caliper length"`
	As              string             `toml:"as,omitempty" comment:"solid: an open underside is one that was not scanned; shell: it stands on its open rim; hollow: closed and empty inside"`
	ShellMM         float64            `toml:"shell_mm,omitempty" comment:"how thick the wall of a shell or hollow part is"`
	Table           string             `toml:"table,omitempty" comment:"cut or keep a flat plate under the part that may be the table it was scanned on"`
	Mend            []string           `toml:"mend,omitempty" comment:"the mends to make, such as weld or hole; with no- before it, all but that"`
	NoMend          bool               `toml:"no_mend,omitempty" comment:"refuse a scan that is not a closed solid as it is"`
	Down            *[3]float64        `toml:"down,omitempty" comment:"scan direction that points at the board while rubber is poured"`
	Spout           *[3]float64        `toml:"spout,omitempty" comment:"scan point near which the casting material is to go in"`
	StemMM          float64            `toml:"stem_mm,omitempty" comment:"length of the stem that lifts the pattern off the board, where one is needed or asked for"`
	Prefer          map[string]float64 `toml:"prefer,omitempty" comment:"weights of the criteria for the way up, such as detail = 2"`
	DetailRadiusMM  float64            `toml:"detail_radius_mm,omitempty" comment:"size of what counts as detail"`
	KeepClear       [][4]float64       `toml:"keep_clear,omitempty" comment:"balls [x, y, z, radius] in the scan's axes whose surface is to be protected"`
	Plain           [][4]float64       `toml:"plain,omitempty" comment:"balls [x, y, z, radius] in the scan's axes whose surface needs no protection"`
	LeastAirMM3     *float64           `toml:"least_air_mm3,omitempty" comment:"smallest volume of trapped air that matters"`
	LeastAirDepthMM *float64           `toml:"least_air_depth_mm,omitempty" comment:"least height of trapped air that matters"`
	Shelf           string             `toml:"shelf,omitempty" comment:"the maker's own shelf file, relative to this file"`
	Rubber          string             `toml:"rubber,omitempty" comment:"shelf key of the rubber"`
	Board           string             `toml:"board,omitempty" comment:"shelf key of the board that the walls are cut from"`
	Pattern         string             `toml:"pattern,omitempty" comment:"shelf key of what the original is made of"`
	WeightG         float64            `toml:"weight_g,omitempty" comment:"mass of the original"`
	Casting         string             `toml:"casting,omitempty" comment:"shelf key of what is cast in the mold"`
	TargetWeightG   float64            `toml:"target_weight_g,omitempty" comment:"what the finished prop is to weigh"`
	StockG          float64            `toml:"stock_g,omitempty" comment:"casting material on hand"`
	ClearanceMM     *float64           `toml:"clearance_mm,omitempty" comment:"rubber between the pattern and each wall"`
	CutClearanceMM  *float64           `toml:"cut_clearance_mm,omitempty" comment:"the same on the walls that the cut crosses"`
	WallClearanceMM WallClearance      `toml:"wall_clearance_mm,omitempty" comment:"the same for single walls: left, right, front or back"`
	CoverMM         *float64           `toml:"cover_mm,omitempty" comment:"rubber above the pattern"`
	Shape           string             `toml:"shape,omitempty" comment:"rectangle, tube or faceted"`
	Facets          int                `toml:"facets,omitempty" comment:"of a faceted box, at most"`
	InsideMM        *[3]float64        `toml:"inside_mm,omitempty" comment:"length, width and wall height of a box that you own"`
	HaveG           float64            `toml:"have_g,omitempty" comment:"rubber on hand, which the box is to take at most"`
	Fillers         bool               `toml:"fillers,omitempty" comment:"fill corners and voids of the box where rubber is only waste"`
	FreeboardMM     *float64           `toml:"freeboard_mm,omitempty" comment:"wall above the rubber"`
	Style           string             `toml:"style,omitempty" comment:"block: poured whole and cut open; two-part: poured in two parts over a bed of clay"`
	LandMM          float64            `toml:"land_mm,omitempty" comment:"straight part of the cut beside the part, before the waves of the key line"`
	CupMM3          float64            `toml:"cup_mm3,omitempty" comment:"what the mixing vessel holds, brimful"`
	Headroom        float64            `toml:"headroom,omitempty" comment:"times its volume a batch may rise to in it under vacuum; 1 when it is not degassed"`
	RoomC           float64            `toml:"room_c,omitempty" comment:"temperature of the room, degrees Celsius"`
	AltitudeM       float64            `toml:"altitude_m,omitempty" comment:"metres above the sea, where the vacuum is pulled"`
	ScaleStepG      float64            `toml:"scale_step_g,omitempty" comment:"smallest step of the scale"`
	RodMM           *float64           `toml:"rod_mm,omitempty" comment:"diameter of the rod that stiffens the cast; 0: none"`
	RodCoverMM      *float64           `toml:"rod_cover_mm,omitempty" comment:"casting material over the rod"`
	Show            string             `toml:"show,omitempty" comment:"in, mm or both: units on the sheet and picture"`
}

// Progress is told of long work: the stage in plain words, and how much of it
// is done. It may be nil, and is called from one goroutine at a time.
type Progress func(stage string, done, total int64)

// Tell reports to p when there is one.
func (p Progress) Tell(stage string, done, total int64) {
	if p != nil {
		p(stage, done, total)
	}
}

// WallClearance is a clearance for single walls, mm; 0 where the common one holds.
type WallClearance struct {
	Left  float64 `toml:"left,omitempty"`
	Right float64 `toml:"right,omitempty"`
	Front float64 `toml:"front,omitempty"`
	Back  float64 `toml:"back,omitempty"`
}
