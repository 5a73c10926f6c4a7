package cast

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis/finding"
	"pourwright/analysis/shelf"
)

func exactly(x float64) shelf.Range { return shelf.Range{Low: x, Likely: x, High: x} }

// certainFoam has one value for each figure: 10 lb/ft³ at a packing of 1.2.
func certainFoam(t *testing.T) shelf.Casting {
	m := material(t, "foam")
	m.DensityGPerCM3, m.LiquidGPerCM3, m.Packing = exactly(0.16), exactly(1.1), exactly(1.2)
	m.ViscosityPaS, m.RiseS, m.WorkingS = exactly(1), exactly(180), 45
	return m
}

// sideRoom is a litre of which 300 mL are behind a round neck, all of it that deep.
func sideRoom(m shelf.Casting, d, long, depth float64) Input {
	in := Input{Material: m, Spout: []Channel{round(25, 0)}, SpoutEnds: 30, VoxelMM: 1, All: []Layer{{100, 7e5}},
		Necks:  []Neck{{At: r3.Vec{Z: depth}, Along: r3.Vec{Z: 1}, DiameterMM: d, LengthMM: long, BehindMM3: 3e5, After: -1}},
		Behind: [][]Layer{{{depth, 3e5}}}}
	in.All = append([]Layer{}, in.All...)
	if depth < 100 {
		in.All = append([]Layer{{depth, 3e5}}, in.All...)
	} else {
		in.All = append(in.All, Layer{depth, 3e5})
	}
	return in
}

// By hand: what is above the liquid is filled by foam alone, at the moulded density,
// by half of 24.6 kPa (a closed mold of 160 kg/m³ packed 1.2 times), through the ends
// of a round channel as well (Sampson; Dagan, Weinbaum & Pfeffer), as many times as
// thick as the liquid as it is lighter.
func TestFoamThroughNeck(t *testing.T) {
	for _, c := range []struct{ d, long float64 }{{6, 20}, {10, 50}, {16, 0}} {
		r := Judge(sideRoom(certainFoam(t), c.d, c.long, 50)).Rises[0]
		radius := c.d / 2
		resistance := (3 + 8*c.long/(math.Pi*radius)) / (radius * radius * radius)
		near(t, "has to pass", r.PassMM3, 3e5, 1e-9)
		near(t, "takes", r.TakesS.Likely, 3e5*resistance*(1.1/0.192)/(24_553/2.), 1e-3)
		near(t, "at best half of that", r.TakesS.Low, r.TakesS.Likely/2, 1e-9)
		near(t, "at worst five times", r.TakesS.High, r.TakesS.Likely*5, 1e-9)
		if r.Back {
			t.Errorf("%+v: it rises out of the room", c)
		}
	}
}

// What the rise leaves is what flows while it thickens: a sum over small steps.
func TestThickeningOnTheRise(t *testing.T) {
	f, ok := newRisingFoam(certainFoam(t), 1e6)
	if !ok {
		t.Fatal("not known")
	}
	for _, c := range []struct{ got, times float64 }{{f.allowed.Low, 200}, {f.allowed.Likely, 50}, {f.allowed.High, 10}} {
		sum := 0.0
		const steps = 10_000
		for i := range steps {
			sum += 180. / steps / math.Pow(c.times, (float64(i)+0.5)/steps)
		}
		near(t, "flows", c.got, sum, 1e-6)
	}
}

// The liquid runs into a room below first, and rises out of it again: a mass balance.
func TestFoamRisesBack(t *testing.T) {
	r := Judge(sideRoom(certainFoam(t), 30, 5, 150)).Rises[0]
	// All of the liquid is in there, so that the other 700 mL have to come out.
	near(t, "comes back", r.PassMM3, 7e5, 1e-9)
	if !r.Back {
		t.Error("it does not come back")
	}
	// Through a hole that lets nearly no liquid in, foam has to.
	r = Judge(sideRoom(certainFoam(t), 1, 50, 150)).Rises[0]
	if r.Back || !(r.PassMM3 > 2.9e5 && r.PassMM3 < 3e5) || r.Verdict != WillNot {
		t.Errorf("%+v", r)
	}
}

func TestFoamVerdicts(t *testing.T) {
	for _, c := range []struct {
		d       float64
		verdict string
	}{{4, WillNot}, {9, Doubtful}, {11, Doubtful}, {20, Passes}} {
		if r := Judge(sideRoom(certainFoam(t), c.d, 10, 50)).Rises[0]; r.Verdict != c.verdict || r.WidenMM > 0 == (c.verdict == Passes) {
			t.Errorf("%g mm: %+v, want %s", c.d, r, c.verdict)
		}
	}
	in := sideRoom(material(t, "foam"), 4, 10, 50)
	r := Judge(in)
	if r.Seconds != nil || r.Quick != nil || r.Necks[0] != nil {
		t.Errorf("a time as of a liquid: %+v", r)
	}
	told := only(t, r.Findings, "Foam will not get through this neck, 4.0 mm wide: 300 mL")
	told.mustSay(t, "Widen it to")
	told.mustSay(t, "lay the foam into both sides")
	told.mustBe(t, finding.Warn)
	// As wide as told it passes, and no narrower.
	for _, c := range []struct {
		s       float64
		verdict string
	}{{1.001, Passes}, {0.99, Doubtful}} {
		wide := sideRoom(material(t, "foam"), c.s*r.Rises[0].WidenMM, 10, 50)
		if got := Judge(wide).Rises[0].Verdict; got != c.verdict {
			t.Errorf("%g of %g mm: %s", c.s, r.Rises[0].WidenMM, got)
		}
	}
	in.Necks[0].BehindMM3 = 7e5
	only(t, Judge(in).Findings, "Foam will not").mustSay(t, "pour from the other end")
}

// Where the rise is not on the shelf, the width alone is judged.
func TestFoamOfUnknownRise(t *testing.T) {
	m := material(t, "foam")
	m.RiseS = shelf.Range{}
	in := twoNecks(m, 9, 20)
	in.SpoutEnds = 30
	r := Judge(in)
	if r.Rises[0] != nil {
		t.Errorf("%+v", r.Rises[0])
	}
	only(t, r.Findings, "Foam has to pass this neck, 9.0 mm wide, to 300 mL").mustSay(t, "Lay the foam into both sides")
}

// A wider or shorter neck, a foam that rises longer or is thinner is never worse.
func TestRiseLaws(t *testing.T) {
	rank := map[string]int{WillNot: 0, Doubtful: 1, Passes: 2}
	judge := func(change func(in *Input)) Rise {
		in := sideRoom(material(t, "foam-light"), 8, 20, 50)
		change(&in)
		return *Judge(in).Rises[0]
	}
	was := judge(func(*Input) {})
	for name, change := range map[string]func(in *Input){
		"wider":        func(in *Input) { in.Necks[0].DiameterMM = 9 },
		"shorter":      func(in *Input) { in.Necks[0].LengthMM = 10 },
		"less behind":  func(in *Input) { in.Necks[0].BehindMM3 /= 2 },
		"thinner":      func(in *Input) { in.Material.ViscosityPaS = exactly(0.3) },
		"rises longer": func(in *Input) { in.Material.RiseS = exactly(600) },
	} {
		r := judge(change)
		if r.TakesS.Likely > was.TakesS.Likely || r.TakesS.High > was.TakesS.High || rank[r.Verdict] < rank[was.Verdict] {
			t.Errorf("%s: %+v after %+v", name, r, was)
		}
		if (name == "rises longer") == (r.TakesS.Likely < was.TakesS.Likely) {
			t.Errorf("%s: %+v after %+v", name, r, was)
		}
	}
}
