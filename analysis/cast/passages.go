// Package cast answers "does the casting material get everywhere, and how long
// does it take?": the narrow passages between the spout and the rest of the
// pattern, and the flow through them.
package cast

import (
	"context"
	"errors"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh/field"
)

const (
	// constriction is how narrow a passage must be, as a share of the clearance
	// on either side of it, to count (common practice, no source).
	constriction = 0.7
	// worth is the least share of the whole volume behind a passage that counts
	// (common practice, no source).
	worth = 0.01
	// noiseVoxels is how much of the clearance along an even passage may be lost
	// between the centres of voxels, so that it looks like a constriction.
	noiseVoxels = 0.5
)

// Passages are the rooms of a solid and the doors between them, found on its
// field. The clearance of a place is its distance from the surface. On the
// widest way between two places the least clearance is as large as on any way:
// that is the way through a maximum spanning tree (Pollack, "The maximum capacity
// through a network", Operations Research 8(5), 1960; Hu, Operations Research
// 9(6), 1961; both from memory). Kruskal's way of building it, from the widest
// place down, is also the merge tree of the clearance (Carr, Snoeyink & Axen,
// "Computing contour trees in all dimensions", Computational Geometry 24(2), 2003).
type Passages struct {
	field  *field.Field
	basin  []int32   // of each voxel: the local top of clearance it drains to; −1 outside
	peak   []float64 // of each basin: the clearance there, mm
	voxels []int32   // in each basin
	joined *sets     // basins without a constriction between them: rooms

	rooms []float64 // their volumes, mm³
	of    []int32   // the room of each basin
	doors []door
	at    [][]int32 // the doors of each room
	total float64   // mm³
}

// door is the widest place where two rooms, parts of the solid without a
// constriction in them, meet.
type door struct {
	rooms  [2]int32
	basins [2]int32 // on either side
	voxels [2]int   // on either side, next to each other
	neck   Neck     // but for what is behind; Along points from rooms[0] to rooms[1]
	closed bool     // the mesh has no passage here: the voxels only touch
}

// Neck is a narrow passage on the way from the spout. Frame of the field, mm.
type Neck struct {
	At          r3.Vec  // the middle of its narrowest stretch
	Along       r3.Vec  // unit, away from the spout
	DiameterMM  float64 // of the largest ball that passes
	AreaMM2     float64 // of the least section through it; 0: not measured
	PerimeterMM float64 // of that section; 0: not measured
	LengthMM    float64 // of the stretch no wider than 1.25 times DiameterMM; 0: not measured
	BehindMM3   float64 // volume that only gets its material through it
	DoubtMM     float64 // DiameterMM may be this much too small
	After       int     // the neck before it on the way from the spout, an index; −1 for none
	Rooms       []int32 // behind it, see Depths.Layers
}

// NewPassages finds the rooms and doors of a field. The field needs a layer of
// voxels outside all around.
func NewPassages(ctx context.Context, f *field.Field) (*Passages, error) {
	s, err := newSweep(f)
	if err != nil {
		return nil, err
	}
	if err := s.run(ctx); err != nil {
		return nil, err
	}
	p := &Passages{field: f, basin: s.basin, peak: s.peak, voxels: s.voxels, joined: s.rooms, doors: s.doors}
	p.settle()
	return p, nil
}

// settle numbers the rooms, in the order of their peaks, and hangs the doors.
func (p *Passages) settle() {
	p.of, p.rooms = make([]int32, len(p.peak)), nil
	all := 0.0
	for b, n := range p.voxels {
		first := p.joined.find(int32(b))
		if int(first) == b {
			p.of[b] = int32(len(p.rooms))
			p.rooms = append(p.rooms, 0)
		}
		p.of[b] = p.of[first]
		p.rooms[p.of[b]] += float64(n)
		all += float64(n)
	}
	// The voxels share the exact volume out.
	p.total, _ = p.field.Volume()
	if p.total <= 0 {
		p.total = all * math.Pow(p.field.VoxelMM, 3)
	}
	for r := range p.rooms {
		p.rooms[r] *= p.total / all
	}
	p.at = make([][]int32, len(p.rooms))
	for d := range p.doors {
		for side, b := range p.doors[d].basins {
			r := p.of[b]
			p.doors[d].rooms[side] = r
			p.at[r] = append(p.at[r], int32(d))
		}
	}
}

// From returns the necks on the ways from a spout of that diameter around a
// point of the surface to everywhere else, each after the one before it. reached
// is the volume that has a way at all, mm³; 0 when no voxel is near the spout.
func (p *Passages) From(spout r3.Vec, diameterMM float64) (necks []Neck, reached float64) {
	root := p.rootOf(spout, diameterMM)
	if root < 0 {
		return nil, 0
	}
	w := walk{Passages: p, seen: make([]bool, len(p.rooms))}
	reached = w.into(p.of[p.basin[root]], -1)
	return w.worthy(), reached
}

// walk goes through all doors from the spout's room.
type walk struct {
	*Passages
	seen  []bool
	order []int32 // of rooms, as entered
	necks []Neck  // BehindMM3 not yet held against worth
}

// into enters a room after a neck and returns the volume of it and all behind.
func (w *walk) into(r int32, after int) float64 {
	w.seen[r] = true
	w.order = append(w.order, r)
	volume := w.rooms[r]
	for _, d := range w.at[r] {
		door := &w.doors[d]
		next, way := door.rooms[1], 1.0
		if next == r {
			next, way = door.rooms[0], -1
		}
		if w.seen[next] || door.closed {
			continue
		}
		neck, first := door.neck, len(w.order)
		neck.Along, neck.After = r3.Scale(way, neck.Along), after
		at := len(w.necks)
		w.necks = append(w.necks, neck)
		behind := w.into(next, at)
		w.necks[at].BehindMM3, w.necks[at].Rooms = behind, w.order[first:len(w.order):len(w.order)]
		volume += behind
	}
	return volume
}

// worthy drops the necks with hardly anything behind them.
func (w *walk) worthy() []Neck {
	var out []Neck
	index := make([]int, len(w.necks))
	for i, n := range w.necks {
		index[i] = -1
		if n.After >= 0 {
			n.After = index[n.After] // has more behind it, so it was kept
		}
		if n.BehindMM3 >= worth*w.total {
			index[i] = len(out)
			out = append(out, n)
		}
	}
	return out
}

// startVoxels is how far from the spout the first voxel inside may be: at a tip
// the solid is thinner than a voxel for a while.
const startVoxels = 8

// rootOf returns the voxel where the way from a spout begins: up the clearance
// from the voxel nearest to the point, as far as half the spout's diameter, so
// that the surface of the opening itself is not in the way. −1 for none.
func (p *Passages) rootOf(spout r3.Vec, diameterMM float64) int {
	f := p.field
	best, nearest := -1, math.Inf(1)
	for voxels := 2.; best < 0 && voxels <= startVoxels; voxels *= 2 {
		p.around(spout, voxels*f.VoxelMM, func(at int, d2 float64) {
			if d2 < nearest && p.basin[at] >= 0 {
				best, nearest = at, d2
			}
		})
	}
	limit := max(diameterMM/2, math.Sqrt(nearest)) + f.VoxelMM
	for climbing := best >= 0; climbing; {
		climbing = false
		from := best
		for _, step := range p.steps() {
			to := from + step
			if f.Distance[to] < f.Distance[best] && r3.Norm(r3.Sub(p.place(to), spout)) <= limit {
				best, climbing = to, true
			}
		}
	}
	return best
}

// around visits the voxels within reach of a point, with the squared distance.
func (p *Passages) around(q r3.Vec, reach float64, visit func(at int, d2 float64)) {
	f := p.field
	lo, hi := r3.Sub(q, f.Origin), r3.Sub(q, f.Origin)
	span := func(lo, hi float64, n int) (int, int) {
		return max(0, int(lo/f.VoxelMM)), min(n-1, int(hi/f.VoxelMM)+1)
	}
	x0, x1 := span(lo.X-reach, hi.X+reach, f.N[0])
	y0, y1 := span(lo.Y-reach, hi.Y+reach, f.N[1])
	z0, z1 := span(lo.Z-reach, hi.Z+reach, f.N[2])
	for z := z0; z <= z1; z++ {
		for y := y0; y <= y1; y++ {
			for x := x0; x <= x1; x++ {
				at := (z*f.N[1]+y)*f.N[0] + x
				if d2 := r3.Norm2(r3.Sub(p.place(at), q)); d2 <= reach*reach {
					visit(at, d2)
				}
			}
		}
	}
}

// place returns the centre of a voxel.
func (p *Passages) place(at int) r3.Vec { return place(p.field, at) }

func place(f *field.Field, at int) r3.Vec {
	x, y, z := at%f.N[0], at/f.N[0]%f.N[1], at/(f.N[0]*f.N[1])
	return r3.Add(f.Origin, r3.Scale(f.VoxelMM, r3.Vec{X: float64(x), Y: float64(y), Z: float64(z)}))
}

func (p *Passages) steps() [26]int { return steps(p.field) }

// steps lists what to add to a voxel's number to get to its neighbours.
func steps(f *field.Field) [26]int {
	var out [26]int
	i := 0
	for z := -1; z <= 1; z++ {
		for y := -1; y <= 1; y++ {
			for x := -1; x <= 1; x++ {
				if x != 0 || y != 0 || z != 0 {
					out[i] = (z*f.N[1]+y)*f.N[0] + x
					i++
				}
			}
		}
	}
	return out
}

var errBorder = errors.New("the field ends inside the solid; it needs a margin")
