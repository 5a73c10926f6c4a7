package analysis

import (
	"pourwright/analysis/finding"
)

// Plan is everything computed for one job; it is what plan.json holds. Keys
// are stable: add, never rename. Lengths mm, areas mm², volumes mm³, masses g,
// times s, angles degrees. Points are in the stand frame (board at z = 0, +z
// up while rubber is poured, origin in the centre of the box floor) unless the
// key or comment says scan frame. A nil pointer is null in JSON: not known.
type Plan struct {
	Pourwright string            `json:"pourwright"` // program version
	Name       string            `json:"name"`       // from the scan's file name
	Scan       Scan              `json:"scan"`
	Stand      Stand             `json:"stand"`
	Box        Box               `json:"box"`
	Wall       Wall              `json:"wall"`
	Bow        Bow               `json:"bow"`
	Hold       Hold              `json:"hold"`
	Rubber     Rubber            `json:"rubber"`
	Air        Air               `json:"air"`
	RubberTrap []Trap            `json:"rubber_traps"`
	CastTrap   []Trap            `json:"cast_traps"`
	Cut        Cut               `json:"cut"`
	TwoPart    *TwoPart          `json:"two_part"` // null of a block
	Cast       Cast              `json:"cast"`
	Rod        Rod               `json:"rod"`
	Clock      []ClockStep       `json:"clock"`
	Findings   []finding.Finding `json:"findings"`
	Cautions   []string          `json:"cautions"`
	Basis      []Basis           `json:"basis"`

	// Thickness is the rubber's at each vertex of the solid that was asked about, mm;
	// NaN where the pattern touches the board or the stem. Nil when it was not asked for.
	Thickness []float32 `json:"-"`
}

// Basis traces one number a person acts on.
type Basis struct {
	Key  string `json:"key"`  // JSON path, such as "rubber.mass_g"
	From string `json:"from"` // what it was computed from, with the figures
	Rule string `json:"rule"` // by which rule, with its source
}

// Scan says what the scan is and what it is worth.
type Scan struct {
	File           string        `json:"file"`
	Format         string        `json:"format"` // "STL binary" | "STL ASCII"
	Triangles      int           `json:"triangles"`
	Vertices       int           `json:"vertices"`   // after welding
	Units          string        `json:"units"`      // mm | cm | m | in
	UnitsFrom      string        `json:"units_from"` // "given" | "file" | "comment" | "guessed" | "longest"
	Scale          float64       `json:"scale"`      // mm per file unit
	BoundsMM       [2][3]float64 `json:"bounds_mm"`  // scan frame
	SizeMM         [3]float64    `json:"size_mm"`    // scan frame
	TightestBoxMM  [3]float64    `json:"tightest_box_mm"`
	VolumeMM3      float64       `json:"volume_mm3"`
	VolumeErrorMM3 float64       `json:"volume_error_mm3"`
	VolumeDoubt    VolumeDoubt   `json:"volume_doubt"` // what the error is made of
	NoiseMM        *float64      `json:"noise_mm"`     // scatter of the corners, standard deviation; null when it was not looked for
	AreaMM2        float64       `json:"area_mm2"`
	CentroidMM     [3]float64    `json:"centroid_mm"` // scan frame
	InertiaMM5     [3][3]float64 `json:"inertia_mm5"` // unit density, about the centroid, scan axes
	Watertight     bool          `json:"watertight"`
	Shells         int           `json:"shells"`
	OpenLoops      int           `json:"open_loops"`
	As             string        `json:"as"`       // "solid" | "hollow": rubber never gets inside | "shell": it stands on its rim
	ShellMM        *float64      `json:"shell_mm"` // thickness of the wall, as given
	MaterialMM3    float64       `json:"material_mm3"`
	EnvelopeMM3    float64       `json:"envelope_mm3"`
	DetailRadiusMM float64       `json:"detail_radius_mm"`
	Worth          string        `json:"worth"` // "sound" | "usable": with the doubt stated | "unusable"
	Problems       []Problem     `json:"problems"`
	Mends          []Mend        `json:"mends"`
}

// VolumeDoubt is what the error of a volume is the sum of, mm³.
type VolumeDoubt struct {
	RoundingMM3 float64 `json:"rounding_mm3"` // of the file's 32-bit coordinates
	ScaleMM3    float64 `json:"scale_mm3"`    // of the caliper readings
	MendsMM3    float64 `json:"mends_mm3"`
	GridMM3     float64 `json:"grid_mm3"`     // of a surface built anew
	CrossingMM3 float64 `json:"crossing_mm3"` // surface that passes through itself
	NoiseMM3    float64 `json:"noise_mm3"`    // scatter of the corners
}

func (d VolumeDoubt) sum() float64 {
	return d.RoundingMM3 + d.ScaleMM3 + d.MendsMM3 + d.GridMM3 + d.CrossingMM3 + d.NoiseMM3
}

// Problem is one kind of fault of the scan.
type Problem struct {
	Kind  string      `json:"kind"`
	Count int         `json:"count"`
	AtMM  *[3]float64 `json:"at_mm"` // scan frame
	Text  string      `json:"text"`
}

// Mend is one repair made to the scan.
type Mend struct {
	Kind    string  `json:"kind"`
	Count   int     `json:"count"`
	AreaMM2 float64 `json:"area_mm2"`
	Text    string  `json:"text"`
}
