package meshtest

import (
	"path/filepath"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
)

// CrossedScan is a known mesh and a copy of it, moved, that pass through each
// other.
type CrossedScan struct {
	Name  string // as "bear, crossed"
	Parts [2]*mesh.Mesh
	Mesh  *mesh.Mesh // both
}

// EachCrossedScan crosses the small closed meshes of the repository at root and
// shows them one by one, the same each time.
func EachCrossedScan(root string, show func(CrossedScan) error) error {
	for _, known := range knownMeshes {
		s, err := readKnown(filepath.Join(root, filepath.FromSlash(known.path)), known.longestMM)
		if err != nil {
			return err
		}
		if len(s.Solid.Faces) > smallMesh {
			continue
		}
		off := r3.Scale(s.SizeMM, r3.Vec{X: 0.11, Y: 0.07, Z: 0.05})
		moved := &mesh.Mesh{Vertices: slices.Clone(s.Solid.Vertices), Faces: s.Solid.Faces}
		for i, v := range moved.Vertices {
			moved.Vertices[i] = r3.Add(v, off)
		}
		both := Together(s.Solid.Mesh, moved)
		if err := show(CrossedScan{s.Name + ", crossed", [2]*mesh.Mesh{s.Solid.Mesh, moved}, both}); err != nil {
			return err
		}
	}
	return nil
}
