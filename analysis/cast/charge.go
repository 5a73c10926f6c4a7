package cast

import (
	"math"

	"pourwright/analysis/shelf"
)

// Mold is the cavity as it is filled: with the spout up.
type Mold struct {
	PartMM3   float64                        // of the part alone
	CavityMM3 float64                        // with spout, vents and funnel
	RodMM3    float64                        // that a stiffener takes of the part
	AreaMM2   float64                        // of the cavity's surface
	HeightMM  float64                        // from its lowest place to the spout's rim
	Below     func(heightMM float64) float64 // volume up to a height over its lowest place
	MouthMM2  float64                        // open to the lid: spout and vents
	CutMM2    float64                        // of the cavity, in the cut
	ShadowMM2 [2]float64                     // of the cavity, seen along x and along y
	ThickMM   float64                        // diameter of the largest ball in it
	Within    func(depthMM float64) float64  // volume of the part within a depth of its surface
}

// fillMM3 is what the material has to fill.
func (m Mold) fillMM3() float64 { return m.CavityMM3 - m.RodMM3 }

// What is lost on the way: a film on the cup, of one that held 1 L, g (as of
// rubber: common practice, no source), and what a funnel holds, mm³ (workshop
// pages: 10 to 40 mL, common practice, no source).
var (
	cupFilmG  = shelf.Range{Low: 20, Likely: 40, High: 70}
	funnelMM3 = shelf.Range{Low: 10_000, Likely: 25_000, High: 40_000}
)

// Parts is a mass and how it divides into A and B, g; by volume, mm³, where the
// material is measured so. Zeros where the shelf does not say.
type Parts struct{ AG, BG, AMM3, BMM3 float64 }

// divide splits a mass by the material's ratio.
func divide(c shelf.Casting, g float64) Parts {
	var p Parts
	if c.RatioA > 0 {
		p.AG = g * c.RatioA / (c.RatioA + c.RatioB)
		p.BG = g - p.AG
	}
	if c.VolumeRatioA > 0 && c.LiquidGPerCM3.Likely > 0 {
		mm3 := g / c.LiquidGPerCM3.Likely * 1000
		p.AMM3 = mm3 * c.VolumeRatioA / (c.VolumeRatioA + c.VolumeRatioB)
		p.BMM3 = mm3 - p.AMM3
	}
	return p
}

// grams is the mass of a volume in mm³ at g/cm³.
func grams(mm3, gPerCM3 float64) float64 { return mm3 / 1000 * gPerCM3 }

// film is what stays in a cup that held a mass of liquid.
func film(massG, gPerCM3, perLitreCupG float64) float64 {
	return perLitreCupG * math.Pow(massG/gPerCM3/1000, 2.0/3)
}

// Resin is the charge of a material that does not grow.
type Resin struct {
	MassG    shelf.Range // to mix: cavity, funnel and what stays in the cup
	Parts    Parts
	TooThick bool // the cast is thicker than the material stands: it gets hot
}

// ChargeResin weighs a resin for a mold.
func ChargeResin(m Mold, c shelf.Casting) Resin {
	d := c.LiquidGPerCM3
	one := func(density, funnel, perCup float64) float64 {
		g := grams(m.fillMM3()+funnel, density)
		return g + film(g, density, perCup)
	}
	r := Resin{MassG: shelf.Range{
		Low: one(d.Low, funnelMM3.Low, cupFilmG.Low), Likely: one(d.Likely, funnelMM3.Likely, cupFilmG.Likely), High: one(d.High, funnelMM3.High, cupFilmG.High)}}
	r.Parts = divide(c, r.MassG.Likely)
	r.TooThick = c.ThickestMM > 0 && m.ThickMM > c.ThickestMM
	return r
}

// The skin of a hollow cast (workshop pages: brittle bottles about 3 mm, three
// or four pours; common practice, no source), and how many coats are thought of where
// a weight is wanted.
const (
	SlushSkinMM = 3
	SlushCoats  = 3
	LeastCoats  = 2
	MostCoats   = 6
)

// Slush is the charge of a hollow cast, turned about until it sets.
type Slush struct {
	SkinMM float64
	Coats  int
	MassG  float64 // in all, without the film in the cups
	CoatG  float64
	Parts  Parts   // of a coat
	DwellS float64 // each side stays down so long; 0: the working time is not known
}

// A coat goes over all six sides so often before it stops to flow, and no side waits
// longer than that (common practice, no source).
const (
	slushSides  = 6
	slushRounds = 2
	mostDwellS  = 60
)

// ChargeSlush weighs a resin for a hollow cast: what lies within the skin of the
// surface × density. (Inside area × skin is too much where the part is slim or bent.)
func ChargeSlush(m Mold, c shelf.Casting) Slush {
	s := Slush{SkinMM: SlushSkinMM, Coats: SlushCoats, MassG: grams(m.Within(SlushSkinMM), c.LiquidGPerCM3.Likely)}
	s.CoatG = s.MassG / SlushCoats
	s.Parts = divide(c, s.CoatG)
	s.DwellS = min(mostDwellS, c.WorkingS/(slushSides*slushRounds))
	return s
}

// How far off three coats that were poured by eye come out, as a share of their skin
// (common practice, no source).
const (
	slushThin  = 2.0 / 3
	slushThick = 4.0 / 3
)

// mostSkin is how much of a part its skin may fill before casting it hollow is not
// worth the work (common practice, no source).
const mostSkin = 0.8

// FinishedHollow is the weight of a hollow cast of so many coats, g. It is false where
// there is hardly a hollow.
func FinishedHollow(m Mold, c shelf.Casting, coats int) (shelf.Range, bool) {
	skin, d := float64(coats)*SlushSkinMM/SlushCoats, c.DensityGPerCM3
	return shelf.Range{Low: grams(m.Within(slushThin*skin), d.Low), Likely: grams(m.Within(skin), d.Likely), High: grams(m.Within(slushThick*skin), d.High)},
		m.Within(skin) <= mostSkin*m.PartMM3
}

// Finished is the weight of the trimmed cast without its rod, g.
func Finished(m Mold, c shelf.Casting) shelf.Range {
	if c.Kind == shelf.Foam {
		return moulded(c).per(func(d float64) float64 {
			return grams(m.PartMM3-m.RodMM3, d) + deadG(m.AreaMM2, c.LiquidGPerCM3.Likely, d)
		})
	}
	return shelf.Range{
		Low: grams(m.PartMM3-m.RodMM3, c.DensityGPerCM3.Low), Likely: grams(m.PartMM3-m.RodMM3, c.DensityGPerCM3.Likely), High: grams(m.PartMM3-m.RodMM3, c.DensityGPerCM3.High)}
}

// spread is a range of densities.
type spread shelf.Range

func (s spread) per(f func(float64) float64) shelf.Range {
	return shelf.Range{Low: f(s.Low), Likely: f(s.Likely), High: f(s.High)}
}

// Shrinkage is how much smaller a cast is than the original.
type Shrinkage struct {
	LinearPct shelf.Range // rubber and casting material together
	ScaleUp   shelf.Range // of the original, so that the cast comes out at size
	VolumePct shelf.Range // lost
}

// Shrunk puts the shrinkage of rubber and casting material together: lengths are
// multiplied by (1 − s) each, volumes by its cube.
func Shrunk(rubberPct, castingPct shelf.Range) Shrinkage {
	one := func(a, b float64) float64 { return 100 * (1 - (1-a/100)*(1-b/100)) }
	l := shelf.Range{Low: one(rubberPct.Low, castingPct.Low), Likely: one(rubberPct.Likely, castingPct.Likely), High: one(rubberPct.High, castingPct.High)}
	s := Shrinkage{LinearPct: l}
	s.ScaleUp = spread(l).per(func(pct float64) float64 { return 1 / (1 - pct/100) })
	s.VolumePct = spread(l).per(func(pct float64) float64 { return 100 * (1 - math.Pow(1-pct/100, 3)) })
	return s
}

// Pulls is how many casts a mold gives, by the rubber's cure and what is cast:
// resins are hot and cling, foams are gentle (from memory; makers differ widely).
func Pulls(cure, kind string) shelf.Range {
	r := shelf.Range{Low: 10, Likely: 25, High: 50}
	if cure == shelf.Platinum {
		r = shelf.Range{Low: 20, Likely: 40, High: 80}
	}
	if kind == shelf.Resin {
		return r
	}
	return shelf.Range{Low: 1.5 * r.Low, Likely: 1.5 * r.Likely, High: 1.5 * r.High}
}
