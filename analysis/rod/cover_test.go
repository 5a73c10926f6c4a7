package rod

import (
	"context"
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
)

// nearestOf is the plain distance from a point to a mesh: every face in turn.
func nearestOf(m *mesh.Mesh, p r3.Vec) float64 {
	best := math.Inf(1)
	for f := range m.Faces {
		a, b, c := m.Corners(f)
		best = min(best, r3.Norm2(r3.Sub(p, onTriangle(p, a, b, c))))
	}
	return math.Sqrt(best)
}

// onTriangle returns the point of a triangle nearest to p, by the foot on its
// plane if that is inside, else on its nearest edge.
func onTriangle(p, a, b, c r3.Vec) r3.Vec {
	n := r3.Cross(r3.Sub(b, a), r3.Sub(c, a))
	if l2 := r3.Norm2(n); l2 > 0 {
		foot := r3.Sub(p, r3.Scale(r3.Dot(r3.Sub(p, a), n)/l2, n))
		left := func(u, v r3.Vec) bool { return r3.Dot(r3.Cross(r3.Sub(v, u), r3.Sub(foot, u)), n) >= 0 }
		if left(a, b) && left(b, c) && left(c, a) {
			return foot
		}
	}
	best, at := math.Inf(1), a
	for _, e := range [3][2]r3.Vec{{a, b}, {b, c}, {c, a}} {
		s := Segment{e[0], e[1]}
		if k := s.awayFrom(p, 0); k.deep < best {
			best, at = k.deep, k.at
		}
	}
	return at
}

// denseCheck measures the cover all over a rod sawn square at both ends: places
// around its side and on its end faces, by plain search over all faces and the
// plain winding number. It returns the least.
func denseCheck(m *mesh.Mesh, s Segment, diameter float64, stations int) float64 {
	u := s.Along()
	x, y := mesh.Frame(u)
	least := math.Inf(1)
	for i := range stations + 1 {
		axis := s.At(float64(i) / float64(stations))
		for k := range 8 {
			sin, cos := math.Sincos(2 * math.Pi * float64(k) / 8)
			p := r3.Add(axis, r3.Scale(diameter/2, r3.Add(r3.Scale(cos, x), r3.Scale(sin, y))))
			d := nearestOf(m, p)
			if k == 0 && m.Winding(p) < 0.5 {
				d = -d
			}
			least = min(least, d)
		}
	}
	return least
}

// TestCoverEverywhere measures rods anew, by other means than they were found
// with: every rod, however it gets in, has the cover all over.
func TestCoverEverywhere(t *testing.T) {
	for _, c := range shapes() {
		in := asked(t, c.m, 60_000, c.diameter, c.cover)
		in.Spout = c.spout
		r, err := Find(context.Background(), in)
		if err != nil {
			t.Fatal(err)
		}
		t.Logf("%s: %s, %.1f mm", c.name, r.Entry, r.Rod.Length())
		if string(r.Entry) != c.entry {
			t.Errorf("%s: entry %q, not %q: %s", c.name, r.Entry, c.entry, r.Why)
		}
		for _, s := range r.Rods() {
			if got := denseCheck(c.m, s, c.diameter, 60); got < c.cover {
				t.Errorf("%s: only %.6f mm of cover, not %g", c.name, got, c.cover)
			}
			// A rod that lies straighter may have more than was asked.
			if least := denseCheck(c.m, r.Rod, c.diameter, 400); r.CoverMM < c.cover || r.Second == nil && r.CoverMM > least*1.01 {
				t.Errorf("%s: cover of %.4f mm is said, %g was asked, %.4f measured", c.name, r.CoverMM, c.cover, least)
			}
		}
		for _, o := range r.Standoffs {
			if got := nearestOf(c.m, o.OnRod) - c.diameter/2; math.Abs(got-o.LengthMM) > 1e-6 {
				t.Errorf("%s: bridge of %.4f mm, not %.4f", c.name, o.LengthMM, got)
			}
			if got := nearestOf(c.m, o.OnSurface); got > 1e-6 {
				t.Errorf("%s: bridge ends %g mm off the surface", c.name, got)
			}
		}
		if len(r.Findings) == 0 || r.Why == "" {
			t.Errorf("%s: nothing said", c.name)
		}
		for _, f := range r.Findings {
			if f.Question != "rod" || f.Action == "" || f.AtMM == nil {
				t.Errorf("%s: finding %+v", c.name, f)
			}
		}
	}
}
