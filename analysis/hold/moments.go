package hold

import (
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
)

// surfaceSum is over part of a surface, each with n_z dA: of 1, x, y, and of
// these times z.
type surfaceSum struct {
	one, x, y float64
	z, xz, yz float64
}

// momentsBelow returns volume and first moments (about the z axis) of a closed
// mesh under each of the rising levels. By the divergence theorem ∫x dV under
// a level l is ∫x·(z − l)·n_z dA over the surface under it; the cap has z = l
// and gives nothing. Faces wholly under a level are summed once; only those it
// crosses are cut. Exact for the mesh. about is a point near it, so that far
// coordinates lose no digits.
func momentsBelow(m *mesh.Mesh, levels []float64, about r2.Vec) []state {
	whole := make([]surfaceSum, len(levels)+1) // of faces that are wholly under level k, not under k−1
	cut := make([]surfaceSum, len(levels))
	origin := r3.Vec{X: about.X, Y: about.Y}
	for f := range m.Faces {
		a, b, c := m.Corners(f)
		a, b, c = r3.Sub(a, origin), r3.Sub(b, origin), r3.Sub(c, origin)
		lo, hi := min(a.Z, b.Z, c.Z), max(a.Z, b.Z, c.Z)
		k, _ := slices.BinarySearch(levels, lo)
		for ; k < len(levels) && levels[k] < hi; k++ {
			cut[k].addUnder(a, b, c, levels[k])
		}
		whole[k].add(a, b, c)
	}
	states := make([]state, len(levels))
	var sum surfaceSum
	for k, l := range levels {
		sum.join(whole[k])
		all := sum
		all.join(cut[k])
		v := all.z - l*all.one
		states[k] = state{levelMM: l, mm3: v, moment: r2.Vec{
			X: all.xz - l*all.x + v*about.X,
			Y: all.yz - l*all.y + v*about.Y,
		}}
	}
	return states
}

func (s *surfaceSum) join(o surfaceSum) {
	s.one, s.x, s.y = s.one+o.one, s.x+o.x, s.y+o.y
	s.z, s.xz, s.yz = s.z+o.z, s.xz+o.xz, s.yz+o.yz
}

// add takes in a triangle. The integral of a product of two linear functions
// over it is area/12 times the sum of their products at the corners and of the
// product of their sums.
func (s *surfaceSum) add(a, b, c r3.Vec) {
	shadow := r2.Cross(flat(r3.Sub(b, a)), flat(r3.Sub(c, a))) / 2
	x, y, z := a.X+b.X+c.X, a.Y+b.Y+c.Y, a.Z+b.Z+c.Z
	s.one += shadow
	s.x += shadow * x / 3
	s.y += shadow * y / 3
	s.z += shadow * z / 3
	s.xz += shadow / 12 * (a.X*a.Z + b.X*b.Z + c.X*c.Z + x*z)
	s.yz += shadow / 12 * (a.Y*a.Z + b.Y*b.Z + c.Y*c.Z + y*z)
}

// addUnder takes in the part of a triangle under a level that crosses it.
func (s *surfaceSum) addUnder(a, b, c r3.Vec, level float64) {
	corners := [3]r3.Vec{a, b, c}
	var kept [4]r3.Vec
	n := 0
	for i, p := range corners {
		q := corners[(i+1)%3]
		if p.Z <= level {
			kept[n] = p
			n++
		}
		if (p.Z <= level) != (q.Z <= level) {
			kept[n] = r3.Add(p, r3.Scale((level-p.Z)/(q.Z-p.Z), r3.Sub(q, p)))
			n++
		}
	}
	for i := 2; i < n; i++ {
		s.add(kept[0], kept[i-1], kept[i])
	}
}
