package cut

import (
	"math"
	"sync"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
	"pourwright/mesh/field"
)

// Link is rubber of one half that goes round the pattern and meets itself again
// within that half: it does not come off, however far it is drawn out.
type Link struct {
	Side    int     // 0: −normal, 1: +normal
	At      r3.Vec  // in the rubber, where the way through is narrowest
	WidthMM float64 // of the hole or arch there
}

// Space is how far any place is from the pattern.
type Space struct {
	Field *field.Field
	Pose  mesh.Pose // from the pattern's frame to that of the field
}

// What is too little for a link (an engineering choice). The pattern is taken so
// much of a voxel thicker than it is, so that thin walls are not seen through and
// narrow holes not seen at all; a link must stay one when the sheet is moved so far to either side.
const (
	thickerVoxels = 0.3
	linkMoveMM    = 1.5
	mostLinkFaces = 200_000 // of that surface, or the voxels are taken larger
)

var linkMoves = [3]float64{0, -linkMoveMM, linkMoveMM}

// linking counts the links that sheets leave.
type linking struct {
	space   Space
	pattern field.Field // of it a little thicker
	*mesh.Mesh
	shells  []int32 // which piece of the surface a vertex is on
	pieces  int
	parters sync.Pool
}

// newLinking takes the surface of the pattern from its field, which has no more detail
// than matters and is no larger for a fine scan.
func newLinking(space Space) (*linking, error) {
	l := &linking{space: space}
	l.pattern = thicker(space.Field, space.Field.VoxelMM)
	s, err := l.pattern.Surface()
	if err == nil && len(s.Faces) > mostLinkFaces {
		l.pattern = thicker(space.Field, space.Field.VoxelMM*math.Sqrt(float64(len(s.Faces))/mostLinkFaces))
		s, err = l.pattern.Surface()
	}
	if err != nil {
		return nil, err
	}
	l.Mesh = s.Posed(space.Pose.Inverse()).Mesh
	roots := newRoots(len(l.Vertices))
	for _, t := range l.Faces {
		roots.join(t[0], t[1])
		roots.join(t[1], t[2])
	}
	number := map[int32]int32{}
	l.shells = make([]int32, len(l.Vertices))
	for v := range l.shells {
		root := roots.of(int32(v))
		if _, known := number[root]; !known {
			number[root] = int32(len(number))
		}
		l.shells[v] = number[root]
	}
	l.pieces = len(number)
	l.parters.New = func() any {
		return &parter{linking: l, height: make([]float32, len(l.Vertices)), up: make([]uint8, len(l.Vertices))}
	}
	return l, nil
}

// thicker returns a field with voxels of a size, whose surface is that of f moved a little
// outward.
func thicker(f *field.Field, voxelMM float64) field.Field {
	t := field.Field{Origin: f.Origin, VoxelMM: voxelMM}
	for k := range t.N {
		t.N[k] = int(math.Ceil(float64(f.N[k]-1)*f.VoxelMM/voxelMM)) + 1
	}
	t.Distance = make([]float32, t.N[0]*t.N[1]*t.N[2])
	inRows(t.N[1]*t.N[2], func(row int) {
		for x := range t.N[0] {
			p := r3.Scale(voxelMM, r3.Vec{X: float64(x), Y: float64(row % t.N[1]), Z: float64(row / t.N[1])})
			t.Distance[row*t.N[0]+x] = float32(f.At(r3.Add(f.Origin, p)) - thickerVoxels*voxelMM)
		}
	})
	return t
}

// count returns how many links each half of a block has that is cut along a sheet: the
// fewest in both together with the sheet moved a little to either side.
func (l *linking) count(s *Sheet) [2]int {
	p := l.parters.Get().(*parter)
	defer l.parters.Put(p)
	for v, q := range l.Vertices {
		p.height[v] = float32(s.Height(q))
	}
	fewest, is := math.MaxInt, [2]int{}
	for _, move := range linkMoves {
		if n := p.links(s, move, fewest); n[0]+n[1] < fewest {
			fewest, is = n[0]+n[1], n
		}
		if fewest == 0 {
			break
		}
	}
	return is
}

// parter parts the surface by a sheet.
type parter struct {
	*linking
	height []float32 // of each vertex over the sheet
	up     []uint8   // 1 for those on its + side
	cut    [][3]int32
	roots  roots
}

// links counts the loops in the rubber of either half that cannot be drawn together in
// it, its first Betti number b₁; where there are enough in all, at least so many. That
// rubber is a ball without the pattern, so its Euler characteristic is 1 + (χ(S) − χ(C))/2 for the
// surface S in that half and the section C; with its pieces b₀ and cavities b₂,
// b₁ = b₀ + b₂ − χ. What of S does not reach the sheet adds a piece or a cavity each,
// what of S hangs together in the section only is a piece of rubber more. Source:
// Euler–Poincaré formula and Alexander duality, e.g. Hatcher, "Algebraic Topology",
// 2002 (from memory).
func (p *parter) links(s *Sheet, move float64, enough int) (n [2]int) {
	chi := p.part(float32(move))
	loops := p.section(s, float32(move))
	apart := p.apart()
	hangs := false
	for _, l := range loops {
		if l.mm2 >= 0 {
			chi[0], chi[1] = chi[0]-1, chi[1]-1
		} else {
			chi[0], chi[1], hangs = chi[0]+1, chi[1]+1, true
		}
	}
	for side := range n {
		n[side] = apart[side] - chi[side]/2
	}
	if n[0]+n[1] >= enough || !hangs {
		return n
	}
	p.hangTogether()
	for side := range n {
		n[side] += p.pockets(loops, side)
	}
	return n
}

// part takes what is on the + side and the faces that are cut, and returns the Euler
// characteristic of the surface on either side: of the vertices there and the edges and
// faces between them. As each edge is shared by two faces, a face with two or three
// vertices there counts for half a vertex less.
func (p *parter) part(move float32) (chi [2]int) {
	above := 0
	for v, h := range p.height {
		p.up[v] = 0
		if h >= move {
			p.up[v] = 1
			above++
		}
	}
	p.cut = p.cut[:0]
	faces := 0
	for _, t := range p.Faces {
		n := p.up[t[0]] + p.up[t[1]] + p.up[t[2]]
		faces += int(n >> 1) // 1 of two and of three
		if n == 1 || n == 2 {
			p.cut = append(p.cut, t)
		}
	}
	return [2]int{len(p.up) - above - (len(p.Faces)-faces)/2, above - faces/2}
}

// apart counts the pieces of the surface that lie wholly on either side.
func (p *parter) apart() (n [2]int) {
	if p.pieces == 1 && len(p.cut) > 0 {
		return n
	}
	met := make([][2]bool, p.pieces)
	for v, up := range p.up {
		met[p.shells[v]][up] = true
	}
	for _, m := range met {
		for side := range n {
			if m[side] && !m[1-side] {
				n[side]++
			}
		}
	}
	return n
}

// hangTogether puts the vertices together that hang together on one side.
func (p *parter) hangTogether() {
	p.roots.reset(len(p.Vertices))
	for _, t := range p.Faces {
		for i, a := range t {
			if b := t[(i+1)%3]; a < b && p.up[a] == p.up[b] {
				p.roots.join(a, b)
			}
		}
	}
}

// pockets counts the pieces of one half's rubber that pattern and sheet enclose: where a
// loop of the section within another is on a piece of the surface of its own.
func (p *parter) pockets(loops []sectionLoop, side int) int {
	n := 0
	for i := range loops {
		if loops[i].mm2 >= 0 {
			continue
		}
		if around := enclosing(loops, i); around >= 0 && p.roots.join(loops[i].ends[side], loops[around].ends[side]) {
			n++
		}
	}
	return n
}

// roots tells what hangs together.
type roots []int32

func newRoots(n int) roots {
	var r roots
	r.reset(n)
	return r
}

func (r *roots) reset(n int) {
	if cap(*r) < n {
		*r = make(roots, n)
	}
	*r = (*r)[:n]
	for i := range *r {
		(*r)[i] = int32(i)
	}
}

func (r roots) of(i int32) int32 {
	for r[i] != i {
		r[i] = r[r[i]]
		i = r[i]
	}
	return i
}

// join tells whether two were apart so far.
func (r roots) join(a, b int32) bool {
	a, b = r.of(a), r.of(b)
	if a == b {
		return false
	}
	r[max(a, b)] = min(a, b)
	return true
}
