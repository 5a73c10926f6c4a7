package analysis

// Box is the box around the pattern. inside_mm[2] is the rubber level.
type Box struct {
	Shape         string       `json:"shape"`      // "rectangle" | "tube" | "faceted"
	Owned         bool         `json:"owned"`      // a box that the maker has
	OutlineMM     [][2]float64 `json:"outline_mm"` // corners of the inside, counter-clockwise; empty of a tube
	RadiusMM      *float64     `json:"radius_mm"`  // of a tube
	FloorMM2      float64      `json:"floor_mm2"`  // area inside
	InsideMM      [3]float64   `json:"inside_mm"`
	RubberLevelMM float64      `json:"rubber_level_mm"`
	WallHeightMM  float64      `json:"wall_height_mm"`
	FreeboardMM   float64      `json:"freeboard_mm"`
	ClearanceMM   Sides        `json:"clearance_mm"` // asked
	GapMM         Sides        `json:"gap_mm"`       // smallest true gap from the pattern to each wall
	Thin          []Thin       `json:"thin"`
	Panels        []Panel      `json:"panels"`
	Board         string       `json:"board"`    // shelf key
	Sheets        []Sheet      `json:"sheets"`   // how the boards lie on sheets; empty where their size is not known
	Assembly      []string     `json:"assembly"` // in this order
	Fillers       []Filler     `json:"fillers"`  // empty unless they were asked for
	Options       []BoxOption  `json:"options"`  // each shape with the same clearances; posts left out
	Blanket       Blanket      `json:"blanket"`
}

// Sides is one figure per wall, x0 the wall at −x, and for the cover. A tube or a
// faceted box has one figure for all walls, radial, which the others repeat.
type Sides struct {
	X0     float64  `json:"x0"`
	X1     float64  `json:"x1"`
	Y0     float64  `json:"y0"`
	Y1     float64  `json:"y1"`
	Cover  float64  `json:"cover"`
	Radial *float64 `json:"radial"` // null of a rectangle
}

// Thin is a place where the gap is under half the clearance asked.
type Thin struct {
	Wall  string     `json:"wall"` // "x0" … "y1", "cover"
	GapMM float64    `json:"gap_mm"`
	AtMM  [3]float64 `json:"at_mm"`
}

// Panel is one board to cut.
type Panel struct {
	Name        string    `json:"name"`
	LengthMM    float64   `json:"length_mm"`
	WidthMM     float64   `json:"width_mm"`
	ThicknessMM float64   `json:"thickness_mm"`
	Board       string    `json:"board"` // shelf key
	Count       int       `json:"count"`
	ScoresMM    []float64 `json:"scores_mm"`
	Note        string    `json:"note"`
}

// Sheet is one sheet of board and the pieces on it.
type Sheet struct {
	Board  string       `json:"board"` // shelf key
	SizeMM [2]float64   `json:"size_mm"`
	Pieces []SheetPiece `json:"pieces"`
}

// SheetPiece is one piece on a sheet, its corner nearest to the sheet's at x, y.
type SheetPiece struct {
	Name     string  `json:"name"`
	LengthMM float64 `json:"length_mm"`
	WidthMM  float64 `json:"width_mm"`
	XMM      float64 `json:"x_mm"`
	YMM      float64 `json:"y_mm"`
	Turned   bool    `json:"turned"` // its length runs along the sheet's width
}

// BoxOption is the rubber that one shape of box takes.
type BoxOption struct {
	Shape    string   `json:"shape"`
	FloorMM2 float64  `json:"floor_mm2"`
	NetMM3   float64  `json:"net_mm3"`
	MassG    float64  `json:"mass_g"` // to weigh out, allowance in it
	Cost     *float64 `json:"cost"`   // at the shelf's price; null where it has none
	Chosen   bool     `json:"chosen"`
}

// Blanket is a skin of rubber in a rigid jacket, instead of a block: an estimate.
type Blanket struct {
	ThicknessMM [3]float64 `json:"thickness_mm"`
	MassG       [3]float64 `json:"mass_g"` // of a skin of each thickness
	Cost        *float64   `json:"cost"`   // of the middle one
	Advised     bool       `json:"advised"`
}

// Filler takes the place of rubber that would only be waste. It stands on the
// board.
type Filler struct {
	Kind      string       `json:"kind"`    // "fillet" in a corner | "block"
	FootMM    [][2]float64 `json:"foot_mm"` // corners of its foot
	HeightMM  float64      `json:"height_mm"`
	VolumeMM3 float64      `json:"volume_mm3"` // below the rubber level
}
