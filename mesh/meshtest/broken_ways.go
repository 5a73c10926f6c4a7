package meshtest

import (
	"math/rand/v2"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
)

// withoutBase cuts off the lowest twentieth with a plane and leaves it open.
func withoutBase(s Subject, _ *rand.Rand) (*mesh.Mesh, float64) {
	profile := mesh.NewProfile(s.Solid, s.Up)
	lo, hi := profile.Range()
	level := lo + 0.0503*(hi-lo)
	out := &mesh.Mesh{Vertices: slices.Clone(s.Solid.Vertices)}
	height := func(v int32) float64 { return r3.Dot(s.Up, out.Vertices[v]) - level }
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
	for _, t := range s.Solid.Faces {
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
	return out, s.Solid.Measure().VolumeMM3 - profile.Below(level)
}

// holed removes the faces in n balls about corners and the corners' own, so that
// each leaves one hole.
func holed(s Subject, rng *rand.Rand, n int, share float64) *mesh.Mesh {
	m := s.Solid.Mesh
	for holes := 0; holes < n; {
		v := m.Faces[rng.IntN(len(m.Faces))][0]
		center := m.Vertices[v]
		next := &mesh.Mesh{Vertices: m.Vertices}
		for f, t := range m.Faces {
			a, b, c := m.Corners(f)
			middle := r3.Scale(1.0/3, r3.Add(a, r3.Add(b, c)))
			if r3.Norm(r3.Sub(middle, center)) > share*s.SizeMM && !slices.Contains(t[:], v) {
				next.Faces = append(next.Faces, t)
			}
		}
		if r := mesh.Check(next); len(next.Faces) < len(m.Faces) && r.OpenLoops == holes+1 && r.Shells == 1 {
			m, holes = next, holes+1
		}
	}
	return m
}

// Flipped returns a copy of m with a share of the faces, chosen at random, turned back to front.
func Flipped(m *mesh.Mesh, rng *rand.Rand, share float64) *mesh.Mesh {
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

// Soup returns a mesh of the faces of m, each with corners of its own, moved at
// random by at most offMM along each axis.
func Soup(m *mesh.Mesh, rng *rand.Rand, offMM float64) *mesh.Mesh {
	out := &mesh.Mesh{}
	off := func() float64 { return offMM * (2*rng.Float64() - 1) }
	for f := range m.Faces {
		a, b, c := m.Corners(f)
		n := int32(len(out.Vertices))
		for _, p := range []r3.Vec{a, b, c} {
			out.Vertices = append(out.Vertices, r3.Add(p, r3.Vec{X: off(), Y: off(), Z: off()}))
		}
		out.Faces = append(out.Faces, [3]int32{n, n + 1, n + 2})
	}
	return out
}

// withFloaters adds four little balls and four open scraps beside the part.
func withFloaters(s Subject, rng *rand.Rand) *mesh.Mesh {
	out := &mesh.Mesh{Vertices: slices.Clone(s.Solid.Vertices), Faces: slices.Clone(s.Solid.Faces)}
	b := s.Solid.Bounds()
	for i := range 8 {
		scrap := Icosphere(1)
		if i%2 == 1 {
			scrap.Faces = scrap.Faces[:7]
		}
		at := r3.Add(b.Max, r3.Scale(s.SizeMM*0.1, r3.Vec{X: 1 + float64(i), Y: rng.Float64(), Z: rng.Float64()}))
		n := int32(len(out.Vertices))
		for _, v := range scrap.Vertices {
			out.Vertices = append(out.Vertices, r3.Add(at, r3.Scale(0.01*s.SizeMM, v)))
		}
		for _, t := range scrap.Faces {
			out.Faces = append(out.Faces, [3]int32{n + t[0], n + t[1], n + t[2]})
		}
	}
	return out
}

// Scattered returns a copy of m with each corner moved along each axis by a normal
// deviate of standard deviation sigmaMM.
func Scattered(m *mesh.Mesh, rng *rand.Rand, sigmaMM float64) *mesh.Mesh {
	out := &mesh.Mesh{Vertices: slices.Clone(m.Vertices), Faces: m.Faces}
	for i, v := range out.Vertices {
		out.Vertices[i] = r3.Add(v, r3.Scale(sigmaMM, r3.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()}))
	}
	return out
}

// MuchBroken breaks a scan in most ways at once: holes, floaters, faces twice and
// faces turned.
func MuchBroken(s Subject, rng *rand.Rand) *mesh.Mesh {
	m := withFloaters(s, rng)
	broken := s
	broken.Solid = &mesh.Solid{Mesh: duplicated(holed(s, rng, 3, 0.03), rng)}
	m = &mesh.Mesh{Vertices: slices.Concat(broken.Solid.Vertices, m.Vertices[len(s.Solid.Vertices):]),
		Faces: slices.Concat(broken.Solid.Faces, m.Faces[len(s.Solid.Faces):])}
	return Flipped(m, rng, 0.2)
}
