package mesh

import (
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// TestFaceShellsAgainstSorting holds shells and odd edges against those of all
// edges sorted one by one: on a sound ring, whose edges are all paired; with holes,
// doubled and turned faces in it; with a fan around one vertex, which has more
// edges than its row, open, closed to a spindle and with that twice; and shuffled,
// so that nothing can be paired block by block.
func TestFaceShellsAgainstSorting(t *testing.T) {
	rng := rand.New(rand.NewPCG(91, 92))
	sound := ring(200, 90)
	broken := &Mesh{Vertices: sound.Vertices, Faces: slices.Clone(sound.Faces)}
	for range 40 {
		f := rng.IntN(len(broken.Faces))
		switch face := broken.Faces[f]; rng.IntN(4) {
		case 0:
			broken.Faces = slices.Delete(broken.Faces, f, f+1)
		case 1:
			broken.Faces = append(broken.Faces, face)
		case 2:
			broken.Faces[f] = [3]int32{face[0], face[2], face[1]}
		default:
			broken.Faces[f] = [3]int32{face[0], face[1], face[1]}
		}
	}
	fan := &Mesh{Vertices: sound.Vertices}
	for v := int32(2); v < 60; v++ {
		fan.Faces = append(fan.Faces, [3]int32{0, v - 1, v}, [3]int32{100, v, v - 1})
	}
	spindle := &Mesh{Vertices: sound.Vertices}
	for v := int32(2); v < 60; v++ {
		next := v + 1
		if v == 59 {
			next = 2
		}
		spindle.Faces = append(spindle.Faces, [3]int32{0, v, next}, [3]int32{1, next, v})
	}
	twice := &Mesh{Vertices: sound.Vertices, Faces: slices.Concat(spindle.Faces, spindle.Faces)}
	shuffled := &Mesh{Vertices: sound.Vertices, Faces: slices.Clone(broken.Faces)}
	to := rng.Perm(len(sound.Vertices))
	for f, face := range shuffled.Faces {
		for k, v := range face {
			shuffled.Faces[f][k] = int32(to[v])
		}
	}
	for name, m := range map[string]*Mesh{"sound": sound, "broken": broken, "fan": fan, "spindle": spindle, "twice": twice, "shuffled": shuffled} {
		if _, got := m.pairRows(); got != (name != "shuffled") {
			t.Errorf("%s: pairable %v", name, got)
		}
		shellOf, shells, compact := m.faceShells()
		var odd []edgeRun
		compact.each(func(r edgeRun) { odd = append(odd, edgeRun{r.smaller, slices.Clone(r.uses)}) })
		wantOf, wantOdd := sortedShellsOf(m)
		if !slices.Equal(shellOf, wantOf) || shells != int(slices.Max(wantOf))+1 {
			t.Errorf("%s: %d shells, or other faces in them", name, shells)
		}
		if !slices.EqualFunc(odd, wantOdd, func(a, b edgeRun) bool { return a.smaller == b.smaller && slices.Equal(a.uses, b.uses) }) {
			t.Errorf("%s: %d odd edges, want %d", name, len(odd), len(wantOdd))
		}
	}
}

// TestPairsTakeCrowdedVertices checks that a closed surface is paired without
// sorting where a vertex has more edges than its row.
func TestPairsTakeCrowdedVertices(t *testing.T) {
	m := &Mesh{Vertices: make([]r3.Vec, 60)}
	for v := range int32(58) {
		a, b := 2+v, 2+(v+1)%58
		m.Faces = append(m.Faces, [3]int32{0, a, b}, [3]int32{1, b, a})
	}
	rows, _ := m.pairRows()
	pairs := edgePairs{joined: newForest(len(m.Faces))}
	if pairs.fill(m, 0, len(m.Vertices), rows[0]); !pairs.regular() || len(pairs.more) == 0 {
		t.Errorf("regular %v, %d uses without a place", pairs.regular(), len(pairs.more))
	}
	m.Faces = append(m.Faces, [3]int32{0, 2, 3})
	if pairs.fill(m, 0, len(m.Vertices), rows[0]); pairs.regular() {
		t.Error("a face that is there twice is regular")
	}
}

// sortedShellsOf does the work of faceShells plainly.
func sortedShellsOf(m *Mesh) (shellOf []int32, odd []edgeRun) {
	shellOf = make([]int32, len(m.Faces))
	for f := range shellOf {
		shellOf[f] = int32(f)
	}
	var runs []edgeRun
	m.eachEdgeInOrder(func(r edgeRun) {
		runs = append(runs, edgeRun{r.smaller, slices.Clone(r.uses)})
		if !r.regular() {
			odd = append(odd, runs[len(runs)-1])
		}
	})
	for changed := true; changed; {
		changed = false
		for _, r := range runs {
			for _, u := range r.uses {
				for _, v := range r.uses {
					if shellOf[u.face()] < shellOf[v.face()] {
						shellOf[v.face()], changed = shellOf[u.face()], true
					}
				}
			}
		}
	}
	number := map[int32]int32{}
	for f, first := range shellOf {
		if collapsed(m.Faces[f]) {
			shellOf[f] = -1
			continue
		}
		if _, ok := number[first]; !ok {
			number[first] = int32(len(number))
		}
		shellOf[f] = number[first]
	}
	return shellOf, odd
}
