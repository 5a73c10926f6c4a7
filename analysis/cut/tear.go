package cut

import "math"

// Gent returns Young's modulus of a rubber of a Shore A hardness, MPa, give or
// take 30 % between 10 and 50 A. Source: Gent, Rubber Chemistry and Technology
// 31, 1958 (from memory).
func Gent(shoreA float64) float64 {
	return 0.0981 * (56 + 7.62336*shoreA) / (0.137505 * (254 - 2.54*shoreA))
}

// Stress returns the force on the unstretched section of a rubber drawn out to
// stretch times its length, MPa, for a modulus in MPa: neo-Hookean, one way.
func Stress(modulus, stretch float64) float64 {
	return modulus / 3 * (stretch - 1/(stretch*stretch))
}

// LongestNickMM returns the length of a nick in an edge drawn out to stretch times
// its length from which it tears on, for a modulus in MPa and a tearing energy in
// kN/m (mm·MPa): T = 2kWc with k = π/√λ and W = (E/6)(λ² + 2/λ − 3). It is
// infinite without stretch. The tear strength of a data sheet is no tearing
// energy, so this is an indication only. Source: Rivlin & Thomas, Journal of Polymer
// Science 10, 1953; Greensmith, Journal of Applied Polymer Science 7, 1963 (from
// memory).
func LongestNickMM(modulus, stretch, tearKNPerM float64) float64 {
	energy := modulus / 6 * (stretch*stretch + 2/stretch - 3)
	if !(energy > 0) {
		return math.Inf(1)
	}
	return tearKNPerM / (2 * math.Pi / math.Sqrt(stretch) * energy)
}
