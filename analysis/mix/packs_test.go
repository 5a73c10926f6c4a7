package mix_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"pourwright/analysis/mix"
	"pourwright/lawtest"
)

func TestBuy(t *testing.T) {
	for _, c := range []struct {
		need  float64
		sizes []float64
		want  []mix.Pack
	}{
		{3200, []float64{1100, 5500}, []mix.Pack{{1100, 3}}},
		{4500, []float64{1100, 5500}, []mix.Pack{{5500, 1}}}, // five small ones hold as much; one large is fewer
		{6000, []float64{1000, 5000}, []mix.Pack{{5000, 1}, {1000, 1}}},
		{100, []float64{1000}, []mix.Pack{{1000, 1}}},
		{7000, []float64{3000, 4000}, []mix.Pack{{4000, 1}, {3000, 1}}},
		{1_000_000, []float64{1100, 5500, 22000}, []mix.Pack{{22000, 45}, {5500, 2}}},
	} {
		p, err := mix.Buy(c.need, c.sizes, 20)
		if err != nil {
			t.Fatal(err)
		}
		total := 0.0
		for _, k := range c.want {
			total += k.MassG * float64(k.Count)
		}
		if p.TotalG != total || p.LeftG != total-c.need || p.Cost != total/50 {
			t.Errorf("%g g of %v: %+v, want %v", c.need, c.sizes, p, c.want)
		}
		if c.need < 1e5 && (len(p.Packs) != len(c.want) || p.Packs[0] != c.want[0]) {
			t.Errorf("%g g of %v: %v, want %v", c.need, c.sizes, p.Packs, c.want)
		}
	}
	if p, err := mix.Buy(3000, nil, 0); err != nil || p.Packs != nil {
		t.Errorf("without sizes: %+v, %v", p, err)
	}
	if _, err := mix.Buy(3000, []float64{2}, 0); err == nil {
		t.Error("a pack of 2 g was taken")
	}
}

// Against trying all counts: never less than needed, never more than the least.
func TestBuyAgainstAllCounts(t *testing.T) {
	lawtest.Check(t, func(t *rapid.T) {
		need := 10 * float64(rapid.IntRange(1, 2000).Draw(t, "need"))
		a := 10 * float64(rapid.IntRange(20, 900).Draw(t, "a"))
		b := 10 * float64(rapid.IntRange(20, 900).Draw(t, "b"))
		p, err := mix.Buy(need, []float64{a, b}, 0)
		if err != nil {
			t.Fatal(err)
		}
		least, fewest := math.Inf(1), 0
		for i := range 110 {
			for j := range 110 {
				total := float64(i)*a + float64(j)*b
				if total >= need && (total < least || total == least && i+j < fewest) {
					least, fewest = total, i+j
				}
			}
		}
		count := 0
		for _, k := range p.Packs {
			count += k.Count
		}
		if p.TotalG != least || count != fewest {
			t.Fatalf("%g g of packs of %g and %g g: %+v; least %g g in %d packs", need, a, b, p, least, fewest)
		}
	})
}
