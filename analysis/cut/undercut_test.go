package cut

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

func undercutOf(m *mesh.Mesh, s Sheet, n int) (mm3, depth [2]float64) {
	return Undercut(m, mesh.NewTree(m), s, n)
}

// Closed forms, each within 1 %; places are laid so that no line grazes a face.
func TestUndercutClosedForms(t *testing.T) {
	x45 := r3.Vec{X: math.Sqrt(0.5), Y: math.Sqrt(0.5)}
	// A square bar of sides a, b cut along a plane at 45° through its middle: the
	// corners beside the plane are (a − b)/2√2 off it, and rubber hooks below them
	// in right-angled triangles with that as height.
	const a, b, long = 60, 20, 80
	h := (a - b) / (2 * math.Sqrt2)
	bar := meshtest.Moved(meshtest.Box(a, b, long), r3.Vec{X: -a / 2, Y: -b / 2})
	square := meshtest.Moved(meshtest.Box(a, a, long), r3.Vec{X: -a / 2, Y: -a / 2})
	// Mushroom: stem r 10 to z = 60, cap r 50 to z = 80; below the cap a ring.
	mushroom := meshtest.Lathe([]r2.Vec{{}, {X: 10, Y: 0}, {X: 10, Y: 60}, {X: 50, Y: 60}, {X: 50, Y: 80}, {Y: 80}}, 360)
	ring := math.Pi * (50*50 - 10*10) * 60
	// Torus R 30 r 10 drawn across its axis: half of the hole on each side,
	// π/2·∫(R − √(r² − z²))² dz from −r to r.
	const R, r = 30, 10
	hole := math.Pi / 2 * (2*r*R*R - math.Pi*R*r*r + 4*r*r*r/3.)
	torus := meshtest.TorusMesh(200, 100, R, r)
	// Ball of radius 20 cut d = 8 off its middle: lines from the plane's disc out to
	// the equator meet rubber first, ∫2πρ(d − √(r² − ρ²))dρ = πd³/3.
	ball := meshtest.Icosphere(5).Scaled(20)
	for _, c := range []struct {
		what  string
		m     *mesh.Mesh
		sheet Sheet
		want  [2]float64
		depth [2]float64
		slack float64 // mm³ where nothing is expected
	}{
		{"ball on its equator", ball, NewPlane(r3.Vec{}, r3.Unit(r3.Vec{X: 2, Y: 1})), [2]float64{}, [2]float64{}, 20},
		{"ball 8 mm off", ball, NewPlane(r3.Vec{X: -8}, r3.Vec{X: 1}), [2]float64{0, math.Pi * 512 / 3}, [2]float64{0, 8}, 20},
		{"bar at 45°", bar, NewPlane(r3.Vec{Z: 40}, x45), [2]float64{h * h / 2 * long, h * h / 2 * long}, [2]float64{h, h}, 0},
		{"square bar at 45°", square, NewPlane(r3.Vec{Z: 40}, x45), [2]float64{}, [2]float64{}, 20},
		{"mushroom from below", mushroom, NewPlane(r3.Vec{}, r3.Vec{Z: 1}), [2]float64{0, ring}, [2]float64{0, 60}, 1},
		{"mushroom through its axis", mushroom, NewPlane(r3.Vec{}, r3.Vec{X: 1}), [2]float64{}, [2]float64{}, 200},
		{"torus in its plane", torus, NewPlane(r3.Vec{}, r3.Vec{Z: 1}), [2]float64{}, [2]float64{}, 20},
		{"torus across", torus, NewPlane(r3.Vec{}, r3.Vec{X: 1}), [2]float64{hole, hole}, [2]float64{R, R}, 0},
	} {
		mm3, depth := undercutOf(c.m, c.sheet, 300)
		for side := range 2 {
			if math.Abs(mm3[side]-c.want[side]) > 0.01*c.want[side]+c.slack {
				t.Errorf("%s, side %d: %.1f mm³, want %.1f", c.what, side, mm3[side], c.want[side])
			}
			if c.want[side] > 0 && math.Abs(depth[side]-c.depth[side]) > 0.06*c.depth[side] {
				t.Errorf("%s, side %d: %.2f mm deep, want %.2f", c.what, side, depth[side], c.depth[side])
			}
		}
	}
}

// Against another count: every line tested against every triangle, and along it
// the last place where the pattern is.
func TestUndercutAgainstBruteForce(t *testing.T) {
	m := meshtest.Together(meshtest.TorusMesh(24, 12, 30, 10), meshtest.Moved(meshtest.Box(18, 14, 44), r3.Vec{X: -10, Y: -8, Z: -22}))
	// No line along an edge: the slow count has no rule for those.
	m = m.Posed(turnedAbout(11.3)).Posed(mesh.PoseDown(r3.Unit(r3.Vec{X: 0.21, Y: 0.13, Z: -1})))
	for _, normal := range []r3.Vec{{X: 1}, {Z: 1}, r3.Unit(r3.Vec{X: 3, Y: 1, Z: 2})} {
		s := NewPlane(r3.Vec{X: 3, Y: 2, Z: 1}, normal)
		got, _ := undercutOf(m, s, 250)
		want := bruteUndercut(m, s, 170)
		for side := range 2 {
			if math.Abs(got[side]-want[side]) > 0.01*want[side]+10 {
				t.Errorf("normal %v side %d: %.0f mm³, %.0f by brute force", normal, side, got[side], want[side])
			}
		}
	}
}

// bruteUndercut lays n × n lines over the bounds of the shadow.
func bruteUndercut(m *mesh.Mesh, s Sheet, n int) (sum [2]float64) {
	lo, hi := [2]float64{math.Inf(1), math.Inf(1)}, [2]float64{math.Inf(-1), math.Inf(-1)}
	for _, p := range m.Vertices {
		u, v := s.Flat(p)
		lo, hi = [2]float64{min(lo[0], u), min(lo[1], v)}, [2]float64{max(hi[0], u), max(hi[1], v)}
	}
	du, dv := (hi[0]-lo[0])/float64(n), (hi[1]-lo[1])/float64(n)
	for i := range n {
		for k := range n {
			u, v := lo[0]+(float64(i)+0.5)*du, lo[1]+(float64(k)+0.5)*dv
			origin := s.At(u, v)
			for side, sign := range [2]float64{-1, 1} {
				inside, far := 0.0, 0.0
				for f := range m.Faces {
					h, leaves, met := lineMeets(m, f, origin, r3.Scale(sign, s.Normal))
					if !met || h < 0 {
						continue
					}
					far = max(far, h)
					if leaves {
						inside += h
					} else {
						inside -= h
					}
				}
				sum[side] += (far - inside) * du * dv
			}
		}
	}
	return sum
}

// lineMeets tells where a line meets a face. Source: Möller & Trumbore, "Fast,
// minimum storage ray/triangle intersection", Journal of Graphics Tools 2(1), 1997
// (from memory).
func lineMeets(m *mesh.Mesh, f int, origin, dir r3.Vec) (at float64, leaves, met bool) {
	a, b, c := m.Corners(f)
	e1, e2 := r3.Sub(b, a), r3.Sub(c, a)
	p := r3.Cross(dir, e2)
	det := r3.Dot(e1, p)
	if math.Abs(det) < 1e-14 {
		return 0, false, false
	}
	t := r3.Sub(origin, a)
	u := r3.Dot(t, p) / det
	q := r3.Cross(t, e1)
	v := r3.Dot(dir, q) / det
	if u < 0 || v < 0 || u+v > 1 {
		return 0, false, false
	}
	return r3.Dot(e2, q) / det, det < 0, true
}

// A stepped sheet that follows the edges of a leaning bar leaves no undercut; a
// shear keeps volumes, so its two sides add up to the pattern.
func TestUndercutOfSteppedSheet(t *testing.T) {
	s := NewPlane(r3.Vec{}, r3.Vec{X: 1})
	s.AlongUp, s.Steps = true, []Step{{-40, -10}, {0, 0}, {30, 12}}
	ball := meshtest.Icosphere(5).Scaled(20)
	leaning := &mesh.Mesh{Faces: ball.Faces}
	for _, p := range ball.Vertices {
		leaning.Vertices = append(leaning.Vertices, r3.Add(p, r3.Scale(s.offset(s.Flat(p)), s.Normal)))
	}
	if mm3, _ := undercutOf(leaning, s, 300); mm3[0]+mm3[1] > 30 {
		t.Errorf("undercut %v mm³ of a ball sheared as the sheet is", mm3)
	}
	body := solid(t, leaning)
	sides, volume := s.Sides(body), body.Measure().VolumeMM3
	if math.Abs(sides[0]+sides[1]-volume) > 1e-6*volume || math.Abs(sides[0]-volume/2) > 1e-3*volume {
		t.Errorf("sides %v of %.3f mm³, want two halves", sides, volume)
	}
	loops, area := s.Section(leaning)
	for _, l := range loops {
		for _, p := range l.Points {
			if math.Abs(s.Height(p)) > 0.05 {
				t.Fatalf("the outline is %.3f mm off the sheet", s.Height(p))
			}
		}
	}
	if want := math.Pi * 400; math.Abs(area-want) > 0.01*want {
		t.Errorf("section %.1f mm², want %.1f", area, want)
	}
}
