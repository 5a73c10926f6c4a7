package cast

import (
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis/shelf"
)

// kinds are the kinds of advice, in their order.
func kinds(all []Advice) string {
	var out []string
	for _, a := range all {
		out = append(out, a.Kind)
	}
	return strings.Join(out, ", ")
}

func ofKind(t *testing.T, all []Advice, kind string) Advice {
	t.Helper()
	for _, a := range all {
		if a.Kind == kind {
			return a
		}
	}
	t.Fatalf("no advice to %s among %s", kind, kinds(all))
	return Advice{}
}

// Widening what is too slow to what is told makes it quick enough, in whole mm and
// not much more than that; the time told is that of the wider mold.
func TestAdviseWiden(t *testing.T) {
	m := thick(material(t, "resin"), 5, 1200)
	in := twoNecks(m, 7, 6)
	in.Spout = []Channel{round(9, 30)}
	all := Advise(in, nil)
	if *all[0].Quick || all[0].Kind != AsPlanned || *all[0].Seconds != *Judge(in).Seconds {
		t.Fatalf("as planned: %+v", all[0])
	}
	a := ofKind(t, all, Widen)
	if !*a.Quick || !strings.HasPrefix(a.Text, "Widen the spout to ") || !strings.Contains(a.Text, "neck 1 until it is ") {
		t.Errorf("%+v", a)
	}
	w := in.widened().Input
	r := Judge(w)
	near(t, "its time", a.Seconds.Likely, r.Seconds.Likely, 1e-12)
	narrower := w
	narrower.Necks = append([]Neck{}, w.Necks...)
	narrower.Necks[0].DiameterMM -= 1.5
	narrower.Necks[0].AreaMM2 *= (w.Necks[0].DiameterMM - 1.5) / w.Necks[0].DiameterMM * (w.Necks[0].DiameterMM - 1.5) / w.Necks[0].DiameterMM
	if Judge(narrower).Necks[0].Quick {
		t.Errorf("neck 1 of %.2f mm is wide enough, %.0f mm is told", narrower.Necks[0].DiameterMM, w.Necks[0].DiameterMM)
	}
}

// A hand's 3.5 kPa is the weight of 3500/(1.05·9.80665) = 340 mm of a resin of
// 1.05 g/cm³: squeezed, a hole 100 mm deep runs as under 440 mm of it and the brim.
func TestAdviseSqueeze(t *testing.T) {
	m := thick(material(t, "resin"), 20, 600)
	m.DensityGPerCM3, m.LiquidGPerCM3 = exactly(1.05), exactly(1.05)
	in := Input{Material: m, Spout: []Channel{round(12, 40)}, SpoutEnds: 100, All: []Layer{{150, 4e5}}}
	a := ofKind(t, Advise(in, nil), Squeeze)
	head := 3500 / (1.05 * 9.80665)
	near(t, "time", a.Seconds.Likely, 4e5/round(12, 40).Flow(100+brimMM+head, 1.05, 20), 1e-9)
	near(t, "at worst", a.Seconds.High, 4e5/round(12, 40).Flow(100+brimMM+2000/(1.05*9.80665), 1.05, 40), 1e-9)
	if !strings.Contains(a.Text, "340 mm taller") {
		t.Error(a.Text)
	}
}

// Where no more can be poured, two cups halve the time; and a material that is worked
// for as long as told is quick enough, a shorter one is not.
func TestAdviseOtherPours(t *testing.T) {
	m := thick(material(t, "resin"), 0.2, 300)
	in := Input{Material: m, Spout: []Channel{round(40, 5)}, SpoutEnds: 50, All: []Layer{{150, 5e6}}}
	all := Advise(in, nil)
	near(t, "one cup", all[0].Seconds.Likely, 5e6/pourMM3S, 1e-9)
	near(t, "two cups", ofKind(t, all, MoreCups).Seconds.Likely, 5e6/pourMM3S/2, 1e-9)
	slow := ofKind(t, all, Slower)
	if !*slow.Quick || *all[0].Quick || !strings.Contains(slow.Text, "for 10 min or longer") {
		t.Errorf("%+v", slow)
	}
	in.Material.WorkingS = 599
	if *Judge(in).Quick {
		t.Error("599 s are enough")
	}
}

// Pouring into both sides of a neck takes the neck away; only where there is room for
// a bore.
func TestAdviseSecondSpout(t *testing.T) {
	in := twoNecks(thick(material(t, "resin"), 5, 1200), 4, 12)
	for _, a := range Advise(in, nil) {
		if a.Kind == SecondSpout {
			t.Errorf("without a bore: %+v", a)
		}
	}
	in.Bores = []*Bore{{From: r3.Vec{X: 70}, DiameterMM: 16, LengthMM: 46, VolumeMM3: 9240}, nil}
	a := ofKind(t, Advise(in, nil), SecondSpout)
	if !strings.Contains(a.Text, "16 mm wide and 46 mm long") || !strings.Contains(a.Text, "10 mL more") || *a.At != in.Bores[0].From {
		t.Errorf("%+v", a)
	}
	if !strings.Contains(Judge(in).Findings[0].Action, "a bore 46 mm long") {
		t.Errorf("%+v", Judge(in).Findings[0])
	}
	if !strings.Contains(a.Text, "beyond neck 1") || !(a.Seconds.Likely < Advise(in, nil)[0].Seconds.Likely/5) {
		t.Errorf("%+v", a)
	}
	in.Necks = nil
	in.Behind = nil
	for _, a := range Advise(in, nil) {
		if a.Kind == SecondSpout {
			t.Errorf("beyond no neck: %+v", a)
		}
	}
}

// Of other ends only the quickest is told, and only if it is quicker; a tilt that is
// wanted is told anyway, slower or not.
func TestAdviseOthers(t *testing.T) {
	in := twoNecks(thick(material(t, "resin"), 5, 1200), 7, 6)
	end := func(text string, d float64) Otherwise {
		w := in
		w.Necks = []Neck{{At: r3.Vec{Z: 150}, Along: r3.Vec{Z: 1}, DiameterMM: d, LengthMM: 20, BehindMM3: 3e5, After: -1}}
		w.Behind = in.Behind[:1]
		return Otherwise{Kind: OtherEnd, Text: text, Input: w}
	}
	a := ofKind(t, Advise(in, []Otherwise{end("narrow", 3), end("wide", 15), end("middling", 9)}), OtherEnd)
	if a.Text != "wide" {
		t.Errorf("%+v", a)
	}
	if all := Advise(in, []Otherwise{end("narrow", 3)}); strings.Contains(kinds(all), OtherEnd) {
		t.Errorf("a slower end: %s", kinds(all))
	}
	tilt := end("tilted", 3)
	tilt.Kind, tilt.Wanted = Tilted, true
	slow := ofKind(t, Advise(in, []Otherwise{tilt}), Tilted)
	if !(slow.Seconds.Likely > Advise(in, nil)[0].Seconds.Likely) || *slow.Quick {
		t.Errorf("%+v", slow)
	}
}

// Foam: what passes is left alone; what does not may be widened, given a spout on the
// other side, or laid in.
func TestAdviseFoam(t *testing.T) {
	if got := kinds(Advise(sideRoom(material(t, "foam"), 25, 5, 50), nil)); got != AsPlanned {
		t.Errorf("a wide neck: %s", got)
	}
	in := sideRoom(material(t, "foam"), 6, 20, 50)
	in.Bores = []*Bore{{DiameterMM: 25, LengthMM: 40}}
	all := Advise(in, nil)
	if got := kinds(all); got != "as planned, widen, second spout, lay in" {
		t.Fatal(got)
	}
	if all[0].Verdict == Passes || all[1].Verdict != Passes || all[2].Verdict != Passes || all[3].Seconds != nil {
		t.Errorf("%+v", all)
	}
	m := material(t, "foam")
	m.RiseS = shelf.Range{}
	if all := Advise(sideRoom(m, 6, 20, 50), nil); all != nil {
		t.Errorf("of a rise that is not known: %+v", all)
	}
}

// A time on both sides of what is allowed is told apart from one that surely is in
// time, and a way that surely is in time is then worth a word.
func TestAdviseOpen(t *testing.T) {
	in := twoNecks(thick(material(t, "resin"), 1, 1200), 60, 60)
	in.Spout = []Channel{round(20, 0)}
	took := Judge(in).Seconds
	in.Material.WorkingS = 1.5 * took.Likely * margin / workingShare // High is twice the likely time
	all := Advise(in, nil)
	if a := all[0]; !a.Open || !*a.Quick || !(a.Seconds.High > 1.2*a.Seconds.Likely) {
		t.Fatalf("%+v", a)
	}
	if a := ofKind(t, all, Squeeze); a.Open || !*a.Quick {
		t.Errorf("%+v", a)
	}
	in.Material.WorkingS *= 2
	if all := Advise(in, nil); all[0].Open || len(all) != 1 {
		t.Errorf("surely in time: %+v", all)
	}
}

// A wider way is never slower, nor is a squeeze, whatever the viscosity.
func TestAdviceLaws(t *testing.T) {
	for _, viscosity := range []float64{0.2, 2, 20, 200} {
		for _, d := range []float64{4, 8, 16} {
			in := twoNecks(thick(material(t, "resin"), viscosity, 1200), d, d)
			wide := in.as(1.3*in.Spout[0].DiameterMM, []float64{1.5 * d, 1.2 * d}, 1)
			for _, w := range []Otherwise{wide, in.squeezed()} {
				was, now := Judge(in).Seconds, Judge(w.Input).Seconds
				if was == nil || now == nil {
					continue // too fast for the model
				}
				if now.Low > was.Low || now.Likely > was.Likely || now.High > was.High {
					t.Errorf("%g Pa·s, %g mm, %s: %+v after %+v", viscosity, d, w.Kind, now, was)
				}
			}
		}
	}
}
