package mesh

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// patch is a surface that fills a hole. Its first points are the rim's, in the
// order in which the patch goes around.
type patch struct {
	rim    []int32 // vertices of the mesh
	points []r3.Vec
	faces  [][3]int32
	taken  map[[2]int32]bool // edges of the mesh, see edgesAmong
}

func newPatch(m *Mesh, h hole, taken map[[2]int32]bool) *patch {
	p := &patch{rim: h.rim, taken: taken}
	for _, v := range h.rim {
		p.points = append(p.points, m.Vertices[v])
	}
	return p
}

// free says whether the patch may have an edge between two of its points: an
// edge of the mesh would get a third face.
func (p *patch) free(a, b int32) bool {
	n := int32(len(p.rim))
	if a >= n || b >= n {
		return true
	}
	if d := (a - b + n) % n; d == 1 || d == n-1 {
		return true // the rim itself
	}
	a, b = p.rim[a], p.rim[b]
	return !p.taken[[2]int32{min(a, b), max(a, b)}]
}

// mostLeastArea is the largest rim for which the patch of least area is sought;
// the work grows with the third power.
const mostLeastArea = 400

// leastArea fills the rim with the triangles of least total area and no other
// corners; false when there is none with free edges. Source: Barequet & Sharir,
// "Filling gaps in the boundary of a polyhedron", CAGD 12(2), 1995 (from memory):
// dynamic programming over the chords of the rim.
func (p *patch) leastArea() bool {
	n := len(p.rim)
	if n > mostLeastArea {
		return false
	}
	best, middle := make([]float64, n*n), make([]int32, n*n)
	for gap := 2; gap < n; gap++ {
		for i := 0; i+gap < n; i++ {
			j := i + gap
			least, at := math.Inf(1), int32(-1)
			if p.free(int32(i), int32(j)) {
				side := r3.Sub(p.points[j], p.points[i])
				for k := i + 1; k < j; k++ {
					if rest := best[i*n+k] + best[k*n+j]; rest < least {
						c := cross(side, r3.Sub(p.points[k], p.points[i]))
						if area := rest + math.Sqrt(dot(c, c))/2; area < least {
							least, at = area, int32(k)
						}
					}
				}
			}
			best[i*n+j], middle[i*n+j] = least, at
		}
	}
	if math.IsInf(best[n-1], 1) {
		return false
	}
	p.faces = p.faces[:0]
	chords := [][2]int{{0, n - 1}}
	for len(chords) > 0 {
		c := chords[len(chords)-1]
		chords = chords[:len(chords)-1]
		if c[1]-c[0] < 2 {
			continue
		}
		k := int(middle[c[0]*n+c[1]])
		p.faces = append(p.faces, [3]int32{int32(c[0]), int32(k), int32(c[1])})
		chords = append(chords, [2]int{c[0], k}, [2]int{k, c[1]})
	}
	return true
}

// mostEars is the largest rim from which ears are cut; the work grows with the square.
const mostEars = 20_000

// planar fills a nearly planar rim by cutting off ears, as seen along the
// normal; false when it is too large or that does not come to an end. Source: Meisters, "Polygons
// have ears", American Mathematical Monthly 82(6), 1975 (from memory).
func (p *patch) planar(normal r3.Vec) bool {
	if len(p.rim) > mostEars {
		return false
	}
	x := unit(r3.Cross(normal, leastAxis(normal)))
	y := r3.Cross(normal, x)
	flat := make([]r2.Vec, len(p.rim))
	left := make([]int32, len(p.rim))
	for i := range flat {
		flat[i] = r2.Vec{X: r3.Dot(x, p.points[i]), Y: r3.Dot(y, p.points[i])}
		left[i] = int32(i)
	}
	p.faces = p.faces[:0]
	for at, tried := 0, 0; len(left) > 3; {
		n := len(left)
		if tried > n {
			return false
		}
		a, b, c := left[(at+n-1)%n], left[at%n], left[(at+1)%n]
		if orient2(flat[a], flat[b], flat[c]) > 0 && p.free(a, c) && noneInside(flat, left, a, b, c) {
			p.faces = append(p.faces, [3]int32{a, b, c})
			left = append(left[:at%n], left[at%n+1:]...)
			at, tried = at%n, 0
			at = (at + 1) % len(left)
			continue
		}
		at, tried = (at+1)%n, tried+1
	}
	p.faces = append(p.faces, [3]int32{left[0], left[1], left[2]})
	return true
}

// leastAxis returns the axis least along v.
func leastAxis(v r3.Vec) r3.Vec {
	x, y, z := math.Abs(v.X), math.Abs(v.Y), math.Abs(v.Z)
	switch {
	case x <= y && x <= z:
		return r3.Vec{X: 1}
	case y <= z:
		return r3.Vec{Y: 1}
	}
	return r3.Vec{Z: 1}
}

// noneInside says whether no other point is in or on triangle abc.
func noneInside(flat []r2.Vec, left []int32, a, b, c int32) bool {
	for _, v := range left {
		if v == a || v == b || v == c {
			continue
		}
		q := flat[v]
		if orient2(flat[a], flat[b], q) >= 0 && orient2(flat[b], flat[c], q) >= 0 && orient2(flat[c], flat[a], q) >= 0 {
			return false
		}
	}
	return true
}

// fan fills the rim from a new point in its middle.
func (p *patch) fan() {
	n := int32(len(p.rim))
	p.points, p.faces = p.points[:n], p.faces[:0]
	var sum r3.Vec
	for _, q := range p.points {
		sum = r3.Add(sum, q)
	}
	p.points = append(p.points, r3.Scale(1/float64(n), sum))
	for i := range n {
		p.faces = append(p.faces, [3]int32{i, (i + 1) % n, n})
	}
}

// volume returns the signed volume between the patch and the first point of its
// rim, mm³: of use only to compare patches of the same rim.
func (p *patch) volume() float64 {
	v := 0.0
	for _, t := range p.faces {
		a, b, c := r3.Sub(p.points[t[0]], p.points[0]), r3.Sub(p.points[t[1]], p.points[0]), r3.Sub(p.points[t[2]], p.points[0])
		v += r3.Dot(a, r3.Cross(b, c)) / 6
	}
	return v
}

func (p *patch) area() float64 {
	m := Mesh{Vertices: p.points, Faces: p.faces}
	sum := 0.0
	for f := range p.faces {
		sum += m.faceArea(int32(f))
	}
	return sum
}
