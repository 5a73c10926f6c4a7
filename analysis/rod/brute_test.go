package rod

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

// bruteStick is a plain search for the longest stick at least reach from the
// surface: points at random inside, lines at random through them and through
// pairs of them, walked by the distance to the surface; then the best few dozen
// shaken at random, less and less.
func bruteStick(m *mesh.Mesh, reach float64, rng *rand.Rand, tries int) float64 {
	tree, b := mesh.NewTree(m), m.Bounds()
	slack := func(p r3.Vec) float64 {
		hit, _ := tree.Closest(p, math.Inf(1))
		if math.Abs(tree.Winding(p)) < 0.5 {
			return -hit.Distance - reach
		}
		return hit.Distance - reach
	}
	walk := func(p, u r3.Vec) r3.Vec { // as far as it goes
		for {
			s := slack(p)
			if s < 1e-3 {
				return p
			}
			p = r3.Add(p, r3.Scale(s, u))
		}
	}
	chord := func(p, u r3.Vec) Segment { return Segment{walk(p, r3.Scale(-1, u)), walk(p, u)} }
	gauss := func(s float64) r3.Vec {
		return r3.Vec{X: s * rng.NormFloat64(), Y: s * rng.NormFloat64(), Z: s * rng.NormFloat64()}
	}
	best := newBest(5, 24)
	var inside []r3.Vec
	for range tries {
		size := r3.Sub(b.Max, b.Min)
		p := r3.Add(b.Min, r3.Vec{X: size.X * rng.Float64(), Y: size.Y * rng.Float64(), Z: size.Z * rng.Float64()})
		if slack(p) < 0 {
			continue
		}
		best.add(chord(p, r3.Unit(gauss(1))))
		if n := len(inside); n > 0 {
			best.add(chord(p, r3.Unit(r3.Sub(inside[rng.IntN(n)], p))))
		}
		inside = append(inside, p)
	}
	longest := 0.0
	for _, s := range best.sure {
		for shake := s.Length() / 8; shake > 0.02; shake *= 0.95 {
			n := Segment{r3.Add(s.From, gauss(shake)), r3.Add(s.To, gauss(shake))}
			mid := n.At(rng.Float64())
			if slack(mid) < 0 {
				continue
			}
			if n = chord(mid, n.Along()); n.Length() > s.Length() {
				s = n
			}
		}
		longest = max(longest, s.Length())
	}
	return longest
}

// TestBruteForce holds the search against a plain one on shapes of no closed form:
// ours is never shorter by more than 1 %.
func TestBruteForce(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 21))
	for i := range 8 {
		m := oddShape(i, rng)
		reach := 5 + 6*rng.Float64()
		in := asked(t, m, 50_000, 4, reach-2)
		got := longestOne(t, in).Length()
		brute := bruteStick(m, reach, rng, 2000)
		t.Logf("%2d: %.2f mm, plain search %.2f", i, got, brute)
		if got < 0.99*brute {
			t.Errorf("shape %d: %.2f mm, and a plain search found %.2f", i, got, brute)
		}
		if brute < 1 {
			t.Errorf("shape %d shows nothing", i)
		}
	}
}

// oddShape makes a vase, a bent bar, a knot of boxes or a crooked L.
func oddShape(i int, rng *rand.Rand) *mesh.Mesh {
	switch i % 4 {
	case 0:
		profile := []r2.Vec{{}}
		for y := 0.0; y <= 160; y += 20 {
			profile = append(profile, r2.Vec{X: 14 + 26*rng.Float64(), Y: y})
		}
		return meshtest.Lathe(append(profile, r2.Vec{Y: 160}), 40).Posed(randomPose(rng))
	case 1:
		return bentBar(60+100*rng.Float64(), 14+10*rng.Float64(), 1+2*rng.Float64(), 50, 24).Posed(randomPose(rng))
	case 2:
		return lPlate(120+80*rng.Float64(), 26+20*rng.Float64()).Posed(randomPose(rng))
	}
	ball := meshtest.Icosphere(3)
	out := &mesh.Mesh{Faces: ball.Faces}
	wave := r3.Vec{X: rng.Float64(), Y: rng.Float64(), Z: rng.Float64()}
	for _, v := range ball.Vertices {
		r := 45 + 14*math.Sin(4*r3.Dot(v, wave)+5*v.X) + 9*math.Cos(6*v.Y)
		out.Vertices = append(out.Vertices, r3.Scale(r, v))
	}
	return out
}

// TestRuns: stretches are found exactly, and no gap hides anything.
func TestRuns(t *testing.T) {
	// Slack along a line past two balls that must not be touched, at 30 and 70.
	slack := func(x float64) float64 {
		return min(math.Hypot(x-30, 3), math.Hypot(x-70, 4)) - 5
	}
	w := runs{tol: 1e-6, slack: slack}
	got := fmt.Sprintf("%.3f", w.over(100))
	if want := "[{0.000 26.000} {34.000 67.000} {73.000 100.000}]"; got != want {
		t.Errorf("runs %s, want %s", got, want)
	}
	if r := longestOf(w.found); math.Abs(r.length()-33) > 1e-3 {
		t.Errorf("longest %v", r)
	}
}

// TestProject: the move nearest to the one wished that keeps its limits. A corner
// of two planes at an angle; and one limit alone, by hand.
func TestProject(t *testing.T) {
	wish := Segment{r3.Vec{X: -3}, r3.Vec{X: 3, Y: 1}}
	x := project(wish, []limit{{r3.Vec{X: -1}, 0, 1, -1}, {r3.Vec{Y: -1}, 0, 1, -0.5}})
	if d := r3.Norm(r3.Sub(x.To, r3.Vec{X: 1, Y: 0.5})) + r3.Norm(r3.Sub(x.From, wish.From)); d > 1e-9 {
		t.Errorf("moved to %v", x)
	}
	// The middle may not move along x by more than 0: both ends share the way back.
	x = project(Segment{r3.Vec{X: 1}, r3.Vec{X: 3}}, []limit{{r3.Vec{X: -1}, 0.5, 0.5, 0}})
	if math.Abs(x.From.X+1) > 1e-9 || math.Abs(x.To.X-1) > 1e-9 {
		t.Errorf("moved to %v", x)
	}
}
