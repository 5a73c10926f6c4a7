package cut

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
)

// face is the sheet in the block: the pattern's outline in it, and how far any
// place is from the pattern, the openings and the outside.
type face struct {
	sheet   *Sheet
	room    *Room
	pattern *mesh.Tree
	outline *mesh.Tree // of the outline's segments, as needles
	loops   [][]r2.Vec // the outline, flat
	grid    raster
	crests  []r3.Vec // of the waves laid out so far
}

const (
	mostNodes  = 50_000
	finestMM   = 0.8
	farMM      = 60 // nothing looks farther than this
	thinnestMM = 1e-9
)

func newFace(s *Sheet, outline []mesh.Loop, pattern *mesh.Tree, room *Room) *face {
	f := &face{sheet: s, room: room, pattern: pattern}
	needles := &mesh.Mesh{}
	for _, l := range outline {
		flat := make([]r2.Vec, len(l.Points))
		first := int32(len(needles.Vertices))
		for i, p := range l.Points {
			flat[i].X, flat[i].Y = s.Flat(p)
			b := first + int32((i+1)%len(l.Points))
			needles.Faces = append(needles.Faces, [3]int32{first + int32(i), b, b})
		}
		needles.Vertices = append(needles.Vertices, l.Points...)
		f.loops = append(f.loops, flat)
	}
	f.outline = mesh.NewTree(needles)
	f.grid = f.frame()
	return f
}

// frame lays the grid over the block.
func (f *face) frame() raster {
	lo, hi := r2.Vec{X: math.Inf(1), Y: math.Inf(1)}, r2.Vec{X: math.Inf(-1), Y: math.Inf(-1)}
	for _, p := range f.room.Rim(f.sheet) {
		u, v := f.sheet.Flat(p)
		lo, hi = r2.Vec{X: min(lo.X, u), Y: min(lo.Y, v)}, r2.Vec{X: max(hi.X, u), Y: max(hi.Y, v)}
	}
	step := max(finestMM, math.Sqrt((hi.X-lo.X)*(hi.Y-lo.Y)/mostNodes))
	if !(step < math.Inf(1)) {
		return raster{}
	}
	return raster{low: lo, stepMM: step, nu: int((hi.X-lo.X)/step) + 2, nv: int((hi.Y-lo.Y)/step) + 2}
}

func (f *face) at(p r2.Vec) r3.Vec { return f.sheet.At(p.X, p.Y) }

// clear returns the distance from a point in space to the pattern and the rods,
// up to a bound.
func (f *face) clear(p r3.Vec, within float64) float64 {
	d := min(within, f.room.rodGap(p))
	if hit, near := f.pattern.Closest(p, within); near {
		d = min(d, hit.Distance)
	}
	return d
}

// fromOutline returns the distance of a place from the outline, up to a bound.
func (f *face) fromOutline(p r2.Vec, within float64) float64 {
	hit, near := f.outline.Closest(f.at(p), within)
	if !near {
		return within
	}
	return hit.Distance
}

// within tells which nodes are in the pattern, row by row, by where the outline
// crosses the row (a point on the row counts as above it).
func (f *face) within() []bool {
	g := &f.grid
	inside := make([]bool, g.nu*g.nv)
	inRows(g.nv, func(j int) {
		y := g.place(0, j).Y
		for _, loop := range f.loops {
			for i, a := range loop {
				b := loop[(i+1)%len(loop)]
				if (a.Y < y) == (b.Y < y) {
					continue
				}
				x := a.X + (y-a.Y)/(b.Y-a.Y)*(b.X-a.X)
				first := max(0, int(math.Ceil((x-g.low.X)/g.stepMM)))
				for k := first; k < g.nu; k++ {
					inside[j*g.nu+k] = !inside[j*g.nu+k]
				}
			}
		}
	})
	return inside
}

// offsets returns the lines at a distance from the pattern on the sheet's free
// side; distance is of a place outside the pattern, up to a bound.
func (f *face) offsets(mm float64, inside []bool, distance func(p r2.Vec, within float64) float64) []curve {
	g := f.grid
	if g.nu*g.nv == 0 {
		return nil
	}
	within := mm + 2*g.stepMM
	g.fill(func(i, j int) float64 {
		if inside[j*g.nu+i] {
			return -1 // how deep does not matter: no line runs there
		}
		return distance(g.place(i, j), within)
	})
	return g.contours(mm, func(p r2.Vec) float64 { return distance(p, within) })
}

// kept returns the parts of a curve where a figure is not below zero, their ends
// put where it is zero.
func (c curve) kept(figure func(p r2.Vec) float64) []curve {
	n := len(c.points)
	value := make([]float64, n)
	start := -1
	for i, p := range c.points {
		value[i] = figure(p)
		if value[i] < 0 && start < 0 {
			start = i
		}
	}
	if start < 0 {
		return []curve{c}
	}
	if !c.closed {
		start = 0
	}
	var all []curve
	var part []r2.Vec
	flush := func() {
		if len(part) > 1 {
			all = append(all, curve{points: part})
		}
		part = nil
	}
	steps := n
	if !c.closed {
		steps = n - 1
	}
	if value[start] >= 0 {
		part = append(part, c.points[start])
	}
	for k := range steps {
		a, b := (start+k)%n, (start+k+1)%n
		if (value[a] < 0) != (value[b] < 0) {
			t := value[a] / (value[a] - value[b])
			part = append(part, r2.Add(c.points[a], r2.Scale(t, r2.Sub(c.points[b], c.points[a]))))
			if value[b] < 0 {
				flush()
			}
		}
		if value[b] >= 0 {
			part = append(part, c.points[b])
		}
	}
	flush()
	return all
}

// lengthMM of a curve on the flat sheet.
func (c curve) lengthMM() float64 {
	sum := 0.0
	for i := 1; i < len(c.points); i++ {
		sum += r2.Norm(r2.Sub(c.points[i], c.points[i-1]))
	}
	if c.closed && len(c.points) > 1 {
		sum += r2.Norm(r2.Sub(c.points[0], c.points[len(c.points)-1]))
	}
	return sum
}

// even returns n+1 points at even steps along the curve; of a closed one the
// last is the first again.
func (c curve) even(n int) []r2.Vec {
	points := c.points
	if c.closed {
		points = append(points[:len(points):len(points)], points[0])
	}
	step := c.lengthMM() / float64(n)
	all := []r2.Vec{points[0]}
	walked := 0.0
	for i := 1; i < len(points) && len(all) < n; i++ {
		d := r2.Sub(points[i], points[i-1])
		length := r2.Norm(d)
		for len(all) < n && walked+length >= float64(len(all))*step {
			t := (float64(len(all))*step - walked) / max(length, thinnestMM)
			all = append(all, r2.Add(points[i-1], r2.Scale(t, d)))
		}
		walked += length
	}
	return append(all, points[len(points)-1])
}
