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
}
