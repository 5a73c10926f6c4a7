package prop

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/samples/implicit"
)

// lanternProfile is the turned body: oil fount, gallery, globe, chimney, cap.
func lanternProfile() implicit.Profile {
	return implicit.Turned(0).
		To(43, 0).Arc(43, 7, 2).To(41, 8).
		To(41, 36).Arc(27, 50, 4.5).To(26, 56).                 // fount
		To(34, 58).To(35, 60).To(35, 63).To(34, 65).To(30, 65). // gallery
		Arc(30, 140, 6).                                        // globe
		To(32, 141).To(33, 143).To(33, 147).To(32, 149).
		To(24, 150).To(22, 166). // chimney
		To(36, 170).Arc(36, 174, 1.6).Arc(11, 193, 6).
		Arc(11, 198, 1.8).Arc(0, 202, 1.5)
}

// lanternTubes are the two side tubes that carry warm air down to the fount
// and make the frame to carry the lantern by.
func lanternTubes() implicit.Field {
	tube := implicit.Chain(
		implicit.Knot{At: v(38, 0, 30), Radius: 5}, implicit.Knot{At: v(54, 0, 44), Radius: 5},
		implicit.Knot{At: v(57, 0, 60), Radius: 5}, implicit.Knot{At: v(57, 0, 140), Radius: 5},
		implicit.Knot{At: v(53, 0, 158), Radius: 5}, implicit.Knot{At: v(34, 0, 174), Radius: 5})
	return func(p r3.Vec) float64 { return tube(v(math.Abs(p.X), p.Y, p.Z)) }
}

// lanternCage is six ribs that bow round the globe and two hoops about them.
func lanternCage() implicit.Field {
	rib := implicit.Chain(
		implicit.Knot{At: v(31, 0, 61), Radius: 2.6}, implicit.Knot{At: v(34.8, 0, 80), Radius: 2.6},
		implicit.Knot{At: v(36.4, 0, 102.5), Radius: 2.6}, implicit.Knot{At: v(34.8, 0, 125), Radius: 2.6},
		implicit.Knot{At: v(31, 0, 144), Radius: 2.6})
	ribs := implicit.Repeated(6, rib)
	axis := v(0, 0, 1)
	return implicit.Union(1, ribs,
		implicit.Ring(v(0, 0, 83), axis, 35.6, 2.2), implicit.Ring(v(0, 0, 122), axis, 35.6, 2.2))
}

// lanternTrim is the filler cap, the rivets and the ring on top.
func lanternTrim() implicit.Field {
	filler := implicit.Union(1,
		implicit.Rod(v(0, 27, 38), v(0, 36, 49), 8, 8),
		implicit.Rod(v(0, 37, 50), v(0, 38.5, 52), 9.5, 8.5))
	galleryRivets := implicit.Repeated(18, implicit.Ball(v(34.6, 0, 61.5), 1.9))
	capRivets := implicit.Repeated(14, implicit.Ball(v(31, 0, 179.5), 2.3))
	ring := implicit.Union(2,
		implicit.Rod(v(0, -3, 200), v(0, 3, 200), 5, 5),
		implicit.Ring(v(0, 0, 216), v(0, 1, 0), 14.5, 3))
	return implicit.Union(0.6, filler, galleryRivets, capRivets, ring)
}

// anchor is a foul-free anchor embossed on the front of the fount: the height
// (0 to 1) at x across and z up from its middle,
// drawn 25 high.
func anchor(x, z float64) float64 {
	flat := func(x, z float64) r3.Vec { return v(math.Abs(x), 0, z) }
	p := flat(x, z)
	arm := math.Hypot(p.X, p.Z+1) - 8.5
	d := math.Abs(arm) - 1.4
	if p.Z > -3.5 {
		d = 9
	}
	parts := implicit.Union(0,
		implicit.Rod(v(0, 0, 7), v(0, 0, -9), 1.4, 1.6),          // shank
		implicit.Rod(v(0, 0, 4.5), v(6, 0, 4.5), 1.2, 1.2),       // stock
		implicit.Ring(v(0, 0, 9.3), v(0, 1, 0), 2.2, 0.9),        // ring
		implicit.Rod(v(7.6, 0, -5.5), v(9.4, 0, -1.2), 2.2, 0.3), // fluke
	)
	return 1 - implicit.Step(min(d, parts(p)), -0.2, 0.7)
}

// anchorScale is how many millimetres the anchor takes for one.
const anchorScale = 1.15

// carveLantern embosses the anchor, rings the filler with grip, and sinks the
// chimney's air holes.
func carveLantern(p r3.Vec) float64 {
	turn := math.Atan2(p.Y, p.X) / (2 * math.Pi)
	height := 0.0
	if p.Y < -30 && p.Z > 6 && p.Z < 38 {
		height += 1.7 * anchor(p.X/anchorScale, (p.Z-21)/anchorScale)
	}
	if p.Z > 150 && p.Z < 167 {
		hole := math.Hypot((phase(turn*12)-0.5)*11.6, p.Z-157.5)
		height -= 1.6 * (1 - implicit.Step(hole, 2.2, 3.2))
	}
	return height
}

// StormLantern is a keeper's lantern with a caged globe; the cage is one with
// the globe, as on any cast prop.
func StormLantern() Prop {
	body := implicit.Carved(implicit.Revolved(lanternProfile()), 2, carveLantern)
	return Prop{
		File:      "storm-lantern.stl",
		Title:     "storm lantern, riveted tin with a caged globe",
		Solid:     implicit.Union(0.8, body, lanternCage(), lanternTubes(), lanternTrim()),
		Box:       box(-66, -52, -3, 66, 56, 237),
		LongestMM: 233.6,
		Detail: []Region{
			{"anchor on the fount", v(0, -41, 20.5), 12},
			{"air holes of the chimney", v(0, 0, 158), 24},
			{"rivets of the gallery", v(0, 0, 61.5), 36},
			{"rivets of the cap", v(0, 0, 179), 33},
		},
		Plain: []Region{
			{"floor", v(0, 0, 0), 36},
			{"a pane between ribs and hoops", v(31.2, 18, 102.5), 11},
		},
		VolumeMM3:  769970,
		VolumeFrom: integrated,
		EdgeMM:     0.96,
		Pose:       turned(5, 2, 6, -3, v(18.9, 402.6, -77.3)),
	}
}
