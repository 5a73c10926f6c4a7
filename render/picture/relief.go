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
	reaches := []struct{ px, weight float64 }{{2.5, 0.30}, {8, 0.30}, {0.045 * size * cam.scale, 0.40}}
	eachPart(high, func(y int) {
		for x := range wide {
			raw[y*wide+x] = 1
			d := o.pixel(x, y)
			if d == nothing {
				continue
			}
			dark := 0.0
			for _, r := range reaches {
				dark += r.weight * o.hollow(x, y, d, r.px, r.px/cam.scale)
			}
			raw[y*wide+x] = float32(min(max(1-1.1*dark, 0.35), 1.12))
		}
	})
	return smoothed(raw, wide, high)
}

// hollow looks around a pixel at one distance, given in px and in mm.
func (o *opaque) hollow(x, y int, d float32, px, mm float64) float64 {
	const pairs = 6
	var sum float64
	for i := range pairs {
		sin, cos := math.Sincos(math.Pi * (float64(i) + 0.25) / pairs)
		dx, dy := int(math.Round(px*cos)), int(math.Round(px*sin))
		a, b := o.pixel(x+dx, y+dy), o.pixel(x-dx, y-dy)
		if a == nothing || b == nothing {
			continue
		}
		limit := 1.5 * mm
		da, db := float64(d-a), float64(d-b)
		if da < -2*limit || db < -2*limit { // past a contour
			continue
		}
		sum += min(max(0.5*(min(da, 2*limit)+min(db, 2*limit))/mm, -0.25), 1)
	}
	return sum / pairs
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
