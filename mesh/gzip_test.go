package mesh

import (
	"bytes"
	"compress/gzip"
	"context"
	"errors"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
)

func zipped(b []byte) []byte {
	var out bytes.Buffer
	z := gzip.NewWriter(&out)
	if _, err := z.Write(b); err != nil {
		panic(err)
	}
	if err := z.Close(); err != nil {
		panic(err)
	}
	return out.Bytes()
}

func TestReadGoodGzip(t *testing.T) {
	testGoodFiles(t, []goodFile{
		{"STL", zipped(binarySTL("hand", 4, tetra())), "STL binary, gzip", "hand", 4, 4, 0, ""},
		{"OBJ", zipped([]byte(cubeOBJ)), "OBJ, gzip", "", 12, 8, 0, ""},
		{"PLY", zipped(littlePLY(tetra())), "PLY binary, gzip", "", 4, 4, 0, ""},
		{"GLB", zipped(changedGLB()), "GLB, gzip", "gull", 4, 4, 1000, ""},
		{"3MF", zipped(changed3MF()), "3MF, gzip", "gull", 4, 4, 25.4, ""},
	})
}

func TestReadBrokenGzip(t *testing.T) {
	noTemporaries(t)
	good := zipped(textOBJ(ring(30, 20)))
	damaged := bytes.Clone(good)
	damaged[len(damaged)-6] ^= 1
	testBrokenFiles(t, []brokenFile{
		{"two bytes", []byte("\x1f\x8b"), "ends in the middle of its gzip data"},
		{"cut off", good[:len(good)/2], "ends in the middle of its gzip data"},
		{"damaged", damaged, "its gzip data do not unpack"},
		{"no gzip after all", append([]byte("\x1f\x8b"), make([]byte, 300)...), "its gzip data do not unpack"},
		{"twice", zipped(zipped([]byte(cubeOBJ))), "is packed with gzip twice"},
		{"nothing inside", zipped(nil), "is empty"},
		{"a letter inside", zipped([]byte("Dear all")), "is a text file but not STL, OBJ or PLY"},
		{"a bomb", zipped(make([]byte, 64<<20)), "unpacks to more than 50 times its size"},
	})
}

// noTemporaries asks that a test leaves nothing among the temporary files.
func noTemporaries(t *testing.T) {
	t.Helper()
	dir := t.TempDir()
	t.Setenv("TMPDIR", dir)
	t.Setenv("TMP", dir)
	t.Cleanup(func() {
		if left, _ := os.ReadDir(dir); len(left) > 0 {
			t.Errorf("left behind: %v", left)
		}
	})
}

func TestGzipBombTakesLittle(t *testing.T) {
	bomb := zipped(bytes.Repeat([]byte("v 0 0 0\n"), 10<<20))
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	_, _, err := readWhole(bomb)
	runtime.ReadMemStats(&after)
	wantMakerError(t, err, "unpacks to more than 50 times its size")
	if took := after.TotalAlloc - before.TotalAlloc; took > 4<<20 {
		t.Errorf("%d bytes taken", took)
	}
}

func TestReadStandardInput(t *testing.T) {
	noTemporaries(t)
	quiet := func(done, total int64) {}
	read := func(ctx context.Context, b []byte) (*Mesh, Source, error) {
		in, out, err := os.Pipe()
		if err != nil {
			t.Fatal(err)
		}
		defer in.Close()
		go func() {
			out.Write(b)
			out.Close()
		}()
		return readStandardInput(ctx, in, quiet)
	}
	for format, b := range map[string][]byte{"STL binary": binarySTL("", 4, tetra()), "PLY ASCII": textPLY(tetra()), "3MF": changed3MF(), "GLB, gzip": zipped(changedGLB())} {
		m, src, err := read(context.Background(), b)
		if err != nil || src.Format != format || len(m.Faces) != 4 {
			t.Errorf("%s: %+v, %v", format, src, err)
		}
	}
	_, _, err := read(context.Background(), nil)
	wantMakerError(t, err, "standard input is empty")
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, _, err := read(ctx, binarySTL("", 4, tetra())); !errors.Is(err, context.Canceled) {
		t.Errorf("called off: %v", err)
	}
}

// TestStandardInputCalledOff: waiting for a pipe that keeps silent ends with the
// context, before and after some bytes came.
func TestStandardInputCalledOff(t *testing.T) {
	noTemporaries(t)
	for _, first := range []string{"", "solid gull\n"} {
		in, out, err := os.Pipe()
		if err != nil {
			t.Fatal(err)
		}
		out.WriteString(first)
		ctx, cancel := context.WithCancel(context.Background())
		ended := make(chan error)
		go func() {
			_, _, err := readStandardInput(ctx, in, func(done, total int64) {})
			ended <- err
		}()
		cancel()
		if err := <-ended; !errors.Is(err, context.Canceled) {
			t.Errorf("after %q: %v", first, err)
		}
		out.Close()
		in.Close()
	}
}

// TestReadByContent: names say nothing, and every format can be called off and
// tells how far it is.
func TestReadByContent(t *testing.T) {
	m := inSteps(ring(100, 60))
	path := filepath.Join(t.TempDir(), "scan.jpeg")
	for _, w := range append(writers, written{"OBJ, gzip", func(m *Mesh) []byte { return zipped(textOBJ(m)) }}) {
		if err := os.WriteFile(path, w.file(m), 0o600); err != nil {
			t.Fatal(err)
		}
		last, whole := int64(0), int64(0)
		got, src, err := Read(context.Background(), path, func(done, total int64) {
			if done < last || done > total {
				t.Errorf("%s: %d of %d after %d", w.format, done, total, last)
			}
			last, whole = done, total
		})
		if err != nil || src.Format != w.format || len(got.Faces) != len(m.Faces) {
			t.Errorf("%s: %+v, %v", w.format, src, err)
		}
		if last == 0 || last != whole {
			t.Errorf("%s: ended at %d of %d", w.format, last, whole)
		}
		ctx, cancel := context.WithCancel(context.Background())
		cancel()
		if _, _, err := Read(ctx, path, nil); !errors.Is(err, context.Canceled) {
			t.Errorf("%s, called off: %v", w.format, err)
		}
	}
	_, _, err := Read(context.Background(), filepath.Join(t.TempDir(), "gull.ply"), nil)
	wantMakerError(t, err, "there is no file")
}

// TestSniff: what is no scan is named.
func TestSniff(t *testing.T) {
	noise := strings.Repeat("\x00\x01", 200)
	testBrokenFiles(t, []brokenFile{
		{"picture", []byte("\x89PNG\r\n\x1a\n" + noise), "looks like a PNG picture file, which is not read"},
		{"photograph", []byte("\xff\xd8\xff" + noise), "looks like a JPEG picture file"},
		{"FBX", []byte("Kaydara FBX Binary  \x00" + noise), "looks like an FBX file, which is not read"},
		{"STEP", []byte("ISO-10303-21;\nHEADER;\n"), "looks like a STEP file"},
		{"web page", []byte("<!DOCTYPE html><html>"), "looks like an HTML file"},
		{"XML", []byte("<?xml version=\"1.0\"?><gull/>"), "looks like an XML file"},
		{"RAR", []byte("Rar!\x1a\x07" + noise), "looks like a RAR file"},
		{"letter", []byte("Dear all,\n"), "is a text file but not STL, OBJ or PLY"},
		{"empty", nil, "is empty"},
		{"JSON of another kind", []byte(`{"gulls": 3}`), "is JSON text but not glTF"},
		{"noise", []byte(noise), "triangles but has room for"},
	})
}

// FuzzReadGzip feeds the unpacking, and what it unpacks.
func FuzzReadGzip(f *testing.F) {
	for _, b := range [][]byte{zipped([]byte(cubeOBJ)), zipped(binarySTL("", 4, tetra())), zipped(zipped(nil)), zipped(make([]byte, 1<<20)), zipped([]byte(cubeOBJ))[:40]} {
		f.Add(b[2:])
	}
	f.Add([]byte(cubeOBJ))
	f.Add(textPLY(tetra()))
	f.Fuzz(func(t *testing.T, b []byte) {
		fuzzed(t, append([]byte("\x1f\x8b"), b...))
		fuzzed(t, zipped(b))
	})
}
