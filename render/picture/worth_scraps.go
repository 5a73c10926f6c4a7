package picture

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
)

const (
	// mostScraps is how many scraps have a ring.
	mostScraps = 60
	// scrapRing is the least radius of a ring, px.
	scrapRing = 9.0
	// scrapShare is the size of the picture's frame from which on a scrap is seen
	// without a ring.
	scrapShare = 0.1
)

// scrap is a connected part of what mending left out.
type scrap struct {
	middle r3.Vec
	radius float64 // of a ball about the middle that holds it, mm
}

// scrapsOf returns the connected parts of a mesh, the largest first.
func scrapsOf(m *mesh.Mesh) []scrap {
	part := connected(m)
	number := make([]int, len(m.Vertices)) // of the part that begins here, plus one
	var points [][]r3.Vec
	for v, p := range part {
		if number[p] == 0 {
			points = append(points, nil)
			number[p] = len(points)
		}
		points[number[p]-1] = append(points[number[p]-1], m.Vertices[v])
	}
	all := make([]scrap, len(points))
	for i, some := range points {
		b := mesh.BoundsOf(some)
		all[i].middle = r3.Scale(0.5, r3.Add(b.Min, b.Max))
		for _, p := range some {
			all[i].radius = math.Max(all[i].radius, r3.Norm(r3.Sub(p, all[i].middle)))
		}
	}
	slices.SortStableFunc(all, func(a, b scrap) int { return cmp.Compare(b.radius, a.radius) })
	return all
}

// ringed counts the scraps that are small enough for a ring, drawn or not.
func (w *worth) ringed() (n int) {
	for _, s := range w.scraps {
		if 2*s.radius < scrapShare*w.size {
			n++
		}
	}
	return n
}

// ringScraps draws a ring around each small scrap that is seen, but for the
// smallest of a crowd.
func (c *canvas) ringScraps(w *worth, v *worthView, drop float64) {
	small := w.scraps[len(w.scraps)-w.ringed():]
	for _, s := range small[:min(len(small), mostScraps)] {
		if !v.shows(s.middle, s.radius+drop+2/v.cam.scale) {
			continue
		}
		v.ringed++
		c.ringScrap(v.cam.at(s.middle), math.Max(scrapRing, s.radius*v.cam.scale+5))
	}
}

func (c *canvas) ringScrap(at point, radius float64) {
	c.draw(stroke{chalk, 4.2, 0.8, nil}, closed(disc(at, radius)))
	c.draw(line(leftOut.mix(ink, 0.5), 2), closed(disc(at, radius)))
}
