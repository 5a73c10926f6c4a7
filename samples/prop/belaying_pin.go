package prop

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/samples/implicit"
)

// pinProfile is the pin as it comes off the lathe.
func pinProfile() implicit.Profile {
	return implicit.Turned(0).
		Arc(8.5, 5, 2.2).To(12, 214). // tip and plain shaft
		To(13, 214).Arc(13, 221, 2.6).
		Arc(19.5, 231, -2.5).To(20.5, 232).To(20.5, 239).To(19.5, 240). // flange
		Arc(14, 250, -3).
		To(15, 250).Arc(15, 257, 2.6).To(14, 257).
		Arc(15.5, 345, 5.5). // grip
		To(14, 345).Arc(12.5, 351, -1.2).To(13.5, 351).Arc(13.5, 357, 2.4).To(12.5, 357).
		Arc(0, 390, 12.3) // knob
}

// carvePin is the carver's work: reeds winding up the grip, gadroons on the
// flange and a compass rose on the knob.
func carvePin(p r3.Vec) float64 {
	turn := math.Atan2(p.Y, p.X) / (2 * math.Pi)
	reeds := wave(12*turn+p.Z/60) * implicit.Window(p.Z, 266, 336, 6)
	gadroons := wave(26*turn) * implicit.Window(p.Z, 232, 239, 1.5)
	rose := star(8, math.Hypot(p.X, p.Y)/15, turn, 0.05) * implicit.Step(p.Z, 371, 374)
	return 0.9*reeds + 0.6*gadroons + 1.2*rose
}

// BelayingPin is a pin of turned hardwood, as lines are made fast to.
func BelayingPin() Prop {
	profile := pinProfile()
	return Prop{
		File:      "belaying-pin.stl",
		Title:     "belaying pin, turned and carved hardwood",
		Solid:     implicit.Carved(implicit.Revolved(profile), 1.5, carvePin),
		Box:       box(-24, -24, -3, 24, 24, 394),
		LongestMM: 391.5,
		Detail: []Region{
			{"reeded grip", v(0, 0, 301), 34},
			{"compass rose on the knob", v(0, 0, 389), 10},
			{"gadrooned flange", v(0, 0, 235.5), 21},
		},
		Plain:      []Region{{"shaft", v(0, 0, 110), 90}},
		VolumeMM3:  profile.Volume(),
		VolumeFrom: "closed form: frustums of the turned profile, before carving (which adds 0.2 %)",
		EdgeMM:     0.68,
		Pose:       turned(7, 3, -4, 2, v(112.4, -61.7, 305.2)),
	}
}
