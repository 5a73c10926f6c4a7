package airtrap

// Air pressure and gravity, standard values. Source: The International System
// of Units (SI), NIST SP 330.
const (
	airPa   = 101325
	gravity = 9.80665 // m/s²
)

// Squeezed returns the share of its volume that trapped air loses under a head
// (mm) of liquid (g/cm³), ρgh/(p + ρgh) by Boyle's law. Volumes of traps are
// those at room pressure.
func Squeezed(gPerCM3, headMM float64) float64 {
	pa := gPerCM3 * gravity * headMM // 1000 kg/m³ and 0.001 m cancel
	return pa / (airPa + pa)
}
