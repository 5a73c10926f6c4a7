// Package picture draws a plan for people to look at: the pattern in its block
// of rubber on the board, with the cut, the spout, the vents and the sizes.
//
// The view is a parallel projection, so that every edge of the box keeps its
// direction and its dimension line. Opaque things are rasterised by fauxgl with
// several samples a pixel; rubber and parting plane are flat-sided, so each
// sample meets them by an exact formula and is mixed in order of depth.
// Drawing computes nothing of the job: every figure shown is in the plan.
package picture

import (
	"context"
	"errors"
	"image"
	"image/png"
	"io"

	"pourwright/analysis"
	"pourwright/mesh"
	"pourwright/render/say"
)

// Width and Height are the size of a preview in pixels.
const (
	Width  = 1600
	Height = 1200
)

// Options say how a picture is drawn.
type Options struct {
	Show say.Style // of quantities; in say.Inch the scale bar is a round number of inches
}

// Preview draws the pattern m, in mm in the stand frame, with what the plan
// says of its mold. The same input gives the same pixels.
func Preview(ctx context.Context, m *mesh.Mesh, p *analysis.Plan, o Options) (*image.NRGBA, error) {
	d, err := drawPlan(ctx, m, p, wordedBy(o.Show))
	if err != nil {
		return nil, err
	}
	return d.canvas.picture(), nil
}

// WritePNG writes a picture as PNG.
func WritePNG(w io.Writer, img image.Image) error {
	return png.Encode(w, img)
}

// drawing is a finished picture with where everything went.
type drawing struct {
	canvas *canvas
	layout *layout
	solid  *opaque
}

func drawPlan(ctx context.Context, m *mesh.Mesh, p *analysis.Plan, w wording) (*drawing, error) {
	if m == nil || len(m.Faces) == 0 {
		return nil, errors.New("there is no pattern to draw: the mesh has no faces")
	}
	s, err := newScene(m, p, w)
	if err != nil {
		return nil, err
	}
	c := newCanvas()
	l := s.layout(c.letters, s.chooseView())
	s.part = reduced(s.part, l.cam.scale)
	c.drawTitle(s)
	c.drawColumn(s)
	solid, err := s.rasterise(ctx, l.cam)
	if err != nil {
		return nil, err
	}
	c.drawBehind(s, l.cam)
	if err := c.mixRubber(ctx, s, l.cam, solid); err != nil {
		return nil, err
	}
	c.drawInFront(s, l.cam, solid)
	c.drawBraces(s, l)
	c.drawStiffeners(s, l)
	c.drawDimensions(l, solid)
	c.drawVentNumbers(s, l, solid)
	c.drawWarnings(s, l, solid)
	return &drawing{c, l, solid}, nil
}

// picture is what was drawn. Every pixel is opaque, for which both kinds of image hold
// the same bytes.
func (c *canvas) picture() *image.NRGBA {
	return &image.NRGBA{Pix: c.img.Pix, Stride: c.img.Stride, Rect: c.img.Rect}
}
