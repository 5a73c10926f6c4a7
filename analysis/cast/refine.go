package cast

import (
	"cmp"
	"context"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
)

// mostRefined is how many doors are looked at on the mesh; more than that are
// the noise of a scan that is thin everywhere.
const mostRefined = 100

// Refine measures the doors on the mesh that the field was made of: place,
// diameter, length and least section of each, all to the chords of the mesh. What
// turns out to be no constriction is none any more. It is called once, and not
// beside From.
func (p *Passages) Refine(ctx context.Context, m *mesh.Mesh) error {
	longest := longestEdge(m)
	order := p.byWorth()
	for _, d := range order[:min(mostRefined, len(order))] {
		if err := ctx.Err(); err != nil {
			return err
		}
		p.measure(&p.doors[d], m, longest)
	}
	slices.SortStableFunc(p.doors, func(a, b door) int { return cmp.Compare(b.neck.DiameterMM, a.neck.DiameterMM) })
	kept := p.doors[:0]
	for _, d := range p.doors {
		lower := p.peak[max(p.joined.find(d.basins[0]), p.joined.find(d.basins[1]))]
		if !d.closed && d.neck.DiameterMM/2 >= constriction*lower {
			p.joined.unite(d.basins[0], d.basins[1])
			continue
		}
		kept = append(kept, d)
	}
	p.doors = kept
	for i := range p.doors {
		p.part(&p.doors[i])
	}
	p.settle()
	return nil
}

// part puts the voxels of a passage into the room of their side: before, the
// rooms met wherever along it the clearance of a voxel happened to be least.
func (p *Passages) part(d *door) {
	n := d.neck
	if d.closed || n.LengthMM == 0 {
		return
	}
	rooms := [2]int32{p.joined.find(d.basins[0]), p.joined.find(d.basins[1])}
	seen := map[int]bool{d.voxels[0]: true}
	for queue := []int{d.voxels[0]}; len(queue) > 0; queue = queue[1:] {
		at := queue[0]
		ahead := r3.Dot(n.Along, r3.Sub(p.place(at), n.At))
		b := p.basin[at]
		if r := p.joined.find(b); math.Abs(ahead) > n.LengthMM/2 || r != rooms[0] && r != rooms[1] {
			continue
		}
		side := d.basins[0]
		if ahead > 0 {
			side = d.basins[1]
		}
		p.voxels[b]--
		p.voxels[side]++
		p.basin[at] = side
		for _, step := range p.steps() {
			if to := at + step; p.basin[to] >= 0 && !seen[to] {
				seen[to] = true
				queue = append(queue, to)
			}
		}
	}
}

// byWorth lists the doors, the one with most on its smaller side first.
func (p *Passages) byWorth() []int32 {
	smaller := make([]float64, len(p.doors))
	seen := make([]bool, len(p.rooms))
	var below func(r int32, by int32) float64
	below = func(r, by int32) float64 {
		seen[r] = true
		sum := p.rooms[r]
		for _, d := range p.at[r] {
			if rooms := p.doors[d].rooms; d != by {
				v := below(rooms[0]+rooms[1]-r, d)
				smaller[d] = min(v, p.total-v)
				sum += v
			}
		}
		return sum
	}
	for r := range p.rooms {
		if !seen[r] {
			below(int32(r), -1)
		}
	}
	order := make([]int32, len(p.doors))
	for d := range order {
		order[d] = int32(d)
	}
	slices.SortStableFunc(order, func(a, b int32) int { return cmp.Compare(smaller[b], smaller[a]) })
	return order
}

// measure looks at one door on the mesh, in surroundings as large as it takes.
func (p *Passages) measure(d *door, m *mesh.Mesh, longest float64) {
	n := &d.neck
	lower := p.peak[max(p.joined.find(d.basins[0]), p.joined.find(d.basins[1]))]
	for radius := 3*lower + 4*p.field.VoxelMM; ; radius *= 2 {
		s := around(m, n.At, radius, longest)
		if d.closed = p.blocked(d, s); d.closed {
			return
		}
		line, ok := s.dig(n.At, n.Along)
		if !ok {
			if s.whole {
				return // a passage through nothing; the field stands
			}
			continue
		}
		at, along, r, length := line.narrowest()
		if !(r3.Norm(along) > 0.5) {
			return // a shaft that turns back on itself; the field stands
		}
		o, ok := s.leastOpening(line, r)
		if !ok && !s.whole {
			continue
		}
		*n = Neck{At: at, Along: along, DiameterMM: 2 * r, AreaMM2: o.area, PerimeterMM: o.perimeter,
			LengthMM: length, DoubtMM: o.chord * o.chord / (4 * r)}
		return
	}
}

// blocked says whether surface lies between the voxels on the two sides of a
// door, which then only look joined.
func (p *Passages) blocked(d *door, s *surroundings) bool {
	a, b := p.place(d.voxels[0]), p.place(d.voxels[1])
	step := r3.Sub(b, a)
	if -float64(p.field.Distance[d.voxels[0]]+p.field.Distance[d.voxels[1]]) > r3.Norm(step) {
		return false // a ball around each, and the balls overlap
	}
	hit, ok := s.tree.First(a, r3.Scale(1/r3.Norm(step), step))
	return ok && hit.Distance < r3.Norm(step)
}

// longestEdge returns the length of the longest edge of a mesh, mm.
func longestEdge(m *mesh.Mesh) float64 {
	longest := 0.0
	for f := range m.Faces {
		a, b, c := m.Corners(f)
		longest = max(longest, r3.Norm2(r3.Sub(b, a)), r3.Norm2(r3.Sub(c, b)), r3.Norm2(r3.Sub(a, c)))
	}
	return math.Sqrt(longest)
}
