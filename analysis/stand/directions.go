package stand

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
)

const (
	sphereDirections = 600
	facetAngleDeg    = 3    // hull facets this close are one flat
	leastFacetShare  = 2e-4 // of the hull's area
	mostFacets       = 200
)

// sphere returns unit vectors to try as down: an even spiral over the sphere in
// the solid's own inertia frame, so that a turned scan gets the same plan.
func sphere(s *mesh.Solid, measures mesh.Measures) []r3.Vec {
	frame := inertiaFrame(s, measures)
	ds := make([]r3.Vec, sphereDirections)
	golden := math.Pi * (3 - math.Sqrt(5))
	for i := range ds {
		z := 1 - (2*float64(i)+1)/sphereDirections
		r := math.Sqrt(1 - z*z)
		sin, cos := math.Sincos(golden * float64(i))
		ds[i] = combine(frame, r3.Vec{X: r * cos, Y: r * sin, Z: z})
	}
	return ds
}

// inertiaFrame returns the principal axes, smallest moment first, each pointing
// to the side where the surface reaches farther by its third moment.
func inertiaFrame(s *mesh.Solid, measures mesh.Measures) [3]r3.Vec {
	var axes mat.EigenSym
	in := measures.Inertia
	if !axes.Factorize(mat.NewSymDense(3, slices.Concat(in[0][:], in[1][:], in[2][:])), true) {
		return [3]r3.Vec{{X: 1}, {Y: 1}, {Z: 1}}
	}
	var v mat.Dense
	axes.VectorsTo(&v)
	var frame [3]r3.Vec
	for i := range 2 {
		axis := r3.Vec{X: v.At(0, i), Y: v.At(1, i), Z: v.At(2, i)}
		if thirdMoment(s, measures.Centroid, axis) < 0 {
			axis = r3.Scale(-1, axis)
		}
		frame[i] = axis
	}
	frame[2] = r3.Cross(frame[0], frame[1])
	return frame
}

// thirdMoment sums area·(distance along axis)³ over the faces' middles.
func thirdMoment(s *mesh.Solid, centre, axis r3.Vec) float64 {
	sum := 0.0
	for f := range s.Faces {
		a, b, c := s.Corners(f)
		d := (r3.Dot(axis, a)+r3.Dot(axis, b)+r3.Dot(axis, c))/3 - r3.Dot(axis, centre)
		sum += r3.Norm(s.DoubleAreaNormal(f)) * d * d * d
	}
	return sum
}

func combine(frame [3]r3.Vec, p r3.Vec) r3.Vec {
	return r3.Unit(r3.Add(r3.Add(r3.Scale(p.X, frame[0]), r3.Scale(p.Y, frame[1])), r3.Scale(p.Z, frame[2])))
}

// hullFlats returns the outward normals of the hull's flats, largest first: among
// them are all the ways the solid rests on a table.
// Facets of a scanned flat differ a little, so near ones are taken together.
func hullFlats(s *mesh.Solid) []r3.Vec {
	hull, err := mesh.Hull(s.Vertices)
	if err != nil {
		return nil
	}
	normals := make([]r3.Vec, len(hull.Faces))
	total := 0.0
	for f := range normals {
		normals[f] = hull.DoubleAreaNormal(f)
		total += r3.Norm(normals[f])
	}
	slices.SortStableFunc(normals, func(a, b r3.Vec) int { return cmp.Compare(r3.Norm2(b), r3.Norm2(a)) })
	var flats []r3.Vec // sums of normals
	var long []float64 // their lengths
	near := math.Cos(facetAngleDeg * math.Pi / 180)
next:
	for _, n := range normals {
		own := r3.Norm(n)
		for i, sum := range flats {
			if r3.Dot(sum, n) >= near*long[i]*own {
				flats[i] = r3.Add(sum, n)
				long[i] = r3.Norm(flats[i])
				continue next
			}
		}
		flats, long = append(flats, n), append(long, own)
	}
	slices.SortStableFunc(flats, func(a, b r3.Vec) int { return cmp.Compare(r3.Norm2(b), r3.Norm2(a)) })
	for i, sum := range flats {
		if i == mostFacets || r3.Norm(sum) < leastFacetShare*total {
			return flats[:i]
		}
		flats[i] = r3.Unit(sum)
	}
	return flats
}
