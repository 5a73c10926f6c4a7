// Mended breaks the closed meshes of this repository, mends them and writes what
// came of each as binary STL, with a list of our own figures, for other programs
// to judge. Two that pass through each other are built anew from their field.
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
	"pourwright/mesh/field"
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
	// Of two that were built anew: their files, and what the field says they
	// enclose, mm³.
	Crossed []string `json:"crossed,omitempty"`
	Inside  float64  `json:"inside,omitempty"`
	Doubt   float64  `json:"doubt,omitempty"`
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
	err = meshtest.EachCrossedScan(".", func(c meshtest.CrossedScan) error {
		r, err := rebuilt(c, folder, len(list))
		list = append(list, r)
		return err
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

// rebuilt builds a crossed scan anew, and writes that and both parts.
func rebuilt(c meshtest.CrossedScan, folder string, number int) (row, error) {
	f, err := field.New(context.Background(), c.Mesh, field.Choice{}, nil)
	if err != nil {
		return row{}, err
	}
	s, err := f.Surface()
	if err != nil {
		return row{}, err
	}
	r := row{
		Name: c.Name, File: fmt.Sprintf("%03d.stl", number), Faces: len(s.Faces), Parts: mesh.Check(s.Mesh).Shells,
		Volume: s.Measure().VolumeMM3, Crossed: []string{fmt.Sprintf("%03da.stl", number), fmt.Sprintf("%03db.stl", number)},
	}
	r.Inside, r.Doubt = f.Volume()
	return r, errors.Join(
		mesh.WriteSTL(filepath.Join(folder, r.File), s.Mesh, c.Name),
		mesh.WriteSTL(filepath.Join(folder, r.Crossed[0]), c.Parts[0], c.Name),
		mesh.WriteSTL(filepath.Join(folder, r.Crossed[1]), c.Parts[1], c.Name),
	)
}
