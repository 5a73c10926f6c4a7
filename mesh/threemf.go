package mesh

import (
	"archive/zip"
	"context"
	"errors"
	"fmt"
	"io"
	"path"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"
)

// threeMF reads 3MF. Of the format it takes the units, the meshes, and how they
// are put together for building; colours, supports and settings are passed
// over. (The library for 3MF keeps every part of the package in memory, fails
// on attributes that printing programs add, and decodes parts where a panic
// cannot be caught; it is the check in the tests.)
type threeMF struct {
	scanFile
	*gathering
	ctx      context.Context
	progress func(done, total int64)
	archive  *zip.Reader
	done     int64 // bytes of models unpacked
	total    int64
	objects  map[objectID]*object
	items    []component
	parts    int // objects, components and items
	budget   int64
	supports int
	src      Source
}

// objectID names an object of a package: the file that holds it, and its number
// there.
type objectID struct {
	path string
	id   uint32
}

// An object is a mesh, or is made of others.
type object struct {
	points     list[r3.Vec]
	faces      list[[3]int32]
	components []component
	support    bool // for printing only
	open       bool // being placed
}

// A component is an object with a place.
type component struct {
	objectID
	at placement
}

func read3MF(ctx context.Context, s scanFile, progress func(done, total int64)) (*Mesh, Source, error) {
	r := &threeMF{scanFile: s, gathering: newGathering(), ctx: ctx, progress: progress,
		objects: map[objectID]*object{}, src: Source{Format: "3MF", UnitMM: 1}}
	var err error
	if r.archive, err = zip.NewReader(s, s.size); err != nil {
		return nil, r.src, &ReadError{s.name + " is a damaged or cut-off 3MF or ZIP file", exportAgain3MF, err}
	}
	root, err := r.rootModel()
	if err != nil {
		return nil, r.src, err
	}
	if err := r.models(root); err != nil {
		return nil, r.src, err
	}
	if err := r.build(root); err != nil {
		return nil, r.src, err
	}
	progress(max(r.total, 1), max(r.total, 1))
	r.src.Triangles = r.faces.len()
	if r.faces.len() == 0 {
		return nil, r.src, s.fail(exportAgain3MF, "holds no faces")
	}
	if len(r.items) > 1 {
		r.src.Notes = append(r.src.Notes, fmt.Sprintf("%d parts in one file were read as one scan", len(r.items)))
	}
	if r.supports > 0 {
		r.src.Notes = append(r.src.Notes, fmt.Sprintf("supports for printing were left out: %d", r.supports))
	}
	return r.mesh(), r.src, nil
}

const exportAgain3MF = "export the scan again, as 3MF or binary STL"

// file returns a file of the package. Names in a package are compared without
// regard to case (ISO/IEC 29500-2).
func (r *threeMF) file(name string) *zip.File {
	for _, f := range r.archive.File {
		if strings.EqualFold(strings.TrimPrefix(f.Name, "/"), strings.TrimPrefix(name, "/")) {
			return f
		}
	}
	return nil
}

// modelRelation tells which file of a package is its model (3MF core
// specification 1.3, section 2.1).
const modelRelation = "http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"

// rootModel returns the name of the model that the package is about.
func (r *threeMF) rootModel() (string, error) {
	if f := r.file("_rels/.rels"); f != nil {
		target, err := r.modelTarget(f)
		if target != "" || err != nil {
			return target, err
		}
	}
	for _, f := range r.archive.File {
		if strings.EqualFold(path.Ext(f.Name), ".model") {
			return path.Join("/", f.Name), nil
		}
	}
	return "", r.fail("unpack it and give the scan that is in it", "is a ZIP file without a 3MF model in it")
}

// modelTarget returns the name of the model as the package's relations have it,
// empty when they do not tell.
func (r *threeMF) modelTarget(f *zip.File) (string, error) {
	in, err := f.Open()
	if err != nil {
		return "", r.damaged3MF(f.Name, err)
	}
	defer in.Close()
	tags := newXMLScanner(io.LimitReader(in, maxLine))
	for {
		event, err := tags.next()
		var broken xmlError
		switch {
		case err == io.EOF || errors.As(err, &broken):
			return "", nil
		case err != nil:
			return "", r.damaged3MF(f.Name, err)
		case event != xmlStart || string(tags.name.local) != "Relationship":
			continue
		}
		kind, target := "", ""
		for _, a := range tags.attributes {
			switch string(a.local) {
			case "Type":
				kind = string(a.value)
			case "Target":
				target = string(a.value)
			}
		}
		if kind == modelRelation {
			return path.Join("/", target), nil
		}
	}
}

func (r *threeMF) damaged3MF(name string, cause error) error {
	return &ReadError{fmt.Sprintf("%s is damaged: its part %s does not read", r.name, printable([]byte(name))), exportAgain3MF, cause}
}

// models reads the model of that name and those whose objects it uses.
func (r *threeMF) models(root string) error {
	todo, known := []string{root}, map[string]bool{root: true}
	for len(todo) > 0 {
		name := todo[0]
		todo = todo[1:]
		used, err := r.model(name, name == root)
		if err != nil {
			return err
		}
		for _, u := range used {
			if !known[u] {
				known[u] = true
				todo = append(todo, u)
			}
		}
	}
	return nil
}

// model reads one model and returns the names of those that it uses.
func (r *threeMF) model(name string, isRoot bool) ([]string, error) {
	f := r.file(name)
	if f == nil {
		return nil, r.fail(exportAgain3MF, "is damaged: its part %s is missing", printable([]byte(name)))
	}
	if limit := freeExpand + maxExpanded*int64(f.CompressedSize64); f.UncompressedSize64 > uint64(min(limit, maxFileSize)) {
		return nil, r.fail("pack the scan again with a program you trust", "would unpack to %d MB from %d kB, which no scan does",
			f.UncompressedSize64>>20, f.CompressedSize64>>10)
	}
	r.total += int64(f.UncompressedSize64)
	in, err := f.Open()
	if err != nil {
		return nil, r.damaged3MF(name, err)
	}
	defer in.Close()
	whole := &modelFile{in: in, file: r, limit: int64(f.UncompressedSize64)}
	m := &modelReader{threeMF: r, name: name, isRoot: isRoot, xml: newXMLScanner(whole)}
	err = m.read()
	if whole.failed != nil && err == whole.failed {
		err = r.damaged3MF(name, err)
	}
	return m.uses, err
}

// A modelFile unpacks a model. It stops when the work is called off and when
// more comes than was said.
type modelFile struct {
	in     io.Reader
	file   *threeMF
	limit  int64
	failed error // from unpacking
}

// Read reads on.
func (m *modelFile) Read(b []byte) (int, error) {
	if err := m.file.ctx.Err(); err != nil {
		return 0, err
	}
	n, err := m.in.Read(b)
	if m.file.done, m.limit = m.file.done+int64(n), m.limit-int64(n); m.limit < 0 {
		return 0, m.file.fail(exportAgain3MF, "is damaged: it holds more than it says")
	}
	if err != nil && err != io.EOF {
		m.failed = err
	}
	m.file.progress(min(m.file.done, m.file.total), m.file.total)
	return n, err
}
