package picture

import "math"

// skinPixels is how much of each pixel of the cavity is nearer to its wall than a
// skin is thick, px. What the lid closes is wall as well.
func (v *cutView) skinPixels(thick float64) []uint8 {
	solid := make([]bool, v.wide*v.high)
	for i := range solid {
		solid[i] = v.part[i] < 128 && v.rods[i] < 128
	}
	far := fromTrue(solid, v.wide, v.high)
	skin := make([]uint8, len(far))
	for i, d := range far {
		skin[i] = uint8(255 * min(max(thick-(d-0.5)+0.5, 0), 1)) // the wall is half a pixel before the middle of the nearest
	}
	return skin
}

// fromTrue is how far each pixel is from the nearest that is true; beyond the edge all
// are. Two sweeps hand on where the nearest is. Source: Danielsson, "Euclidean distance
// mapping", Computer Graphics and Image Processing 14, 1980 (from memory).
func fromTrue(mask []bool, wide, high int) []float64 {
	const none = 1 << 20
	off := make([][2]int, len(mask))
	for i, is := range mask {
		if !is {
			off[i] = [2]int{none, none}
		}
	}
	length := func(o [2]int) int { return o[0]*o[0] + o[1]*o[1] }
	take := func(col, row, dx, dy int) {
		here := &off[row*wide+col]
		other := [2]int{dx, dy} // past the edge
		if c, r := col+dx, row+dy; c >= 0 && c < wide && r >= 0 && r < high {
			next := off[r*wide+c]
			other = [2]int{next[0] + dx, next[1] + dy}
		}
		if length(other) < length(*here) {
			*here = other
		}
	}
	for row := range high {
		for col := range wide {
			take(col, row, -1, 0)
			take(col, row, 0, -1)
			take(col, row, -1, -1)
			take(col, row, 1, -1)
		}
		for col := wide - 1; col >= 0; col-- {
			take(col, row, 1, 0)
		}
	}
	for row := high - 1; row >= 0; row-- {
		for col := wide - 1; col >= 0; col-- {
			take(col, row, 1, 0)
			take(col, row, 0, 1)
			take(col, row, 1, 1)
			take(col, row, -1, 1)
		}
		for col := range wide {
			take(col, row, -1, 0)
		}
	}
	all := make([]float64, len(mask))
	for i, o := range off {
		all[i] = math.Sqrt(float64(length(o)))
	}
	return all
}
