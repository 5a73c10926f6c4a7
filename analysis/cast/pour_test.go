package cast

import (
	"strings"
	"testing"

	"pourwright/analysis/finding"
	"pourwright/analysis/shelf"
)

// pinhole is a part of 784 mL that foam is poured into through that much where a
// stem of 25 mm meets it, 30 mm under the rim.
func pinhole(m shelf.Casting, d float64) Input {
	return Input{Material: m, Spout: []Channel{round(d, 0), round(25, 20)}, SpoutEnds: 30, All: []Layer{{100, 784_000}}, VoxelMM: 1}
}

// By hand: the liquid is the moulded density's share of the cavity, 0.192/1.1, and
// runs through a hole in a thin sheet under 40 mm of itself (Sampson, 1891, from
// memory: the pressure for 1 mm³/s at 1 Pa·s is 3/r³).
func TestPourByHand(t *testing.T) {
	m := certainFoam(t)
	p := Judge(pinhole(m, 4)).Pour
	near(t, "liquid", p.LiquidMM3, 784_000*0.192/1.1, 1e-9)
	near(t, "takes", p.TakesS.Likely, p.LiquidMM3*3/8*m.ViscosityPaS.Likely/(40*1.1e-3*9806.65), 1e-9)
	near(t, "allowed", p.AllowedS, 15, 1e-9)
	if p.Verdict != WillNot {
		t.Errorf("%+v", p)
	}
	// Likely too slow, yet in before it creams if it is thin.
	m.ViscosityPaS = shelf.Range{Low: 0.3, Likely: 1, High: 2.5}
	if p := Judge(pinhole(m, 4)).Pour; p.Verdict != Doubtful {
		t.Errorf("%+v", p)
	}
}

// What does not get in is found before any neck; as wide as told it gets in, and no
// narrower.
func TestPourWidens(t *testing.T) {
	m := material(t, "foam")
	r := Judge(pinhole(m, 3.4))
	f := only(t, r.Findings, "The foam will not get in through the spout, 3.4 mm wide")
	f.mustBe(t, finding.Stop)
	f.mustSay(t, "Widen the spout to")
	if r.Spout.DiameterMM != 3.4 || r.WidenMM != r.Pour.WidenMM || !(r.WidenMM > 3.4) || r.Quick != nil || r.Seconds != nil {
		t.Errorf("%+v", r)
	}
	for s, want := range map[float64]string{1.001: Passes, 0.98: Doubtful} {
		if got := Judge(pinhole(m, s*r.WidenMM)).Pour.Verdict; got != want {
			t.Errorf("%g of %.1f mm: %s", s, r.WidenMM, got)
		}
	}
	all := Advise(pinhole(m, 3.4), nil)
	if all[0].Verdict != WillNot || *all[0].Quick || *all[0].Seconds != *r.Pour.TakesS {
		t.Errorf("as planned: %+v", all[0])
	}
	a := ofKind(t, all, Widen)
	if a.Verdict != Passes || !strings.Contains(a.Text, "where it meets the part") {
		t.Errorf("%+v", a)
	}
}

// A bare tip lets nothing in, and what is poured at a rate is no matter of the spout:
// a large mold with a wide spout passes.
func TestPourEnds(t *testing.T) {
	r := Judge(pinhole(material(t, "foam"), 0))
	if r.Pour.Verdict != WillNot || r.Pour.TakesS != nil || !(r.Pour.WidenMM > 5) {
		t.Errorf("a bare tip: %+v", r.Pour)
	}
	only(t, r.Findings, "The foam will not get in through the spout, which is a bare tip").mustBe(t, finding.Stop)
	in := pinhole(material(t, "foam"), 60)
	in.Spout, in.All[0].VolumeMM3 = in.Spout[:1], 2e7
	if r := Judge(in); r.Pour.Verdict != Passes || r.Pour.TakesS.Likely < 2e7*0.1/pourMM3S {
		t.Errorf("20 litres through 60 mm: %+v", r.Pour)
	}
	m := material(t, "foam")
	m.WorkingS = 0
	r = Judge(pinhole(m, 3))
	only(t, r.Findings, "Foam has to get in through the spout, 3.0 mm wide at its narrowest, and tends to close up in passages under 12.5 mm").mustBe(t, finding.Warn)
	if r.Pour != nil {
		t.Errorf("no cream time: %+v", r)
	}
	if r := Judge(pinhole(m, 12.6)); len(r.Findings) != 0 {
		t.Errorf("no cream time, a wide spout: %+v", r)
	}
}

// A spout that the liquid is quick through is in doubt all the same where it is under
// half the least spout of this foam, 25 mm: in finding, verdict and way as planned. The
// other ways have their times, which are the spout's where no neck is behind it.
func TestPourThroughANarrowThroat(t *testing.T) {
	m := material(t, "foam")
	for d, want := range map[float64]string{9.5: Doubtful, 12.4: Doubtful, 12.6: Passes} {
		r := Judge(pinhole(m, d))
		all := Advise(pinhole(m, d), nil)
		if p := r.Pour; p.Verdict != want || all[0].Verdict != want || (want == Passes) != (len(r.Findings) == 0) || p.TakesS.Likely > p.AllowedS || *all[0].Seconds != *p.TakesS {
			t.Errorf("%g mm: %+v, as planned %+v, %+v", d, p, all[0], r.Findings)
		}
		if want == Passes {
			continue
		}
		f := only(t, r.Findings, "The foam may not get in through the spout")
		f.mustSay(t, "Widen the spout to 13 mm")
		if !strings.Contains(f.Text, "narrowest: it tends to close up in passages under 12.5 mm; as a liquid") {
			t.Errorf("%q", f.Text)
		}
		near(t, "widen", r.WidenMM, 12.5, 1e-6)
		if a := ofKind(t, all, Widen); a.Seconds == nil || a.Seconds.Likely >= r.Pour.TakesS.Likely || a.Verdict != Passes {
			t.Errorf("%g mm, widened: %+v", d, a)
		}
		if a := ofKind(t, all, LaidIn); !strings.Contains(a.Text, "before it creams after 45 s: no narrow place") {
			t.Errorf("%+v", a)
		}
	}
}
