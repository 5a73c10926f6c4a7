package meshtest

import (
	"context"
	"fmt"
	"math"
	"path/filepath"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
)

// Subject is a sound solid that is to be broken.
type Subject struct {
	Name   string
	Solid  *mesh.Solid
	SizeMM float64 // longest side of the bounds
	Up     r3.Vec  // unit; what is cut off is at the low end
}

// NewSubject returns the solid m as a subject, or *mesh.NotSolid.
func NewSubject(name string, m *mesh.Mesh, up r3.Vec) (Subject, error) {
	s, _, err := mesh.NewSolid(m)
	if err != nil {
		return Subject{}, fmt.Errorf("%s: %w", name, err)
	}
	b := s.Bounds()
	d := r3.Sub(b.Max, b.Min)
	return Subject{name, s, max(d.X, d.Y, d.Z), up}, nil
}

// ReadSubject reads a solid from a file and scales it, so that the longest side
// of its tightest box is that long, in mm; 0 leaves it as it is. Up is along that
// side.
func ReadSubject(path string, longestMM float64) (Subject, error) {
	m, _, err := mesh.Read(context.Background(), path, nil)
	if err != nil {
		return Subject{}, err
	}
	box := mesh.TightestBox(m.Vertices)
	if longestMM != 0 {
		m = m.Scaled(longestMM / box.Size[0])
	}
	name := strings.TrimSuffix(filepath.Base(path), filepath.Ext(path))
	return NewSubject(name, m, box.Axes[0])
}

// Subjects returns four shapes made here, two samples and a scan of testdata, to
// try every damage on; root is the repository's. The scan has no unit and is made
// 150 mm long.
func Subjects(root string) ([]Subject, error) {
	box := Box(60, 40, 100)
	for range 4 {
		box = Split(box)
	}
	var all []Subject
	for _, shape := range []struct {
		name string
		m    *mesh.Mesh
		up   r3.Vec
	}{
		{"box", box, r3.Vec{Z: 1}},
		{"sphere", Icosphere(5).Scaled(50), r3.Vec{Z: 1}},
		{"torus", TorusMesh(160, 64, 60, 20), r3.Vec{X: 1}},
		{"lathe", Lathe(baluster(), 96), r3.Vec{Z: 1}},
	} {
		s, err := NewSubject(shape.name, shape.m, shape.up)
		if err != nil {
			return nil, err
		}
		all = append(all, s)
	}
	for _, file := range []struct {
		path      string
		longestMM float64
	}{{"samples/storm-lantern.stl", 0}, {"samples/gull-headed-cane.stl", 0}, {"testdata/bear.stl", 150}} {
		s, err := ReadSubject(filepath.Join(root, filepath.FromSlash(file.path)), file.longestMM)
		if err != nil {
			return nil, err
		}
		all = append(all, s)
	}
	return all, nil
}

// baluster is the profile of a post 150 mm tall whose radius waves from 9 to 27 mm.
func baluster() []r2.Vec {
	profile := []r2.Vec{{}}
	for i := range 61 {
		z := float64(i) / 60
		profile = append(profile, r2.Vec{X: 18 + 9*math.Cos(9*z), Y: 150 * z})
	}
	return append(profile, r2.Vec{Y: 150})
}
