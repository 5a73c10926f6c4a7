package cast

import (
	"math"

	"pourwright/analysis/shelf"
)

// airPa is the pressure of the air, Pa, at the sea.
const airPa = 101_325

// A layer of foam next to the cold wall of the mold hardly rises: the more wall
// for its volume, the more a mold takes (common practice, no source).
const deadLayerMM = 0.2

// Safety of lid and straps over the pressure (common practice, no source).
const LidSafety = 2

// A cup of rising foam is never scraped clean (common practice, no source).
const foamWaste = 0.03

// Foam is the charge of a mold that a foam fills by rising.
type Foam struct {
	MouldedGPerCM3 shelf.Range
	MassG          shelf.Range // to mix
	Parts          Parts
	Expansion      float64     // risen freely
	LiquidMM3      float64     // before it rises
	LevelMM        float64     // of the liquid, over the lowest place of the cavity
	PressurePa     shelf.Range // gauge, upper bound of a closed mold
	LidN           float64     // likely pressure on the mouth, safety in it
	OpenN          float64     // that opens the cut, safety in it
	WallN          [2]float64  // on the walls along x and y, safety in it
}

// moulded is the density of foam in a closed mold: risen freely times packing.
func moulded(c shelf.Casting) spread {
	return spread{c.DensityGPerCM3.Low * c.Packing.Low, c.DensityGPerCM3.Likely * c.Packing.Likely, c.DensityGPerCM3.High * c.Packing.High}
}

// deadG is what the layer at the walls weighs more than foam.
func deadG(areaMM2, liquid, foam float64) float64 {
	return grams(areaMM2*deadLayerMM, max(0, liquid-foam))
}

// ChargeFoam weighs a foam for a mold: volume × moulded density, and the layer
// that does not rise. The pressure is that of its gas squeezed from free rise into
// the mold, at one temperature and before it sets, so no more than that: heat adds
// to it, setting and vents take away. Source: a mass balance of gas (Boyle);
// definitions of free-rise and moulded density and packing factor: trade usage.
func ChargeFoam(m Mold, c shelf.Casting) Foam {
	d := moulded(c)
	liquid := c.LiquidGPerCM3.Likely
	f := Foam{MouldedGPerCM3: shelf.Range(d), Expansion: liquid / c.DensityGPerCM3.Likely}
	inMold := d.per(func(density float64) float64 {
		return grams(m.fillMM3(), density) + deadG(m.AreaMM2, liquid, density)
	})
	f.MassG = spread(inMold).per(func(g float64) float64 { return g * (1 + foamWaste) })
	f.Parts = divide(c, f.MassG.Likely)
	f.LiquidMM3 = inMold.Likely / liquid * 1000
	f.LevelMM = m.levelOf(f.LiquidMM3)
	f.PressurePa = shelf.Range{
		Low:    FoamPressure(c.DensityGPerCM3.Likely, c.DensityGPerCM3.Likely*c.Packing.Low, liquid),
		Likely: FoamPressure(c.DensityGPerCM3.Likely, c.DensityGPerCM3.Likely*c.Packing.Likely, liquid),
		High:   FoamPressure(c.DensityGPerCM3.Likely, c.DensityGPerCM3.Likely*c.Packing.High, liquid),
	}
	newtons := func(mm2 float64) float64 { return LidSafety * f.PressurePa.Likely * mm2 * 1e-6 }
	f.LidN, f.OpenN = newtons(m.MouthMM2), newtons(m.CutMM2)
	f.WallN = [2]float64{newtons(m.ShadowMM2[0]), newtons(m.ShadowMM2[1])}
	return f
}

// FoamPressure returns the upper bound of the gauge pressure in Pa of a foam of a
// free-rise density in a closed mold at a moulded density, both in g/cm³ as the
// liquid: p0·((1/free − 1/liquid)/(1/moulded − 1/liquid) − 1).
func FoamPressure(free, moulded, liquid float64) float64 {
	return airPa * ((1/free-1/liquid)/(1/moulded-1/liquid) - 1)
}

// levelOf is the height at which the cavity holds a volume.
func (m Mold) levelOf(mm3 float64) float64 {
	if m.Below == nil || !(m.HeightMM > 0) || m.Below(m.HeightMM) <= mm3 {
		return m.HeightMM
	}
	lo, hi := 0.0, m.HeightMM
	for range 50 {
		if mid := lo + (hi-lo)/2; m.Below(mid) < mm3 {
			lo = mid
		} else {
			hi = mid
		}
	}
	return math.Max(lo, hi)
}
