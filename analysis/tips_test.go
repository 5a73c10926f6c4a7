package analysis

import (
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
	"pourwright/mesh/field"
)

// limb is a rod with round ends.
type limb struct {
	from, to r3.Vec
	radius   float64
}

// limbed is the surface of rods that run together, on a grid of 1 mm.
func limbed(t *testing.T, all ...limb) *mesh.Mesh {
	t.Helper()
	lo, hi := all[0].from, all[0].from
	for _, l := range all {
		for _, p := range []r3.Vec{l.from, l.to} {
			reach := l.radius + 3
			lo = r3.Vec{X: min(lo.X, p.X-reach), Y: min(lo.Y, p.Y-reach), Z: min(lo.Z, p.Z-reach)}
			hi = r3.Vec{X: max(hi.X, p.X+reach), Y: max(hi.Y, p.Y+reach), Z: max(hi.Z, p.Z+reach)}
		}
	}
	f := &field.Field{Origin: lo, VoxelMM: 1, N: [3]int{int(hi.X - lo.X + 1), int(hi.Y - lo.Y + 1), int(hi.Z - lo.Z + 1)}}
	for z := range f.N[2] {
		for y := range f.N[1] {
			for x := range f.N[0] {
				p, least := r3.Add(lo, r3.Vec{X: float64(x), Y: float64(y), Z: float64(z)}), math.Inf(1)
				for _, l := range all {
					d, q := r3.Sub(l.to, l.from), r3.Sub(p, l.from)
					along := min(max(r3.Dot(d, q)/r3.Norm2(d), 0), 1)
					least = min(least, r3.Norm(r3.Sub(q, r3.Scale(along, d)))-l.radius)
				}
				f.Distance = append(f.Distance, float32(least))
			}
		}
	}
	s, err := f.Surface()
	if err != nil {
		t.Fatal(err)
	}
	return s.Mesh
}

// A Y on its foot: while it is filled, foot up, the material comes to the long arm
// first, and to the end of the short one when so much of the long one is full as lies
// below: a cylinder cut at a slant, as long as its axis, and half a ball. On its long
// arm, the end of the short one is a closed top with a post under it, and the same
// volume is full after it.
func TestTipsOfY(t *testing.T) {
	fork := r3.Vec{Z: 60}
	y := limbed(t, limb{r3.Vec{}, fork, 7}, limb{fork, r3.Vec{X: 80, Z: 120}, 6}, limb{fork, r3.Vec{X: -30, Z: 100}, 6})
	above := math.Pi*36*(120-106)/0.6 + math.Pi*2/3*216 // of the long arm, over the end of the short one
	scan := scanOf(t, y)
	p := planOf(t, Choices{Scan: scan, Units: "mm", Casting: "resin", Down: &[3]float64{0, 0, -1}})
	share := above / p.Scan.VolumeMM3
	tips := p.Cast.Tips
	if len(tips) != 2 || tips[0].Share > 0.02 || math.Abs(tips[1].Share-share) > 0.015 || tips[1].Trap != nil {
		t.Errorf("on its foot: %+v, want the second at %.3f", tips, share)
	}
	p = planOf(t, Choices{Scan: scan, Units: "mm", Casting: "resin", Down: &[3]float64{0, 0, 1}})
	tips = p.Cast.Tips
	if len(tips) != 2 || tips[0].Share > 0.02 {
		t.Fatalf("on its arm: %+v", tips)
	}
	last := tips[1]
	if last.Trap == nil || !last.Vented || last.AtMM != p.CastTrap[*last.Trap].AtMM || math.Abs(last.Share-(1-share)) > 0.015 {
		t.Errorf("on its arm: %+v, want the last a closed top with a vent, at %.3f", last, 1-share)
	}
}

// A ball that hangs on a thin neck from an arm is filled last by foam, when all else
// is full, and wants a bleed hole, which a resin does not.
func TestBallBehindNeck(t *testing.T) {
	bell := limbed(t, limb{r3.Vec{}, r3.Vec{Z: 140}, 12}, limb{r3.Vec{}, r3.Vec{X: 60}, 12}, limb{r3.Vec{X: 60}, r3.Vec{X: 60, Z: 50}, 2.5}, limb{r3.Vec{X: 60, Z: 60}, r3.Vec{X: 60, Z: 62}, 15})
	scan := scanOf(t, bell)
	tipOf := func(casting string) (CastTip, *Plan) {
		p := planOf(t, Choices{Scan: scan, Units: "mm", Casting: casting, Down: &[3]float64{0, 0, -1}})
		for _, tip := range p.Cast.Tips {
			if tip.Behind != nil {
				return tip, p
			}
		}
		t.Fatalf("no tip behind a neck: %+v", p.Cast.Tips)
		return CastTip{}, nil
	}
	foam, p := tipOf("foam")
	ball := p.Cast.Necks[0].BehindMM3
	if !foam.Held || !foam.Bleed || foam.Trap != nil || foam.Share < 1-ball/p.Scan.VolumeMM3-0.02 {
		t.Errorf("foam: %+v", foam)
	}
	if told := strings.Join(castFindings(p), " "); !strings.Contains(told, "Foam comes to this end late") {
		t.Errorf("told %q", told)
	}
	resin, p := tipOf("resin")
	if resin.Bleed || strings.Contains(strings.Join(castFindings(p), " "), "Foam") {
		t.Errorf("resin: %+v", resin)
	}
}

// Under the ledge air stays that no post frees: foam comes there last and wants a
// bleed hole; for resin the tilt that frees it is told with its time, which so small a
// tilt hardly changes.
func TestLedgeWithoutPost(t *testing.T) {
	five := 5.0
	c := Choices{Scan: scanOf(t, ledge()), Units: "mm", Casting: "foam", Down: &[3]float64{0, 0, -1}, ClearanceMM: &five, CutClearanceMM: &five}
	p := planOf(t, c)
	tips := p.Cast.Tips
	if last := tips[len(tips)-1]; last.Trap == nil || last.Vented || !last.Bleed || last.Share != 1 {
		t.Errorf("tips %+v", tips)
	}
	if told := strings.Join(castFindings(p), " "); !strings.Contains(told, "Foam comes to this end last") {
		t.Errorf("told %q", told)
	}
	c.Casting = "resin"
	for _, a := range planOf(t, c).Cast.Advice {
		if a.Kind == "tilt" {
			if was := p.Cast.Advice; len(was) == 0 || !strings.HasPrefix(a.Text, "Tilted by ") || a.FillS == nil || *a.Passes != true {
				t.Errorf("%+v", a)
			}
			return
		}
	}
	t.Error("no tilt is told")
}

// Mirrored, a part has the same tips and takes the same times.
func TestMirroredCast(t *testing.T) {
	arms := []limb{{r3.Vec{}, r3.Vec{Z: 90}, 9}, {r3.Vec{Z: 60}, r3.Vec{X: 50, Y: 15, Z: 100}, 6}, {r3.Vec{Z: 40}, r3.Vec{X: -40, Z: 20}, 6}}
	flipped := make([]limb, len(arms))
	for i, l := range arms {
		flipped[i] = limb{r3.Vec{X: -l.from.X, Y: l.from.Y, Z: l.from.Z}, r3.Vec{X: -l.to.X, Y: l.to.Y, Z: l.to.Z}, l.radius}
	}
	var plans [2]*Plan
	for i, limbs := range [][]limb{arms, flipped} {
		plans[i] = planOf(t, Choices{Scan: scanOf(t, limbed(t, limbs...)), Units: "mm", Casting: "resin-slow", Down: &[3]float64{0, 0, -1}})
	}
	a, b := plans[0].Cast, plans[1].Cast
	if len(a.Tips) != len(b.Tips) || len(a.Tips) < 2 || len(a.Advice) < 1 || len(a.Advice) != len(b.Advice) {
		t.Fatalf("tips %+v and %+v, advice %+v", a.Tips, b.Tips, a.Advice)
	}
	for i := range a.Tips {
		if math.Abs(a.Tips[i].Share-b.Tips[i].Share) > 0.02 || a.Tips[i].Vented != b.Tips[i].Vented {
			t.Errorf("tip %d: %+v and %+v", i, a.Tips[i], b.Tips[i])
		}
	}
	if math.Abs(a.FillS.Likely-b.FillS.Likely) > 0.02*a.FillS.Likely || *a.Advice[0].FillS != *a.FillS {
		t.Errorf("%+v and %+v", a.FillS, b.FillS)
	}
}
