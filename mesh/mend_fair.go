package mesh

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

const (
	// mostRefined is how many corners refining adds to a patch at most.
	mostRefined = 1500
	// fairRounds is how often the smooth patch is computed, each time on the
	// shape of the last.
	fairRounds = 3
	// fairReach is how far from the flat patch the smooth one may be, as a share
	// of the hole's span; a hemisphere is at a half.
	fairReach = 0.5
)

// fair refines the patch to the size of the rim's edges and moves its new
// corners to where it leaves the rim smoothly and bends least: of all surfaces
// through the rim with the scan's faces around it, the one with the least sum of
// squared Laplacians. A patch for which that fails stays flat. Source: Liepa,
// "Filling holes in meshes", Symposium on Geometry Processing 2003; cotangent
// Laplacian of Pinkall & Polthier, Experimental Mathematics 2(1), 1993 (both from
// memory).
func (p *patch) fair(scan *Mesh, faces Adjacency, span float64) {
	flat := &patch{rim: p.rim, points: slices.Clone(p.points), faces: slices.Clone(p.faces), taken: p.taken}
	p.refine()
	if len(p.points) == len(p.rim) {
		*p = *flat
		return
	}
	f := newFairing(p, scan, faces)
	start := slices.Clone(p.points)
	for range fairRounds {
		if !f.smooth() {
			*p = *flat
			return
		}
	}
	for v := range p.points {
		p.points[v] = f.points[v]
		if d := r3.Norm(r3.Sub(p.points[v], start[v])); !(d <= fairReach*span) {
			*p = *flat
			return
		}
	}
}

// refine cuts faces in three at their middle as long as they are large for the
// edges around them, and flips edges for better shapes.
func (p *patch) refine() {
	n := len(p.rim)
	size := make([]float64, len(p.points))
	for i, a := range p.points[:n] {
		before, after := p.points[(i+n-1)%n], p.points[(i+1)%n]
		size[i] = (r3.Norm(r3.Sub(a, before)) + r3.Norm(r3.Sub(a, after))) / 2
	}
	// An even patch has √3/2 of the squared edge for each corner.
	least := math.Sqrt(2 / math.Sqrt(3) * p.area() / mostRefined)
	for i := range size {
		size[i] = max(size[i], least) // a point in the middle of a fan has no edges on the rim
	}
	p.relax()
	for more := true; more && len(p.points) < n+2*mostRefined; {
		more = false
		for f := range len(p.faces) {
			t := p.faces[f]
			a, b, c := p.points[t[0]], p.points[t[1]], p.points[t[2]]
			middle := r3.Scale(1.0/3, r3.Add(a, r3.Add(b, c)))
			own := (size[t[0]] + size[t[1]] + size[t[2]]) / 3
			near := math.Inf(1)
			for _, v := range t {
				near = min(near, r3.Norm(r3.Sub(middle, p.points[v]))/max(own, size[v]))
			}
			if near*math.Sqrt2 <= 1 {
				continue
			}
			v := int32(len(p.points))
			p.points, size = append(p.points, middle), append(size, own)
			p.faces[f] = [3]int32{t[0], t[1], v}
			p.faces = append(p.faces, [3]int32{t[1], t[2], v}, [3]int32{t[2], t[0], v})
			more = true
		}
		p.relax()
	}
}

// mostFlips bounds the rounds of flips; few are needed.
const mostFlips = 30

// relax flips edges between two faces of the patch whose opposite angles are
// together more than a half turn.
func (p *patch) relax() {
	for range mostFlips {
		atEdge := map[[2]int32]int32{} // directed edge → face
		for f, t := range p.faces {
			for k, a := range t {
				atEdge[[2]int32{a, t[(k+1)%3]}] = int32(f)
			}
		}
		flipped := false
		for f := range p.faces {
			for k := range 3 {
				if p.flip(int32(f), k, atEdge) {
					flipped = true
					break
				}
			}
		}
		if !flipped {
			return
		}
	}
}

// flip turns edge k of face f, when that gives better shapes.
func (p *patch) flip(f int32, k int, atEdge map[[2]int32]int32) bool {
	t := p.faces[f]
	a, b, c := t[k], t[(k+1)%3], t[(k+2)%3]
	g, inner := atEdge[[2]int32{b, a}]
	if !inner {
		return false
	}
	o := p.faces[g]
	d := o[0] ^ o[1] ^ o[2] ^ a ^ b
	_, forward := atEdge[[2]int32{c, d}]
	_, back := atEdge[[2]int32{d, c}]
	if c == d || forward || back || !p.free(c, d) || p.angle(c, a, b)+p.angle(d, a, b) <= math.Pi+1e-9 {
		return false
	}
	// Both new faces must look the way the old ones did.
	n := r3.Add(p.normal(a, b, c), p.normal(b, a, d))
	if r3.Dot(p.normal(c, a, d), n) <= 0 || r3.Dot(p.normal(d, b, c), n) <= 0 {
		return false
	}
	p.faces[f], p.faces[g] = [3]int32{c, a, d}, [3]int32{d, b, c}
	delete(atEdge, [2]int32{a, b})
	delete(atEdge, [2]int32{b, a})
	atEdge[[2]int32{c, a}], atEdge[[2]int32{a, d}], atEdge[[2]int32{d, c}] = f, f, f
	atEdge[[2]int32{d, b}], atEdge[[2]int32{b, c}], atEdge[[2]int32{c, d}] = g, g, g
	return true
}

func (p *patch) normal(a, b, c int32) r3.Vec {
	return r3.Cross(r3.Sub(p.points[b], p.points[a]), r3.Sub(p.points[c], p.points[a]))
}

// angle returns the angle at c between a and b.
func (p *patch) angle(c, a, b int32) float64 {
	u, v := r3.Sub(p.points[a], p.points[c]), r3.Sub(p.points[b], p.points[c])
	return math.Atan2(r3.Norm(r3.Cross(u, v)), r3.Dot(u, v))
}

// fairing is the patch with the faces of the scan around its rim.
type fairing struct {
	points []r3.Vec // the patch's first, then the scan's around it
	faces  [][3]int32
	rim    int // points 0..rim are on the rim
	inner  int // points rim..inner move
	whole  []bool
}

func newFairing(p *patch, scan *Mesh, at Adjacency) *fairing {
	f := &fairing{points: slices.Clone(p.points), faces: slices.Clone(p.faces), rim: len(p.rim), inner: len(p.points)}
	local := map[int32]int32{}
	for i, v := range p.rim {
		local[v] = int32(i)
	}
	seen := map[int32]bool{}
	for _, v := range p.rim {
		for _, face := range at.Of(int(v)) {
			if seen[face] {
				continue
			}
			seen[face] = true
			var t [3]int32
			for k, c := range scan.Faces[face] {
				i, known := local[c]
				if !known {
					i = int32(len(f.points))
					local[c] = i
					f.points = append(f.points, scan.Vertices[c])
				}
				t[k] = i
			}
			f.faces = append(f.faces, t)
		}
	}
	f.whole = f.closedStars()
	return f
}

// closedStars says for which of the patch's points all faces around are known:
// not where two holes meet.
func (f *fairing) closedStars() []bool {
	balance := make([]map[int32]int, f.inner)
	for _, t := range f.faces {
		for k, v := range t {
			if int(v) < f.inner {
				if balance[v] == nil {
					balance[v] = map[int32]int{}
				}
				balance[v][t[(k+1)%3]]++
				balance[v][t[(k+2)%3]]--
			}
		}
	}
	whole := make([]bool, f.inner)
	for v, around := range balance {
		whole[v] = true
		for _, sum := range around {
			whole[v] = whole[v] && sum == 0
		}
	}
	return whole
}

// cotangents of less and more are taken for these: needles would outweigh all.
const leastCot, mostCot = 0.01, 20

// row is the Laplacian at a point: Σ weight·(point − center), divided by the root
// of the point's share of the area.
type row struct {
	at      []int32
	weights []float64
}

// laplacians returns the rows of the patch's whole points, on the present shape.
func (f *fairing) laplacians() []row {
	rows, area := make([]row, f.inner), make([]float64, f.inner)
	add := func(v, u int32, weight float64) {
		if int(v) >= f.inner || !f.whole[v] {
			return
		}
		r := &rows[v]
		for i, at := range r.at {
			if at == v {
				r.weights[i] -= weight
			} else if at == u {
				r.weights[i] += weight
				weight = 0
			}
		}
		if len(r.at) == 0 {
			r.at, r.weights = append(r.at, v), append(r.weights, -weight)
		}
		if weight != 0 {
			r.at, r.weights = append(r.at, u), append(r.weights, weight)
		}
	}
	for _, t := range f.faces {
		n := r3.Norm(r3.Cross(r3.Sub(f.points[t[1]], f.points[t[0]]), r3.Sub(f.points[t[2]], f.points[t[0]])))
		for k, v := range t {
			a, b := t[(k+1)%3], t[(k+2)%3]
			cot := r3.Dot(r3.Sub(f.points[a], f.points[v]), r3.Sub(f.points[b], f.points[v])) / n
			if !(cot > leastCot) {
				cot = leastCot
			}
			cot = min(cot, mostCot) / 2
			add(a, b, cot)
			add(b, a, cot)
			if int(v) < f.inner {
				area[v] += n / 6
			}
		}
	}
	for v := range rows {
		for i := range rows[v].weights {
			rows[v].weights[i] /= math.Sqrt(area[v])
		}
	}
	return rows
}

// mostFairing bounds the steps of the solver, fairDone is the residual at which
// it stops, relative to the first.
const (
	mostFairing = 3000
	fairDone    = 1e-7
)

// smooth moves the inner points to the least sum of squared Laplacians, by
// conjugate gradients on the normal equations, scaled by their diagonal; false
// when numbers run away. Source: Hestenes & Stiefel, J. Res. NBS 49(6), 1952
// (from memory).
func (f *fairing) smooth() bool {
	rows := f.laplacians()
	n := f.inner - f.rim
	scale := make([]float64, n)
	for _, r := range rows {
		for i, v := range r.at {
			if k := int(v) - f.rim; k >= 0 && k < n {
				scale[k] += r.weights[i] * r.weights[i]
			}
		}
	}
	x := f.points[f.rim:f.inner]
	residual := f.normalProduct(rows, func(v int32) r3.Vec { return f.points[v] })
	for k := range residual {
		residual[k] = r3.Scale(-1, residual[k])
	}
	inner := func(v int32) int { return int(v) - f.rim }
	z, d := make([]r3.Vec, n), make([]r3.Vec, n)
	var rz, first r3.Vec
	for step := range mostFairing {
		var next r3.Vec
		for k, r := range residual {
			z[k] = r3.Scale(1/scale[k], r)
			next = r3.Add(next, r3.Vec{X: r.X * z[k].X, Y: r.Y * z[k].Y, Z: r.Z * z[k].Z})
		}
		if step == 0 {
			first = next
		}
		total := next.X + next.Y + next.Z
		if math.IsNaN(total) {
			return false
		}
		if total <= fairDone*fairDone*(first.X+first.Y+first.Z) {
			return true
		}
		for k := range d {
			d[k] = r3.Add(z[k], byAxis(d[k], next, rz))
		}
		rz = next
		ad := f.normalProduct(rows, func(v int32) r3.Vec {
			if k := inner(v); k >= 0 && k < n {
				return d[k]
			}
			return r3.Vec{}
		})
		var dad r3.Vec
		for k := range d {
			dad = r3.Add(dad, r3.Vec{X: d[k].X * ad[k].X, Y: d[k].Y * ad[k].Y, Z: d[k].Z * ad[k].Z})
		}
		for k := range x {
			x[k] = r3.Add(x[k], byAxis(d[k], rz, dad))
			residual[k] = r3.Sub(residual[k], byAxis(ad[k], rz, dad))
		}
	}
	return true
}

// byAxis returns v·over/under for each axis, zero where under is.
func byAxis(v, over, under r3.Vec) r3.Vec {
	part := func(v, over, under float64) float64 {
		if under == 0 {
			return 0
		}
		return v * over / under
	}
	return r3.Vec{X: part(v.X, over.X, under.X), Y: part(v.Y, over.Y, under.Y), Z: part(v.Z, over.Z, under.Z)}
}

// normalProduct returns RᵀR·x at the inner points, R being the rows.
func (f *fairing) normalProduct(rows []row, x func(v int32) r3.Vec) []r3.Vec {
	out := make([]r3.Vec, f.inner-f.rim)
	for _, r := range rows {
		var sum r3.Vec
		for i, v := range r.at {
			sum = r3.Add(sum, r3.Scale(r.weights[i], x(v)))
		}
		for i, v := range r.at {
			if k := int(v) - f.rim; k >= 0 && k < len(out) {
				out[k] = r3.Add(out[k], r3.Scale(r.weights[i], sum))
			}
		}
	}
	return out
}
