package mesh

import (
	"bytes"
	"encoding/base64"
	"encoding/binary"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/qmuntal/gltf"
	"github.com/qmuntal/gltf/modeler"
	"gonum.org/v1/gonum/spatial/r3"
)

// glb joins text and numbers to a file, from the format's definition.
func glb(text string, numbers []byte) []byte {
	for len(text)%4 != 0 {
		text += " "
	}
	for len(numbers)%4 != 0 {
		numbers = append(numbers, 0)
	}
	le := binary.LittleEndian
	b := le.AppendUint32(le.AppendUint32([]byte("glTF"), 2), uint32(12+8+len(text)+8+len(numbers)))
	b = append(le.AppendUint32(b, uint32(len(text))), "JSON"+text...)
	return append(append(le.AppendUint32(b, uint32(len(numbers))), "BIN\x00"...), numbers...)
}

// glbByLibrary writes m as GLB with the library's own writer.
func glbByLibrary(m *Mesh) []byte {
	doc := gltf.NewDocument()
	var points [][3]float32
	for _, p := range m.Vertices {
		points = append(points, [3]float32{float32(p.X), float32(p.Y), float32(p.Z)})
	}
	var corners []uint32
	for _, f := range m.Faces {
		corners = append(corners, uint32(f[0]), uint32(f[1]), uint32(f[2]))
	}
	at := modeler.WritePosition(doc, points)
	doc.Meshes = []*gltf.Mesh{{Primitives: []*gltf.Primitive{{
		Attributes: gltf.PrimitiveAttributes{gltf.POSITION: at},
		Indices:    gltf.Index(modeler.WriteIndices(doc, corners)),
	}}}}
	doc.Nodes = []*gltf.Node{{Mesh: gltf.Index(0)}}
	doc.Scenes[0].Nodes = []int{0}
	var b bytes.Buffer
	if err := gltf.NewEncoder(&b).Encode(doc); err != nil {
		panic(err)
	}
	return b.Bytes()
}

// gltfText describes a tetrahedron with corner numbers in bytes 0 to 11 and
// points from byte 12 on.
const gltfText = `{"asset":{"version":"2.0"},"scene":0,"scenes":[{"nodes":[0]}],"nodes":[{"name":"gull","mesh":0}],
"meshes":[{"primitives":[{"attributes":{"POSITION":1},"indices":0}]}],
"accessors":[{"bufferView":0,"componentType":5121,"count":12,"type":"SCALAR"},{"bufferView":1,"componentType":5126,"count":4,"type":"VEC3"}],
"bufferViews":[{"buffer":0,"byteLength":12},{"buffer":0,"byteOffset":12,"byteLength":48}],
"buffers":[{"byteLength":60}]}`

// gltfNumbers are the numbers that gltfText tells of.
func gltfNumbers() []byte {
	var b []byte
	m := tetra()
	for _, f := range m.Faces {
		b = append(b, byte(f[0]), byte(f[1]), byte(f[2]))
	}
	for _, p := range m.Vertices {
		for _, x := range []float64{p.X, p.Y, p.Z} {
			b = binary.LittleEndian.AppendUint32(b, math.Float32bits(float32(x)))
		}
	}
	return b
}

// changedGLB is the tetrahedron with pairs of replacements in its text.
func changedGLB(pairs ...string) []byte {
	return glb(strings.NewReplacer(pairs...).Replace(gltfText), gltfNumbers())
}

func embedded(mime string) []byte {
	uri := fmt.Sprintf(`{"uri":"data:%s;base64,%s",`, mime, base64.StdEncoding.EncodeToString(gltfNumbers()))
	return []byte(strings.Replace(gltfText, `"buffers":[{`, `"buffers":[`+uri, 1))
}

func TestReadGoodGLTF(t *testing.T) {
	testGoodFiles(t, []goodFile{
		{"GLB", changedGLB(), "GLB", "gull", 4, 4, 1000, ""},
		{"embedded", embedded("application/octet-stream"), "glTF", "gull", 4, 4, 1000, ""},
		{"embedded with slashes escaped", bytes.ReplaceAll(embedded("application/octet-stream"), []byte("/"), []byte(`\/`)), "glTF", "gull", 4, 4, 1000, ""},
		{"a picture beside", bytes.Replace(embedded("application/octet-stream"), []byte(`"buffers"`), []byte(`"images":[{"uri":"data:image/png;base64,AAAA"}],"buffers"`), 1), "glTF", "gull", 4, 4, 1000, ""},
		{"embedded under the newer name", embedded("application/gltf-buffer"), "glTF", "gull", 4, 4, 1000, ""},
		{"no scene", changedGLB(`"scene":0,"scenes":[{"nodes":[0]}],`, ""), "GLB", "gull", 4, 4, 1000, ""},
		{"no corner numbers", changedGLB(`,"indices":0`, "", `"count":4`, `"count":3`), "GLB", "gull", 1, 3, 1000, ""},
		{"strip", changedGLB(`"indices":0`, `"indices":0,"mode":5`, `"count":12`, `"count":4`), "GLB", "gull", 2, 3, 1000, ""},
		{"fan", changedGLB(`"indices":0`, `"indices":0,"mode":6`, `"count":12`, `"count":3`), "GLB", "gull", 1, 3, 1000, ""},
		{"placed twice", changedGLB(`"nodes":[0]`, `"nodes":[0,1]`, `"mesh":0}]`, `"mesh":0},{"mesh":0,"translation":[5,0,0]}]`), "GLB", "gull", 8, 8, 1000, ""},
		{"lines beside", changedGLB(`"primitives":[`, `"primitives":[{"mode":1,"attributes":{"POSITION":1}},`), "GLB", "gull", 4, 4, 1000, ""},
		{"bones", changedGLB(`"name":"gull"`, `"name":"gull","skin":0`), "GLB", "gull", 4, 4, 1000,
			"bones or movements in the file were passed over; the shape is the one at rest"},
		{"materials required", changedGLB(`"scene":0`, `"extensionsRequired":["KHR_materials_unlit"],"scene":0`), "GLB", "gull", 4, 4, 1000, ""},
	})
}

// TestGLTFPlacements: a turned, scaled or mirrored node keeps the outside
// outside; the tetrahedron's volume is 1/6.
func TestGLTFPlacements(t *testing.T) {
	for _, c := range []struct {
		name, node string
		far        r3.Vec // where the corner (0, 0, 1) goes
		volume     float64
	}{
		{"shifted", `"translation":[1,2,3]`, r3.Vec{X: 1, Y: 2, Z: 4}, 1. / 6},
		{"scaled", `"scale":[1,2,3]`, r3.Vec{Z: 3}, 1},
		{"mirrored", `"scale":[1,1,-2]`, r3.Vec{Z: -2}, 1. / 3},
		// A quarter turn about x takes z to −y; then it is shifted.
		{"turned", `"rotation":[0.7071067811865476,0,0,0.7071067811865476],"translation":[0,0,7]`, r3.Vec{Y: -1, Z: 7}, 1. / 6},
		{"matrix in columns", `"matrix":[0,1,0,0, -1,0,0,0, 0,0,2,0, 5,0,0,1]`, r3.Vec{X: 5, Z: 2}, 1. / 3},
		{"in a mirrored parent", `"children":[1],"scale":[-1,1,1]},{"mesh":0,"translation":[1,0,0]`, r3.Vec{X: -1, Z: 1}, 1. / 6},
	} {
		t.Run(c.name, func(t *testing.T) {
			node := c.node + `,"mesh":0`
			if strings.Contains(node, "children") {
				node = c.node
			}
			m, _, err := readWhole(changedGLB(`"name":"gull","mesh":0`, node))
			if err != nil {
				t.Fatal(err)
			}
			solid, _, err := NewSolid(m)
			if err != nil {
				t.Fatal(err)
			}
			if v := solid.Measure().VolumeMM3; math.Abs(v-c.volume) > 1e-12 {
				t.Errorf("volume %v, want %v", v, c.volume)
			}
			// The fourth face, 1 2 3, ends at (0, 0, 1); the first point to appear is (0, 0, 0).
			near := false
			for _, p := range m.Vertices {
				near = near || r3.Norm(r3.Sub(p, c.far)) < 1e-12
			}
			if !near {
				t.Errorf("no corner at %v: %v", c.far, m.Vertices)
			}
			if d := signedVolume(m); math.Abs(d-c.volume) > 1e-12 {
				t.Errorf("as wound the volume is %v, want %v", d, c.volume)
			}
		})
	}
}

// TestGLTFWholeNumbers: points in whole numbers, plain and as fractions of 1.
func TestGLTFWholeNumbers(t *testing.T) {
	for _, c := range []struct {
		name, kind string
		row        []byte
		want       float64
	}{
		{"bytes", `"componentType":5120,"normalized":true`, []byte{127, 0x81, 0x80, 0}, -1},
		{"unsigned bytes", `"componentType":5121,"normalized":true`, []byte{255, 51, 51, 0}, 0.2},
		{"shorts", `"componentType":5122`, []byte{1, 0, 2, 0, 0xfe, 0xff, 0, 0}, -2},
		{"unsigned shorts", `"componentType":5123,"normalized":true`, []byte{0, 0, 0, 0, 0xff, 0xff, 0, 0}, 1},
	} {
		t.Run(c.name, func(t *testing.T) {
			text := strings.NewReplacer(`"componentType":5126`, c.kind, `"byteOffset":12,"byteLength":48`, fmt.Sprintf(`"byteOffset":12,"byteLength":%d,"byteStride":%d`, 4*len(c.row), len(c.row)),
				`"byteLength":60`, fmt.Sprintf(`"byteLength":%d`, 12+4*len(c.row))).Replace(gltfText)
			numbers := append(make([]byte, 12), bytes.Repeat(c.row, 4)...)
			m, _, err := readWhole(glb(text, numbers))
			if err != nil || math.Abs(m.Vertices[0].Z-c.want) > 1e-7 {
				t.Errorf("%v; %v, want z %v", m, err, c.want)
			}
		})
	}
}

func TestReadBrokenGLTF(t *testing.T) {
	good := changedGLB()
	patched := func(at int, value uint32) []byte {
		b := bytes.Clone(good)
		binary.LittleEndian.PutUint32(b[at:], value)
		return b
	}
	required := func(name string) []byte {
		return changedGLB(`"scene":0`, fmt.Sprintf(`"extensionsRequired":[%q],"scene":0`, name))
	}
	part := `{"attributes":{"POSITION":1},"indices":0}`
	repeated := glb(strings.NewReplacer(part, strings.Repeat(part+",", 100)+part, `"count":12`, `"count":40000`, `"byteLength":12}`, `"byteLength":40000}`,
		`"byteOffset":12`, `"byteOffset":40000`, `"byteLength":60`, `"byteLength":40048`).Replace(gltfText), make([]byte, 40048))
	text := func(old, new string) []byte { return changedGLB(old, new) }
	testBrokenFiles(t, []brokenFile{
		{"four bytes", []byte("glTF"), "4 bytes are too few for a GLB file"},
		{"version 1", patched(4, 1), "is GLB of version 1"},
		{"cut off", good[:len(good)-8], "says it has"},
		{"text longer than the file", patched(12, 1<<31), "its first part is not what it should be"},
		{"numbers longer than the file", patched(len(good)-60-8, 1<<31), "its second part is not what it should be"},
		{"no text", patched(16, 0x004e4942), "its first part is not what it should be"},
		{"broken text", text(`"scene":0,`, `"scene":`), "its description does not read"},
		{"null nodes", text(`"nodes":[{"name":"gull","mesh":0}]`, `"nodes":[null]`), "there is no node 0"},
		{"null buffers", text(`"buffers":[{"byteLength":60}]`, `"buffers":[null]`), "buffer 0 is empty"},
		{"null meshes", text(`"meshes":[{`, `"meshes":[null,{`), "there is no mesh 0"},
		{"null part", text(`"primitives":[`, `"primitives":[null,`), "mesh 0 has an empty part"},
		{"null views", text(`"bufferViews":[`, `"bufferViews":[null,null,`), "there is no buffer view 1"},
		{"null accessors", text(`"accessors":[`, `"accessors":[null,null,`), "there is no accessor 1"},
		{"version 3", text(`"version":"2.0"`, `"version":"3.1"`), `is glTF of version "3.1"`},
		{"compressed", required("KHR_draco_mesh_compression"), `needs the glTF extension "KHR_draco_mesh_compression"`},
		{"compressed otherwise", required("EXT_meshopt_compression"), `needs the glTF extension "EXT_meshopt_compression"`},
		{"points in another file", []byte(strings.Replace(gltfText, `"buffers":[{`, `"buffers":[{"uri":"gull.bin",`, 1)), `keeps its points in another file, "gull.bin"`},
		{"a plain file without numbers", []byte(gltfText), "buffer 0 is not in it"},
		{"numbers that do not decode", bytes.Replace(embedded("application/octet-stream"), []byte("base64,"), []byte("base64,!"), 1), "buffer 0 has"},
		{"numbers that are cut off", bytes.Replace(embedded("application/octet-stream"), []byte(`","byteLength"`), []byte(`A","byteLength"`), 1), "buffer 0 has 0 bytes and should have 60"},
		{"numbers with a mark", bytes.Replace(embedded("application/octet-stream"), []byte("base64,"), []byte("base64,#0"), 1), "numbers in it are not base64"},
		{"too few numbers", bytes.Replace(embedded("application/octet-stream"), []byte("base64,"), []byte(`base64,AAAA","byteLength":4},{"uri":"data:;base64,`), 1), "buffer 0 has 3 bytes and should have 4"},
		{"text without end", text(`"scene":0`, `"scene":0,"extras":"`+strings.Repeat("gull", maxGLTFText/4)+`"`), "has more than 8 MB of text"},
		{"a buffer for gigabytes", text(`"byteLength":60`, `"byteLength":4000000000`), "buffer 0 has 60 bytes and should have 4000000000"},
		{"a view beyond its buffer", text(`"byteOffset":12`, `"byteOffset":13`), "buffer view 1 reaches beyond its buffer"},
		{"a view before its buffer", text(`"byteOffset":12`, `"byteOffset":-1`), "buffer view 1 reaches beyond its buffer"},
		{"rows for gigabytes", text(`"count":4`, `"count":9223372036854775807`), "accessor 1 reaches beyond its buffer view"},
		{"rows below 0", text(`"count":4`, `"count":-4`), "accessor 1 reaches beyond its buffer view"},
		{"a stride for gigabytes", text(`"byteLength":48`, `"byteLength":48,"byteStride":4611686018427387904`), "accessor 1 reaches beyond its buffer view"},
		{"flat points", text(`"VEC3"`, `"VEC2"`), "accessor 1 is of the wrong type"},
		{"sparse", text(`"count":4`, `"count":4,"sparse":{"count":1}`), "in a way that is not read"},
		{"a node that holds itself", text(`"name":"gull"`, `"name":"gull","children":[0]`), "node 0 has two parents, or holds itself"},
		{"nodes in a ring", text(`"name":"gull","mesh":0}`, `"children":[1]},{"children":[0]}`), "node 0 has two parents, or holds itself"},
		{"no such node", text(`"nodes":[0]`, `"nodes":[-1]`), "there is no node -1"},
		{"no such scene", text(`"scene":0`, `"scene":2`), "there is no scene 2"},
		{"no points", text(`"POSITION"`, `"NORMAL"`), "mesh 0 has no points"},
		{"no such point", text(`"count":4`, `"count":3`), "a corner names point 3 of 3"},
		{"flattened", text(`"name":"gull"`, `"scale":[1,0,1]`), "makes its shape flat"},
		{"thrown far away", text(`"name":"gull"`, `"scale":[1e60,1e60,1e60]`), "no number that can be used"},
		{"points alone", text(`"indices":0`, `"indices":0,"mode":0`), "holds points or lines but no faces"},
		{"an empty scene", text(`"nodes":[0]`, `"nodes":[]`), "holds no faces"},
		{"parts without measure", repeated, "repeats its parts without measure"},
		{"far too many things", text(`"meshes":[`, `"extras":[`+strings.Repeat("{},", maxParts)+`{}],"meshes":[`), "describes more than"},
	})
}

func FuzzReadGLB(f *testing.F) {
	fuzzRead(f, changedGLB(), embedded("application/octet-stream"), glbByLibrary(tetra()),
		bytes.ReplaceAll(embedded("application/octet-stream"), []byte("/"), []byte(`\/`)),
		bytes.Replace(embedded("application/octet-stream"), []byte("base64,"), []byte(`base64,AAAA"},{"uri":"data:;base64,`), 1),
		changedGLB(`"indices":0`, `"indices":0,"mode":5`), changedGLB(`"name":"gull"`, `"scale":[-1,1,1],"rotation":[0,0,1,1]`),
		changedGLB(`"name":"gull"`, `"children":[0]`), changedGLB(`"count":4`, `"count":-4`))
}
