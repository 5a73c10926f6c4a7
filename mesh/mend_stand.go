package mesh

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// dropTable cuts off the table that the part was scanned standing on, where
// there is no doubt that it is one, or the maker says so.
func (w *mending) dropTable() error {
	if !w.choice.Makes(MendTable) || w.choice.Table == TableKeep {
		return nil
	}
	t, certain, found := w.findTable(w.choice.Table == TableCut)
	if !found {
		return nil
	}
	if !certain && w.choice.Table != TableCut {
		return w.tableQuestion(t)
	}
	cut, above := w.WithoutTable(t)
	w.leaveOut(w.Mesh, w.ofTable(t, cut, above))
	w.Mesh = cut
	text := fmt.Sprintf("%s under the part left out, %s across near %s", t.what(), length(t.SpanMM), w.place(t.At))
	if above > 0 {
		text = fmt.Sprintf("%s under the part cut off, %s across near %s; the foot goes straight down from %s above it",
			t.what(), length(t.SpanMM), w.place(t.At), length(above))
		w.errorMM3 += w.footError(t, above)
	}
	w.note(MendTable, 1, t.AreaMM2, t.SpanMM, text)
	return nil
}

// ofTable says of the faces, before the table was cut off, whether they are gone:
// none of their corners is left, or not all, and they lie under the cut.
func (w *mending) ofTable(t Table, cut *Mesh, above float64) func(f int32) bool {
	at := func(v r3.Vec) key {
		return cornerKey(math.Float32bits(float32(v.X)), math.Float32bits(float32(v.Y)), math.Float32bits(float32(v.Z)))
	}
	kept := newKeyIndex(len(cut.Vertices))
	for _, v := range cut.Vertices {
		kept.number(at(v))
	}
	left, n := make([]bool, len(w.Vertices)), len(kept.keys)
	for i, v := range w.Vertices {
		left[i] = int(kept.number(at(v))) < n
	}
	before := w.Mesh
	return func(f int32) bool {
		gone, low := 0, true
		for _, v := range before.Faces[f] {
			if !left[v] {
				gone++
			}
			low = low && r3.Dot(t.Normal, r3.Sub(before.Vertices[v], t.Point)) <= above
		}
		return gone == 3 || gone > 0 && low
	}
}

// footError bounds in mm³ what it does to the volume that the foot of the part goes
// straight down from where it was cut, above mm over the table: a wall that leans
// by up to 63° there is off by as much as the cut is high, on average.
func (w *mending) footError(t Table, above float64) float64 {
	sum := 0.0
	open := w.openEdges()
	for _, h := range w.holes(open, directedRings(patchSteps(open))) {
		if math.Abs(r3.Dot(h.normal, t.Normal)) < math.Cos(math.Pi/6) {
			continue
		}
		for i, v := range h.rim {
			sum += r3.Norm(r3.Sub(w.Vertices[v], w.Vertices[h.rim[(i+1)%len(h.rim)]])) * above * above
		}
	}
	return sum
}

// what names a table.
func (t Table) what() string {
	if t.Slab {
		return "plate " + length(t.ThicknessMM) + " thick"
	}
	return "sheet of table"
}

// tableQuestion asks whether a plate is a table.
func (w *mending) tableQuestion(t Table) error {
	return &OpenQuestion{
		text:     fmt.Sprintf("the scan stands on a flat %s, %s across, near %s", t.what(), length(t.SpanMM), w.place(t.At)),
		question: "is it the table it was scanned on? --table cut takes it off; if it belongs to the part, --table keep",
	}
}

// AskAboutTable returns an *OpenQuestion when a closed mesh stands on a plate that
// may be the table it was scanned on, and nothing was said of it.
func (c MendChoice) AskAboutTable(m *Mesh) error {
	if !c.Makes(MendTable) || c.Table != "" {
		return nil
	}
	t, _, found := FindTable(m)
	if !found {
		return nil
	}
	return (&mending{Mesh: m, bounds: m.Bounds()}).tableQuestion(t)
}
