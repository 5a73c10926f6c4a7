package mesh

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

// reachWays is how many directions of a plane are looked at.
const reachWays = 32

// ways returns reachWays unit vectors across up, evenly spread.
func ways(up r3.Vec) []r3.Vec {
	x, y := Frame(up)
	all := make([]r3.Vec, reachWays)
	for k := range all {
		sin, cos := math.Sincos(2 * math.Pi * float64(k) / reachWays)
		all[k] = r3.Add(r3.Scale(cos, x), r3.Scale(sin, y))
	}
	return all
}

// reaches returns how far the vertices with a height in [lo, hi] go from the
// origin in each direction, −∞ when there are none.
func (m *Mesh) reaches(directions []r3.Vec, height []float64, lo, hi float64) []float64 {
	n := 0
	for _, h := range height {
		if h >= lo && h <= hi {
			n++
		}
	}
	far := slices.Repeat([]float64{math.Inf(-1)}, len(directions))
	step, i := n/mostReaching+1, 0
	for v, h := range height {
		if h < lo || h > hi {
			continue
		}
		if i++; i%step > 0 {
			continue
		}
		for k, d := range directions {
			far[k] = max(far[k], dot(d, m.Vertices[v]))
		}
	}
	return far
}

// mostReaching is about how many corners tell an outline: of more, only a part is
// looked at, an edge or two from the rest.
const mostReaching = 40000

// beyond returns the share of directions in which one outline goes farther than
// another by a hundredth of its span.
func beyond(outline, other []float64) float64 {
	n, by := 0, span2(outline)/100
	for k := range outline {
		if outline[k] > other[k]+by {
			n++
		}
	}
	return float64(n) / float64(len(outline))
}

// span2 returns the largest width of an outline.
func span2(reach []float64) float64 {
	widest := 0.0
	for k := range reach {
		widest = max(widest, reach[k]+reach[(k+len(reach)/2)%len(reach)])
	}
	return widest
}

// centerOf returns the middle of the box along two of the directions.
func centerOf(reach []float64, directions []r3.Vec) r3.Vec {
	half, quarter := len(reach)/2, len(reach)/4
	return r3.Add(r3.Scale((reach[0]-reach[half])/2, directions[0]),
		r3.Scale((reach[quarter]-reach[quarter+half])/2, directions[quarter]))
}

// middleOfLoops returns the middle of the area within loops, and the area with its
// sign as LoopsArea gives it.
func middleOfLoops(loops []Loop, up r3.Vec) (middle r3.Vec, area float64) {
	if len(loops) == 0 {
		return r3.Vec{}, 0
	}
	o := loops[0].Points[0]
	var sum r3.Vec
	for _, l := range loops {
		for i, p := range l.Points {
			a, b := r3.Sub(p, o), r3.Sub(l.Points[(i+1)%len(l.Points)], o)
			d := dot(up, cross(a, b)) / 2
			area += d
			sum = r3.Add(sum, r3.Scale(d/3, r3.Add(a, b)))
		}
	}
	if area == 0 {
		return o, 0
	}
	return r3.Add(o, r3.Scale(1/area, sum)), area
}

// plinth says whether a plate belongs to what stands on it, given their middles
// and the outlines of the plate and of all above.
func plinth(plate, on r3.Vec, reach, shadow []float64, directions []r3.Vec) bool {
	span := span2(reach)
	centred, even := plinthCentred*span, plinthEven*span
	if span > plinthSpan*span2(shadow) {
		centred, even = turnedCentred*span, turnedEven*span
	}
	half := len(reach) / 2
	for k, d := range directions[:half] {
		at := dot(d, plate)
		other := reach[k+half] + at
		if math.Abs(dot(d, on)-at) > centred || math.Abs(reach[k]-at-other) > even ||
			math.Abs(shadow[k]-at-shadow[k+half]-at) > even {
			return false
		}
	}
	return true
}

// surrounds says whether nearly all of a section is within a rim, as seen along
// up.
func (s *stance) surrounds(rim []r3.Vec, on []Loop) bool {
	inside := 0
	points := thinned(on)
	for _, p := range points {
		if s.within(p, rim) {
			inside++
		}
	}
	return inside*50 >= len(points)*49
}

// within says whether a point is inside a ring, as seen along up.
func (s *stance) within(p r3.Vec, ring []r3.Vec) bool {
	x, y := Frame(s.up)
	in := false
	for i, a := range ring {
		b := r3.Sub(ring[(i+1)%len(ring)], p)
		a = r3.Sub(a, p)
		ay, by := dot(y, a), dot(y, b)
		if (ay > 0) != (by > 0) && dot(x, a)+ay/(ay-by)*(dot(x, b)-dot(x, a)) > 0 {
			in = !in
		}
	}
	return in
}

// mostCompared is about how many points of a line are held against others.
const mostCompared = 500

// thinned returns points spread over some loops.
func thinned(loops []Loop) []r3.Vec {
	n := 0
	for _, l := range loops {
		n += len(l.Points)
	}
	var points []r3.Vec
	i := 0
	for _, l := range loops {
		for _, p := range l.Points {
			if i%(n/mostCompared+1) == 0 {
				points = append(points, p)
			}
			i++
		}
	}
	return points
}

// evenBrim says whether a rim is equally far from the part everywhere.
func (s *stance) evenBrim(rim []r3.Vec, on []Loop) bool {
	part := thinned(on)
	var far []float64
	for _, p := range thinned([]Loop{{Points: rim}}) {
		least := math.Inf(1)
		for _, q := range part {
			d := r3.Sub(p, q)
			d = r3.Sub(d, r3.Scale(dot(s.up, d), s.up))
			least = min(least, dot(d, d))
		}
		far = append(far, math.Sqrt(least))
	}
	slices.Sort(far)
	n := len(far)
	return far[n*9/10] < brimEven*far[n/10]
}
