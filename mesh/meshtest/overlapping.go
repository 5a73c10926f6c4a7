package meshtest

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
)

// CrossedDamages lists ways that Mend alone has no answer to: surface that passes
// through itself.
func CrossedDamages() []Damage {
	return []Damage{
		{"self-crossing", true, func(s Subject, _ *rand.Rand) (*mesh.Mesh, float64) { return selfCrossing(s) }},
		{"two overlapping", true, func(s Subject, _ *rand.Rand) (*mesh.Mesh, float64) { return overlapping(s) }},
	}
}

// How far the second copy of a scan that is there twice is off, along the part and
// across it, as shares of its size.
const (
	twiceAlong  = 0.12
	twiceAcross = 0.02
)

// overlapping puts a second copy of the part beside it, so that both overlap, and
// returns the volume of what they fill together.
func overlapping(s Subject) (*mesh.Mesh, float64) {
	across, _ := mesh.Frame(s.Up)
	move := r3.Scale(s.SizeMM, r3.Add(r3.Scale(twiceAlong, s.Up), r3.Scale(twiceAcross, across)))
	by := r3.Norm(move)
	out := &mesh.Mesh{Vertices: slices.Clone(s.Solid.Vertices), Faces: slices.Clone(s.Solid.Faces)}
	n := int32(len(out.Vertices))
	for _, v := range s.Solid.Vertices {
		out.Vertices = append(out.Vertices, r3.Add(v, move))
	}
	for _, t := range s.Solid.Faces {
		out.Faces = append(out.Faces, [3]int32{t[0] + n, t[1] + n, t[2] + n})
	}
	return out, volumeWithCopy(s.Solid.Mesh, r3.Scale(1/by, move), by)
}

// linesAcross is how many lines along each side of a part's shadow find a volume.
const linesAcross = 600

// volumeWithCopy returns the volume of a closed mesh together with a copy moved
// along a direction: along each line the stretches inside the mesh, and the same
// moved on. With 360 000 lines it is good to about 1 part in 10 000.
func volumeWithCopy(m *mesh.Mesh, dir r3.Vec, by float64) float64 {
	u, v := mesh.Frame(dir)
	lo, hi := [2]float64{math.Inf(1), math.Inf(1)}, [2]float64{math.Inf(-1), math.Inf(-1)}
	for _, p := range m.Vertices {
		for k, x := range [2]float64{r3.Dot(u, p), r3.Dot(v, p)} {
			lo[k], hi[k] = min(lo[k], x), max(hi[k], x)
		}
	}
	lines := mesh.NewLines(m, dir)
	du, dv := (hi[0]-lo[0])/linesAcross, (hi[1]-lo[1])/linesAcross
	sum := 0.0
	var at []mesh.Crossing
	for i := range linesAcross {
		for j := range linesAcross {
			p := r3.Add(r3.Scale(lo[0]+du*(float64(i)+0.5), u), r3.Scale(lo[1]+dv*(float64(j)+0.5), v))
			at = lines.Through(p, at[:0])
			sum += withCopy(at, by)
		}
	}
	return sum * du * dv
}

// withCopy returns the length of the stretches inside, which crossings begin and
// end in turn, together with the same moved on.
func withCopy(at []mesh.Crossing, by float64) float64 {
	var stretches [][2]float64
	for i := 0; i+1 < len(at); i += 2 {
		a, b := at[i].Height, at[i+1].Height
		stretches = append(stretches, [2]float64{a, b}, [2]float64{a + by, b + by})
	}
	slices.SortFunc(stretches, func(a, b [2]float64) int { return cmp.Compare(a[0], b[0]) })
	sum, end := 0.0, math.Inf(-1)
	for _, s := range stretches {
		sum += max(0, s[1]-max(s[0], end))
		end = max(end, s[1])
	}
	return sum
}

// selfCrossing is overlapping with both copies joined by a thin tunnel where they
// overlap, so that it is one surface that passes through itself.
func selfCrossing(s Subject) (*mesh.Mesh, float64) {
	m, volume := overlapping(s)
	half := len(m.Faces) / 2
	a, b := tunnelEnds(m, half)
	out := &mesh.Mesh{Vertices: m.Vertices}
	for f, t := range m.Faces {
		if f != a && f != b {
			out.Faces = append(out.Faces, t)
		}
	}
	// Each side of the tunnel uses an edge of one face as that face did.
	t, o := m.Faces[a], m.Faces[b]
	turn := nearestTurn(m, t, o)
	for k := range 3 {
		p, q := t[k], t[(k+1)%3]
		r, w := o[(turn+6-k)%3], o[(turn+5-k)%3] // opposite p and q, the other way round
		out.Faces = append(out.Faces, [3]int32{p, q, w}, [3]int32{p, w, r})
	}
	return out, volume
}

// nearestTurn returns how two faces that look at each other are best joined.
func nearestTurn(m *mesh.Mesh, t, o [3]int32) int {
	best, least := 0, math.Inf(1)
	for turn := range 3 {
		sum := 0.0
		for k := range 3 {
			sum += r3.Norm(r3.Sub(m.Vertices[t[k]], m.Vertices[o[(turn+6-k)%3]]))
		}
		if sum < least {
			best, least = turn, sum
		}
	}
	return best
}

// tunnelEnds returns a face of the first half of the faces and one of the second
// that see each other through what is inside both halves, near each other.
func tunnelEnds(m *mesh.Mesh, half int) (int, int) {
	first, second := &mesh.Mesh{Vertices: m.Vertices, Faces: m.Faces[:half]}, &mesh.Mesh{Vertices: m.Vertices, Faces: m.Faces[half:]}
	ends := [2][]int{within(m, 0, half, second), within(m, half, len(m.Faces), first)}
	type pair struct {
		a, b int
		long float64
	}
	var pairs []pair
	for _, a := range ends[0] {
		for _, b := range ends[1] {
			way := r3.Sub(middleOf(m, b), middleOf(m, a))
			long := r3.Norm(way)
			if r3.Dot(way, normalOf(m, a)) < -0.5*long && r3.Dot(way, normalOf(m, b)) > 0.5*long {
				pairs = append(pairs, pair{a, b, long})
			}
		}
	}
	slices.SortFunc(pairs, func(p, q pair) int {
		return cmp.Or(cmp.Compare(p.long, q.long), cmp.Compare(p.a, q.a), cmp.Compare(p.b, q.b))
	})
	for _, p := range pairs {
		if seesEachOther(m, p.a, p.b) {
			return p.a, p.b
		}
	}
	panic("the copies overlap nowhere in sight")
}

// mostEnds bounds how many faces of each half are tried.
const mostEnds = 300

// within returns faces from lo to hi, spread, whose middles are inside another
// closed mesh.
func within(m *mesh.Mesh, lo, hi int, other *mesh.Mesh) []int {
	lines := mesh.NewLines(other, r3.Vec{Z: 1})
	var in []int
	for f := lo; f < hi; f++ {
		p, below := middleOf(m, f), 0
		for _, c := range lines.Through(p, nil) {
			if c.Height < p.Z {
				below++
			}
		}
		if below%2 == 1 {
			in = append(in, f)
		}
	}
	var spread []int
	for i := 0; i < len(in); i += 1 + len(in)/mostEnds {
		spread = append(spread, in[i])
	}
	return spread
}

func middleOf(m *mesh.Mesh, f int) r3.Vec {
	a, b, c := m.Corners(f)
	return r3.Scale(1.0/3, r3.Add(a, r3.Add(b, c)))
}

func normalOf(m *mesh.Mesh, f int) r3.Vec {
	n := m.DoubleAreaNormal(f)
	return r3.Scale(1/r3.Norm(n), n)
}

// seesEachOther says whether no face is between the middles of two, and that they
// are not at the same place.
func seesEachOther(m *mesh.Mesh, a, b int) bool {
	p, q := middleOf(m, a), middleOf(m, b)
	long := r3.Norm(r3.Sub(q, p))
	if long == 0 {
		return false
	}
	dir := r3.Scale(1/long, r3.Sub(q, p))
	from := r3.Dot(dir, p)
	for _, c := range mesh.NewLines(m, dir).Through(p, nil) {
		if f := int(c.Face); f != a && f != b && c.Height > from && c.Height < from+long {
			return false
		}
	}
	return true
}
