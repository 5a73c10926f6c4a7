package cast

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
)

// Layers sorts the volume of rooms by depth, in layers a voxel thick: where a
// place p of the field's frame is dot(down, p) + offset deep, mm, down a unit
// vector. nil stands for all rooms.
func (p *Passages) Layers(rooms []int32, down r3.Vec, offset float64) []Layer {
	in := make([]bool, len(p.rooms))
	for r := range in {
		in[r] = rooms == nil
	}
	total := 0.0
	for _, r := range rooms {
		in[r] = true
	}
	for r, volume := range p.rooms {
		if in[r] {
			total += volume
		}
	}
	f := p.field
	h := f.VoxelMM
	low, high := p.depths(down)
	count := make([]int, int((high-low)/h)+1)
	all := 0
	i := 0
	for z := range f.N[2] {
		for y := range f.N[1] {
			row := r3.Dot(down, r3.Add(f.Origin, r3.Scale(h, r3.Vec{Y: float64(y), Z: float64(z)})))
			for x := range f.N[0] {
				if b := p.basin[i]; b >= 0 && in[p.of[b]] {
					count[int((row+float64(x)*h*down.X-low)/h)]++
					all++
				}
				i++
			}
		}
	}
	var layers []Layer
	for k, n := range count {
		if n > 0 {
			layers = append(layers, Layer{offset + low + (float64(k)+0.5)*h, total * float64(n) / float64(all)})
		}
	}
	return layers
}

// depths returns between which depths the voxels are, so that along an axis their
// centres are in the middle of a layer.
func (p *Passages) depths(down r3.Vec) (low, high float64) {
	f := p.field
	low, high = math.Inf(1), math.Inf(-1)
	for c := range 8 {
		corner := r3.Vec{X: float64(c & 1 * (f.N[0] - 1)), Y: float64(c >> 1 & 1 * (f.N[1] - 1)), Z: float64(c >> 2 * (f.N[2] - 1))}
		d := r3.Dot(down, r3.Add(f.Origin, r3.Scale(f.VoxelMM, corner)))
		low, high = min(low, d), max(high, d)
	}
	return low - f.VoxelMM/2, high + f.VoxelMM
}

// Throat returns how far into the solid the passage from a spout goes on as wide
// as the spout is, within narrowTo, and where it ends. spout is on the surface of
// m, inward a unit vector. A solid that is wider behind the spout at once has no
// throat: 0.
func (p *Passages) Throat(m *mesh.Mesh, spout, inward r3.Vec, diameterMM float64) (lengthMM float64, end r3.Vec) {
	r := diameterMM / 2
	start := r3.Add(spout, r3.Scale(r, inward))
	if r <= 0 || p.field.At(start) >= 0 {
		return 0, spout
	}
	longest := longestEdge(m)
	for radius := 8*r + 4*p.field.VoxelMM; ; radius *= 2 {
		s := around(m, start, radius, longest)
		line, ok := s.throat(start, inward, r)
		if !ok && !s.whole {
			continue
		}
		last := spout
		for _, q := range line.points {
			lengthMM += r3.Norm(r3.Sub(q, last))
			last = q
		}
		return lengthMM, last
	}
}

// throat follows a passage from a place while it is about r wide.
func (s *surroundings) throat(at, axis r3.Vec, r float64) (shaft, bool) {
	var line shaft
	for range mostStrides {
		next, c, known := s.centred(at, axis, followEnd)
		if !known {
			return line, false
		}
		if c > narrowTo*r || c < r/narrowTo {
			break
		}
		line.points, line.radius = append(line.points, next), append(line.radius, c)
		if n := len(line.points); n > 1 {
			axis = line.axis(n - 1)
		}
		at = r3.Add(next, r3.Scale(r/strides, axis))
	}
	return line, true
}
