package bow_test

import (
	"math"
	"testing"

	"pourwright/analysis/bow"
)

// push is the force of water on an upright strip from the surface down to a depth,
// m, and its moment about the surface: N and N·m, at the textbooks' 9.81 m/s².
func push(t *testing.T, width, depth float64) (force, moment float64) {
	t.Helper()
	if depth == 0 {
		return 0, 0
	}
	// The wall's own height is no matter: it is as high as the water is deep.
	b, err := bow.Bend(bow.Wall{WidthMM: 1000 * width, HeightMM: 1000 * depth, LevelMM: 1000 * depth, DensityGPerCM3: 1,
		Plate: bow.Isotropic(1e12, 0.3, 50), Edges: edges("SSSS")})
	if err != nil {
		t.Fatal(err)
	}
	force = b.ForceN * 9.81 / 9.80665
	return force, force * (depth - b.ForceAtMM/1000)
}

// Textbook gates under water, by the same push of a liquid that bends a wall:
// upright 2 × 3 m, top at 1 m: 147.15 kN, centre of pressure at 2.800 m; 1.5 × 3 m,
// top at 2 m: 154.51 kN, 3.714 m; a square of 3 m whose centre of pressure is 8 cm
// under its middle lies with its top at 7.875 m and is pushed with 827.72 kN; 1 × 2 m
// at 60°, top at 1.5 m: 46.42 kN, 2.854 m along its plane; a disc of 1.2 m, middle
// at 2.5 m: 27.74 kN, 2.536 m. Sources: worked examples of textbook pages on
// hydrostatic forces on plane surfaces.
func TestGatesUnderWater(t *testing.T) {
	between := func(width, top, bottom float64) (force, centre float64) {
		f1, m1 := push(t, width, top)
		f2, m2 := push(t, width, bottom)
		return f2 - f1, (m2 - m1) / (f2 - f1)
	}
	check := func(name string, force, centre, kN, m float64) {
		t.Helper()
		if math.Abs(force/1000-kN) > 0.006*math.Sqrt(kN/10) || math.Abs(centre-m) > 6e-4 {
			t.Errorf("%s: %.3f kN at %.4f m, want %.2f at %.3f", name, force/1000, centre, kN, m)
		}
	}
	f, c := between(2, 1, 4)
	check("upright gate", f, c, 147.15, 2.800)
	f, c = between(1.5, 2, 5)
	check("narrow gate", f, c, 154.51, 3.714)
	// At half the size, since walls end at 10 m: the force grows with the cube.
	f, c = between(1.5, 7.875/2, 10.875/2)
	check("deep square", 8*f, 2*c, 827.72, 9.375+0.08)
	// A leaning gate is an upright one that is wider by its lean.
	sin := math.Sin(math.Pi / 3)
	f, c = between(1/sin, 1.5, 1.5+2*sin)
	check("leaning gate", f, c/sin, 46.42, 2.854)
	// A disc in level strips.
	const strips, r = 60, 0.6
	force, moment := 0.0, 0.0
	for i := range strips {
		y0, y1 := -r+2*r*float64(i)/strips, -r+2*r*float64(i+1)/strips
		half := func(y float64) float64 { return (y*math.Sqrt(math.Max(0, r*r-y*y)) + r*r*math.Asin(y/r)) / 2 }
		width := 2 * (half(y1) - half(y0)) / (y1 - y0) // as much area
		f, c := between(width, 2.5+y0, 2.5+y1)
		force, moment = force+f, moment+f*c
	}
	check("disc", force, moment/force, 27.74, 2.536)
}
