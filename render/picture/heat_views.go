package picture

import (
	"context"
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// heatCorners are two views, the second from the other side of the pattern; of
// two such pairs the one is taken that sees what matters less edge-on.
func (s *heatScene) heatCorners(weight func(score float64) float64) (cams [2]camera, names [2]string) {
	const turn, rise = 35, 25
	pair := func(turn float64) [2]camera { return [2]camera{lookFrom(turn, rise), lookFrom(turn+180, -rise)} }
	right, left := pair(turn), pair(-turn)
	if s.shown(left[0], weight) > 1.02*s.shown(right[0], weight) {
		return left, [2]string{"From the front, left and above", "From behind, right and below"}
	}
	return right, [2]string{"From the front, right and above", "From behind, left and below"}
}

// shown is how much of the surface is turned to a view or its opposite: the area
// drawn, weighted.
func (s *heatScene) shown(cam camera, weight func(score float64) float64) (sum float64) {
	for f, t := range s.scan.Faces {
		score := float64(s.score[t[0]]+s.score[t[1]]+s.score[t[2]]) / 3
		if !math.IsNaN(score) {
			sum += weight(score) * math.Abs(r3.Dot(s.scan.DoubleAreaNormal(f), cam.toward))
		}
	}
	return sum
}

// drawViews draws the pattern in both views.
func (s *heatScene) drawViews(ctx context.Context, d *drawnHeat) error {
	bodies := heatBodies(s.scan, s.score, d.page.scale)
	if s.spout.stem > 0 && s.spout.radius > 0 {
		r := rod{foot: r3.Sub(s.spout.middle, r3.Vec{Z: s.spout.stem}), top: s.spout.middle, radius: s.spout.radius}
		bodies = append(bodies, shaded(cylinder(r), lamp))
	}
	for i, cam := range s.cams {
		v := &d.views[i]
		v.name, v.room = s.names[i], d.page.views[i]
		cam.scale = d.page.scale
		cam.origin = v.room.middle().minus(s.seen[i].middle().times(cam.scale))
		v.cam = cam
		v.solid = s.roomFor(v, s.seen[i])
		if err := v.solid.drawBodies(ctx, bodies, cam, s.size); err != nil {
			return err
		}
		d.canvas.lay(v.solid)
		d.canvas.drawHeatMarks(s, v)
		d.canvas.text(heading, shade, v.room.X0, v.room.Y0-14, d.canvas.letters.fit(heading, v.name, v.room.wide()))
	}
	return nil
}
