package cast

import (
	"context"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh/field"
	"pourwright/mesh/large"
)

// sweep takes the voxels inside from the one with the most clearance down. Each
// joins the basin of its deepest neighbour or starts a basin of its own; where
// basins that had no way to each other meet is the widest way between them.
type sweep struct {
	f      *field.Field
	basin  []int32
	joined *sets // basins with a way between them
	rooms  *sets // basins with no constriction between them
	peak   []float64
	voxels []int32
	doors  []door
}

const (
	outside = -1
	unswept = -2
)

func newSweep(f *field.Field) (*sweep, error) {
	s := &sweep{f: f, basin: large.Make[int32](len(f.Distance)), joined: &sets{}, rooms: &sets{}}
	i := 0
	for z := range f.N[2] {
		for y := range f.N[1] {
			border := z == 0 || z == f.N[2]-1 || y == 0 || y == f.N[1]-1
			for x := range f.N[0] {
				s.basin[i] = outside
				if f.Distance[i] < 0 {
					if border || x == 0 || x == f.N[0]-1 {
						return nil, errBorder
					}
					s.basin[i] = unswept
				}
				i++
			}
		}
	}
	return s, nil
}

// sweptAtOnce is how many voxels are taken between looks at the context.
const sweptAtOnce = 1 << 16

func (s *sweep) run(ctx context.Context) error {
	around := steps(s.f)
	for i, at := range byClearance(s.f.Distance) {
		if i%sweptAtOnce == 0 {
			if err := ctx.Err(); err != nil {
				return err
			}
		}
		s.take(int(at), &around)
	}
	return nil
}

// take puts one voxel where it belongs.
func (s *sweep) take(at int, around *[26]int) {
	deepest := -1
	apart := false
	for _, step := range around {
		b := s.basin[at+step]
		if b < 0 {
			continue
		}
		if deepest < 0 {
			deepest = at + step
			continue
		}
		if b != s.basin[deepest] {
			apart = true
		}
		if s.f.Distance[at+step] < s.f.Distance[deepest] {
			deepest = at + step
		}
	}
	if deepest < 0 {
		s.basin[at] = s.joined.add()
		s.rooms.add()
		s.peak = append(s.peak, -float64(s.f.Distance[at]))
		s.voxels = append(s.voxels, 1)
		return
	}
	own := s.basin[deepest]
	s.basin[at] = own
	s.voxels[own]++
	if apart {
		s.join(at, around)
	}
}

// join opens the ways between the basins around a voxel.
func (s *sweep) join(at int, around *[26]int) {
	own := s.basin[at]
	for _, step := range around {
		b := s.basin[at+step]
		if b < 0 || !s.joined.unite(own, b) {
			continue
		}
		clearance := -float64(s.f.Distance[at])
		// The room of a basin has the number of its peak.
		lower := s.peak[max(s.rooms.find(own), s.rooms.find(b))]
		if clearance+noiseVoxels*s.f.VoxelMM >= constriction*lower {
			s.rooms.unite(own, b)
			continue
		}
		s.doors = append(s.doors, door{basins: [2]int32{own, b}, voxels: [2]int{at, at + step}, neck: Neck{
			At: place(s.f, at), Along: s.direction(at, at+step, around), DiameterMM: 2 * clearance,
			DoubtMM: math.Sqrt(3) * s.f.VoxelMM,
		}})
	}
}

// direction returns the unit vector from the way up the clearance on one side
// of a door to that on the other.
func (s *sweep) direction(from, to int, around *[26]int) r3.Vec {
	reach := 2*s.f.VoxelMM - float64(s.f.Distance[from])
	a := s.climb(from, s.basin[from], reach, around)
	b := s.climb(to, s.basin[to], reach, around)
	d := r3.Sub(place(s.f, b), place(s.f, a))
	return r3.Scale(1/r3.Norm(d), d)
}

// climb follows the steepest way up the clearance in one basin, as far as reach.
func (s *sweep) climb(from int, basin int32, reach float64, around *[26]int) int {
	at := from
	for r3.Norm(r3.Sub(place(s.f, at), place(s.f, from))) < reach {
		best := at
		for _, step := range around {
			if to := at + step; s.basin[to] == basin && s.f.Distance[to] < s.f.Distance[best] {
				best = to
			}
		}
		if best == at {
			break
		}
		at = best
	}
	return at
}

// byClearance lists the voxels inside, the one farthest from the surface first,
// equal ones in their order. A radix sort: the bits of positive floats are in
// their order.
func byClearance(distance []float32) []int32 {
	var low, high [1 << 16]int32
	n := int32(0)
	key := func(d float32) uint32 { return ^math.Float32bits(-d) }
	for _, d := range distance {
		if d < 0 {
			k := key(d)
			low[k&0xffff]++
			high[k>>16]++
			n++
		}
	}
	first := func(counts *[1 << 16]int32) {
		sum := int32(0)
		for i, c := range counts {
			counts[i] = sum
			sum += c
		}
	}
	first(&low)
	first(&high)
	half, sorted := large.Make[int32](int(n)), large.Make[int32](int(n))
	for i, d := range distance {
		if d < 0 {
			k := key(d) & 0xffff
			half[low[k]] = int32(i)
			low[k]++
		}
	}
	for _, i := range half {
		k := key(distance[i]) >> 16
		sorted[high[k]] = i
		high[k]++
	}
	return sorted
}

// sets are disjoint sets of numbers; a set is named by its smallest number.
type sets struct{ up []int32 }

// add makes a set of one new number.
func (s *sets) add() int32 {
	s.up = append(s.up, int32(len(s.up)))
	return int32(len(s.up) - 1)
}

func (s *sets) find(i int32) int32 {
	for s.up[i] != i {
		s.up[i] = s.up[s.up[i]]
		i = s.up[i]
	}
	return i
}

// unite joins two sets and says whether they were apart.
func (s *sets) unite(a, b int32) bool {
	a, b = s.find(a), s.find(b)
	if a == b {
		return false
	}
	s.up[max(a, b)] = min(a, b)
	return true
}
