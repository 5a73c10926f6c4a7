package picture

import (
	"context"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
)

// worthView is one of the two views.
type worthView struct {
	name   string
	room   rect
	cam    camera
	solid  *opaque
	taken  []rect    // marks drawn already, and places
	lines  [][]point // their leaders
	rings  []point   // hidden places drawn
	ringed int       // scraps with a ring
}

// drawViews draws the scan in both views, then what is wrong with it.
func (w *worth) drawViews(ctx context.Context, d *drawnWorth) error {
	names := [2]string{"From the front, right and above", "From behind, left and below"}
	scan, drop := w.scanBody(d.page.scale)
	for i, cam := range corners() {
		v := &d.views[i]
		v.name, v.room = names[i], d.page.views[i]
		cam.scale = d.page.scale
		cam.origin = v.room.middle().minus(w.seen[i].middle().times(cam.scale))
		v.cam = cam
		v.solid = w.roomFor(v, w.seen[i])
		if err := v.solid.drawBodies(ctx, w.bodies(scan, cam, drop), cam, w.size); err != nil {
			return err
		}
		d.canvas.lay(v.solid)
		d.canvas.drawRims(w, v, drop)
		d.canvas.ringScraps(w, v, drop)
		d.canvas.text(heading, shade, v.room.X0, v.room.Y0-14, d.canvas.letters.fit(heading, v.name, v.room.wide()))
	}
	d.canvas.drawScale(d.page)
	d.canvas.drawMarks(w, d)
	return nil
}

// roomFor makes room for what the view shows, given what it would at 1 px to the
// mm.
func (w *worth) roomFor(v *worthView, seen rect) *opaque {
	const border = 30 // px for what mending adds around the scan
	r := v.room
	if !w.strays.any { // which may reach into the view
		drawn := around(r.middle(), seen.wide()*v.cam.scale, seen.high()*v.cam.scale).grown(border)
		r = rect{max(r.X0, drawn.X0), max(r.Y0, drawn.Y0), min(r.X1, drawn.X1), min(r.Y1, drawn.Y1)}
	}
	o := &opaque{left: int(r.X0), top: int(r.Y0)}
	o.width, o.height = (int(r.X1)-o.left)*grain, (int(r.Y1)-o.top)*grain
	o.depth = make([]float32, o.width*o.height)
	o.colour = make([][3]uint8, o.width*o.height)
	return o
}

// bodies are the surfaces as they are seen in a view: what is turned away shows
// its back. Crossed, mended and dropped faces are moved towards the viewer by drop, so
// that the scan does not cover them.
func (w *worth) bodies(scan body, cam camera, drop float64) []body {
	all := []body{scan, turned(scan, cam, blue)}
	for _, over := range []struct {
		mesh   *mesh.Mesh
		colour tint
	}{{w.crossed, signal}, {w.patches, lamp}, {w.dropped, leftOut}} {
		if over.mesh == nil || len(over.mesh.Faces) == 0 {
			continue
		}
		lift := mesh.Pose{Rows: [3]r3.Vec{{X: 1}, {Y: 1}, {Z: 1}}, T: r3.Scale(drop, cam.toward)}
		b := shaded(reduced(over.mesh, cam.scale).Posed(lift), over.colour)
		all = append(all, b, turned(b, cam, over.colour))
	}
	return all
}

// turned is the body of those faces that are turned away from the viewer, turned
// round.
func turned(b body, cam camera, colour tint) body {
	out := body{mesh: &mesh.Mesh{Vertices: b.mesh.Vertices}, colour: colour}
	for f, t := range b.mesh.Faces {
		if r3.Dot(b.mesh.DoubleAreaNormal(f), cam.toward) >= 0 {
			continue
		}
		n := b.normals[f]
		out.mesh.Faces = append(out.mesh.Faces, [3]int32{t[0], t[2], t[1]})
		out.normals = append(out.normals, [3]r3.Vec{r3.Scale(-1, n[0]), r3.Scale(-1, n[2]), r3.Scale(-1, n[1])})
	}
	return out
}

// lay draws solid things on the paper.
func (c *canvas) lay(o *opaque) {
	eachPart(o.height/grain, func(row int) {
		for col := range o.width / grain {
			var sum [3]int
			n := 0
			for j := range grain {
				for i := range grain {
					at := (row*grain+j)*o.width + col*grain + i
					if o.depth[at] != nothing {
						n++
						for k, x := range o.colour[at] {
							sum[k] += int(x)
						}
					}
				}
			}
			if n == 0 {
				continue
			}
			pix := c.img.Pix[c.img.PixOffset(o.left+col, o.top+row):]
			for k := range sum {
				pix[k] = uint8((sum[k] + (grain*grain-n)*int(pix[k]) + grain*grain/2) / (grain * grain))
			}
		}
	})
}

// drawRims draws the rims of holes where they are seen: with a thick line, but
// for small holes, which it would fill, and for crowds.
func (c *canvas) drawRims(w *worth, v *worthView, drop float64) {
	for _, r := range []struct{ width, least, most float64 }{{4.6, 180, math.Inf(1)}, {3.2, 80, 180}, {2, 0, 80}} {
		var lines [][]point
		for _, ring := range w.rims.lines {
			if px := ringLength(ring) * v.cam.scale; px < r.least || px >= r.most {
				continue
			}
			seen, _ := v.solid.seen(v.cam, ring, drop+1/v.cam.scale)
			for _, path := range seen {
				lines = append(lines, v.within(path)...)
			}
		}
		if w.rims.all > crowdedRims {
			c.draw(line(signal, 1.6), lines...)
			continue
		}
		c.draw(stroke{chalk, r.width + 2.4, 0.7, nil}, lines...)
		c.draw(line(signal, r.width), lines...)
	}
}

// within is what of a line lies in the view.
func (v *worthView) within(path []point) [][]point {
	var all [][]point
	var run []point
	for _, p := range path {
		if v.room.grown(-3).holds(rect{p.X, p.Y, p.X, p.Y}) {
			run = append(run, p)
			continue
		}
		if len(run) > 1 {
			all = append(all, run)
		}
		run = nil
	}
	if len(run) > 1 {
		all = append(all, run)
	}
	return all
}

// shows tells whether a place is in the view and nothing lies before it.
func (v *worthView) shows(p r3.Vec, drop float64) bool {
	at := v.cam.at(p)
	if !v.holds(at) {
		return false
	}
	for _, by := range []point{{0, 0}, {3, 0}, {-3, 0}, {0, 3}, {0, -3}} {
		if v.cam.depth(p) <= v.solid.near(at.plus(by))+drop {
			return true
		}
	}
	return false
}

// holds tells whether a place on the picture is well inside the view.
func (v *worthView) holds(at point) bool {
	return v.room.grown(-hiddenRing - 4).holds(rect{at.X, at.Y, at.X, at.Y})
}

// edge is where the line from the middle of the view to a place outside it
// leaves the view, moved in by some px.
func (v *worthView) edge(at point, in float64) point {
	mid, room := v.room.middle(), v.room.grown(-in)
	d := at.minus(mid)
	t := math.Min((room.wide()/2)/math.Max(math.Abs(d.X), 1e-9), (room.high()/2)/math.Max(math.Abs(d.Y), 1e-9))
	return mid.plus(d.times(t))
}
