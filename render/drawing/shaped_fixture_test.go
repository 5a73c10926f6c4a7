package drawing

import (
	"math"

	"pourwright/analysis"
)

// shapedMM is how much higher the clay of the made-up shaped bed is than at the spout:
// a saddle that is level at the spout end, and rises and falls with the distance from
// the spout's middle the more, the further the place is from that end.
func shapedMM(x, z float64) float64 { return 0.0025 * (x - 5) * z }

// shapedBed is buoyBed with such a bed through the middle of the ball.
func shapedBed(wide bool) *analysis.Plan {
	p := buoyBed(wide, false)
	in, t := p.Box.InsideMM, p.TwoPart
	at := func(x, z float64) [3]float64 { return [3]float64{x, -8 + shapedMM(x, z), z} }
	var right, left [][3]float64
	for k := range 161 {
		z := 20 + 80*float64(k)/160
		r := math.Sqrt(max(0, 1600-(z-60)*(z-60)) / (1 + 0.0025*0.0025*z*z))
		right, left = append(right, at(5+r, z)), append([][3]float64{at(5-r, z)}, left...)
	}
	c := &p.Cut
	c.Surface, c.Outline, c.Rim = "shaped", [][][3]float64{append(right, left...)}, shapedRim(in, at)
	c.OutlineMM = lengthOf(c.Outline[0])
	t.LowMM, t.HighMM = 47+shapedMM(-in[0]/2, in[2]), 47+shapedMM(in[0]/2, in[2])
	t.Line, t.Contours = lineOf(p), saddleContours(in, at)
	for i := range t.Keys {
		k := &t.Keys[i]
		k.AtMM = at(k.AtMM[0], k.AtMM[2])
	}
	return p
}

// shapedRim goes round the walls in steps.
func shapedRim(in [3]float64, at func(x, z float64) [3]float64) (rim [][3]float64) {
	const steps = 40
	corners := [5][2]float64{{-in[0] / 2, 0}, {in[0] / 2, 0}, {in[0] / 2, in[2]}, {-in[0] / 2, in[2]}, {-in[0] / 2, 0}}
	for i, a := range corners[:4] {
		b := corners[i+1]
		for k := range steps {
			s := float64(k) / steps
			rim = append(rim, at(a[0]+s*(b[0]-a[0]), a[1]+s*(b[1]-a[1])))
		}
	}
	// It may begin in the middle of a wall.
	return append(rim[10:], rim[:10]...)
}

// saddleContours are hyperbolas.
func saddleContours(in [3]float64, at func(x, z float64) [3]float64) (all []analysis.BedContour) {
	for h := 5.0; h < 110; h += 5 {
		var line analysis.CutLine
		for z := 1.0; z <= in[2]; z++ {
			if x := 5 + (h-47)/(0.0025*z); math.Abs(x) <= in[0]/2 {
				line.Points = append(line.Points, at(x, z))
			}
		}
		if len(line.Points) > 1 {
			all = append(all, analysis.BedContour{HeightMM: h, Lines: []analysis.CutLine{line}})
		}
	}
	return all
}

// lineOf tells the heights of the parting line about every 25 mm.
func lineOf(p *analysis.Plan) (all []analysis.BedPoint) {
	for i := 0; i < len(p.Cut.Outline[0]); i += 32 {
		q := analysis.BedPoint{AtMM: p.Cut.Outline[0][i]}
		q.FromSpoutMM, q.FromRightMM, q.HeightMM = p.TwoPart.Measured(q.AtMM, 1)
		all = append(all, q)
	}
	return all
}
