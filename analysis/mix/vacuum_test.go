package mix

import (
	"math"
	"testing"
)

// Closed form of Boyle's law at 29.92 inHg: a vacuum of 27, 28 and 29 inHg
// spreads air 10.25, 15.58 and 32.52 times, and rubber with a tenth of air in it
// rises to 1.92, 2.46 and 4.15 times its volume (29.92/2.92 and so on).
func TestSwell(t *testing.T) {
	const sea = 29.92
	for _, c := range []struct{ gauge, spread, rise float64 }{{27, 10.25, 1.92}, {28, 15.58, 2.46}, {29, 32.52, 4.15}} {
		if got := swell(1, sea, sea-c.gauge); math.Abs(got-c.spread) > 0.005 {
			t.Errorf("air at %g inHg spreads %.3f times, want %.2f", c.gauge, got, c.spread)
		}
		if got := swell(0.1, sea, sea-c.gauge); math.Abs(got-c.rise) > 0.005 {
			t.Errorf("rubber at %g inHg rises to %.3f times, want %.2f", c.gauge, got, c.rise)
		}
	}
}

// Source: tables of the U.S. Standard Atmosphere, 1976: 101325 Pa at the sea,
// 84 556 Pa at 1500 m, 70 121 Pa at 3000 m (from memory).
func TestAirPressure(t *testing.T) {
	for altitude, want := range map[float64]float64{0: 101325, 1500: 84556, 3000: 70121} {
		if got := airPressure(altitude); math.Abs(got-want) > 1e-3*want {
			t.Errorf("at %g m: %.0f Pa, want %.0f", altitude, got, want)
		}
	}
}

// About 1 inHg less for each 300 m (common practice, no source), and the deepest
// vacuum swells the rubber less where the air outside is thinner.
func TestVacuumAtAltitude(t *testing.T) {
	sea, high := vacuumAt(0), vacuumAt(1500)
	if math.Abs(sea.gaugeInHg-29) > 1e-9 || math.Abs(sea.swell-4.15) > 0.02 {
		t.Errorf("at the sea %+v", sea)
	}
	if drop := sea.gaugeInHg - high.gaugeInHg; math.Abs(drop-5) > 0.1 {
		t.Errorf("the gauge reads %.2f inHg less at 1500 m, want about 5", drop)
	}
	if high.swell >= sea.swell {
		t.Errorf("rubber swells %.2f times at 1500 m and %.2f at the sea", high.swell, sea.swell)
	}
}
