package picture

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
)

const (
	mainShare = 0.9 // of the area: the parts that make up so much are the main ones
	strayed   = 2   // the whole may be so many times as large as the main parts
)

// strays are what lies so far from the main parts that the picture leaves it
// out.
type strays struct {
	any      bool
	farthest r3.Vec
	awayMM   float64 // from the box of the main parts
}

// framed returns the box that the picture is to hold: that of the scan, or of
// its main parts where loose ones would shrink them to a dot.
func framed(m *mesh.Mesh) (r3.Box, strays) {
	whole := m.Bounds()
	if len(m.Faces) == 0 {
		return r3.Box{}, strays{}
	}
	main := mainParts(m)
	var some []r3.Vec
	for v, is := range main {
		if is {
			some = append(some, m.Vertices[v])
		}
	}
	core := mesh.BoundsOf(some)
	if !(across(core) > 0) || across(whole) <= strayed*across(core) {
		return whole, strays{}
	}
	out := strays{any: true}
	for v, p := range m.Vertices {
		if away := r3.Norm(r3.Sub(p, nearestIn(core, p))); !main[v] && away > out.awayMM {
			out.farthest, out.awayMM = p, away
		}
	}
	return core, out
}

func across(b r3.Box) float64 { return r3.Norm(r3.Sub(b.Max, b.Min)) }

func nearestIn(b r3.Box, p r3.Vec) r3.Vec {
	return r3.Vec{
		X: min(max(p.X, b.Min.X), b.Max.X), Y: min(max(p.Y, b.Min.Y), b.Max.Y), Z: min(max(p.Z, b.Min.Z), b.Max.Z),
	}
}

// mainParts tells which vertices belong to the largest connected parts that
// together make up mainShare of the area.
func mainParts(m *mesh.Mesh) []bool {
	part := connected(m)
	area, total := make([]float64, len(m.Vertices)), 0.0
	for f, t := range m.Faces {
		a := r3.Norm(m.DoubleAreaNormal(f))
		area[part[t[0]]] += a
		total += a
	}
	var parts []int32
	for v, p := range part {
		if int(p) == v {
			parts = append(parts, p)
		}
	}
	slices.SortStableFunc(parts, func(a, b int32) int { return cmp.Compare(area[b], area[a]) })
	isMain, sum := make([]bool, len(m.Vertices)), 0.0
	for _, p := range parts {
		if sum >= mainShare*total && sum > 0 {
			break
		}
		isMain[p] = true
		sum += area[p]
	}
	for v, p := range part {
		isMain[v] = isMain[p] // p ≤ v
	}
	return isMain
}

// connected returns for each vertex the first one that faces join it to.
func connected(m *mesh.Mesh) []int32 {
	up := make([]int32, len(m.Vertices))
	for v := range up {
		up[v] = int32(v)
	}
	root := func(v int32) int32 {
		for up[v] != v {
			up[v] = up[up[v]]
			v = up[v]
		}
		return v
	}
	for _, t := range m.Faces {
		a, b, c := root(t[0]), root(t[1]), root(t[2])
		first := min(a, b, c)
		up[a], up[b], up[c] = first, first, first
	}
	for v := range up {
		up[v] = up[up[v]] // up[v] ≤ v is a root by now
	}
	return up
}

// Rims drawn, at the most, counting from the longest: a scan whose faces share
// no corners has one around every face.
const (
	mostRims     = 20_000
	mostRimEdges = 60_000
	crowdedRims  = 400 // more than so many are drawn with a thinner line
	heapRims     = 0.1 // and none, when there are so many to a face: they would hide all else
)

// rims are the rims of holes as closed lines, the longest first.
type rims struct {
	lines [][]r3.Vec
	all   int  // with those left out
	heap  bool // they are not drawn: most faces are loose
}

func newRims(rings [][]r3.Vec, faces int) rims {
	if len(rings) > crowdedRims && float64(len(rings)) > heapRims*float64(faces) {
		return rims{all: len(rings), heap: true}
	}
	long := make([]float64, len(rings))
	order := make([]int, len(rings))
	for i, ring := range rings {
		order[i] = i
		long[i] = ringLength(ring)
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(long[b], long[a]) })
	out, edges := rims{all: len(rings)}, 0
	for _, i := range order {
		if edges += len(rings[i]); len(out.lines) >= mostRims || edges > mostRimEdges && len(out.lines) > 0 {
			break
		}
		out.lines = append(out.lines, slices.Concat(rings[i], rings[i][:1]))
	}
	return out
}

// ringLength is how long a closed line is, in mm; its first point may be
// repeated at the end.
func ringLength(ring []r3.Vec) (long float64) {
	for k, p := range ring {
		long += r3.Norm(r3.Sub(p, ring[(k+1)%len(ring)]))
	}
	return long
}

// corners are the two views: the second is the first from the other side of
// the scan, so that no face is turned away in both.
func corners() [2]camera {
	const turn, rise = 35, 25
	return [2]camera{lookFrom(turn, rise), lookFrom(turn+180, -rise)}
}

// seenIn is the room that what lies in the frame takes in a view of 1 px to the
// mm.
func (w *worth) seenIn(cam camera) rect {
	b := rect{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)}
	grown := w.size * 1e-9
	for _, p := range w.scan.Vertices {
		if d := r3.Sub(p, nearestIn(w.frame, p)); r3.Norm2(d) > grown*grown {
			continue
		}
		q := cam.at(p)
		b = rect{math.Min(b.X0, q.X), math.Min(b.Y0, q.Y), math.Max(b.X1, q.X), math.Max(b.Y1, q.Y)}
	}
	return b
}
