package mesh_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"path/filepath"
	"reflect"
	"slices"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

// turnedAnyhow returns a pose with any rotation and a place far from the origin.
func turnedAnyhow(rng *rand.Rand) mesh.Pose {
	p := mesh.PoseDown(r3.Unit(r3.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()}))
	p.T = r3.Vec{X: 300 * rng.Float64(), Y: -200 * rng.Float64(), Z: 100}
	return p
}

// tableCases are ways to scan a part with its table: each returns the scan and the
// part's volume.
func tableCases() []tableCase {
	return []tableCase{
		{"open sheet", false, true, meshtest.OnSheet},
		{"narrow torn sheet", false, true, func(s meshtest.Subject, rng *rand.Rand) (*mesh.Mesh, float64) {
			p := meshtest.Stand(s, 0.03)
			return p.Sheeted(tornOutline(p, rng)), p.VolumeMM3
		}},
		{"fused slab", true, false, meshtest.OnSlab},
		{"round slab", true, false, func(s meshtest.Subject, rng *rand.Rand) (*mesh.Mesh, float64) {
			p := meshtest.Stand(s, 0.05)
			return p.Fused(roundOutline(p.Shadow()), 0.015*p.TallMM), p.VolumeMM3
		}},
		{"loose sheet under it", false, true, func(s meshtest.Subject, rng *rand.Rand) (*mesh.Mesh, float64) {
			p := meshtest.Stand(s, -0.004)
			return meshtest.Together(p.Above.Posed(p.Back), plate(p.Back, meshtest.RaggedOutline(p.Shadow(), rng), 0)), s.Solid.Measure().VolumeMM3
		}},
		{"loose sheet through it", false, true, func(s meshtest.Subject, rng *rand.Rand) (*mesh.Mesh, float64) {
			p := meshtest.Stand(s, -1e-9)
			sheet := plate(p.Back, meshtest.RaggedOutline(p.Shadow(), rng), 0)
			return meshtest.Together(p.Above.Posed(p.Back), meshtest.Moved(sheet, p.Back.Dir(r3.Vec{Z: 0.02 * p.TallMM}))), s.Solid.Measure().VolumeMM3
		}},
		{"loose slab", true, false, func(s meshtest.Subject, rng *rand.Rand) (*mesh.Mesh, float64) {
			p := meshtest.Stand(s, -0.003)
			return meshtest.Together(p.Above.Posed(p.Back), plate(p.Back, meshtest.RaggedOutline(p.Shadow(), rng), 0.02*p.TallMM)), s.Solid.Measure().VolumeMM3
		}},
	}
}

type tableCase struct {
	name          string
	slab, certain bool
	scan          func(s meshtest.Subject, rng *rand.Rand) (*mesh.Mesh, float64)
}

// plate returns a loose table; a sheet where it has no thickness.
func plate(back mesh.Pose, outline []r2.Vec, thick float64) *mesh.Mesh {
	alone := meshtest.Standing{Above: &mesh.Mesh{}, Back: back}
	if thick == 0 {
		return alone.Sheeted(outline)
	}
	return alone.Fused(outline, thick)
}

// roundOutline is off the shadow's middle by a fifth of its own radius.
func roundOutline(shadow r3.Box) []r2.Vec {
	d := r3.Sub(shadow.Max, shadow.Min)
	r := 1.1 * math.Hypot(d.X, d.Y)
	var outline []r2.Vec
	for k := range 80 {
		sin, cos := math.Sincos(2 * math.Pi * float64(k) / 80)
		outline = append(outline, r2.Vec{X: (shadow.Min.X+shadow.Max.X)/2 + r*(cos+0.2), Y: (shadow.Min.Y+shadow.Max.Y)/2 + r*sin})
	}
	return outline
}

// tornOutline goes around the foot at between 0.1 and 0.4 of its span.
func tornOutline(p meshtest.Standing, rng *rand.Rand) []r2.Vec {
	var rim []r2.Vec
	for _, l := range p.Loops {
		for _, v := range l {
			rim = append(rim, r2.Vec{X: p.Above.Vertices[v].X, Y: p.Above.Vertices[v].Y})
		}
	}
	hull := mesh.Hull2(rim)
	box := mesh.MinAreaRect(rim)
	span := box.Size[0]
	var outline []r2.Vec
	for i, a := range meshtest.Along(hull, span/30) {
		out := r2.Sub(a, box.Center)
		wave := 0.25 + 0.12*math.Sin(float64(i)/6) + 0.06*(rng.Float64()-0.5)
		outline = append(outline, r2.Add(a, r2.Scale(wave*span/r2.Norm(out), out)))
	}
	return outline
}

// cutOff finds a scan's table, cuts it off, mends what is left and returns how far
// its volume is from the truth, as a share, and the height of the cut.
func cutOff(t *testing.T, m *mesh.Mesh, truth float64) (off, height float64) {
	t.Helper()
	table, _, found := mesh.FindTable(m)
	if !found {
		t.Error("no table was found")
		return 0, 0
	}
	above, height := m.WithoutTable(table)
	mended, err := mesh.Mend(t.Context(), above, mesh.MendChoice{CloseAll: true})
	if err != nil {
		t.Errorf("cut at %.3g mm: %v", height, err)
		return 0, height
	}
	return mended.Solid.Measure().VolumeMM3/truth - 1, height
}

// Every kind of table under every part is found, turned anyhow and with noise, and
// what is left of the scan mends to the part that stood on it.
func TestTablesAreFoundAndCutOff(t *testing.T) {
	worst, sum, n := 0.0, 0.0, 0.0
	for i, s := range subjects(t) {
		for j, c := range tableCases() {
			noise := 0.001 * float64((i+j)%2)
			t.Run(fmt.Sprintf("%s, %s, noise %g", s.Name, c.name, noise), func(t *testing.T) {
				rng := rand.New(rand.NewPCG(11, uint64(100*i+10*j)))
				m, truth := c.scan(s, rng)
				pose := turnedAnyhow(rng)
				up := pose.Dir(s.Up)
				m = meshtest.Scattered(m.Posed(pose), rng, noise*s.SizeMM)
				before := &mesh.Mesh{Vertices: slices.Clone(m.Vertices), Faces: slices.Clone(m.Faces)}
				table, certain, _ := mesh.FindTable(m)
				if certain != c.certain || table.Slab != c.slab || r3.Dot(table.Normal, up) < math.Cos(math.Pi/180) {
					t.Errorf("certain %v, slab %v, %.2f° off", certain, table.Slab, math.Acos(r3.Dot(table.Normal, up))*180/math.Pi)
				}
				off, height := cutOff(t, m, truth)
				if math.Abs(off) > 0.005 {
					t.Errorf("volume off by %.3f %%, cut at %.3g mm", 100*off, height)
				}
				if !reflect.DeepEqual(m, before) {
					t.Error("the scan was changed")
				}
				worst, sum, n = max(worst, math.Abs(off)), sum+math.Abs(off), n+1
			})
		}
	}
	t.Logf("volume off by %.4f %% on average, %.4f %% at worst, in %.0f scans", 100*sum/n, 100*worst, n)
}

// A foot may be a ring around a hollow or two feet, a scanner rounds the corner
// between foot and table, and has holes there.
func TestTableUnderOddFeet(t *testing.T) {
	z := r3.Vec{Z: 1}
	ring := subject(t, "ring", meshtest.Lathe([]r2.Vec{{Y: 10}, {X: 15, Y: 10}, {X: 15}, {X: 20}, {X: 20, Y: 50}, {X: 12, Y: 100}, {Y: 100}}, 90), z)
	arch := subject(t, "arch", meshtest.TorusMesh(160, 64, 60, 20), r3.Vec{X: 1})
	post := subject(t, "post", filletedPost(2), z)
	column := 60 * math.Sin(2*math.Pi/120) * 20 * 20 * 100 // of 120 sides, without the fillet
	for _, c := range []struct {
		name   string
		foot   meshtest.Standing
		volume float64
		within float64
	}{
		{"ring", meshtest.Stand(ring, 0.03), 0, 1e-5},
		{"two feet", meshtest.Stand(arch, 0.45), 0, 1e-5},
		{"fillet of 2 mm", meshtest.Stand(post, 1.0/101), column, 5e-4},
	} {
		t.Run(c.name, func(t *testing.T) {
			truth := c.volume
			if truth == 0 {
				truth = c.foot.VolumeMM3
			}
			outline := meshtest.RaggedOutline(c.foot.Shadow(), firstSeed())
			for _, m := range []*mesh.Mesh{c.foot.Sheeted(outline), c.foot.Fused(outline, 0.03*c.foot.TallMM)} {
				if off, height := cutOff(t, m, truth); math.Abs(off) > c.within {
					t.Errorf("volume off by %.4f %%, cut at %.3g mm", 100*off, height)
				}
			}
		})
	}
	t.Run("holes at the foot", func(t *testing.T) {
		box := subjects(t)[0]
		p := meshtest.Stand(box, 0.03)
		m := p.Sheeted(meshtest.RaggedOutline(p.Shadow(), firstSeed()))
		for _, at := range []r3.Vec{{}, {X: 30}, {X: 60, Y: 20}} {
			at = r3.Add(at, r3.Vec{Z: 3})
			m = without(m, func(a, b, c r3.Vec) bool { return r3.Norm(r3.Sub(a, at)) < 2 })
		}
		if off, height := cutOff(t, m, p.VolumeMM3); math.Abs(off) > 0.005 {
			t.Errorf("volume off by %.4f %%, cut at %.3g mm", 100*off, height)
		}
	})
}

// filletedPost is a post of radius 20 that flares out below by a quarter circle,
// to be cut off at z = 0.
func filletedPost(r float64) *mesh.Mesh {
	profile := []r2.Vec{{Y: -1}, {X: 20 + r, Y: -1}, {X: 20 + r}}
	for k := range 12 {
		sin, cos := math.Sincos(math.Pi / 24 * float64(k+1))
		profile = append(profile, r2.Vec{X: 20 + r - r*sin, Y: r - r*cos})
	}
	return meshtest.Lathe(append(profile, r2.Vec{X: 20, Y: 50}, r2.Vec{X: 20, Y: 100}, r2.Vec{Y: 100}), 120)
}

// Feet, plinths and brims of sound parts are no tables.
func TestNoTableUnderSoundParts(t *testing.T) {
	lathe := func(profile ...r2.Vec) *mesh.Mesh { return meshtest.Lathe(profile, 72) }
	parts := map[string]*mesh.Mesh{
		"box":         meshtest.Box(60, 40, 100),
		"flat box":    meshtest.Box(60, 40, 2),
		"ball":        meshtest.Icosphere(5),
		"torus":       meshtest.TorusMesh(96, 48, 60, 20),
		"frustum":     meshtest.Frustum(64, 50, 20, 60),
		"cone":        meshtest.Cone(64, 30, 100),
		"cylinder":    meshtest.Cylinder(64, 30, 100),
		"candlestick": lathe(r2.Vec{}, r2.Vec{X: 40}, r2.Vec{X: 40, Y: 6}, r2.Vec{X: 20, Y: 6}, r2.Vec{X: 20, Y: 200}, r2.Vec{Y: 200}),
		"thin candlestick": lathe(r2.Vec{}, r2.Vec{X: 45}, r2.Vec{X: 45, Y: 3}, r2.Vec{X: 9, Y: 3}, r2.Vec{X: 9, Y: 200},
			r2.Vec{Y: 200}),
		"goblet": lathe(r2.Vec{}, r2.Vec{X: 35}, r2.Vec{X: 35, Y: 4}, r2.Vec{X: 6, Y: 4}, r2.Vec{X: 6, Y: 80},
			r2.Vec{X: 40, Y: 110}, r2.Vec{X: 40, Y: 160}, r2.Vec{X: 37, Y: 160}, r2.Vec{X: 36, Y: 112}, r2.Vec{Y: 90}),
		"hat": lathe(r2.Vec{Y: 118}, r2.Vec{X: 88, Y: 118}, r2.Vec{X: 90}, r2.Vec{X: 160}, r2.Vec{X: 160, Y: 3},
			r2.Vec{X: 93, Y: 3}, r2.Vec{X: 91, Y: 121}, r2.Vec{Y: 121}),
		"solid hat": lathe(r2.Vec{}, r2.Vec{X: 160}, r2.Vec{X: 160, Y: 3}, r2.Vec{X: 93, Y: 3}, r2.Vec{X: 91, Y: 121}, r2.Vec{Y: 121}),
		"lamp":      lampOnPlinth(100, 12),
		"wide lamp": lampOnPlinth(180, 8),
	}
	for _, pattern := range []string{"../samples/*.stl", "../testdata/*.stl"} {
		files, err := filepath.Glob(pattern)
		if err != nil || len(files) == 0 {
			t.Fatalf("%s: %v, %d files", pattern, err, len(files))
		}
		for _, path := range files {
			m, _, err := mesh.Read(t.Context(), path, nil)
			if err != nil {
				t.Fatal(err)
			}
			parts[filepath.Base(path)] = m
		}
	}
	for name, m := range parts {
		rng := rand.New(rand.NewPCG(21, 22))
		for k := range 4 {
			posed := m
			if k > 0 {
				posed = m.Posed(turnedAnyhow(rng))
			}
			if k > 2 {
				b := m.Bounds()
				posed = meshtest.Scattered(posed, rng, 0.0007*r3.Norm(r3.Sub(b.Max, b.Min)))
			}
			if table, certain, found := mesh.FindTable(posed); found {
				t.Errorf("%s stands on a table, certain %v: %+v", name, certain, table)
			}
		}
	}
}

// A plate that could be a plinth is kept in silence, and cut off on demand, fused
// to the part or loose.
func TestPlinthIsCutOnDemand(t *testing.T) {
	post := meshtest.Lathe([]r2.Vec{{}, {X: 40}, {X: 40, Y: 15}, {X: 15, Y: 30}, {X: 25, Y: 140}, {Y: 175}}, 64)
	for name, m := range map[string]*mesh.Mesh{
		"fused": lampOnPlinth(180, 8),
		"loose": meshtest.Together(post, meshtest.Moved(meshtest.Box(200, 200, 10), r3.Vec{X: -100, Y: -100, Z: -10})),
	} {
		if table, _, found := mesh.FindTable(m); found {
			t.Errorf("%s: unasked, %+v", name, table)
		}
		mended, err := mesh.Mend(t.Context(), m, mesh.MendChoice{Table: mesh.TableCut})
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		b := mended.Solid.Bounds()
		if !slices.Contains(kindsOf(mended.Steps), mesh.MendTable) || b.Max.X-b.Min.X > 85 {
			t.Errorf("%s: %.0f mm wide after %+v", name, b.Max.X-b.Min.X, mended.Steps)
		}
	}
}

// lampOnPlinth is a round lamp on a square plate.
func lampOnPlinth(side, thick float64) *mesh.Mesh {
	stem := meshtest.Subject{Solid: &mesh.Solid{Mesh: meshtest.Lathe([]r2.Vec{{Y: -1}, {X: 22, Y: -1}, {X: 22, Y: 20}, {X: 12, Y: 60}, {X: 38, Y: 120}, {X: 30, Y: 160}, {Y: 160}}, 64)}, Up: r3.Vec{Z: 1}}
	p := meshtest.Stand(stem, 1.0/161)
	h := side / 2
	return p.Fused(meshtest.Along([]r2.Vec{{X: -h, Y: -h}, {X: h, Y: -h}, {X: h, Y: h}, {X: -h, Y: h}}, side/7), thick)
}

// An open hat looks like a part on a sheet: it may be asked about, not cut.
func TestOpenHatIsNotCut(t *testing.T) {
	hat := meshtest.Lathe([]r2.Vec{{}, {X: 160}, {X: 93, Y: 2}, {X: 91, Y: 121}, {Y: 121}}, 96)
	open := without(meshtest.Split(meshtest.Split(hat)), func(a, b, c r3.Vec) bool { return a.Z == 0 && b.Z == 0 && c.Z == 0 })
	if _, certain, found := mesh.FindTable(open); certain {
		t.Errorf("found %v, certain %v", found, certain)
	}
}

// The same scan has the same table, to the digit.
func TestFindTableRepeats(t *testing.T) {
	s := subject(t, "torus", meshtest.TorusMesh(160, 64, 60, 20), r3.Vec{X: 1})
	m, _ := meshtest.OnSlab(s, firstSeed())
	table, _, _ := mesh.FindTable(m)
	above, height := m.WithoutTable(table)
	for range 3 {
		again, _, _ := mesh.FindTable(m)
		above2, height2 := m.WithoutTable(again)
		if table != again || height != height2 || !reflect.DeepEqual(above, above2) {
			t.Fatalf("%+v, then %+v", table, again)
		}
	}
}

// How long is a table looked for in a large scan?
func BenchmarkFindTable(b *testing.B) {
	torus := meshtest.TorusMesh(1000, 500, 60, 20)
	s := meshtest.Subject{Solid: &mesh.Solid{Mesh: torus}, Up: r3.Vec{X: 1}}
	slab, _ := meshtest.OnSlab(s, firstSeed())
	sheet, _ := meshtest.OnSheet(s, firstSeed())
	box := meshtest.Box(60, 40, 100)
	for range 8 {
		box = meshtest.Split(box)
	}
	for _, c := range []struct {
		name string
		m    *mesh.Mesh
	}{
		{"torus of 1M", torus},
		{"box of 786k", box},
		{"torus of 1M on a slab", slab},
		{"torus of 1M on a sheet", sheet},
	} {
		b.Run(c.name, func(b *testing.B) {
			for b.Loop() {
				mesh.FindTable(c.m)
			}
		})
	}
}
