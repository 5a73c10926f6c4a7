package cut

import "math/bits"

// cubes is a set of a grid's cubes, a bit each, row by row.
type cubes []uint64

// trim leaves out what is beyond the end of each row.
func (g *linking) trim(c cubes) {
	if rest := g.n[0] % 64; rest != 0 {
		for i := g.words - 1; i < len(c); i += g.words {
			c[i] &= 1<<rest - 1
		}
	}
}

// row returns a row of a set, none beyond the grid.
func (g *linking) row(c cubes, y, z int) []uint64 {
	if y < 0 || z < 0 || y >= g.n[1] || z >= g.n[2] {
		return make([]uint64, g.words)
	}
	i := (z*g.n[1] + y) * g.words
	return c[i : i+g.words]
}

// spread fills wide with the cubes that touch some of c, in any way, and those.
func (g *linking) spread(wide, c cubes) {
	for z := range g.n[2] {
		for y := range g.n[1] {
			to := g.row(wide, y, z)
			clear(to)
			for w := max(0, z-1); w <= min(g.n[2]-1, z+1); w++ {
				for v := max(0, y-1); v <= min(g.n[1]-1, y+1); v++ {
					r := g.row(c, v, w)
					for k, word := range r {
						to[k] |= word | word<<1 | next(r, k)
						if k > 0 {
							to[k] |= r[k-1] >> 63
						}
					}
				}
			}
		}
	}
}

// next returns each cube's neighbour along x.
func next(r []uint64, k int) uint64 {
	if k+1 < len(r) {
		return r[k]>>1 | r[k+1]<<63
	}
	return r[k] >> 1
}

// euler counts cubes, less the pairs that share a face, with the squares of four and
// less the blocks of eight.
func (g *linking) euler(set cubes) int {
	sum := 0
	none := make([]uint64, g.words)
	row := func(y, z int) []uint64 {
		if y == g.n[1] || z == g.n[2] {
			return none
		}
		return g.row(set, y, z)
	}
	for z := range g.n[2] {
		for y := range g.n[1] {
			a, b, c, d := row(y, z), row(y+1, z), row(y, z+1), row(y+1, z+1)
			for k, word := range a {
				if word == 0 {
					continue
				}
				pair, ab, ac, abcd := word&next(a, k), word&b[k], word&c[k], word&b[k]&c[k]&d[k]
				xab, xac := pair&b[k]&next(b, k), pair&c[k]&next(c, k)
				sum += bits.OnesCount64(word) - bits.OnesCount64(pair) - bits.OnesCount64(ab) - bits.OnesCount64(ac) +
					bits.OnesCount64(xab) + bits.OnesCount64(xac) + bits.OnesCount64(abcd) - bits.OnesCount64(xab&xac&d[k]&next(d, k))
			}
		}
	}
	return sum
}

// run is cubes of a row that touch, up to the one before end.
type run struct{ start, end, root int32 }

// pieces counts those of a set that share no face or, with corners, do not touch at
// all.
func (h *half) pieces(c cubes, corners bool) int {
	h.findRuns(c)
	pieces := len(h.runs)
	for z := range h.n[2] {
		for y := range h.n[1] {
			row := z*h.n[1] + y
			if y > 0 {
				pieces -= h.join(row-1, row, corners)
			}
			if z > 0 {
				pieces -= h.join(row-h.n[1], row, corners)
			}
			if corners && z > 0 && y > 0 {
				pieces -= h.join(row-h.n[1]-1, row, corners)
			}
			if corners && z > 0 && y < h.n[1]-1 {
				pieces -= h.join(row-h.n[1]+1, row, corners)
			}
		}
	}
	return pieces
}

func (h *half) findRuns(c cubes) {
	h.runs = h.runs[:0]
	for row := range h.n[1] * h.n[2] {
		h.rows[row] = int32(len(h.runs))
		start := int32(-1)
		for k, word := range c[row*h.words : (row+1)*h.words] {
			for at := 0; at < 64; {
				if start < 0 { // look for the next cube
					rest := word >> at
					if rest == 0 {
						break
					}
					at += bits.TrailingZeros64(rest)
					start = int32(64*k + at)
				}
				at += bits.TrailingZeros64(^(word >> at)) // 64 where all are set
				if at >= 64 && k+1 < h.words {
					break
				}
				h.runs = append(h.runs, run{start, int32(64*k + min(at, 64)), int32(len(h.runs))})
				start = -1
			}
		}
	}
	h.rows[len(h.rows)-1] = int32(len(h.runs))
}

// join puts runs of two rows together where they touch, and returns how many pieces
// are no longer apart.
func (h *half) join(one, other int, corners bool) (joined int) {
	over := int32(0)
	if corners {
		over = 1
	}
	i, j := h.rows[one], h.rows[other]
	for i < h.rows[one+1] && j < h.rows[other+1] {
		a, b := &h.runs[i], &h.runs[j]
		if a.start < b.end+over && b.start < a.end+over {
			if p, q := h.root(i), h.root(j); p != q {
				h.runs[max(p, q)].root = min(p, q)
				joined++
			}
		}
		if a.end < b.end {
			i++
		} else {
			j++
		}
	}
	return joined
}

func (h *half) root(i int32) int32 {
	for h.runs[i].root != i {
		h.runs[i].root = h.runs[h.runs[i].root].root
		i = h.runs[i].root
	}
	return i
}
