package mesh

import (
	"bytes"
	"context"
	"encoding/binary"
	"errors"
	"io"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// tetra is the corner of a cube of side 1: volume 1/6.
func tetra() *Mesh {
	return &Mesh{
		Vertices: []r3.Vec{{}, {X: 1}, {Y: 1}, {Z: 1}},
		Faces:    [][3]int32{{0, 2, 1}, {0, 1, 3}, {0, 3, 2}, {1, 2, 3}},
	}
}

// binarySTL writes m by hand, from the format's definition: 80 bytes, a count,
// and per triangle a normal, three corners and two bytes, little-endian.
func binarySTL(header string, count int, m *Mesh) []byte {
	b := make([]byte, 80)
	copy(b, header)
	b = binary.LittleEndian.AppendUint32(b, uint32(count))
	for _, t := range m.Faces {
		b = append(b, make([]byte, 12)...)
		for _, v := range t {
			p := m.Vertices[v]
			for _, x := range []float64{p.X, p.Y, p.Z} {
				b = binary.LittleEndian.AppendUint32(b, math.Float32bits(float32(x)))
			}
		}
		b = append(b, 0, 0)
	}
	return b
}

const oneFacet = `facet normal 0 0 1
  outer loop
    vertex 0 0 0
    vertex 1 0 0
    vertex 0 1 0
  endloop
endfacet
`

const otherFacet = `facet normal nan nan nan
  outer loop
    vertex 0 0 0
    vertex -0.0 1e0 0
    vertex +0 0 2.5E-1
  endloop
endfacet
`

// quiet takes no progress.
func quiet(done, total int64) {}

func readBytes(b []byte) (*Mesh, Source, error) {
	return readAny(context.Background(), scanFile{bytes.NewReader(b), int64(len(b)), "part.stl"}, quiet)
}

func TestReadGoodSTL(t *testing.T) {
	four := binarySTL("hand", 4, tetra())
	for _, c := range []struct {
		name               string
		file               []byte
		format, object     string
		triangles, corners int
		note               string
	}{
		{"binary", four, "STL binary", "hand", 4, 4, ""},
		{"binary that begins with solid", binarySTL("solid hand", 4, tetra()), "STL binary", "solid hand", 4, 4, ""},
		{"binary with a header like another format", binarySTL("PK\x03\x04", 4, tetra()), "STL binary", "PK", 4, 4, ""},
		{"binary with bytes after it", append(slices.Clone(four), "colours"...), "STL binary", "hand", 4, 4,
			"7 bytes after the last triangle were not read"},
		{"binary with a text after it", append(slices.Clone(four), strings.Repeat("made by hand ", 20)...), "STL binary", "hand", 4, 4,
			"260 bytes after the last triangle were not read"},
		{"binary with zeros after it", append(slices.Clone(four), make([]byte, 428)...), "STL binary", "hand", 4, 4,
			"428 bytes after the last triangle were not read"},
		{"ascii", []byte("solid oar\n" + oneFacet + "endsolid oar\n"), "STL ASCII", "oar", 1, 3, ""},
		{"ascii without a name", []byte("solid\n" + oneFacet + "endsolid"), "STL ASCII", "", 1, 3, ""},
		{"ascii in capitals", []byte(strings.ToUpper("solid oar\n" + oneFacet + "endsolid\n")), "STL ASCII", "OAR", 1, 3, ""},
		{"ascii with CRLF", []byte(strings.ReplaceAll("solid oar\n"+oneFacet+"endsolid oar\n", "\n", "\r\n")), "STL ASCII", "oar", 1, 3, ""},
		{"ascii with CR", []byte(strings.ReplaceAll("solid oar\n"+oneFacet+"endsolid oar\n", "\n", "\r")), "STL ASCII", "oar", 1, 3, ""},
		{"ascii with a byte order mark and blank lines", []byte("\xef\xbb\xbf\n\n solid oar\n\n" + oneFacet + "endsolid oar\n\n"),
			"STL ASCII", "oar", 1, 3, ""},
		{"ascii on few lines", []byte("solid oar\n" + strings.ReplaceAll(oneFacet, "\n", " ") + " endsolid oar"), "STL ASCII", "oar", 1, 3, ""},
		{"ascii with nan normals and minus zero", []byte("solid oar\n" + oneFacet + otherFacet + "endsolid\n"), "STL ASCII", "oar", 2, 4, ""},
		{"several solids", []byte("solid oar\n" + oneFacet + "endsolid oar\nsolid cleat\n" + otherFacet + "endsolid cleat\n"),
			"STL ASCII", "oar", 2, 4, "2 solids in one file were read as one scan"},
	} {
		t.Run(c.name, func(t *testing.T) {
			m, src, err := readBytes(c.file)
			if err != nil {
				t.Fatal(err)
			}
			if src.Format != c.format || src.Name != c.object || src.Triangles != c.triangles {
				t.Errorf("source %+v", src)
			}
			if len(m.Faces) != c.triangles || len(m.Vertices) != c.corners {
				t.Errorf("%d faces on %d vertices, want %d on %d", len(m.Faces), len(m.Vertices), c.triangles, c.corners)
			}
			if got := strings.Join(src.Notes, "; "); got != c.note {
				t.Errorf("notes %q, want %q", got, c.note)
			}
		})
	}
}

func TestReadBrokenSTL(t *testing.T) {
	four := binarySTL("hand", 4, tetra())
	withCorner := func(bits uint32, triangle, word int) []byte {
		b := slices.Clone(four)
		binary.LittleEndian.PutUint32(b[84+50*(triangle-1)+12+4*word:], bits)
		return b
	}
	ascii := "solid oar\n" + oneFacet + "endsolid oar\n"
	for _, c := range []struct {
		name string
		file []byte
		want string
	}{
		{"empty", nil, "part.stl is empty"},
		{"cut within the header", four[:50], "is cut off: 50 bytes are too few"},
		{"cut within a triangle", four[:84+3*50+20], "says 4 triangles but has room for 3"},
		{"count too large", binarySTL("hand", 12, &Mesh{Vertices: tetra().Vertices, Faces: tetra().Faces[:3]}), "says 12 triangles but has room for 3"},
		{"huge count", binarySTL("hand", math.MaxUint32, tetra()), "says 4294967295 triangles but has room for 4"},
		{"count too small", binarySTL("hand", 3, tetra()), "says 3 triangles, but has 1 more of the same scan after them"},
		{"count far too small, and bytes after it", append(binarySTL("hand", 2, together(cube(r3.Vec{}), cube(r3.Vec{X: 9}))), "colours"...),
			"says 2 triangles, but has 22 more of the same scan after them: the count at its head is wrong"},
		{"two files in one", append(slices.Clone(four), binarySTL("foot", 12, cube(r3.Vec{}))...), "is two STL files in one: 4 triangles, then another file with 12"},
		{"no triangles", binarySTL("hand", 0, &Mesh{}), "holds no triangles"},
		{"count left at zero", binarySTL("hand", 0, tetra()), "says 0 triangles but has room for 4"},
		{"nan", withCorner(0x7fc00000, 3, 4), "not a number in triangle 3"},
		{"negative nan", withCorner(0xffc00001, 1, 0), "not a number in triangle 1"},
		{"infinite", withCorner(0x7f800000, 4, 8), "not a number in triangle 4"},
		{"words", []byte("Dear all, the rehearsal is on Monday. " + strings.Repeat("Bring oilskins. ", 90)), "is a text file but not STL, OBJ or PLY"},
		{"zip", append([]byte("PK\x03\x04"), make([]byte, 300)...), "is a damaged or cut-off 3MF or ZIP file"},
		{"web page", []byte("<!DOCTYPE html><html><body>Sign in</body></html>"), "looks like an HTML file, which is not read"},
		{"picture", append([]byte("\x89PNG\r\n\x1a\n"), make([]byte, 300)...), "looks like a PNG picture file, which is not read"},
		{"ply", []byte("ply\nformat ascii 1.0\n"), "is cut off, or is no PLY: its header has no end"},
		{"cut binary with a header like OBJ", binarySTL("# hand", 12, tetra()), "says 12 triangles but has room for 4"},
		{"ascii without facets", []byte("solid oar\nendsolid oar\n"), "holds no triangles"},
		{"ascii cut within a facet", []byte(ascii[:80]), "is cut off: it ends in line"},
		{"ascii cut after a facet", []byte("solid oar\n" + oneFacet), "is cut off: it ends in line 9 where facet or endsolid should follow"},
		{"ascii with a stray word", []byte(strings.Replace(ascii, "outer", "inner", 1)), `is damaged in line 3: "inner" stands where outer should`},
		{"ascii with a decimal comma", []byte(strings.Replace(ascii, "vertex 1 0", "vertex 1,0 0", 1)), `is damaged in line 5: "1,0" stands where a number should`},
		{"ascii with four corners", []byte(strings.Replace(ascii, "endloop", "vertex 1 1 0\nendloop", 1)), `"vertex" stands where endloop should`},
		{"ascii with nan", []byte(strings.Replace(ascii, "vertex 1 0", "vertex nan 0", 1)), "not a number in triangle 1"},
		{"ascii too large for float32", []byte(strings.Replace(ascii, "vertex 1 0", "vertex 1e39 0", 1)), "not a number in triangle 1"},
		{"ascii with words after the end", []byte(ascii + "thanks for reading"), `"thanks" stands where solid should`},
		{"ascii with an endless word", []byte("solid oar\n" + strings.Repeat("x", 5000)), "a word has no end"},
	} {
		t.Run(c.name, func(t *testing.T) {
			m, _, err := readBytes(c.file)
			if err == nil {
				t.Fatalf("read %d faces", len(m.Faces))
			}
			wantMakerError(t, err, c.want)
		})
	}
}

// wantMakerError asks for one sentence that contains want, and for a hint.
func wantMakerError(t *testing.T, err error, want string) {
	t.Helper()
	var e interface {
		error
		Hint() string
	}
	if !errors.As(err, &e) {
		t.Fatalf("%v: no hint", err)
	}
	if !strings.Contains(e.Error(), want) || strings.ContainsAny(e.Error(), "\n") {
		t.Errorf("error %q, want %q in it", e.Error(), want)
	}
	if e.Hint() == "" || e.Hint() == e.Error() {
		t.Errorf("hint %q", e.Hint())
	}
}

func TestReadNoFile(t *testing.T) {
	dir := t.TempDir()
	for path, want := range map[string]string{
		filepath.Join(dir, "gull.stl"): "there is no file",
		dir:                            "is a folder, not a scan",
	} {
		_, _, err := Read(context.Background(), path, nil)
		wantMakerError(t, err, want)
	}
	_, _, err := Read(context.Background(), filepath.Join(dir, "gull.stl"), nil)
	if !errors.Is(err, os.ErrNotExist) {
		t.Errorf("%v does not wrap the system's error", err)
	}
}

func TestReadStopsOnCancel(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	m := ring(100, 100)
	path := filepath.Join(t.TempDir(), "ring.stl")
	if err := WriteSTL(path, m, ""); err != nil {
		t.Fatal(err)
	}
	if _, _, err := Read(ctx, path, nil); !errors.Is(err, context.Canceled) {
		t.Errorf("got %v", err)
	}
}

func TestReadReportsProgress(t *testing.T) {
	m := ring(200, 100)
	last, calls := int64(0), 0
	b := binarySTL("", len(m.Faces), m)
	_, _, err := readAny(context.Background(), scanFile{bytes.NewReader(b), int64(len(b)), "ring.stl"}, func(done, total int64) {
		if done <= last || done > total {
			t.Errorf("%d of %d after %d", done, total, last)
		}
		last = done
		calls++
	})
	if err != nil || calls < 2 || last != int64(50*len(m.Faces)) {
		t.Errorf("%v; %d calls, last %d", err, calls, last)
	}
}

func TestReadShrunkFile(t *testing.T) {
	b := binarySTL("", 4, tetra())
	_, _, err := readAny(context.Background(), scanFile{shrunk{bytes.NewReader(b)}, int64(len(b)), "part.stl"}, quiet)
	wantMakerError(t, err, "changed while it was read")
}

// shrunk is a file that lost all but its header.
type shrunk struct{ r *bytes.Reader }

func (s shrunk) ReadAt(b []byte, at int64) (int, error) {
	if at >= headerSize {
		return 0, io.EOF
	}
	return s.r.ReadAt(b, at)
}

func TestWriteReadsBack(t *testing.T) {
	m := ring(90, 60)
	path := filepath.Join(t.TempDir(), "ring.stl")
	if err := WriteSTL(path, m, "tiller"); err != nil {
		t.Fatal(err)
	}
	got, src, err := Read(context.Background(), path, nil)
	if err != nil {
		t.Fatal(err)
	}
	if src.Name != "binary STL in mm: tiller" || !slices.Equal(got.Faces, renumbered(m)) {
		t.Errorf("source %+v, or the faces differ", src)
	}
	if b, _ := os.ReadFile(path); len(b) != 84+50*len(m.Faces) {
		t.Errorf("%d bytes", len(b))
	}
	left, _ := os.ReadDir(filepath.Dir(path))
	if len(left) != 1 {
		t.Errorf("%d files left", len(left))
	}
}

// renumbered returns the faces of m on vertices numbered by first appearance.
func renumbered(m *Mesh) [][3]int32 {
	number, faces := map[r3.Vec]int32{}, make([][3]int32, len(m.Faces))
	for f, t := range m.Faces {
		for i, v := range t {
			p := m.Vertices[v]
			if _, ok := number[p]; !ok {
				number[p] = int32(len(number))
			}
			faces[f][i] = number[p]
		}
	}
	return faces
}

func TestWriteLeavesNothingBehind(t *testing.T) {
	dir := t.TempDir()
	bad := tetra()
	bad.Vertices[2].Y = math.NaN()
	if err := WriteSTL(filepath.Join(dir, "bad.stl"), bad, ""); err == nil {
		t.Error("wrote a corner that is not a number")
	}
	if err := os.Mkdir(filepath.Join(dir, "taken.stl"), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := WriteSTL(filepath.Join(dir, "taken.stl"), tetra(), ""); err == nil {
		t.Error("wrote over a folder")
	}
	if left, _ := os.ReadDir(dir); len(left) != 1 {
		t.Errorf("left behind: %v", left)
	}
}

// FuzzReadSTL: whatever the bytes, the answer is a mesh with sound indexes or a
// sentence with a hint.
func FuzzReadSTL(f *testing.F) {
	four := binarySTL("solid hand", 4, tetra())
	for _, b := range [][]byte{
		four, four[:200], binarySTL("", math.MaxUint32, tetra()), nil, []byte("solid"), []byte("SOLID x\r\nendsolid"),
		[]byte("solid oar\n" + oneFacet + otherFacet + "endsolid oar\nsolid\nendsolid"), []byte("\xef\xbb\xbfsolid"),
	} {
		f.Add(b)
	}
	f.Fuzz(func(t *testing.T, b []byte) {
		m, src, err := readBytes(b)
		if err != nil {
			wantMakerError(t, err, "part.stl ")
			return
		}
		if len(m.Faces) == 0 || len(m.Faces) != src.Triangles || 36*len(m.Faces) > 2*len(b)+50 {
			t.Fatalf("%d faces from %d bytes; %+v", len(m.Faces), len(b), src)
		}
		next := int32(0)
		for _, face := range m.Faces {
			for _, v := range face {
				if v > next {
					t.Fatalf("vertex %d before %d", v, next)
				}
				next = max(next, v+1)
			}
		}
		if int(next) != len(m.Vertices) {
			t.Fatalf("%d of %d vertices used", next, len(m.Vertices))
		}
		Check(m)
	})
}
