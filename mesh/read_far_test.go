package mesh

import (
	"bytes"
	"encoding/binary"
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// movedBy is m shifted.
func movedBy(m *Mesh, by r3.Vec) *Mesh {
	out := &Mesh{Faces: m.Faces}
	for _, p := range m.Vertices {
		out.Vertices = append(out.Vertices, r3.Add(p, by))
	}
	return out
}

// textSTL writes m as ASCII STL.
func textSTL(m *Mesh) []byte {
	var b bytes.Buffer
	b.WriteString("solid\n")
	for f := range m.Faces {
		b.WriteString("facet normal 0 0 0\nouter loop\n")
		for _, v := range m.Faces[f] {
			p := m.Vertices[v]
			fmt.Fprintln(&b, "vertex", p.X, p.Y, p.Z)
		}
		b.WriteString("endloop\nendfacet\n")
	}
	b.WriteString("endsolid\n")
	return b.Bytes()
}

// doublePLY writes m as binary PLY with 64-bit coordinates.
func doublePLY(m *Mesh) []byte {
	b := fmt.Appendf(nil, "ply\nformat binary_little_endian 1.0\nelement vertex %d\nproperty double x\nproperty double y\nproperty double z\n"+
		"element face %d\nproperty list uint uint vertex_index\nend_header\n", len(m.Vertices), len(m.Faces))
	le := binary.LittleEndian
	for _, p := range m.Vertices {
		for _, x := range []float64{p.X, p.Y, p.Z} {
			b = le.AppendUint64(b, math.Float64bits(x))
		}
	}
	for _, f := range m.Faces {
		b = le.AppendUint32(b, 3)
		for _, v := range f {
			b = le.AppendUint32(b, uint32(v))
		}
	}
	return b
}

// text3MF writes m as 3MF with all digits, shifted by its item.
func text3MF(m *Mesh, by r3.Vec) []byte {
	var b strings.Builder
	b.WriteString("<mesh><vertices>")
	for _, p := range m.Vertices {
		fmt.Fprintf(&b, "<vertex x=\"%v\" y=\"%v\" z=\"%v\"/>", p.X, p.Y, p.Z)
	}
	b.WriteString("</vertices><triangles>")
	for _, f := range m.Faces {
		fmt.Fprintf(&b, "<triangle v1=\"%d\" v2=\"%d\" v3=\"%d\"/>", f[0], f[1], f[2])
	}
	b.WriteString("</triangles></mesh>")
	return changed3MF(tetra3MF, b.String(), `objectid="3"`, fmt.Sprintf(`objectid="3" transform="1 0 0 0 1 0 0 0 1 %v %v %v"`, by.X, by.Y, by.Z))
}

// placedGLB writes m as GLB, shifted by its node.
func placedGLB(m *Mesh, by r3.Vec) []byte {
	file := glbByLibrary(m)
	size := binary.LittleEndian.Uint32(file[12:])
	var doc map[string]any
	if err := json.Unmarshal(file[20:20+size], &doc); err != nil {
		panic(err)
	}
	doc["nodes"].([]any)[0].(map[string]any)["translation"] = []float64{by.X, by.Y, by.Z}
	text, err := json.Marshal(doc)
	if err != nil {
		panic(err)
	}
	return glb(string(text), file[20+size+8:])
}

// TestReadFarAway: a ring of 120 mm, 500 m away where float32 has steps of
// 1/32 mm, keeps its shape in every format whose numbers are finer.
func TestReadFarAway(t *testing.T) {
	near := inSteps(ring(200, 120))
	by := r3.Vec{X: 500_000, Y: -300_000, Z: 20}
	far := movedBy(near, by)
	rounded := 0
	for _, p := range far.Vertices {
		if float64(float32(p.X)) != p.X {
			rounded++
		}
	}
	if rounded < len(far.Vertices)/2 {
		t.Fatalf("float32 rounds %d of %d vertices", rounded, len(far.Vertices))
	}
	faces := renumbered(near)
	for _, w := range []struct {
		format string
		file   []byte
	}{
		{"STL ASCII", textSTL(far)}, {"OBJ", textOBJ(far)}, {"PLY ASCII", textPLY(far)}, {"PLY binary", doublePLY(far)},
		{"3MF", text3MF(far, r3.Vec{})}, {"3MF, placed", text3MF(near, by)}, {"GLB, placed", placedGLB(near, by)},
	} {
		m, src, err := readWhole(w.file)
		if err != nil {
			t.Fatalf("%s: %v", w.format, err)
		}
		if !slices.Equal(m.Faces, faces) || len(m.Vertices) != len(far.Vertices) {
			t.Errorf("%s: %d vertices, want %d; or other faces", w.format, len(m.Vertices), len(far.Vertices))
			continue
		}
		for f := range m.Faces {
			for i, v := range m.Faces[f] {
				if want := far.Vertices[far.Faces[f][i]]; r3.Norm(r3.Sub(m.Vertices[v], want)) > 1e-5 {
					t.Fatalf("%s: %v, want %v", w.format, m.Vertices[v], want)
				}
			}
		}
		if strings.Contains(strings.Join(src.Notes, ""), "from the origin") {
			t.Errorf("%s: notes %q", w.format, src.Notes)
		}
	}
}

// TestReadFarAwayRounded: a file that has rounded its scan is told of. The step
// of float32 at 500,000 is 2^(18−23) = 0.03125.
func TestReadFarAwayRounded(t *testing.T) {
	const want = "the scan lies 500000 units from the origin, where its numbers are good to 0.031 units only: move it to the origin before export"
	near := inSteps(ring(40, 24))
	far := movedBy(near, r3.Vec{X: 500_000})
	for _, c := range []struct {
		name, note string
		file       []byte
	}{
		{"STL, near", "", binarySTL("", len(near.Faces), near)},
		{"STL, far", want, binarySTL("", len(far.Faces), far)},
		{"STL packed, far", want, zipped(binarySTL("", len(far.Faces), far))},
		{"GLB, far", want, glbByLibrary(far)},
		{"PLY of doubles, far", "", doublePLY(far)},
	} {
		_, src, err := readWhole(c.file)
		if err != nil {
			t.Fatalf("%s: %v", c.name, err)
		}
		if got := strings.Join(src.Notes, "; "); got != c.note {
			t.Errorf("%s: notes %q, want %q", c.name, got, c.note)
		}
	}
}
