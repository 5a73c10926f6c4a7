package picture

import (
	"context"
	"math"
	"runtime"
	"sync"
	"sync/atomic"

	"github.com/fogleman/fauxgl"
	"gonum.org/v1/gonum/spatial/r3"
)

const (
	grain      = 3  // samples per pixel along each side
	bandHeight = 48 // px drawn at a time, so that fauxgl's buffers stay small
)

// opaque holds the samples of everything solid: how near it is and how it is
// lit, grain × grain to the pixel.
type opaque struct {
	left, top     int // px of the first sample
	width, height int // in samples
	depth         []float32
	colour        [][3]uint8
}

// nothing is the depth where there is nothing solid.
var nothing = float32(math.Inf(1))

// rasterise draws the scene's bodies.
func (s *scene) rasterise(ctx context.Context, cam camera) (*opaque, error) {
	all := s.bodies(cam.scale)
	o := newOpaque(all, cam)
	if err := o.drawBodies(ctx, all, cam, s.size); err != nil {
		return nil, err
	}
	return o, nil
}

// drawBodies draws bodies of which the whole is size mm across. fauxgl's own
// threads would settle equal depths in the order in which they come; bands,
// each drawn by one thread, do not.
func (o *opaque) drawBodies(ctx context.Context, all []body, cam camera, size float64) error {
	bands := (o.height/grain + bandHeight - 1) / bandHeight
	work := o.sortIntoBands(all, cam, bands)
	near, far := depthRange(all, cam)
	var next atomic.Int64
	var wg sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), bands) {
		wg.Go(func() {
			for b := int(next.Add(1)) - 1; b < bands && ctx.Err() == nil; b = int(next.Add(1)) - 1 {
				o.drawBand(all, work[b], cam, b, near, far)
			}
		})
	}
	wg.Wait()
	if err := ctx.Err(); err != nil {
		return err
	}
	o.finish(cam, size)
	return nil
}

// newOpaque makes room for the bodies as they are seen, with a border so that
// nothing is drawn across its edge.
func newOpaque(all []body, cam camera) *opaque {
	low, high := point{math.Inf(1), math.Inf(1)}, point{math.Inf(-1), math.Inf(-1)}
	for _, b := range all {
		for _, v := range b.mesh.Vertices {
			p := cam.at(v)
			low.X, low.Y = math.Min(low.X, p.X), math.Min(low.Y, p.Y)
			high.X, high.Y = math.Max(high.X, p.X), math.Max(high.Y, p.Y)
		}
	}
	const border = 3
	o := &opaque{left: max(int(low.X)-border, 0), top: max(int(low.Y)-border, 0)}
	o.width = (min(int(high.X)+border+1, Width) - o.left) * grain
	o.height = (min(int(high.Y)+border+1, Height) - o.top) * grain
	o.width, o.height = max(o.width, grain), max(o.height, grain)
	o.depth = make([]float32, o.width*o.height)
	o.colour = make([][3]uint8, o.width*o.height)
	return o
}

func depthRange(all []body, cam camera) (near, far float64) {
	near, far = math.Inf(1), math.Inf(-1)
	for _, b := range all {
		for _, v := range b.mesh.Vertices {
			d := cam.depth(v)
			near, far = math.Min(near, d), math.Max(far, d)
		}
	}
	room := 0.01*(far-near) + 1e-6*math.Abs(far) + math.SmallestNonzeroFloat32
	return near - room, far + room
}

// faceOf is a face of a body.
type faceOf struct{ body, face int32 }

// sortIntoBands lists the faces towards the viewer that touch each band.
func (o *opaque) sortIntoBands(all []body, cam camera, bands int) [][]faceOf {
	work := make([][]faceOf, bands)
	for b, it := range all {
		y := make([]float64, len(it.mesh.Vertices))
		for v, p := range it.mesh.Vertices {
			y[v] = (cam.at(p).Y - float64(o.top)) / bandHeight
		}
		for f, t := range it.mesh.Faces {
			if r3.Dot(it.mesh.DoubleAreaNormal(f), cam.toward) <= 0 {
				continue
			}
			first := max(int(math.Floor(min(y[t[0]], y[t[1]], y[t[2]])-0.01)), 0)
			last := min(int(max(y[t[0]], y[t[1]], y[t[2]])+0.01), bands-1)
			for band := first; band <= last; band++ {
				work[band] = append(work[band], faceOf{int32(b), int32(f)})
			}
		}
	}
	return work
}

func (o *opaque) drawBand(all []body, faces []faceOf, cam camera, band int, near, far float64) {
	rows := min(bandHeight*grain, o.height-band*bandHeight*grain)
	dc := fauxgl.NewContext(o.width, rows)
	dc.AlphaBlend = false
	top := float64(o.top + band*bandHeight)
	lit := &lighting{matrix: o.toBand(cam, top, float64(rows)/grain, near, far)}
	lit.aim(cam)
	dc.Shader = lit
	var t fauxgl.Triangle
	for _, w := range faces {
		b := &all[w.body]
		lit.colour = b.colour
		corners, normals := b.mesh.Faces[w.face], b.normals[w.face]
		for k, v := range []*fauxgl.Vertex{&t.V1, &t.V2, &t.V3} {
			v.Position, v.Normal = place(b.mesh.Vertices[corners[k]]), place(normals[k])
		}
		dc.DrawTriangle(&t)
	}
	from := band * bandHeight * grain * o.width
	for i, d := range dc.DepthBuffer {
		o.depth[from+i] = nothing
		if d >= 0 && d <= 1 { // neither empty nor NaN
			o.depth[from+i] = float32(near + d*(far-near))
			copy(o.colour[from+i][:], dc.ColorBuffer.Pix[4*i:4*i+3])
		}
	}
}

func place(v r3.Vec) fauxgl.Vector { return fauxgl.V(v.X, v.Y, v.Z) }

// toBand maps the stand frame to fauxgl's cube of −1…1 for one band.
func (o *opaque) toBand(cam camera, top, high, near, far float64) fauxgl.Matrix {
	wide := float64(o.width) / grain
	x, y, z := 2*cam.scale/wide, 2*cam.scale/high, -2/(far-near)
	r, u, t := cam.right, cam.up, cam.toward
	return fauxgl.Matrix{
		X00: x * r.X, X01: x * r.Y, X02: x * r.Z, X03: 2*(cam.origin.X-float64(o.left))/wide - 1,
		X10: y * u.X, X11: y * u.Y, X12: y * u.Z, X13: 1 - 2*(cam.origin.Y-top)/high,
		X20: z * t.X, X21: z * t.Y, X22: z * t.Z, X23: -(near + far) / (far - near),
		X33: 1,
	}
}

// lighting shades like a part on a bench by a window: soft light from the
// upper left, a little from the right, brighter above than below.
type lighting struct {
	matrix          fauxgl.Matrix
	colour          tint
	key, fill, half r3.Vec
}

func (l *lighting) aim(cam camera) {
	from := func(right, up, toward float64) r3.Vec {
		v := r3.Add(r3.Scale(right, cam.right), r3.Add(r3.Scale(up, cam.up), r3.Scale(toward, cam.toward)))
		return r3.Unit(v)
	}
	l.key, l.fill = from(-0.62, 0.62, 0.55), from(0.8, 0.05, 0.5)
	if cam.toward.Z < 0 { // seen from below: the underside is to be seen
		l.key = from(-0.55, 0.30, 0.78)
	}
	l.half = r3.Unit(r3.Add(l.key, cam.toward))
}

// Vertex places a corner; fauxgl calls it.
func (l *lighting) Vertex(v fauxgl.Vertex) fauxgl.Vertex {
	v.Output = l.matrix.MulPositionW(v.Position)
	return v
}

// Fragment lights a sample; fauxgl calls it.
func (l *lighting) Fragment(v fauxgl.Vertex) fauxgl.Color {
	n := r3.Vec{X: v.Normal.X, Y: v.Normal.Y, Z: v.Normal.Z}
	wrapped := math.Max(0.5+0.5*r3.Dot(n, l.key), 0)
	light := 0.24 + 0.16*(0.5+0.5*n.Z) + 0.72*wrapped*math.Sqrt(wrapped) + 0.10*math.Max(r3.Dot(n, l.fill), 0)
	c := l.colour.mix(shadow, 0.5*math.Max(0.75-light, 0)).times(light)
	gloss := math.Max(r3.Dot(n, l.half), 0)
	gloss *= gloss
	gloss *= gloss
	gloss *= gloss
	c = c.plus(tint{0.10, 0.10, 0.10}.times(gloss * gloss))
	return fauxgl.Color{R: math.Min(c.R, 1), G: math.Min(c.G, 1), B: math.Min(c.B, 1), A: 1}
}
