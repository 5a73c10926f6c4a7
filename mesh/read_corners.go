package mesh

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// gathering turns the numbered points and faces of a file into a mesh; points
// without a face are left out.
type gathering struct {
	points   pointList    // as numbered in the file, or in the part of it being read
	vertexOf list[int32]  // vertex of a point plus one, 0 before a face uses it
	vertices list[r3.Vec] // points that faces use, in order of first appearance
	faces    list[[3]int32]
	mirrored bool // the part is: its faces are turned about
	cutter   polygonCutter
}

func newGathering() *gathering { return &gathering{} }

// addPoint takes a point and tells whether float32 can hold it.
func (g *gathering) addPoint(p r3.Vec) bool {
	if !fits32(p.X) || !fits32(p.Y) || !fits32(p.Z) {
		return false
	}
	g.points.add(p)
	g.vertexOf.add(0)
	return true
}

// fits32 tells whether x is finite as a float32.
func fits32(x float64) bool { return math.Abs(x) <= math.MaxFloat32 }

// startPart begins a part with points of its own.
func (g *gathering) startPart(mirrored bool) {
	g.points.clear()
	g.vertexOf.clear()
	g.mirrored = mirrored
}

// vertex returns the vertex of a point.
func (g *gathering) vertex(point int32) int32 {
	v := g.vertexOf.at(point)
	if *v == 0 {
		g.vertices.add(g.points.at(point))
		*v = int32(g.vertices.len())
	}
	return *v - 1
}

// addTriangle takes a triangle of points that exist.
func (g *gathering) addTriangle(a, b, c int32) {
	if g.mirrored {
		b, c = c, b
	}
	g.faces.add([3]int32{g.vertex(a), g.vertex(b), g.vertex(c)})
}

// addFace takes a face of points that exist. What it returns is empty, or says
// why the face cannot be taken.
func (g *gathering) addFace(corners []int32) (problem string) {
	switch {
	case len(corners) < 3:
		return fmt.Sprintf("a face has %d corners", len(corners))
	case len(corners) > maxCorners:
		return fmt.Sprintf("a face has %d corners, and only up to %d can be cut into triangles", len(corners), maxCorners)
	case g.faces.len()+len(corners)-2 > maxTriangles:
		return fmt.Sprintf("there are more than %d triangles", maxTriangles)
	case len(corners) == 3:
		g.addTriangle(corners[0], corners[1], corners[2])
		return ""
	}
	triangles, ok := g.cutter.cut(&g.points, corners)
	if !ok {
		return fmt.Sprintf("a face of %d corners is not convex, and only up to %d can be cut into triangles", len(corners), maxConcave)
	}
	for _, t := range triangles {
		g.addTriangle(t[0], t[1], t[2])
	}
	return ""
}

// addStrips takes strips of triangles on points that exist, each ended by
// stripEnd or the end: every corner from the third on makes a triangle with the
// two before it, turned about for every other one. Triangles with a point twice
// join strips and are left out.
func (g *gathering) addStrips(points []int32) (problem string) {
	start := 0
	for i, c := range points {
		if c == stripEnd {
			start = i + 1
			continue
		}
		if i < start+2 {
			continue
		}
		a, b := points[i-2], points[i-1]
		if a == b || b == c || a == c {
			continue
		}
		if (i-start)%2 == 1 {
			a, b = b, a
		}
		if problem = g.addFace([]int32{a, b, c}); problem != "" {
			return problem
		}
	}
	return ""
}

// stripEnd stands between strips.
const stripEnd = -1

// mesh returns what was gathered, welded.
func (g *gathering) mesh() *Mesh {
	g.points, g.vertexOf = pointList{}, list[int32]{}
	faces := g.faces.joined()
	return &Mesh{Vertices: weldRounded(g.vertices.joined(), faces), Faces: faces}
}

// polygonCutter cuts polygons into triangles: convex ones into a fan from their
// first corner, others by ear clipping (Meisters, Polygons have ears, American
// Mathematical Monthly 82, 1975) as seen along Newell's normal. Polygons need
// not be quite flat.
type polygonCutter struct {
	flat      [][2]float64
	left      []int
	triangles [][3]int32
}

// cut returns the triangles of a polygon, valid until the next call, and false
// when it has too many corners to be cut.
func (c *polygonCutter) cut(points *pointList, corners []int32) ([][3]int32, bool) {
	c.triangles = c.triangles[:0]
	c.flatten(points, corners)
	if c.convex() {
		for i := 1; i+1 < len(corners); i++ {
			c.triangles = append(c.triangles, [3]int32{corners[0], corners[i], corners[i+1]})
		}
		return c.triangles, true
	}
	if len(corners) > maxConcave {
		return nil, false
	}
	c.clip(corners)
	return c.triangles, true
}

// flatten projects the corners on the plane of Newell's normal, drawn so that
// the polygon runs counter-clockwise.
func (c *polygonCutter) flatten(points *pointList, corners []int32) {
	origin := points.at(corners[0])
	var normal r3.Vec
	for i, at := range corners {
		p, q := r3.Sub(points.at(at), origin), r3.Sub(points.at(corners[(i+1)%len(corners)]), origin)
		normal = r3.Add(normal, r3.Cross(p, q))
	}
	u, v := r3.Vec{X: 1}, r3.Vec{Y: 1}
	if normal != (r3.Vec{}) {
		u, v = acrossOf(r3.Unit(normal))
	}
	c.flat = c.flat[:0]
	for _, at := range corners {
		p := r3.Sub(points.at(at), origin)
		c.flat = append(c.flat, [2]float64{r3.Dot(p, u), r3.Dot(p, v)})
	}
}

// acrossOf returns two directions that with n make a right-handed frame.
func acrossOf(n r3.Vec) (u, v r3.Vec) {
	axis := r3.Vec{X: 1}
	if math.Abs(n.X) > 0.6 {
		axis = r3.Vec{Y: 1}
	}
	u = r3.Unit(r3.Cross(axis, n))
	return u, r3.Cross(n, u)
}

// turn is twice the area of the triangle of three corners, positive when it
// runs counter-clockwise.
func (c *polygonCutter) turn(i, j, k int) float64 {
	a, b, d := c.flat[i], c.flat[j], c.flat[k]
	return (b[0]-a[0])*(d[1]-a[1]) - (b[1]-a[1])*(d[0]-a[0])
}

// convex tells whether the fan from the first corner covers the polygon: no
// corner turns right, and no triangle of the fan does.
func (c *polygonCutter) convex() bool {
	n := len(c.flat)
	for i := range n {
		if c.turn(i, (i+1)%n, (i+2)%n) < 0 || c.turn(0, i, (i+1)%n) < 0 {
			return false
		}
	}
	return true
}

// clip cuts off one ear after the other. When rounding or a polygon that
// crosses itself leaves none, the corner that turns left most is cut.
func (c *polygonCutter) clip(corners []int32) {
	c.left = c.left[:0]
	for i := range corners {
		c.left = append(c.left, i)
	}
	for len(c.left) > 3 {
		e := c.ear()
		n := len(c.left)
		c.keep(corners, c.left[(e+n-1)%n], c.left[e], c.left[(e+1)%n])
		c.left = append(c.left[:e], c.left[e+1:]...)
	}
	c.keep(corners, c.left[0], c.left[1], c.left[2])
}

func (c *polygonCutter) keep(corners []int32, i, j, k int) {
	c.triangles = append(c.triangles, [3]int32{corners[i], corners[j], corners[k]})
}

// ear returns the place in left of an ear.
func (c *polygonCutter) ear() int {
	n, best, most := len(c.left), 0, math.Inf(-1)
	for e := range n {
		i, j, k := c.left[(e+n-1)%n], c.left[e], c.left[(e+1)%n]
		turn := c.turn(i, j, k)
		if turn > 0 && c.empty(i, j, k) {
			return e
		}
		if turn > most {
			best, most = e, turn
		}
	}
	return best
}

// empty tells whether no other corner lies in a triangle or on its rim.
func (c *polygonCutter) empty(i, j, k int) bool {
	for _, p := range c.left {
		if p == i || p == j || p == k || c.flat[p] == c.flat[i] || c.flat[p] == c.flat[j] || c.flat[p] == c.flat[k] {
			continue
		}
		if c.turn(i, j, p) >= 0 && c.turn(j, k, p) >= 0 && c.turn(k, i, p) >= 0 {
			return false
		}
	}
	return true
}
