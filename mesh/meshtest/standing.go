package meshtest

import (
	"math"
	"math/rand/v2"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
)

// TableDamages lists the ways in which the table under a part is scanned with it:
// a closed slab, which no scan by itself tells from a plinth, and an open sheet.
// The part's foot is lost in either.
func TableDamages() []Damage {
	return []Damage{
		{"fused slab", true, OnSlab},
		{"table sheet", true, OnSheet},
	}
}

// OnSlab fuses a closed slab under the part's low end, which it hides: it returns
// the scan and the volume of the part above the slab, mm³.
func OnSlab(s Subject, rng *rand.Rand) (*mesh.Mesh, float64) {
	p := Stand(s, 0.0353)
	return p.Fused(RaggedOutline(p.Shadow(), rng), 0.03*p.TallMM), p.VolumeMM3
}

// OnSheet cuts off the part's low end and fuses an open sheet around it: it returns
// the scan and the volume of the part above the sheet, mm³.
func OnSheet(s Subject, rng *rand.Rand) (*mesh.Mesh, float64) {
	p := Stand(s, 0.03)
	return p.Sheeted(RaggedOutline(p.Shadow(), rng)), p.VolumeMM3
}

// Standing is a part cut off flat, in a frame with the cut, which is the top of its
// table, at z = 0 and the part above.
type Standing struct {
	Above     *mesh.Mesh // open at the cut
	Loops     [][]int32  // its rim, seen from above: counter-clockwise around the part
	Back      mesh.Pose  // to the part's own frame
	TallMM    float64    // above the table
	VolumeMM3 float64    // above the table
}

// Stand cuts off a share of a subject's height at its low end; of a negative share
// nothing is cut off and the part hovers.
func Stand(s Subject, share float64) Standing {
	profile := mesh.NewProfile(s.Solid, s.Up)
	lo, hi := profile.Range()
	level := lo + share*(hi-lo)
	pose := mesh.PoseDown(r3.Scale(-1, s.Up))
	pose.T = r3.Vec{Z: -level}
	p := Standing{Back: pose.Inverse(), TallMM: hi - level, VolumeMM3: s.Solid.Measure().VolumeMM3 - profile.Below(level)}
	p.Above, p.Loops = cutAtZero(s.Solid.Posed(pose).Mesh)
	return p
}

// cutAtZero returns what is above z = 0 and the loops of the cut.
func cutAtZero(m *mesh.Mesh) (*mesh.Mesh, [][]int32) {
	c := zeroCut{m: m, above: &mesh.Mesh{}, kept: map[int32]int32{}, cuts: map[[2]int32]int32{}}
	next := map[int32]int32{}
	var starts []int32
	for _, t := range m.Faces {
		var ring []int32
		leave, enter := int32(-1), int32(-1)
		for k, a := range t {
			b := t[(k+1)%3]
			up, then := m.Vertices[a].Z > 0, m.Vertices[b].Z > 0
			if up {
				ring = append(ring, c.keep(a))
			}
			switch {
			case up && !then:
				leave = c.cut(a, b)
				ring = append(ring, leave)
			case then && !up:
				enter = c.cut(a, b)
				ring = append(ring, enter)
			}
		}
		for k := 2; k < len(ring); k++ {
			c.above.Faces = append(c.above.Faces, [3]int32{ring[0], ring[k-1], ring[k]})
		}
		if leave >= 0 {
			next[leave] = enter
			starts = append(starts, leave)
		}
	}
	return c.above, loopsOf(starts, next)
}

// zeroCut is a mesh that is being cut at z = 0.
type zeroCut struct {
	m, above *mesh.Mesh
	kept     map[int32]int32    // corners of m, in above
	cuts     map[[2]int32]int32 // crossings of m's edges, in above
}

func (c *zeroCut) keep(v int32) int32 {
	if _, known := c.kept[v]; !known {
		c.kept[v] = c.put(c.m.Vertices[v])
	}
	return c.kept[v]
}

func (c *zeroCut) cut(a, b int32) int32 {
	k := [2]int32{min(a, b), max(a, b)}
	if _, known := c.cuts[k]; !known {
		p, q := c.m.Vertices[k[0]], c.m.Vertices[k[1]]
		at := r3.Add(p, r3.Scale(p.Z/(p.Z-q.Z), r3.Sub(q, p)))
		at.Z = 0
		c.cuts[k] = c.put(at)
	}
	return c.cuts[k]
}

func (c *zeroCut) put(p r3.Vec) int32 {
	c.above.Vertices = append(c.above.Vertices, p)
	return int32(len(c.above.Vertices) - 1)
}

// loopsOf follows next, which it empties, from each start.
func loopsOf(starts []int32, next map[int32]int32) [][]int32 {
	var loops [][]int32
	for _, v := range starts {
		var loop []int32
		for w, there := next[v]; there; w, there = next[v] {
			loop = append(loop, v)
			delete(next, v)
			v = w
		}
		if len(loop) > 2 {
			loops = append(loops, loop)
		}
	}
	return loops
}

// Shadow returns the box of the part above the table.
func (p Standing) Shadow() r3.Box { return p.Above.Bounds() }

// RaggedOutline returns the rim of a table, counter-clockwise, for a part's shadow:
// it reaches a fifth to a half of the shadow's diagonal beyond it, is not centred
// and has teeth.
func RaggedOutline(shadow r3.Box, rng *rand.Rand) []r2.Vec {
	d := r3.Sub(shadow.Max, shadow.Min)
	size := math.Hypot(d.X, d.Y)
	x := [2]float64{shadow.Min.X, shadow.Max.X}
	y := [2]float64{shadow.Min.Y, shadow.Max.Y}
	for _, side := range []*[2]float64{&x, &y} {
		by := [2]float64{size * (0.2 + 0.1*rng.Float64()), size * (0.35 + 0.15*rng.Float64())}
		k := rng.IntN(2)
		side[0] -= by[k]
		side[1] += by[1-k]
	}
	corners := []r2.Vec{{X: x[0], Y: y[0]}, {X: x[1], Y: y[0]}, {X: x[1], Y: y[1]}, {X: x[0], Y: y[1]}}
	outline := Along(corners, size/15)
	for i := range outline {
		outline[i] = r2.Add(outline[i], r2.Scale(0.02*size, r2.Vec{X: rng.Float64() - 0.5, Y: rng.Float64() - 0.5}))
	}
	return outline
}

// Along returns the corners of a polygon and points on its sides, at most a step
// apart.
func Along(corners []r2.Vec, step float64) []r2.Vec {
	var out []r2.Vec
	for i, a := range corners {
		b := corners[(i+1)%len(corners)]
		n := max(1, math.Ceil(r2.Norm(r2.Sub(b, a))/step))
		for k := range int(n) {
			out = append(out, r2.Add(a, r2.Scale(float64(k)/n, r2.Sub(b, a))))
		}
	}
	return out
}

// Sheeted returns the part with an open sheet around it as far as an outline, which
// runs counter-clockwise around the part; in the part's own frame.
func (p Standing) Sheeted(outline []r2.Vec) *mesh.Mesh {
	m, _ := p.onTop(outline)
	return m.Posed(p.Back)
}

// Fused returns the part on a closed slab as wide as an outline, as Sheeted's; in
// the part's own frame.
func (p Standing) Fused(outline []r2.Vec, thickMM float64) *mesh.Mesh {
	m, rim := p.onTop(outline)
	n := int32(len(m.Vertices))
	under := newPlane(m, outline, -thickMM)
	for _, t := range under.fill(indices(n, len(outline)), nil) {
		m.Faces = append(m.Faces, [3]int32{t[0], t[2], t[1]})
	}
	for i, a := range rim {
		b := rim[(i+1)%len(rim)]
		c, d := n+int32(i), n+int32((i+1)%len(rim))
		m.Faces = append(m.Faces, [3]int32{a, c, d}, [3]int32{a, d, b})
	}
	return m.Posed(p.Back)
}

// onTop adds the table's upper side and returns its outer rim.
func (p Standing) onTop(outline []r2.Vec) (m *mesh.Mesh, rim []int32) {
	m = &mesh.Mesh{Vertices: slices.Clone(p.Above.Vertices), Faces: slices.Clone(p.Above.Faces)}
	rim = indices(int32(len(m.Vertices)), len(outline))
	plane := newPlane(m, outline, 0)
	// The table is within the outline and within the loops around hollows, but
	// not within those around the part.
	outer, holes := [][]int32{rim}, [][][]int32{nil}
	for _, l := range p.Loops {
		if plane.area(l) < 0 {
			back := slices.Clone(l)
			slices.Reverse(back)
			outer, holes = append(outer, back), append(holes, nil)
		}
	}
	for _, l := range p.Loops {
		if plane.area(l) < 0 {
			continue
		}
		in := -1
		for k, o := range outer {
			if plane.within(l[0], o) && (in < 0 || plane.area(o) < plane.area(outer[in])) {
				in = k
			}
		}
		back := slices.Clone(l)
		slices.Reverse(back)
		holes[in] = append(holes[in], back)
	}
	for k := range outer {
		m.Faces = append(m.Faces, plane.fill(outer[k], holes[k])...)
	}
	return m, rim
}
