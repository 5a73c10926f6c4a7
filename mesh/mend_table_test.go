package mesh_test

import (
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
		{"open sheet", false, true, func(s subject, rng *rand.Rand) (*mesh.Mesh, float64) {
			p := standing(s, 0.03)
			return p.sheeted(raggedOutline(p.shadow(), rng)), p.volume
		}},
		{"narrow torn sheet", false, true, func(s subject, rng *rand.Rand) (*mesh.Mesh, float64) {
			p := standing(s, 0.03)
			return p.sheeted(tornOutline(p, rng)), p.volume
		}},
		{"fused slab", true, false, onSlab},
		{"round slab", true, false, func(s subject, rng *rand.Rand) (*mesh.Mesh, float64) {
			p := standing(s, 0.05)
			return p.fused(roundOutline(p.shadow()), 0.015*p.tall), p.volume
		}},
		{"loose sheet under it", false, true, func(s subject, rng *rand.Rand) (*mesh.Mesh, float64) {
			p := standing(s, -0.004)
			return together(p.above.Posed(p.back), p.plate(raggedOutline(p.shadow(), rng), 0)), s.volume
		}},
		{"loose sheet through it", false, true, func(s subject, rng *rand.Rand) (*mesh.Mesh, float64) {
			p := standing(s, -1e-9)
			sheet := p.plate(raggedOutline(p.shadow(), rng), 0)
			return together(p.above.Posed(p.back), shifted(sheet, p.back.Dir(r3.Vec{Z: 0.02 * p.tall}))), s.volume
		}},
		{"loose slab", true, false, func(s subject, rng *rand.Rand) (*mesh.Mesh, float64) {
			p := standing(s, -0.003)
			return together(p.above.Posed(p.back), p.plate(raggedOutline(p.shadow(), rng), 0.02*p.tall)), s.volume
		}},
	}
}

type tableCase struct {
	name          string
	slab, certain bool
	scan          func(s subject, rng *rand.Rand) (*mesh.Mesh, float64)
}

// plate returns a loose table; a sheet where it has no thickness.
func (p foot) plate(outline []r2.Vec, thick float64) *mesh.Mesh {
	alone := foot{above: &mesh.Mesh{}, back: p.back}
	if thick == 0 {
		return alone.sheeted(outline)
	}
	return alone.fused(outline, thick)
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
func tornOutline(p foot, rng *rand.Rand) []r2.Vec {
	var rim []r2.Vec
	for _, l := range p.loops {
		for _, v := range l {
			rim = append(rim, r2.Vec{X: p.above.Vertices[v].X, Y: p.above.Vertices[v].Y})
		}
	}
	hull := mesh.Hull2(rim)
	box := mesh.MinAreaRect(rim)
	span := box.Size[0]
	var outline []r2.Vec
	for i, a := range along(hull, span/30) {
		out := r2.Sub(a, box.Center)
		wave := 0.25 + 0.12*math.Sin(float64(i)/6) + 0.06*(rng.Float64()-0.5)
		outline = append(outline, r2.Add(a, r2.Scale(wave*span/r2.Norm(out), out)))
	}
	return outline
}

// Every kind of table under every part is found, turned anyhow and with noise, and
// what is left of the scan mends to the part that stood on it.
func TestTablesAreFoundAndCutOff(t *testing.T) {
	worst, sum, n := 0.0, 0.0, 0
	for i, s := range subjects(t) {
		for j, c := range tableCases() {
			for k, noise := range []float64{0, 0.001} {
				rng := rand.New(rand.NewPCG(11, uint64(100*i+10*j+k)))
				m, truth := c.scan(s, rng)
				m = m.Posed(turnedAnyhow(rng))
				m = scattered(subject{solid: &mesh.Solid{Mesh: m}, size: s.size}, rng, noise)
				table, certain, found := mesh.FindTable(m)
				if !found || certain != c.certain || table.Slab != c.slab {
					t.Errorf("%s, %s, noise %g: found %v, certain %v, slab %v", s.name, c.name, noise, found, certain, table.Slab)
					continue
				}
				before := &mesh.Mesh{Vertices: slices.Clone(m.Vertices), Faces: slices.Clone(m.Faces)}
				above, height := m.WithoutTable(table)
				if !reflect.DeepEqual(m, before) {
					t.Error("the scan was changed")
				}
				mended, err := mesh.Mend(t.Context(), above, mesh.MendChoice{CloseAll: true})
				if err != nil {
					t.Errorf("%s, %s, noise %g: cut at %.3g mm: %v", s.name, c.name, noise, height, err)
					continue
				}
				off := mended.Solid.Measure().VolumeMM3/truth - 1
				if math.Abs(off) > 0.005 {
					t.Errorf("%s, %s, noise %g: volume off by %.3f %%, cut at %.3g mm", s.name, c.name, noise, 100*off, height)
				}
				worst, sum, n = max(worst, math.Abs(off)), sum+math.Abs(off), n+1
			}
		}
	}
	t.Logf("volume off by %.4f %% on average, %.4f %% at worst, in %d scans", 100*sum/float64(n), 100*worst, n)
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
		for k := range 6 {
			posed := m
			if k > 0 {
				posed = m.Posed(turnedAnyhow(rng))
			}
			if k > 3 {
				b := m.Bounds()
				posed = scattered(subject{solid: &mesh.Solid{Mesh: posed}, size: r3.Norm(r3.Sub(b.Max, b.Min))}, rng, 0.0007)
			}
			if table, certain, found := mesh.FindTable(posed); found {
				t.Errorf("%s stands on a table, certain %v: %+v", name, certain, table)
			}
		}
	}
}

// lampOnPlinth is a round lamp on a square plate.
func lampOnPlinth(side, thick float64) *mesh.Mesh {
	stem := subject{solid: &mesh.Solid{Mesh: meshtest.Lathe([]r2.Vec{{Y: -1}, {X: 22, Y: -1}, {X: 22, Y: 20}, {X: 12, Y: 60}, {X: 38, Y: 120}, {X: 30, Y: 160}, {Y: 160}}, 64)}, up: r3.Vec{Z: 1}}
	p := standing(stem, 1.0/161)
	h := side / 2
	return p.fused(along([]r2.Vec{{X: -h, Y: -h}, {X: h, Y: -h}, {X: h, Y: h}, {X: -h, Y: h}}, side/7), thick)
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
	s := newSubject(t, "torus", meshtest.TorusMesh(160, 64, 60, 20), r3.Vec{X: 1})
	m, _ := onSlab(s, firstSeed())
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
	s := subject{solid: &mesh.Solid{Mesh: torus}, up: r3.Vec{X: 1}}
	slab, _ := onSlab(s, firstSeed())
	p := standing(s, 0.03)
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
		{"torus of 1M on a sheet", p.sheeted(raggedOutline(p.shadow(), firstSeed()))},
	} {
		b.Run(c.name, func(b *testing.B) {
			for b.Loop() {
				mesh.FindTable(c.m)
			}
		})
	}
}
