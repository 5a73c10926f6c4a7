package detail

import (
	"cmp"
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
	"gonum.org/v1/gonum/stat"

	"pourwright/mesh"
)

// scoreAt scores m at a radius.
func scoreAt(t testing.TB, m *mesh.Mesh, radius float64) []float32 {
	t.Helper()
	r, err := Score(context.Background(), m, Input{RadiusMM: radius})
	if err != nil {
		t.Fatal(err)
	}
	return r.Vertex
}

// evenly returns points spread evenly over the area of m.
func evenly(m *mesh.Mesh, n int) []r3.Vec {
	rng := rand.New(rand.NewPCG(1, 2))
	total := 2 * m.Area()
	points := make([]r3.Vec, 0, n)
	below := 0.0
	for f := range m.Faces {
		below += long(m.DoubleAreaNormal(f))
		a, b, c := m.Corners(f)
		for len(points) < n && (float64(len(points))+0.5)/float64(n)*total < below {
			u, v := rng.Float64(), rng.Float64()
			if u+v > 1 {
				u, v = 1-u, 1-v
			}
			points = append(points, r3.Add(a, r3.Add(r3.Scale(u, r3.Sub(b, a)), r3.Scale(v, r3.Sub(c, a)))))
		}
	}
	return points
}

// carried returns the scores of m at the points of its surface nearest to some
// points.
func carried(m *mesh.Mesh, score []float32, points []r3.Vec) []float64 {
	tree := mesh.NewTree(m)
	out := make([]float64, len(points))
	for i, p := range points {
		hit, _ := tree.Closest(p, math.Inf(1))
		a, b, c := m.Corners(int(hit.Face))
		t := m.Faces[hit.Face]
		n := m.DoubleAreaNormal(int(hit.Face))
		share := func(x, y r3.Vec) float64 {
			return r3.Dot(r3.Cross(r3.Sub(x, hit.Point), r3.Sub(y, hit.Point)), n) / r3.Norm2(n)
		}
		out[i] = share(b, c)*float64(score[t[0]]) + share(c, a)*float64(score[t[1]]) + share(a, b)*float64(score[t[2]])
	}
	return out
}

// ranks returns the rank of each number, equal ones sharing the mean of theirs.
func ranks(x []float64) []float64 {
	order := make([]int, len(x))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int { return cmp.Compare(x[a], x[b]) })
	out := make([]float64, len(x))
	for lo := 0; lo < len(x); {
		hi := lo
		for hi < len(x) && x[order[hi]] == x[order[lo]] {
			hi++
		}
		for _, i := range order[lo:hi] {
			out[i] = float64(lo+hi-1) / 2
		}
		lo = hi
	}
	return out
}

func correlation(a, b []float64) float64 { return stat.Correlation(a, b, nil) }
