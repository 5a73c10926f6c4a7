package mesh

import (
	"fmt"
	"math"
	"strconv"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh/large"
)

// weldRounded joins vertices whose coordinates round to the same float32, as
// seen from roundingOrigin: the first of them stays, with the coordinates that
// it has. faces are renumbered in place.
func weldRounded(vertices []r3.Vec, faces [][3]int32) []r3.Vec {
	origin := roundingOrigin(BoundsOf(vertices))
	index, to := newKeyIndex(len(vertices)), large.Make[int32](len(vertices))
	var keys [batch]key
	for i := 0; i < len(vertices); i += batch {
		end := min(i+batch, len(vertices))
		for j, p := range vertices[i:end] {
			p = r3.Sub(p, origin)
			keys[j] = cornerKey(bits32(p.X), bits32(p.Y), bits32(p.Z))
		}
		index.numberAll(keys[:end-i], to[i:end])
	}
	if len(index.keys) == len(vertices) {
		return vertices
	}
	kept := int32(0)
	for i, v := range to {
		if v == kept {
			vertices[kept] = vertices[i]
			kept++
		}
	}
	inParts(len(faces), func(_, lo, hi int) {
		for f, t := range faces[lo:hi] {
			faces[lo+f] = [3]int32{to[t[0]], to[t[1]], to[t[2]]}
		}
	})
	return vertices[:kept]
}

func bits32(x float64) uint32 { return math.Float32bits(float32(x)) }

// finestStep is how coarse float32 may be in a scan, as a share of its longest
// side, before coordinates are rounded as seen from its middle.
const finestStep = 1e-5

// roundingOrigin returns where to round coordinates from: the origin, or the
// middle of a box that lies so far away that float32 would be coarse.
func roundingOrigin(b r3.Box) r3.Vec {
	if step32(b) <= finestStep*longestSide(b) {
		return r3.Vec{}
	}
	return r3.Scale(0.5, r3.Add(b.Min, b.Max))
}

// step32 returns the step from one float32 to the next at the farthest
// coordinate of a box.
func step32(b r3.Box) float64 {
	far := float32(0)
	for _, x := range [6]float64{b.Min.X, b.Min.Y, b.Min.Z, b.Max.X, b.Max.Y, b.Max.Z} {
		far = max(far, float32(math.Abs(x)))
	}
	return float64(far) - float64(math.Nextafter32(far, 0))
}

func longestSide(b r3.Box) float64 {
	size := r3.Sub(b.Max, b.Min)
	return max(size.X, size.Y, size.Z)
}

// coarseStep is how coarse float32 may be in a scan, as a share of its longest
// side, before the maker is told.
const coarseStep = 1e-4

// farNote tells of a scan whose file has rounded it too much, being far from the
// origin; it is empty for others.
func farNote(m *Mesh) string {
	b := m.Bounds()
	step := step32(b)
	if step <= coarseStep*longestSide(b) {
		return ""
	}
	for _, p := range m.Vertices {
		if p != (r3.Vec{X: float64(float32(p.X)), Y: float64(float32(p.Y)), Z: float64(float32(p.Z))}) {
			return ""
		}
	}
	away := r3.Norm(r3.Scale(0.5, r3.Add(b.Min, b.Max)))
	return fmt.Sprintf("the scan lies %s units from the origin, where its numbers are good to %s units only: move it to the origin before export",
		twoDigits(away), twoDigits(step))
}

// twoDigits writes a number to two digits.
func twoDigits(x float64) string {
	rounded, _ := strconv.ParseFloat(strconv.FormatFloat(x, 'g', 2, 64), 64)
	return fmt.Sprint(rounded)
}
