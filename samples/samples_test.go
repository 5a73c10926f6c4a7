package samples

import (
	"bytes"
	"context"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
	"pourwright/samples/prop"
)

// readSolid reads a committed scan, which must be one closed outward shell
// without any fault.
func readSolid(t *testing.T, file string) *mesh.Solid {
	t.Helper()
	m, _, err := mesh.Read(context.Background(), file, nil)
	if err != nil {
		t.Fatal(err)
	}
	solid, report, err := mesh.NewSolid(m)
	if err != nil {
		t.Fatal(err)
	}
	if report.Shells != 1 || len(report.Problems) > 0 {
		t.Errorf("%s has %d shells and the problems %v", file, report.Shells, report.Problems)
	}
	return solid
}

func TestScansAgreeWithFacts(t *testing.T) {
	if len(All()) != 5 {
		t.Errorf("%d samples, want five", len(All()))
	}
	for _, f := range All() {
		t.Run(f.File, func(t *testing.T) {
			s := readSolid(t, f.File)
			if n := len(s.Faces); n < 40_000 || n > 90_000 {
				t.Errorf("%d faces, want 40 000 to 90 000", n)
			}
			if got := s.Measure().VolumeMM3; math.Abs(got/f.VolumeMM3-1) > f.VolumeTolerance {
				t.Errorf("volume %.0f mm³, known %.0f by the %s", got, f.VolumeMM3, f.VolumeFrom)
			}
			if got := mesh.TightestBox(s.Vertices).Size[0]; math.Abs(got-f.LongestMM) > 0.5 {
				t.Errorf("longest side %.2f mm, known %.1f", got, f.LongestMM)
			}
			checkRegions(t, s.Mesh, f)
		})
	}
}

// detailRatio is how much more the surface must bend where it is carved than
// where it is plain.
const detailRatio = 1.4

func checkRegions(t *testing.T, m *mesh.Mesh, f Fact) {
	t.Helper()
	normals := vertexNormals(m)
	plainest := 0.0
	for _, r := range f.Plain {
		plainest = max(plainest, bend(t, m, normals, r))
	}
	for _, r := range f.Detail {
		if got := bend(t, m, normals, r); got < detailRatio*plainest {
			t.Errorf("%s bends by %.1f°, plain surface by up to %.1f°", r.What, got, plainest)
		}
	}
}

// bend returns the mean angle in degrees between the normals of neighbouring
// vertices in the region.
func bend(t *testing.T, m *mesh.Mesh, normals []r3.Vec, r Region) float64 {
	t.Helper()
	var sum float64
	n := 0
	for _, face := range m.Faces {
		for k, a := range face {
			b := face[(k+1)%3]
			if r3.Norm(r3.Sub(m.Vertices[a], r.Centre)) > r.RadiusMM {
				continue
			}
			sum += math.Acos(min(1, r3.Dot(normals[a], normals[b])))
			n++
		}
	}
	if n < 300 {
		t.Errorf("%s: only %d edges there", r.What, n)
	}
	return sum / float64(n) * 180 / math.Pi
}

func vertexNormals(m *mesh.Mesh) []r3.Vec {
	normals := make([]r3.Vec, len(m.Vertices))
	for f, face := range m.Faces {
		for _, p := range face {
			normals[p] = r3.Add(normals[p], m.DoubleAreaNormal(f))
		}
	}
	for i, n := range normals {
		normals[i] = r3.Unit(n)
	}
	return normals
}

// TestNeck measures the neck as the diameter of the circle of the section's
// area, there and a little way to both sides of the cylinder.
func TestNeck(t *testing.T) {
	for _, f := range All() {
		if f.NeckMM == 0 {
			continue
		}
		m := readSolid(t, f.File).Mesh
		diameter := func(along float64) float64 {
			loops := m.Section(r3.Add(f.NeckAt, r3.Scale(along, f.NeckAxis)), f.NeckAxis)
			if len(loops) != 1 {
				t.Fatalf("%s: %d loops %g mm from the neck", f.File, len(loops), along)
			}
			return 2 * math.Sqrt(mesh.LoopsArea(loops, f.NeckAxis)/math.Pi)
		}
		for _, along := range []float64{-8, 0, 8} {
			if got := diameter(along); math.Abs(got-f.NeckMM) > 0.1 {
				t.Errorf("%s: %.2f mm across %g mm from the neck, known %g", f.File, got, along, f.NeckMM)
			}
		}
		for _, along := range []float64{-18, 18, -30, 30, -200} {
			if got := diameter(along); got < 1.5*f.NeckMM {
				t.Errorf("%s: only %.2f mm across %g mm from the neck", f.File, got, along)
			}
		}
	}
}

// TestScanIsRepeatable makes one scan again and compares all bytes.
func TestScanIsRepeatable(t *testing.T) {
	p := prop.TillerHandle()
	path := filepath.Join(t.TempDir(), p.File)
	if err := mesh.WriteSTL(path, p.Scan(), p.Title); err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(readFile(t, path), readFile(t, p.File)) {
		t.Errorf("%s differs from the committed file; run go run ./samples/make", p.File)
	}
}

func TestDemo(t *testing.T) {
	name, stl := Demo()
	if !bytes.Equal(stl, readFile(t, name)) {
		t.Errorf("the embedded bytes are not those of %s", name)
	}
}

func TestScansAreSmall(t *testing.T) {
	total := 0
	for _, f := range All() {
		size := len(readFile(t, f.File))
		total += size
		if size > 4_500_000 {
			t.Errorf("%s is %d bytes", f.File, size)
		}
	}
	if total > 20_000_000 {
		t.Errorf("all scans are %d bytes", total)
	}
}

// TestReadmeListsFacts looks for a table row of every fact in README.md.
func TestReadmeListsFacts(t *testing.T) {
	readme := string(readFile(t, "README.md"))
	for _, row := range rows() {
		if !strings.Contains(readme, row+"\n") {
			t.Errorf("README.md lacks the row\n%s", row)
		}
	}
}

func rows() []string {
	var rows []string
	for _, f := range All() {
		rows = append(rows, fmt.Sprintf("| `%s` | %s | %.1f | %.1f | %s |", f.File, f.Title, f.LongestMM, f.VolumeMM3/1000, f.VolumeFrom))
	}
	for _, f := range All() {
		for _, r := range f.Detail {
			rows = append(rows, regionRow(f, "detail", r))
		}
		for _, r := range f.Plain {
			rows = append(rows, regionRow(f, "plain", r))
		}
		if f.NeckMM > 0 {
			rows = append(rows, regionRow(f, "neck", Region{fmt.Sprintf("round, %g mm across", f.NeckMM), f.NeckAt, f.NeckMM / 2}))
		}
	}
	return rows
}

func regionRow(f Fact, kind string, r Region) string {
	return fmt.Sprintf("| `%s` | %s | %s | %.1f, %.1f, %.1f | %g |", f.File, kind, r.What, r.Centre.X, r.Centre.Y, r.Centre.Z, r.RadiusMM)
}

func readFile(t *testing.T, path string) []byte {
	t.Helper()
	b, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return b
}
