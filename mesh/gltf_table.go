package mesh

import (
	"encoding/binary"
	"math"

	"github.com/qmuntal/gltf"
)

// gltfRows are the bytes of an accessor, a row each.
type gltfRows struct {
	bytes       []byte
	stride, row int
}

func (t gltfRows) at(i int) []byte { return t.bytes[i*t.stride:][:t.row] }

// table returns an accessor of the given shape and its bytes. Every number of
// the file is held against the size of what it points into.
func (r *gltfReader) table(i int, shape gltf.AccessorType) (*gltf.Accessor, gltfRows, error) {
	var rows gltfRows
	if i < 0 || i >= len(r.Accessors) || r.Accessors[i] == nil {
		return nil, rows, r.damagedGLTF("there is no accessor %d", i)
	}
	a := r.Accessors[i]
	switch {
	case a.Type != shape:
		return nil, rows, r.damagedGLTF("accessor %d is of the wrong type", i)
	case a.Sparse != nil || a.BufferView == nil:
		return nil, rows, r.fail("export it again, without compression", "packs the points of accessor %d in a way that is not read", i)
	case *a.BufferView < 0 || *a.BufferView >= len(r.BufferViews) || r.BufferViews[*a.BufferView] == nil:
		return nil, rows, r.damagedGLTF("there is no buffer view %d", *a.BufferView)
	}
	v := r.BufferViews[*a.BufferView]
	if v.Buffer < 0 || v.Buffer >= len(r.buffers) {
		return nil, rows, r.damagedGLTF("there is no buffer %d", v.Buffer)
	}
	size := r.Buffers[v.Buffer].ByteLength
	rows.row = a.ComponentType.ByteSize() * a.Type.Components()
	if rows.stride = v.ByteStride; rows.stride == 0 {
		rows.stride = rows.row
	}
	switch {
	case !fitsIn(v.ByteOffset, v.ByteLength, size):
		return nil, rows, r.damagedGLTF("buffer view %d reaches beyond its buffer", *a.BufferView)
	case rows.stride < rows.row || rows.stride > maxStride || a.Count < 1 || a.Count > size ||
		!fitsIn(a.ByteOffset, rows.stride*(a.Count-1)+rows.row, v.ByteLength):
		return nil, rows, r.damagedGLTF("accessor %d reaches beyond its buffer view", i)
	}
	rows.bytes = make([]byte, rows.stride*(a.Count-1)+rows.row)
	if n, err := r.buffers[v.Buffer].ReadAt(rows.bytes, int64(v.ByteOffset+a.ByteOffset)); n < len(rows.bytes) {
		return nil, rows, r.readFailed(err)
	}
	return a, rows, nil
}

// fitsIn tells whether length bytes from offset on lie in size bytes.
func fitsIn(offset, length, size int) bool {
	return offset >= 0 && length >= 0 && offset <= size && length <= size-offset
}

// gltfNumber returns the first number of b; whole numbers that stand for
// fractions are turned into them (glTF 2.0, section 3.6.2.2).
func gltfNumber(a *gltf.Accessor, b []byte) float64 {
	x, most := 0.0, 1.0
	switch a.ComponentType {
	case gltf.ComponentFloat:
		return float64(math.Float32frombits(binary.LittleEndian.Uint32(b)))
	case gltf.ComponentUint:
		return float64(binary.LittleEndian.Uint32(b))
	case gltf.ComponentUshort:
		x, most = float64(binary.LittleEndian.Uint16(b)), math.MaxUint16
	case gltf.ComponentShort:
		x, most = float64(int16(binary.LittleEndian.Uint16(b))), math.MaxInt16
	case gltf.ComponentUbyte:
		x, most = float64(b[0]), math.MaxUint8
	case gltf.ComponentByte:
		x, most = float64(int8(b[0])), math.MaxInt8
	}
	if a.Normalized {
		return max(x/most, -1)
	}
	return x
}
