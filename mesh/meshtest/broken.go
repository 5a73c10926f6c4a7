package meshtest

import (
	"math/rand/v2"
	"path/filepath"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
)

// Damage is one way in which scans are broken.
type Damage struct {
	Name  string
	Loses bool // something is lost that mending can only guess
	// Break returns a broken copy and what its volume was, mm³: that of the sound
	// solid, less what was cut off.
	Break func(s Subject, rng *rand.Rand) (broken *mesh.Mesh, volumeMM3 float64)
}

// Damages lists the ways, the sound solid first.
func Damages() []Damage {
	return []Damage{
		{"sound", false, keeping(func(s Subject, _ *rand.Rand) *mesh.Mesh { return s.Solid.Mesh })},
		{"missing base", true, withoutBase},
		{"3 holes", true, keeping(func(s Subject, rng *rand.Rand) *mesh.Mesh { return holed(s, rng, 3, 0.03) })},
		{"30 holes", true, keeping(func(s Subject, rng *rand.Rand) *mesh.Mesh { return holed(s, rng, 30, 0.015) })},
		{"20 % flipped", false, keeping(func(s Subject, rng *rand.Rand) *mesh.Mesh { return Flipped(s.Solid.Mesh, rng, 0.2) })},
		{"inside out", false, keeping(func(s Subject, rng *rand.Rand) *mesh.Mesh { return Flipped(s.Solid.Mesh, rng, 1) })},
		{"duplicated", false, keeping(func(s Subject, rng *rand.Rand) *mesh.Mesh { return duplicated(s.Solid.Mesh, rng) })},
		{"split corners", false, keeping(func(s Subject, rng *rand.Rand) *mesh.Mesh { return Soup(s.Solid.Mesh, rng, 1e-5*s.SizeMM) })},
		{"floaters", false, keeping(withFloaters)},
		{"noise 0.1 %", true, keeping(func(s Subject, rng *rand.Rand) *mesh.Mesh { return Scattered(s.Solid.Mesh, rng, 0.001*s.SizeMM) })},
		{"noise 0.5 %", true, keeping(func(s Subject, rng *rand.Rand) *mesh.Mesh { return Scattered(s.Solid.Mesh, rng, 0.005*s.SizeMM) })},
		{"all but noise", true, keeping(MuchBroken)},
	}
}

// keeping is a way that cuts nothing off.
func keeping(way func(s Subject, rng *rand.Rand) *mesh.Mesh) func(Subject, *rand.Rand) (*mesh.Mesh, float64) {
	return func(s Subject, rng *rand.Rand) (*mesh.Mesh, float64) { return way(s, rng), s.Solid.Measure().VolumeMM3 }
}

// BrokenScan is a known mesh, broken.
type BrokenScan struct {
	Name      string // mesh and damage, as "bear, 3 holes"
	Mesh      *mesh.Mesh
	VolumeMM3 float64 // before, less what was cut off
}

// knownMeshes are the closed ones of testdata and samples. Those of testdata
// have no unit and are made 150 mm long in their bounds; the samples are in mm.
var knownMeshes = []struct {
	path      string
	longestMM float64
}{
	{"testdata/bear.stl", 150}, {"testdata/elephant.stl", 150}, {"testdata/femur.stl", 150},
	{"testdata/gearwheel.stl", 150}, {"testdata/hand.stl", 150}, {"testdata/knot1.stl", 150},
	{"samples/belaying-pin.stl", 0}, {"samples/gull-headed-cane.stl", 0},
	{"samples/speaking-trumpet.stl", 0}, {"samples/storm-lantern.stl", 0}, {"samples/tiller-handle.stl", 0},
}

// readKnown is ReadSubject with the bounds for the tightest box, whose search may
// get better: what was judged stays the same.
func readKnown(path string, longestMM float64) (Subject, error) {
	s, err := ReadSubject(path, 0)
	if err != nil {
		return s, err
	}
	b := s.Solid.Bounds()
	d, up := r3.Sub(b.Max, b.Min), r3.Vec{X: 1}
	switch s.SizeMM {
	case d.Z:
		up = r3.Vec{Z: 1}
	case d.Y:
		up = r3.Vec{Y: 1}
	}
	m := s.Solid.Mesh
	if longestMM != 0 {
		m = m.Scaled(longestMM / s.SizeMM)
	}
	return NewSubject(s.Name, m, up)
}

// EachBrokenScan breaks the closed meshes of the repository at root, the small
// ones in every way and the others in some, and shows them one by one, the same
// each time.
func EachBrokenScan(root string, show func(BrokenScan) error) error {
	damages := Damages()
	for i, known := range knownMeshes {
		s, err := readKnown(filepath.Join(root, filepath.FromSlash(known.path)), known.longestMM)
		if err != nil {
			return err
		}
		for k, d := range damages {
			if len(s.Solid.Faces) > smallMesh && k%waysApart != i%waysApart {
				continue
			}
			m, volume := d.Break(s, rand.New(rand.NewPCG(uint64(i), uint64(k))))
			if err := show(BrokenScan{s.Name + ", " + d.Name, m, volume}); err != nil {
				return err
			}
		}
	}
	return nil
}

const (
	smallMesh = 10_000 // faces
	waysApart = 4      // of the ways a large mesh is broken in, one in so many
)
