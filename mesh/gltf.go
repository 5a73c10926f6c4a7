package mesh

import (
	"bytes"
	"context"
	"encoding/binary"
	"encoding/json"
	"io"
	"slices"
	"strings"

	"github.com/qmuntal/gltf"
)

// metre is a unit of glTF: "the units for all linear distances are meters"
// (Khronos, glTF 2.0 specification, section 3.4).
const metre = 1000

// gltfReader reads glTF 2.0. Of the format it takes the triangles of a scene;
// materials, pictures, bones and movements are passed over. (The library's own
// decoder trusts counts of the file and can panic, so that only its types are
// used.)
type gltfReader struct {
	scanFile
	*gathering
	gltf.Document
	ctx      context.Context
	progress func(done, total int64)
	buffers  []io.ReaderAt
	embedded []embedding
	budget   int64 // points and corners that may still be placed
	src      Source
	bones    bool // bones or shape keys were passed over
	lines    bool // points or lines were passed over
}

func readGLTF(ctx context.Context, s scanFile, kind kind, progress func(done, total int64)) (*Mesh, Source, error) {
	r := &gltfReader{scanFile: s, gathering: newGathering(), ctx: ctx, progress: progress,
		budget: maxCopies, src: Source{Format: string(kind), UnitMM: metre}}
	text, numbers := io.NewSectionReader(s, 0, s.size), (*io.SectionReader)(nil)
	if kind == kindGLB {
		var err error
		if text, numbers, err = s.glbChunks(); err != nil {
			return nil, r.src, err
		}
	}
	if err := r.decode(text); err != nil {
		return nil, r.src, err
	}
	if err := r.openBuffers(numbers); err != nil {
		return nil, r.src, err
	}
	if err := r.scene(); err != nil {
		return nil, r.src, err
	}
	progress(s.size, s.size)
	if r.bones {
		r.src.Notes = append(r.src.Notes, "bones or movements in the file were passed over; the shape is the one at rest")
	}
	r.src.Triangles = r.faces.len()
	switch {
	case r.faces.len() > 0:
		return r.mesh(), r.src, nil
	case r.lines:
		return nil, r.src, s.fail("let the scanner's program make a mesh and export that", "holds points or lines but no faces")
	}
	return nil, r.src, s.fail("export the scan again", "holds no faces")
}

// glbChunks returns the text and the numbers of a GLB file, whose lengths are
// held against the file's.
func (s scanFile) glbChunks() (text, numbers *io.SectionReader, err error) {
	const head, chunkHead = 12, 8
	b := make([]byte, head+chunkHead)
	if n, err := s.ReadAt(b, 0); n < len(b) {
		if s.size >= int64(len(b)) {
			return nil, nil, s.readFailed(err)
		}
		return nil, nil, s.fail("export the scan again", "is cut off: %d bytes are too few for a GLB file", s.size)
	}
	version, size := binary.LittleEndian.Uint32(b[4:]), int64(binary.LittleEndian.Uint32(b[8:]))
	length := int64(binary.LittleEndian.Uint32(b[12:]))
	switch {
	case version != 2:
		return nil, nil, s.fail("export it as GLB of version 2", "is GLB of version %d, and only version 2 is read", version)
	case size > s.size:
		return nil, nil, s.fail("the file is cut off; export it again", "says it has %d bytes but has %d", size, s.size)
	case string(b[16:]) != "JSON" || length > size-int64(len(b)):
		return nil, nil, s.damagedGLTF("its first part is not what it should be")
	}
	text = io.NewSectionReader(s, int64(len(b)), length)
	at := int64(len(b)) + (length+3)&^3
	if at+chunkHead > size {
		return text, nil, nil
	}
	if n, err := s.ReadAt(b[:chunkHead], at); n < chunkHead {
		return nil, nil, s.readFailed(err)
	}
	length = int64(binary.LittleEndian.Uint32(b))
	if string(b[4:chunkHead]) != "BIN\x00" || length > size-at-chunkHead {
		return nil, nil, s.damagedGLTF("its second part is not what it should be")
	}
	return text, io.NewSectionReader(s, at+chunkHead, length), nil
}

func (s scanFile) damagedGLTF(what string, args ...any) error {
	return s.fail("export the scan again", "is damaged: "+what, args...)
}

// decode reads the text.
func (r *gltfReader) decode(text *io.SectionReader) error {
	b, err := r.slimText(text)
	if err != nil {
		return err
	}
	if n := bytes.Count(b, []byte("{")) + bytes.Count(b, []byte("[")) + bytes.Count(b, []byte(",")); n > maxGLTFValues {
		return r.fail("export the shape alone", "describes more than %d things", maxGLTFValues)
	}
	if n := bytes.Count(b, []byte("{")); n > maxParts {
		return r.fail("export the shape alone", "describes more than %d things", maxParts)
	}
	if err := json.Unmarshal(b, &r.Document); err != nil {
		return &ReadError{r.name + " is damaged: its description does not read", "export the scan again", err}
	}
	if r.Asset.Version == "" {
		return r.fail(exportMesh, "is JSON text but not glTF: it names no version of it")
	}
	if !strings.HasPrefix(r.Asset.Version, "2.") {
		return r.fail("export it as glTF 2.0", "is glTF of version %q, and only 2.0 is read", printable([]byte(r.Asset.Version)))
	}
	for _, e := range r.ExtensionsRequired {
		if !harmless(e) {
			return r.fail("export it without compression or extras", "needs the glTF extension %q, which is not read", printable([]byte(e)))
		}
	}
	return nil
}

// harmless tells whether shapes are read right without knowing an extension.
func harmless(extension string) bool {
	return extension == "KHR_mesh_quantization" || // covered, by reading every type of number
		slices.ContainsFunc([]string{"KHR_materials_", "KHR_texture_", "EXT_texture_", "KHR_lights_", "KHR_xmp"},
			func(prefix string) bool { return strings.HasPrefix(extension, prefix) })
}

// openBuffers finds the numbers.
func (r *gltfReader) openBuffers(numbers *io.SectionReader) error {
	for i, b := range r.Buffers {
		switch {
		case b == nil || b.ByteLength < 0:
			return r.damagedGLTF("buffer %d is empty", i)
		case b.URI == "" && i == 0 && numbers != nil:
			if int64(b.ByteLength) > numbers.Size() {
				return r.damagedGLTF("buffer %d has %d bytes and should have %d", i, numbers.Size(), b.ByteLength)
			}
			r.buffers = append(r.buffers, numbers)
		case strings.HasPrefix(b.URI, "data:"):
			embedded, size := r.embeddedNumbers(b.URI)
			if size < int64(b.ByteLength) {
				return r.damagedGLTF("buffer %d has %d bytes and should have %d", i, size, b.ByteLength)
			}
			b.URI = ""
			r.buffers = append(r.buffers, embedded)
		case b.URI != "":
			return r.fail("export it as GLB, which is one file", "keeps its points in another file, %q", printable([]byte(b.URI)))
		default:
			return r.damagedGLTF("buffer %d is not in it", i)
		}
		r.budget += int64(b.ByteLength) // a point or corner takes a byte or more
	}
	return nil
}
