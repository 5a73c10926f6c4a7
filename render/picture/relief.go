package picture

import "math"

// finish darkens hollows and draws the contours, from the depths alone.
func (o *opaque) finish(cam camera, size float64) {
	shade := o.hollows(cam, size)
	wide := o.width / grain
	step := float32(0.012 * size) // a drop that is a contour
	lines := make([]bool, len(o.depth))
	eachPart(o.height, func(y int) {
		for x := range o.width {
			lines[y*o.width+x] = o.contour(x, y, step)
		}
	})
	eachPart(o.height, func(y int) {
		for x := range o.width {
			i := y*o.width + x
			if o.depth[i] == nothing {
				continue
			}
			light := shade[(y/grain)*wide+x/grain]
			if lines[i] {
				light *= 0.42
			}
			for k, c := range o.colour[i] {
				o.colour[i][k] = level(float64(c) / 255 * float64(light))
			}
		}
	})
}

// contour tells whether the surface drops away within a pixel's width of a
// sample, more than its own slope explains.
func (o *opaque) contour(x, y int, step float32) bool {
	const reach = grain + 1
	d := o.depth[y*o.width+x]
	if d == nothing {
		return false
	}
	for _, by := range [4][2]int{{reach, 0}, {0, reach}, {-reach, 0}, {0, -reach}} {
		next := o.sample(x+by[0], y+by[1])
		if next == nothing {
			return true
		}
		slope := float32(0)
		if before := o.sample(x-by[0], y-by[1]); before != nothing {
			slope = max(d-before, 0)
		}
		if next-d > step+3*slope {
			return true
		}
	}
	return false
}

func (o *opaque) sample(x, y int) float32 {
	if x < 0 || y < 0 || x >= o.width || y >= o.height {
		return nothing
	}
	return o.depth[y*o.width+x]
}

// hollows returns for each pixel how much light reaches it, 0–1. A place is
// darkened by how far the surface on two opposite sides of it stands nearer to
// the viewer than itself, so that a slope alone casts no shade; ridges gain a
// little light. Three distances are looked at: engraving, folds, the whole.
func (o *opaque) hollows(cam camera, size float64) []float32 {
	wide, high := o.width/grain, o.height/grain
	raw := make([]float32, wide*high)
	rings := []struct {
		weight float64
		ring
	}{
		{0.30, newRing(2.5, cam)}, {0.30, newRing(8, cam)}, {0.40, newRing(0.045*size*cam.scale, cam)},
	}
	eachPart(high, func(y int) {
		for x := range wide {
			raw[y*wide+x] = 1
			d := o.pixel(x, y)
			if d == nothing {
				continue
			}
			dark := 0.0
			for _, r := range rings {
				dark += r.weight * o.hollow(x, y, d, r.ring)
			}
			raw[y*wide+x] = float32(min(max(1-1.1*dark, 0.35), 1.12))
		}
	})
	return smoothed(raw, wide, high)
}

const ringPairs = 6

// ring is half of the places at one distance around a pixel; the others lie
// opposite.
type ring struct {
	by [ringPairs][2]int
	mm float64
}

func newRing(px float64, cam camera) ring {
	r := ring{mm: px / cam.scale}
	for i := range r.by {
		sin, cos := math.Sincos(math.Pi * (float64(i) + 0.25) / ringPairs)
		r.by[i] = [2]int{int(math.Round(px * cos)), int(math.Round(px * sin))}
	}
	return r
}

// hollow is how much the surroundings at one distance shade a pixel.
func (o *opaque) hollow(x, y int, d float32, r ring) float64 {
	limit := 3 * r.mm // a larger drop is a contour
	var sum float64
	for _, by := range r.by {
		a, b := o.pixel(x+by[0], y+by[1]), o.pixel(x-by[0], y-by[1])
		if a == nothing || b == nothing {
			continue
		}
		da, db := float64(d-a), float64(d-b)
		if da < -limit || db < -limit {
			continue
		}
		sum += min(max(0.5*(min(da, limit)+min(db, limit))/r.mm, -0.25), 1)
	}
	return sum / ringPairs
}

// pixel is the depth at the middle of a pixel.
func (o *opaque) pixel(x, y int) float32 {
	return o.sample(x*grain+grain/2, y*grain+grain/2)
}

// smoothed is the mean over 3 × 3 pixels.
func smoothed(raw []float32, wide, high int) []float32 {
	out := make([]float32, len(raw))
	eachPart(high, func(y int) {
		for x := range wide {
			var sum, n float32
			for yy := max(y-1, 0); yy <= min(y+1, high-1); yy++ {
				for xx := max(x-1, 0); xx <= min(x+1, wide-1); xx++ {
					sum, n = sum+raw[yy*wide+xx], n+1
				}
			}
			out[y*wide+x] = sum / n
		}
	})
	return out
}
