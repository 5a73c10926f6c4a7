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

func solid(t testing.TB, m *mesh.Mesh) *mesh.Solid {
	t.Helper()
	s, _, err := mesh.NewSolid(m)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func choose(t *testing.T, m *mesh.Mesh, detail func(p r3.Vec) float32) Result {
	t.Helper()
	return chooseAt(t, m, r3.Vec{}, detail)
}

// chooseAt chooses with the spout at a place.
func chooseAt(t *testing.T, m *mesh.Mesh, axis r3.Vec, detail func(p r3.Vec) float32) Result {
	t.Helper()
	return chosen(t, m, detail, Input{Axis: axis})
}

// chosen completes what a choice depends on.
func chosen(t *testing.T, m *mesh.Mesh, detail func(p r3.Vec) float32, in Input) Result {
	t.Helper()
	s := solid(t, m)
	scores := make([]float32, len(m.Vertices))
	for v, p := range m.Vertices {
		scores[v] = detail(p)
	}
	me := s.Measure()
	in.SpoutMM, in.Detail, in.Centroid, in.VolumeMM3, in.AreaMM2, in.ClearanceMM = 16, scores, me.Centroid, me.VolumeMM3, me.AreaMM2, 15
	r, err := Choose(context.Background(), s, in)
	if err != nil {
		t.Fatal(err)
	}
	r.Exact(m, mesh.NewTree(m))
	return r
}

func plain(r3.Vec) float32 { return 0 }

func TestChooseAvoidsDetail(t *testing.T) {
	ball := meshtest.Icosphere(4).Scaled(30)
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
		if r.Why() == "" || r.Searched < 150 || !r.ThroughSpout || r.Stepped() {
			t.Errorf("searched %d, why %q", r.Searched, r.Why())
		}
		if r.Square < 88 {
			t.Errorf("a ball cut through its middle meets the cut at %.1f°", r.Square)
		}
	}
}

// A standing ring without detail is cut in its own plane: no undercut there.
func TestChooseAvoidsUndercut(t *testing.T) {
	m := meshtest.TorusMesh(96, 48, 30, 10)
	upright := mesh.Pose{Rows: [3]r3.Vec{{Y: 1}, {Z: 1}, {X: 1}}} // ring's axis along y
	r := choose(t, m.Posed(upright), plain)
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
	r := chooseAt(t, bar, r3.Vec{X: 8, Y: 15}, plain)
	if math.Abs(r.Normal.Y) < math.Cos(4*math.Pi/180) {
		t.Errorf("normal %v, want a cut along the bar", r.Normal)
	}
	if want := 2. * (200 + 30); math.Abs(r.OutlineMM-want) > 2 {
		t.Errorf("outline %.1f mm, want about %g", r.OutlineMM, want)
	}
}

func TestDetailCrossedIsByLength(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 8))
	ball := meshtest.Icosphere(4).Scaled(30)
	half := rng.Float32() / 4
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

func turnedAbout(deg float64) mesh.Pose {
	sin, cos := math.Sincos(deg * math.Pi / 180)
	return mesh.Pose{Rows: [3]r3.Vec{{X: cos, Y: -sin}, {X: sin, Y: cos}, {Z: 1}}}
}

// lopsided is a bar with an arm and a knob, alike in no mirror.
func lopsided() *mesh.Mesh {
	ball := meshtest.Moved(meshtest.Icosphere(4).Scaled(14), r3.Vec{X: 34, Y: 9, Z: 60})
	foot := meshtest.Moved(meshtest.Cylinder(64, 12, 70), r3.Vec{X: 4})
	return meshtest.Together(ball, foot)
}

// Turned about the vertical, a pattern is cut alike: the score within 2 %.
func TestTurnedPatternTurnedCut(t *testing.T) {
	m := lopsided()
	detail := func(p r3.Vec) float32 { return float32(0.5 + 0.5*math.Sin(p.Z/5)*math.Cos(p.X/9)) }
	was := chooseAt(t, m, r3.Vec{X: 4}, detail)
	for _, deg := range []float64{17, 90, 133.3} {
		pose := turnedAbout(deg)
		back := pose.Inverse()
		is := chooseAt(t, m.Posed(pose), pose.Point(r3.Vec{X: 4}), func(p r3.Vec) float32 { return detail(back.Point(p)) })
		if math.Abs(is.Score-was.Score) > 0.02*was.Score {
			t.Errorf("turned by %g°: score %.4f, was %.4f", deg, is.Score, was.Score)
		}
	}
}

// A mirrored pattern has the mirrored cut.
func TestMirroredPatternMirroredCut(t *testing.T) {
	m := lopsided()
	mirrored := &mesh.Mesh{}
	for _, p := range m.Vertices {
		mirrored.Vertices = append(mirrored.Vertices, r3.Vec{X: p.X, Y: -p.Y, Z: p.Z})
	}
	for _, f := range m.Faces {
		mirrored.Faces = append(mirrored.Faces, [3]int32{f[0], f[2], f[1]})
	}
	detail := func(p r3.Vec) float32 { return float32(0.5 + 0.5*math.Sin(p.X/6)) }
	a, b := chooseAt(t, m, r3.Vec{X: 4}, detail), chooseAt(t, mirrored, r3.Vec{X: 4}, detail)
	image := r3.Vec{X: a.Normal.X, Y: -a.Normal.Y, Z: a.Normal.Z}
	if math.Abs(r3.Dot(image, b.Normal)) < math.Cos(0.5*math.Pi/180) {
		t.Errorf("normal %v, mirrored %v", a.Normal, b.Normal)
	}
	if math.Abs(a.Score-b.Score) > 0.005*a.Score {
		t.Errorf("scores %.4f and %.4f", a.Score, b.Score)
	}
}

// Where detail lies all round the axis on top and below, a level cut beside the spout
// crosses none; where it lies on a slant, a leaning one does.
func TestChooseBesideTheSpout(t *testing.T) {
	ball := meshtest.Icosphere(4).Scaled(40)
	for _, lean := range []float64{0, 30, 60} {
		sin, cos := math.Sincos(lean * math.Pi / 180)
		axis := r3.Vec{X: sin, Z: cos}
		r := chooseAt(t, ball, r3.Vec{Z: -40}, func(p r3.Vec) float32 {
			if math.Abs(r3.Dot(axis, p)) > 15 {
				return 1
			}
			return 0
		})
		// Upright through the spout at least part of the detail is met, but for the
		// great circle across the slant, which all these have: it is level with y.
		if r.DetailCrossed > 0.02 && math.Abs(r3.Dot(r.Normal, axis)) < 0.9 {
			t.Errorf("detail along an axis leaning by %g°: normal %v, detail %.2f, through the spout %v", lean, r.Normal, r.DetailCrossed, r.ThroughSpout)
		}
	}
}

func TestChooseStops(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	m := lopsided()
	_, err := Choose(ctx, solid(t, m), Input{Detail: make([]float32, len(m.Vertices)), VolumeMM3: 1, AreaMM2: 1})
	if err == nil {
		t.Error("goes on when it was told to stop")
	}
}
