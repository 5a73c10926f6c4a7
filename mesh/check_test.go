package mesh

import (
	"errors"
	"math"
	"runtime"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"gonum.org/v1/gonum/spatial/r3"
)

// cube has side 2 and is centred on c.
func cube(c r3.Vec) *Mesh {
	m := &Mesh{}
	for i := range 8 {
		corner := r3.Vec{X: float64(i&1)*2 - 1, Y: float64(i>>1&1)*2 - 1, Z: float64(i>>2&1)*2 - 1}
		m.Vertices = append(m.Vertices, r3.Add(c, corner))
	}
	for _, q := range [][4]int32{{0, 2, 3, 1}, {4, 5, 7, 6}, {0, 1, 5, 4}, {2, 6, 7, 3}, {0, 4, 6, 2}, {1, 3, 7, 5}} {
		m.Faces = append(m.Faces, [3]int32{q[0], q[1], q[2]}, [3]int32{q[0], q[2], q[3]})
	}
	return m
}

// together puts meshes into one without welding.
func together(ms ...*Mesh) *Mesh {
	out := &Mesh{}
	for _, m := range ms {
		n := int32(len(out.Vertices))
		out.Vertices = append(out.Vertices, m.Vertices...)
		for _, t := range m.Faces {
			out.Faces = append(out.Faces, [3]int32{t[0] + n, t[1] + n, t[2] + n})
		}
	}
	return out
}

// with returns m changed by f.
func with(m *Mesh, f func(m *Mesh)) *Mesh { f(m); return m }

// strip is a band of n quads around z, wider at the top; twisted, its last quad
// joins the first upside down (a Möbius band).
func strip(n int, twisted bool) *Mesh {
	m := &Mesh{}
	for i := range n {
		a := 2 * math.Pi * float64(i) / float64(n)
		h := 0.0
		if twisted {
			h = a / 2
		}
		for _, s := range []float64{-1, 1} {
			r := 5 + s*math.Sin(h)
			if !twisted {
				r += (1 + s) / 2
			}
			m.Vertices = append(m.Vertices, r3.Vec{X: r * math.Cos(a), Y: r * math.Sin(a), Z: s * math.Cos(h)})
		}
	}
	for i := range n {
		a, b := int32(2*i), int32(2*i+1)
		c, d := int32(2*i+2), int32(2*i+3)
		if i == n-1 {
			c, d = 0, 1
			if twisted {
				c, d = 1, 0
			}
		}
		m.Faces = append(m.Faces, [3]int32{a, c, b}, [3]int32{b, c, d})
	}
	return m
}

// signedVolume is the plain sum of tetrahedra about the origin.
func signedVolume(m *Mesh) float64 {
	v := 0.0
	for f := range m.Faces {
		a, b, c := m.Corners(f)
		v += r3.Dot(a, r3.Cross(b, c)) / 6
	}
	return v
}

// TestCheck breaks one thing in a good mesh at a time.
func TestCheck(t *testing.T) {
	far := r3.Vec{X: 10}
	for _, c := range []struct {
		name   string
		m      *Mesh
		kind   string // the only problem, "" for none
		count  int
		at     r3.Vec
		text   string // part of the sentence
		solid  bool
		shells int
		loops  int
		volume float64 // of the solid
	}{
		{name: "cube", m: cube(r3.Vec{}), solid: true, shells: 1, volume: 8},
		{name: "two cubes", m: together(cube(r3.Vec{}), cube(far)), solid: true, shells: 2, volume: 16},
		{name: "hole of one face", m: with(cube(r3.Vec{}), func(m *Mesh) { m.Faces = m.Faces[1:] }),
			kind: KindOpenLoop, count: 1, at: r3.Vec{X: -1.0 / 3, Y: 1.0 / 3, Z: -1}, shells: 1, loops: 1,
			text: "hole with a rim of 3 edges, 2.83 mm across, near (-0.333, 0.333, -1.000)"},
		{name: "two holes", m: with(cube(r3.Vec{}), func(m *Mesh) { m.Faces = m.Faces[1:10] }),
			kind: KindOpenLoop, count: 2, at: r3.Vec{X: 1}, shells: 1, loops: 2,
			text: "2 holes, the largest with a rim of 4 edges, 2.83 mm across, near (1.000, 0.000, 0.000)"},
		{name: "holes that touch in a corner", m: with(cube(r3.Vec{}), func(m *Mesh) { m.Faces = slices.Delete(m.Faces[2:], 4, 5) }),
			kind: KindOpenLoop, count: 2, shells: 1, loops: 2, at: r3.Vec{Z: -1}, text: "2 holes, the largest with a rim of 4 edges"},
		{name: "edge of four faces", m: with(together(cube(r3.Vec{}), cube(r3.Vec{X: 2, Y: 2})), func(m *Mesh) { joinVertices(m) }),
			kind: KindSharedEdge, count: 1, at: r3.Vec{X: 1, Y: 1}, shells: 1, text: "1 edge is shared by three or more faces"},
		{name: "two cubes that touch in a corner", m: with(together(cube(r3.Vec{}), cube(r3.Vec{X: 2, Y: 2, Z: 2})), func(m *Mesh) { joinVertices(m) }),
			solid: true, shells: 2, volume: 16},
		{name: "flipped face", m: with(cube(r3.Vec{}), func(m *Mesh) { flip(m, 5) }), kind: KindFlippedFace, count: 1, shells: 1,
			at: r3.Vec{X: -1.0 / 3, Y: -1, Z: 1.0 / 3}, text: "1 face is wound against the neighbours, the first near (-0.333, -1.000, 0.333)"},
		{name: "three flipped faces, the first among them", m: with(cube(r3.Vec{}), func(m *Mesh) { flip(m, 0, 6, 7) }),
			kind: KindFlippedFace, count: 3, shells: 1, at: r3.Vec{X: -1.0 / 3, Y: 1.0 / 3, Z: -1}, text: "3 faces are wound"},
		{name: "inside out", m: cube(r3.Vec{}).turned(), kind: KindInsideOut, count: 1, text: "turned outward", solid: true, shells: 1, volume: 8},
		{name: "two inside out", m: together(cube(r3.Vec{}).turned(), cube(far).turned()),
			kind: KindInsideOut, count: 2, text: "turned outward", solid: true, shells: 2, volume: 16},
		{name: "one of two inside out", m: together(cube(r3.Vec{}), cube(far).turned()),
			kind: KindInsideOutShell, count: 1, at: r3.Vec{X: 10 - 1.0/3, Y: 1.0 / 3, Z: -1}, text: "1 part of the surface is inside out", shells: 2},
		{name: "cavity", m: together(cube(r3.Vec{}).Scaled(3), cube(r3.Vec{}).turned()), kind: KindInnerCavity, count: 1,
			at: r3.Vec{X: -1.0 / 3, Y: 1.0 / 3, Z: -1}, text: "1 part of the surface is a closed hollow inside", solid: true, shells: 2, volume: 8*27 - 8},
		{name: "cavity, all inside out", m: together(cube(r3.Vec{}).Scaled(3).turned(), cube(r3.Vec{})), kind: KindInsideOut + " " + KindInnerCavity,
			solid: true, shells: 2, volume: 8*27 - 8},
		{name: "island in a cavity", m: together(cube(r3.Vec{}).Scaled(3), cube(r3.Vec{}).Scaled(2).turned(), cube(r3.Vec{})),
			kind: KindInnerCavity + " " + KindInnerBody, solid: true, shells: 3, volume: 8*27 - 8*8 + 8},
		{name: "cube in a cube", m: together(cube(r3.Vec{}).Scaled(3), cube(r3.Vec{})),
			kind: KindNestedShell, count: 1, at: r3.Vec{X: -1.0 / 3, Y: 1.0 / 3, Z: -1}, text: "lies inside another and is no hollow", shells: 2},
		{name: "duplicate face", m: with(cube(r3.Vec{}), func(m *Mesh) { m.Faces = append(m.Faces, [3]int32{3, 0, 2}) }),
			kind: KindSharedEdge + " " + KindDuplicateFace, shells: 1},
		{name: "face that lost a corner", m: with(cube(r3.Vec{}), func(m *Mesh) {
			m.Vertices = append(m.Vertices, r3.Vec{X: 50})
			m.Faces = append(m.Faces, [3]int32{0, 8, 8}, [3]int32{3, 3, 3})
		}), kind: KindDegenerateFace, count: 2, at: r3.Vec{X: 33, Y: -1.0 / 3, Z: -1.0 / 3}, text: "2 faces have two corners in one place and no area (left out)",
			solid: true, shells: 1, volume: 8},
		{name: "needle", m: needle(), kind: KindDegenerateFace, count: 1, at: r3.Vec{Y: -1, Z: -1}, text: "1 face is too thin to have a direction (kept)",
			solid: true, shells: 1, volume: 8},
		{name: "pair of faces", m: together(cube(r3.Vec{}), &Mesh{Vertices: tetra().Vertices[:3], Faces: [][3]int32{{0, 1, 2}, {2, 1, 0}}}),
			kind: KindDuplicateFace + " " + KindFlatShell, solid: true, shells: 2, volume: 8},
		{name: "flat sheet", m: &Mesh{Vertices: tetra().Vertices[:3], Faces: [][3]int32{{0, 1, 2}}}, kind: KindFlat + " " + KindOpenLoop, shells: 1, loops: 1},
		{name: "flat bag", m: with(cube(r3.Vec{}), func(m *Mesh) { m.Vertices = m.Posed(PoseDown(r3.Unit(r3.Vec{X: 1, Y: 2, Z: 3}))).flattened() }),
			kind: KindFlat, count: 1, text: "the scan is flat: it encloses no space", shells: 1},
		{name: "band", m: strip(12, false), kind: KindOpenLoop, count: 2, at: r3.Vec{Z: 1}, text: "rim of 12 edges, 12 mm across", shells: 1, loops: 2},
		{name: "twisted band", m: strip(12, true), kind: KindOpenLoop + " " + KindOneSided, shells: 1, loops: 1},
		{name: "not a number", m: with(cube(r3.Vec{}), func(m *Mesh) { m.Vertices[3].Y = math.Inf(1) }),
			kind: KindNonFinite, count: 1, text: "1 corner is not a finite number"},
		{name: "nothing", m: &Mesh{}, kind: KindEmpty, text: "the scan has no faces"},
		{name: "a hundred metres", m: cube(r3.Vec{}).Scaled(5e4), solid: true, shells: 1, volume: 1e15},
		{name: "a micrometre", m: cube(r3.Vec{}).Scaled(5e-4), solid: true, shells: 1, volume: 1e-9},
		{name: "ten metres away", m: cube(r3.Vec{X: 1e4, Y: -1e4, Z: 1e4}), solid: true, shells: 1, volume: 8},
	} {
		t.Run(c.name, func(t *testing.T) {
			checkReport(t, Check(c.m), c.kind, c.count, c.at, c.text)
			if r := Check(c.m); r.Shells != c.shells || r.OpenLoops != c.loops {
				t.Errorf("%d shells, %d open loops; want %d, %d", r.Shells, r.OpenLoops, c.shells, c.loops)
			}
			before := together(c.m)
			s, report, err := NewSolid(c.m)
			if diff := cmp.Diff(before.Faces, together(c.m).Faces); diff != "" {
				t.Error("NewSolid changed the mesh")
			}
			if c.solid {
				checkSolid(t, s, err, c.volume)
				return
			}
			var not *NotSolid
			if !errors.As(err, &not) || cmp.Diff(not.Report, report) != "" {
				t.Fatalf("error %v", err)
			}
			wantMakerError(t, err, report.Problems[0].Text)
		})
	}
}

// checkReport compares the kinds, and where there is one problem its details.
func checkReport(t *testing.T, r Report, kinds string, count int, at r3.Vec, text string) {
	t.Helper()
	var got []string
	for _, p := range r.Problems {
		got = append(got, p.Kind)
	}
	if strings.Join(got, " ") != kinds {
		t.Fatalf("problems %+v, want %q", r.Problems, kinds)
	}
	closed := !r.has(KindOpenLoop) && !r.has(KindSharedEdge) && !r.has(KindEmpty) && !r.has(KindNonFinite)
	if r.Closed != closed {
		t.Errorf("closed %v", r.Closed)
	}
	if len(r.Problems) != 1 {
		return
	}
	p := r.Problems[0]
	if p.Count != count || !strings.Contains(p.Text, text) || p.HasAt && r3.Norm(r3.Sub(p.At, at)) > 1e-9 {
		t.Errorf("problem %+v, want %d at %v: %q", p, count, at, text)
	}
}

func checkSolid(t *testing.T, s *Solid, err error, volume float64) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
	if got := signedVolume(s.Mesh); math.Abs(got-volume) > 1e-6*volume {
		t.Errorf("volume %v, want %v", got, volume)
	}
	again := Check(s.Mesh)
	if again.has(KindInsideOut) || !again.Closed {
		t.Errorf("the solid's own report: %+v", again)
	}
	used := make([]bool, len(s.Vertices))
	for _, f := range s.Faces {
		if collapsed(f) {
			t.Errorf("collapsed face %v", f)
		}
		used[f[0]], used[f[1]], used[f[2]] = true, true, true
	}
	if slices.Contains(used, false) {
		t.Error("a vertex no face uses")
	}
}

func flip(m *Mesh, faces ...int) {
	for _, f := range faces {
		m.Faces[f][1], m.Faces[f][2] = m.Faces[f][2], m.Faces[f][1]
	}
}

// joinVertices makes vertices in one place one.
func joinVertices(m *Mesh) {
	faces := renumbered(m)
	vertices := make([]r3.Vec, len(m.Vertices))
	last := int32(0)
	for f, t := range m.Faces {
		for i, v := range t {
			vertices[faces[f][i]] = m.Vertices[v]
			last = max(last, faces[f][i])
		}
	}
	m.Vertices, m.Faces = vertices[:last+1], faces
}

// needle is a cube with a vertex in the middle of an edge that only one side
// knows as a corner; a face without area closes the gap.
func needle() *Mesh {
	m := cube(r3.Vec{})
	m.Vertices = append(m.Vertices, r3.Vec{Y: -1, Z: -1})
	// Face {0, 3, 1} becomes two that meet the new vertex 8 on edge 0–1; face
	// {0, 1, 5} on the other side keeps the whole edge.
	i := slices.Index(m.Faces, [3]int32{0, 3, 1})
	m.Faces[i] = [3]int32{0, 3, 8}
	m.Faces = append(m.Faces, [3]int32{8, 3, 1}, [3]int32{0, 8, 1})
	return m
}

// flattened returns the vertices pressed onto a slanted plane through zero.
func (m *Mesh) flattened() []r3.Vec {
	n := r3.Unit(r3.Vec{X: 1, Y: 2, Z: 3})
	var out []r3.Vec
	for _, v := range m.Vertices {
		out = append(out, r3.Sub(v, r3.Scale(r3.Dot(v, n), n)))
	}
	return out
}

// TestCheckIsTheSameOnAnyMachine breaks a large mesh in many ways and compares
// the reports for several numbers of processors.
func TestCheckIsTheSameOnAnyMachine(t *testing.T) {
	m := together(ring(150, 100), cube(r3.Vec{X: 300}), cube(r3.Vec{X: 400}).turned())
	m.Faces = append(m.Faces[:100], m.Faces[150:]...)
	flip(m, 1000, 20000, 25000)
	m.Faces = append(m.Faces, m.Faces[7000], [3]int32{5, 5, 9}, [3]int32{900, 400, 30})
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(0))
	runtime.GOMAXPROCS(1)
	want := Check(m)
	if len(want.Problems) < 5 {
		t.Fatalf("too few problems: %+v", want.Problems)
	}
	for _, processors := range []int{2, 3, 5} {
		runtime.GOMAXPROCS(processors)
		if diff := cmp.Diff(want, Check(m)); diff != "" {
			t.Errorf("%d processors: %s", processors, diff)
		}
	}
}

func TestLength(t *testing.T) {
	for x, want := range map[float64]string{
		0: "0 mm", 21.04: "21 mm", 21.06: "21.1 mm", 0.0123456: "0.0123 mm", 123456: "123456 mm", 9.999: "10 mm", 1e-7: "0.0000001 mm", 4.6e-15: "0 mm",
	} {
		if got := length(x); got != want {
			t.Errorf("%v: %s, want %s", x, got, want)
		}
	}
}
