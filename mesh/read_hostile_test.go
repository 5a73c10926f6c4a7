package mesh

import (
	"bytes"
	"fmt"
	"math"
	"runtime"
	"strings"
	"testing"
)

// nodesGLB is the tetrahedron with other nodes.
func nodesGLB(nodes string) []byte {
	return changedGLB(`"nodes":[{"name":"gull","mesh":0}]`, `"nodes":[`+nodes+`]`)
}

// TestHostileFilesTakeLittle: files made to take the machine with them are
// refused before they take much memory: all that is allocated on the way counts.
func TestHostileFilesTakeLittle(t *testing.T) {
	many := func(n int, each func(i int) string) string {
		var b strings.Builder
		for i := range n {
			if i > 0 {
				b.WriteByte(',')
			}
			b.WriteString(each(i))
		}
		return b.String()
	}
	chain := func(n int) string {
		return many(n, func(i int) string { return fmt.Sprintf(`{"mesh":0,"children":[%d]}`, (i+1)%n) })
	}
	components := func(n int) string {
		var b strings.Builder
		for i := range n {
			fmt.Fprintf(&b, `<object id="%d"><components><component objectid="%d"/></components></object>`, i+4, (i+1)%n+4)
		}
		return b.String()
	}
	object := `<object id="3" name="gull">` + tetra3MF + `</object>`
	square := strings.Replace(squarePLY, "list uchar", "list uint", 1)
	for _, c := range []struct {
		name string
		file []byte
		want string
		mb   uint64
	}{
		{"STL that claims 4 billion triangles", binarySTL("", math.MaxUint32, tetra()), "says 4294967295 triangles but has room for 4", 1},
		{"STL with a word of 20 MB", []byte("solid\nfacet normal " + strings.Repeat("1", 20<<20)), "a word has no end", 4},
		{"OBJ with a line of 20 MB", []byte("v 0 0 0\nf " + strings.Repeat("1 ", 10<<20)), "line 2 has no end", 4},
		{"OBJ of a face of 400,000 corners", []byte("v 0 0 0\nf " + strings.Repeat("1 ", 400_000)), "a face has 400000 corners", 12},
		{"PLY that claims 2 billion points", []byte(strings.Replace(squarePLY, "vertex 4", "vertex 2000000000", 1)), "but has room for", 1},
		{"PLY of a face of 5 million corners", []byte(strings.Replace(square, "4 0 1 2 3", "5000000 "+strings.Repeat("0 ", 5_000_000), 1)), "it has 5000000 corners", 4},
		{"GLB with a chain of 99,000 nodes", nodesGLB(chain(99_000)), "describes more than 50000 things", 30},
		{"GLB with a ring of 49,000 nodes", nodesGLB(chain(49_000)), "node 0 has two parents, or holds itself", 90},
		{"GLB with a fan of 99,000 nodes", nodesGLB(many(99_000, func(i int) string { return `{"mesh":0}` })), "describes more than 50000 things", 30},
		{"GLB with a node of 900,000 children", nodesGLB(`{"children":[` + many(900_000, func(int) string { return "1" }) + `]},{}`), "node 1 has two parents", 90},
		{"GLB with a text of 20 MB", changedGLB(`"name":"gull"`, `"name":"`+strings.Repeat("gull", 5<<20)+`"`), "has more than 8 MB of text", 50},
		{"GLB with 400,000 brackets in brackets", changedGLB(`"scene":0`, `"extras":`+strings.Repeat("[", 400_000)+strings.Repeat("]", 400_000)), "its description does not read", 16},
		{"glTF with 40 MB embedded", bytes.Replace(embedded("a"), []byte("base64,"), []byte(`base64,`+strings.Repeat("A", 40<<20)+`","byteLength":9000000000},{"uri":"data:;base64,`), 1),
			"buffer 0 has 31457280 bytes and should have 9000000000", 4},
		{"3MF with components 100,000 deep", changed3MF(object, components(100_000)), "describes more than 50000 parts", 60},
		{"3MF with a ring of 20,000 components", changed3MF(object, components(20_000), `objectid="3"`, `objectid="4"`), "is made of itself", 60},
		{"3MF with a tag of 20 MB", changed3MF("<build>", "<q "+strings.Repeat(`a="" `, 4<<20)+"/><build>"), "would unpack to", 4},
		{"3MF with a tag of 2 MB", changed3MF("<build>", "<q "+strings.Repeat(`a="" `, 400_000)+"/><build>"), "a tag or text in it has no end", 8},
		{"3MF with a million open tags", changed3MF("<build>", strings.Repeat("<q>", 1_000_000)), "tags are nested more than 64 deep", 4},
		{"gzip of 100 MB of nothing", zipped(make([]byte, 100<<20)), "unpacks to more than 50 times its size", 4},
		{"gzip of 2 million points", zipped([]byte(strings.Repeat("v 0 0 0\n", 2_000_000))), "holds no faces, only points (2000000)", 80},
	} {
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		_, _, err := readWhole(c.file)
		runtime.ReadMemStats(&after)
		if err == nil {
			t.Errorf("%s: read", c.name)
			continue
		}
		wantMakerError(t, err, c.want)
		took := after.TotalAlloc - before.TotalAlloc
		if took > c.mb<<20 {
			t.Errorf("%s: %.1f MB taken, more than %d", c.name, float64(took)/(1<<20), c.mb)
		}
	}
}
