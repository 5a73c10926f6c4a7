// Package prop describes the invented hand props of a small theatre's play set
// in a lighthouse and its harbour, and scans them. One file is one prop; each
// stands on z = 0 of its own frame.
package prop

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
	"pourwright/samples/implicit"
)

// v is short for a point or a direction of a prop's own frame.
var v = implicit.V

// Region is a ball of the prop's own frame whose part of the surface is known
// to be carved, or known to be plain.
type Region struct {
	What     string
	At       r3.Vec
	RadiusMM float64
}

// Neck is the place where a prop is thinnest: a round cylinder about an axis
// through At.
type Neck struct {
	At         r3.Vec
	Axis       r3.Vec // unit
	DiameterMM float64
}

// Prop is a solid, what is known of it, and how its scan lies.
type Prop struct {
	File  string // of its scan
	Title string
	Solid implicit.Field
	Box   r3.Box // encloses the solid

	// LongestMM is the longest side of the tightest box about the solid, found
	// by a plain downhill search over turns from 40 starts.
	LongestMM     float64
	Detail, Plain []Region
	Neck          *Neck // nil: no neck worth naming

	VolumeMM3  float64 // of the solid, without the scan's noise
	VolumeFrom string

	EdgeMM float64   // about the shortest edge of its scan
	Pose   mesh.Pose // from the prop's own frame to the scan frame
}

// integrated is where volumes come from that have no closed form. Halving the
// cubes once more changes them by less than 3 parts in 10 000.
const integrated = "integral of the solid over cubes halved down to 0.25 mm"

// All returns the props in the order of the table in the README.
func All() []Prop {
	return []Prop{BelayingPin(), StormLantern(), SpeakingTrumpet(), GullCane(), TillerHandle()}
}

// The scanner: fineness of the lattice, rounds of evening and of rounding off
// creases, standard deviation of its noise, and the steps of its coordinates.
// The steps are far coarser than the last bits in which processors differ (one
// rounds a·b + c once, another twice), which therefore do not reach the file.
const (
	spacingPerEdge = 2 // of the lattice
	relaxRounds    = 6
	blurRounds     = 2
	noiseMM        = 0.025
	stepsPerMM     = 1e4
)

// Scan returns the surface of the prop as a hand scanner would see it: even
// triangles, a little noise, the scanner's frame.
func (p Prop) Scan() *mesh.Mesh {
	m := implicit.Surface(p.Solid, p.Box, spacingPerEdge*p.EdgeMM)
	m = implicit.Coarsened(m, p.EdgeMM)
	m = implicit.Relaxed(m, p.Solid, p.EdgeMM, relaxRounds)
	m = implicit.Blurred(m, blurRounds)
	m = implicit.Noisy(m, p.Solid, noiseMM, uint64(len(p.File)))
	m = m.Posed(p.Pose)
	for i, v := range m.Vertices {
		m.Vertices[i] = implicit.V(stepped(v.X), stepped(v.Y), stepped(v.Z))
	}
	return m
}

func stepped(x float64) float64 { return math.Round(x*stepsPerMM) / stepsPerMM }

// turned returns the pose of the rotation by the quaternion (w, x, y, z),
// which need not be of unit length, and then the shift t.
func turned(w, x, y, z float64, t r3.Vec) mesh.Pose {
	n := w*w + x*x + y*y + z*z
	row := func(a, b, c float64) r3.Vec { return implicit.V(a/n, b/n, c/n) }
	return mesh.Pose{
		Rows: [3]r3.Vec{
			row(w*w+x*x-y*y-z*z, 2*(x*y-w*z), 2*(x*z+w*y)),
			row(2*(x*y+w*z), w*w-x*x+y*y-z*z, 2*(y*z-w*x)),
			row(2*(x*z-w*y), 2*(y*z+w*x), w*w-x*x-y*y+z*z),
		},
		T: t,
	}
}

func box(x0, y0, z0, x1, y1, z1 float64) r3.Box {
	return r3.Box{Min: implicit.V(x0, y0, z0), Max: implicit.V(x1, y1, z1)}
}
