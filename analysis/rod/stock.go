package rod

import "pourwright/analysis/shelf"

// Stock is what rods are made of.
type Stock struct {
	Key            string
	Name           string
	DensityGPerCM3 shelf.Range
	YoungMPa       shelf.Range // along it
}

// Stocks lists them, the usual one first. Basis: from memory of handbooks and data
// sheets; wood dry, along the grain.
func Stocks() []Stock {
	return []Stock{
		{"steel", "mild steel", shelf.Range{Low: 7.80, Likely: 7.85, High: 7.90}, shelf.Range{Low: 195e3, Likely: 205e3, High: 210e3}},
		{"wood", "hardwood dowel", shelf.Range{Low: 0.55, Likely: 0.70, High: 0.80}, shelf.Range{Low: 8e3, Likely: 11e3, High: 14e3}},
		{"fibreglass", "pultruded glass fibre", shelf.Range{Low: 1.80, Likely: 1.90, High: 2.10}, shelf.Range{Low: 30e3, Likely: 38e3, High: 45e3}},
	}
}

// MassG returns the mass of that much of it, g.
func (s Stock) MassG(mm3 float64) shelf.Range {
	d := s.DensityGPerCM3
	return shelf.Range{Low: d.Low * mm3 / 1000, Likely: d.Likely * mm3 / 1000, High: d.High * mm3 / 1000}
}

// CastMPa is the modulus of elasticity of what casts are made of, by kind. Rigid
// resin is far stiffer than flexible foam, whose skin counts for much. Basis: from
// memory; kinds that are not known have zeros.
func CastMPa(kind string) shelf.Range {
	switch kind {
	case shelf.Resin:
		return shelf.Range{Low: 800, Likely: 1500, High: 2500}
	case shelf.Foam:
		return shelf.Range{Low: 0.2, Likely: 1, High: 5}
	}
	return shelf.Range{}
}
