// Mended breaks the closed meshes of this repository, mends them and writes what
// came of each as binary STL, with a list of our own figures, for other programs
// to judge.
//
// Usage, at the root of the repository: go run ./testdata/reference/mended.go FOLDER
package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

// row is one line of FOLDER/list.json.
type row struct {
	Name    string  `json:"name"`
	File    string  `json:"file,omitempty"`    // in FOLDER, mm
	Faces   int     `json:"faces,omitempty"`   // ours
	Parts   int     `json:"parts,omitempty"`   // ours: shells connected over edges
	Volume  float64 `json:"volume,omitempty"`  // ours, mm³, before rounding to float32
	Refused string  `json:"refused,omitempty"` // why it was not mended
}

func main() {
	if len(os.Args) != 2 {
		fmt.Fprintln(os.Stderr, "usage: mended FOLDER")
		os.Exit(2)
	}
	if err := run(os.Args[1]); err != nil {
		fmt.Fprintln(os.Stderr, "mended:", err)
		os.Exit(1)
	}
}

func run(folder string) error {
	var list []row
	err := meshtest.EachBrokenScan(".", func(b meshtest.BrokenScan) error {
		mended, err := mesh.Mend(context.Background(), b.Mesh, mesh.MendChoice{})
		var open *mesh.OpenQuestion
		if errors.As(err, &open) {
			list = append(list, row{Name: b.Name, Refused: err.Error()})
			return nil
		}
		if err != nil {
			return fmt.Errorf("%s: %w", b.Name, err)
		}
		r := row{
			Name: b.Name, File: fmt.Sprintf("%03d.stl", len(list)), Faces: len(mended.Solid.Faces),
			Parts: mended.Report.Shells, Volume: mended.Solid.Measure().VolumeMM3,
		}
		list = append(list, r)
		return mesh.WriteSTL(filepath.Join(folder, r.File), mended.Solid.Mesh, b.Name)
	})
	if err != nil {
		return err
	}
	text, err := json.MarshalIndent(list, "", "  ")
	if err != nil {
		return err
	}
	return os.WriteFile(filepath.Join(folder, "list.json"), text, 0o644)
}
