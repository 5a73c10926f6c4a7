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

// Filling draws the block cut open in both pours, at the moment at which the
// most air is closed off: m is the pattern in mm in the stand frame. The same
// input gives the same pixels.
func Filling(ctx context.Context, m *mesh.Mesh, p *analysis.Plan, pockets Pockets, o Options) (*image.NRGBA, error) {
	d, err := drawFilling(ctx, m, p, pockets, o.Show)
	if err != nil {
		return nil, err
	}
	return d.canvas.picture(), nil
}

// filling is the page with both pours.
type filling struct {
	canvas *canvas
	s      *scene
	show   say.Style
	panels [2]*panel
	rule   float64
	key    []keyEntry
	scale  float64

	anyBeside bool // a number points at what the cut does not show
}

// panel is one pour on the page.
type panel struct {
	cut     *cutaway
	level   float64
	room    rect // of view and labels
	remarks []remark
	words   point // where they begin
	view    *cutView
}

const (
	panelApart = 48.0
	panelHead  = 46.0 // px for its heading
	levelRoom  = 176.0
	numberRoom = 52.0
	streamRoom = 30.0
)

func newFilling(m *mesh.Mesh, p *analysis.Plan, pockets Pockets, show say.Style) (*filling, error) {
	if m == nil || len(m.Faces) == 0 {
		return nil, errors.New("there is no pattern to draw: the mesh has no faces")
	}
	s, err := newScene(m, p, wordedBy(show))
	if err != nil {
		return nil, err
	}
	s.part = reduced(s.part, 700/s.size)
	f := &filling{canvas: newCanvas(), s: s, show: show}
	for i, cut := range s.bothPours(pockets) {
		f.panels[i] = &panel{cut: cut, level: cut.telling()}
	}
	return f, nil
}

func drawFilling(ctx context.Context, m *mesh.Mesh, p *analysis.Plan, pockets Pockets, show say.Style) (*filling, error) {
	f, err := newFilling(m, p, pockets, show)
	if err != nil {
		return nil, err
	}
	f.arrange()
	f.drawHead()
	for _, p := range f.panels {
		if err := f.drawPanel(ctx, p); err != nil {
			return nil, err
		}
	}
	f.drawKey()
	return f, ctx.Err()
}

// arrange shares the page out: the key at its foot, above it the pours side by
// side with their words below, or one above the other with their words beside,
// whichever draws the block larger. Both views have one scale.
func (f *filling) arrange() {
	f.rule = 134
	f.key = f.keyRows(f.canvas.letters)
	rows := 1 + f.key[len(f.key)-1].at.Y/keyRow
	foot := pageFoot - keyRow*rows
	for i := range f.key {
		f.key[i].at.Y += foot
	}
	page := rect{pageLeft, f.rule, pageRight, foot - 22}
	below := f.wordsBelow(page)
	beside := f.wordsBeside(page)
	if scale := f.scaleIn(beside); scale > 1.12*f.scaleIn(below) {
		below = beside
	}
	f.scale = f.scaleIn(below)
	for i := range f.panels {
		*f.panels[i] = below[i]
	}
}

// scaleIn is how large both views can be in their rooms.
func (f *filling) scaleIn(panels [2]panel) float64 {
	scale := math.Inf(1)
	for i := range panels {
		p := &panels[i]
		scale = min(scale, p.cut.fitted(p.cut.upright(), p.viewRoom()).scale)
	}
	return scale
}

func (f *filling) wordsBelow(page rect) (out [2]panel) {
	const most = 360.0
	wide := (page.wide() - panelApart) / 2
	high := 0.0
	for i, p := range f.panels {
		out[i] = *p
		out[i].remarks = p.cut.remarks(f.canvas.letters, f.show, wide, most)
		high = math.Max(high, heightOf(out[i].remarks))
	}
	for i := range out {
		x := page.X0 + float64(i)*(wide+panelApart)
		out[i].room = rect{x, page.Y0 + panelHead, x + wide, page.Y1 - high - 16}
		out[i].words = point{x, page.Y1 - high}
	}
	return out
}

func (f *filling) wordsBeside(page rect) (out [2]panel) {
	const wide, apart = 500.0, 36.0
	high := page.high() / 2
	for i, p := range f.panels {
		out[i] = *p
		out[i].room = rect{page.X0, page.Y0 + panelHead, page.X1 - wide - apart, page.Y0 + high}.moved(point{0, high * float64(i)})
		out[i].remarks = p.cut.remarks(f.canvas.letters, f.show, wide, out[i].room.high())
		out[i].words = point{page.X1 - wide, out[i].room.Y0 + (out[i].room.high()-heightOf(out[i].remarks))/2}
	}
	return out
}

// viewRoom is the part of the room for the view itself.
func (p *panel) viewRoom() rect {
	return rect{p.room.X0 + levelRoom, p.room.Y0 + streamRoom, p.room.X1 - numberRoom, p.room.Y1 - 4}
}

func (f *filling) drawHead() {
	c := f.canvas
	c.text(title, ink, pageLeft, 70, c.letters.fit(title, f.title(), pageRight-pageLeft))
	c.text(heading, shade, pageLeft, 113, c.letters.fit(heading, f.verdict(), pageRight-pageLeft))
	c.draw(line(faint, 1.2), []point{{pageLeft, f.rule}, {pageRight, f.rule}})
}

func (f *filling) drawPanel(ctx context.Context, p *panel) error {
	c := f.canvas
	c.text(heading, ink, p.room.X0, p.room.Y0-10, c.letters.fit(heading, p.cut.heading(), p.room.wide()))
	cam := p.cut.upright()
	cam.scale = f.scale
	cam = p.cut.centred(cam, p.viewRoom())
	var err error
	if p.view, err = p.cut.view(ctx, cam, c.img.Rect); err != nil {
		return err
	}
	c.drawCutaway(p.view, p.level, true, true)
	inset := c.drawInset(p.cut, cam, p.room)
	label := c.drawLevel(p.view, p.level, p.room)
	for _, n := range p.view.numbers(p.room, &taken{rects: []rect{label, inset}}, listedIn(p.remarks)) {
		c.drawTrapNumber(n)
		for i := range p.remarks {
			p.remarks[i].beside = p.remarks[i].beside || p.remarks[i].number == n.trap+1 && !n.cut
		}
		f.anyBeside = f.anyBeside || !n.cut
	}
	at := p.words
	for _, r := range p.remarks {
		at.Y = c.drawRemark(r, at)
	}
	return nil
}

// drawRemark writes a paragraph and returns where the next one begins.
func (c *canvas) drawRemark(r remark, at point) float64 {
	x, y := at.X, at.Y
	if r.number > 0 {
		middle := point{x + markHalf + 1, y + lineHigh/2}
		if r.beside {
			c.hiddenNumber(middle, r.number)
		} else {
			c.number(middle, r.number)
		}
		x += entryIndent
	}
	t := ink
	if r.muted {
		t = shade
	}
	for _, l := range r.lines {
		c.text(normal, t, x, y+24, l)
		y += lineHigh
	}
	return y + remarkGap
}

// drawInset shows at the upper right of a room where the cut runs, as the block
// stands then, seen from above.
func (c *canvas) drawInset(cut *cutaway, cam camera, room rect) rect {
	const wide, high, dash = 84.0, 44.0, 6.0
	flat := camera{right: cam.right, up: r3.Scale(-1, cam.toward), scale: 1}
	box := cut.s.outlineOnBoard()
	bare := boundsOf(flat.all(box))
	flat.scale = min(wide/bare.wide(), high/bare.high())
	bare = boundsOf(flat.all(box))
	flat.origin = point{room.X1 - dash - bare.X1, room.Y0 - 17 - bare.middle().Y}
	c.fill(glass, 0.3, flat.all(box))
	c.draw(line(deep, 1.6), closed(flat.all(box)))
	a, b := flat.at(cut.at(cut.inside.lo, 0)), flat.at(cut.at(cut.inside.hi, 0))
	u := b.minus(a).unit()
	c.draw(dashed(blue, 2.4, 8, 5), []point{a.minus(u.times(dash)), b.plus(u.times(dash))})
	c.fill(amber, 1, disc(flat.at(cut.s.spout), 4))
	all := boundsOf(flat.all(box))
	const name = "cut, from above"
	at := c.text(small, shade, all.X0-16-c.letters.width(small, name), room.Y0-10, name)
	return all.with(at)
}
