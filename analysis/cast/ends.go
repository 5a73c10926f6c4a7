package cast

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh/large"
)

// End is an end of a solid: a place from which every way inside leads nearer to
// the spout. Frame of the field, mm.
type End struct {
	At      r3.Vec  // inside, less than two voxels from the surface
	Out     r3.Vec  // unit, out of the solid; zeros where it is too thin to tell
	WidthMM float64 // diameter of the largest ball in what sticks out there
	OutMM   float64 // how far it sticks out: from it back to where a longer way branches off
	FarMM   float64 // from the spout, on the shortest way inside
	Room    int32
	voxel   int32
}

const (
	// leastOut is how far an end sticks out at least, as a share of the longest
	// way; and no less than it is wide, or it is a corner (common practice, no
	// source).
	leastOut = 0.05
	// mostEnds is how many a maker can look after.
	mostEnds = 8
)

// Ends returns the ends of the solid as seen from a spout, the one that sticks out
// farthest first. They are the local tops of the distance from the spout through
// the solid, by persistence (Edelsbrunner, Letscher & Zomorodian, Discrete &
// Computational Geometry 28, 2002, from memory).
func (p *Passages) Ends(spout r3.Vec, diameterMM float64) []End {
	root := p.rootOf(spout, diameterMM)
	if root < 0 {
		return nil
	}
	w := p.reach(root)
	all := w.tops()
	longest := all[0].OutMM
	ends := all[:0]
	for i, e := range all {
		if i == 0 || e.OutMM >= max(leastOut*longest, e.WidthMM, 3*p.field.VoxelMM) {
			ends = append(ends, e)
		}
	}
	ends = ends[:min(mostEnds, len(ends))]
	for i := range ends {
		w.centre(&ends[i])
		if out := r3.Sub(ends[i].At, p.place(p.rootOf(ends[i].At, ends[i].WidthMM))); r3.Norm(out) > 0 {
			ends[i].Out = r3.Unit(out)
		}
	}
	return ends
}

// RoomAt returns the room of a place at the surface; −1 where none is near.
func (p *Passages) RoomAt(at r3.Vec) int32 {
	v := p.rootOf(at, 0)
	if v < 0 {
		return -1
	}
	return p.of[p.basin[v]]
}

// WidthAt is the diameter of the largest ball inside by a place at the surface, its
// middle no farther from there than half of most; 0 where nothing is near.
func (p *Passages) WidthAt(at r3.Vec, most float64) float64 {
	v := p.rootOf(at, most)
	if v < 0 {
		return 0
	}
	return -2 * float64(p.field.Distance[v])
}

// ways are the shortest ways from a root to all voxels, in chamfer distance: steps
// to the side, over an edge and over a corner count 3, 4 and 5 (Borgefors, Computer
// Vision, Graphics, and Image Processing 34, 1986, from memory; within 8 %).
type ways struct {
	p     *Passages
	far   []int32 // −1: no way
	order []int32 // of the voxels that have one, nearest first
	steps [26]int
	cost  [26]int32
}

// perVoxel is the chamfer distance of neighbours.
const perVoxel = 3

// reach follows all ways from a root: Dijkstra's with a ring of buckets, since
// distances are small whole numbers (Dial, Communications of the ACM 12, 1969, from
// memory).
func (p *Passages) reach(root int) *ways {
	w := &ways{p: p, far: large.Make[int32](len(p.basin)), steps: p.steps()}
	for i := range w.far {
		w.far[i] = -1
	}
	for i, n := 0, 0; n < 27; n++ {
		if n != 13 {
			x, y, z := n%3-1, n/3%3-1, n/9-1
			w.cost[i] = int32(2 + x*x + y*y + z*z)
			i++
		}
	}
	closed := p.closedDoors()
	var ring [6][]int32
	ring[0] = append(ring[0], int32(root))
	w.far[root] = 0
	for d, waiting := int32(0), 1; waiting > 0; d++ {
		now := &ring[d%6]
		for _, at := range *now {
			waiting--
			if w.far[at] != d {
				continue // found again by a shorter way
			}
			w.order = append(w.order, at)
			for i, step := range w.steps {
				to := int(at) + step
				if p.basin[to] < 0 || w.far[to] >= 0 && w.far[to] <= d+w.cost[i] || closed != nil && closed[p.between(int(at), to)] {
					continue
				}
				w.far[to] = d + w.cost[i]
				next := &ring[w.far[to]%6]
				*next = append(*next, int32(to))
				waiting++
			}
		}
		*now = (*now)[:0]
	}
	return w
}

// closedDoors lists the rooms whose voxels touch although surface is between them.
func (p *Passages) closedDoors() map[[2]int32]bool {
	var closed map[[2]int32]bool
	for _, d := range p.doors {
		if d.closed {
			if closed == nil {
				closed = map[[2]int32]bool{}
			}
			closed[[2]int32{min(d.rooms[0], d.rooms[1]), max(d.rooms[0], d.rooms[1])}] = true
		}
	}
	return closed
}

// between names the rooms of two voxels.
func (p *Passages) between(a, b int) [2]int32 {
	ra, rb := p.of[p.basin[a]], p.of[p.basin[b]]
	return [2]int32{min(ra, rb), max(ra, rb)}
}

// top is a local top of the distance while the voxels are taken, farthest first.
type top struct {
	at   int32
	deep float32 // least signed distance in what hangs together with it
}

// tops returns all local tops, the one that sticks out farthest first: the farthest
// of all.
func (w *ways) tops() []End {
	label := large.Make[int32](len(w.far))
	joined := &sets{} // named by the farthest top, since that came first
	var all []top
	var ends []End
	for i := len(w.order) - 1; i >= 0; i-- {
		at := w.order[i]
		own := int32(-1)
		for _, step := range w.steps {
			l := label[int(at)+step] - 1
			if l < 0 || l == own {
				continue
			}
			if l = joined.find(l); l == own {
				continue
			}
			if own < 0 {
				own = l
				continue
			}
			last, first := max(own, l), min(own, l)
			ends = append(ends, w.end(all[last], w.far[at]))
			all[first].deep = min(all[first].deep, all[last].deep)
			joined.unite(own, l)
			own = first
		}
		if own < 0 {
			own = joined.add()
			all = append(all, top{at: at})
		}
		label[at] = own + 1
		all[own].deep = min(all[own].deep, w.p.field.Distance[at])
	}
	ends = append(ends, w.end(all[0], 0))
	slices.SortStableFunc(ends, func(a, b End) int { return cmp.Compare(b.OutMM, a.OutMM) })
	return ends
}

// end describes a top that joins a farther one at a distance.
func (w *ways) end(t top, back int32) End {
	mm := w.p.field.VoxelMM / perVoxel
	return End{At: w.p.place(int(t.at)), WidthMM: -2 * float64(t.deep), OutMM: float64(w.far[t.at]-back) * mm,
		FarMM: float64(w.far[t.at]) * mm, Room: w.p.of[w.p.basin[t.at]], voxel: t.at}
}

// centre moves an end to the middle of it: of what is nearly as far, no longer than
// a quarter of its width, to the place at the surface nearest to the mean.
func (w *ways) centre(e *End) {
	h := w.p.field.VoxelMM
	least := w.far[e.voxel] - int32(perVoxel*max(2, min(e.WidthMM/4, e.OutMM/2)/h))
	region := []int32{e.voxel}
	seen := map[int32]bool{e.voxel: true}
	var sum r3.Vec
	far := 0.0
	for i := 0; i < len(region); i++ {
		at := region[i]
		sum, far = r3.Add(sum, w.p.place(int(at))), far+float64(w.far[at])
		for _, step := range w.steps {
			if to := at + int32(step); w.far[to] >= least && !seen[to] {
				seen[to] = true
				region = append(region, to)
			}
		}
	}
	mean := r3.Scale(1/float64(len(region)), sum)
	far = (far/float64(len(region)) + float64(least)) / 2
	nearest := math.Inf(1)
	for _, at := range region {
		if -float64(w.p.field.Distance[at]) > h || float64(w.far[at]) < far {
			continue
		}
		if d := r3.Norm2(r3.Sub(w.p.place(int(at)), mean)); d < nearest {
			e.At, nearest = w.p.place(int(at)), d
		}
	}
}
