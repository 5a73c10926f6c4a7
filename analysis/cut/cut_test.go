package cut

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

func solid(t *testing.T, m *mesh.Mesh) *mesh.Solid {
	t.Helper()
	s, _, err := mesh.NewSolid(m)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// A convex part cut at its silhouette has no undercut. Cut a distance d off the
// middle, a ball of radius r has, on the far side, the cylinder of the plane's
// disc … less the cap: by quadrature below, on one side only.
func TestUndercutOfBall(t *testing.T) {
	m := meshtest.Icosphere(5).Scaled(20)
	normal := r3.Unit(r3.Vec{X: 2, Y: 1})
	if u := Undercut(m, r3.Vec{}, normal, 200); u[0] > 20 || u[1] > 20 {
		t.Errorf("cut through the middle: %v mm³, want about 0 of 33510", u)
	}
	// Drawn off a plane at s = −d: lines at distance ρ > √(r²−d²) from the axis
	// start in rubber, from −d to −√(r²−ρ²).
	const r, d = 20.0, 8.0
	want := 0.0
	for i := range 100000 {
		rho := math.Sqrt(r*r-d*d) + (r-math.Sqrt(r*r-d*d))*(float64(i)+0.5)/100000
		want += 2 * math.Pi * rho * (d - math.Sqrt(r*r-rho*rho)) * (r - math.Sqrt(r*r-d*d)) / 100000
	}
	u := Undercut(m, r3.Scale(-d, normal), normal, 400)
	if math.Abs(u[1]-want) > 0.03*want || u[0] > 20 {
		t.Errorf("cut %g mm off the middle: %v mm³, want [0 %.1f]", d, u, want)
	}
}

// Against a slow count of inside and outside along every line.
func TestUndercutAgainstSteps(t *testing.T) {
	torus := meshtest.TorusMesh(96, 48, 30, 10) // about z
	for _, normal := range []r3.Vec{{X: 1}, {Z: 1}, {X: 0.6, Z: 0.8}} {
		got := Undercut(torus, r3.Vec{}, normal, 120)
		want := stepped(normal)
		for side := range 2 {
			if math.Abs(got[side]-want[side]) > 0.05*want[side]+100 {
				t.Errorf("normal %v side %d: %.0f mm³, want %.0f by steps", normal, side, got[side], want[side])
			}
		}
	}
}

// stepped counts cells of rubber behind the torus 30/10.
func stepped(normal r3.Vec) [2]float64 {
	const step = 0.5
	inside := func(p r3.Vec) bool {
		q := math.Hypot(p.X, p.Y) - 30
		return q*q+p.Z*p.Z < 100
	}
	x, y := mesh.Frame(normal)
	var sum [2]float64
	for u := -41 + step/2; u < 41; u += step {
		for v := -41 + step/2; v < 41; v += step {
			for side, sign := range [2]float64{-1, 1} {
				behind := false
				for s := 41 - step/2; s > 0; s -= step {
					p := r3.Add(r3.Add(r3.Scale(u, x), r3.Scale(v, y)), r3.Scale(sign*s, normal))
					if inside(p) {
						behind = true
					} else if behind {
						sum[side] += step * step * step
					}
				}
			}
		}
	}
	return sum
}

func choose(t *testing.T, m *mesh.Mesh, detail func(p r3.Vec) float32) Result {
	t.Helper()
	s := solid(t, m)
	scores := make([]float32, len(m.Vertices))
	for v, p := range m.Vertices {
		scores[v] = detail(p)
	}
	me := s.Measure()
	r, err := Choose(context.Background(), s, Input{Detail: scores, Centroid: me.Centroid, VolumeMM3: me.VolumeMM3, AreaMM2: me.AreaMM2})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func TestChooseAvoidsDetail(t *testing.T) {
	ball := meshtest.Icosphere(5).Scaled(30)
	for _, deg := range []float64{0, 40, 125} {
		face := r3.Vec{X: math.Cos(deg * math.Pi / 180), Y: math.Sin(deg * math.Pi / 180)}
		r := choose(t, ball, func(p r3.Vec) float32 {
			if math.Abs(r3.Dot(face, p)) > 22 {
				return 1
			}
			return 0
		})
		if r.DetailCrossed > 0.01 {
			t.Errorf("detail at ±%g°: the cut crosses %.2f of it", deg, r.DetailCrossed)
		}
		if want := 2 * math.Pi * 30; math.Abs(r.OutlineMM-want) > 0.01*want {
			t.Errorf("outline %.2f mm, want %.2f", r.OutlineMM, want)
		}
		if r.Why == "" || r.Searched != planes {
			t.Errorf("searched %d, why %q", r.Searched, r.Why)
		}
	}
}

// A standing ring without detail is cut in its own plane: no undercut there.
func TestChooseAvoidsUndercut(t *testing.T) {
	m := meshtest.TorusMesh(96, 48, 30, 10)
	upright := mesh.Pose{Rows: [3]r3.Vec{{Y: 1}, {Z: 1}, {X: 1}}} // ring's axis along y
	r := choose(t, m.Posed(upright), func(r3.Vec) float32 { return 0 })
	if math.Abs(r.Normal.Y) < math.Cos(2*math.Pi/180) {
		t.Errorf("a standing ring is cut along normal %v, want its own plane", r.Normal)
	}
	if u := r.UndercutMM3[0] + r.UndercutMM3[1]; u > 0.01*59217 {
		t.Errorf("undercut %.0f mm³, want about none", u)
	}
}

// With the spout at one end of a lying bar the cut runs along it.
func TestChooseRunsAlongALyingBar(t *testing.T) {
	bar := meshtest.Split(meshtest.Split(meshtest.Box(200, 30, 30)))
	s := solid(t, bar)
	me := s.Measure()
	r, err := Choose(context.Background(), s, Input{Axis: r3.Vec{X: 8, Y: 15}, Centroid: me.Centroid,
		Detail: make([]float32, len(bar.Vertices)), VolumeMM3: me.VolumeMM3, AreaMM2: me.AreaMM2})
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(r.Normal.Y) < math.Cos(4*math.Pi/180) {
		t.Errorf("normal %v, want a cut along the bar", r.Normal)
	}
	if want := 2. * (200 + 30); math.Abs(r.OutlineMM-want) > 2 {
		t.Errorf("outline %.1f mm, want about %g", r.OutlineMM, want)
	}
}

func TestDetailCrossedIsByLength(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 8))
	ball := meshtest.Icosphere(5).Scaled(30)
	half := rng.Float32()
	r := choose(t, ball, func(p r3.Vec) float32 {
		if p.Z > 0 {
			return half
		}
		return 0
	})
	if math.Abs(r.DetailCrossed-float64(half)/2) > 0.02 {
		t.Errorf("half of the ball scores %g; crossed %g, want half of it", half, r.DetailCrossed)
	}
}
