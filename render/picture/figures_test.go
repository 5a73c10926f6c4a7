package picture

import (
	"strings"
	"testing"

	"pourwright/render/say"
)

// Box sizes read as in the cut list, rounded up; levels to the nearest. At
// 131.2 × 122.6 mm inside, walls 266.4 mm: 5.165, 4.827 and 10.488 in, which
// is 82.6, 77.2 and 167.8 sixteenths; the level of 254.4 mm is 160.3.
func TestBoxIsRoundedUpLevelsAreNot(t *testing.T) {
	m, p := planned(t, vase(90, 230, 24), job{name: "vase", clearance: 16, spout: 40})
	p.Box.InsideMM, p.Box.RubberLevelMM, p.Box.WallHeightMM = [3]float64{131.2, 122.6, 254.4}, 254.4, 266.4
	s, err := newScene(m, p, worded())
	if err != nil {
		t.Fatal(err)
	}
	want := map[string]string{
		"inside length, front": "132 mm (5 3/16 in)", "wall height": "267 mm (10 1/2 in)", "rubber level": "254 mm (10 in)",
	}
	for _, d := range s.dimensions(s.chooseView()) {
		if strings.HasPrefix(d.name, "inside width") {
			want[d.name] = "123 mm (4 7/8 in)"
		}
		if d.value != want[d.name] {
			t.Errorf("%s: have %q, want %q", d.name, d.value, want[d.name])
		}
	}
	if have, want := s.caption()[1], "Box inside "+say.Both.SizeUp([]float64{131.2, 122.6})+", filled to 254 mm (10 in)"; have != want {
		t.Errorf("caption: have %q, want %q", have, want)
	}
}

// Where the pattern stands on the board by itself there is no post to draw;
// the vent keeps its number.
func TestNoRodWithoutLength(t *testing.T) {
	m, p := planned(t, vase(120, 200, 48), job{name: "vase", clearance: 16, spout: 40, vents: 3})
	for i, z := range []float64{0, 0.4} {
		v := p.CastTrap[i].Vent
		v.FromMM[2], v.ToMM[2] = z, 0
		v.ToMM[0], v.ToMM[1] = v.FromMM[0], v.FromMM[1]
	}
	s, err := newScene(m, p, worded())
	if err != nil {
		t.Fatal(err)
	}
	if n := len(s.bodies(1)); n != 2 {
		t.Errorf("%d bodies, want the pattern and one rod", n)
	}
	if have := s.ventsName(); have != "3 vents" {
		t.Errorf("legend: %q", have)
	}
	d := drawn(t, m, p, worded())
	labelsAreClear(t, d)
	if got := len(d.layout.taken.rects); got != 5+3 {
		t.Errorf("%d labels in the view, want five sizes and three vents", got)
	}
}
