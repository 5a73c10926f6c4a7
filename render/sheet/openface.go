package sheet

import (
	"math"
	"slices"
	"strings"

	"pourwright/analysis"
)

// open draws how the block is opened onto its cut face: land, key line, slit
// and hinge, all seen squarely onto the plane of the cut.
func (f *cutFace) open(p *analysis.Plan, w window) {
	c, on := p.Cut, onto(p.Cut.Normal)
	var keys strings.Builder
	for _, k := range c.KeyLines {
		keys.WriteString(trace(on(k.Points), w, k.Closed))
	}
	f.Keys = keys.String()
	var land strings.Builder
	for _, l := range c.Land {
		land.WriteString(trace(on(l.Points), w, l.Closed))
	}
	f.Land = land.String()
	if c.Slit.Full || !(c.SlitMM > 0) {
		return
	}
	f.Slit = trace(on(c.Slit.Path), w, false)
	if c.Hinge == nil || c.Hinge.Stop == nil || len(c.Hinge.Path) < 2 || len(c.Rim) < 3 {
		return
	}
	rim, stop := on(c.Rim), on(c.Hinge.Stop[:])
	foot := spoutInBox(p)
	foot[2] = 0
	way := cutWay(rim, on(c.Slit.Path), stop[1], on([][3]float64{foot})[0], on(c.Hinge.Path))
	f.Hatch, f.Opened, f.Stop = hatch(rim, w), trace(way, w, true), trace(stop, w, false)
}

// onto gives points in the plane's own coordinates, mm right and up.
func onto(normal [3]float64) func([][3]float64) [][2]float64 {
	right, up := planeAxes(normal)
	return func(points [][3]float64) [][2]float64 {
		all := make([][2]float64, len(points))
		for i, p := range points {
			all[i] = [2]float64{dot3(p, right), dot3(p, up)}
		}
		return all
	}
}

// trace is a line as an SVG path; empty of fewer than two points.
func trace(points [][2]float64, w window, closed bool) string {
	if len(points) < 2 {
		return ""
	}
	d := path([][][2]float64{points}, w)
	if !closed {
		d = strings.TrimSuffix(d, "Z")
	}
	return d
}

// cutWay is the polygon of the face that the knife opens: along the slit, out to
// where it stops, and along the rim to the spout, on the side that leaves the hinge
// out.
func cutWay(rim, slit [][2]float64, stop, spout [2]float64, hinge [][2]float64) [][2]float64 {
	from, to := besideRim(rim, stop), besideRim(rim, spout)
	ahead := slices.Concat(slit, [][2]float64{stop}, alongRim(rim, from, to), [][2]float64{spout})
	if inside(ahead, hinge[len(hinge)/2]) {
		back := alongRim(rim, to, from)
		slices.Reverse(back)
		return slices.Concat(slit, [][2]float64{stop}, back, [][2]float64{spout})
	}
	return ahead
}

// rimSpot is a place on the rim: the side that starts at corner side, and the
// share of it.
type rimSpot struct {
	side  int
	share float64
}

func besideRim(rim [][2]float64, p [2]float64) rimSpot {
	best, at := math.Inf(1), rimSpot{}
	for i, a := range rim {
		b := rim[(i+1)%len(rim)]
		dx, dy := b[0]-a[0], b[1]-a[1]
		t := 0.0
		if n := dx*dx + dy*dy; n > 0 {
			t = max(0, min(1, ((p[0]-a[0])*dx+(p[1]-a[1])*dy)/n))
		}
		if d := math.Hypot(a[0]+t*dx-p[0], a[1]+t*dy-p[1]); d < best {
			best, at = d, rimSpot{i, t}
		}
	}
	return at
}

// alongRim lists the corners passed from one spot to another, in their order.
func alongRim(rim [][2]float64, from, to rimSpot) [][2]float64 {
	var all [][2]float64
	for i := from.side; i != to.side || len(all) == 0 && from.share > to.share; {
		i = (i + 1) % len(rim)
		all = append(all, rim[i])
	}
	return all
}

// inside tells whether a point is in a polygon, by the crossings of a ray.
func inside(polygon [][2]float64, p [2]float64) bool {
	in := false
	for i, a := range polygon {
		b := polygon[(i+1)%len(polygon)]
		if (a[1] > p[1]) != (b[1] > p[1]) && p[0] < a[0]+(p[1]-a[1])/(b[1]-a[1])*(b[0]-a[0]) {
			in = !in
		}
	}
	return in
}

const hatchApart = 9 // of the lines of a hatch, on the drawing

// hatch fills a polygon with lines that rise to the right, as an SVG path.
func hatch(polygon [][2]float64, w window) string {
	step := hatchApart * math.Sqrt2 / w.perMM
	low, high := math.Inf(1), math.Inf(-1)
	for _, p := range polygon {
		low, high = math.Min(low, p[1]-p[0]), math.Max(high, p[1]-p[0])
	}
	var d strings.Builder
	for c := low + step/2; c < high; c += step {
		var at []float64 // x where y = x + c meets the rim
		for i, a := range polygon {
			b := polygon[(i+1)%len(polygon)]
			offA, offB := a[1]-a[0]-c, b[1]-b[0]-c
			if (offA > 0) != (offB > 0) {
				at = append(at, a[0]+offA/(offA-offB)*(b[0]-a[0]))
			}
		}
		slices.Sort(at)
		for i := 1; i < len(at); i += 2 {
			d.WriteString("M" + px(w.x(at[i-1])).String() + " " + px(w.y(at[i-1]+c)).String() +
				"L" + px(w.x(at[i])).String() + " " + px(w.y(at[i]+c)).String())
		}
	}
	return d.String()
}
