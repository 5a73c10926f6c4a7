package drawing

import (
	"bytes"
	"math"
	"strings"
	"testing"

	"pourwright/analysis"
	"pourwright/render/say"
)

func names(files []File) string {
	var all []string
	for _, f := range files {
		all = append(all, f.Name)
	}
	return strings.Join(all, " ")
}

func TestFiles(t *testing.T) {
	for name, want := range map[string]string{
		"rectangle": "strip.svg strip.pdf base.svg base.pdf panel-side-front.svg panel-side-back.svg panel-end.svg panels.pdf sheets.svg sheets.pdf",
		"faceted":   "strip.svg strip.pdf base.svg base.pdf panel-wrap.svg panels.pdf",
		"tube":      "strip.svg strip.pdf base.svg base.pdf panel-tube.svg panels.pdf",
		"owned":     "strip.svg strip.pdf base.svg base.pdf",
	} {
		if have := names(Files(invented()[name], say.Both)); have != want {
			t.Errorf("%s: %s, want %s", name, have, want)
		}
	}
}

func TestSameBytes(t *testing.T) {
	a, b := Files(buoy(), say.Both), Files(buoy(), say.Both)
	for i := range a {
		if !bytes.Equal(a[i].Data, b[i].Data) {
			t.Errorf("%s differs", a[i].Name)
		}
		if !bytes.Contains(a[i].Data, []byte(Mark)) {
			t.Errorf("%s does not say who wrote it", a[i].Name)
		}
	}
}

// Nothing is drawn of what is not known, and nothing reads NaN.
func TestOddPlans(t *testing.T) {
	if have := names(Files(&analysis.Plan{}, say.Both)); have != "" {
		t.Errorf("an empty plan gives %s", have)
	}
	spoil := map[string]func(p *analysis.Plan){
		"box of no size":   func(p *analysis.Plan) { p.Box.InsideMM = [3]float64{} },
		"infinite box":     func(p *analysis.Plan) { p.Box.InsideMM[0] = math.Inf(1) },
		"level not known":  func(p *analysis.Plan) { p.Box.RubberLevelMM = math.NaN() },
		"panel of no size": func(p *analysis.Plan) { p.Box.Panels[0].LengthMM = 0 },
		"sheet of no size": func(p *analysis.Plan) { p.Box.Sheets[0].SizeMM[0] = math.NaN() },
		"no cut":           func(p *analysis.Plan) { p.Cut = analysis.Cut{} },
		"level cut":        func(p *analysis.Plan) { p.Cut.Normal = [3]float64{0, 0, 1} },
		"cut outside":      func(p *analysis.Plan) { p.Cut.PointMM = [3]float64{900, -900, 0} },
		"no outline":       func(p *analysis.Plan) { p.Box.OutlineMM = nil },
		"no rubber":        func(p *analysis.Plan) { p.Rubber = analysis.Rubber{} },
		"no spout":         func(p *analysis.Plan) { p.Stand = analysis.Stand{} },
	}
	for name, change := range spoil {
		p := buoy()
		change(p)
		for _, f := range Files(p, say.Both) {
			if bytes.Contains(f.Data, []byte("NaN")) || bytes.Contains(f.Data, []byte("+Inf")) || bytes.Contains(f.Data, []byte("-Inf")) {
				t.Errorf("%s: %s reads NaN or Inf", name, f.Name)
			}
		}
	}
}

// A name with signs that XML keeps for itself.
func TestNameOfJob(t *testing.T) {
	p := buoy()
	p.Name = `bell & "buoy" <2>`
	s := drawn(t, p, say.Both)["base"]
	if have := s.one("job").text; have != p.Name {
		t.Errorf("the job reads %q", have)
	}
}

// Two panels of one name do not overwrite each other.
func TestPanelsOfOneName(t *testing.T) {
	p := tube()
	p.Box.Panels = append(p.Box.Panels, p.Box.Panels[0])
	have := names(Files(p, say.Both))
	if strings.Count(have, "panel-") != 2 || strings.Count(have, "panel-tube.svg") != 1 {
		t.Error(have)
	}
}

func TestUnitsShown(t *testing.T) {
	for show, want := range map[say.Style][2]bool{say.Both: {true, true}, say.Inch: {false, true}, say.Metric: {true, false}} {
		for _, e := range drawn(t, buoy(), show)["base"].of("inside-label") {
			if strings.Contains(e.text, " mm") != want[0] || strings.Contains(strings.TrimPrefix(e.text, "inside"), " in") != want[1] {
				t.Errorf("%v: %q", show, e.text)
			}
		}
	}
}
