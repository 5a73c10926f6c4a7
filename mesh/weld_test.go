package mesh

import (
	"math"
	"math/rand/v2"
	"runtime"
	"slices"
	"testing"
)

// TestWeldOrder compares with the obvious way, a map filled face by face, on
// shuffled faces and for every number of processors.
func TestWeldOrder(t *testing.T) {
	m := ring(150, 100)
	random := rand.New(rand.NewPCG(1, 2))
	random.Shuffle(len(m.Faces), func(i, j int) { m.Faces[i], m.Faces[j] = m.Faces[j], m.Faces[i] })
	file := binarySTL("", len(m.Faces), m)
	want := renumbered(m)
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(0))
	for processors := 1; processors <= 5; processors++ {
		runtime.GOMAXPROCS(processors)
		got, _, err := readBytes(file)
		if err != nil {
			t.Fatal(err)
		}
		if !slices.Equal(got.Faces, want) || len(got.Vertices) != len(m.Vertices) {
			t.Fatalf("%d processors: another order", processors)
		}
		for f, face := range got.Faces {
			for i, v := range face {
				if keyOf(got.Vertices[v]) != keyOf(m.Vertices[m.Faces[f][i]]) {
					t.Fatalf("%d processors: face %d moved", processors, f)
				}
			}
		}
	}
}

func TestWeldIsExact(t *testing.T) {
	one := math.Float32bits(1)
	for _, c := range []struct {
		name string
		a, b key
		same bool
	}{
		{"equal", cornerKey(one, 0, 0), cornerKey(one, 0, 0), true},
		{"next float32", cornerKey(one, 0, 0), cornerKey(one+1, 0, 0), false},
		{"minus zero", cornerKey(1<<31, 0, one), cornerKey(0, 1<<31, one), true},
		{"opposite sign", cornerKey(one, 0, 0), cornerKey(one|1<<31, 0, 0), false},
		{"smallest number of each sign", cornerKey(1, 0, 0), cornerKey(1<<31|1, 0, 0), false},
		{"axes swapped", cornerKey(one, 0, 0), cornerKey(0, one, 0), false},
	} {
		x := newKeyIndex(1)
		if same := x.number(c.a) == x.number(c.b); same != c.same {
			t.Errorf("%s: welded %v", c.name, same)
		}
	}
}

// TestKeyIndexGrows starts too small and counts against a map.
func TestKeyIndexGrows(t *testing.T) {
	x, number := newKeyIndex(1), map[key]int32{}
	random := rand.New(rand.NewPCG(3, 4))
	for range 20000 {
		k := key{random.Uint32N(20), random.Uint32N(20), random.Uint32N(20)}
		if _, ok := number[k]; !ok {
			number[k] = int32(len(number))
		}
		if got := x.number(k); got != number[k] {
			t.Fatalf("%v is %d, want %d", k, got, number[k])
		}
	}
}
