package airtrap

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
)

// Way is how air under the pattern is got rid of while rubber is poured.
type Way string

// The ways, in the order they are preferred.
const (
	BySeal  Way = "seal"            // its rim stands on the board: rubber never gets in
	ByTilt  Way = "tilt"            // the tilt that was found frees it
	ByBrush Way = "brush"           // shallow, and a brush gets there
	ByTube  Way = "fill_from_below" // a tube lets the air out of its top while rubber fills it from below
	ByDrill Way = "drill"           // a hole through the pattern lets the air out
	ByTurn  Way = "turn"            // nothing of this: mold it another way up
)

// What can be done by hand (common practice, no source), mm.
const (
	brushDepthMM = 10  // a coat of rubber fills a hollow up to this deep
	brushMM      = 5   // thickness of a brush
	tubeMM       = 6   // room that a thin tube needs
	drillMM      = 120 // longest hole drilled by hand
)

// Remedy is what to do about a trap of the rubber.
type Remedy struct {
	Way   Way
	Mouth r3.Vec  // ByTube: where the tube leaves the trap, under its rim
	Out   r3.Vec  // ByDrill: where the hole comes out
	Drill float64 // ByDrill: how long it is, mm
}

// Remedies says what to do about each trap of the rubber, in the stand frame.
// tilted tells which the tilt frees.
func Remedies(s *Surface, traps []Trap, tilted []bool) []Remedy {
	out := make([]Remedy, len(traps))
	if len(traps) == 0 {
		return out
	}
	r := remedies{mesh.NewTree(s.m), s.m.Bounds()}
	for i, t := range traps {
		out[i] = r.of(t, tilted[i])
	}
	return out
}

type remedies struct {
	tree   *mesh.Tree
	bounds r3.Box
}

func (r remedies) of(t Trap, tilted bool) Remedy {
	switch {
	case t.OnBoard():
		return Remedy{Way: BySeal}
	case tilted:
		return Remedy{Way: ByTilt}
	case t.PersistenceMM <= brushDepthMM && r.inSight(t.At):
		return Remedy{Way: ByBrush}
	}
	if t.Spill >= tubeMM && r.freeBelow(t.At, t.PersistenceMM+tubeMM) {
		return Remedy{Way: ByTube, Mouth: r3.Vec{X: t.At.X, Y: t.At.Y, Z: t.Spill - tubeMM/2}}
	}
	if hits := r.tree.Hits(r3.Add(t.At, r3.Vec{Z: aside}), r3.Vec{Z: 1}); len(hits) == 1 && hits[0].Distance <= drillMM {
		return Remedy{Way: ByDrill, Out: hits[0].Point, Drill: hits[0].Distance + aside}
	}
	return Remedy{Way: ByTurn}
}

// aside is how far off the surface a line of sight begins, mm.
const aside = 0.2

// freeBelow tells whether nothing is for some way straight below a point of the
// surface.
func (r remedies) freeBelow(at r3.Vec, mm float64) bool {
	hit, met := r.tree.First(r3.Sub(at, r3.Vec{Z: aside}), r3.Vec{Z: -1})
	return at.Z >= mm && (!met || hit.Distance+aside >= mm)
}

// sights is how many directions are looked along, evenly over the sphere.
const sights = 256

// inSight tells whether a straight brush gets to a point of a ceiling before the
// walls go up: a line from there to outside the upright box around the pattern
// misses pattern and board, and so does a brush held along it.
func (r remedies) inSight(at r3.Vec) bool {
	from := r3.Sub(at, r3.Vec{Z: aside})
	for k := range sights {
		z := 1 - (2*float64(k)+1)/sights
		sin, cos := math.Sincos(math.Pi * (3 - math.Sqrt(5)) * float64(k))
		flat := math.Sqrt(1 - z*z)
		d := r3.Vec{X: flat * cos, Y: flat * sin, Z: z}
		if from.Z+r.wayOut(from, d)*d.Z < 0 {
			continue
		}
		if _, met := r.tree.First(from, d); !met && r.brushFits(from, d) {
			return true
		}
	}
	return false
}

// brushFits tells whether the sides of a brush held along d from its tip, too,
// miss the pattern.
func (r remedies) brushFits(tip, d r3.Vec) bool {
	x, y := mesh.Frame(d)
	start := r3.Add(tip, r3.Scale(brushMM, d))
	for _, side := range [4]r3.Vec{x, y, r3.Scale(-1, x), r3.Scale(-1, y)} {
		if _, met := r.tree.First(r3.Add(start, r3.Scale(brushMM/2.0, side)), d); met {
			return false
		}
	}
	return true
}

// wayOut returns how far a line runs inside the upright box around the pattern.
func (r remedies) wayOut(p, d r3.Vec) float64 {
	out := math.Inf(1)
	for _, a := range [2][4]float64{{p.X, d.X, r.bounds.Min.X, r.bounds.Max.X}, {p.Y, d.Y, r.bounds.Min.Y, r.bounds.Max.Y}} {
		if a[1] > 0 {
			out = min(out, (a[3]-a[0])/a[1])
		} else if a[1] < 0 {
			out = min(out, (a[2]-a[0])/a[1])
		}
	}
	return max(0, out)
}
