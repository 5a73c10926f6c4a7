package mesh

import (
	"archive/zip"
	"bytes"
	"context"
	"encoding/xml"
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
	points     []r3.Vec
	faces      [][3]int32
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
	r.src.Triangles = len(r.faces)
	if len(r.faces) == 0 {
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
		b, err := r.small(f)
		if err != nil {
			return "", err
		}
		var relations struct {
			Relationship []struct {
				Type   string `xml:",attr"`
				Target string `xml:",attr"`
			}
		}
		if xml.Unmarshal(b, &relations) == nil {
			for _, l := range relations.Relationship {
				if l.Type == modelRelation {
					return path.Join("/", l.Target), nil
				}
			}
		}
	}
	for _, f := range r.archive.File {
		if strings.EqualFold(path.Ext(f.Name), ".model") {
			return path.Join("/", f.Name), nil
		}
	}
	return "", r.fail("unpack it and give the scan that is in it", "is a ZIP file without a 3MF model in it")
}

// small reads a file of the package that is no model.
func (r *threeMF) small(f *zip.File) ([]byte, error) {
	in, err := f.Open()
	if err != nil {
		return nil, r.damaged3MF(f.Name, err)
	}
	defer in.Close()
	b, err := io.ReadAll(io.LimitReader(in, maxLine))
	if err != nil {
		return nil, r.damaged3MF(f.Name, err)
	}
	return b, nil
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
	guard := &tagGuard{in: in, file: r, limit: int64(f.UncompressedSize64)}
	m := &modelReader{threeMF: r, name: name, isRoot: isRoot, xml: xml.NewDecoder(guard)}
	err = m.read()
	switch {
	case guard.stop != nil:
		return nil, guard.stop
	case err != nil && guard.failed != nil:
		return nil, r.damaged3MF(name, guard.failed)
	}
	return m.uses, err
}

// A tagGuard unpacks a model. It stops when the work is called off, when more
// comes than was said, and when so much comes without the end of a tag that
// the XML library, which keeps a tag or text in memory, could take too much.
type tagGuard struct {
	in     io.Reader
	file   *threeMF
	limit  int64
	since  int   // bytes since the last end of a tag
	stop   error // why to stop
	failed error // from unpacking
}

// Read reads on.
func (g *tagGuard) Read(b []byte) (int, error) {
	if g.stop = g.file.ctx.Err(); g.stop != nil {
		return 0, g.stop
	}
	n, err := g.in.Read(b)
	if g.file.done, g.limit = g.file.done+int64(n), g.limit-int64(n); g.limit < 0 {
		g.stop = g.file.fail(exportAgain3MF, "is damaged: it holds more than it says")
	}
	if end := bytes.LastIndexByte(b[:n], '>'); end >= 0 {
		g.since = n - end
	} else {
		g.since += n
	}
	if g.since > maxLine {
		g.stop = g.file.fail(exportAgain3MF, "is damaged: a tag or text in it has no end")
	}
	if g.stop != nil {
		return 0, g.stop
	}
	if err != nil && err != io.EOF {
		g.failed = err
	}
	g.file.progress(min(g.file.done, g.file.total), g.file.total)
	return n, err
}
