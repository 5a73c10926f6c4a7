package picture

import (
	"context"
	"errors"
	"image"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis"
	"pourwright/mesh"
	"pourwright/render/say"
)

// Casting draws the block as it stands when it is cast, cut open: turned over, spout
// up, strapped between boards. m is the pattern in mm in the stand frame; of the
// pockets only the air of the cast is shown. The same input gives the same pixels.
func Casting(ctx context.Context, m *mesh.Mesh, p *analysis.Plan, pockets Pockets, o Options) (*image.NRGBA, error) {
	k, err := drawCasting(ctx, m, p, pockets, o.Show)
	if err != nil {
		return nil, err
	}
	return k.canvas.picture(), nil
}

// casting is the page of the cast.
type casting struct {
	canvas *canvas
	s      *scene
	show   say.Style
	cut    *cutaway
	level  float64 // stand z of the foam's liquid before it rises; of a resin the rim
	room   rect    // of the view with its labels
	spread *castLayout
	view   *cutView
	marks  []castMark
	words  []passage
}

// The page: the rule under the title, the row over the view, a line at the foot.
const (
	castRule = 134.0
	castHead = 52.0
	castFoot = pageFoot - 38
)

func newCasting(m *mesh.Mesh, p *analysis.Plan, pockets Pockets, show say.Style) (*casting, error) {
	if m == nil || len(m.Faces) == 0 {
		return nil, errors.New("there is no pattern to draw: the mesh has no faces")
	}
	s, err := newScene(m, p, wordedBy(show))
	if err != nil {
		return nil, err
	}
	s.part = reduced(s.part, 700/s.size)
	k := &casting{canvas: newCanvas(), s: s, show: show, cut: s.castCut(pockets)}
	if foam := p.Cast.Foam; foam != nil {
		k.cut.risen = true
		k.level = math.Max(s.partBox.Max.Z-foam.LevelMM, 0)
	}
	if k.hollow() {
		k.cut.skin, k.level = p.Cast.Slush.SkinMM, s.block.Max.Z // never full
	}
	return k, nil
}

// hollow tells whether the cast is a skin, since it gets too hot when it is solid.
func (k *casting) hollow() bool {
	return k.s.plan.Cast.TooThick && k.s.plan.Cast.Slush != nil
}

// lidded tells whether a lid is on the mouth: on foam, and on what is turned about.
func (k *casting) lidded() bool { return k.cut.risen || k.hollow() }

// castCut opens the block along its own cut, through the spout; along a cut that
// lies flat it would show nothing of how the material rises.
func (s *scene) castCut(p Pockets) *cutaway {
	c := &cutaway{s: s, pour: castRises, pocket: p.Cast, traps: airOf(s.plan.CastTrap)}
	c.most = worst(c.traps)
	c.along = s.tellingDirection(c.most, c.traps)
	if n := s.cut.n; s.hasCut && math.Hypot(n.X, n.Y) > 0.7 {
		c.along = rightward(r3.Scale(1/math.Hypot(n.X, n.Y), r3.Vec{X: -n.Y, Y: n.X}))
	}
	c.open()
	for _, q := range s.outlineOnBoard() { // marks of what is before the cut lie on the block too
		c.behind = c.behind.with(r3.Dot(c.along, q))
	}
	return c
}

func drawCasting(ctx context.Context, m *mesh.Mesh, p *analysis.Plan, pockets Pockets, show say.Style) (*casting, error) {
	k, err := newCasting(m, p, pockets, show)
	if err != nil {
		return nil, err
	}
	k.arrange()
	k.drawHead()
	cam := k.spread.cam
	if k.view, err = k.cut.view(ctx, cam, k.canvas.img.Rect); err != nil {
		return nil, err
	}
	k.drawCased()
	k.canvas.drawCutaway(k.view, k.level, false, !k.lidded())
	k.drawInside()
	k.placeMarks()
	k.drawLabels()
	for _, w := range k.words {
		k.canvas.drawPassage(w)
	}
	return k, ctx.Err()
}

// arrange puts the words beside the view or below it, whichever draws the block
// larger.
func (k *casting) arrange() {
	const wide, apart = 440.0, 36.0
	page := rect{pageLeft, castRule, pageRight, castFoot}
	column := rect{page.X1 - wide, page.Y0 + 26, page.X1, page.Y1}
	room := rect{page.X0, page.Y0 + castHead, column.X0 - apart, page.Y1}
	k.room, k.spread = room, k.largest(room)
	words, high := k.inRow(page.wide())
	top := page.Y1 - high
	if below := (rect{page.X0, page.Y0 + castHead, page.X1, top - 22}); below.high() > 260 {
		if l := k.largest(below); l.cam.scale > 1.12*k.spread.cam.scale {
			k.room, k.spread, k.words = below, l, words
			for i := range k.words {
				k.words[i].at.Y += top
			}
			return
		}
	}
	k.words = k.inColumn(column)
}

func (k *casting) drawHead() {
	c := k.canvas
	c.text(title, ink, pageLeft, 70, c.letters.fit(title, k.title(), pageRight-pageLeft))
	c.text(heading, shade, pageLeft, 113, c.letters.fit(heading, k.verdict(), pageRight-pageLeft))
	c.draw(line(faint, 1.2), []point{{pageLeft, castRule}, {pageRight, castRule}})
	cam := k.spread.cam
	mm := roundLength(130/cam.scale, k.s.words.inches)
	y := castRule + 20
	c.scaleBar(pageLeft, y+5, mm, cam.scale)
	c.text(figure, ink, pageLeft+mm*cam.scale+scaleGap, y+20, k.s.words.length(mm))
	c.drawInset(k.cut, cam, k.room)
	c.text(small, shade, pageLeft, pageFoot, c.letters.fit(small, k.caution(), pageRight-pageLeft))
}
