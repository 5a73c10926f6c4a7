package picture

import (
	"context"
	"os"
	"testing"
	"time"

	"gonum.org/v1/gonum/spatial/r3"
	"pourwright/mesh"
)

func TestLook(t *testing.T) {
	dir := os.Getenv("LOOK")
	if dir == "" {
		t.Skip()
	}
	read := func(n string) *mesh.Mesh {
		m, _, err := mesh.ReadSTL(context.Background(), "../../samples/"+n+".stl", nil)
		if err != nil {
			t.Fatal(err)
		}
		return m
	}
	save := func(n string, m *mesh.Mesh, j job) {
		m, p := planned(t, m, j)
		t0 := time.Now()
		img, err := Preview(context.Background(), m, p, worded())
		if err != nil {
			t.Fatal(err)
		}
		t.Log(n, len(m.Faces), time.Since(t0))
		f, _ := os.Create(dir + "/" + n + ".png")
		if err := WritePNG(f, img); err != nil {
			t.Fatal(err)
		}
		f.Close()
	}
	save("vase", vase(120, 200, 120), job{name: "vase", clearance: 16, spout: 50, turn: 10, vents: 3})
	for _, n := range []string{"belaying-pin", "gull-headed-cane", "speaking-trumpet", "storm-lantern", "tiller-handle"} {
		m := read(n)
		t.Log(n, m.Bounds())
		save(n, m, job{name: n, clearance: 18, spout: 24, turn: 20, vents: 2})
		save(n+"-x", turned(m, r3.Vec{X: 1}), job{name: n, clearance: 18, spout: 24, stem: 20, turn: 70, vents: 5})
	}
}
