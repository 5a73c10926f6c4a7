// Package detail answers "where is the surface worth protecting?".
//
// The score of a place is the variation of the surface normals within a
// physical radius that the local smooth shape does not explain. Normals of a
// plane, a sphere and a cylinder are linear functions of position, so a linear
// fit of the normals leaves nothing there, however round a handle is; rivets,
// carving, stamped marks and sharp edges leave a lot. Fitting to samples of
// equal spacing, not to vertices, keeps the score independent of how densely
// the scanner triangulated the surface.
package detail

import (
	"fmt"
	"math"
	"slices"
	"sync"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
)

// DefaultRadiusMM is the radius at which detail is looked for: about the size
// of the rivets and chisel cuts of hand props (common practice, no source).
const DefaultRadiusMM = 2

// A residual of the normals (root mean square, radians) up to quiet counts as
// plain: scan noise of 0.02 mm leaves about that much where edges are 0.3 mm. A
// noisier scan is judged by its own plainer quarter instead, up to noisiest. A
// residual of span more is all detail; a single sharp 90° edge scores about 0.6.
const (
	quiet    = 0.07
	noisiest = 0.20
	span     = 0.23
)

// noiseFloor returns the residual up to which a surface counts as plain.
func noiseFloor(residuals []float64) float64 {
	sorted := slices.Sorted(slices.Values(residuals))
	if len(sorted) == 0 {
		return quiet
	}
	return min(noisiest, max(quiet, 1.2*sorted[len(sorted)/4]))
}

// maxSamples caps time and memory; a larger surface is sampled more coarsely
// and the radius grows with it, which Result.RadiusMM reports.
const maxSamples = 300_000

// Input says at which radius to look; zero means DefaultRadiusMM.
type Input struct {
	RadiusMM float64
}

// Result holds one score per vertex, 0 plain to 1 detail, and the radius used.
type Result struct {
	Vertex   []float32
	RadiusMM float64
}

// Score scores every vertex of m.
func Score(m *mesh.Mesh, in Input) (Result, error) {
	radius := in.RadiusMM
	if radius == 0 {
		radius = DefaultRadiusMM
	}
	if !(radius > 0) || math.IsInf(radius, 0) {
		return Result{}, fmt.Errorf("detail radius %v mm is not a positive length", radius)
	}
	spacing := math.Max(radius/3, math.Sqrt(m.Area()/maxSamples))
	radius = math.Max(radius, 2*spacing)
	s := sample(m, spacing)
	scores := s.residuals(radius)
	floor := noiseFloor(scores)
	for i, r := range scores {
		scores[i] = smoothstep((r - floor) / span)
	}
	return Result{Vertex: s.toVertices(m, scores), RadiusMM: radius}, nil
}

// samples are area-weighted means of the faces whose centroids share a small
// cell and whose normals share a side, so that the two skins of a thin sheet
// stay apart.
type samples struct {
	at     []r3.Vec
	normal []r3.Vec
	area   []float64
	ofFace []int32
}

func sample(m *mesh.Mesh, spacing float64) *samples {
	s := &samples{ofFace: make([]int32, len(m.Faces))}
	origin := m.Bounds().Min
	index := make(map[uint64]int32, min(len(m.Faces), maxSamples))
	for f := range m.Faces {
		a, b, c := m.Corners(f)
		n := r3.Cross(r3.Sub(b, a), r3.Sub(c, a))
		double := r3.Norm(n)
		p := r3.Scale(1./3, r3.Add(r3.Add(a, b), c))
		key := cellKey(r3.Sub(p, origin), spacing)<<2 | side(n)
		i, seen := index[key]
		if !seen {
			i = int32(len(s.at))
			index[key] = i
			s.at, s.normal, s.area = append(s.at, r3.Vec{}), append(s.normal, r3.Vec{}), append(s.area, 0)
		}
		s.at[i] = r3.Add(s.at[i], r3.Scale(double, p))
		s.normal[i] = r3.Add(s.normal[i], n)
		s.area[i] += double
		s.ofFace[f] = i
	}
	for i, w := range s.area {
		if w > 0 {
			s.at[i] = r3.Scale(1/w, s.at[i])
		}
		if l := r3.Norm(s.normal[i]); l > 0 {
			s.normal[i] = r3.Scale(1/l, s.normal[i])
		}
	}
	return s
}

// cellKey packs a cell of an infinite grid into 60 bits (20 a side: a metre of
// micrometre cells).
func cellKey(p r3.Vec, size float64) uint64 {
	x, y, z := uint64(p.X/size), uint64(p.Y/size), uint64(p.Z/size)
	return x<<40 | y<<20 | z
}

// side sorts normals into four bins, with opposite normals never in one bin.
func side(n r3.Vec) uint64 {
	ax, ay, az := math.Abs(n.X), math.Abs(n.Y), math.Abs(n.Z)
	main := n.Z
	switch {
	case ax >= ay && ax >= az:
		main = n.X
	case ay >= az:
		main = n.Y
	}
	bin := uint64(0)
	if main > 0 {
		bin = 1
	}
	if n.X+n.Y+n.Z > 0 {
		bin |= 2
	}
	return bin
}

// residuals returns, for every sample, the root mean square of what a linear
// fit of the normals within radius leaves over.
func (s *samples) residuals(radius float64) []float64 {
	origin := mesh.BoundsOf(s.at).Min
	cells := make(map[uint64][]int32)
	var order []uint64
	for i, p := range s.at {
		key := cellKey(r3.Sub(p, origin), radius)
		if cells[key] == nil {
			order = append(order, key)
		}
		cells[key] = append(cells[key], int32(i))
	}
	out := make([]float64, len(s.at))
	var wg sync.WaitGroup
	const workers = 4
	for w := range workers {
		wg.Go(func() {
			var near []int32
			for k := w; k < len(order); k += workers {
				near = gather(cells, order[k], near[:0])
				for _, i := range cells[order[k]] {
					out[i] = s.residual(i, near, radius)
				}
			}
		})
	}
	wg.Wait()
	return out
}

func gather(cells map[uint64][]int32, key uint64, near []int32) []int32 {
	x, y, z := int64(key>>40), int64(key>>20&0xfffff), int64(key&0xfffff)
	for dx := int64(-1); dx <= 1; dx++ {
		for dy := int64(-1); dy <= 1; dy++ {
			for dz := int64(-1); dz <= 1; dz++ {
				if x+dx < 0 || y+dy < 0 || z+dz < 0 {
					continue
				}
				near = append(near, cells[uint64(x+dx)<<40|uint64(y+dy)<<20|uint64(z+dz)]...)
			}
		}
	}
	return near
}

// residual fits normal = a + b·u + c·v over the samples within radius of
// sample i, u and v being tangent coordinates there, weighted by area and by
// 1 − (d/radius)². Normals more than 120° away belong to another skin.
func (s *samples) residual(i int32, near []int32, radius float64) float64 {
	n0, p0 := s.normal[i], s.at[i]
	if n0 == (r3.Vec{}) {
		return 0
	}
	tu, tv := mesh.Frame(n0)
	var g [6]float64      // Σw·{1, u, v, uu, uv, vv}
	var rhs [3][3]float64 // Σw·n·{1, u, v}
	var total float64     // Σw·n·n = Σw
	for _, j := range near {
		d := r3.Sub(s.at[j], p0)
		q := 1 - r3.Norm2(d)/(radius*radius)
		if q <= 0 || r3.Dot(s.normal[j], n0) < -0.5 {
			continue
		}
		w, n := q*s.area[j], s.normal[j]
		u, v := r3.Dot(d, tu)/radius, r3.Dot(d, tv)/radius
		g[0], g[1], g[2] = g[0]+w, g[1]+w*u, g[2]+w*v
		g[3], g[4], g[5] = g[3]+w*u*u, g[4]+w*u*v, g[5]+w*v*v
		for k, c := range [3]float64{n.X, n.Y, n.Z} {
			rhs[k][0] += w * c
			rhs[k][1] += w * c * u
			rhs[k][2] += w * c * v
		}
		total += w
	}
	if total <= 0 {
		return 0
	}
	return math.Sqrt(math.Max(0, total-explained(g, rhs)) / total)
}

// explained returns the part of Σw·n² that the fit explains, by elimination on
// the 3×3 normal equations with a small ridge for samples in a line.
func explained(g [6]float64, rhs [3][3]float64) float64 {
	ridge := 1e-6 * g[0]
	l1, l2 := g[1]/g[0], g[2]/g[0]
	uu, uv, vv := g[3]-l1*g[1]+ridge, g[4]-l1*g[2], g[5]-l2*g[2]+ridge
	l3 := uv / uu
	vv -= l3 * uv
	sum := 0.0
	for _, b := range rhs {
		b1 := b[1] - l1*b[0]
		b2 := b[2] - l2*b[0] - l3*b1
		sum += b[0]*b[0]/g[0] + b1*b1/uu
		if vv > 0 {
			sum += b2 * b2 / vv
		}
	}
	return sum
}

func (s *samples) toVertices(m *mesh.Mesh, scores []float64) []float32 {
	sum := make([]float32, len(m.Vertices))
	count := make([]float32, len(m.Vertices))
	for f, face := range m.Faces {
		for _, v := range face {
			sum[v] += float32(scores[s.ofFace[f]])
			count[v]++
		}
	}
	for v := range sum {
		if count[v] > 0 {
			sum[v] /= count[v]
		}
	}
	return sum
}

func smoothstep(t float64) float64 {
	t = math.Min(1, math.Max(0, t))
	return t * t * (3 - 2*t)
}
