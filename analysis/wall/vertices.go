package wall

import (
	"context"
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// toVertices measures every vertex to walls, level and board, and hands on the
// webs from the samples around it.
func (s *survey) toVertices(ctx context.Context, r *Result) error {
	normals := make([]r3.Vec, len(s.m.Vertices))
	for f, face := range s.m.Faces {
		n := s.m.DoubleAreaNormal(f)
		for _, v := range face {
			normals[v] = r3.Add(normals[v], n)
		}
	}
	g := s.newGrid()
	r.Vertex = make([]float32, len(s.m.Vertices))
	side := make([]float32, len(s.m.Vertices))
	err := inLots(ctx, len(s.m.Vertices), nil, func(v int) {
		p, n := s.m.Vertices[v], normals[v]
		if l := r3.Norm(n); l > 0 {
			n = r3.Scale(1/l, n)
		}
		mm, _, dry := s.outer(p, n)
		side[v] = float32(s.in.side(p))
		if r.Vertex[v] = float32(math.NaN()); !dry {
			r.Vertex[v] = float32(math.Max(0, math.Min(mm, g.web(p, n))))
		}
	})
	if err != nil {
		return err
	}
	least := 0
	for v := range side {
		if side[v] < side[least] {
			least = v
		}
	}
	p := s.m.Vertices[least]
	r.Wall = Place{s.in.side(p), p}
	return nil
}

// grid finds the samples around a place: those in the same cell.
type grid struct {
	s      *survey
	origin r3.Vec
	cell   float64
	first  map[[3]int32]int32
	next   []int32
}

func (s *survey) newGrid() *grid {
	g := &grid{s, s.m.Bounds().Min, 2 * s.spacing, make(map[[3]int32]int32, len(s.samples)), make([]int32, len(s.samples))}
	for i := range s.samples {
		key := g.key(s.samples[i].at)
		if j, seen := g.first[key]; seen {
			g.next[i] = j
		} else {
			g.next[i] = -1
		}
		g.first[key] = int32(i)
	}
	return g
}

func (g *grid) key(p r3.Vec) [3]int32 {
	d := r3.Sub(p, g.origin)
	return [3]int32{int32(d.X / g.cell), int32(d.Y / g.cell), int32(d.Z / g.cell)}
}

// web returns that of the sample nearest to a place on the same skin of the
// pattern, infinite where none is near.
func (g *grid) web(p, normal r3.Vec) float64 {
	key := g.key(p)
	if mm, found := g.webIn(key, p, normal); found {
		return mm
	}
	for k := range 6 {
		beside := key
		beside[k/2] += int32(2*(k%2) - 1)
		if mm, found := g.webIn(beside, p, normal); found {
			return mm
		}
	}
	return math.Inf(1)
}

// sameSkin is the cosine between normals of one skin.
const sameSkin = 0.5

func (g *grid) webIn(key [3]int32, p, normal r3.Vec) (mm float64, found bool) {
	i, seen := g.first[key]
	if !seen {
		return 0, false
	}
	least := math.Inf(1)
	for ; i >= 0; i = g.next[i] {
		x := &g.s.samples[i]
		if r3.Dot(x.normal, normal) < sameSkin {
			continue
		}
		if d := r3.Norm2(r3.Sub(x.at, p)); d < least {
			least, mm, found = d, x.web.mm, true
		}
	}
	return mm, found
}
