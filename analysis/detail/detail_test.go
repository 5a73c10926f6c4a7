package detail

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

func score(t *testing.T, m *mesh.Mesh) []float32 {
	t.Helper()
	r, err := Score(context.Background(), m, Input{})
	if err != nil {
		t.Fatal(err)
	}
	if len(r.Vertex) != len(m.Vertices) {
		t.Fatalf("got %d scores for %d vertices", len(r.Vertex), len(m.Vertices))
	}
	for v, s := range r.Vertex {
		if !(s >= 0 && s <= 1) {
			t.Fatalf("score of vertex %d is %g", v, s)
		}
	}
	return r.Vertex
}

// mean returns the mean score of the vertices where keep holds.
func mean(m *mesh.Mesh, scores []float32, keep func(p r3.Vec) bool) float64 {
	sum, n := 0.0, 0
	for v, p := range m.Vertices {
		if keep(p) {
			sum += float64(scores[v])
			n++
		}
	}
	return sum / float64(n)
}

func everywhere(r3.Vec) bool { return true }

// A smooth shape is plain however round: balls and shafts of hand props.
func TestSmoothShapesArePlain(t *testing.T) {
	for _, c := range []struct {
		name string
		m    *mesh.Mesh
	}{
		{"ball of radius 8", meshtest.Icosphere(5).Scaled(8)},
		{"ball of radius 50", meshtest.Icosphere(6).Scaled(50)},
		{"ring 40/10", meshtest.TorusMesh(256, 64, 40, 10)},
	} {
		if got := mean(c.m, score(t, c.m), everywhere); got > 0.02 {
			t.Errorf("%s: mean score %.3f, want about 0", c.name, got)
		}
	}
}

func TestScanNoiseIsPlain(t *testing.T) {
	for _, c := range []struct {
		level int // edges of about 0.6 and 0.3 mm
		noise float64
	}{{6, 0.02}, {7, 0.02}, {6, 0.05}, {7, 0.05}} {
		m := meshtest.Icosphere(c.level).Scaled(30)
		rng := rand.New(rand.NewPCG(3, 4))
		for i, v := range m.Vertices {
			m.Vertices[i] = r3.Scale(1+c.noise*rng.NormFloat64()/30, v)
		}
		if got := mean(m, score(t, m), everywhere); got > 0.15 {
			t.Errorf("mean score %.3f on %g mm of noise, level %d, want under 0.15", got, c.noise, c.level)
		}
	}
}

// A sharp edge of a plain block is some detail, its faces are none.
func TestSharpEdge(t *testing.T) {
	m := meshtest.Box(40, 40, 40)
	for range 6 {
		m = meshtest.Split(m)
	}
	scores := score(t, m)
	edge := mean(m, scores, func(p r3.Vec) bool { return p.X == 0 && p.Y == 0 && p.Z > 5 && p.Z < 35 })
	face := mean(m, scores, func(p r3.Vec) bool { return p.X == 0 && p.Y > 5 && p.Y < 35 && p.Z > 5 && p.Z < 35 })
	if edge < 0.4 || face > 0.01 {
		t.Errorf("edge scores %.2f and face %.2f, want about 0.6 and 0", edge, face)
	}
}

// ribbed is a shaft of radius 15 with ribs 1 mm high every 3 mm above z = 60.
func ribbed() *mesh.Mesh {
	profile := []r2.Vec{{X: 0, Y: 0}}
	for z := 0.0; z <= 120; z += 0.5 {
		r := 15.0
		if z > 60 {
			r += 0.5 - 0.5*math.Cos(2*math.Pi*(z-60)/3)
		}
		profile = append(profile, r2.Vec{X: r, Y: z})
	}
	return meshtest.Lathe(append(profile, r2.Vec{X: 0, Y: 120}), 192)
}

func TestRibsAreDetail(t *testing.T) {
	m := ribbed()
	scores := score(t, m)
	ribs := mean(m, scores, func(p r3.Vec) bool { return p.Z > 65 && p.Z < 115 })
	shaft := mean(m, scores, func(p r3.Vec) bool { return p.Z > 5 && p.Z < 55 && math.Hypot(p.X, p.Y) > 14 })
	if ribs < 0.6 || shaft > 0.05 {
		t.Errorf("ribs score %.2f and plain shaft %.2f, want over 0.6 and under 0.05", ribs, shaft)
	}
}

// The score must not depend on how finely the scanner triangulated a plain face.
func TestDensityDoesNotMatter(t *testing.T) {
	fine, coarse := ribbed(), meshtest.Icosphere(4).Scaled(30)
	finer := meshtest.Icosphere(7).Scaled(30)
	a, b := mean(coarse, score(t, coarse), everywhere), mean(finer, score(t, finer), everywhere)
	if math.Abs(a-b) > 0.05 {
		t.Errorf("one ball scores %.3f coarse and %.3f fine", a, b)
	}
	turned := fine.Posed(mesh.PoseDown(r3.Unit(r3.Vec{X: 1, Y: 2, Z: 3})))
	c, d := mean(fine, score(t, fine), everywhere), mean(turned, score(t, turned), everywhere)
	if math.Abs(c-d) > 0.03 {
		t.Errorf("one shaft scores %.3f and, turned, %.3f", c, d)
	}
}

func TestBadRadius(t *testing.T) {
	for _, r := range []float64{-1, math.NaN(), math.Inf(1)} {
		if _, err := Score(context.Background(), meshtest.Box(1, 1, 1), Input{RadiusMM: r}); err == nil {
			t.Errorf("radius %g was taken", r)
		}
	}
}
