package analysis

import (
	"errors"
	"math"
	"path/filepath"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
	"pourwright/mesh/meshtest"
	"pourwright/samples"
)

// jug is a part without any symmetry: a turned and bent body with a hollow top,
// fine enough that its detail is judged as on a scan.
func jug() *mesh.Mesh {
	profile := []r2.Vec{{}}
	for r := 2.0; r <= 22; r += 2 {
		profile = append(profile, r2.Vec{X: r})
	}
	for z := 2.0; z <= 100; z += 2 {
		profile = append(profile, r2.Vec{X: 22 + 7*math.Sin(z/19), Y: z})
	}
	for r := 14.0; r > 1; r -= 2 {
		profile = append(profile, r2.Vec{X: r, Y: 100 - 0.8*(14-r)})
	}
	m := meshtest.Lathe(append(profile, r2.Vec{Y: 88}), 72)
	for v, p := range m.Vertices {
		if z := p.Z; z > 8 {
			p.X += (z - 8) * (z - 8) / 700
			p.Y *= 1 - (z-8)/500
		}
		m.Vertices[v] = p
	}
	return m
}

// mirroredIn reflects a mesh in the plane x = y and keeps it wound outward.
func mirroredIn(m *mesh.Mesh) *mesh.Mesh {
	out := &mesh.Mesh{}
	for _, p := range m.Vertices {
		out.Vertices = append(out.Vertices, swapped(p))
	}
	for _, f := range m.Faces {
		out.Faces = append(out.Faces, [3]int32{f[0], f[2], f[1]})
	}
	return out
}

func swapped(p r3.Vec) r3.Vec { return r3.Vec{X: p.Y, Y: p.X, Z: p.Z} }

// The plan turns and mirrors with the scan.
func TestPlanGoesWithTheScan(t *testing.T) {
	m := jug()
	pose := mesh.PoseDown(r3.Unit(r3.Vec{X: 2, Y: -1, Z: 1}))
	pose.T = r3.Vec{X: 120, Y: -80, Z: 250}
	want := planOf(t, Choices{Scan: scanOf(t, m), Units: "mm"})
	for _, c := range []struct {
		name string
		m    *mesh.Mesh
		dir  func(r3.Vec) r3.Vec
	}{
		{"turned", m.Posed(pose), pose.Dir},
		{"mirrored", mirroredIn(m), swapped},
	} {
		got := planOf(t, Choices{Scan: scanOf(t, c.m), Units: "mm"})
		if math.Abs(got.Stand.Score-want.Stand.Score) > 0.02*want.Stand.Score {
			t.Errorf("%s: score %.4f, want %.4f", c.name, got.Stand.Score, want.Stand.Score)
		}
		if cos := r3.Dot(vec(got.Stand.Down), c.dir(vec(want.Stand.Down))); cos < math.Cos(1*math.Pi/180) {
			t.Errorf("%s: down is %.2f° off", c.name, math.Acos(cos)*180/math.Pi)
		}
		for _, f := range []struct {
			what      string
			got, want float64
			tolerance float64
		}{
			{"height", got.Stand.HeightMM, want.Stand.HeightMM, 0.005},
			{"spout", got.Stand.SpoutDiameterMM, want.Stand.SpoutDiameterMM, 0.02},
			{"rubber", got.Rubber.MassG, want.Rubber.MassG, 0.02},
			{"vents", float64(len(got.CastTrap)), float64(len(want.CastTrap)), 0},
		} {
			if math.Abs(f.got-f.want) > f.tolerance*f.want {
				t.Errorf("%s: %s %g, want %g", c.name, f.what, f.got, f.want)
			}
		}
	}
}

// The spout lands on none of the places that were carved: not one point of the
// surface it takes away is in them.
func TestSpoutKeepsOffTheCarvingOfSamples(t *testing.T) {
	if testing.Short() {
		t.Skip("plans of all samples")
	}
	for _, fact := range samples.All() {
		c := Choices{Scan: filepath.Join("..", "samples", fact.File), Units: "mm"}
		l, err := Load(t.Context(), c, nil)
		if err != nil {
			t.Fatal(err)
		}
		p, err := Ask(t.Context(), l, c, nil)
		if err != nil {
			t.Fatal(err)
		}
		down, spout := vec(p.Stand.Down), vec(p.Stand.SpoutMM)
		radius, taken := math.Max(p.Stand.ContactMM, 2)/2, 0
		for _, q := range l.Solid.Vertices {
			d := r3.Sub(q, spout)
			along := r3.Dot(d, down)
			if along < -1 || r3.Norm(r3.Sub(d, r3.Scale(along, down))) > radius {
				continue
			}
			taken++
			for _, region := range fact.Detail {
				if r3.Norm(r3.Sub(q, region.Centre)) < region.RadiusMM {
					t.Errorf("%s: the spout takes away %s, at %v", fact.File, region.What, q)
					break
				}
			}
		}
		if taken == 0 {
			t.Errorf("%s: nothing touches the spout", fact.File)
		}
		for i, a := range p.Stand.Alternatives {
			if i > 0 && a.Score > p.Stand.Alternatives[i-1].Score || a.Why == "" {
				t.Errorf("%s: alternative %d scores %g: %q", fact.File, i, a.Score, a.Why)
			}
		}
	}
}

// Asked for again by its own direction, an alternative is what was told of it.
func TestAlternativesAreHonest(t *testing.T) {
	c := Choices{Scan: scanOf(t, jug()), Units: "mm"}
	first := planOf(t, c)
	for i, a := range first.Stand.Alternatives[:2] {
		c.Down = &a.Down
		again := planOf(t, c).Stand
		if math.Abs(again.Score-a.Score) > 1e-6 || math.Abs(again.HeightMM-a.HeightMM) > 1e-6 || again.Figures.Vents != a.Figures.Vents {
			t.Errorf("alternative %d scored %g, %g mm high; asked for it scores %g, %g mm high", i, a.Score, a.HeightMM, again.Score, again.HeightMM)
		}
	}
}

func TestWishesReachThePlan(t *testing.T) {
	scan := scanOf(t, meshtest.Box(90, 60, 40))
	p := planOf(t, Choices{Scan: scan, Units: "mm", Spout: &[3]float64{90, 30, 20}, StemMM: 30})
	if p.Stand.Chosen != "spout" || p.Stand.StemMM != 30 || p.Stand.Down[0] < 0.999 {
		t.Errorf("chosen by %s, down %v with a stem of %g mm", p.Stand.Chosen, p.Stand.Down, p.Stand.StemMM)
	}
	p = planOf(t, Choices{Scan: scan, Units: "mm", Prefer: map[string]float64{"height": 7, "necks": 0}})
	if p.Stand.Weights.Height != 7 || p.Stand.Weights.Detail != 3 || p.Stand.Criteria.Necks != nil {
		t.Errorf("weights %+v, necks %v", p.Stand.Weights, p.Stand.Criteria.Necks)
	}
	for name, by := range map[string]map[string]float64{
		"no criterion": {"beauty": 1},
		"no number":    {"detail": math.NaN()},
		"nothing left": {"detail": 0, "spout": 0, "cast_air": 0, "rubber_air": 0, "rubber_mass": 0, "height": 0, "stability": 0, "necks": 0},
	} {
		var refusal *Refusal
		if _, err := weights(by); !errors.As(err, &refusal) || refusal.Hint() == "" {
			t.Errorf("%s: got %v", name, err)
		}
	}
}
