package picture

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis"
	"pourwright/mesh"
	"pourwright/mesh/meshtest"
	"pourwright/render/say"
)

func boxed(t testing.TB, m *mesh.Mesh, x, y, z float64) *scene {
	t.Helper()
	p := &analysis.Plan{}
	p.Box.InsideMM = [3]float64{x, y, z}
	s, err := newScene(m, p, wordedBy(say.Metric))
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func TestViewsAreRightHandedAndFromTheFrontAbove(t *testing.T) {
	for azimuth := -60.0; azimuth <= 60; azimuth += 15 {
		c := lookFrom(azimuth, 25)
		if d := r3.Norm(r3.Sub(r3.Cross(c.right, c.up), c.toward)); d > 1e-15 {
			t.Errorf("azimuth %g: not a right-handed frame, off by %g", azimuth, d)
		}
		if c.toward.Y >= 0 || c.toward.Z <= 0 || c.right.Z != 0 {
			t.Errorf("azimuth %g: not from the front and above: %v", azimuth, c.toward)
		}
		p := r3.Vec{X: 3, Y: -7, Z: 11}
		c.scale, c.origin = 4, point{100, 200}
		if back := r3.Sub(c.ray(c.at(p)), r3.Scale(c.depth(p), c.toward)); r3.Norm(r3.Sub(back, p)) > 1e-12 {
			t.Errorf("azimuth %g: %v comes back as %v", azimuth, p, back)
		}
	}
}

// A sphere of radius r is drawn as a disc of area π(r·scale)², and its nearest
// point lies r before its middle (closed forms).
func TestSphereIsDrawnAsADisc(t *testing.T) {
	const radius, scale = 40, 5.0
	ball := meshtest.Icosphere(6).Scaled(radius)
	s := boxed(t, ball, 100, 100, 100)
	cam := lookFrom(35, 25)
	cam.scale, cam.origin = scale, point{600.3, 500.7}
	o, err := s.rasterise(context.Background(), cam)
	if err != nil {
		t.Fatal(err)
	}
	samples, nearest := 0, math.Inf(1)
	for _, d := range o.depth {
		if d != nothing {
			samples++
			nearest = math.Min(nearest, float64(d))
		}
	}
	got, want := float64(samples)/(grain*grain), math.Pi*radius*radius*scale*scale
	if math.Abs(got/want-1) > 0.001 {
		t.Errorf("disc of %.0f px, want %.0f", got, want)
	}
	if math.Abs(nearest+radius) > 0.01 {
		t.Errorf("nearest depth %.3f mm, want %.3f", nearest, -float64(radius))
	}
	for _, at := range []float64{0, 0.3, 0.6, 0.9} {
		p := cam.origin.plus(point{at * radius * scale, 0})
		if got, want := o.near(p), -radius*math.Sqrt(1-at*at); math.Abs(got-want) > 0.15 {
			t.Errorf("depth %.2f mm at %.1f radii, want %.2f", got, at, want)
		}
	}
}

// Normals are those of the faces on a cube and of the sphere on a sphere.
func TestNormalsKeepCreases(t *testing.T) {
	cube := shaded(meshtest.Split(meshtest.Box(2, 3, 4)), oak)
	for f := range cube.mesh.Faces {
		for _, n := range cube.normals[f] {
			if d := r3.Norm(r3.Sub(n, r3.Unit(cube.mesh.DoubleAreaNormal(f)))); d > 1e-12 {
				t.Fatalf("face %d of a cube is shaded round: %v", f, n)
			}
		}
	}
	ball := shaded(meshtest.Icosphere(4), oak)
	for f, corners := range ball.mesh.Faces {
		for k, v := range corners {
			if c := r3.Dot(ball.normals[f][k], r3.Unit(ball.mesh.Vertices[v])); c < 0.9999 {
				t.Fatalf("normal %v at %v", ball.normals[f][k], ball.mesh.Vertices[v])
			}
		}
	}
}

// The span of a line of sight in the block against small steps along it.
func TestSpanAgainstSteps(t *testing.T) {
	s := boxed(t, meshtest.Box(1, 1, 1), 60, 40, 90)
	random := rand.New(rand.NewPCG(3, 4))
	const step = 0.05
	for range 300 {
		cam := lookFrom(random.Float64()*40+15, 25)
		r := s.rubber(cam)
		from := cam.ray(point{random.Float64()*140 - 70, random.Float64()*140 - 110})
		got := r.span(from)
		var inside float64
		for d := -150.0; d < 150; d += step {
			p := r3.Sub(from, r3.Scale(d, cam.toward))
			if math.Abs(p.X) < 30 && math.Abs(p.Y) < 20 && p.Z > 0 && p.Z < 90 {
				inside += step
			}
		}
		if long := math.Max(got.out-got.in, 0); math.Abs(long-inside) > 2*step {
			t.Fatalf("%.2f mm of rubber, steps find %.2f", long, inside)
		}
	}
}

// The plane shows over the pattern where it is before it, not where behind.
func TestPlaneBeforeAndBehind(t *testing.T) {
	s := boxed(t, meshtest.Box(1, 1, 1), 60, 60, 60)
	s.setCut(analysis.Cut{Normal: [3]float64{0, -2, 0}})
	r := s.rubber(lookFrom(30, 20))
	from := r.cam.ray(r.cam.at(r3.Vec{Z: 30}))
	sp := r.span(from)
	at := (r3.Dot(r.plane.n, from) - r.plane.at) / r.slant
	if at <= sp.in || at >= sp.out {
		t.Fatal("the plane does not cross this line of sight")
	}
	before, behind := r.over(from, oak, at-1e-9), r.over(from, oak, at+1e-9)
	if redder := before.R - behind.R; redder < 0.1 {
		t.Errorf("the plane changes red by %.3f only", redder)
	}
	if got := r.over(from, oak, sp.in-1); got != oak {
		t.Errorf("something before the block is tinted: %v", got)
	}
}

func TestPlaneAcrossTheBlock(t *testing.T) {
	s := boxed(t, meshtest.Box(1, 1, 1), 80, 60, 100)
	for _, c := range []struct {
		normal [3]float64
		at     [3]float64
		area   float64 // closed form
	}{
		{[3]float64{0, 1, 0}, [3]float64{0, 10, 0}, 80 * 100},
		{[3]float64{3, 0, 0}, [3]float64{0, 0, 0}, 60 * 100},
		{[3]float64{0, 0, 1}, [3]float64{0, 0, 50}, 80 * 60},
		{[3]float64{60, 80, 0}, [3]float64{0, 0, 0}, 100 * 100}, // corner to corner
		{[3]float64{0, 1, 0}, [3]float64{0, 31, 0}, 0},
	} {
		s.setCut(analysis.Cut{Normal: c.normal, PointMM: c.at})
		poly := s.acrossBlock()
		var twice r3.Vec
		for i, p := range poly {
			twice = r3.Add(twice, r3.Cross(p, poly[(i+1)%len(poly)]))
			if d := r3.Dot(s.cut.n, p) - s.cut.at; math.Abs(d) > 1e-9 {
				t.Errorf("%v is %g mm off the plane", p, d)
			}
		}
		if got := math.Abs(r3.Dot(twice, s.cut.n)) / 2; math.Abs(got-c.area) > 1e-6 {
			t.Errorf("normal %v: area %g mm², want %g", c.normal, got, c.area)
		}
	}
}

// A line around a box is seen on the two sides towards the viewer.
func TestLineAroundABoxIsHalfHidden(t *testing.T) {
	m := meshtest.Box(40, 40, 60)
	b := m.Bounds()
	m = m.Posed(mesh.Pose{Rows: [3]r3.Vec{{X: 1}, {Y: 1}, {Z: 1}},
		T: r3.Vec{X: -(b.Min.X + b.Max.X) / 2, Y: -(b.Min.Y + b.Max.Y) / 2, Z: -b.Min.Z}})
	s := boxed(t, m, 80, 80, 80)
	cam := lookFrom(45, 25)
	cam.scale, cam.origin = 6, point{600, 700}
	o, err := s.rasterise(context.Background(), cam)
	if err != nil {
		t.Fatal(err)
	}
	around := rim(s.partBox, 30, 0)
	seen, hidden := o.seen(cam, append(around, around[0]), 0.5)
	if a, b := lengthOf(seen), lengthOf(hidden); math.Abs(a-b) > 20 || a < 100 {
		t.Errorf("%.0f px seen, %.0f px hidden, want the same", a, b)
	}
}

func lengthOf(lines [][]point) (sum float64) {
	for _, l := range lines {
		for i := 1; i < len(l); i++ {
			sum += l[i].minus(l[i-1]).length()
		}
	}
	return sum
}

func TestDashes(t *testing.T) {
	path := []point{{0, 0}, {70, 0}, {70, 50}}
	got := dashed(ink, 1, 10, 5).pieces(path)
	if len(got) != 8 || lengthOf(got) != 80 {
		t.Errorf("%d dashes of %g px together, want 8 of 80", len(got), lengthOf(got))
	}
	if whole := line(ink, 1).pieces(path); len(whole) != 1 {
		t.Errorf("a whole line in %d pieces", len(whole))
	}
}

// Overlap of shapes against a cloud of points in both.
func TestDisjointAgainstPoints(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	place := func() point { return point{random.Float64() * 100, random.Float64() * 100} }
	var apart int
	for range 400 {
		box := around(place(), 10+20*random.Float64(), 10+20*random.Float64())
		tri := []point{place(), place(), place()}
		both := false
		for range 4000 {
			u, v := random.Float64(), random.Float64()
			if u+v > 1 {
				u, v = 1-u, 1-v
			}
			p := tri[0].plus(tri[1].minus(tri[0]).times(u)).plus(tri[2].minus(tri[0]).times(v))
			both = both || box.holds(rect{p.X, p.Y, p.X, p.Y})
		}
		d := disjoint(box.corners(), tri)
		if d {
			apart++
		}
		if d && both {
			t.Fatalf("%v and %v share points", box, tri)
		}
		if inner := box.grown(-2); !d && !both && !disjoint(inner.corners(), tri) && inner.wide() > 4 && inner.high() > 4 && fat(tri) {
			t.Errorf("%v and %v share no point of 4000", box, tri)
		}
	}
	if apart < 50 || apart > 350 {
		t.Errorf("%d of 400 pairs apart: the test says little", apart)
	}
}

// fat tells that a triangle is wide enough for a cloud of points to meet what
// it overlaps by some pixels.
func fat(t []point) bool {
	twice := math.Abs((t[1].X-t[0].X)*(t[2].Y-t[0].Y) - (t[1].Y-t[0].Y)*(t[2].X-t[0].X))
	longest := max(t[1].minus(t[0]).length(), t[2].minus(t[1]).length(), t[0].minus(t[2]).length())
	return twice/longest > 15
}

func TestRoundLengths(t *testing.T) {
	for _, c := range []struct {
		most   float64
		inches bool
		want   float64
	}{
		{137, false, 100}, {99, false, 50}, {49.9, false, 20}, {10, false, 10}, {0.34, false, 0.2}, {2300, false, 2000},
		{137, true, 5 * 25.4}, {60, true, 2 * 25.4}, {26, true, 25.4}, {20, true, 12.7}, {7, true, 25.4 / 4},
	} {
		if got := roundLength(c.most, c.inches); math.Abs(got-c.want) > 1e-9 {
			t.Errorf("at most %g mm (inches %v): %g, want %g", c.most, c.inches, got, c.want)
		}
	}
}

func TestFitShortensOnlyWhatIsTooWide(t *testing.T) {
	faces := newTypefaces()
	const text = "storm lantern of the harbour master"
	wide := faces.width(normal, text)
	if got := faces.fit(normal, text, wide); got != text {
		t.Errorf("%q was shortened to %q", text, got)
	}
	if got := faces.fit(normal, text, wide/2); faces.width(normal, got) > wide/2 || got == "…" {
		t.Errorf("half the room gives %q", got)
	}
}

// The view of a cut keeps lengths: a square in the plane is a square.
func TestCutFaceIsTrueShape(t *testing.T) {
	s := boxed(t, meshtest.Box(1, 1, 1), 80, 60, 100)
	for _, n := range [][3]float64{{1, 0, 0}, {0, -1, 0}, {1, 2, 0}, {-1, 2, 0.5}, {0, 0, 1}} {
		s.setCut(analysis.Cut{Normal: n})
		f := s.square()
		f.scale = 3
		x, y := mesh.Frame(s.cut.n)
		for _, side := range []r3.Vec{x, y, r3.Add(x, y)} {
			if got, want := f.at(side).minus(f.at(r3.Vec{})).length(), 3*r3.Norm(side); math.Abs(got-want) > 1e-12 {
				t.Errorf("normal %v: %g px, want %g", n, got, want)
			}
		}
		if f.up.Z < 0 || f.right.X < -1e-12 {
			t.Errorf("normal %v: up %v, right %v", n, f.up, f.right)
		}
	}
}
