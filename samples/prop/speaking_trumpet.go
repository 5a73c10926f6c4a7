package prop

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/samples/implicit"
)

// trumpetProfile is the outside from the mouthpiece up to the rim of the bell,
// as if the bell were full.
func trumpetProfile() implicit.Profile {
	return implicit.Turned(9).
		Arc(19, 0, -3).Arc(24, 1, 2.6).Arc(23, 6, 1). // bowl and lip of the mouthpiece
		Arc(12, 24, -5).
		To(13.5, 24).Arc(13.5, 30, 2.4).To(12.5, 30).
		To(19, 128).To(20.5, 128).Arc(21, 137, 3).To(19.8, 137).
		To(28.5, 262).To(30, 262).Arc(30.7, 271, 3).To(29.2, 271).
		Arc(64, 385, -13). // flare
		Arc(64, 397, 6).   // rolled rim
		To(0, 397)
}

// boreProfile is the hollow of the bell. It is stopped: a cast prop is a cup,
// not a pipe.
func boreProfile() implicit.Profile {
	return implicit.Turned(244).
		Arc(22, 262, 6).To(24.5, 276).
		Arc(58.8, 385, -12).To(60.5, 400).
		To(0, 400)
}

// engraveTrumpet is a rope moulding on the rim and the bands, and rolling
// waves on the flare.
func engraveTrumpet(p r3.Vec) float64 {
	turn := math.Atan2(p.Y, p.X) / (2 * math.Pi)
	rim := wave(44*turn+p.Z/9) * implicit.Window(p.Z, 386, 396, 1.5)
	bands := wave(16*turn+p.Z/9) * implicit.Window(p.Z, 129, 136, 1)
	bands += wave(24*turn+p.Z/9) * implicit.Window(p.Z, 263, 270, 1)
	return 0.8*rim + 0.6*bands + 0.7*sea(turn, p.Z)
}

// sea is rows of waves, each a ridge that runs up and falls steeply.
func sea(turn, z float64) float64 {
	crest := z + 2.6*wave(9*turn+0.13*wave(9*turn))
	return wave(crest/9) * implicit.Window(z, 294, 338, 3)
}

// SpeakingTrumpet is a brass horn to hail a ship with; its bell is a deep cup.
func SpeakingTrumpet() Prop {
	horn := implicit.Carved(implicit.Revolved(trumpetProfile()), 1.5, engraveTrumpet)
	eye := implicit.Ring(v(33.5, 0, 133), v(0, 1, 0), 11, 2.8)
	lug := implicit.Rod(v(19, 0, 133), v(24.5, 0, 133), 5.5, 3.2)
	return Prop{
		File:      "speaking-trumpet.stl",
		Title:     "speaking trumpet, engraved brass",
		Solid:     implicit.Cut(1.5, implicit.Union(2, horn, implicit.Union(1, lug, eye)), implicit.Revolved(boreProfile())),
		Box:       box(-74, -74, -3, 74, 74, 402),
		LongestMM: 399.2,
		Detail: []Region{
			{"engraved waves on the flare", v(0, 0, 314), 40},
			{"rope moulding on the rim", v(68, 0, 391), 8},
			{"carrying ring", v(34, 0, 133), 14},
		},
		Plain: []Region{
			{"cone below the ring", v(0, 0, 78), 42},
			{"cone above the ring", v(0, 0, 200), 50},
		},
		VolumeMM3:  506405,
		VolumeFrom: integrated,
		EdgeMM:     1.2,
		Pose:       turned(2, -5, 3, 6, v(-240.5, 88.1, 41.3)),
	}
}
