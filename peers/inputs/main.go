// Inputs writes what the peers are measured on: a cube, tori of 100 thousand, one million
// and five million faces, a sample cut finer, and places with their distance to
// the torus.
//
// Usage, at the root of the repository: go run ./peers/inputs FOLDER
package main

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

const (
	ringMM, tubeMM = 60.0, 20.0 // radii of the torus
	nearPlaces     = 10_000     // within reachMM of the surface
	farPlaces      = 10_000     // anywhere in the box
	reachMM        = 1.25       // a voxel of 128 along the longest side
)

func main() {
	if len(os.Args) != 2 {
		fmt.Fprintln(os.Stderr, "usage: inputs FOLDER")
		os.Exit(2)
	}
	if err := run(os.Args[1]); err != nil {
		fmt.Fprintln(os.Stderr, "inputs:", err)
		os.Exit(1)
	}
}

func run(folder string) error {
	for _, torus := range []struct {
		file string
		tube int // quads around the tube; twice as many along the ring, two faces each
	}{{"torus-100k.stl", 158}, {"torus-1m.stl", 500}, {"torus-5m.stl", 1118}} {
		m := meshtest.TorusMesh(2*torus.tube, torus.tube, ringMM, tubeMM)
		if err := mesh.WriteSTL(filepath.Join(folder, torus.file), m, "torus"); err != nil {
			return err
		}
	}
	// A scan of next to nothing is the start of a process and little else.
	if err := mesh.WriteSTL(filepath.Join(folder, "cube-12.stl"), meshtest.Box(10, 10, 10), "cube"); err != nil {
		return err
	}
	lantern, _, err := mesh.Read(context.Background(), filepath.FromSlash("samples/storm-lantern.stl"), nil)
	if err != nil {
		return err
	}
	fine := meshtest.Split(meshtest.Split(lantern))
	if err := mesh.WriteSTL(filepath.Join(folder, "lantern-1m.stl"), fine, "storm lantern, each face cut in sixteen"); err != nil {
		return err
	}
	return writePlaces(filepath.Join(folder, "places.txt"))
}

// writePlaces writes x, y, z and the signed distance to the torus, mm, one place
// a line.
func writePlaces(path string) (err error) {
	f, err := os.Create(path)
	if err != nil {
		return err
	}
	w := bufio.NewWriter(f)
	defer func() { err = errors.Join(err, w.Flush(), f.Close()) }()
	rng := rand.New(rand.NewPCG(1, 2))
	for range nearPlaces {
		su, cu := math.Sincos(2 * math.Pi * rng.Float64())
		sv, cv := math.Sincos(2 * math.Pi * rng.Float64())
		r := tubeMM + reachMM*(2*rng.Float64()-1)
		fmt.Fprintln(w, line(r3.Vec{X: (ringMM + r*cv) * cu, Y: (ringMM + r*cv) * su, Z: r * sv}))
	}
	for range farPlaces {
		across := func(half float64) float64 { return half * (2*rng.Float64() - 1) }
		fmt.Fprintln(w, line(r3.Vec{X: across(ringMM + tubeMM), Y: across(ringMM + tubeMM), Z: across(tubeMM)}))
	}
	return nil
}

// line writes p and its distance to the torus, in closed form.
func line(p r3.Vec) string {
	d := math.Hypot(math.Hypot(p.X, p.Y)-ringMM, p.Z) - tubeMM
	return fmt.Sprintf("%.17g %.17g %.17g %.17g", p.X, p.Y, p.Z, d)
}
