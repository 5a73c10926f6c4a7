package cast

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
)

// Depths holds the volume of every room by depth, in layers a voxel thick.
type Depths struct {
	p      *Passages
	first  float64 // depth of the middle of the first layer, mm
	layers int
	count  []int32 // of voxels, layer by layer, room by room
}

// Depths sorts the volume of the rooms by depth, where a place p of the field's
// frame is dot(down, p) + offset deep, mm, down a unit vector.
func (p *Passages) Depths(down r3.Vec, offset float64) *Depths {
	f := p.field
	h := f.VoxelMM
	low, high := p.depths(down)
	d := &Depths{p: p, first: offset + low + h/2, layers: int((high-low)/h) + 1}
	d.count = make([]int32, d.layers*len(p.rooms))
	i := 0
	for z := range f.N[2] {
		for y := range f.N[1] {
			row := r3.Dot(down, r3.Add(f.Origin, r3.Scale(h, r3.Vec{Y: float64(y), Z: float64(z)})))
			for x := range f.N[0] {
				if b := p.basin[i]; b >= 0 {
					d.count[int(p.of[b])*d.layers+int((row+float64(x)*h*down.X-low)/h)]++
				}
				i++
			}
		}
	}
	return d
}

// Layers returns the volume of some rooms by depth; nil stands for all of them.
func (d *Depths) Layers(rooms []int32) []Layer {
	in := make([]bool, len(d.p.rooms))
	for r := range in {
		in[r] = rooms == nil
	}
	for _, r := range rooms {
		in[r] = true
	}
	count := make([]int, d.layers)
	total, all := 0.0, 0
	for r, volume := range d.p.rooms {
		if !in[r] {
			continue
		}
		total += volume
		for k, n := range d.count[r*d.layers : (r+1)*d.layers] {
			count[k] += int(n)
			all += int(n)
		}
	}
	var layers []Layer
	for k, n := range count {
		if n > 0 {
			layers = append(layers, Layer{d.first + float64(k)*d.p.field.VoxelMM, total * float64(n) / float64(all)})
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

// wideVoxels is how many voxels wide a spout is at least for the field to tell its
// throat to a voxel or two.
const wideVoxels = 10

// Throat returns how far into the solid the passage from a spout goes on as wide
// as the spout is, within narrowTo, and where it ends. spout is on the surface of
// m, inward a unit vector. A solid that is wider behind the spout at once has no
// throat: 0. A spout many voxels wide is followed on the field.
func (p *Passages) Throat(m *mesh.Mesh, spout, inward r3.Vec, diameterMM float64) (lengthMM float64, end r3.Vec) {
	r := diameterMM / 2
	start := r3.Add(spout, r3.Scale(r, inward))
	if r <= 0 || p.field.At(start) >= 0 {
		return 0, spout
	}
	if diameterMM > wideVoxels*p.field.VoxelMM {
		return p.RoughThroat(spout, inward, diameterMM)
	}
	longest := longestEdge(m)
	for radius := 8*r + 4*p.field.VoxelMM; ; radius *= 2 {
		s := around(m, start, radius, longest)
		line, ok := clearing(s.clearance).throat(start, inward, r)
		if !ok && !s.whole {
			continue
		}
		return line.lengthFrom(spout)
	}
}

// RoughThroat is Throat to the voxels of the field.
func (p *Passages) RoughThroat(spout, inward r3.Vec, diameterMM float64) (lengthMM float64, end r3.Vec) {
	r := diameterMM / 2
	start := r3.Add(spout, r3.Scale(r, inward))
	if r <= 0 || p.field.At(start) >= 0 {
		return 0, spout
	}
	line, _ := clearing(func(at r3.Vec) (float64, bool) { return max(0, -p.field.At(at)), true }).throat(start, inward, r)
	return line.lengthFrom(spout)
}

// lengthFrom returns how long the way from a place along the shaft is, and its end.
func (l shaft) lengthFrom(at r3.Vec) (lengthMM float64, end r3.Vec) {
	for _, q := range l.points {
		lengthMM += r3.Norm(r3.Sub(q, at))
		at = q
	}
	return lengthMM, at
}

// throat follows a passage from a place while it is about r wide.
func (clearance clearing) throat(at, axis r3.Vec, r float64) (shaft, bool) {
	var line shaft
	for range mostStrides {
		next, c, known := clearance.centred(at, axis, followEnd)
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
