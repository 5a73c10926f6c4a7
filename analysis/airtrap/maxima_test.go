package airtrap

import (
	"context"
	"math"
	"math/rand/v2"
	"path/filepath"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
)

// peaks counts by brute force the places of the mesh graph with no higher
// neighbour, level regions once: those with the solid's outside above them, and
// those with its inside there.
func peaks(m *mesh.Mesh, up r3.Vec) (outsideAbove, insideAbove int) {
	next, tree := m.Neighbours(), mesh.NewTree(m)
	height := func(v int32) float64 { return r3.Dot(up, m.Vertices[v]) }
	winding := func(v int, toward r3.Vec) float64 {
		return math.Round(tree.Winding(r3.Add(m.Vertices[v], r3.Scale(1e-4, toward))))
	}
	seen := make([]bool, len(m.Vertices))
	for v := range m.Vertices {
		if seen[v] || len(next.Of(v)) == 0 {
			continue
		}
		top, region := true, []int32{int32(v)}
		seen[v] = true
		for i := 0; i < len(region); i++ {
			for _, w := range next.Of(int(region[i])) {
				switch h := height(w); {
				case h > height(int32(v)):
					top = false
				case h == height(int32(v)) && !seen[w]:
					seen[w] = true
					region = append(region, w)
				}
			}
		}
		if !top {
			continue
		}
		// Where surface passes through itself both sides may be inside of
		// something: the side that is so once more is the solid's.
		var cone r3.Vec
		for _, w := range next.Of(v) {
			cone = r3.Add(cone, r3.Unit(r3.Sub(m.Vertices[w], m.Vertices[v])))
		}
		if above := winding(v, up); above > 0 && winding(v, r3.Unit(cone)) <= above {
			insideAbove++
		} else {
			outsideAbove++
		}
	}
	return outsideAbove, insideAbove
}

// Without openings and thresholds every local top of the liquid's space is a
// trap: as many as a brute-force count on the mesh graph finds.
func TestLocalTopsByBruteForce(t *testing.T) {
	files, err := filepath.Glob("../../samples/*.stl")
	if err != nil {
		t.Fatal(err)
	}
	open, err := filepath.Glob("../../testdata/*.stl")
	if err != nil {
		t.Fatal(err)
	}
	rng := rand.New(rand.NewPCG(4, 2))
	tried, most := 0, 0
	for _, file := range append(files, open...) {
		m, _, err := mesh.Read(context.Background(), file, nil)
		if err != nil {
			t.Fatal(err)
		}
		if _, _, err := mesh.NewSolid(m); err != nil {
			continue // not closed as it is
		}
		tried++
		s := NewSurface(m)
		for range 4 {
			up := direction(rng)
			inside, outside := peaks(m, up)
			most = max(most, inside)
			for domain, want := range []int{Inside: inside, Outside: outside} {
				r, err := Find(s, Input{Domain: Domain(domain), Up: up, PersistenceMM: 1e-7, VolumeMM3: math.Inf(-1)})
				if err != nil {
					t.Fatal(err)
				}
				if len(r) != want {
					t.Errorf("%s, domain %d, up %v: %d traps, %d local tops", filepath.Base(file), domain, up, len(r), want)
				}
			}
		}
	}
	if t.Logf("%d meshes, up to %d tops", tried, most); tried < 8 || most < 50 {
		t.Errorf("%d meshes with up to %d tops are too few", tried, most)
	}
}
