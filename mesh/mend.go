package mesh

import (
	"context"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

// Kinds of mends, in the order in which they are tried.
const (
	MendDegenerate = "degenerate-face" // faces without area left out
	MendDuplicate  = "duplicate-face"  // faces that were there twice left out
	MendWeld       = "weld"            // corners a hair apart joined
	MendFin        = "fin"             // sheets that stick to an edge left out
	MendWinding    = "winding"         // faces turned to agree with their neighbours
	MendFloater    = "floater"         // loose scraps left out
	MendSplit      = "split-edge"      // parts that touch along an edge taken apart
	MendHole       = "hole"            // small holes filled
	MendBase       = "base"            // a cut-off end closed by its plane
	MendOutward    = "outward"         // shells turned outward
	MendHollow     = "hollow"          // surfaces inside the part turned inward, as walls of hollows
	MendTable      = "table"           // the table that the part stood on cut off
	MendRebuild    = "rebuild"         // the surface built anew from the distance field (see mesh/field)
)

// What to do with a flat plate under a part that may be a table.
const (
	TableCut  = "cut"
	TableKeep = "keep"
)

// MendStep is one mend that was made.
type MendStep struct {
	Kind    string
	Count   int     // of faces, corners, shells or holes
	AreaMM2 float64 // of the faces concerned; for holes, of the patches
	SpanMM  float64 // of the largest hole or the longest way a corner moved
	Text    string  // a plain sentence
}

// MendChoice says which mends to make; its zero value is all of them.
type MendChoice struct {
	Without []string // kinds left out
	// CloseAll says that every opening is to be closed, however large: the
	// underside of a solid that was not scanned, or the rim of a shell.
	CloseAll bool
	// Table says what is done with a plate under the part: TableCut, TableKeep,
	// or nothing to have it asked.
	Table string
	// Inner says what is inside a surface wholly inside the part: InnerHollow,
	// InnerSolid, or nothing to have it asked where there is doubt.
	Inner string
}

// MendKinds lists the kinds of mends, in the order in which they are made.
func MendKinds() []string {
	return []string{MendDegenerate, MendDuplicate, MendWeld, MendFin, MendWinding, MendFloater, MendSplit, MendTable, MendHole, MendBase, MendOutward, MendHollow, MendRebuild}
}

// Makes says whether a kind of mend is to be made.
func (c MendChoice) Makes(kind string) bool { return !slices.Contains(c.Without, kind) }

// mending is a scan under repair; its faces and vertices are its own.
type mending struct {
	*Mesh
	ctx    context.Context
	choice MendChoice
	bounds r3.Box  // of the scan as read
	size   float64 // longest side of bounds, mm
	steps  []MendStep
	// What the volume may be off by because of the mends, mm³.
	errorMM3 float64
	opening  *Opening // the largest that was closed
	scanned  int      // faces before openings were closed
	dropped  *Mesh    // scraps and the table, once left out; nil for none
}

// Mended is what became of a scan.
type Mended struct {
	Mesh   *Mesh      // as far as it was mended
	Solid  *Solid     // nil when it could not be made a solid
	Report Report     // what Check says of the mended mesh
	Steps  []MendStep // in the order in which they were made
	// What the mends may have done to the volume, at most, mm³ (see patchError
	// and baseError).
	ErrorMM3 float64
	Opening  *Opening // the largest opening that was closed; nil for none
	// Scanned is how many faces of Mesh are the scan's; the others close openings.
	Scanned int
	Dropped *Mesh // loose scraps and the table that were left out; nil for none
}

// Opening is where a scan was open.
type Opening struct {
	Center, Normal r3.Vec // the normal, of length 1, points out of the part
	SpanMM         float64
}

// Mend makes a solid of a scan that is none, where that needs no guess. What
// cannot be mended is a *NotSolid, and what only the maker can judge an
// *OpenQuestion; what was mended before is returned with them. m is not changed.
func Mend(ctx context.Context, m *Mesh, c MendChoice) (Mended, error) {
	b := m.Bounds()
	w := &mending{Mesh: &Mesh{Vertices: m.Vertices, Faces: m.Faces}, ctx: ctx, choice: c, bounds: b, size: farthest(r3.Sub(b.Max, b.Min))}
	if !m.finite() || len(m.Faces) == 0 {
		return w.finish()
	}
	for _, step := range []func() error{
		w.dropUseless, w.weldOpen, w.joinSeams, w.dropFins, w.unifyWinding, w.dropFloaters, w.splitShared, w.dropTable, w.close, w.turnShells,
	} {
		err := step()
		if ctx.Err() != nil {
			return Mended{}, ctx.Err()
		}
		if err != nil {
			return Mended{Mesh: w.Mesh, Report: Check(w.Mesh), Steps: w.steps, ErrorMM3: w.errorMM3, Scanned: len(w.Faces), Dropped: w.dropped}, err
		}
	}
	return w.finish()
}

func (w *mending) finish() (Mended, error) {
	s, report, err := NewSolidContext(w.ctx, w.Mesh)
	scanned := len(w.Faces)
	if w.opening != nil {
		scanned = w.scanned
	}
	return Mended{w.Mesh, s, report, w.steps, w.errorMM3, w.opening, scanned, w.dropped}, err
}

func (m *Mesh) finite() bool {
	return !slices.ContainsFunc(m.Vertices, func(v r3.Vec) bool { return !finite(v) })
}

func (w *mending) note(kind string, count int, area, span float64, text string) {
	w.steps = append(w.steps, MendStep{Kind: kind, Count: count, AreaMM2: area, SpanMM: span, Text: text})
}

// place writes a point as Check does.
func (w *mending) place(p r3.Vec) string {
	return (&inspection{bounds: w.bounds}).place(p)
}

// faceArea returns the area of face f, mm².
func (m *Mesh) faceArea(f int32) float64 { return r3.Norm(m.DoubleAreaNormal(int(f))) / 2 }

// without returns the faces but those for which drop holds, and the area and
// first of the dropped ones.
func (w *mending) without(drop func(f int32) bool) (dropped int, area float64, first int32) {
	kept := make([][3]int32, 0, len(w.Faces))
	first = -1
	for f, t := range w.Faces {
		if !drop(int32(f)) {
			kept = append(kept, t)
			continue
		}
		if first < 0 {
			first = int32(f)
		}
		dropped++
		area += w.faceArea(int32(f))
	}
	if dropped > 0 {
		first = w.Faces[first][0]
		w.Faces = kept
	}
	return dropped, area, first
}

// leaveOut keeps those faces of a mesh for which drop holds as what is not of the
// part.
func (w *mending) leaveOut(of *Mesh, drop func(f int32) bool) {
	some := &Mesh{Vertices: of.Vertices}
	for f, t := range of.Faces {
		if drop(int32(f)) {
			some.Faces = append(some.Faces, t)
		}
	}
	if len(some.Faces) == 0 {
		return
	}
	some = some.used()
	if w.dropped != nil {
		first := int32(len(some.Vertices))
		some.Vertices = append(some.Vertices, w.dropped.Vertices...)
		for _, t := range w.dropped.Faces {
			some.Faces = append(some.Faces, [3]int32{first + t[0], first + t[1], first + t[2]})
		}
	}
	w.dropped = some
}

// OpenQuestion is the error for an opening that only the maker can judge.
type OpenQuestion struct {
	text, question string
}

// Error says in one sentence what is open.
func (e *OpenQuestion) Error() string { return e.text }

// Hint returns the question and how to answer it.
func (e *OpenQuestion) Hint() string { return e.question }
