package drawing

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis"
)

// bell is the buoy's bell, a ball of 80 mm on a stem of 20 mm, in its block with a
// cut through both: n is the cut's normal, steps a profile along its right. Of a
// cut with a hinge the slit goes from the stem's right up to 60° above the ball's
// middle. All figures are worked out here on their own, from the ball and the box.
func bell(n [3]float64, steps []analysis.CutStep, hinge bool) *analysis.Plan {
	p := buoy()
	p.Stand.SpoutMM, p.Stand.StemMM = [3]float64{40, -12, 20}, 20
	b := newBell(n, steps)
	ball := b.arc(40, -90, 270)
	ball = ball[:len(ball)-1]
	c := analysis.Cut{PointMM: array(b.point), Normal: n, Style: "block", Surface: "plane", Steps: steps, LandMM: 5,
		Outline: [][][3]float64{ball}, OutlineMM: lengthOf(append(slices.Clone(ball), ball[0]))}
	if len(steps) > 0 {
		along := array(b.right)
		c.Surface, c.StepsAlong = "stepped", &along
	}
	c.Land = []analysis.CutLine{{Points: b.arc(45, -65, 245)}}
	c.Rim = b.rim()
	c.KeyLines = []analysis.KeyLine{b.keys()}
	b.knife(&c)
	c.Slit = analysis.Slit{Full: true, Because: ref("the part has a hole"), Path: b.arc(40, -68, 248)}
	if hinge {
		c.Slit = analysis.Slit{Path: append([][3]float64{array(b.at(15, 0)), array(b.at(15, 20))}, b.arc(40, -90, 60)...)}
		end := c.Slit.Path[len(c.Slit.Path)-1]
		c.Hinge = &analysis.Hinge{Path: append(b.arc(40, 60, 270), array(b.at(-15, 20)), array(b.at(-15, 0))), Stop: &[2][3]float64{end, array(b.at(90/math.Sqrt(3), 150))}}
		c.Hinge.LengthMM = lengthOf(c.Hinge.Path)
	}
	c.SlitMM = lengthOf(c.Slit.Path)
	p.Cut = c
	p.CastTrap = []analysis.Trap{{Vent: &analysis.Vent{Post: 1, DiameterMM: 4, BoardMM: [2]float64{60, 4},
		FromMM: [3]float64{60, 4, 0}, ToMM: [3]float64{40, 4, 35}}}}
	p.Cautions = []string{"Opening the block: fresh blade."}
	return p
}

// bellSheet is the sheet that the bell is cut along.
type bellSheet struct {
	point, normal, right, up r3.Vec
	steps                    []analysis.CutStep
}

func newBell(n [3]float64, steps []analysis.CutStep) bellSheet {
	normal := vec(n)
	flat := math.Hypot(n[0], n[1])
	right := r3.Vec{X: -n[1] / flat, Y: n[0] / flat}
	return bellSheet{r3.Vec{X: 10}, normal, right, r3.Cross(normal, right), steps}
}

// at is the place u to the right and v up from the foot of the stem's axis.
func (b bellSheet) at(u, v float64) r3.Vec {
	off := 0.0
	for i := 1; i < len(b.steps); i++ {
		s, e := b.steps[i-1], b.steps[i]
		if u > s.AtMM {
			off = s.OffsetMM + (e.OffsetMM-s.OffsetMM)*min(1, (u-s.AtMM)/(e.AtMM-s.AtMM))
		}
	}
	return r3.Add(b.point, r3.Add(r3.Scale(u, b.right), r3.Add(r3.Scale(v, b.up), r3.Scale(off, b.normal))))
}

// arc is a part of a circle about the ball's middle, degrees from the right up.
func (b bellSheet) arc(radius, from, to float64) [][3]float64 {
	var all [][3]float64
	for a := from; a <= to+1e-9; a += 0.5 {
		sin, cos := math.Sincos(a * math.Pi / 180)
		all = append(all, array(b.at(radius*cos, 60+radius*sin)))
	}
	return all
}

// keys is a line of four waves above the ball, 8 mm high, set off to both sides.
func (b bellSheet) keys() analysis.KeyLine {
	k := analysis.KeyLine{PitchMM: 45}
	depths := []float64{6, -3.6, 2, -4}
	for i, d := range depths {
		for j := range 24 {
			a := -0.4 + (math.Pi+0.8)*(float64(i)+float64(j)/24)/4
			rise := (1 - math.Cos(2*math.Pi*float64(j)/24)) / 2
			sin, cos := math.Sincos(a)
			r := 45.3 + 8*rise
			at := array(r3.Add(b.at(r*cos, 60+r*sin), r3.Scale(d*rise, b.normal)))
			k.Points = append(k.Points, at)
			if j == 12 {
				k.Waves = append(k.Waves, analysis.KeyWave{AtMM: at, AmplitudeMM: 8, DepthMM: d})
			}
		}
	}
	return k
}

// rim is where the sheet leaves the box of 212 × 134 × 150 mm. A plane cuts the box's
// edges; a stepped one runs along the box here.
func (b bellSheet) rim() [][3]float64 {
	if len(b.steps) > 0 {
		var lower, upper [][3]float64
		for u := 116.; u >= -96; u -= 2 {
			lower, upper = append(lower, array(b.at(u, 0))), append(upper, array(b.at(u, 150)))
		}
		slices.Reverse(lower)
		return append(lower, upper...)
	}
	var corners []r3.Vec
	for i := range 8 {
		corners = append(corners, r3.Vec{X: float64(i&1)*212 - 106, Y: float64(i>>1&1)*134 - 67, Z: float64(i>>2) * 150})
	}
	var all []r3.Vec
	for i, p := range corners {
		for _, bit := range []int{1, 2, 4} {
			q := corners[i|bit]
			h, k := r3.Dot(b.normal, r3.Sub(p, b.point)), r3.Dot(b.normal, r3.Sub(q, b.point))
			if (h < 0) != (k < 0) {
				all = append(all, r3.Add(p, r3.Scale(h/(h-k), r3.Sub(q, p))))
			}
		}
	}
	angle := func(p r3.Vec) float64 {
		d := r3.Sub(p, b.at(0, 60))
		return math.Atan2(r3.Dot(d, b.up), r3.Dot(d, b.right))
	}
	slices.SortFunc(all, func(p, q r3.Vec) int { return cmp.Compare(angle(p), angle(q)) })
	var rim [][3]float64
	for _, p := range all {
		rim = append(rim, array(p))
	}
	return rim
}

// knife puts a mark level with the ball's middle on both sides of the rim, of a plane,
// where it is upright and square to the box's walls.
func (b bellSheet) knife(c *analysis.Cut) {
	if len(b.steps) > 0 || b.normal.Z != 0 || b.normal.X != 0 {
		return
	}
	for _, x := range []float64{-106, 106} {
		reach := math.Abs(x - 10)
		c.Knife = append(c.Knife, analysis.KnifeMark{AtMM: [3]float64{x, 0, 60}, ToLandMM: reach - 45, ToPatternMM: reach - 40})
	}
}

func lengthOf(line [][3]float64) float64 {
	sum := 0.0
	for i := 1; i < len(line); i++ {
		sum += r3.Norm(r3.Sub(vec(line[i]), vec(line[i-1])))
	}
	return sum
}

// bells are the bell opened in every way.
func bells() map[string]*analysis.Plan {
	round, bent := bell([3]float64{0.6, -0.8, 0}, nil, false), bell([3]float64{0, 1, 0}, nil, true)
	roundIn(round)
	facetsIn(bent)
	return map[string]*analysis.Plan{
		"bell":          bell([3]float64{0, 1, 0}, nil, false),
		"bell, hinge":   bell([3]float64{0, 1, 0}, nil, true),
		"bell, back":    bell([3]float64{0, -1, 0}, nil, true),
		"bell, askew":   bell([3]float64{-0.8, 0.6, 0}, nil, false),
		"bell, leaning": bell([3]float64{0, 0.96, 0.28}, nil, false),
		"bell, stepped": bell([3]float64{0, 1, 0}, []analysis.CutStep{{AtMM: -60, OffsetMM: 0}, {AtMM: -20, OffsetMM: 18}, {AtMM: 5, OffsetMM: 18}, {AtMM: 35, OffsetMM: 0}}, false),
		"bell, tube":    round,
		"bell, faceted": bent,
	}
}

// roundIn puts the bell into a tube; an upright cut leaves it along two lines.
func roundIn(p *analysis.Plan) {
	t := tube()
	p.Box, p.Hold.Pins = t.Box, nil
	b := newBell(p.Cut.Normal, nil)
	// |point + u·right| = radius
	along, r := r3.Dot(b.point, b.right), *t.Box.RadiusMM
	half := math.Sqrt(along*along - r3.Norm2(b.point) + r*r)
	low, high := -along-half, -along+half
	p.Cut.Rim = [][3]float64{array(b.at(low, 0)), array(b.at(high, 0)), array(b.at(high, 150)), array(b.at(low, 150))}
}

// facetsIn puts the bell into a box of eight facets.
func facetsIn(p *analysis.Plan) {
	p.Box, p.Hold.Pins = faceted().Box, nil
	x := 0.0
	var rim []float64
	outline := p.Box.OutlineMM
	for i, a := range outline {
		b := outline[(i+1)%len(outline)]
		if (a[1] < 0) != (b[1] < 0) {
			x = a[0] - a[1]/(b[1]-a[1])*(b[0]-a[0])
			rim = append(rim, x)
		}
	}
	slices.Sort(rim)
	p.Cut.Rim = [][3]float64{{rim[0], 0, 0}, {rim[1], 0, 0}, {rim[1], 0, 150}, {rim[0], 0, 150}}
	p.Cut.Knife = nil
}
