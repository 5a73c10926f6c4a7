package implicit

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
)

// probe is the half width of the difference that gives the field's gradient.
const probe = 0.02

// Gradient returns the direction in which the field grows and how fast, by
// four values at the corners of a small tetrahedron.
func Gradient(solid Field, p r3.Vec) r3.Vec {
	var g r3.Vec
	for _, corner := range [4]r3.Vec{V(1, 1, 1), V(1, -1, -1), V(-1, 1, -1), V(-1, -1, 1)} {
		g = r3.Add(g, r3.Scale(solid(r3.Add(p, r3.Scale(probe, corner))), corner))
	}
	return r3.Scale(1/(4*probe), g)
}

// Relaxed returns m with its vertices evened out along the surface of the
// solid and drawn on to it, in the given number of rounds. No step is longer
// than a third of edge, about the shortest edge of m.
func Relaxed(m *mesh.Mesh, solid Field, edge float64, rounds int) *mesh.Mesh {
	around := m.Neighbours()
	vertices := m.Vertices
	for range rounds {
		moved := make([]r3.Vec, len(vertices))
		inParallel((len(vertices)+batch-1)/batch, func(b int) {
			for i := b * batch; i < min((b+1)*batch, len(vertices)); i++ {
				even := mean(vertices, around.Of(i))
				moved[i] = land(solid, vertices[i], even, edge/3)
			}
		})
		vertices = moved
	}
	return &mesh.Mesh{Vertices: vertices, Faces: m.Faces}
}

// batch is how many vertices one goroutine takes at a time.
const batch = 512

func mean(vertices []r3.Vec, of []int32) r3.Vec {
	var sum r3.Vec
	for _, i := range of {
		sum = r3.Add(sum, vertices[i])
	}
	return r3.Scale(1/float64(len(of)), sum)
}

// land moves p along the surface towards even, then straight on to the surface.
func land(solid Field, p, even r3.Vec, longest float64) r3.Vec {
	normal := r3.Unit(Gradient(solid, p))
	slide := r3.Sub(even, p)
	slide = r3.Sub(slide, r3.Scale(r3.Dot(slide, normal), normal))
	p = r3.Add(p, capped(slide, longest))
	for range 2 {
		g := Gradient(solid, p)
		p = r3.Sub(p, capped(r3.Scale(solid(p)/max(r3.Norm2(g), 0.1), g), longest))
	}
	return p
}

// capped shortens v to the given length.
func capped(v r3.Vec, longest float64) r3.Vec {
	if n := r3.Norm(v); n > longest {
		return r3.Scale(longest/n, v)
	}
	return v
}

// Taubin's factors: a step towards the neighbours, then one back that is a
// little longer.
const (
	blurStep   = 0.5
	unblurStep = -0.53
)

// Blurred returns m with its creases rounded off in the given number of rounds
// and its volume about kept: Taubin, "A signal processing approach to fair
// surface design", SIGGRAPH 1995 (from memory).
func Blurred(m *mesh.Mesh, rounds int) *mesh.Mesh {
	around := m.Neighbours()
	vertices := m.Vertices
	for range rounds {
		for _, step := range [2]float64{blurStep, unblurStep} {
			moved := make([]r3.Vec, len(vertices))
			for i, p := range vertices {
				moved[i] = r3.Add(p, r3.Scale(step, r3.Sub(mean(vertices, around.Of(i)), p)))
			}
			vertices = moved
		}
	}
	return &mesh.Mesh{Vertices: vertices, Faces: m.Faces}
}

// Noisy returns m with every vertex moved along the solid's normal by a
// random-looking length with mean 0 and the given standard deviation, in mm:
// the sum of four hashed uniform numbers, so never over 3.5 deviations.
func Noisy(m *mesh.Mesh, solid Field, deviation float64, seed uint64) *mesh.Mesh {
	vertices := make([]r3.Vec, len(m.Vertices))
	for i, p := range m.Vertices {
		var sum float64
		for k := range uint64(4) {
			sum += float64(hash(seed<<40|uint64(i)<<2|k)>>11)/(1<<53) - 0.5
		}
		off := deviation * sum * math.Sqrt(3) // each has variance 1/12
		vertices[i] = r3.Add(p, r3.Scale(off, r3.Unit(Gradient(solid, p))))
	}
	return &mesh.Mesh{Vertices: vertices, Faces: m.Faces}
}

// hash scrambles 64 bits: the finalizer of SplitMix64 (Steele, Lea and Flood,
// "Fast splittable pseudorandom number generators", OOPSLA 2014; from memory).
func hash(x uint64) uint64 {
	x += 0x9e3779b97f4a7c15
	x = (x ^ x>>30) * 0xbf58476d1ce4e5b9
	x = (x ^ x>>27) * 0x94d049bb133111eb
	return x ^ x>>31
}
