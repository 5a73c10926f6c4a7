package analysis

// Trap is a place air cannot leave as liquid rises.
type Trap struct {
	AtMM          [3]float64 `json:"at_mm"`
	SpillMM       float64    `json:"spill_mm"` // a stand z
	VolumeMM3     float64    `json:"volume_mm3"`
	PersistenceMM float64    `json:"persistence_mm"`
	Vent          *Vent      `json:"vent"`
}

// Vent is the hole a post leaves between a trap and the board.
type Vent struct {
	FromMM     [3]float64 `json:"from_mm"`
	ToMM       [3]float64 `json:"to_mm"`
	DiameterMM float64    `json:"diameter_mm"`
}
