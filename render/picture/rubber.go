package picture

import (
	"context"
	"math"
	"runtime"
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
	block   r3.Box
	density float64 // optical depth per mm
	plane   plane
	has     bool
	slant   float64 // plane's normal against the view
	faces   [3]tint // what each visible face of the block adds
}

func (s *scene) rubber(cam camera) rubber {
	in := r3.Sub(s.block.Max, s.block.Min)
	longest := min(in.X/math.Abs(cam.toward.X), in.Y/math.Abs(cam.toward.Y), in.Z/math.Abs(cam.toward.Z))
	return rubber{
		cam: cam, block: s.block, density: throughFull / longest,
		plane: s.cut, has: s.hasCut, slant: r3.Dot(s.cut.n, cam.toward),
		faces: [3]tint{glass.mix(ink, 0.25), glass, chalk},
	}
}

// span is where a line of sight is inside the block: depths, and the axis of
// the face it enters by.
type span struct {
	in, out float64
	face    int
}

// span returns an empty span (in ≥ out) when the line misses the block.
func (r *rubber) span(from r3.Vec) span {
	s := span{in: math.Inf(-1), out: math.Inf(1)}
	for axis := range 3 {
		p, v := part(from, axis), part(r.cam.toward, axis)
		// The point at depth d is from − d·toward.
		a, b := (p-part(r.block.Max, axis))/v, (p-part(r.block.Min, axis))/v
		if a > b {
			a, b = b, a
		}
		if a > s.in {
			s.in, s.face = a, axis
		}
		s.out = math.Min(s.out, b)
	}
	return s
}

// over returns what is seen along the line of sight where solid, at depth d
// (infinite for the background), has the given colour.
func (r *rubber) over(from r3.Vec, solid tint, d float64) tint {
	s := r.span(from)
	if s.in >= s.out || d <= s.in {
		return solid
	}
	c, end, cover := solid, math.Min(d, s.out), 1.0
	if d < s.out {
		cover = solidShown
	}
	if r.has && math.Abs(r.slant) > 1e-6 {
		at := (r3.Dot(r.plane.n, from) - r.plane.at) / r.slant
		if at > s.in && at < end {
			c = r.through(c, cover*(end-at)).mix(blue, planeCover)
			end = at
		}
	}
	c = r.through(c, cover*(end-s.in))
	return c.mix(r.faces[s.face], cover*faceCover)
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
