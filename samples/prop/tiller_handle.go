package prop

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/samples/implicit"
)

// tillerCurve is the middle line of the tiller from its butt to the knob.
func tillerCurve() implicit.Curve {
	return implicit.Bezier(v(0, 0, 0), v(0, 0, 170), v(62, 0, 190), v(52, 0, 375), 48)
}

// tillerBlank is the bent and shaved blank: a squared butt for the rudder
// head, tapering to a round grip with plaited bands at both ends.
func tillerBlank(curve implicit.Curve) implicit.Field {
	return func(p r3.Vec) float64 {
		at := curve.Locate(p)
		round := implicit.Step(at.S, 78, 108)
		x, y := at.In/tillerHalf(at.S, 20), at.Across/tillerHalf(at.S, 16)
		x2, y2 := x*x, y*y
		off := math.Sqrt(x2 + y2)
		squared := math.Sqrt(math.Sqrt(math.Sqrt(x2*x2*x2*x2 + y2*y2*y2*y2)))
		off = squared + (off-squared)*round
		return (off - 1) * tillerHalf(at.S, 16) * 0.95
	}
}

// tillerHalf is the half width at arc length s of a blank that starts at butt.
func tillerHalf(s, butt float64) float64 {
	shaft := butt + (15.5-butt)*implicit.Step(s, 60, 125)
	return shaft - 3*implicit.Step(s, 120, 240) + 2.2*implicit.Window(s, 285, 345, 45)
}

// Places along the tiller, by arc length.
const (
	gripFrom, gripTo = 258., 352. // rope service
	bandHalf         = 11.        // half width of a plaited band
	bandBights       = 3.
	bandGirth        = 90. // about, of the wood under it
	turnMM           = 7.  // one turn of the service
)

// carveTiller is rope-work cut into the wood: a service of turns on the grip
// and a plaited band at either end of it.
func carveTiller(at implicit.Along) float64 {
	service := twisted(13*at.Turn(), at.S/turnMM+at.Turn()) * implicit.Window(at.S, gripFrom, gripTo, 1)
	height := 1.7 * service
	for _, middle := range []float64{gripFrom - bandHalf, gripTo + bandHalf} {
		along := at.S - middle
		if math.Abs(along) < bandHalf {
			height += 2.8 * turksHead(bandBights, at.Turn(), along, bandHalf, bandGirth)
		}
	}
	return height
}

// TillerHandle is the boat's tiller from the rescue scene.
func TillerHandle() Prop {
	curve := tillerCurve()
	end := curve.Length()
	blank := implicit.Carved(tillerBlank(curve), 3.5, func(p r3.Vec) float64 { return carveTiller(curve.Locate(p)) })
	ends := func(p r3.Vec) float64 {
		s := curve.Locate(p).S
		return max(-s, s-end)
	}
	knob := implicit.Ellipsoid(curve.At(end+10), v(17, 17, 17))
	bolt := implicit.Rod(v(1, -40, 34), v(1, 40, 34), 5.5, 5.5)
	body := implicit.Cut(1, implicit.Both(3, blank, ends), bolt)
	at := func(s float64) r3.Vec { return curve.At(s) }
	return Prop{
		File:      "tiller-handle.stl",
		Title:     "tiller handle with carved rope-work",
		Solid:     implicit.Union(3, body, knob),
		Box:       box(-24, -24, -3, 80, 24, 412),
		LongestMM: 407.8,
		Detail: []Region{
			{"rope service on the grip", at((gripFrom + gripTo) / 2), 45},
			{"plaited band below the grip", at(gripFrom - bandHalf), 15},
			{"plaited band above the grip", at(gripTo + bandHalf), 15},
		},
		Plain:      []Region{{"bend of the shaft", at(180), 48}},
		VolumeMM3:  332700,
		VolumeFrom: integrated,
		EdgeMM:     0.78,
		Pose:       turned(6, -1, 4, 5, v(301.6, 57.2, 129.8)),
	}
}
