package hold_test

import (
	"context"
	"errors"
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis/hold"
	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

// Forces at the full level, sealed and leaking, of shapes on the board in
// rubber of 1.13 g/cm³, N. Source: F = ρ·g·(V − h·A) by Archimedes' principle
// with the volumes of elementary geometry; worked to six digits by a script
// apart from this program.
func TestForceAtFull(t *testing.T) {
	const g = 1.13e-6 * hold.Gravity // N/mm³
	for _, c := range []struct {
		name            string
		mesh            *mesh.Mesh
		level           float64
		sealed, leaking float64
		tolerance       float64
	}{
		{"cylinder, 20 mm over it", meshtest.Cylinder(sides, 30, 100), 120, -0.62664, 3.13322, 8e-6},
		{"cylinder, level at its top", meshtest.Cylinder(sides, 30, 100), 100, 0, 3.13322, 8e-6},
		{"cylinder, level halfway", meshtest.Cylinder(sides, 30, 100), 50, 0, g * math.Pi * 900 * 50, 8e-6},
		{"cone, level at its apex", meshtest.Cone(sides, 50, 100), 100, -5.80227, 2.90113, 1e-5},
		{"hemisphere, level at its pole", dome(50), 50, -1.45057, 2.90113, 1e-4},
		{"frustum that widens", meshtest.Frustum(sides, 20, 40, 100), 100, 1.85673, 3.24927, 8e-6},
		{"mushroom, 60", mushroom(), 60, 0, 0.20888, 8e-6},
		{"mushroom, 70", mushroom(), 70, 0.83553, 1.07922, 8e-6},
		{"mushroom, 80", mushroom(), 80, 1.67105, 1.94956, 8e-6},
		{"mushroom, 100", mushroom(), 100, 1.60143, 1.94956, 8e-6},
		{"ball on a point", ball(50), 100, g * 4 / 3 * math.Pi * 125000, g * 4 / 3 * math.Pi * 125000, 3e-4},
	} {
		r := ask(t, input(solidOf(t, c.mesh), c.level))
		near(t, c.name+", sealed", r.Uplift.SealedFullN.Likely, c.sealed, c.tolerance)
		last := r.Uplift.Curve[len(r.Uplift.Curve)-1]
		near(t, c.name+", sealed, curve", last.SealedN, c.sealed, c.tolerance)
		near(t, c.name+", leaking", last.LeakingN, c.leaking, c.tolerance)
		near(t, c.name+", leaking, greatest", r.Uplift.LeakingN.Likely, c.leaking, c.tolerance)
	}
}

// The mushroom's cap is lifted most when the level is at its top: more rubber
// above it presses on the glued stem.
func TestSweepFindsTheWorstLevel(t *testing.T) {
	r := ask(t, input(solidOf(t, mushroom()), 103.3))
	near(t, "sealed", r.Uplift.SealedN.Likely, 1.67105, 8e-6)
	near(t, "its level", r.Uplift.SealedAtMM, 80, 1e-6)
	near(t, "leaking", r.Uplift.LeakingN.Likely, 1.94956, 8e-6)
	near(t, "its level", r.Uplift.LeakingAtMM, 80, 1e-9)
	r = ask(t, input(solidOf(t, meshtest.Cylinder(sides, 30, 100)), 120))
	near(t, "sealed cylinder", r.Uplift.SealedN.Likely, 0, 1e-9)
}

// The gallows tips about x = −20 mm with 0.107795 N·m sealed and 0.143256 N·m
// leaking at level 100, net lift 0.83160 N sealed. Source: levers of the two
// boxes' weights, worked apart from this program.
func TestGallows(t *testing.T) {
	s := solidOf(t, gallows())
	in := input(s, 100)
	in.Mass = hold.Weighed(0.3 * 320)
	r := ask(t, in)
	near(t, "volume", s.Measure().VolumeMM3, 320000, 1e-6)
	near(t, "uplift", r.Uplift.LeakingN.Likely, 3.54608, 6e-6)
	near(t, "patch", r.Uplift.LeakingN.Likely-r.Uplift.SealedFullN.Likely, 1.77304, 6e-6)
	near(t, "net lift, sealed", r.Uplift.NetSealedN, 0.83160, 6e-6)
	near(t, "moment, sealed", r.Tip.SealedNMM, 107.795, 6e-4)
	near(t, "moment, leaking", r.Tip.LeakingNMM, 143.256, 6e-4)
	for _, p := range r.Tip.EdgeMM {
		near(t, "edge", p.X, -20, 1e-6)
	}
	near(t, "level", r.Tip.LeakingAtMM, 100, 1e-9)
}

// Least tilt that topples. Source: atan(distance inside the edge / height of
// the centroid), exact for these solids: cube 45°, cylinder d 60 h 200 16.6992°,
// cone r 50 h 150 53.1301°.
func TestStandDeg(t *testing.T) {
	for _, c := range []struct {
		name string
		mesh *mesh.Mesh
		want float64
	}{
		{"cube", meshtest.Box(50, 50, 50), 45},
		{"cylinder", meshtest.Cylinder(sides, 30, 200), 16.6992},
		{"cone", meshtest.Cone(sides, 50, 150), 53.1301},
	} {
		near(t, c.name, ask(t, input(solidOf(t, c.mesh), 210)).Tip.StandDeg, c.want, 1e-4)
	}
	// Its centroid is 15 mm outside the foot and 65 mm up: it falls by itself.
	near(t, "gallows", ask(t, input(solidOf(t, gallows()), 110)).Tip.StandDeg, -math.Atan(15.0/65)*180/math.Pi, 1e-9)
}

// Where the head is not known to level out, rubber stands on one side only:
// as on a wall 300×250 mm, 103.889 N at a third of the height, base moment
// 8.6574 N·m. Source: ½·ρ·g·a·h² and ρ·g·a·h³/6, worked apart from this program.
func TestShoveIsAtMostTheWholeHead(t *testing.T) {
	m := meshtest.Moved(meshtest.Box(300, 300, 250), r3.Vec{X: -150, Y: -150})
	in := input(solidOf(t, m), 270)
	r := ask(t, in)
	near(t, "push", r.Shove.HeadN, 103.889, 6e-4)
	near(t, "moment", r.Shove.MomentNMM-250*r.Shove.StreamN, 8657.4, 6e-2)
	near(t, "head", r.Shove.HeadMM, 250, 1e-9)
	// 1.13 g/cm³ × 50 mL/s falling 0.3 m arrive at 2.4257 m/s.
	near(t, "stream", r.Shove.StreamN, 1.13e-3*50*2.42570, 1e-6)
	// Thin rubber in wide gaps stands level: K = 24·μ·Q·L/(ρ·g·2·w³).
	in.ViscosityPaS = 1
	r = ask(t, in)
	k := 24 * 1 * 5e-5 * 0.3 / (1130 * hold.Gravity * 2 * math.Pow(0.05, 3)) // m²
	near(t, "thin rubber", r.Shove.HeadN, 0.5*1130*hold.Gravity*0.3*k, 1e-9)
}

// On a pyramid the push is ∫(h − z)·b(z) dz of its outline, at most: with all of
// the head and a base b, b·h²/3 and b·h³/12; its slices are stairs around it.
func TestShoveFollowsTheOutline(t *testing.T) {
	const b, h = 120.0, 90.0
	in := input(solidOf(t, meshtest.Split(meshtest.Split(meshtest.Split(meshtest.Split(meshtest.Split(meshtest.Cone(4, b/2, h))))))), 100)
	r := ask(t, in)
	want := 1.13e-6 * hold.Gravity * b * h * h / 3
	if r.Shove.HeadN < want || r.Shove.HeadN > 1.05*want {
		t.Errorf("push %v, want %v or little more", r.Shove.HeadN, want)
	}
	moment := r.Shove.MomentNMM - h*r.Shove.StreamN
	if want := 1.13e-6 * hold.Gravity * b * h * h * h / 12; moment < want || moment > 1.1*want {
		t.Errorf("moment %v, want %v or little more", moment, want)
	}
	// What flows past a wedge meets little more than its widest slices: a box of
	// the same size would hold back more.
	in.ViscosityPaS = 20
	box := input(solidOf(t, meshtest.Moved(meshtest.Box(b, b, h), r3.Vec{X: -b / 2, Y: -b / 2})), 100)
	box.ViscosityPaS = 20
	in.InsideMM, box.InsideMM = [2]float64{150, 150}, [2]float64{150, 150}
	if cone, box := ask(t, in).Shove, ask(t, box).Shove; cone.HeadMM >= 0.6*box.HeadMM {
		t.Errorf("head %v mm, of a box %v", cone.HeadMM, box.HeadMM)
	}
}

// A joint on a square bears its lift and moment with the stresses of the
// textbook: F/A + 6·M/a³. Source: section modulus a³/6 of a square.
func TestGlueAreaOfASquare(t *testing.T) {
	const a = 40.0
	m := meshtest.Moved(meshtest.Box(a, a, 100), r3.Vec{X: -a / 2, Y: -a / 2})
	in := input(solidOf(t, m), 110)
	in.ViscosityPaS = 1e-9 // the stream alone pushes
	in.Kinds = []hold.Kind{{Name: "paste", TensilePa: hold.Range{Low: 1e5, Likely: 2e5, High: 3e5}, ShearPa: hold.Range{Low: 1e5, Likely: 2e5, High: 3e5}}}
	r := ask(t, in)
	lift := 1.13e-6 * hold.Gravity * a * a * 100
	moment := r.Shove.StreamN * 100
	near(t, "moment", r.Shove.MomentNMM, moment, 1e-6)
	allowed := 0.1 / 3
	need := math.Sqrt(*r.Need[0].AreaMM2) // side of the square that just holds
	near(t, "stress there", lift/(need*need)+6*moment/(need*need*need), allowed, 1e-9)
	if want := need <= a; r.Need[0].Holds != want || (r.Held == 0) != want {
		t.Errorf("needs a side of %v mm: %+v, held %d", need, r.Need[0], r.Held)
	}
	in.Safety = 6
	if stronger := ask(t, in); *stronger.Need[0].AreaMM2 <= *r.Need[0].AreaMM2 {
		t.Error("twice the safety needs no more glue")
	}
}

// Posts and a stem displace rubber; the stem's foot is the patch.
func TestStemAndPosts(t *testing.T) {
	const g = 1.13e-6 * hold.Gravity
	m := meshtest.Moved(meshtest.Box(60, 40, 30), r3.Vec{X: -30, Y: -20, Z: 20})
	in := input(solidOf(t, m), 70)
	in.StemMM, in.Contact = 20, hold.Disc(r2.Vec{}, 16)
	foot := math.Pi * 64
	r := ask(t, in)
	near(t, "leaking", r.Uplift.LeakingN.Likely, g*(72000+20*foot), 1e-9)
	near(t, "sealed", r.Uplift.SealedFullN.Likely, g*(72000+20*foot-70*foot), 1e-9)
	near(t, "second moment", in.Contact.SecondMM4[0], math.Pi*4096/4, 1e-6)
	in.Posts = []hold.Post{{Foot: r3.Vec{X: 25, Y: 3}, Top: r3.Vec{X: 10, Y: 3, Z: 20}, DiameterMM: 4}}
	withPost := ask(t, in)
	near(t, "slanted post", withPost.Uplift.LeakingN.Likely-r.Uplift.LeakingN.Likely, g*math.Pi*4*25, 1e-9)
	// Sealed, its foot carries a column of 5/4 of its cross-section.
	near(t, "its foot", withPost.Uplift.SealedFullN.Likely-r.Uplift.SealedFullN.Likely, g*math.Pi*4*(25-70*25.0/20), 1e-9)
}

func TestContactMoments(t *testing.T) {
	// A 50×30 mm tube of 40×20 mm inside, off the origin. Source: b·h³/12.
	outer, inner := meshtest.Box(50, 30, 40), meshtest.Box(40, 20, 60)
	for i, f := range inner.Faces {
		inner.Faces[i] = [3]int32{f[0], f[2], f[1]}
	}
	m := meshtest.Moved(meshtest.Together(outer, meshtest.Moved(inner, r3.Vec{X: 5, Y: 5, Z: -10})), r3.Vec{X: 100, Y: -200})
	c := hold.Touch(m, 0.5)
	near(t, "area", c.AreaMM2, 700, 1e-9)
	near(t, "x", c.Centre.X, 125, 1e-9)
	near(t, "y", c.Centre.Y, -185, 1e-9)
	near(t, "∫x²", c.SecondMM4[0], (30*50*50*50-20*40*40*40)/12.0, 1e-6)
	near(t, "∫y²", c.SecondMM4[2], (50*30*30*30-40*20*20*20)/12.0, 1e-6)
	near(t, "∫xy", c.SecondMM4[1], 0, 1e-6)
	if len(c.Hull) != 4 {
		t.Errorf("hull of %d corners", len(c.Hull))
	}
}

func TestBadInput(t *testing.T) {
	s := solidOf(t, meshtest.Box(10, 10, 10))
	for name, spoil := range map[string]func(*hold.Input){
		"no solid":      func(in *hold.Input) { in.Solid = nil },
		"no density":    func(in *hold.Input) { in.DensityGPerCM3 = hold.Range{} },
		"density falls": func(in *hold.Input) { in.DensityGPerCM3.High = 1 },
		"NaN level":     func(in *hold.Input) { in.LevelMM = math.NaN() },
		"mass below 0":  func(in *hold.Input) { in.Mass.LowG = -1 },
		"no width":      func(in *hold.Input) { in.InsideMM[1] = 0 },
		"no contact":    func(in *hold.Input) { in.Contact = hold.Contact{} },
		"weak kind":     func(in *hold.Input) { in.Kinds = []hold.Kind{{Name: "spit"}} },
		"detail":        func(in *hold.Input) { in.Detail = make([]float32, 3) },
	} {
		in := input(s, 20)
		spoil(&in)
		_, err := hold.Hold(context.Background(), in)
		var bad *hold.InputError
		if !errors.As(err, &bad) || bad.Hint() == "" || strings.Contains(bad.Error(), "\n") {
			t.Errorf("%s: %v", name, err)
		}
	}
	ctx, stop := context.WithCancel(context.Background())
	stop()
	if _, err := hold.Hold(ctx, input(s, 20)); !errors.Is(err, context.Canceled) {
		t.Errorf("stopped: %v", err)
	}
}

// On a stem only what stands on it is glued: of a plate the stem's circle, of two feet
// that one which is on it.
func TestTouchOnAStem(t *testing.T) {
	plate := meshtest.Moved(meshtest.Box(80, 60, 10), r3.Vec{X: -40, Y: -30})
	c := hold.TouchOn(plate, hold.ContactHeightMM, r2.Vec{X: 5, Y: 3}, 25)
	disc := hold.Disc(r2.Vec{X: 5, Y: 3}, 25)
	if math.Abs(c.AreaMM2-disc.AreaMM2) > 0.002*disc.AreaMM2 || r2.Norm(r2.Sub(c.Centre, disc.Centre)) > 1e-9 {
		t.Errorf("plate: %.2f mm² about %v, the stem has %.2f about %v", c.AreaMM2, c.Centre, disc.AreaMM2, disc.Centre)
	}
	feet := meshtest.Together(meshtest.Moved(meshtest.Box(4, 4, 10), r3.Vec{X: -2, Y: -2}), meshtest.Moved(meshtest.Box(20, 20, 10), r3.Vec{X: 30}))
	if c := hold.TouchOn(feet, hold.ContactHeightMM, r2.Vec{}, 25); math.Abs(c.AreaMM2-16) > 1e-9 || r2.Norm(c.Centre) > 1e-9 {
		t.Errorf("two feet: %.3f mm² about %v", c.AreaMM2, c.Centre)
	}
}
