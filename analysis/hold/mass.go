package hold

import "fmt"

// Mass is what the pattern weighs, g. The lightest one floats hardest, the
// heaviest is lifted with the box.
type Mass struct {
	LowG, HighG float64
	From        string // how it was obtained, in words
	Known       bool   // weighed, or worked out from a material
}

// Densities between which a pattern of an unknown kind may lie, g/cm³: a hollow
// print, walls and all (a workshop page: 0.9 kg for 5.5 L), and solid stone or
// aluminium (from memory). Both: common practice, no source.
const (
	lightestGPerCM3 = 0.15
	heaviestGPerCM3 = 2.7
)

// Weighed is the mass read from a scale.
func Weighed(g float64) Mass {
	return Mass{g, g, fmt.Sprintf("weighed: %.4g g", g), true}
}

// MassOf is the mass of a volume of a material, whose density is given.
func MassOf(mm3 float64, material string, gPerCM3 Range) Mass {
	return Mass{
		mm3 / 1000 * gPerCM3.Low, mm3 / 1000 * gPerCM3.High,
		fmt.Sprintf("%.4g cm³ of %s at %.3g to %.3g g/cm³", mm3/1000, material, gPerCM3.Low, gPerCM3.High), true,
	}
}

// UnknownMass is what a pattern of that volume weighs at least and at most
// when nothing is known of it.
func UnknownMass(mm3 float64) Mass {
	return Mass{
		mm3 / 1000 * lightestGPerCM3, mm3 / 1000 * heaviestGPerCM3,
		fmt.Sprintf("not weighed: between a hollow print (%g g/cm³ of its whole volume) and solid stone (%g g/cm³)", lightestGPerCM3, heaviestGPerCM3), false,
	}
}
