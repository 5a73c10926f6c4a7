package analysis

import (
	"context"
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
)

// TestRodInThePlan holds the plan's rod against the scan as it stands: it is
// inside, and covered by what was asked, all along its axis, in the stand frame.
func TestRodInThePlan(t *testing.T) {
	for _, c := range []struct {
		file            string
		diameter, cover float64
		entry           string
	}{
		{"belaying-pin.stl", 6, 8, "spout"},
		{"tiller-handle.stl", 6, 8, "half"},
		{"gull-headed-cane.stl", 6, 8, "half"},
		{"gull-headed-cane.stl", 12, 12, "none"},
	} {
		choices := Choices{Scan: "../samples/" + c.file, Units: "mm", RodMM: &c.diameter, RodCoverMM: &c.cover}
		l, err := Load(context.Background(), choices, nil)
		if err != nil {
			t.Fatal(err)
		}
		p, err := AskFor(context.Background(), l, choices, AskCast, nil)
		if err != nil {
			t.Fatal(err)
		}
		r := p.Rod
		if r.Entry != c.entry || r.Why == "" {
			t.Errorf("%s: %q, not %q: %s", c.file, r.Entry, c.entry, r.Why)
		}
		tree := mesh.NewTree(p.Posed(l.Solid).Mesh)
		reach := func(at [3]float64) float64 {
			hit, _ := tree.Closest(vec(at), math.Inf(1))
			if tree.Winding(vec(at)) < 0.5 {
				return -hit.Distance
			}
			return hit.Distance
		}
		if r.LengthMM == nil {
			if c.entry != "none" || math.Abs(2*reach(*r.ThickestAtMM)/(*r.ThickestMM)-1) > 0.02 {
				t.Errorf("%s: thickest %g mm, there %g", c.file, *r.ThickestMM, 2*reach(*r.ThickestAtMM))
			}
			continue
		}
		from, to := vec(*r.FromMM), vec(*r.ToMM)
		if l := r3.Norm(r3.Sub(to, from)); math.Abs(l-*r.LengthMM) > 1e-9 {
			t.Errorf("%s: %g mm long, its ends are %g mm apart", c.file, *r.LengthMM, l)
		}
		for i := range 401 {
			s := float64(i) / 400
			if d := reach(array(r3.Add(r3.Scale(1-s, from), r3.Scale(s, to)))); d < c.cover+c.diameter/2 {
				t.Fatalf("%s: %.4f mm from the axis to the surface", c.file, d)
			}
		}
		for _, o := range r.Standoffs {
			if math.Abs(reach(o.AtMM)-c.diameter/2-o.LengthMM) > 1e-6 || math.Abs(reach(o.WallMM)) > 1e-6 {
				t.Errorf("%s: bridge %+v", c.file, o)
			}
		}
		if want := math.Pi / 4 * c.diameter * c.diameter * *r.LengthMM; r.DisplacedMM3 != p.Cast.RodMM3 || math.Abs(r.DisplacedMM3/want-1) > 1e-12 {
			t.Errorf("%s: displaces %g mm³, off the charge %g, of %g", c.file, r.DisplacedMM3, p.Cast.RodMM3, want)
		}
		if r.StiffnessGain == nil || r.StiffnessGain.Low < 1 || len(r.Materials) != 3 || len(r.Cautions) == 0 {
			t.Errorf("%s: %+v", c.file, r)
		}
	}
}
