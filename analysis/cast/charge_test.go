package cast_test

import (
	"math"
	"strings"
	"testing"

	"pourwright/analysis/cast"
	"pourwright/analysis/shelf"
)

func stock(t *testing.T, key string) shelf.Casting {
	t.Helper()
	s, err := shelf.Read("none", strings.NewReader(""))
	if err != nil {
		t.Fatal(err)
	}
	c, err := s.Casting(key)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func exactly(d float64) shelf.Range { return shelf.Range{Low: d, Likely: d, High: d} }

func close(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s: %.6g, want %.6g", what, got, want)
	}
}

// Source: mass balance. 1 lb/ft³ is 16.01846 kg/m³ (exact pound and foot), and a
// mix of 1.10 g/cm³ grows 34.3, 22.9, 13.7, 8.58, 6.87, 4.58, 4.29, 4.04, 3.43 and
// 2.75 times for foams of 2 to 25 lb/ft³.
func TestExpansionByDensity(t *testing.T) {
	want := map[float64]float64{2: 34.3, 3: 22.9, 5: 13.7, 8: 8.58, 10: 6.87, 15: 4.58, 16: 4.29, 17: 4.04, 20: 3.43, 25: 2.75}
	for lb, grows := range want {
		c := stock(t, "foam")
		c.DensityGPerCM3, c.Packing = exactly(lb*0.01601846337), exactly(1.2)
		close(t, "expansion", cast.ChargeFoam(cast.Mold{CavityMM3: 1e6}, c).Expansion, grows, 0.005*grows)
	}
	// 17 lb/ft³ = 272 kg/m³ (common practice, no source).
	close(t, "17 lb/ft³", 17*16.01846337, 272.3, 0.05)
}

// Worked example: 1.5 L at 15 lb/ft³ and packing 1.15 take 414.48 g, which are
// 376.8 mL of liquid; 2 : 1 by weight is 276.3 and 138.2 g.
func TestFoamChargeByHand(t *testing.T) {
	c := stock(t, "foam")
	c.DensityGPerCM3, c.Packing = exactly(15*0.01601846337), exactly(1.15)
	f := cast.ChargeFoam(cast.Mold{PartMM3: 1.5e6, CavityMM3: 1.5e6}, c)
	close(t, "charge less the waste", f.MassG.Likely/1.03, 414.48, 0.01)
	close(t, "liquid, mL", f.LiquidMM3/1000, 376.8, 0.05)
	close(t, "A", f.Parts.AG/1.03, 276.3, 0.05)
	close(t, "B", f.Parts.BG/1.03, 138.2, 0.05)
	close(t, "finished", cast.Finished(cast.Mold{PartMM3: 1.5e6}, c).Likely, 414.48, 0.01)
}

// Source: gas squeezed from free rise into the mold, liquid 1.10 g/cm³: kPa for a
// free-rise density in kg/m³ and a packing factor, and the force on a lid of
// 200 × 200 mm.
func TestFoamPressure(t *testing.T) {
	for _, c := range []struct{ free, packing, kPa, lidN float64 }{
		{80, 1.20, 22.2, 888}, {160, 1.20, 24.6, 982}, {240, 1.10, 13.3, 533}, {240, 1.25, 34.8, 1393}, {272, 1.30, 44.8, 1792},
	} {
		p := cast.FoamPressure(c.free/1000, c.free/1000*c.packing, 1.10)
		close(t, "pressure, kPa", p/1000, c.kPa, 0.06)
		close(t, "lid", p*0.04, c.lidN, 1)
	}
}

// The liquid stands where the cavity below it holds it: of a cone on its tip,
// V = V₀·(h/H)³.
func TestLevelBeforeRise(t *testing.T) {
	const whole, height = 1e6, 200.0
	m := cast.Mold{CavityMM3: whole, HeightMM: height, Below: func(h float64) float64 { return whole * math.Pow(h/height, 3) }}
	f := cast.ChargeFoam(m, stock(t, "foam"))
	close(t, "level", f.LevelMM, height*math.Cbrt(f.LiquidMM3/whole), 1e-6)
}

// A mold with more wall for its volume takes more foam; a rod takes its own
// volume off; a rod never makes the charge larger.
func TestChargeLaws(t *testing.T) {
	for _, key := range []string{"foam", "foam-rigid-5", "resin", "resin-slow"} {
		c := stock(t, key)
		charge := func(m cast.Mold) float64 {
			if c.Kind == shelf.Foam {
				return cast.ChargeFoam(m, c).MassG.Likely
			}
			return cast.ChargeResin(m, c).MassG.Likely
		}
		m := cast.Mold{PartMM3: 9e5, CavityMM3: 1e6, AreaMM2: 6e4}
		plain := charge(m)
		m.RodMM3 = 1e4
		if rod := charge(m); !(rod < plain) {
			t.Errorf("%s: %v with a rod, %v without", key, rod, plain)
		}
		m.RodMM3, m.AreaMM2 = 0, 2e5
		if c.Kind == shelf.Foam && !(charge(m) > plain) {
			t.Errorf("%s: more wall takes %v, less %v", key, charge(m), plain)
		}
		if f := cast.Finished(m, c); !(f.Low <= f.Likely && f.Likely <= f.High && f.Likely < charge(m)) {
			t.Errorf("%s: finished %+v of a charge of %v", key, f, charge(m))
		}
	}
}

// Worked example of a workshop page: 0.22 m² × 3 mm of resin of 1.05 g/cm³ are
// 693 g, in 3 coats of 231 g.
func TestSlush(t *testing.T) {
	c := stock(t, "resin")
	m := cast.Mold{PartMM3: 5e6, Within: func(mm float64) float64 { return 0.22e6 * mm }}
	s := cast.ChargeSlush(m, c)
	close(t, "all", s.MassG, 693, 1e-6)
	close(t, "a coat", s.CoatG, 231, 1e-6)
	// Twice round six sides while it flows, none of them for more than a minute.
	for _, of := range []struct{ workingS, dwellS float64 }{{300, 25}, {720, 60}, {2700, 60}, {0, 0}} {
		c.WorkingS = of.workingS
		close(t, "dwell", cast.ChargeSlush(m, c).DwellS, of.dwellS, 1e-12)
	}
}

// Closed form: 0.3, 0.5 and 1 % of length are 0.8973, 1.4925 and 2.9701 % of volume.
func TestShrinkage(t *testing.T) {
	for linear, volume := range map[float64]float64{0.3: 0.8973, 0.5: 1.4925, 1: 2.9701} {
		s := cast.Shrunk(exactly(linear), exactly(0))
		close(t, "volume", s.VolumePct.Likely, volume, 5e-5)
		close(t, "there and back", (1-s.LinearPct.Likely/100)*s.ScaleUp.Likely, 1, 1e-12)
	}
	close(t, "both", cast.Shrunk(exactly(1), exactly(1)).LinearPct.Likely, 1.99, 1e-9)
}

func TestResin(t *testing.T) {
	c := stock(t, "resin")
	r := cast.ChargeResin(cast.Mold{CavityMM3: 1e6, ThickMM: 40}, c)
	// (1 L + 25 mL) × 1.05 g/cm³ and a film of 40·1.025^⅔ g.
	close(t, "charge", r.MassG.Likely, 1025*1.05+40*math.Pow(1.025, 2.0/3), 1e-6)
	close(t, "A", r.Parts.AG, r.MassG.Likely/2, 1e-9)
	if !r.TooThick {
		t.Error("40 mm of a resin for 25 mm are not too thick")
	}
	if cast.ChargeResin(cast.Mold{CavityMM3: 1e6, ThickMM: 20}, c).TooThick {
		t.Error("20 mm of a resin for 25 mm are too thick")
	}
}
