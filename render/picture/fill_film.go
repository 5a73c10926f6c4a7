package picture

import (
	"context"
	"image"
	"image/draw"
	"image/gif"
	"math"
	"slices"

	"pourwright/analysis"
	"pourwright/mesh"
)

// FilmWidth and FilmHeight are the size of a film in pixels.
const (
	FilmWidth  = 800
	FilmHeight = 600
)

// Film draws both pours as an animation: rubber rises around the pattern, the
// block is turned over, casting material rises in it; trapped air appears when
// it closes. m is the pattern in mm in the stand frame. The same input gives the
// same frames. progress, which may be nil, is told of frames.
func Film(ctx context.Context, m *mesh.Mesh, p *analysis.Plan, pockets Pockets, o Options, progress func(done, total int64)) (*gif.GIF, error) {
	f, err := newFilm(ctx, m, p, pockets, o)
	if err != nil {
		return nil, err
	}
	done := 0
	tell := func() {
		if progress != nil {
			progress(int64(done), int64(len(f.shots)+len(f.shots)/spread+1))
		}
		done++
	}
	palette, err := f.palette(ctx, tell)
	if err != nil {
		return nil, err
	}
	reel := newReel(palette)
	for _, shot := range f.shots {
		tell()
		if err := f.drawShot(ctx, shot); err != nil {
			return nil, err
		}
		reel.add(f.canvas.img, shot.hundredths)
	}
	return &reel.gif, nil
}

// film is what its frames share.
type film struct {
	*filling
	canvas  *canvas
	room    rect
	views   [2]*cutView // upright
	numbers [2][]trapNumber
	shots   []shot
}

// shot is one frame.
type shot struct {
	pour       pouring
	level      float64
	pours      bool    // a stream comes in
	turns      bool    // the empty block is on its way over
	angle      float64 // that it has been turned by
	hundredths int     // of a second that it is shown
	caption    string
}

var filmRoom = rect{24, 62, FilmWidth - 24, 446}

func newFilm(ctx context.Context, m *mesh.Mesh, p *analysis.Plan, pockets Pockets, o Options) (*film, error) {
	page, err := newFilling(m, p, pockets, o.Show)
	if err != nil {
		return nil, err
	}
	f := &film{filling: page, room: filmRoom}
	f.canvas = &canvas{img: image.NewRGBA(image.Rect(0, 0, FilmWidth, FilmHeight)), letters: page.canvas.letters}
	f.scale = math.Inf(1)
	for _, p := range f.panels {
		f.scale = min(f.scale, p.cut.fitted(p.cut.upright(), f.viewRoom()).scale)
	}
	for i, p := range f.panels {
		cam := p.cut.upright()
		cam.scale = f.scale
		if f.views[i], err = p.cut.view(ctx, p.cut.centred(cam, f.viewRoom()), f.canvas.img.Rect); err != nil {
			return nil, err
		}
		f.numbers[i] = f.views[i].numbers(f.numberRoom(f.views[i]), &taken{}, p.cut.listed())
	}
	f.shots = append(f.pourShots(rubberRises), f.turnShots()...)
	f.shots = append(f.shots, f.pourShots(castRises)...)
	return f, nil
}

// viewRoom is the part of the frame for the block; the height of the liquid is
// said at its left.
func (f *film) viewRoom() rect {
	return rect{f.room.X0 + levelRoom, f.room.Y0 + streamRoom, f.room.X1 - numberRoom, f.room.Y1}
}

// numberRoom is where numbers may go: right of the height's label.
func (f *film) numberRoom(v *cutView) rect {
	left := math.Min(v.cam.at(v.at(v.inside.lo, 0)).X, v.cam.at(v.at(v.inside.hi, 0)).X)
	return rect{left - v.wallPx(), f.room.Y0, f.room.X1, f.room.Y1}
}

const (
	pourFrames = 30
	turnFrames = 12
	briefly    = 9 // hundredths of a second
	toLook     = 170
	toRest     = 240
)

// pourShots raise the liquid in even steps, with a stop where air closes.
func (f *film) pourShots(pour pouring) []shot {
	c := f.panels[pour].cut
	from, to := c.begin(), c.finish()
	stops := map[float64]int{}
	levels := []float64{}
	for k := range pourFrames + 1 {
		levels = append(levels, from+(to-from)*float64(k)/pourFrames)
	}
	for _, i := range c.listed() {
		if _, there := stops[c.traps[i].spill]; !there {
			stops[c.traps[i].spill] = i
			levels = append(levels, c.traps[i].spill)
		}
	}
	slices.Sort(levels)
	if to < from {
		slices.Reverse(levels)
	}
	levels = slices.Compact(levels)
	caption := f.opening(pour)
	var shots []shot
	for k, level := range levels {
		s := shot{pour: pour, level: level, pours: k < len(levels)-1, hundredths: briefly}
		if i, stop := stops[level]; stop {
			caption, s.hundredths = f.closing(pour, i), toLook
		}
		if !s.pours {
			caption, s.hundredths = f.ending(pour), toRest
		}
		s.caption = caption
		shots = append(shots, s)
	}
	return shots
}

// turnShots turn the cured block over.
func (f *film) turnShots() []shot {
	var shots []shot
	for k := range turnFrames + 1 {
		share := float64(k) / turnFrames
		s := shot{pour: castRises, turns: true, angle: 180 * share * share * (3 - 2*share), hundredths: briefly, caption: f.turning()}
		s.level = f.panels[castRises].cut.s.block.Max.Z // nothing is in it yet
		if k == 0 {
			s.hundredths = toLook
		}
		shots = append(shots, s)
	}
	return shots
}

func (f *film) drawShot(ctx context.Context, s shot) error {
	c := f.canvas
	draw.Draw(c.img, c.img.Rect, image.NewUniform(paper.opaque()), image.Point{}, draw.Src)
	c.labels = c.labels[:0]
	c.text(heading, ink, f.room.X0, 42, c.letters.fit(heading, f.filmTitle(s), f.room.wide()))
	v := f.views[s.pour]
	if s.turns {
		var err error
		if v, err = f.turningView(ctx, s.angle); err != nil {
			return err
		}
	}
	c.drawCutaway(v, s.level, !s.turns, s.pours)
	if !s.turns {
		c.drawLevel(v, s.level, f.room)
		for _, n := range f.numbers[s.pour] {
			if v.shut(n.trap, s.level) {
				c.drawTrapNumber(n)
			}
		}
	}
	for i, l := range c.letters.quantified(normal, s.caption, f.room.wide(), 3) {
		c.text(normal, ink, f.room.X0, 482+lineHigh*float64(i), l)
	}
	f.drawFilmKey(s.pour)
	return ctx.Err()
}

// turningView is the block on its way, as large as there is room around where it
// stands before and after.
func (f *film) turningView(ctx context.Context, angle float64) (*cutView, error) {
	c := f.panels[castRises].cut
	middle := f.viewRoom().middle()
	wide := min(middle.X-f.room.X0, f.room.X1-middle.X)
	high := min(middle.Y-f.room.Y0, f.room.Y1-middle.Y)
	room := around(middle, 2*wide, 2*high)
	cam := c.fitted(c.turned(angle), room)
	cam.scale = math.Min(cam.scale, f.scale)
	return c.view(ctx, c.centred(cam, room), f.canvas.img.Rect)
}
