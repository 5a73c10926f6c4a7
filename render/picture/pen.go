package picture

import (
	"image"
	"image/draw"
	"math"

	"golang.org/x/image/vector"
)

// canvas is the picture while it is drawn.
type canvas struct {
	img     *image.RGBA
	letters *typefaces
	pen     vector.Rasterizer
	labels  []rect // of every text drawn, in px
}

func newCanvas() *canvas {
	c := &canvas{img: image.NewRGBA(image.Rect(0, 0, Width, Height)), letters: newTypefaces()}
	draw.Draw(c.img, c.img.Rect, image.NewUniform(paper.opaque()), image.Point{}, draw.Src)
	return c
}

// fill paints closed shapes; where they overlap the same way round they are
// one shape, where the other way round a hole.
func (c *canvas) fill(t tint, cover float64, shapes ...[]point) {
	if len(shapes) == 0 {
		return
	}
	low, high := point{Width, Height}, point{}
	for _, shape := range shapes {
		for _, p := range shape {
			low.X, low.Y = math.Min(low.X, p.X), math.Min(low.Y, p.Y)
			high.X, high.Y = math.Max(high.X, p.X), math.Max(high.Y, p.Y)
		}
	}
	area := image.Rect(int(math.Floor(low.X)), int(math.Floor(low.Y)), int(math.Ceil(high.X)), int(math.Ceil(high.Y)))
	area = area.Intersect(c.img.Rect)
	if area.Empty() {
		return
	}
	c.pen.Reset(area.Dx(), area.Dy())
	for _, shape := range shapes {
		for i, p := range shape {
			x, y := float32(p.X)-float32(area.Min.X), float32(p.Y)-float32(area.Min.Y)
			if i == 0 {
				c.pen.MoveTo(x, y)
			} else {
				c.pen.LineTo(x, y)
			}
		}
		c.pen.ClosePath()
	}
	full := t.opaque()
	share := func(v uint8) uint8 { return uint8(float64(v)*cover + 0.5) }
	full.R, full.G, full.B, full.A = share(full.R), share(full.G), share(full.B), share(255)
	c.pen.Draw(c.img, area, image.NewUniform(full), image.Point{})
}

// stroke is how a line is drawn.
type stroke struct {
	colour tint
	width  float64
	cover  float64   // 1 hides what is under it
	dashes []float64 // px drawn, px left out, and so on; nil for a whole line
}

func line(colour tint, width float64) stroke { return stroke{colour: colour, width: width, cover: 1} }

func dashed(colour tint, width float64, dashes ...float64) stroke {
	return stroke{colour, width, 1, dashes}
}

// draw strokes polylines with round joints and ends.
func (c *canvas) draw(s stroke, lines ...[]point) {
	var shapes [][]point
	for _, path := range lines {
		for _, piece := range s.pieces(path) {
			shapes = append(shapes, outlined(piece, s.width/2)...)
		}
	}
	c.fill(s.colour, s.cover, shapes...)
}

// outlined returns convex shapes, all the same way round, that cover a thick
// polyline.
func outlined(path []point, half float64) [][]point {
	var shapes [][]point
	for i, a := range path {
		if i == 0 || i == len(path)-1 || half > 0.8 {
			shapes = append(shapes, disc(a, half))
		}
		if i == 0 {
			continue
		}
		b := path[i-1]
		u := b.minus(a).unit().times(half)
		n := point{-u.Y, u.X}
		shapes = append(shapes, []point{a.plus(n), b.plus(n), b.minus(n), a.minus(n)})
	}
	return shapes
}

// disc is a circle, the same way round as outlined's sides.
func disc(centre point, radius float64) []point {
	n := min(max(int(radius*3), 8), 64)
	shape := make([]point, n)
	for i := range shape {
		sin, cos := math.Sincos(-2 * math.Pi * float64(i) / float64(n))
		shape[i] = centre.plus(point{radius * cos, radius * sin})
	}
	return shape
}

// pieces cuts a path into its dashes.
func (s stroke) pieces(path []point) [][]point {
	if len(s.dashes) == 0 || len(path) < 2 {
		return [][]point{path}
	}
	var all [][]point
	var now []point
	which, left := 0, s.dashes[0]
	now = append(now, path[0])
	for i := 1; i < len(path); i++ {
		a, b := path[i-1], path[i]
		long := b.minus(a).length()
		for done := 0.0; done < long; {
			step := math.Min(left, long-done)
			done, left = done+step, left-step
			at := a.to(b, done/long)
			if which%2 == 0 {
				now = append(now, at)
			}
			if left <= 0 {
				if which%2 == 0 {
					all = append(all, now)
				}
				which++
				left = s.dashes[which%len(s.dashes)]
				now = []point{at}
			}
		}
	}
	if which%2 == 0 && len(now) > 1 {
		all = append(all, now)
	}
	return all
}

// arrow draws the head of an arrow that points from one place at another.
func (c *canvas) arrow(t tint, from, tip point) {
	const long, half = 15, 4.6
	u := tip.minus(from).unit()
	n := point{-u.Y, u.X}
	base := tip.minus(u.times(long))
	c.fill(t, 1, []point{tip, base.plus(n.times(half)), base.minus(n.times(half))})
}
