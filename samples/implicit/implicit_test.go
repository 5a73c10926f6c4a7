package implicit

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
)

func cube(half float64) r3.Box { return r3.Box{Min: V(-half, -half, -half), Max: V(half, half, half)} }

// solids have closed forms found in any table of solids.
var solids = []struct {
	name   string
	solid  Field
	volume float64 // mm³
	euler  int     // V − E + F
}{
	{"ball", Ball(V(0.3, -0.2, 0.1), 10), 4000 * math.Pi / 3, 2},
	{"ellipsoid", Ellipsoid(V(0, 0, 0), V(12, 8, 6)), 4 * math.Pi / 3 * 12 * 8 * 6, 2},
	{"rod with round ends", Rod(V(-8, 0, 0), V(8, 0, 0), 4, 4), math.Pi*16*16 + 256*math.Pi/3, 2},
	{"ring", Ring(V(0, 0, 0), V(0, 0.6, 0.8), 9, 3), 2 * math.Pi * math.Pi * 9 * 9, 0},
	{"turned cone", Revolved(Turned(-8).To(9, -8).To(0, 10)), math.Pi * 81 * 18 / 3, 2},
	{"two balls apart", Union(0, Ball(V(-7, 0, 0), 5), Ball(V(7, 0, 0), 5)), 1000 * math.Pi / 3, 4},
	{"half a ball", Both(0, Ball(V(0, 0, 0), 10), Below(V(0, 0, 1), 0)), 2000 * math.Pi / 3, 2},
	{"ball with a bore", Cut(0, Ball(V(0, 0, 0), 10), Rod(V(-30, 0, 0), V(30, 0, 0), 6, 6)),
		math.Pi * 16 * 16 * 16 / 6, 0}, // the napkin ring: as a ball of the bore's length, 2·√(10² − 6²)
	{"six balls", Repeated(6, Ball(V(9, 0, 0), 4)), 6 * 256 * math.Pi / 3, 12},
	{"mirrored ball", Mirrored(Ball(V(0, 7, 0), 5)), 1000 * math.Pi / 3, 4},
}

func TestVolume(t *testing.T) {
	for _, s := range solids {
		if got := Volume(s.solid, cube(14), 0.5); math.Abs(got/s.volume-1) > 0.006 {
			t.Errorf("%s: volume %.1f, want %.1f mm³", s.name, got, s.volume)
		}
	}
}

func TestSurface(t *testing.T) {
	for _, s := range solids {
		m := Surface(s.solid, cube(14), 1)
		checkSurface(t, s.name, m, s.euler, s.volume, 0.03)
		coarse := Coarsened(m, 0.6)
		if len(coarse.Faces) > len(m.Faces)*3/4 {
			t.Errorf("%s: coarsened from %d to %d faces only", s.name, len(m.Faces), len(coarse.Faces))
		}
		checkSurface(t, s.name+", coarsened", coarse, s.euler, s.volume, 0.04)
		relaxed := Relaxed(coarse, s.solid, 0.6, 4)
		checkSurface(t, s.name+", relaxed", relaxed, s.euler, s.volume, 0.025)
		checkSurface(t, s.name+", blurred", Blurred(relaxed, 2), s.euler, s.volume, 0.025)
	}
}

func checkSurface(t *testing.T, name string, m *mesh.Mesh, euler int, volume, tolerance float64) {
	t.Helper()
	solid, _, err := mesh.NewSolid(m)
	if err != nil {
		t.Errorf("%s: %v", name, err)
		return
	}
	if got := len(m.Vertices) - len(m.Faces)/2; got != euler {
		t.Errorf("%s: Euler number %d, want %d", name, got, euler)
	}
	if got := solid.Measure().VolumeMM3; math.Abs(got/volume-1) > tolerance {
		t.Errorf("%s: volume %.1f, want %.1f mm³", name, got, volume)
	}
}

// TestSurfaceOfNoise takes surfaces no sampling can resolve: still closed.
func TestSurfaceOfNoise(t *testing.T) {
	for seed := range uint64(5) {
		rng := rand.New(rand.NewPCG(seed, 1))
		noise := make([]float64, 1<<12)
		for i := range noise {
			noise[i] = rng.NormFloat64()
		}
		solid := Both(0, Ball(V(0, 0, 0), 6), func(p r3.Vec) float64 {
			at := int(math.Floor(3*p.X))*31 + int(math.Floor(3*p.Y))*17 + int(math.Floor(3*p.Z))*7
			return noise[at&(len(noise)-1)]
		})
		m := Surface(solid, cube(6), 1)
		if r := mesh.Check(m); !r.Closed {
			t.Errorf("seed %d: %d rims of holes in %d faces", seed, r.OpenLoops, len(m.Faces))
		}
		if r := mesh.Check(Coarsened(m, 0.5)); !r.Closed {
			t.Errorf("seed %d, coarsened: %d rims of holes", seed, r.OpenLoops)
		}
	}
}

func TestRelaxedLiesOnSurface(t *testing.T) {
	ball := Ball(V(0, 0, 0), 10)
	m := Relaxed(Coarsened(Surface(ball, cube(12), 1), 0.6), ball, 0.6, 4)
	for _, p := range m.Vertices {
		if off := ball(p); math.Abs(off) > 1e-6 {
			t.Fatalf("a vertex is %.2g mm off the surface", off)
		}
	}
}

func TestNoisy(t *testing.T) {
	ball := Ball(V(0, 0, 0), 10)
	m := Relaxed(Surface(ball, cube(12), 0.7), ball, 0.7, 4)
	var sum, squares float64
	for _, p := range Noisy(m, ball, 0.025, 7).Vertices {
		sum += ball(p)
		squares += ball(p) * ball(p)
	}
	n := float64(len(m.Vertices))
	if mean := sum / n; math.Abs(mean) > 4*0.025/math.Sqrt(n) {
		t.Errorf("mean of the noise is %.5f mm over %.0f vertices", mean, n)
	}
	if deviation := math.Sqrt(squares / n); math.Abs(deviation/0.025-1) > 0.05 {
		t.Errorf("deviation of the noise is %.4f mm, want 0.025", deviation)
	}
}

func TestProfileVolume(t *testing.T) {
	for _, c := range []struct {
		name    string
		profile Profile
		want    float64
	}{
		{"cylinder", Turned(0).To(3, 0).To(3, 5).To(0, 5), math.Pi * 9 * 5},
		{"frustum", Turned(0).To(3, 0).To(1, 6).To(0, 6), math.Pi * 6 * (9 + 3 + 1) / 3},
		{"ball of chords", Turned(-50).Arc(0, 50, 50), 4 * math.Pi / 3 * 125000},
		// A cap of height h of a ball of radius R has π h² (3R − h) / 3; here R = 50.
		{"cap", Turned(0).To(40, 0).Arc(0, 20, 50-math.Sqrt(50*50-500)), math.Pi * 400 * (150 - 20) / 3},
	} {
		if got := c.profile.Volume(); math.Abs(got/c.want-1) > 0.003 {
			t.Errorf("%s: %.2f, want %.2f mm³", c.name, got, c.want)
		}
	}
}

func TestCurveLocate(t *testing.T) {
	c := Bezier(V(0, 0, 0), V(0, 0, 10), V(0, 0, 20), V(0, 0, 30), 12)
	if math.Abs(c.Length()-30) > 1e-9 {
		t.Fatalf("length %v, want 30", c.Length())
	}
	for _, want := range []Along{{S: 7, In: 2, Across: -3}, {S: -4, In: -1, Across: 0.5}, {S: 33, In: 0.1, Across: 0}} {
		got := c.Locate(V(want.In, want.Across, want.S))
		if math.Abs(got.S-want.S)+math.Abs(got.In-want.In)+math.Abs(got.Across-want.Across) > 1e-9 {
			t.Errorf("located at %+v, want %+v", got, want)
		}
	}
	if at := c.At(12.5); r3.Norm(r3.Sub(at, V(0, 0, 12.5))) > 1e-9 {
		t.Errorf("12.5 mm along is %v", at)
	}
}
