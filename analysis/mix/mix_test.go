package mix_test

import (
	"errors"
	"math"
	"strings"
	"testing"

	"pourwright/analysis/finding"
	"pourwright/analysis/mix"
	"pourwright/analysis/shelf"
)

const inch = 25.4

func rubber(t testing.TB, key string) shelf.Rubber {
	t.Helper()
	s, err := shelf.Read("none", strings.NewReader(""))
	if err != nil {
		t.Fatal(err)
	}
	r, err := s.Rubber(key)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func ofDensity(r shelf.Rubber, d float64) shelf.Rubber {
	r.DensityGPerCM3 = shelf.Range{Low: d, Likely: d, High: d}
	return r
}

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s = %.10g, want %.10g ± %g", what, got, want, tol)
	}
}

func plan(t testing.TB, in mix.Input) mix.Result {
	t.Helper()
	r, err := mix.Plan(in)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func TestKnownBoxes(t *testing.T) {
	// A 15×8×3 in box by the shop's rule is 6660 g: common practice, no source.
	r := plan(t, mix.Input{Rubber: rubber(t, "tin-30"), InsideMM: [3]float64{15 * inch, 8 * inch, 3 * inch}})
	near(t, "rule of 15×8×3 in", r.RuleG, 6660, 1e-9)
	near(t, "net of 15×8×3 in at 1.18", r.NetG, 360*16.387064*1.18, 1e-6)

	// 1 in³ = 16.387064 cm³ exactly (Weights and Measures, NIST SP 811, from
	// memory), so a 4 in cube less a 3 in cube is 37 in³ = 606.321368 cm³ and
	// 684.536825 g at 1.129 g/cm³.
	r = plan(t, mix.Input{
		Rubber:   ofDensity(rubber(t, "tin-30"), 1.129),
		InsideMM: [3]float64{4 * inch, 4 * inch, 4 * inch},
		Below: func(z float64) float64 {
			return 9 * inch * inch * math.Max(0, math.Min(z, 3*inch))
		},
	})
	near(t, "net volume, cm³", r.NetMM3/1000, 606.321368, 1e-9)
	near(t, "net mass", r.NetG, 684.536824472, 1e-6)
	near(t, "box + nothing lost", r.BoxMM3, r.DisplacedMM3+r.NetMM3, 1e-6)
}

// The mass is the allowance on top of the net: one cup that held 0.606 L keeps
// 40·0.665^⅔ g (with the leak reserve of 100 g in it), computed by hand.
func TestAllowanceByHand(t *testing.T) {
	r := plan(t, mix.Input{
		Rubber:       ofDensity(rubber(t, "tin-30"), 1.129),
		InsideMM:     [3]float64{4 * inch, 4 * inch, 4 * inch},
		DisplacedMM3: math.Pow(3*inch, 3),
	})
	cup := 40 * math.Pow((684.536824472+100)/1129, 2.0/3)
	need := 684.536824472 + 100 + cup
	a, b := math.Ceil(need*10/11), math.Ceil(need/11)
	if len(r.Batches) != 1 {
		t.Fatalf("%d batches", len(r.Batches))
	}
	near(t, "A", r.AG, a, 0)
	near(t, "B", r.BG, b, 0)
	near(t, "mass", r.MassG, a+b, 0)
	near(t, "allowance", r.AllowanceG, a+b-r.NetG, 1e-9)
	for _, part := range []string{"31 g of film in the cup", "100 g (the least reserve)", "no source"} {
		if !strings.Contains(r.AllowanceRule, part) {
			t.Errorf("rule %q does not say %q", r.AllowanceRule, part)
		}
	}
}

func TestBatchesAndLevels(t *testing.T) {
	// A post of 60×50 mm as high as 80 mm in a 300×200 box filled to 100 mm.
	in := mix.Input{
		Rubber:    ofDensity(rubber(t, "tin-30"), 1.2),
		InsideMM:  [3]float64{300, 200, 100},
		BatchMaxG: 2500,
		Below:     func(z float64) float64 { return 60 * 50 * math.Max(0, math.Min(z, 80)) },
	}
	r := plan(t, in)
	near(t, "net", r.NetG, (300*200*100-60*50*80)*1.2e-3, 1e-6)
	if len(r.Batches) != 3 {
		t.Fatalf("%d batches, want 3", len(r.Batches))
	}
	first := r.Batches[0]
	film := 40 * math.Pow((r.NetG+0.03*r.NetG)/3/1200, 2.0/3)
	// Below 80 mm the free area is 57000 mm².
	near(t, "level after the first batch", first.LevelMM, (first.TotalG-film)/1.2e-3/57000, 1e-6)
	near(t, "level after the last batch", r.Batches[2].LevelMM, 100, 0)
	for _, b := range r.Batches {
		if b != (mix.Batch{AG: first.AG, BG: first.BG, TotalG: first.TotalG, AMM3: first.AMM3, BMM3: first.BMM3, LevelMM: b.LevelMM}) {
			t.Errorf("batches differ: %+v, %+v", first, b)
		}
		if b.TotalG > 2500+2 {
			t.Errorf("batch of %v g", b.TotalG)
		}
	}
	near(t, "sum", 3*first.TotalG, r.MassG, 0)
}

func TestBatchesFitBucketAndPotLife(t *testing.T) {
	in := mix.Input{Rubber: rubber(t, "tin-30"), InsideMM: [3]float64{400, 300, 150}}
	r := plan(t, in)
	if most := 2500 * 1.18; r.Batches[0].TotalG > most+2 || !strings.Contains(r.BatchRule, "bucket") {
		t.Errorf("batch %v g, at most %v; %s", r.Batches[0].TotalG, most, r.BatchRule)
	}
	// 70 % of 25 min less 15 min of mixing and degassing leave 2.5 min: 1250 g.
	in.Rubber.PotLifeS = 25 * 60
	r = plan(t, in)
	if r.Batches[0].TotalG > 1252 || !strings.Contains(r.BatchRule, "pot life") {
		t.Errorf("batch %v g; %s", r.Batches[0].TotalG, r.BatchRule)
	}
	near(t, "time", r.TimeNeededS, 900+r.Batches[0].TotalG*0.12, 1e-9)
}

func TestMarks(t *testing.T) {
	for _, c := range []struct {
		level  float64
		inches bool
		want   []float64
	}{
		{100, false, []float64{25, 50, 75, 100}},
		{83, false, []float64{10, 20, 30, 40, 50, 60, 70, 80, 83}},
		{81, false, []float64{10, 20, 30, 40, 50, 60, 70, 81}},
		{7, false, []float64{1, 2, 3, 4, 5, 6, 7}},
		{3 * inch, true, []float64{0.5 * inch, inch, 1.5 * inch, 2 * inch, 2.5 * inch, 3 * inch}},
		{9999, false, []float64{9999. / 8, 9999. / 4, 9999. * 3 / 8, 9999. / 2, 9999. * 5 / 8, 9999. * 3 / 4, 9999. * 7 / 8, 9999}},
	} {
		in := mix.Input{Rubber: rubber(t, "plat-10"), InsideMM: [3]float64{40, 30, c.level}, InchMarks: c.inches}
		r := plan(t, in)
		if len(r.Marks) != len(c.want) {
			t.Errorf("level %v: marks %v, want %v", c.level, r.Marks, c.want)
			continue
		}
		for i, m := range r.Marks {
			near(t, "mark", m.LevelMM, c.want[i], 1e-9)
			near(t, "rubber at mark", m.RubberMM3, 40*30*m.LevelMM, 1e-6)
			near(t, "mass at mark", m.MassG, m.RubberMM3*1.07e-3, 1e-9)
		}
	}
}

func TestFindings(t *testing.T) {
	quick := rubber(t, "plat-30")
	quick.PotLifeS = 6 * 60
	tight := rubber(t, "plat-30")
	tight.PotLifeS = 22 * 60
	for name, c := range map[string]struct {
		in    mix.Input
		level finding.Level
		want  string
	}{
		"coarse scale":  {mix.Input{Rubber: rubber(t, "tin-30"), InsideMM: [3]float64{100, 60, 30}}, finding.Warn, "of part B in a batch"},
		"pot life":      {mix.Input{Rubber: quick, InsideMM: [3]float64{100, 60, 30}}, finding.Stop, "pot life is 6 min"},
		"tight time":    {mix.Input{Rubber: tight, InsideMM: [3]float64{150, 100, 70}}, finding.Warn, "more than 70 %"},
		"two batches":   {mix.Input{Rubber: rubber(t, "tin-30"), InsideMM: [3]float64{250, 150, 100}}, finding.Note, "in 2 batches"},
		"many batches":  {mix.Input{Rubber: rubber(t, "tin-30"), InsideMM: [3]float64{300, 250, 150}}, finding.Warn, "one after another"},
		"thick rubber":  {mix.Input{Rubber: rubber(t, "tin-40"), InsideMM: [3]float64{100, 60, 30}}, finding.Note, "keeps the air"},
		"no profile":    {mix.Input{Rubber: rubber(t, "tin-30"), InsideMM: [3]float64{100, 60, 30}, DisplacedMM3: 500}, finding.Note, "equally thick"},
		"heavy block":   {mix.Input{Rubber: rubber(t, "tin-30"), InsideMM: [3]float64{400, 300, 150}}, finding.Warn, "block alone weighs about 21 kg"},
		"nothing wrong": {mix.Input{Rubber: rubber(t, "plat-30"), InsideMM: [3]float64{100, 60, 30}}, "", ""},
	} {
		t.Run(name, func(t *testing.T) {
			found := plan(t, c.in).Findings
			if c.want == "" && len(found) > 0 {
				t.Errorf("findings %v", found)
			}
			for _, f := range found {
				if strings.Contains(f.Text, c.want) && f.Level == c.level && f.Action != "" && f.Question == "mix" {
					return
				}
			}
			if c.want != "" {
				t.Errorf("no %s finding with %q in %v", c.level, c.want, found)
			}
		})
	}
}

func TestFaultyInput(t *testing.T) {
	good := mix.Input{Rubber: rubber(t, "tin-30"), InsideMM: [3]float64{100, 60, 30}}
	for name, c := range map[string]struct {
		change func(*mix.Input)
		want   string
	}{
		"no width":        {func(in *mix.Input) { in.InsideMM[1] = 0 }, "the width of the box is 0 mm"},
		"negative":        {func(in *mix.Input) { in.InsideMM[0] = -3 }, "the length of the box is -3 mm"},
		"NaN":             {func(in *mix.Input) { in.InsideMM[2] = math.NaN() }, "the rubber level of the box is NaN mm"},
		"infinite":        {func(in *mix.Input) { in.InsideMM[2] = math.Inf(1) }, "the rubber level of the box is +Inf mm"},
		"pattern too big": {func(in *mix.Input) { in.DisplacedMM3 = 180_000 }, "the pattern takes 180 cm³ and the box"},
		"less than none":  {func(in *mix.Input) { in.DisplacedMM3 = -1 }, "the displaced volume is -1"},
		"error":           {func(in *mix.Input) { in.DisplacedErrorMM3 = math.NaN() }, "the error of the displaced volume is NaN"},
		"scale":           {func(in *mix.Input) { in.ScaleStepG = -1 }, "the scale step is -1"},
		"coarse scale":    {func(in *mix.Input) { in.ScaleStepG = 500 }, "the scale step is 500"},
		"batch":           {func(in *mix.Input) { in.BatchMaxG = -1 }, "the largest batch is -1"},
		"tiny batches":    {func(in *mix.Input) { in.BatchMaxG = 1 }, "more than 200 pours"},
		"no rubber":       {func(in *mix.Input) { in.Rubber = shelf.Rubber{} }, "no rubber with a density"},
		"a house":         {func(in *mix.Input) { in.InsideMM = [3]float64{100_000, 20_000, 9000} }, "this box would take 21240000 kg"},
		"a car":           {func(in *mix.Input) { in.InsideMM = [3]float64{1000, 1000, 600} }, "more than 200 pours for 708.0 kg"},
	} {
		t.Run(name, func(t *testing.T) {
			in := good
			c.change(&in)
			_, err := mix.Plan(in)
			var h interface {
				error
				Hint() string
			}
			if !errors.As(err, &h) || h.Hint() == "" || !strings.Contains(err.Error(), c.want) {
				t.Errorf("error %v, want %q and a hint", err, c.want)
			}
		})
	}
}
