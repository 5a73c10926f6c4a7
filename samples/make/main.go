// Command make writes the scans of the sample props as binary STL.
//
//	go run ./samples/make -out samples
package main

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"

	"pourwright/mesh"
	"pourwright/samples/prop"
)

func main() {
	out := flag.String("out", "samples", "folder to write the scans to")
	flag.Parse()
	if err := write(*out); err != nil {
		fmt.Fprintln(os.Stderr, "make:", err)
		os.Exit(1)
	}
}

func write(folder string) error {
	for _, p := range prop.All() {
		scan := p.Scan()
		if _, _, err := mesh.NewSolid(scan); err != nil {
			return fmt.Errorf("%s: %w", p.File, err)
		}
		path := filepath.Join(folder, p.File)
		if err := mesh.WriteSTL(path, scan, p.Title); err != nil {
			return err
		}
		fmt.Printf("%s: %d faces\n", path, len(scan.Faces))
	}
	return nil
}
