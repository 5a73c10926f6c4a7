package picture

import (
	"cmp"
	"context"
	"math"
	"runtime"
	"slices"
	"sync"
	"sync/atomic"

	"gonum.org/v1/gonum/spatial/r3"
)

const (
	planeCover  = 0.30 // of what is behind it
	faceCover   = 0.11 // how much a face of the block is seen by itself
	throughFull = 0.85 // optical depth of the longest way through the block
	// solidShown is how much less the rubber tints solid things than what is
	// behind the block, so that they keep their colours.
	solidShown = 0.5
)

// eachPart calls do for every row from several goroutines; rows must not
// depend on one another.
func eachPart(rows int, do func(row int)) {
	const atATime = 16
	var next atomic.Int64
	var wg sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		wg.Go(func() {
			for from := int(next.Add(atATime)) - atATime; from < rows; from = int(next.Add(atATime)) - atATime {
				for row := from; row < min(from+atATime, rows); row++ {
					do(row)
				}
			}
		})
	}
	wg.Wait()
}

// rubber knows the translucent things along a line of sight.
type rubber struct {
	cam     camera
	walls   *prism
	density float64 // optical depth per mm
	plane   plane
	has     bool
	slant   float64 // plane's normal against the view
	fillers []prism
}

func (s *scene) rubber(cam camera) rubber {
	return rubber{
		cam: cam, walls: &s.walls, density: throughFull / s.walls.longest(cam),
		plane: s.cut, has: s.hasCut, slant: r3.Dot(s.cut.n, cam.toward), fillers: s.fillers,
	}
}

// faceTint is what a face of the block adds, given its outward normal: chalk on
// top, glass on the walls, darker on those at the ends.
func faceTint(n r3.Vec) tint {
	if n.Z > 0.5 {
		return chalk
	}
	return glass.mix(ink, 0.25*n.X*n.X)
}

// span is where a line of sight is in the block.
func (r *rubber) span(from r3.Vec) span { return r.walls.span(from, r.cam.toward) }

// veil is a surface that is looked through.
type veil struct {
	depth  float64
	colour tint
	cover  float64
}

// over returns what is seen along the line of sight where solid, at depth d
// (infinite for the background), has the given colour.
func (r *rubber) over(from r3.Vec, solid tint, d float64) tint {
	s := r.span(from)
	if s.in >= s.out || d <= s.in {
		return solid
	}
	end, cover := math.Min(d, s.out), 1.0
	if d < s.out {
		cover = solidShown
	}
	var room [8]veil
	veils := append(room[:0], veil{depth: s.in, colour: faceTint(s.normal), cover: cover * faceCover})
	if r.has && math.Abs(r.slant) > 1e-6 {
		if at := (r3.Dot(r.plane.n, from) - r.plane.at) / r.slant; at > s.in && at < end {
			veils = append(veils, veil{at, blue, planeCover})
		}
	}
	veils, held := r.throughFillers(veils, from, s.in, end)
	slices.SortStableFunc(veils, func(a, b veil) int { return cmp.Compare(b.depth, a.depth) })
	c := solid
	for _, v := range veils {
		c = r.through(c, cover*(end-v.depth-held.between(v.depth, end))).mix(v.colour, v.cover)
		end = v.depth
	}
	return c
}

// through is c seen through a thickness of rubber.
func (r *rubber) through(c tint, mm float64) tint {
	return c.mix(glass, 1-math.Exp(-r.density*mm))
}

// mixRubber lays the solid things, rubber and plane over what is drawn already.
func (c *canvas) mixRubber(ctx context.Context, s *scene, cam camera, o *opaque) error {
	r := s.rubber(cam)
	low, high := s.blockOnPicture(cam)
	eachPart(high.Y-low.Y, func(row int) {
		if ctx.Err() != nil {
			return
		}
		for x := low.X; x < high.X; x++ {
			i := c.img.PixOffset(x, low.Y+row)
			pix := c.img.Pix[i : i+3 : i+3]
			back := tint{float64(pix[0]) / 255, float64(pix[1]) / 255, float64(pix[2]) / 255}
			got := r.pixel(x, low.Y+row, back, o)
			pix[0], pix[1], pix[2] = level(got.R), level(got.G), level(got.B)
		}
	})
	return ctx.Err()
}

// pixel is the mean of the pixel's samples; one is enough where nothing solid
// is, since lines are drawn over the block's edges.
func (r *rubber) pixel(x, y int, back tint, o *opaque) tint {
	left, top := (x-o.left)*grain, (y-o.top)*grain
	if !o.any(left, top) {
		return r.over(r.cam.ray(point{float64(x) + 0.5, float64(y) + 0.5}), back, math.Inf(1))
	}
	var sum tint
	for j := range grain {
		for i := range grain {
			at := point{float64(x) + (float64(i)+0.5)/grain, float64(y) + (float64(j)+0.5)/grain}
			solid, d := back, o.sample(left+i, top+j)
			if d != nothing {
				p := o.colour[(top+j)*o.width+left+i]
				solid = tint{float64(p[0]) / 255, float64(p[1]) / 255, float64(p[2]) / 255}
			}
			sum = sum.plus(r.over(r.cam.ray(at), solid, float64(d)))
		}
	}
	return sum.times(1.0 / (grain * grain))
}

// any tells whether the pixel whose first sample is given has anything solid.
func (o *opaque) any(left, top int) bool {
	for j := range grain {
		for i := range grain {
			if o.sample(left+i, top+j) != nothing {
				return true
			}
		}
	}
	return false
}
