package analysis

import (
	"strings"
	"testing"

	"pourwright/analysis/shelf"
)

// A wanted weight is that of the prop with its rod; where nothing comes near, it says so.
func TestTargetWeightCountsTheRod(t *testing.T) {
	weighed := func(rodG, target float64) (nearest string, told string) {
		j := &job{plan: &Plan{}, casting: shelf.Casting{Key: "light", Name: "light foam"}}
		c := &j.plan.Cast
		c.FinishedG.Likely = 50
		for _, o := range []CastCandidate{{Material: "light", Name: "light foam", Chosen: true}, {Material: "firm", Name: "firm foam"}, {Material: "solid", Name: "resin"}} {
			o.FinishedG.Likely = map[string]float64{"light": 50, "firm": 80, "solid": 250}[o.Material]
			c.Candidates = append(c.Candidates, o)
		}
		c.Candidates = append(c.Candidates, CastCandidate{Material: "solid", Name: "resin", Coats: 4, FinishedG: Spread{Likely: 180}})
		if rodG > 0 {
			j.plan.Rod.MassG = &Spread{Low: rodG, Likely: rodG, High: rodG}
		}
		for i := range c.Candidates {
			o := &c.Candidates[i]
			o.PropG = o.FinishedG.plus(j.rodG(*o))
		}
		j.nearestTo(target)
		for _, o := range c.Candidates {
			if o.Nearest {
				nearest += o.Material
			}
		}
		for _, f := range j.plan.Findings {
			told += f.Text + " " + f.Action
		}
		return nearest, told
	}
	for _, c := range []struct {
		rod, target   float64
		nearest, says string
	}{
		{0, 85, "firm", "--casting firm"}, {49, 100, "light", ""}, {49, 130, "firm", "130 g that are wanted is firm foam with about 129 g"},
		{49, 175, "solid", "resin, hollow in 4 coats with about 180 g"}, {49, 290, "solid", "resin with about 299 g"},
		{0, 600, "solid", "Nothing on the shelf comes near"}, {0, 20, "light", "Nothing on the shelf comes near"},
	} {
		nearest, told := weighed(c.rod, c.target)
		if nearest != c.nearest || !strings.Contains(told, c.says) || c.says == "" && told != "" {
			t.Errorf("rod %g g, %g g wanted: %s, %q", c.rod, c.target, nearest, told)
		}
	}
}
