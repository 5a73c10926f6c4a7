package mesh

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math"
	"os"
	"path/filepath"

	"github.com/hschendel/stl"
	"gonum.org/v1/gonum/spatial/r3"
)

// maxTriangles keeps the number of any corner or edge side within int32.
const maxTriangles = math.MaxInt32 / 3

// Source says what a mesh was read from.
type Source struct {
	Format    string  // "STL binary", "STL ASCII", "OBJ", "PLY ASCII", ...
	Name      string  // the name the file gives the object; may be empty
	Triangles int     // of the file, polygons cut, before any is dropped
	UnitMM    float64 // mm that a unit of the file is, 0 when it does not say
	HintMM    float64 // the same by a comment, which need not be true
	// UnitComment is the first comment that seems to name the unit, HintMM or none.
	UnitComment string
	Notes       []string // sentences on what was odd but could be read
}

// ReadError says why a file is no scan we can use and what to try.
type ReadError struct {
	what, try string
	cause     error
}

// Error returns one sentence that names the file.
func (e *ReadError) Error() string { return e.what }

// Hint returns what to try.
func (e *ReadError) Hint() string { return e.try }

// Unwrap returns the system's error behind this one, if any.
func (e *ReadError) Unwrap() error { return e.cause }

const exportAgain = "export the scan again as binary STL"

// scanFile is an open file whose size is known.
type scanFile struct {
	io.ReaderAt
	size int64
	name string
}

// fail returns a ReadError about the file: what follows its name.
func (s scanFile) fail(try, what string, args ...any) error {
	return &ReadError{what: s.name + " " + fmt.Sprintf(what, args...), try: try}
}

func openScan(path string) (*os.File, int64, error) {
	name := filepath.Base(path)
	f, err := os.Open(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, 0, &ReadError{"there is no file " + path, "check the spelling and the folder", err}
	case errors.Is(err, fs.ErrPermission):
		return nil, 0, &ReadError{name + " may not be read by you", "change its permissions or copy it to a folder of yours", err}
	case err != nil:
		return nil, 0, &ReadError{name + " cannot be opened", "copy it to a local folder and try again", err}
	}
	info, err := f.Stat()
	switch {
	case err != nil:
		err = &ReadError{name + " cannot be read", "copy it to a local folder and try again", err}
	case info.IsDir():
		err = &ReadError{name + " is a folder, not a scan", "name the scan file inside it", nil}
	case !info.Mode().IsRegular():
		err = &ReadError{name + " is not a plain file", "save the scan to a file first", nil}
	}
	if err != nil {
		f.Close()
		return nil, 0, err
	}
	return f, info.Size(), nil
}

// WriteSTL writes m as binary STL, in millimetres rounded to float32. The file
// appears complete or not at all.
func WriteSTL(path string, m *Mesh, name string) error {
	solid, err := stlSolid(m, name)
	if err != nil {
		return err
	}
	f, err := os.CreateTemp(filepath.Dir(path), ".writing-*.stl")
	if err != nil {
		return fmt.Errorf("cannot write %s: %w", path, err)
	}
	w := bufio.NewWriterSize(f, 1<<18)
	err = errors.Join(solid.WriteAll(w), w.Flush(), f.Chmod(0o644), f.Close())
	if err == nil {
		err = os.Rename(f.Name(), path)
	}
	if err != nil {
		os.Remove(f.Name())
		return fmt.Errorf("cannot write %s: %w", path, err)
	}
	return nil
}

// stlSolid returns m as the writing library wants it. The header never begins
// with "solid", which some readers take for text.
func stlSolid(m *Mesh, name string) (*stl.Solid, error) {
	solid := &stl.Solid{
		BinaryHeader: []byte("binary STL in mm: " + name),
		Triangles:    make([]stl.Triangle, len(m.Faces)),
	}
	for f := range m.Faces {
		a, b, c := m.Corners(f)
		t := &solid.Triangles[f]
		t.Vertices = [3]stl.Vec3{vec32(a), vec32(b), vec32(c)}
		if n := m.DoubleAreaNormal(f); n != (r3.Vec{}) {
			t.Normal = vec32(r3.Unit(n))
		}
		for _, v := range t.Vertices {
			if !finite32(v) {
				return nil, fmt.Errorf("face %d does not fit STL: a corner is not finite", f+1)
			}
		}
	}
	return solid, nil
}

func vec32(v r3.Vec) stl.Vec3 {
	return stl.Vec3{float32(v.X), float32(v.Y), float32(v.Z)}
}

func finite32(v stl.Vec3) bool {
	for _, x := range v {
		if math.IsNaN(float64(x)) || math.IsInf(float64(x), 0) {
			return false
		}
	}
	return true
}
