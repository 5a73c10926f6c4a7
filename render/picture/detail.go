package picture

import (
	"context"
	"errors"
	"fmt"
	"image"

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
	return d.canvas.picture(), nil
}

func drawDetail(ctx context.Context, m *mesh.Mesh, p *analysis.Plan, score []float32, o DetailOptions) (*drawnHeat, error) {
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
	d := &drawnHeat{canvas: c, page: s.page(c.letters)}
	c.drawVerdict(d.page)
	if err := s.drawViews(ctx, d); err != nil {
		return nil, err
	}
	c.drawScale(d.page)
	c.drawKey(d.page)
	c.drawDetailBar()
	return d, ctx.Err()
}

func newDetailScene(m *mesh.Mesh, p *analysis.Plan, score []float32, o DetailOptions) *heatScene {
	s := newHeatScene(m, p, score, o.Show)
	s.caption = detailCaption(p, s.words)
	for _, b := range o.Plain {
		s.addMark(b, s.pose, false)
	}
	for _, b := range o.KeepClear {
		s.addMark(b, s.pose, true)
	}
	s.lookAt(func(score float64) float64 { return score })
	s.sizeRight = pageRight
	s.views, s.border, s.keyAt = detailViews, 14, point{detailBar.X0, detailBar.Y1 + 56}
	s.rows = s.keyEntries()
	return s
}

func detailCaption(p *analysis.Plan, w wording) string {
	text := "Where its surface is worth protecting"
	if r := p.Scan.DetailRadiusMM; r > 0 {
		text += ", looked for at a radius of " + w.length(r)
	}
	return text
}
