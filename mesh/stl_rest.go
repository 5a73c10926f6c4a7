package mesh

import "gonum.org/v1/gonum/spatial/r3"

const (
	// restLooked is how many triangles after the last that the header counts are
	// looked at, spread over what is left of the file.
	restLooked = 256
	// restReach is how far from the triangles read they may be to go on with them,
	// as a multiple of these triangles' size: any bytes, taken for numbers, are
	// hardly ever that near.
	restReach = 10
)

// checkRest refuses a file that goes on with triangles, or with a second file,
// after the last triangle that its header counts: part of the scan would be
// missing.
func (s scanFile) checkRest(m *Mesh, counted int64) error {
	from := binarySize(counted)
	if more := (s.size - from) / triangleSize; more > 0 && s.goesOn(m, from, more) {
		return s.fail("export the scan again, or open it in a mesh program, see that all of it is there, and save it",
			"says %s, but has %d more of the same scan after them: the count at its head is wrong", plural(int(counted), "triangle", "triangles"), more)
	}
	head := make([]byte, headerSize)
	if n, _ := s.ReadAt(head, from); n == len(head) && triangleCount(head) > 0 && binarySize(triangleCount(head)) == s.size-from {
		return s.fail("save each part in a file of its own, or join them in a mesh program",
			"is two STL files in one: %d triangles, then another file with %d", counted, triangleCount(head))
	}
	return nil
}

// goesOn says whether what follows the triangles read is triangles, too: each with
// three places of its own, near what was read.
func (s scanFile) goesOn(m *Mesh, from, more int64) bool {
	b := m.Bounds()
	middle, reach := r3.Scale(0.5, r3.Add(b.Min, b.Max)), restReach*longestSide(b)
	looked := min(more, restLooked)
	for i := range looked {
		var t [triangleSize]byte
		if n, _ := s.ReadAt(t[:], from+i*more/looked*triangleSize); n < len(t) {
			return false
		}
		var corners [3]cornerBits
		if !decodeCorners((*[36]byte)(t[normalSize:]), &corners) || corners[0] == corners[1] || corners[1] == corners[2] || corners[2] == corners[0] {
			return false
		}
		for k := range corners {
			if farthest(r3.Sub(corners[k].vec(), middle)) > reach {
				return false
			}
		}
	}
	return true
}
