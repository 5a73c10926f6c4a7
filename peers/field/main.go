// Field turns a mesh into a grid of signed distances with mesh/field and times
// that alone, as the programs in peers/cpp do with other libraries.
//
// Usage: field FILE.stl PLACES CELLS (PLACES: a file of peers/inputs, or -)
// or:    field -lattice FILE.stl CELLS
//
// -lattice prints the centre of the first voxel, the side of a voxel, mm, and
// the voxels along each axis, so that others can be given the same grid.
package main

import (
	"context"
	"fmt"
	"math"
	"os"
	"strconv"
	"strings"
	"time"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
	"pourwright/mesh/field"
)

func main() {
	if len(os.Args) != 4 {
		fmt.Fprintln(os.Stderr, "usage: field FILE.stl PLACES CELLS, or field -lattice FILE.stl CELLS")
		os.Exit(2)
	}
	run := measure
	if os.Args[1] == "-lattice" {
		run = lattice
	}
	if err := run(os.Args[1:]); err != nil {
		fmt.Fprintln(os.Stderr, "field:", err)
		os.Exit(1)
	}
}

func lattice(args []string) error {
	f, _, err := build(args[1], args[2])
	if err != nil {
		return err
	}
	fmt.Println(f.Origin.X, f.Origin.Y, f.Origin.Z, f.VoxelMM, f.N[0], f.N[1], f.N[2])
	return nil
}

func measure(args []string) error {
	f, took, err := build(args[0], args[2])
	if err != nil {
		return err
	}
	fmt.Println("seconds", took.Seconds())
	fmt.Println("voxels", len(f.Distance))
	if args[1] == "-" {
		return nil
	}
	return printErrors(f, args[1])
}

// build makes the field of a file and says how long that took once it was read.
func build(path, cells string) (*field.Field, time.Duration, error) {
	n, err := strconv.Atoi(cells)
	if err != nil {
		return nil, 0, err
	}
	m, _, err := mesh.Read(context.Background(), path, nil)
	if err != nil {
		return nil, 0, err
	}
	start := time.Now()
	f, err := field.New(context.Background(), m, field.Choice{Cells: n, MemoryBytes: 4 << 30}, nil)
	return f, time.Since(start), err
}

// printErrors prints the greatest error, in voxels, within a voxel of the surface
// and anywhere.
func printErrors(f *field.Field, path string) error {
	text, err := os.ReadFile(path)
	if err != nil {
		return err
	}
	near, far := 0.0, 0.0
	for row := range strings.Lines(string(text)) {
		var p r3.Vec
		var d float64
		if _, err := fmt.Sscan(row, &p.X, &p.Y, &p.Z, &d); err != nil {
			return fmt.Errorf("%s: %w", path, err)
		}
		off := math.Abs(f.At(p)-d) / f.VoxelMM
		far = max(far, off)
		if math.Abs(d) <= f.VoxelMM {
			near = max(near, off)
		}
	}
	fmt.Println("near", near)
	fmt.Println("far", far)
	return nil
}
