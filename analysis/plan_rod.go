package analysis

// Rod says where a stiffener goes. Its ends may be sawn square: no point of it is
// nearer to the surface than the cover. Without one, what is said of it is null.
type Rod struct {
	LengthMM      *float64     `json:"length_mm"`   // to saw it to
	DiameterMM    float64      `json:"diameter_mm"` // 0: none was wanted
	FromMM        *[3]float64  `json:"from_mm"`     // end of the axis at the spout
	ToMM          *[3]float64  `json:"to_mm"`
	CoverMM       *float64     `json:"cover_mm"`       // least that there is over it
	CoverAskedMM  float64      `json:"cover_asked_mm"` //
	Entry         string       `json:"entry"`          // "spout" | "mouth": lowered as it lies by the open foot | "half" | "two": two rods, laid into a half | "none"
	DepthMM       *float64     `json:"depth_mm"`       // from the spout's rim to its near end, along it, by the mouth straight down; else null
	Second        *SecondRod   `json:"second"`
	Standoffs     []Standoff   `json:"standoffs"`   // bridges that hold it off the wall
	StopsMM       [][3]float64 `json:"stops_mm"`    // on the surface: what keeps it from being longer
	LongestMM     *float64     `json:"longest_mm"`  // straight rod that fits, whichever way it gets in; length_mm may be 3 % less, to lie straighter
	BySpoutMM     *float64     `json:"by_spout_mm"` // longest that goes into the closed mold by spout or open foot; null: none does
	ThickestMM    *float64     `json:"thickest_mm"` // diameter of the largest ball inside; null when no rod was looked for
	ThickestAtMM  *[3]float64  `json:"thickest_at_mm"`
	DisplacedMM3  float64      `json:"displaced_mm3"`    // casting material that it takes the place of
	Material      string       `json:"material"`         // that the next five are for
	MassG         *Spread      `json:"mass_g"`           //
	WithoutNPerMM *Spread      `json:"without_n_per_mm"` // force in the middle that bends the cast by 1 mm there, supports a tenth of its length from either end
	WithNPerMM    *Spread      `json:"with_n_per_mm"`
	StiffnessGain *Spread      `json:"stiffness_gain"` // how much farther the cast bends without
	Materials     []RodStock   `json:"materials"`      // the same for others
	Cautions      []string     `json:"cautions"`
	Why           string       `json:"why"`
}

// SecondRod passes the first one, touching it.
type SecondRod struct {
	LengthMM float64    `json:"length_mm"`
	FromMM   [3]float64 `json:"from_mm"` // end near the first rod
	ToMM     [3]float64 `json:"to_mm"`
	TieMM    [3]float64 `json:"tie_mm"` // where the two are bound together
	LapMM    float64    `json:"lap_mm"` // half of it is how far each goes on beyond that
}

// Standoff is a bridge between the rod and the nearest place of rubber.
type Standoff struct {
	AtMM     [3]float64 `json:"at_mm"`     // on the axis
	WallMM   [3]float64 `json:"wall_mm"`   // on the surface
	LengthMM float64    `json:"length_mm"` // from the rod's side
}

// RodStock is what the rod weighs and does in another material.
type RodStock struct {
	Material      string  `json:"material"`
	Name          string  `json:"name"`
	MassG         *Spread `json:"mass_g"`
	StiffnessGain *Spread `json:"stiffness_gain"`
}
