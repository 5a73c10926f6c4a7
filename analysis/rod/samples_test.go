package rod

import (
	"context"
	"path/filepath"
	"testing"

	"pourwright/mesh"
)

// sample reads one of the repository's samples.
func sample(tb testing.TB, name string) *mesh.Solid {
	tb.Helper()
	m, _, err := mesh.Read(context.Background(), filepath.Join("..", "..", "samples", name+".stl"), nil)
	if err != nil {
		tb.Fatal(err)
	}
	solid, _, err := mesh.NewSolid(m)
	if err != nil {
		tb.Fatal(err)
	}
	return solid
}
