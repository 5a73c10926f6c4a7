package cut

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

// weaving is a square bar, 160 mm high, that swings from side to side, with
// detail along a stripe that stays in the middle.
func weaving() *mesh.Mesh {
	profile := []r2.Vec{{}}
	for i := range 161 {
		profile = append(profile, r2.Vec{X: 16, Y: float64(i)})
	}
	m := meshtest.Lathe(append(profile, r2.Vec{Y: 160}), 120)
	for i, p := range m.Vertices {
		m.Vertices[i].X += swing(p.Z)
	}
	return m
}

func swing(z float64) float64 { return 9 * (1 - math.Cos(z/160*2*math.Pi)) }

// A bar that swings aside has undercut whatever plane cuts across its swing; where
// detail forbids the plane of the swing itself, the sheet follows the bar.
func TestSteppedSheetFollowsTheSilhouette(t *testing.T) {
	m := weaving()
	r := choose(t, m, func(p r3.Vec) float32 {
		if math.Abs(p.Y) < 9 { // front and back of the swing: its own plane crosses it
			return 1
		}
		return 0
	})
	if !r.Stepped() {
		t.Fatalf("a plane, normal %v, detail %.2f, undercut %v", r.Normal, r.DetailCrossed, r.UndercutMM3)
	}
	if math.Abs(r.Normal.X) < 0.75 || !r.AlongUp {
		t.Errorf("normal %v, along up %v", r.Normal, r.AlongUp)
	}
	plane := r.Sheet
	plane.Steps = nil
	mm3, _ := Undercut(m, mesh.NewTree(m), plane, fullLines)
	if is, was := r.UndercutMM3[0]+r.UndercutMM3[1], mm3[0]+mm3[1]; is > 0.5*was {
		t.Errorf("undercut %.0f mm³, its plane leaves %.0f", is, was)
	}
	sign := math.Copysign(1, r.Normal.X)
	for i := 1; i < len(r.Steps); i++ {
		a, b := r.Steps[i-1], r.Steps[i]
		if slope := math.Abs(b.OffsetMM-a.OffsetMM) / (b.AtMM - a.AtMM); slope > mostSlope+1e-9 {
			t.Errorf("slope %.2f between %v and %v", slope, a, b)
		}
		if z := r.Point.Z + b.AtMM; math.Abs(sign*b.OffsetMM-swing(z)) > 8 {
			t.Errorf("at %.0f mm the sheet is %.1f mm aside, the bar %.1f", z, sign*b.OffsetMM, swing(z))
		}
	}
	if off := r.offset(0, 0); math.Abs(off) > 1e-9 {
		t.Errorf("the sheet passes the spout by %.2f mm", off)
	}
	for _, l := range r.Outline {
		for _, p := range l.Points {
			if math.Abs(r.Height(p)) > 1e-6 {
				t.Fatalf("outline %.3f mm off the sheet at %v", r.Height(p), p)
			}
		}
	}
}

// Where a plane is good, no other surface is sought.
func TestGoodPlaneStaysPlane(t *testing.T) {
	if r := choose(t, weaving(), plain); r.Stepped() {
		t.Errorf("steps %v although a plane leaves %v", r.Steps, r.UndercutMM3)
	}
}
