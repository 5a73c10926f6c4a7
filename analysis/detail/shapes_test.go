package detail

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
	"pourwright/samples/implicit"
)

// shape is a solid with detail of about the default radius, and plain surface.
type shape struct {
	name  string
	solid implicit.Field
	box   r3.Box
}

// scanned is the shape's surface with about so many faces, all of one size.
func (s shape) scanned(faces int) *mesh.Mesh {
	area := implicit.Surface(s.solid, s.box, 1).Area()
	edge := math.Sqrt(area / float64(faces) * 4 / math.Sqrt(3)) // of equal triangles
	shortest := 0.66 * edge                                     // is about the mean less a third
	m := implicit.Coarsened(implicit.Surface(s.solid, s.box, 2*shortest), shortest)
	return implicit.Relaxed(m, s.solid, shortest, 6)
}

func v(x, y, z float64) r3.Vec { return r3.Vec{X: x, Y: y, Z: z} }

// shapes are a drum with rivets and a bead, a plate with a stamped ring and bars,
// and a grip with a wound rope.
func shapes() []shape {
	return []shape{
		{"riveted drum", rivetedDrum(), r3.Box{Min: v(-22, -22, -2), Max: v(22, 22, 34)}},
		{"stamped plate", stampedPlate(), r3.Box{Min: v(-30, -20, -2), Max: v(30, 20, 10)}},
		{"rope grip", ropeGrip(), r3.Box{Min: v(-16, -16, -2), Max: v(16, 16, 62)}},
	}
}

func rivetedDrum() implicit.Field {
	drum := implicit.Both(3, implicit.Rod(v(0, 0, -60), v(0, 0, 90), 18, 18),
		implicit.Both(3, implicit.Below(v(0, 0, 1), 32), implicit.Below(v(0, 0, -1), 0)))
	rivets := implicit.Repeated(12, implicit.Ball(v(17.6, 0, 9), 1.8))
	bead := implicit.Ring(v(0, 0, 24), v(0, 0, 1), 18, 1.1)
	return implicit.Union(0.5, drum, rivets, bead)
}

func stampedPlate() implicit.Field {
	plate := implicit.Both(2, implicit.Both(2, implicit.Below(v(1, 0, 0), 26), implicit.Below(v(-1, 0, 0), 26)),
		implicit.Both(2, implicit.Both(2, implicit.Below(v(0, 1, 0), 17), implicit.Below(v(0, -1, 0), 17)),
			implicit.Both(2, implicit.Below(v(0, 0, 1), 8), implicit.Below(v(0, 0, -1), 0))))
	mark := implicit.Union(0, implicit.Ring(v(-14, 0, 8), v(0, 0, 1), 6, 1), implicit.Rod(v(-2, -7, 8), v(-2, 7, 8), 1, 1),
		implicit.Rod(v(-2, 7, 8), v(4, -7, 8), 1, 1), implicit.Rod(v(4, -7, 8), v(4, 7, 8), 1, 1))
	return implicit.Cut(0.4, plate, mark)
}

func ropeGrip() implicit.Field {
	grip := implicit.Union(6, implicit.Rod(v(0, 0, 4), v(0, 0, 52), 10, 10), implicit.Ball(v(0, 0, 52), 8))
	return implicit.Carved(grip, 1.5, func(p r3.Vec) float64 {
		turn := math.Atan2(p.Y, p.X) / (2 * math.Pi)
		strand := math.Abs(math.Sin(math.Pi * (p.Z/5 + turn)))
		return 1.2 * math.Sqrt(strand) * implicit.Window(p.Z, 14, 34, 2)
	})
}
