package cast

import (
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis/finding"
	"pourwright/analysis/shelf"
	"pourwright/mesh/meshtest"
)

func material(t *testing.T, key string) shelf.Casting {
	t.Helper()
	s, err := shelf.Read("no changes", strings.NewReader(""))
	if err != nil {
		t.Fatal(err)
	}
	c, err := s.Casting(key)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// twoNecks is a litre of which 300 mL are behind a neck, and 100 mL of these
// behind another.
func twoNecks(m shelf.Casting, d1, d2 float64) Input {
	neck := func(d, z, behind float64, after int) Neck {
		return Neck{At: r3.Vec{Z: z}, Along: r3.Vec{Z: 1}, DiameterMM: d, AreaMM2: math.Pi / 4 * d * d, PerimeterMM: math.Pi * d,
			LengthMM: 20, BehindMM3: behind, After: after}
	}
	return Input{
		Material: m, Spout: []Channel{round(20, 0)}, All: []Layer{{100, 7e5}, {200, 3e5}}, VoxelMM: 1,
		Necks:  []Neck{neck(d1, 150, 3e5, -1), neck(d2, 220, 1e5, 0)},
		Behind: [][]Layer{{{200, 3e5}}, {{250, 1e5}}},
	}
}

func thick(m shelf.Casting, viscosity, workingS float64) shelf.Casting {
	m.ViscosityPaS = shelf.Range{Low: viscosity / 2, Likely: viscosity, High: 2 * viscosity}
	m.WorkingS = workingS
	return m
}

func TestJudgeQuick(t *testing.T) {
	r := Judge(twoNecks(material(t, "resin"), 12, 12))
	if len(r.Findings) != 0 || r.Quick == nil || !*r.Quick || r.Seconds == nil {
		t.Fatalf("thin resin through wide necks: %+v", r)
	}
	// A pour of 50 mL a second.
	if r.Seconds.Likely < 20 {
		t.Errorf("a litre in %g s", r.Seconds.Likely)
	}
	near(t, "allowed", r.AllowedS, 5*60/6., 1e-12)
}

// What is behind the first neck takes as long as through the slower of the two.
func TestJudgeNecksInSeries(t *testing.T) {
	m := thick(material(t, "resin"), 5, 3600)
	r := Judge(twoNecks(m, 10, 6))
	l := Liquid{DensityGPerCM3: m.DensityGPerCM3.Likely, ViscosityPaS: m.ViscosityPaS, WorkingS: m.WorkingS}
	first, second := Fill(round(10, 20), 160, []Layer{{200, 3e5}}, l), Fill(round(6, 20), 230, []Layer{{250, 1e5}}, l)
	near(t, "first", r.Necks[0].Seconds.Likely, first.Seconds.Likely, 0.01)
	near(t, "second", r.Necks[1].Seconds.Likely, second.Seconds.Likely, 0.01)
	want := max(r.Filling.Seconds.Likely, r.Necks[0].Seconds.Likely, r.Necks[1].Seconds.Likely)
	near(t, "sum", r.Seconds.Likely, want, 1e-12)
	if !(r.Seconds.Low < r.Seconds.Likely && r.Seconds.Likely < r.Seconds.High) {
		t.Errorf("range %+v", r.Seconds)
	}
	// Side by side they are taken one after the other.
	in := twoNecks(m, 4, 3)
	in.Necks[1].After = -1
	r = Judge(in)
	near(t, "side by side", r.Seconds.Likely, r.Necks[0].Seconds.Likely+r.Necks[1].Seconds.Likely, 1e-12)
}

func TestJudgeSlow(t *testing.T) {
	m := thick(material(t, "resin"), 10, 1800)
	in := twoNecks(m, 8, 40)
	r := Judge(in)
	if *r.Quick || r.Necks[0].Quick {
		t.Fatalf("%+v", r)
	}
	f := only(t, r.Findings, "Behind this neck, 8.0 mm wide, 300 mL")
	if f.Level != finding.Warn && f.Level != finding.Stop || *f.AtMM != [3]float64{0, 0, 150} || !strings.Contains(f.Action, "Pa·s") {
		t.Errorf("%+v", f)
	}
	// The material named would do.
	thin := thick(m, 10*r.AllowedS/r.Necks[0].Seconds.Likely, 1800)
	if again := Judge(twoNecks(thin, 8, 40)); !(again.Necks[0].Seconds.Likely <= again.AllowedS*(1+1e-9)) {
		t.Errorf("with %g Pa·s: %+v", thin.ViscosityPaS.Likely, again.Necks[0])
	}
	// With most of it behind the neck, the other end is better.
	in.Necks[0].BehindMM3 = 8e5
	only(t, Judge(in).Findings, "Behind this neck").mustSay(t, "Pour from the other end, which leaves 200 mL behind the neck instead of 800 mL")
	// Much too slow: it sets on the way.
	only(t, Judge(twoNecks(thick(m, 60, 1800), 8, 40)).Findings[1:], "Behind this neck").mustBe(t, finding.Stop)
}

func TestJudgeSpout(t *testing.T) {
	in := twoNecks(thick(material(t, "resin"), 20, 1800), 60, 60)
	in.Spout = []Channel{round(9, 0), round(20, 20)}
	r := Judge(in)
	if r.Spout != in.Spout[0] || r.WidenMM <= 9 {
		t.Fatalf("spout %+v, widen to %g", r.Spout, r.WidenMM)
	}
	only(t, r.Findings, "Through the spout, 9.0 mm wide").mustSay(t, "Widen the spout to")
	in.Spout[0].DiameterMM, in.Spout[1].DiameterMM = r.WidenMM, r.WidenMM
	if again := Judge(in); !again.Filling.Quick {
		t.Errorf("widened to %g mm it still takes %g s", r.WidenMM, again.Filling.Seconds.Likely)
	}
	in.Spout[0].DiameterMM = 0
	if bare := Judge(in); bare.Filling != nil || bare.Seconds != nil || bare.Spout.DiameterMM != 0 {
		t.Errorf("a bare tip: %+v", bare)
	}
}

func TestJudgeUnknown(t *testing.T) {
	m := material(t, "resin")
	m.ViscosityPaS = shelf.Range{}
	if r := Judge(twoNecks(m, 3, 3)); r.Seconds != nil || r.Quick != nil || r.Filling != nil || r.AllowedS != 0 || r.Necks[0] != nil {
		t.Errorf("no viscosity: %+v", r)
	}
	in := twoNecks(material(t, "resin"), 12, 12)
	in.UnseenMM3 = 5000
	only(t, Judge(in).Findings, "No way from the spout to 5.0 mL")
	in.OneBody = true
	only(t, Judge(in).Findings, "5.0 mL of the part lie behind walls").mustBe(t, finding.Note)
	fast := Judge(twoNecks(thick(material(t, "resin"), 0.001, 300), 12, 12))
	if fast.Seconds != nil || fast.Necks[0].Creeping {
		t.Errorf("thin as water: %+v", fast)
	}
}

type told finding.Finding

func only(t *testing.T, fs []finding.Finding, start string) told {
	t.Helper()
	if len(fs) != 1 || !strings.HasPrefix(fs[0].Text, start) || fs[0].Question != "cast" || fs[0].Action == "" {
		t.Fatalf("findings %+v, want one: %s", fs, start)
	}
	return told(fs[0])
}

func (f told) mustSay(t *testing.T, part string) {
	t.Helper()
	if !strings.Contains(f.Action, part) {
		t.Errorf("%q does not say %q", f.Action, part)
	}
}

func (f told) mustBe(t *testing.T, l finding.Level) {
	t.Helper()
	if f.Level != l {
		t.Errorf("level %s, want %s: %s", f.Level, l, f.Text)
	}
}

// Layers hold all volume, at its depth: half of a box is above its middle, whatever
// the direction.
func TestLayers(t *testing.T) {
	p := passagesOf(t, meshtest.Box(40, 60, 100), 80)
	for _, c := range []struct {
		down  r3.Vec
		depth float64
	}{{r3.Vec{Z: 1}, 100}, {r3.Vec{Z: -1}, 100}, {r3.Vec{Y: 1}, 60}, {r3.Vec{X: 0.6, Y: 0.8}, 24 + 48}} {
		sum, moment, low := 0.0, 0.0, math.Inf(1)
		for _, l := range p.Depths(c.down, 7).Layers(nil) {
			sum += l.VolumeMM3
			moment += l.VolumeMM3 * l.DepthMM
			low = min(low, l.DepthMM)
		}
		near(t, "volume", sum, 240_000, 1e-9)
		middle := r3.Dot(c.down, r3.Vec{X: 20, Y: 30, Z: 50}) + 7
		if math.Abs(moment/sum-middle) > 0.7 || math.Abs(low-(middle-c.depth/2)) > 2.5 {
			t.Errorf("down %v: middle at %g, want %g; from %g", c.down, moment/sum, middle, low)
		}
	}
}

// A stick under a ball is a throat of its length; a wide foot is none.
func TestThroat(t *testing.T) {
	stick := turned(-60, 25, func(z float64) float64 {
		if z < 0 {
			return max(4, ballAt(z, 0, 25))
		}
		return ballAt(z, 0, 25)
	})
	turn := pose(40, 20, 10, r3.Vec{X: 3})
	m := stick.Posed(turn)
	p := passagesOf(t, m, 80)
	rough, _ := p.RoughThroat(turn.Point(r3.Vec{Z: -60}), turn.Dir(r3.Vec{Z: 1}), 8)
	l, end := p.Throat(m, turn.Point(r3.Vec{Z: -60}), turn.Dir(r3.Vec{Z: 1}), 8)
	near(t, "on the voxels", rough, l, 0.1)
	// In the ball the rim of the stick is 5 mm away after another 3.
	near(t, "throat", l, 60-math.Sqrt(25*25-16)+3, 0.03)
	if d := r3.Norm(r3.Sub(end, turn.Point(r3.Vec{Z: l - 60}))); d > 0.2 {
		t.Errorf("its end is %g mm off", d)
	}
	// A wide one is told on the field, to a voxel or two: it ends where the rim of the
	// stick is 10 mm away.
	wide := turned(-60, 25, func(z float64) float64 {
		if z < 0 {
			return max(8, ballAt(z, 0, 25))
		}
		return ballAt(z, 0, 25)
	})
	p = passagesOf(t, wide, 64)
	if l, _ := p.Throat(wide, r3.Vec{Z: -60}, r3.Vec{Z: 1}, 16); math.Abs(l-(60-math.Sqrt(25*25-64)+6)) > 2*p.field.VoxelMM || !(16 > wideVoxels*p.field.VoxelMM) {
		t.Errorf("throat of a wide stick: %g mm, voxels of %g", l, p.field.VoxelMM)
	}
	box := meshtest.Box(40, 40, 40)
	if l, _ := passagesOf(t, box, 40).Throat(box, r3.Vec{X: 20, Y: 20}, r3.Vec{Z: 1}, 10); l > 8 {
		t.Errorf("in a box: %g mm", l)
	}
}
