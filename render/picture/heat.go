package picture

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
)

// cividis are 16 evenly spaced colours of the map of that name, which reads the
// same with any colour vision: Nuñez, Anderton & Renslow, "Optimizing colormaps
// with consideration for color vision deficiency to enable accurate
// interpretation of scientific data", PLOS ONE 13(7), 2018.
var cividis = [16]tint{
	{0, 0.135112, 0.304751}, {0, 0.18161, 0.421859}, {0.117612, 0.225935, 0.434308}, {0.208926, 0.272546, 0.424809},
	{0.279411, 0.318677, 0.423031}, {0.342246, 0.364939, 0.428559}, {0.401418, 0.41179, 0.440708}, {0.458366, 0.459552, 0.460457},
	{0.51792, 0.508454, 0.472707}, {0.582087, 0.55867, 0.468118}, {0.648222, 0.610553, 0.454801}, {0.716177, 0.664384, 0.432386},
	{0.785965, 0.720438, 0.399613}, {0.857809, 0.778969, 0.353259}, {0.93218, 0.840159, 0.28588}, {0.995737, 0.909344, 0.217772},
}

// heat is the colour of a value from 0 to 1.
func heat(x float64) tint {
	x = min(max(x, 0), 1) * float64(len(cividis)-1)
	k := min(int(x), len(cividis)-2)
	return cividis[k].mix(cividis[k+1], x-float64(k))
}

// heatShades is how many colours a heat map is drawn with: as many as the eye
// can tell from their neighbours, and a few more.
const heatShades = 48

// heatPiece is a part of a face, with the direction and the value at its corners.
type heatPiece struct {
	at, normal [3]r3.Vec
	value      [3]float64
}

// heatBodies are the surface in the colours of values at its vertices, 0 to 1, a
// body for each colour, and one more where there is no value (NaN). Faces over which the value changes are cut until a piece
// has one colour, or is smaller than can be seen at the scale, px to the mm.
func heatBodies(m *mesh.Mesh, value []float32, scale float64) []body {
	m, value = heatReduced(m, value, scale)
	whole := shaded(m, oak)
	bodies := make([]body, heatShades, heatShades+1)
	for i := range bodies {
		bodies[i] = body{mesh: &mesh.Mesh{}, colour: heat((float64(i) + 0.5) / heatShades)}
	}
	bare := body{mesh: &mesh.Mesh{Vertices: m.Vertices}, colour: noHeat.times(1.5)} // mostly the dim underside
	for f, t := range m.Faces {
		p := heatPiece{normal: whole.normals[f]}
		p.at[0], p.at[1], p.at[2] = m.Corners(f)
		for k, v := range t {
			p.value[k] = float64(value[v])
		}
		if !p.fill() {
			bare.mesh.Faces = append(bare.mesh.Faces, t)
			bare.normals = append(bare.normals, p.normal)
			continue
		}
		p.cut(bodies, scale)
	}
	if len(bare.mesh.Faces) > 0 {
		bodies = append(bodies, bare)
	}
	return bodies
}

// noHeat is the colour of a surface without a value: lighter than the greys of the
// map.
var noHeat = hex(0xDEDDD8)

// fill gives a corner without a value the mean of the others; false when there is
// none.
func (p *heatPiece) fill() bool {
	sum, n := 0.0, 0.0
	for _, x := range p.value {
		if !math.IsNaN(x) {
			sum, n = sum+x, n+1
		}
	}
	for k, x := range p.value {
		if math.IsNaN(x) {
			p.value[k] = sum / n
		}
	}
	return n > 0
}

// heatReduced is the surface with fewer faces where it has too many, and the mean
// values of what became one vertex.
func heatReduced(m *mesh.Mesh, value []float32, scale float64) (*mesh.Mesh, []float32) {
	if len(m.Faces) <= mostFaces {
		return m, value
	}
	coarse, to := m.Clustered(cellFor(m, scale))
	if len(coarse.Faces) == 0 {
		return m, value
	}
	sum, count := make([]float32, len(coarse.Vertices)), make([]float32, len(coarse.Vertices))
	for v, x := range value {
		if !math.IsNaN(float64(x)) {
			sum[to[v]] += x
			count[to[v]]++
		}
	}
	for v := range sum {
		sum[v] /= count[v] // NaN where there is no value
	}
	return coarse, sum
}

// cut adds a piece to the body of its colour, halved along its longest edge while
// it has several.
func (p heatPiece) cut(bodies []body, scale float64) {
	const smallest = 2 // px
	low, high := min(p.value[0], p.value[1], p.value[2]), max(p.value[0], p.value[1], p.value[2])
	longest, k := 0.0, 0
	for i := range p.at {
		if d := r3.Norm(r3.Sub(p.at[i], p.at[(i+1)%3])); d > longest {
			longest, k = d, i
		}
	}
	if (high-low)*heatShades > 1 && longest*scale > smallest {
		one, other := p, p
		j := (k + 1) % 3
		one.at[k] = along(p.at[k], p.at[j], 0.5)
		if n := r3.Add(p.normal[k], p.normal[j]); n != (r3.Vec{}) {
			one.normal[k] = r3.Unit(n)
		}
		one.value[k] = (p.value[k] + p.value[j]) / 2
		other.at[j], other.normal[j], other.value[j] = one.at[k], one.normal[k], one.value[k]
		one.cut(bodies, scale)
		other.cut(bodies, scale)
		return
	}
	mean := (p.value[0] + p.value[1] + p.value[2]) / 3
	b := &bodies[min(int(math.Max(mean, 0)*heatShades), heatShades-1)]
	n := int32(len(b.mesh.Vertices))
	b.mesh.Vertices = append(b.mesh.Vertices, p.at[:]...)
	b.mesh.Faces = append(b.mesh.Faces, [3]int32{n, n + 1, n + 2})
	b.normals = append(b.normals, p.normal)
}

// heatBar draws a bar in the colours from 0, at its foot, to 1.
func (c *canvas) heatBar(on rect) {
	for y := on.Y0; y < on.Y1; y++ {
		share := (on.Y1 - y - 0.5) / on.high()
		c.fill(heat(share), 1, rect{on.X0, y, on.X1, min(y+1, on.Y1)}.corners())
	}
	c.draw(line(ink, 1.4), closed(on.corners()))
}
