package hold_test

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"

	"pourwright/analysis/hold"
	"pourwright/lawtest"
	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

// thing draws a turned pattern that stands on the board, off the axis.
func thing(t *rapid.T) *mesh.Solid {
	profile := []r2.Vec{{}}
	z := 0.0
	for k := range rapid.IntRange(2, 7).Draw(t, "rings") {
		profile = append(profile, r2.Vec{X: rapid.Float64Range(3, 60).Draw(t, "radius"), Y: z})
		if k > 0 || rapid.Bool().Draw(t, "up") {
			z += rapid.Float64Range(1, 40).Draw(t, "rise")
		}
	}
	profile = append(profile, r2.Vec{Y: z + 1})
	m := meshtest.Lathe(profile, rapid.IntRange(3, 24).Draw(t, "sides"))
	m = meshtest.Moved(m, r3.Vec{X: rapid.Float64Range(-30, 30).Draw(t, "dx"), Y: rapid.Float64Range(-30, 30).Draw(t, "dy")})
	s, _, err := mesh.NewSolid(m)
	if err != nil {
		t.Skip("not a solid")
	}
	return s
}

func drawn(t *rapid.T) hold.Input {
	s := thing(t)
	top := s.Bounds().Max.Z
	return hold.Input{
		Solid: s, Contact: hold.Touch(s.Mesh, hold.ContactHeightMM), Mass: hold.UnknownMass(s.Measure().VolumeMM3),
		DensityGPerCM3: hold.Range{Low: 1.08, Likely: 1.15, High: 1.25}, ViscosityPaS: 20,
		LevelMM:  top + rapid.Float64Range(1, 60).Draw(t, "cover"),
		InsideMM: [2]float64{260, 260}, Kinds: kinds(), Walls: hold.RectangleWalls(260, 260, 12),
		RubberMM3: 1e6,
	}
}

// A leak never lifts less than a good seal, and the sweep finds no less than
// any level of it, the full one among them.
func TestLawLeakLiftsMore(t *testing.T) {
	lawtest.Check(t, func(t *rapid.T) {
		in := drawn(t)
		r := ask2(t, in)
		u := r.Uplift
		for _, c := range u.Curve {
			slack := 1e-9 * (1 + math.Abs(c.LeakingN))
			if c.SealedN > c.LeakingN+slack || c.SealedN > u.SealedN.Likely+slack || c.LeakingN > u.LeakingN.Likely+slack {
				t.Fatalf("%+v of %+v", c, u)
			}
		}
		if u.SealedFullN.Likely > u.SealedN.Likely+1e-9 || r.Tip.LeakingNMM < r.Tip.SealedNMM-1e-6 && len(in.Contact.Hull) > 2 && inside(in) {
			t.Fatalf("uplift %+v, tip %+v", u, r.Tip)
		}
	})
}

// inside tells whether the patch's centre is inside all edges, as it always is
// for convex patches.
func inside(in hold.Input) bool { return in.Contact.AreaMM2 > 0 }

// A heavier pattern is never lifted more, and never needs more glue against
// lift alone; denser rubber never lifts less.
func TestLawHeavierNeverLiftsMore(t *testing.T) {
	lawtest.Check(t, func(t *rapid.T) {
		in := drawn(t)
		in.Mass = hold.Weighed(rapid.Float64Range(0, 3000).Draw(t, "mass"))
		r := ask2(t, in)
		more := in
		more.Mass = hold.Weighed(in.Mass.LowG + rapid.Float64Range(0, 3000).Draw(t, "more"))
		if r2 := ask2(t, more); r2.Uplift.NetN > r.Uplift.NetN || r2.Uplift.NetSealedN > r.Uplift.NetSealedN {
			t.Fatalf("%v g: %+v, %v g: %+v", in.Mass.LowG, r.Uplift, more.Mass.LowG, r2.Uplift)
		}
		denser := in
		denser.DensityGPerCM3.High += rapid.Float64Range(0, 1).Draw(t, "denser")
		if r2 := ask2(t, denser); r2.Uplift.NetN < r.Uplift.NetN {
			t.Fatalf("denser rubber lifts less: %v, %v", r2.Uplift.NetN, r.Uplift.NetN)
		}
	})
}

// Turning all about the vertical changes no force and no moment.
func TestLawTurnAboutVertical(t *testing.T) {
	lawtest.Check(t, func(t *rapid.T) {
		in := drawn(t)
		in.ViscosityPaS = 1e-6 // the head is worked out along x and y
		in.Walls = nil
		sin, cos := math.Sincos(rapid.Float64Range(-4, 4).Draw(t, "turn"))
		turned := in
		turned.Solid = in.Solid.Posed(mesh.Pose{Rows: [3]r3.Vec{{X: cos, Y: -sin}, {X: sin, Y: cos}, {Z: 1}}})
		turned.Contact = hold.Touch(turned.Solid.Mesh, hold.ContactHeightMM)
		a, b := ask2(t, in), ask2(t, turned)
		for name, v := range map[string][2]float64{
			"sealed": {a.Uplift.SealedN.Likely, b.Uplift.SealedN.Likely}, "leaking": {a.Uplift.LeakingN.Likely, b.Uplift.LeakingN.Likely},
			"tip": {a.Tip.LeakingNMM, b.Tip.LeakingNMM}, "sealed tip": {a.Tip.SealedNMM, b.Tip.SealedNMM},
			"tilt": {a.Tip.StandDeg, b.Tip.StandDeg}, "patch": {a.PatchMM2, b.PatchMM2},
		} {
			if math.Abs(v[0]-v[1]) > 1e-6*(1+math.Abs(v[0])) {
				t.Fatalf("%s: %v, turned %v", name, v[0], v[1])
			}
		}
	})
}

// What the sweep sums up under a level is what the profile and the mass
// properties of the solid say.
func TestLawMomentsMatchMeasure(t *testing.T) {
	lawtest.Check(t, func(t *rapid.T) {
		in := drawn(t)
		in.Contact = hold.Contact{Hull: []r2.Vec{{}}} // a tip at the origin that carries nothing
		in.Mass = hold.Weighed(0)
		in.DensityGPerCM3 = hold.Range{Low: 1, Likely: 1, High: 1}
		m := in.Solid.Measure()
		// About a bare tip the moment is that of the whole volume at its centroid
		// when the level is at the top or above.
		whole := 1e-6 * hold.Gravity * m.VolumeMM3 * math.Hypot(m.Centroid.X, m.Centroid.Y)
		if got := ask2(t, in).Tip.LeakingNMM; got < whole*(1-1e-9)-1e-9 {
			t.Fatalf("greatest moment %v, at full %v", got, whole)
		}
		p := mesh.NewProfile(in.Solid, r3.Vec{Z: 1})
		for _, c := range ask2(t, in).Uplift.Curve {
			if want := 1e-6 * hold.Gravity * p.Below(c.LevelMM); math.Abs(c.LeakingN-want) > 1e-12+1e-9*want {
				t.Fatalf("at %v: %v, want %v", c.LevelMM, c.LeakingN, want)
			}
		}
	})
}

func ask2(t *rapid.T, in hold.Input) hold.Result {
	r, err := hold.Hold(t.Context(), in)
	if err != nil {
		t.Fatal(err)
	}
	return r
}
