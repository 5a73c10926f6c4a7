package picture

import (
	"context"
	"errors"
	"image"
	"math"
	"strconv"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis"
	"pourwright/mesh"
)

// Ways draws the way up that was chosen beside the best others, each as it stands on
// the board, all in one scale. The pattern m is in mm in the scan's frame. The same
// input gives the same pixels.
func Ways(ctx context.Context, m *mesh.Mesh, p *analysis.Plan, o Options) (*image.NRGBA, error) {
	d, err := drawWays(ctx, m, p, o)
	if err != nil {
		return nil, err
	}
	return d.canvas.picture(), nil
}

// The sheet has two rows of three cells; the last one has the key. A cell has its
// view over its words.
const (
	waysTop   = 140.0
	waysWide  = 3
	waysHigh  = 2
	waysApart = 30.0
	mostWays  = waysWide*waysHigh - 1
	wayHead   = 44.0  // px over a view
	wayFoot   = 142.0 // px under it
)

// way is one way up.
type way struct {
	name    string
	score   float64
	part    *mesh.Mesh
	frame   r3.Box // of part and stem
	spout   r3.Vec // its middle on the board
	radius  float64
	stem    float64
	edge    float64 // of the board past the pattern
	chosen  bool
	reason  string
	figures analysis.StandFigures
	rubber  float64 // of the rough box, over that of the choice; 0: not known
}

// drawnWays is a finished sheet with where everything went.
type drawnWays struct {
	canvas *canvas
	cells  []rect
	key    rect
	views  []rect // what each view has room for
	solids []*opaque
	scale  float64
}

func drawWays(ctx context.Context, m *mesh.Mesh, p *analysis.Plan, o Options) (*drawnWays, error) {
	switch {
	case m == nil || len(m.Faces) == 0:
		return nil, errors.New("there is no pattern to draw: the mesh has no faces")
	case p == nil:
		return nil, errors.New("there is no plan to draw")
	}
	w := wordedBy(o.Show)
	ways := waysOf(m, p)
	d := &drawnWays{canvas: newCanvas()}
	d.setCells(len(ways))
	cam := lookFrom(25, 20)
	d.scale = commonScale(ways, cam, d.views)
	c := d.canvas
	c.drawVerdict(page{heading: c.letters.fit(title, planName(p), pageRight-pageLeft), verdict: []string{waysCaption(p, len(ways))}, rule: waysTop})
	for i := range ways {
		if err := d.drawWay(ctx, &ways[i], i, cam, w); err != nil {
			return nil, err
		}
	}
	d.drawWaysKey(p, w, ways)
	return d, ctx.Err()
}

func planName(p *analysis.Plan) string {
	if name := strings.TrimSpace(readable(p.Name)); name != "" {
		return name
	}
	return "Block mold"
}

// waysCaption says what was compared.
func waysCaption(p *analysis.Plan, shown int) string {
	text := "Ways up: this one and the best " + strconv.Itoa(shown-1) + " others"
	switch shown {
	case 1:
		return "The way up; there is no other to compare it with"
	case 2:
		text = "Ways up: this one and the best other"
	}
	if n := p.Stand.Searched; n > 0 {
		text += ", of " + strconv.Itoa(n) + " looked at"
	}
	return text
}

// waysOf are the choice and the alternatives as they stand, their middle over the
// origin.
func waysOf(m *mesh.Mesh, p *analysis.Plan) []way {
	st := p.Stand
	most := 4 * mostFaces / mostWays
	if len(m.Faces) > most {
		if coarse, _ := m.Clustered(2 * across(m.Bounds()) / 400); len(coarse.Faces) > 0 {
			m = coarse
		}
	}
	name := "The choice"
	if st.Chosen == "down" || st.Chosen == "spout" {
		name = "The way you gave"
	}
	all := []way{{name: name, chosen: true, score: st.Score, radius: st.SpoutDiameterMM / 2, stem: st.StemMM,
		reason: lastSentence(st.Why), figures: st.Figures}}
	all[0].stand(m, st.Rotation, st.TranslationMM, st.SpoutMM, false)
	for i, a := range st.Alternatives {
		if i == mostWays-1 {
			break
		}
		w := way{name: "Other way " + strconv.Itoa(i+1), score: a.Score, radius: a.SpoutDiameterMM / 2, stem: a.StemMM,
			reason: lastSentence(a.Why), figures: a.Figures}
		if first := st.Figures.RubberMM3; first > 0 {
			w.rubber = a.Figures.RubberMM3 / first
		}
		w.stand(m, a.Rotation, a.TranslationMM, a.SpoutMM, true)
		all = append(all, w)
	}
	return all
}

// lastSentence is what a reason comes down to: the planner puts it last.
func lastSentence(text string) string {
	text = strings.TrimSpace(readable(text))
	body := strings.TrimSuffix(text, ".")
	if i := strings.LastIndex(body, ". "); i >= 0 {
		return text[i+2:]
	}
	return text
}

// stand poses the pattern; turned, its longer side is level across the view.
func (w *way) stand(m *mesh.Mesh, rows [3][3]float64, t, spout [3]float64, turn bool) {
	pose := mesh.Pose{Rows: [3]r3.Vec{vec(rows[0]), vec(rows[1]), vec(rows[2])}, T: vec(t)}
	w.part = m.Posed(pose)
	at := pose.Point(vec(spout))
	if turn {
		flat := make([]r2.Vec, len(w.part.Vertices))
		for i, v := range w.part.Vertices {
			flat[i] = r2.Vec{X: v.X, Y: v.Y}
		}
		sin, cos := math.Sincos(-mesh.MinAreaRect(flat).Angle)
		about := mesh.Pose{Rows: [3]r3.Vec{{X: cos, Y: -sin}, {X: sin, Y: cos}, {Z: 1}}}
		w.part, at = w.part.Posed(about), about.Point(at)
	}
	b := w.part.Bounds()
	// The spout is on the board, or a stem's length above it.
	by := r3.Vec{X: -(b.Min.X + b.Max.X) / 2, Y: -(b.Min.Y + b.Max.Y) / 2, Z: math.Max(w.stem, 0) - b.Min.Z}
	w.part = w.part.Posed(mesh.Pose{Rows: [3]r3.Vec{{X: 1}, {Y: 1}, {Z: 1}}, T: by})
	w.spout = r3.Vec{X: at.X + by.X, Y: at.Y + by.Y}
	w.radius = math.Max(w.radius, 0)
	w.frame = w.part.Bounds()
	w.frame.Min.Z = 0
	w.frame.Min.X, w.frame.Min.Y = math.Min(w.frame.Min.X, w.spout.X-w.radius), math.Min(w.frame.Min.Y, w.spout.Y-w.radius)
	w.frame.Max.X, w.frame.Max.Y = math.Max(w.frame.Max.X, w.spout.X+w.radius), math.Max(w.frame.Max.Y, w.spout.Y+w.radius)
	w.edge = 0.05 * across(w.part.Bounds())
}

// thick is how thick the board is drawn.
func (w *way) thick() float64 { return 0.3 * w.edge }

// seen is the room that a way takes at 1 px to the mm.
func (w *way) seen(cam camera) rect {
	cam.scale, cam.origin = 1, point{}
	all := append(rim(w.frame, 0, w.edge), rim(w.frame, -w.thick(), w.edge)...)
	r := boundsOf(cam.all(all))
	for _, v := range w.part.Vertices {
		p := cam.at(v)
		r = r.with(rect{p.X, p.Y, p.X, p.Y})
	}
	return r
}

// setCells shares the sheet among the ways; one or two get the height of it.
func (d *drawnWays) setCells(ways int) {
	wide := (pageRight - pageLeft - (waysWide-1)*waysApart) / waysWide
	high := (pageFoot - waysTop - waysApart) / waysHigh
	top := waysTop + 18
	at := func(i int) rect {
		x, y := pageLeft+float64(i%waysWide)*(wide+waysApart), top+float64(i/waysWide)*(high+waysApart/2)
		return rect{x, y, x + wide, y + high - 18}
	}
	d.key = at(mostWays)
	for i := range ways {
		cell := at(i)
		switch ways {
		case 1:
			cell.X1, cell.Y1 = at(1).X1, pageFoot
		case 2:
			cell.Y1 = pageFoot
		}
		d.cells = append(d.cells, cell)
		d.views = append(d.views, rect{cell.X0, cell.Y0 + wayHead, cell.X1, cell.Y1 - wayFoot})
	}
}

// commonScale is the largest at which every way fits its view, px to the mm.
func commonScale(ways []way, cam camera, views []rect) float64 {
	scale := math.Inf(1)
	for i := range ways {
		seen, room := ways[i].seen(cam), views[i].grown(-8)
		scale = min(scale, room.wide()/seen.wide(), room.high()/seen.high())
	}
	return scale
}

// drawWay draws one way up with what there is to say of it.
func (d *drawnWays) drawWay(ctx context.Context, w *way, i int, cam camera, words wording) error {
	c, view := d.canvas, d.views[i]
	cam.scale = d.scale
	seen := w.seen(cam)
	cam.origin = point{view.middle().X - seen.middle().X*d.scale, view.Y1 - 8 - seen.Y1*d.scale}
	c.drawWayBoard(w, cam)
	bodies := []body{shaded(w.part, oak)}
	if w.stem > 0 && w.radius > 0 {
		bodies = append(bodies, shaded(cylinder(rod{foot: w.spout, top: r3.Add(w.spout, r3.Vec{Z: w.stem}), radius: w.radius}), lamp))
	}
	solid := newOpaque(bodies, cam)
	if err := solid.drawBodies(ctx, bodies, cam, across(w.frame)); err != nil {
		return err
	}
	d.solids = append(d.solids, solid)
	c.lay(solid)
	c.drawWaySpout(w, cam, solid)
	d.drawWayWords(w, d.cells[i], words)
	return nil
}

func (c *canvas) drawWayBoard(w *way, cam camera) {
	top, under := rim(w.frame, 0, w.edge), rim(w.frame, -w.thick(), w.edge)
	for i := range top {
		j := (i + 1) % len(top)
		if out := r3.Cross(r3.Sub(top[j], top[i]), r3.Vec{Z: 1}); r3.Dot(out, cam.toward) > 0 {
			c.fill(board.mix(ink, 0.14), 1, cam.all([]r3.Vec{top[i], top[j], under[j], under[i]}))
			c.draw(line(faint, 1.2), cam.all([]r3.Vec{top[i], under[i], under[j], top[j]}))
		}
	}
	c.fill(board, 1, cam.all(top))
	c.draw(line(faint, 1.2), cam.all(append(top, top[0])))
	if w.radius > 0 {
		c.fill(lamp, 1, cam.all(circle(w.spout, w.radius)))
	}
}

// drawWaySpout draws the spout's rim on the board, dashed where the pattern is
// before it.
func (c *canvas) drawWaySpout(w *way, cam camera, o *opaque) {
	if w.radius == 0 {
		return
	}
	seen, hidden := o.seen(cam, circle(w.spout, w.radius), 0.006*across(w.frame)+2/cam.scale)
	c.drawRim(dashed(lamp, 2.4, 6, 5), hidden...)
	c.drawRim(line(lamp, 2.8), seen...)
}
