package bow

import (
	"math"
	"testing"
)

// evenly loaded solves a supported or clamped plate, 1 m high, under the same
// pressure of 1 Pa everywhere, D = 1 N·m.
func evenlyLoaded(t *testing.T, aspect float64, hold Hold) Bent {
	t.Helper()
	e := Edge{Hold: hold}
	b, err := Bend(Wall{WidthMM: 1000 * aspect, HeightMM: 1000, Plate: Bending(1, 0.3, 1), Edges: Edges{e, e, e, e}, LevelMM: 1000, PushPa: 1})
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(b.ForceN-aspect) > 1e-9*aspect || math.Abs(b.ForceAtMM-500) > 1e-9 {
		t.Errorf("1 Pa on %g m²: %g N at %g mm", aspect, b.ForceN, b.ForceAtMM)
	}
	return b
}

// Even pressure on a supported plate, ν = 0.3: w = α·q·s⁴/Et³, σ = β·q·s²/t² in
// the middle. Source: W. C. Young and R. G. Budynas, "Roark's Formulas for
// Stress and Strain", table 11.4 case 1a.
func TestEvenPressure(t *testing.T) {
	for _, c := range []struct{ ratio, alpha, beta float64 }{
		{1, 0.0444, 0.2874}, {1.2, 0.0616, 0.3762}, {1.4, 0.0770, 0.4530}, {1.6, 0.0906, 0.5172},
		{1.8, 0.1017, 0.5688}, {2, 0.1110, 0.6102}, {3, 0.1335, 0.7134}, {4, 0.1400, 0.7410}, {5, 0.1417, 0.7476}, {10, 0.1421, 0.7500},
	} {
		b := evenlyLoaded(t, c.ratio, Supported)
		middle := b.Grid.MM[20*gridPoints+20] / 1000
		if alpha := 12 * (1 - 0.09) * middle; math.Abs(alpha/c.alpha-1) > 0.005 {
			t.Errorf("ratio %v: α %.4f, table %v", c.ratio, alpha, c.alpha)
		}
		if beta := 6 * b.Moments.SagY; math.Abs(beta/c.beta-1) > 0.005 {
			t.Errorf("ratio %v: β %.4f, table %v", c.ratio, beta, c.beta)
		}
		if math.Abs(b.Reactions.Sum()/b.ForceN-1) > 1e-9 {
			t.Errorf("ratio %v: reactions add up to %v, force %v", c.ratio, b.Reactions.Sum(), b.ForceN)
		}
	}
	// Clamped square: 0.00126 in the middle, edge moment −0.0513 (Timoshenko and
	// Woinowsky-Krieger, from memory).
	b := evenlyLoaded(t, 1, Clamped)
	if middle := b.Grid.MM[20*gridPoints+20] / 1000; math.Abs(middle-0.00126) > 1e-5 || math.Abs(b.Moments.FootY+0.0513) > 1e-4 {
		t.Errorf("clamped square: %v, edge moment %v", middle, b.Moments.FootY)
	}
}

// Two triangles of pressure, one upside down, make an even pressure: where foot
// and top are held alike, the middle bows half as much under one of them. Exact.
func TestHalfOfEvenPressure(t *testing.T) {
	for _, hold := range []Hold{Supported, Clamped} {
		for _, aspect := range []float64{0.5, 1, 2.5} {
			e := Edge{Hold: hold}
			w := Wall{WidthMM: 1000 * aspect, HeightMM: 1000, Plate: Bending(1, 0.3, 1), Edges: Edges{e, e, e, e}, LevelMM: 1000,
				DensityGPerCM3: 1 / (1000 * GravityMPerS2)}
			b, err := Bend(w)
			if err != nil {
				t.Fatal(err)
			}
			even := evenlyLoaded(t, aspect, hold)
			middle := 20*gridPoints + 20
			if off := 2*b.Grid.MM[middle]/even.Grid.MM[middle] - 1; math.Abs(off) > 1e-9 {
				t.Errorf("hold %v, aspect %v: middle off by %.1e", hold, aspect, off)
			}
			if off := 2*b.BulgeMM3/even.BulgeMM3 - 1; math.Abs(off) > 1e-9 {
				t.Errorf("hold %v, aspect %v: bulge off by %.1e", hold, aspect, off)
			}
		}
	}
}

// Gauss points against the integrals of powers, all counts that walls need.
func TestGauss(t *testing.T) {
	for n := 2; n <= 90; n++ {
		x, w := gauss(n)
		for d := range 2 * n {
			var sum float64
			for i := range x {
				sum += w[i] * math.Pow(x[i], float64(d))
			}
			want := float64(1+(d+1)%2-d%2) / float64(d+1) // 2/(d+1) for even d, else 0
			if math.Abs(sum-want) > 1e-13 {
				t.Fatalf("%d points: ∫x^%d = %v, want %v", n, d, sum, want)
			}
		}
	}
}
