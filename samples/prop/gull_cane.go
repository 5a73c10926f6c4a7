package prop

import (
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/samples/implicit"
)

// neckMM is the diameter of the cane's thin neck, a cylinder from z = 322 to
// z = 342.
const neckMM = 9

// caneProfile is what is turned: ferrule, shaft, collar, thin neck, and the
// foot of the head.
func caneProfile() implicit.Profile {
	return implicit.Turned(0).
		Arc(8.5, 2, 0.8).To(9.3, 3).To(9.3, 26).Arc(9.3, 30, 1.2).To(8.3, 30).
		To(10.4, 288).
		To(11.5, 288).Arc(11.5, 293, 1.8).To(13.5, 294).Arc(13.5, 306, 2.6).To(11.5, 307).
		Arc(11.5, 312, 1.8).To(10.5, 312).
		Arc(neckMM/2., 322, -1.6).To(neckMM/2., 342).Arc(9.5, 352, -1.3).
		To(10.5, 352).Arc(10.5, 357, 1.8).To(9.5, 357).
		Arc(0, 362, 1)
}

// gullSpine runs up the gull's own neck and over its crown to the forehead;
// feathers are laid along it.
func gullSpine() implicit.Curve {
	return implicit.Polyline(v(1, 0, 350), v(-3, 0, 366), v(-4, 0, 382), v(0, 0, 398), v(14, 0, 407))
}

// plumage is the gull's neck and head, without the beak.
func plumage() implicit.Field {
	neck := implicit.Chain(
		implicit.Knot{At: v(1, 0, 357), Radius: 10.5}, implicit.Knot{At: v(-3, 0, 370), Radius: 14},
		implicit.Knot{At: v(-3, 0, 386), Radius: 14.5}, implicit.Knot{At: v(3, 0, 398), Radius: 14.5})
	head := implicit.Ellipsoid(v(8, 0, 403), v(19.5, 15.5, 16))
	cheek := implicit.Ellipsoid(v(15, 0, 398), v(13, 13.5, 11))
	body := implicit.Union(8, neck, head, cheek)
	spine := gullSpine()
	return implicit.Carved(body, 1.4, func(p r3.Vec) float64 {
		at := spine.Locate(p)
		face := implicit.Step(p.X-0.35*(p.Z-398), 6, 11) * implicit.Step(p.Z, 383, 390)
		foot := implicit.Step(p.Z, 357, 360)
		return 1.3 * feathers(10*at.Turn(), at.S/8) * foot * (1 - face)
	})
}

// beak is a gull's: the upper half long and hooked over the lower, the lower
// with an angle under its tip, a line of mouth between and a nostril slit.
func beak() implicit.Field {
	upper := implicit.Chain(
		implicit.Knot{At: v(20, 0, 403), Radius: 7}, implicit.Knot{At: v(36, 0, 402), Radius: 4.8},
		implicit.Knot{At: v(50, 0, 400.5), Radius: 4}, implicit.Knot{At: v(58, 0, 397), Radius: 3},
		implicit.Knot{At: v(60.5, 0, 391.5), Radius: 1.6})
	lower := implicit.Chain(
		implicit.Knot{At: v(20, 0, 396.5), Radius: 5.6}, implicit.Knot{At: v(36, 0, 395.4), Radius: 3.7},
		implicit.Knot{At: v(47, 0, 393.6), Radius: 3.6}, implicit.Knot{At: v(54, 0, 394.4), Radius: 2.2})
	mouth := implicit.Chain(
		implicit.Knot{At: v(24, 7, 398.5), Radius: 0.9}, implicit.Knot{At: v(36, 4.9, 398.4), Radius: 0.9},
		implicit.Knot{At: v(47, 4.1, 396.9), Radius: 0.9}, implicit.Knot{At: v(55, 2.8, 395.4), Radius: 0.7})
	nostril := implicit.Rod(v(33, 5.3, 403.5), v(39, 4.7, 403), 1, 0.8)
	both := implicit.Union(1.2, upper, lower)
	return implicit.Cut(0.6, both, implicit.Mirrored(implicit.Union(0, mouth, nostril)))
}

// eyes are balls, each in a groove within a lid and under a brow.
func eyes(face implicit.Field) implicit.Field {
	at, out := v(17, 13.8, 406), r3.Unit(v(0.39, 0.9, 0.19))
	brow := implicit.Rod(v(7, 12.6, 412.6), v(20.5, 8.8, 411.6), 1.6, 1.6)
	lid := implicit.Ring(at, out, 5.9, 1)
	raised := implicit.Union(1.5, face, implicit.Mirrored(implicit.Union(1, brow, lid)))
	groove := implicit.Ring(at, out, 4.2, 1)
	ball := implicit.Ball(r3.Sub(at, r3.Scale(2.4, out)), 4)
	return implicit.Union(0.3, implicit.Cut(0.5, raised, implicit.Mirrored(groove)), implicit.Mirrored(ball))
}

// GullCane is the harbour master's cane, cut short for the stage; all of the
// head hangs on a thin neck.
func GullCane() Prop {
	shaft := implicit.Revolved(caneProfile())
	head := eyes(implicit.Union(3, plumage(), beak()))
	return Prop{
		File:      "gull-headed-cane.stl",
		Title:     "gull-headed cane with a thin neck",
		Solid:     implicit.Union(1, shaft, head),
		Box:       box(-24, -22, -3, 64, 22, 424),
		LongestMM: 417.7,
		Detail: []Region{
			{"eye and brow", v(17, 13, 406), 9},
			{"feathers of the neck", v(-16, 0, 378), 14},
			{"beak", v(48, 0, 398), 12},
			{"collar", v(0, 0, 300), 15},
		},
		Plain:      []Region{{"shaft", v(0, 0, 160), 115}},
		Neck:       &Neck{At: v(0, 0, 332), Axis: v(0, 0, 1), DiameterMM: neckMM},
		VolumeMM3:  154350,
		VolumeFrom: integrated,
		EdgeMM:     0.64,
		Pose:       turned(3, 6, 1, -5, v(-52.8, -131.4, 266.9)),
	}
}
