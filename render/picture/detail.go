package picture

import (
	"context"
	"errors"
	"fmt"
	"image"
	"math"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis"
	"pourwright/mesh"
	"pourwright/render/say"
)

// DetailOptions say how the picture of the detail is drawn, and where the maker
// decided by hand: balls x, y, z, radius in the scan frame, mm.
type DetailOptions struct {
	Show             say.Style
	KeepClear, Plain [][4]float64
}

// Detail draws how much each place of the pattern m, in mm in the stand frame, is
// worth protecting: score has a number from 0 to 1 for each vertex. The part is
// shown from two opposite corners, so that no face is turned away in both. The
// same input gives the same pixels.
func Detail(ctx context.Context, m *mesh.Mesh, p *analysis.Plan, score []float32, o DetailOptions) (*image.NRGBA, error) {
	d, err := drawDetail(ctx, m, p, score, o)
	if err != nil {
		return nil, err
	}
	// Every pixel is opaque, for which both kinds of image hold the same bytes.
	img := d.canvas.img
	return &image.NRGBA{Pix: img.Pix, Stride: img.Stride, Rect: img.Rect}, nil
}

// detailScene is a pattern to be drawn, moved so that the middle of its box is the
// origin.
type detailScene struct {
	worth // the views, the scale and the size
	plan  *analysis.Plan
	score []float32
	spout detailSpout
	marks []ballMark
	cams  [2]camera
	names [2]string
}

// detailSpout is where the casting material will go in.
type detailSpout struct {
	middle r3.Vec  // on the pattern
	radius float64 // 0: none
	stem   float64 // down to the board
}

// drawnDetail is a finished picture with where everything went.
type drawnDetail struct {
	canvas *canvas
	page   page
	views  [2]worthView
}

func drawDetail(ctx context.Context, m *mesh.Mesh, p *analysis.Plan, score []float32, o DetailOptions) (*drawnDetail, error) {
	switch {
	case m == nil || len(m.Faces) == 0:
		return nil, errors.New("there is no pattern to draw: the mesh has no faces")
	case p == nil:
		return nil, errors.New("there is no plan to draw")
	case len(score) != len(m.Vertices):
		return nil, fmt.Errorf("there are %d scores for %d vertices", len(score), len(m.Vertices))
	}
	s := newDetailScene(m, p, score, o)
	c := newCanvas()
	d := &drawnDetail{canvas: c, page: s.page(c.letters)}
	c.drawVerdict(d.page)
	if err := s.drawViews(ctx, d); err != nil {
		return nil, err
	}
	c.drawScale(d.page)
	c.drawKey(d.page)
	c.drawDetailBar()
	return d, ctx.Err()
}

func newDetailScene(m *mesh.Mesh, p *analysis.Plan, score []float32, o DetailOptions) *detailScene {
	s := &detailScene{plan: p, score: score}
	s.words = wordedBy(o.Show)
	s.frame = m.Bounds()
	s.size = across(s.frame)
	s.middle = r3.Scale(0.5, r3.Add(s.frame.Min, s.frame.Max))
	s.scan = s.centred(m)
	r := p.Stand.Rotation
	pose := mesh.Pose{Rows: [3]r3.Vec{vec(r[0]), vec(r[1]), vec(r[2])}, T: r3.Sub(vec(p.Stand.TranslationMM), s.middle)}
	s.setSpout(pose.Point(vec(p.Stand.SpoutMM)))
	for _, b := range o.Plain {
		s.addMark(b, pose, false)
	}
	for _, b := range o.KeepClear {
		s.addMark(b, pose, true)
	}
	s.frame.Min, s.frame.Max = r3.Sub(s.frame.Min, s.middle), r3.Sub(s.frame.Max, s.middle)
	s.cams, s.names = s.detailCorners()
	for i, cam := range s.cams {
		s.seen[i] = s.seenIn(cam)
		for _, q := range s.spoutEnds() {
			at := cam.at(q)
			s.seen[i] = s.seen[i].with(rect{at.X, at.Y, at.X, at.Y})
		}
	}
	return s
}

// setSpout takes the middle of the spout on the pattern.
func (s *detailScene) setSpout(middle r3.Vec) {
	box := r3.Sub(s.frame.Max, s.frame.Min)
	radius := math.Min(s.plan.Stand.SpoutDiameterMM, math.Max(box.X, box.Y)) / 2
	if !(radius > 0) {
		return
	}
	s.spout = detailSpout{middle, radius, math.Max(s.plan.Stand.StemMM, 0)}
}

// spoutEnds are places of the spout and its stem that the views must hold.
func (s *detailScene) spoutEnds() (ends []r3.Vec) {
	if s.spout.radius > 0 {
		ends = append(circle(s.spout.middle, s.spout.radius), circle(r3.Sub(s.spout.middle, r3.Vec{Z: s.spout.stem}), s.spout.radius)...)
	}
	return ends
}

// title and caption of the page.
func (s *detailScene) title() string {
	if name := strings.TrimSpace(readable(s.plan.Name)); name != "" {
		return name
	}
	return "Block mold"
}

func (s *detailScene) caption() string {
	text := "Where its surface is worth protecting"
	if r := s.plan.Scan.DetailRadiusMM; r > 0 {
		text += ", looked for at a radius of " + s.words.length(r)
	}
	return text
}
