package picture

import (
	"context"
	"image"
	"math"

	"golang.org/x/image/vector"
	"gonum.org/v1/gonum/spatial/r3"
)

// cutView is a cutaway at a size and place on the picture: what is in each of
// its pixels, so that the same view can be painted at any level of the liquid.
type cutView struct {
	*cutaway
	cam        camera
	x0, y0     int // px, of the upper left corner
	wide, high int
	part       []uint8 // how much of a pixel the pattern's section covers
	rods       []uint8 // the same of stem and posts, or spout and vents
	air        []int16 // the trap that a pixel belongs to, −1 for none
	bowls      []int16 // the bowl, likewise
	beyond     []layer // what is seen behind the plane
	skinned    []uint8 // how much of a pixel is skin of a hollow cast; nil for none
}

// layer is something with a colour that covers part of a pixel.
type layer struct {
	colour tint
	cover  float64
}

// fitted is the view as large as a room allows, its middle in the room's.
func (c *cutaway) fitted(cam camera, room rect) camera {
	cam.origin = point{}
	bare := boundsOf(cam.all(c.outline()))
	cam.scale *= math.Min(room.wide()/bare.wide(), room.high()/bare.high())
	return c.centred(cam, room)
}

// centred puts the middle of the view in the middle of a room.
func (c *cutaway) centred(cam camera, room rect) camera {
	cam.origin = point{}
	cam.origin = room.middle().minus(boundsOf(cam.all(c.outline())).middle())
	return cam
}

// view works out what is in each pixel.
func (c *cutaway) view(ctx context.Context, cam camera, on image.Rectangle) (*cutView, error) {
	v := &cutView{cutaway: c, cam: cam}
	b := boundsOf(cam.all(c.outline()))
	area := image.Rect(int(b.X0)-2, int(b.Y0)-2, int(b.X1)+3, int(b.Y1)+3).Intersect(on)
	v.x0, v.y0, v.wide, v.high = area.Min.X, area.Min.Y, area.Dx(), area.Dy()
	shapes := make([][]point, len(c.loops))
	for i, l := range c.loops {
		shapes[i] = cam.all(l)
	}
	v.part = v.coverage(shapes)
	v.rods = v.coverage(v.rodShapes())
	v.air, v.bowls = v.airPixels(), v.bowlPixels()
	if c.skin > 0 {
		v.skinned = v.skinPixels(math.Max(c.skin*cam.scale, leastRodPx))
	}
	var err error
	v.beyond, err = v.seenBeyond(ctx)
	return v, err
}

// coverage is how much of each pixel shapes cover; those that run the other way
// round are holes.
func (v *cutView) coverage(shapes [][]point) []uint8 {
	var pen vector.Rasterizer
	pen.Reset(v.wide, v.high)
	for _, shape := range shapes {
		for i, p := range shape {
			x, y := float32(p.X-float64(v.x0)), float32(p.Y-float64(v.y0))
			if i == 0 {
				pen.MoveTo(x, y)
			} else {
				pen.LineTo(x, y)
			}
		}
		pen.ClosePath()
	}
	mask := image.NewAlpha(image.Rect(0, 0, v.wide, v.high))
	pen.Draw(mask, mask.Rect, image.Opaque, image.Point{})
	return mask.Pix
}

// leastRodPx is how thin a post is drawn at the least.
const leastRodPx = 4.0

// rodShapes are the stem and the posts that lie in the cut.
func (v *cutView) rodShapes() [][]point {
	var shapes [][]point
	if v.s.stem > 0 && v.s.spoutR > 0 {
		mid := r3.Dot(v.along, v.s.spout)
		shapes = append(shapes, v.cam.all(v.rectangle(stretch{mid - v.s.spoutR, mid + v.s.spoutR}, stretch{0, v.s.stem})))
	}
	for _, r := range v.s.vents {
		if r.isPost() && v.inCut(r) {
			shapes = append(shapes, sameWay(v.rodShape(r)))
		}
	}
	return shapes
}

// inCut tells whether the whole length of a rod is cut.
func (v *cutView) inCut(r rod) bool {
	reach := math.Max(r.radius, 0.5*leastRodPx/v.cam.scale)
	return math.Abs(r3.Dot(v.cut.n, r.foot)-v.cut.at) <= reach && math.Abs(r3.Dot(v.cut.n, r.top)-v.cut.at) <= reach
}

// rodShape is a rod as seen from the side.
func (v *cutView) rodShape(r rod) []point {
	foot, top := v.cam.at(r.foot), v.cam.at(r.top)
	u := top.minus(foot).unit().times(math.Max(r.radius*v.cam.scale, leastRodPx/2))
	n := point{-u.Y, u.X}
	return []point{foot.plus(n), top.plus(n), top.minus(n), foot.minus(n)}
}

// sameWay turns a shape so that it runs as those of the stem and the pattern do,
// anticlockwise as seen.
func sameWay(shape []point) []point {
	area := 0.0
	for i, p := range shape {
		q := shape[(i+1)%len(shape)]
		area += p.X*q.Y - q.X*p.Y
	}
	if area > 0 { // y is downwards
		for i, j := 0, len(shape)-1; i < j; i, j = i+1, j-1 {
			shape[i], shape[j] = shape[j], shape[i]
		}
	}
	return shape
}

// place is the point of the plane in the middle of a pixel of the view.
func (v *cutView) place(col, row int) r3.Vec {
	at := point{float64(v.x0+col) + 0.5, float64(v.y0+row) + 0.5}
	return r3.Add(v.cam.ray(at), r3.Scale(v.cut.at, v.cut.n))
}

// open tells whether a pixel is in the space that the liquid fills.
func (v *cutView) open(i int, p r3.Vec) bool {
	if v.pour == castRises {
		return v.part[i] >= 128
	}
	t := r3.Dot(v.along, p)
	return v.part[i] < 128 && v.rods[i] < 128 && t > v.inside.lo && t < v.inside.hi && p.Z > 0
}

// airPixels gives pixels to traps.
func (v *cutView) airPixels() []int16 {
	above := func(p r3.Vec, trap int) bool { return p.Z > v.traps[trap].spill }
	if v.pour == castRises {
		above = func(p r3.Vec, trap int) bool { return p.Z < v.traps[trap].spill }
	}
	return v.widened(v.labelled(len(v.traps), above, v.pocket))
}

// bowlPixels gives pixels to bowls.
func (v *cutView) bowlPixels() []int16 {
	below := func(p r3.Vec, bowl int) bool { return p.Z < v.rims[bowl] }
	return v.widened(v.labelled(len(v.rims), below, v.bowl))
}

// labelled gives pixels to pockets, the first of those that share one. What hangs
// together in the plane on a pocket's side of its level hangs together in space,
// so a whole patch is decided at once, by what most of its pixels say.
func (v *cutView) labelled(pockets int, side func(p r3.Vec, pocket int) bool, which func(p r3.Vec) int) []int16 {
	label := make([]int16, v.wide*v.high)
	for i := range label {
		label[i] = -1
	}
	seen := make([]int32, len(label))
	for pocket := pockets - 1; pocket >= 0; pocket-- {
		in := func(i int) bool {
			p := v.place(i%v.wide, i/v.wide)
			return side(p, pocket) && v.open(i, p)
		}
		for start := range label {
			if seen[start] == int32(pocket)+1 || !in(start) {
				continue
			}
			for _, i := range v.ofPocket(v.patch(start, int32(pocket)+1, seen, in), pocket, which) {
				label[i] = int16(pocket)
			}
		}
	}
	return label
}

// patch are the pixels around one that hang together.
func (v *cutView) patch(start int, mark int32, seen []int32, in func(i int) bool) []int {
	seen[start] = mark
	all := []int{start}
	for k := 0; k < len(all); k++ {
		col, row := all[k]%v.wide, all[k]/v.wide
		for _, step := range [4][2]int{{1, 0}, {-1, 0}, {0, 1}, {0, -1}} {
			x, y := col+step[0], row+step[1]
			if x < 0 || y < 0 || x >= v.wide || y >= v.high {
				continue
			}
			if j := y*v.wide + x; seen[j] != mark && in(j) {
				seen[j] = mark
				all = append(all, j)
			}
		}
	}
	return all
}

// ofPocket is a patch if it is the pocket's, or the part of it that is, where it
// leaks through something thinner than a pixel.
func (v *cutView) ofPocket(patch []int, pocket int, which func(p r3.Vec) int) []int {
	var mine []int
	for _, i := range patch {
		if which(v.place(i%v.wide, i/v.wide)) == pocket {
			mine = append(mine, i)
		}
	}
	if 2*len(mine) > len(patch) {
		return patch
	}
	return mine
}

// widened gives pixels at the edge of a pocket, half under the pattern, to it.
func (v *cutView) widened(label []int16) []int16 {
	out := make([]int16, len(label))
	copy(out, label)
	for i, l := range label {
		if l < 0 {
			continue
		}
		col, row := i%v.wide, i/v.wide
		for _, step := range [8][2]int{{1, 0}, {-1, 0}, {0, 1}, {0, -1}, {1, 1}, {-1, 1}, {1, -1}, {-1, -1}} {
			x, y := col+step[0], row+step[1]
			if x < 0 || y < 0 || x >= v.wide || y >= v.high {
				continue
			}
			j := y*v.wide + x
			edge := v.part[j] > 0 || v.rods[j] > 0
			if v.pour == castRises {
				edge = v.part[j] < 255
			}
			if out[j] < 0 && edge {
				out[j] = l
			}
		}
	}
	return out
}

// seenBeyond draws what is behind the plane.
func (v *cutView) seenBeyond(ctx context.Context) ([]layer, error) {
	out := make([]layer, v.wide*v.high)
	if len(v.bodies) == 0 {
		return out, nil
	}
	o := newOpaque(v.bodies, v.cam)
	if err := o.drawBodies(ctx, v.bodies, v.cam, v.s.size); err != nil {
		return nil, err
	}
	eachPart(v.high, func(row int) {
		for col := range v.wide {
			out[row*v.wide+col] = o.mean(v.x0+col-o.left, v.y0+row-o.top)
		}
	})
	return out, nil
}

// mean is the colour of the samples of a pixel.
func (o *opaque) mean(x, y int) layer {
	var sum [3]int
	n := 0
	for j := range grain {
		for i := range grain {
			if o.sample(x*grain+i, y*grain+j) == nothing {
				continue
			}
			for k, c := range o.colour[(y*grain+j)*o.width+x*grain+i] {
				sum[k] += int(c)
			}
			n++
		}
	}
	if n == 0 {
		return layer{}
	}
	part := func(k int) float64 { return float64(sum[k]) / float64(255*n) }
	return layer{tint{part(0), part(1), part(2)}, float64(n) / (grain * grain)}
}
