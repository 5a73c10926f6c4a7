package mesh_test

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

// The broken-scan matrix: solids of known volume, each broken in every way that
// scans are, mended, and held against the truth, which is the volume of the
// unbroken mesh (exact, see Measure).

// damage is one way to break a scan. It returns the broken mesh and the true
// volume, which is that of the sound one unless a piece was cut off.
type damage struct {
	name   string
	guess  bool // something is lost that mending can only guess
	damage func(s subject, rng *rand.Rand) (*mesh.Mesh, float64)
}

// subject is a solid to break.
type subject struct {
	name   string
	solid  *mesh.Solid
	volume float64
	size   float64 // longest side of the bounds
	up     r3.Vec  // what was cut off is at the low end
}

func newSubject(t *testing.T, name string, m *mesh.Mesh, up r3.Vec) subject {
	t.Helper()
	s, _, err := mesh.NewSolid(m)
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	b := s.Bounds()
	d := r3.Sub(b.Max, b.Min)
	return subject{name, s, s.Measure().VolumeMM3, max(d.X, d.Y, d.Z), up}
}

func readSubject(t *testing.T, path string, longest float64) subject {
	t.Helper()
	m, _, err := mesh.Read(context.Background(), path, nil)
	if err != nil {
		t.Fatal(err)
	}
	box := mesh.TightestBox(m.Vertices)
	name := path[strings.LastIndex(path, "/")+1:]
	return newSubject(t, strings.TrimSuffix(name, ".stl"), m.Scaled(longest/box.Size[0]), box.Axes[0])
}

func subjects(t *testing.T) []subject {
	box := meshtest.Box(60, 40, 100)
	for range 4 {
		box = meshtest.Split(box)
	}
	profile := []r2.Vec{{}}
	for i := range 61 {
		z := float64(i) / 60
		profile = append(profile, r2.Vec{X: 18 + 9*math.Cos(9*z), Y: 150 * z})
	}
	profile = append(profile, r2.Vec{Y: 150})
	z := r3.Vec{Z: 1}
	return []subject{
		newSubject(t, "box", box, z),
		newSubject(t, "sphere", meshtest.Icosphere(5).Scaled(50), z),
		newSubject(t, "torus", meshtest.TorusMesh(160, 64, 60, 20), r3.Vec{X: 1}),
		newSubject(t, "lathe", meshtest.Lathe(profile, 96), z),
		readSubject(t, "../samples/storm-lantern.stl", 233.6),
		readSubject(t, "../samples/gull-headed-cane.stl", 417.7),
		readSubject(t, "../testdata/bear.stl", 150),
	}
}

func damages() []damage {
	return []damage{
		{"sound", false, func(s subject, _ *rand.Rand) (*mesh.Mesh, float64) { return s.solid.Mesh, s.volume }},
		{"missing base", true, withoutBase},
		{"3 holes", true, func(s subject, rng *rand.Rand) (*mesh.Mesh, float64) { return holed(s, rng, 3, 0.03), s.volume }},
		{"30 holes", true, func(s subject, rng *rand.Rand) (*mesh.Mesh, float64) { return holed(s, rng, 30, 0.015), s.volume }},
		{"20 % flipped", false, func(s subject, rng *rand.Rand) (*mesh.Mesh, float64) {
			return flipped(s.solid.Mesh, rng, 0.2), s.volume
		}},
		{"inside out", false, func(s subject, rng *rand.Rand) (*mesh.Mesh, float64) { return flipped(s.solid.Mesh, rng, 1), s.volume }},
		{"duplicated", false, func(s subject, rng *rand.Rand) (*mesh.Mesh, float64) { return duplicated(s.solid.Mesh, rng), s.volume }},
		{"split corners", false, func(s subject, rng *rand.Rand) (*mesh.Mesh, float64) { return soup(s, rng), s.volume }},
		{"floaters", false, func(s subject, rng *rand.Rand) (*mesh.Mesh, float64) { return withFloaters(s, rng), s.volume }},
		{"noise 0.1 %", true, func(s subject, rng *rand.Rand) (*mesh.Mesh, float64) { return scattered(s, rng, 0.001), s.volume }},
		{"noise 0.5 %", true, func(s subject, rng *rand.Rand) (*mesh.Mesh, float64) { return scattered(s, rng, 0.005), s.volume }},
		{"all but noise", true, func(s subject, rng *rand.Rand) (*mesh.Mesh, float64) { return muchBroken(s, rng), s.volume }},
	}
}

// withoutBase cuts off the lowest twentieth with a plane and leaves it open.
func withoutBase(s subject, _ *rand.Rand) (*mesh.Mesh, float64) {
	profile := mesh.NewProfile(s.solid, s.up)
	lo, hi := profile.Range()
	level := lo + 0.0503*(hi-lo)
	out := &mesh.Mesh{Vertices: slices.Clone(s.solid.Vertices)}
	height := func(v int32) float64 { return r3.Dot(s.up, out.Vertices[v]) - level }
	cuts := map[[2]int32]int32{}
	cut := func(a, b int32) int32 {
		k := [2]int32{min(a, b), max(a, b)}
		if _, known := cuts[k]; !known {
			p, q := out.Vertices[k[0]], out.Vertices[k[1]]
			t := height(k[0]) / (height(k[0]) - height(k[1]))
			cuts[k] = int32(len(out.Vertices))
			out.Vertices = append(out.Vertices, r3.Add(p, r3.Scale(t, r3.Sub(q, p))))
		}
		return cuts[k]
	}
	for _, t := range s.solid.Faces {
		var kept []int32
		for k, a := range t {
			b := t[(k+1)%3]
			if height(a) > 0 {
				kept = append(kept, a)
			}
			if height(a) > 0 != (height(b) > 0) {
				kept = append(kept, cut(a, b))
			}
		}
		for k := 2; k < len(kept); k++ {
			out.Faces = append(out.Faces, [3]int32{kept[0], kept[k-1], kept[k]})
		}
	}
	return out, s.volume - profile.Below(level)
}

// holed removes the faces in n balls about corners and the corners' own, so that
// each leaves one hole.
func holed(s subject, rng *rand.Rand, n int, share float64) *mesh.Mesh {
	m := s.solid.Mesh
	for holes := 0; holes < n; {
		v := m.Faces[rng.IntN(len(m.Faces))][0]
		center := m.Vertices[v]
		next := &mesh.Mesh{Vertices: m.Vertices}
		for f, t := range m.Faces {
			a, b, c := m.Corners(f)
			middle := r3.Scale(1.0/3, r3.Add(a, r3.Add(b, c)))
			if r3.Norm(r3.Sub(middle, center)) > share*s.size && !slices.Contains(t[:], v) {
				next.Faces = append(next.Faces, t)
			}
		}
		if r := mesh.Check(next); len(next.Faces) < len(m.Faces) && r.OpenLoops == holes+1 && r.Shells == 1 {
			m, holes = next, holes+1
		}
	}
	return m
}

func flipped(m *mesh.Mesh, rng *rand.Rand, share float64) *mesh.Mesh {
	out := &mesh.Mesh{Vertices: m.Vertices, Faces: slices.Clone(m.Faces)}
	for f, t := range m.Faces {
		if rng.Float64() < share {
			out.Faces[f] = [3]int32{t[0], t[2], t[1]}
		}
	}
	return out
}

// duplicated adds a tenth of the faces again, half of them back to front.
func duplicated(m *mesh.Mesh, rng *rand.Rand) *mesh.Mesh {
	out := &mesh.Mesh{Vertices: m.Vertices, Faces: slices.Clone(m.Faces)}
	for _, t := range m.Faces {
		switch rng.IntN(20) {
		case 0:
			out.Faces = append(out.Faces, [3]int32{t[1], t[2], t[0]})
		case 1:
			out.Faces = append(out.Faces, [3]int32{t[0], t[2], t[1]})
		}
	}
	return out
}

// soup gives each face corners of its own, a hair off.
func soup(s subject, rng *rand.Rand) *mesh.Mesh {
	out := &mesh.Mesh{}
	off := func() float64 { return 1e-5 * s.size * (2*rng.Float64() - 1) }
	for f := range s.solid.Faces {
		a, b, c := s.solid.Corners(f)
		n := int32(len(out.Vertices))
		for _, p := range []r3.Vec{a, b, c} {
			out.Vertices = append(out.Vertices, r3.Add(p, r3.Vec{X: off(), Y: off(), Z: off()}))
		}
		out.Faces = append(out.Faces, [3]int32{n, n + 1, n + 2})
	}
	return out
}

// withFloaters adds four little balls and four open scraps beside the part.
func withFloaters(s subject, rng *rand.Rand) *mesh.Mesh {
	out := &mesh.Mesh{Vertices: slices.Clone(s.solid.Vertices), Faces: slices.Clone(s.solid.Faces)}
	b := s.solid.Bounds()
	for i := range 8 {
		scrap := meshtest.Icosphere(1)
		if i%2 == 1 {
			scrap.Faces = scrap.Faces[:7]
		}
		at := r3.Add(b.Max, r3.Scale(s.size*0.1, r3.Vec{X: 1 + float64(i), Y: rng.Float64(), Z: rng.Float64()}))
		n := int32(len(out.Vertices))
		for _, v := range scrap.Vertices {
			out.Vertices = append(out.Vertices, r3.Add(at, r3.Scale(0.01*s.size, v)))
		}
		for _, t := range scrap.Faces {
			out.Faces = append(out.Faces, [3]int32{n + t[0], n + t[1], n + t[2]})
		}
	}
	return out
}

// scattered moves each corner by a normal deviate along each axis.
func scattered(s subject, rng *rand.Rand, share float64) *mesh.Mesh {
	out := &mesh.Mesh{Vertices: slices.Clone(s.solid.Vertices), Faces: s.solid.Faces}
	for i, v := range out.Vertices {
		out.Vertices[i] = r3.Add(v, r3.Scale(share*s.size, r3.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()}))
	}
	return out
}

// muchBroken breaks a scan in most ways at once.
func muchBroken(s subject, rng *rand.Rand) *mesh.Mesh {
	m := withFloaters(s, rng)
	broken := s
	broken.solid = &mesh.Solid{Mesh: duplicated(holed(s, rng, 3, 0.03), rng)}
	m = &mesh.Mesh{Vertices: slices.Concat(broken.solid.Vertices, m.Vertices[len(s.solid.Vertices):]),
		Faces: slices.Concat(broken.solid.Faces, m.Faces[len(s.solid.Faces):])}
	return flipped(m, rng, 0.2)
}

func TestBrokenScanMatrix(t *testing.T) {
	var table strings.Builder
	var errs, bars, guessed []float64
	held := 0
	list, ways := subjects(t), damages()
	fmt.Fprintf(&table, "\n%-14s", "")
	for _, s := range list {
		fmt.Fprintf(&table, " %17s", s.name)
	}
	for _, d := range ways {
		fmt.Fprintf(&table, "\n%-14s", d.name)
		for i, s := range list {
			broken, truth := d.damage(s, rand.New(rand.NewPCG(7, uint64(i))))
			mended, err := mesh.Mend(context.Background(), broken, mesh.MendChoice{})
			if err != nil {
				t.Errorf("%s, %s: %v %+v", s.name, d.name, err, mended.Steps)
				continue
			}
			_, noise := mended.Solid.Noise()
			off, bar := mended.Solid.Measure().VolumeMM3/truth-1, (mended.ErrorMM3+noise)/truth
			fmt.Fprintf(&table, " %9.4f ± %.4f ", 100*off, 100*bar)
			errs, bars = append(errs, math.Abs(off)), append(bars, bar)
			if d.guess {
				guessed = append(guessed, math.Abs(off))
			}
			if math.Abs(off) <= bar+1e-9 {
				held++
			}
		}
	}
	slices.Sort(errs)
	slices.Sort(bars)
	slices.Sort(guessed)
	median, worst, share := errs[len(errs)/2], errs[len(errs)-1], float64(held)/float64(len(errs))
	t.Logf("volume error and its bound, %%:%s\nmedian error %.4f %%, where something is lost %.4f %%, worst %.3f %%; median bound %.4f %%; truth within the bound in %d of %d",
		table.String(), 100*median, 100*guessed[len(guessed)/2], 100*worst, 100*bars[len(bars)/2], held, len(errs))
	if median > 0.001 || worst > 0.01 || share < 0.95 {
		t.Errorf("median %.4f %%, worst %.3f %%, held %.1f %%; want at most 0.1 %%, 1 %%, at least 95 %%", 100*median, 100*worst, 100*share)
	}
}
