package mesh

import (
	"bytes"
	"context"
	"encoding/binary"
	"fmt"
	"math"
	"math/rand/v2"
	"runtime"
	"slices"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// soup returns binary STL of triangles whose corners are random places of a
// small grid, −0 among them, and the mesh that a map makes of it.
func soup(rng *rand.Rand, triangles, places int) ([]byte, *Mesh) {
	b := binary.LittleEndian.AppendUint32(make([]byte, 80), uint32(triangles))
	m, number := &Mesh{}, map[r3.Vec]int32{}
	for range triangles {
		b = append(b, make([]byte, normalSize)...)
		var face [3]int32
		for k := range face {
			var at [3]float32
			for i := range at {
				at[i] = float32(rng.IntN(places)-places/2) * 0.37
				if at[i] == 0 && rng.IntN(2) == 0 {
					at[i] = float32(math.Copysign(0, -1))
				}
				b = binary.LittleEndian.AppendUint32(b, math.Float32bits(at[i]))
			}
			p := r3.Vec{X: float64(at[0]), Y: float64(at[1]), Z: float64(at[2])} // as a map key, −0 is 0
			if _, ok := number[p]; !ok {
				number[p] = int32(len(m.Vertices))
				m.Vertices = append(m.Vertices, p)
			}
			face[k] = number[p]
		}
		b = append(b, 0, 0)
		m.Faces = append(m.Faces, face)
	}
	return b, m
}

// TestReadBinaryAgainstMap holds the welded mesh against one that a map makes:
// from corners that are nearly all shared to ones that are nearly all different,
// which is more than the tables expect, on any number of processors.
func TestReadBinaryAgainstMap(t *testing.T) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(0))
	rng := rand.New(rand.NewPCG(71, 72))
	for _, places := range []int{3, 20, 200} {
		file, want := soup(rng, 5*leastPart+77, places)
		for _, processors := range []int{1, 2, 3, 5} {
			runtime.GOMAXPROCS(processors)
			got, _, err := readAny(context.Background(), scanFile{bytes.NewReader(file), int64(len(file)), "soup.stl"}, quiet)
			if err != nil {
				t.Fatal(err)
			}
			if !slices.Equal(got.Faces, want.Faces) || !slices.Equal(got.Vertices, want.Vertices) {
				t.Errorf("%d places, %d processors: not the mesh that a map makes", places, processors)
			}
			for _, p := range got.Vertices {
				if math.Signbit(p.X) && p.X == 0 {
					t.Fatal("−0 is left")
				}
			}
		}
	}
}

// TestReadBinaryNamesFirstBadTriangle finds what is wrong in a late run of a
// file, and the first of several.
func TestReadBinaryNamesFirstBadTriangle(t *testing.T) {
	file, _ := soup(rand.New(rand.NewPCG(73, 74)), 5*leastPart, 50)
	for _, c := range []struct {
		triangle int // from 1
		bits     uint32
		want     string
	}{
		{5*leastPart - 3, 0xff800000, fmt.Sprint("not a number in triangle ", 5*leastPart-3)},
		{leastPart + 300, 0x7fc00000, fmt.Sprint("not a number in triangle ", leastPart+300)},
		{2, 0x7f800001, "not a number in triangle 2"},
	} {
		binary.LittleEndian.PutUint32(file[84+50*(c.triangle-1)+12+4*4:], c.bits)
		_, _, err := readBytes(file)
		wantMakerError(t, err, c.want)
	}
}
