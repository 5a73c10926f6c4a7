package analysis

// Cast is what this version knows of the casting: the cavity.
type Cast struct {
	Material  string  `json:"material"`   // "resin" | "foam"
	CavityMM3 float64 `json:"cavity_mm3"` // pattern + stem + vents
}
