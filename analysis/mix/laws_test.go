package mix_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"pourwright/analysis/mix"
	"pourwright/analysis/shelf"
	"pourwright/lawtest"
)

// A cone on the board: volume below a level in closed form.
func cone(radius, height float64) func(float64) float64 {
	return func(z float64) float64 {
		z = math.Max(0, math.Min(z, height))
		top := radius * (1 - z/height)
		return math.Pi * z * (radius*radius + radius*top + top*top) / 3
	}
}

var keys = []string{"tin-10", "tin-20", "tin-30", "tin-40", "plat-10", "plat-30"}

func TestLaws(t *testing.T) {
	rubbers := map[string]shelf.Rubber{}
	for _, k := range keys {
		rubbers[k] = rubber(t, k)
	}
	lawtest.Check(t, func(t *rapid.T) {
		radius := rapid.Float64Range(1, 150).Draw(t, "radius")
		height := rapid.Float64Range(1, 300).Draw(t, "height")
		clearance := rapid.Float64Range(1, 40).Draw(t, "clearance")
		below := cone(radius, height)
		in := mix.Input{
			Rubber:            rubbers[rapid.SampledFrom(keys).Draw(t, "rubber")],
			InsideMM:          [3]float64{2 * (radius + clearance), 2 * (radius + clearance), height + clearance},
			Below:             below,
			DisplacedErrorMM3: rapid.Float64Range(0, 1).Draw(t, "error") * below(height) * 0.02,
			ScaleStepG:        rapid.SampledFrom([]float64{0, 0.1, 0.5, 1, 2, 5}).Draw(t, "step"),
			InchMarks:         rapid.Bool().Draw(t, "inches"),
		}
		r := plan2(t, in)
		close := func(a, b float64) bool { return math.Abs(a-b) <= 1e-9*(math.Abs(a)+math.Abs(b)) }
		// Box = rubber + displaced at every level.
		for _, m := range append(slices.Clone(r.Marks), in.At(rapid.Float64Range(0, in.InsideMM[2]).Draw(t, "level"))) {
			if box := in.InsideMM[0] * in.InsideMM[1] * m.LevelMM; !close(box, m.RubberMM3+below(m.LevelMM)) {
				t.Fatalf("at %v mm: box %v, rubber %v, displaced %v", m.LevelMM, box, m.RubberMM3, below(m.LevelMM))
			}
		}
		if last := r.Marks[len(r.Marks)-1]; last.RubberMM3 != r.NetMM3 || last.LevelMM != in.InsideMM[2] {
			t.Fatalf("last mark %+v, net %v", last, r.NetMM3)
		}
		// Sums, order of the range, rising levels.
		var sum, level float64
		for _, b := range r.Batches {
			sum += b.TotalG
			if !close(b.AG+b.BG, b.TotalG) || b.LevelMM < level {
				t.Fatalf("batch %+v after level %v", b, level)
			}
			level = b.LevelMM
		}
		if !close(sum, r.MassG) || !close(r.AG+r.BG, r.MassG) || !close(r.NetG+r.AllowanceG, r.MassG) || level != in.InsideMM[2] {
			t.Fatalf("sum %v of %+v", sum, r)
		}
		if !(r.LowG <= r.MassG && r.MassG <= r.HighG && r.AllowanceG > 0) {
			t.Fatalf("low %v, mass %v, high %v, allowance %v", r.LowG, r.MassG, r.HighG, r.AllowanceG)
		}
		step := in.ScaleStepG
		if step == 0 {
			step = 1
		}
		if n := r.Batches[0].BG / step; math.Abs(n-math.Round(n)) > 1e-6 {
			t.Fatalf("B %v g is not on a scale of %v g", r.Batches[0].BG, step)
		}
		// More clearance never less rubber; what is weighed may differ by the
		// rounding of each part of each batch.
		more := in
		more.InsideMM[0] += rapid.Float64Range(0, 20).Draw(t, "wider")
		more.InsideMM[2] += rapid.Float64Range(0, 20).Draw(t, "higher")
		r2 := plan2(t, more)
		if r2.NetG < r.NetG*(1-1e-12) || r2.MassG < r.MassG-2*step*float64(len(r2.Batches)) {
			t.Fatalf("net %v to %v, mass %v to %v", r.NetG, r2.NetG, r.MassG, r2.MassG)
		}
	})
}

func plan2(t *rapid.T, in mix.Input) mix.Result {
	r, err := mix.Plan(in)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// The range against a fixed-seed simulation of the same sources: adding in
// quadrature must come within 10 % of the width of the simulated range.
func TestRangeAgainstSimulation(t *testing.T) {
	for _, key := range keys {
		in := mix.Input{
			Rubber:            rubber(t, key),
			InsideMM:          [3]float64{180, 90, 70},
			DisplacedErrorMM3: 20_000,
			Below:             cone(40, 60),
		}
		r := plan(t, in)
		low, high := simulate(in, r)
		width := high - low
		if math.Abs(r.LowG-low) > 0.1*width || math.Abs(r.HighG-high) > 0.1*width {
			t.Errorf("%s: range %.0f–%.0f g, simulated %.0f–%.0f g", key, r.LowG, r.HighG, low, high)
		}
	}
}

func simulate(in mix.Input, r mix.Result) (low, high float64) {
	need := needs(in, r, r.AllowanceG)
	return need[len(need)/20], need[len(need)-len(need)/20]
}

// chance is the share of simulated pours for which the likely mass is enough
// when nothing leaks.
func chance(in mix.Input, r mix.Result) float64 {
	need := needs(in, r, cupFilm(in, r))
	i, _ := slices.BinarySearch(need, r.MassG)
	return float64(i) / float64(len(need))
}

// cupFilm is the likely film in all cups, g.
func cupFilm(in mix.Input, r mix.Result) float64 { return 40 * cupSurfaces(in, r) }

func cupSurfaces(in mix.Input, r mix.Result) float64 {
	n := float64(len(r.Batches))
	return n * math.Pow(r.MassG/n/in.Rubber.DensityGPerCM3.Likely/1000, 2.0/3)
}

// needs draws masses needed, sorted; lost is the likely part of them that does
// not end in the mold.
func needs(in mix.Input, r mix.Result, lost float64) []float64 {
	rng := rand.New(rand.NewPCG(7, 11))
	even := func(e float64) float64 { return e * (2*rng.Float64() - 1) }
	triangular := func(a, c, b float64) float64 {
		u := rng.Float64()
		if u < (c-a)/(b-a) {
			return a + math.Sqrt(u*(b-a)*(c-a))
		}
		return b - math.Sqrt((1-u)*(b-a)*(b-c))
	}
	d := in.Rubber.DensityGPerCM3
	cups := cupSurfaces(in, r)
	need := make([]float64, 200_000)
	for i := range need {
		box := (in.InsideMM[0] + even(1)) * (in.InsideMM[1] + even(1)) * (in.InsideMM[2] + even(1))
		net := box - r.DisplacedMM3 + even(in.DisplacedErrorMM3)
		need[i] = net/1000*triangular(d.Low, d.Likely, d.High) + lost - 40*cups + triangular(20, 40, 70)*cups
	}
	slices.Sort(need)
	return need
}
