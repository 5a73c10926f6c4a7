package mesh

import (
	"math/rand/v2"
	"slices"
	"testing"
)

// TestFaceShellsAgainstSorting holds shells and odd edges against those of all
// edges sorted one by one: on a sound ring, whose edges are all paired; with holes,
// doubled and turned faces in it; with a fan around one vertex, which has more
// edges than its row; and shuffled, so that nothing can be paired block by block.
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
	shuffled := &Mesh{Vertices: sound.Vertices, Faces: slices.Clone(broken.Faces)}
	to := rng.Perm(len(sound.Vertices))
	for f, face := range shuffled.Faces {
		for k, v := range face {
			shuffled.Faces[f][k] = int32(to[v])
		}
	}
	for name, m := range map[string]*Mesh{"sound": sound, "broken": broken, "fan": fan, "shuffled": shuffled} {
		if _, got := m.pairRows(); got != (name != "shuffled") {
			t.Errorf("%s: pairable %v", name, got)
		}
		shellOf, shells, odd := m.faceShells()
		wantOf, wantOdd := sortedShellsOf(m)
		if !slices.Equal(shellOf, wantOf) || shells != int(slices.Max(wantOf))+1 {
			t.Errorf("%s: %d shells, or other faces in them", name, shells)
		}
		if !slices.EqualFunc(odd, wantOdd, func(a, b edgeRun) bool { return a.smaller == b.smaller && slices.Equal(a.uses, b.uses) }) {
			t.Errorf("%s: %d odd edges, want %d", name, len(odd), len(wantOdd))
		}
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
