package cut

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis/shelf"
	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

// Girths are exact on boxes and cylinders (of n sides: 2nr·sin(π/n)), in any turn;
// of a cone they fall with the height; of two pillars the hull goes round both.
func TestGirths(t *testing.T) {
	const n, r = 180, 15
	ring := 2 * n * r * math.Sin(math.Pi/n)
	pillars := meshtest.Together(meshtest.Box(10, 10, 50), meshtest.Moved(meshtest.Box(10, 10, 50), r3.Vec{X: 40}))
	for _, c := range []struct {
		what string
		m    *mesh.Mesh
		want func(z float64) float64
	}{
		{"box", meshtest.Box(30, 20, 50), func(float64) float64 { return 100 }},
		{"turned box", meshtest.Box(30, 20, 50).Posed(turnedAbout(31)), func(float64) float64 { return 100 }},
		{"cylinder", meshtest.Cylinder(n, r, 60), func(float64) float64 { return ring }},
		{"cone", meshtest.Cone(n, r, 60), func(z float64) float64 { return ring * (1 - z/60) }},
		{"pillars", pillars, func(float64) float64 { return 2 * (50 + 10) }},
	} {
		g := girthsOf(c.m, 0.5)
		if len(g.mm) < 40 || g.heightMM[0] != 0.5 {
			t.Fatalf("%s: %d sections from %g", c.what, len(g.mm), g.heightMM[0])
		}
		for k, mm := range g.mm {
			if want := c.want(g.heightMM[k]); math.Abs(mm-want) > 1e-9*want {
				t.Errorf("%s at %.1f: girth %.12f, want %.12f", c.what, g.heightMM[k], mm, want)
				break
			}
		}
	}
}

// Stretch, stress and slit growth: worked rows, computed apart from this program
// (formulas: see the functions).
func TestStretchAndTearRows(t *testing.T) {
	near := func(what string, got, want, tolerance float64) {
		if math.Abs(got-want) > tolerance {
			t.Errorf("%s: %.6f, want %.6f", what, got, want)
		}
	}
	near("ball d60 through d30", StretchToPass(60*math.Pi, 30*math.Pi), 1, 1e-12)
	near("80 × 40 through a round hole d40", StretchToPass(240, 40*math.Pi), 0.90986, 5e-6)
	near("equal sections", StretchToPass(100, 100), 0, 0)
	for shore, want := range map[float64]float64{0: 0.157, 10: 0.413, 15: 0.563, 20: 0.732, 25: 0.923, 30: 1.142, 40: 1.690, 50: 2.456, 60: 3.605} {
		near("Gent", Gent(shore), want, 0.0006)
	}
	near("stress at 1.5", Stress(1.142, 1.5), 0.4018, 5e-5)
	near("stress at 2", Stress(1.142, 2), 0.6662, 5e-5)
	near("nick at 1.5", LongestNickMM(1.142, 1.5, 10), 17.56, 0.005)
	near("nick at 1.3", LongestNickMM(1.142, 1.3, 10), 41.7, 0.05)
	near("nick at 2", LongestNickMM(1.142, 2, 15), 8.87, 0.005)
	if !math.IsInf(LongestNickMM(1.142, 1, 10), 1) {
		t.Error("without stretch nothing tears")
	}
}

func TestAllowedStretch(t *testing.T) {
	tin := shelf.Rubber{Cure: shelf.Tin, ElongationPct: shelf.Range{Low: 200, Likely: 400, High: 500}}
	platinum := shelf.Rubber{Cure: shelf.Platinum, ElongationPct: shelf.Range{Low: 200, Likely: 600, High: 700}}
	for _, c := range []struct {
		rubber  shelf.Rubber
		want    float64
		guessed bool
	}{
		{tin, 1, false}, {platinum, 2, false}, {shelf.Rubber{Cure: shelf.Tin}, 0.5, true}, {shelf.Rubber{Cure: shelf.Platinum}, 2.5 / 3, true},
	} {
		if got, guessed := AllowedStretch(c.rubber); math.Abs(got-c.want) > 1e-12 || guessed != c.guessed {
			t.Errorf("%+v: %g %v", c.rubber, got, guessed)
		}
	}
}

// bottle has a neck of radius 10 and height 30 at the board, then a body of radius
// 40 and height 40, with many sides.
func bottle() *mesh.Mesh {
	return meshtest.Lathe([]r2.Vec{{}, {X: 10, Y: 0}, {X: 10, Y: 30}, {X: 40, Y: 30}, {X: 40, Y: 70}, {Y: 70}}, 360)
}

func slitOf(t *testing.T, m *mesh.Mesh, s Sheet, in Opening) (Result, Slit) {
	t.Helper()
	r := Result{Sheet: s, ThroughSpout: true}
	r.Outline, r.SectionMM2 = s.Section(m)
	for _, l := range r.Outline {
		r.OutlineMM += l.Length()
	}
	return r, LeastSlit(&r, m, in)
}

// The neck's last section must let the body's girth pass: up to the shoulder the
// slit has the neck's height, and beyond it half of what is short there.
func TestSlitOfBottle(t *testing.T) {
	m := bottle()
	ring := func(r float64) float64 { return 2 * 360 * r * math.Sin(math.Pi/360) }
	for _, allowed := range []float64{0.5, 0.875, 1.5, 2.5} {
		_, s := slitOf(t, m, NewPlane(r3.Vec{}, r3.Vec{X: 1}), Opening{Allowed: allowed})
		g := girthsOf(m, onBoardMM)
		last := 0.0
		for _, z := range g.heightMM {
			if z < 30 {
				last = z
			}
		}
		want := last + (ring(40)/(1+allowed)-ring(10))/2
		if s.Full != "" || s.MM < want-0.1 || s.MM > want+slitStepMM+0.6 {
			t.Errorf("stretch %g: slit %.1f mm (%s), want %.1f rounded up to 5", allowed, s.MM, s.Full, want)
		}
		if s.Needed > allowed+1e-9 || math.Abs(s.Without-3) > 1e-9 {
			t.Errorf("stretch %g: needs %.3f with the slit, %.3f without (want 3)", allowed, s.Needed, s.Without)
		}
		if whole := s.MM + s.HingeMM; math.Abs(whole-(2*30+2*30+2*40+80)) > 1.5 {
			t.Errorf("slit and hinge are %.1f mm together, the way round 280", whole)
		}
	}
	if _, s := slitOf(t, m, NewPlane(r3.Vec{}, r3.Vec{X: 1}), Opening{Allowed: 3.01}); s.MM != 0 || s.Full != "" {
		t.Errorf("rubber that stretches fourfold needs no slit: %.1f mm %s", s.MM, s.Full)
	}
}

// A wider slit never needs more stretch, nor more stretch a longer slit.
func TestSlitLaws(t *testing.T) {
	m, _ := standing()
	r, _ := slitOf(t, m, NewPlane(r3.Vec{}, r3.Vec{Y: 1}), Opening{Allowed: 0.5})
	g := girthsOf(m, onBoardMM)
	ways, _ := r.ways(Opening{})
	for i := range ways {
		before := math.Inf(1)
		for slit := 0.0; slit <= ways[i].length(); slit += 2.5 {
			needed := g.needed(&ways[i], slit)
			if needed > before+1e-12 {
				t.Errorf("a slit of %.1f mm needs %.4f, a shorter one %.4f", slit, needed, before)
			}
			before = needed
		}
		last := math.Inf(1)
		for allowed := 0.0; allowed < 3; allowed += 0.1 {
			slit := g.least(&ways[i], allowed)
			if slit > last+1e-12 {
				t.Errorf("stretch %.1f needs a slit of %.2f mm, less stretch one of %.2f", allowed, slit, last)
			}
			if needed := g.needed(&ways[i], slit); needed > allowed+1e-9 && slit < ways[i].length() {
				t.Errorf("stretch %.1f: slit %.2f mm still needs %.4f", allowed, slit, needed)
			}
			last = slit
		}
	}
}

// wide is a shape drawn out along y.
func wide(m *mesh.Mesh) *mesh.Mesh {
	out := &mesh.Mesh{Faces: m.Faces}
	for _, p := range m.Vertices {
		out.Vertices = append(out.Vertices, r3.Vec{X: p.X, Y: 4 * p.Y, Z: p.Z})
	}
	return out
}

// On a stem the slit starts at the board: a ball of girth 2πr on a stem of diameter d
// and length h needs h, and half of what the rim is short.
func TestSlitPastTheStem(t *testing.T) {
	const h, d, allowed = 20, 16, 0.5
	m := meshtest.Moved(meshtest.Icosphere(5).Scaled(30), r3.Vec{Z: 30 + h})
	_, s := slitOf(t, m, NewPlane(r3.Vec{}, r3.Vec{Y: 1}), Opening{Spout: r3.Vec{Z: h}, StemMM: d, Allowed: allowed})
	least := h + (2*math.Pi*30/(1+allowed)-math.Pi*d)/2
	if s.Full != "" || s.MM < least-0.5 || s.Path[0].Z != 0 || math.Abs(math.Abs(s.Path[0].X)-d/2) > 1e-9 {
		t.Errorf("slit %.1f mm from %v (%s), want at least %.1f from the stem's foot", s.MM, s.Path[0], s.Full, least)
	}
	length := 0.0
	for i := 1; i < len(s.Path); i++ {
		length += r3.Norm(r3.Sub(s.Path[i], s.Path[i-1]))
	}
	if math.Abs(length-s.MM) > 1e-6 || s.Hinge[0] != s.Path[len(s.Path)-1] {
		t.Errorf("the path is %.6f mm long, the slit %.6f", length, s.MM)
	}
	if s.RimMM != math.Pi*d || math.Abs(s.GirthMM-2*math.Pi*30) > 0.3 || math.Abs(s.AtMM-(30+h)) > 1 {
		t.Errorf("rim %.2f, girth %.2f at %.1f", s.RimMM, s.GirthMM, s.AtMM)
	}
}

// Drawn straight, a bent bar pushes its shadow through: of two equal squares, one
// over the other and moved aside by their width, the shadow is twice as long.
func TestStraightPull(t *testing.T) {
	m := meshtest.Box(20, 20, 80)
	bent := &mesh.Mesh{Faces: m.Faces}
	for _, p := range m.Vertices {
		bent.Vertices = append(bent.Vertices, r3.Vec{X: p.X + p.Z/4, Y: p.Y, Z: p.Z})
	}
	g := girthsOf(bent, onBoardMM)
	for k, z := range g.heightMM {
		top := g.heightMM[len(g.heightMM)-1]
		if want := 80 + 2*(top-z)/4; math.Abs(g.shadowMM[k]-want) > 1e-6 || math.Abs(g.mm[k]-80) > 1e-9 {
			t.Fatalf("at %.1f: shadow %.4f, want %.4f; girth %.4f, want 80", z, g.shadowMM[k], want, g.mm[k])
		}
	}
	_, s := slitOf(t, bent, NewPlane(r3.Vec{X: 10, Y: 10}, r3.Vec{Y: 1}), Opening{Spout: r3.Vec{X: 10, Y: 10}, Allowed: 0.2})
	if s.MM != 0 || s.Needed > 1e-9 || math.Abs(s.Straight-0.5) > 0.01 {
		t.Errorf("slit %.1f mm, needs %.3f, drawn straight %.3f (want about 0.5)", s.MM, s.Needed, s.Straight)
	}
}

// Why halves come apart.
func TestFullHalves(t *testing.T) {
	upright := mesh.Pose{Rows: [3]r3.Vec{{Y: 1}, {Z: 1}, {X: 1}}, T: r3.Vec{Z: 40}}
	ring := meshtest.TorusMesh(96, 48, 30, 10).Posed(upright)
	across := NewPlane(r3.Vec{}, r3.Vec{X: 1})
	along := NewPlane(r3.Vec{}, r3.Vec{Y: 1})
	legs := meshtest.Together(meshtest.Moved(meshtest.Box(20, 20, 60), r3.Vec{X: -30, Y: -10}), meshtest.Moved(meshtest.Box(20, 20, 60), r3.Vec{X: 10, Y: -10}))
	flat := NewPlane(r3.Vec{Z: 40}, r3.Vec{Z: 1})
	for _, c := range []struct {
		what    string
		m       *mesh.Mesh
		sheet   Sheet
		in      Opening
		through bool
		want    string
	}{
		{"ring cut in its plane", ring, along, Opening{Allowed: 1, Holed: true, StemMM: 10}, true, Hole},
		{"ring cut across", ring, across, Opening{Allowed: 1, Holed: true, StemMM: 10}, true, Hole},
		{"two legs", legs, along, Opening{Allowed: 1, Spout: r3.Vec{X: 20}}, true, Several},
		{"bottle in stiff rubber", bottle(), across, Opening{Allowed: 0}, true, ""},
		{"beside the spout", bottle(), flat, Opening{Allowed: 1}, false, Beside},
		{"wide plate on a pin", wide(meshtest.Lathe([]r2.Vec{{}, {X: 1, Y: 0}, {X: 1, Y: 60}, {X: 40, Y: 60}, {X: 40, Y: 63}, {Y: 63}}, 90)), along, Opening{Allowed: 0.05}, true, Tight},
	} {
		r := Result{Sheet: c.sheet, ThroughSpout: c.through}
		r.Outline, r.SectionMM2 = c.sheet.Section(c.m)
		for _, l := range r.Outline {
			r.OutlineMM += l.Length()
		}
		s := LeastSlit(&r, c.m, c.in)
		if s.Full != c.want {
			t.Errorf("%s: %q, want %q (slit %.1f, hinge %.1f)", c.what, s.Full, c.want, s.MM, s.HingeMM)
		}
		if s.Full != "" && (s.FullBecause() == "" || s.HingeMM != 0) {
			t.Errorf("%s: %q, hinge %g", c.what, s.FullBecause(), s.HingeMM)
		}
	}
}

// The key line stays off the hinge, and the knife stops between slit and outside.
func TestHingeStaysWhole(t *testing.T) {
	m := bottle()
	room := blockAround(m, 19)
	_, p := placedOn(t, m, NewPlane(r3.Vec{}, r3.Vec{X: 1}), room, 5, Opening{})
	if p.Slit.Full != "" || p.Stop == nil || p.Slit.HingeMM < 50 {
		t.Fatalf("slit %.1f mm, hinge %.1f, %q", p.Slit.MM, p.Slit.HingeMM, p.Slit.Full)
	}
	end := p.Slit.Path[len(p.Slit.Path)-1]
	if p.Stop[0] != end || math.Abs(room.Outside(p.Stop[1])) > 0.51 {
		t.Errorf("stops at %v, the slit at %v", p.Stop, end)
	}
	waves := 0
	for _, k := range p.Keys {
		waves += len(k.Waves)
		for _, q := range k.Points {
			onPath, onHinge := nearestPoint(p.Slit.Path, q), nearestPoint(p.Slit.Hinge, q)
			if onHinge < onPath-1.5 {
				t.Fatalf("the key line at %v is %.1f mm from the slit and %.1f from the hinge", q, onPath, onHinge)
			}
		}
	}
	if waves == 0 {
		t.Error("no waves beside the slit")
	}
}

func nearestPoint(line []r3.Vec, q r3.Vec) float64 {
	nearest := math.Inf(1)
	for i := 1; i < len(line); i++ {
		d := r3.Sub(line[i], line[i-1])
		s := 0.0
		if n := r3.Norm2(d); n > 0 {
			s = max(0, min(1, r3.Dot(r3.Sub(q, line[i-1]), d)/n))
		}
		nearest = min(nearest, r3.Norm(r3.Sub(q, r3.Add(line[i-1], r3.Scale(s, d)))))
	}
	return nearest
}
