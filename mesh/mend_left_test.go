package mesh_test

import (
	"context"
	"errors"
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

// What mending left out is kept: each scrap whole, and of a table all but what the
// part's own foot hides.
func TestMendKeepsWhatItLeftOut(t *testing.T) {
	ball := meshtest.Icosphere(4)
	crumb := func(x float64) *mesh.Mesh { return meshtest.Moved(meshtest.Icosphere(1).Scaled(0.05), r3.Vec{X: x}) }
	mended, err := mesh.Mend(context.Background(), meshtest.Together(crumb(2), ball, crumb(3)), mesh.MendChoice{})
	if err != nil || mended.Dropped == nil || len(mended.Dropped.Faces) != 160 || mended.Dropped.Bounds().Min.X < 1.9 {
		t.Errorf("two crumbs of 80 faces: %v, %+v", err, mended.Dropped)
	}
	if mended, err = mesh.Mend(context.Background(), ball, mesh.MendChoice{}); err != nil || mended.Dropped != nil {
		t.Errorf("nothing left out: %v, %+v", err, mended.Dropped)
	}
	post := subject(t, "post", meshtest.Cylinder(64, 20, 100), r3.Vec{Z: 1})
	for name, stand := range map[string]func() *mesh.Mesh{
		"sheet": func() *mesh.Mesh { m, _ := meshtest.OnSheet(post, firstSeed()); return m },
		"slab":  func() *mesh.Mesh { m, _ := meshtest.OnSlab(post, firstSeed()); return m },
	} {
		m := stand()
		mended, err := mesh.Mend(context.Background(), m, mesh.MendChoice{Table: mesh.TableCut})
		if err != nil || mended.Dropped == nil {
			t.Errorf("%s: %v, nothing left out", name, err)
			continue
		}
		// All that is gone from the scan was left out, but for the end of the foot
		// under the cut, which is made anew.
		gone := m.Area() - (mended.Mesh.Some(firstFaces(mended.Scanned))).Area()
		if got := mended.Dropped.Area(); math.Abs(got-gone) > 0.02*gone {
			t.Errorf("%s: %g mm² left out, %g gone", name, got, gone)
		}
	}
}

func firstFaces(n int) []int32 {
	all := make([]int32, n)
	for f := range all {
		all[f] = int32(f)
	}
	return all
}

// Faces that hang together with no other are no part, however many; a few open
// pieces, or many closed ones, are not refused as such.
func TestMendRefusesHeaps(t *testing.T) {
	heap := func(level int) *mesh.Mesh { return meshtest.Soup(meshtest.Icosphere(level), firstSeed(), 0.05) }
	refused := func(m *mesh.Mesh, c mesh.MendChoice) bool {
		_, err := mesh.Mend(context.Background(), m, c)
		var open *mesh.OpenQuestion
		return errors.As(err, &open) && strings.Contains(err.Error(), "heap of")
	}
	if !refused(heap(3), mesh.MendChoice{}) || !refused(heap(3), mesh.MendChoice{CloseAll: true}) {
		t.Error("1280 loose faces are not refused")
	}
	if refused(heap(0), mesh.MendChoice{}) {
		t.Error("20 loose faces are refused as a heap")
	}
	var closed []*mesh.Mesh
	for i := range 80 {
		closed = append(closed, meshtest.Moved(meshtest.Icosphere(1), r3.Vec{X: 1.5 * float64(i)}))
	}
	if refused(meshtest.Together(closed...), mesh.MendChoice{}) {
		t.Error("a chain of 80 balls is refused as a heap")
	}
}
