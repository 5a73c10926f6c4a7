package mesh

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strconv"

	"gonum.org/v1/gonum/spatial/r3"
)

// Kinds of problems, worst first. The first group keeps a mesh from being a
// Solid.
const (
	KindEmpty          = "empty"            // no face
	KindNonFinite      = "non-finite"       // vertices that are not numbers
	KindFlat           = "flat"             // the whole surface encloses no space
	KindOpenLoop       = "open-loop"        // rims of holes
	KindSharedEdge     = "shared-edge"      // edges used by three or more faces
	KindOneSided       = "one-sided"        // surfaces that have no outside
	KindFlippedFace    = "flipped-face"     // faces wound against their neighbours
	KindInsideOutShell = "inside-out-shell" // shells turned against the others
	KindCrossedShell   = "crossed-shell"    // shells partly inside another
	KindNestedShell    = "nested-shell"     // outward shells inside another
	KindInsideOut      = "inside-out"       // the whole surface, corrected
	KindDuplicateFace  = "duplicate-face"   // faces on the same three corners
	KindDegenerateFace = "degenerate-face"  // faces without area
	KindFlatShell      = "flat-shell"       // shells that enclose no space
	KindInnerCavity    = "inner-cavity"     // hollows inside, legitimate
	KindInnerBody      = "inner-body"       // bodies of their own in such a hollow
	KindFloater        = "floater"          // loose scraps beside the part
	KindSelfCrossing   = "self-crossing"    // faces that cut through others, see Tree.SelfCrossings
)

const (
	hintMend      = "mend the scan in a mesh program and try again"
	lengthDigits  = 3 // of a length in a sentence
	placeDecimals = 9 // at most, of a place in a sentence
	mostDecimals  = 7 // of a length in a sentence: what is less is nothing
)

// blocking lists the kinds that keep a mesh from being a Solid, worst first,
// with what to try.
var blocking = []struct{ kind, hint string }{
	{KindEmpty, exportAgain},
	{KindNonFinite, "remove those corners in a mesh program and fill the holes"},
	{KindFlat, "scan the part from all sides, or thicken the sheet in a mesh program"},
	{KindOpenLoop, "fill the holes in a mesh program; a scan has to be closed to have a volume"},
	{KindSharedEdge, "remove doubled or inner faces in a mesh program"},
	{KindOneSided, hintMend},
	{KindFlippedFace, "make the face directions agree in a mesh program"},
	{KindInsideOutShell, "turn that part outward in a mesh program, or delete it"},
	{KindCrossedShell, "join the parts into one ('union') in a mesh program"},
	{KindNestedShell, "delete the inner part if it is a leftover; turn it inward if it is a hollow"},
}

// Problem is one kind of fault of a mesh.
type Problem struct {
	Kind  string // one of the Kind constants
	Count int    // how many of them
	At    r3.Vec // where the first or largest is, mesh frame, mm
	HasAt bool
	Text  string // a plain sentence
}

// Report is what Check found.
type Report struct {
	Problems  []Problem // worst first
	Shells    int       // parts of the surface connected over edges
	OpenLoops int       // rims of holes
	Closed    bool      // every edge is in exactly two faces
}

// NotSolid is the error for a mesh that bounds no space.
type NotSolid struct {
	Report Report
}

// worst returns the worst problem that keeps the mesh from being a Solid and
// what to try.
func (r Report) worst() (p Problem, hint string, bad bool) {
	for _, b := range blocking {
		for _, p := range r.Problems {
			if p.Kind == b.kind {
				return p, b.hint, true
			}
		}
	}
	return Problem{}, "", false
}

// Error names the worst problem in one sentence.
func (e *NotSolid) Error() string {
	p, _, _ := e.Report.worst()
	if p.Kind == KindFlat || p.Kind == KindEmpty {
		return p.Text
	}
	return "the scan is not a closed solid: " + p.Text
}

// Hint returns what to try.
func (e *NotSolid) Hint() string {
	_, hint, _ := e.Report.worst()
	return hint
}

// Check looks for everything that keeps m from bounding space, and for what is
// merely odd. It changes nothing.
func Check(m *Mesh) Report {
	i, _ := inspect(context.Background(), m)
	return i.report
}

// NewSolid returns m as a Solid, or *NotSolid. Faces that have lost a corner in
// welding and unused vertices are left out, and a mesh that is inside out as a
// whole is turned; the report says so. m is not changed.
func NewSolid(m *Mesh) (*Solid, Report, error) {
	return NewSolidContext(context.Background(), m)
}

// NewSolidContext is NewSolid, which takes long for a mesh of very many shells that
// lie within each other. It returns the context's error when that ends.
func NewSolidContext(ctx context.Context, m *Mesh) (*Solid, Report, error) {
	i, err := inspect(ctx, m)
	if err != nil {
		return nil, i.report, err
	}
	if _, _, bad := i.report.worst(); bad {
		return nil, i.report, &NotSolid{i.report}
	}
	clean := m.withoutUnused()
	if i.report.has(KindInsideOut) {
		clean = clean.turned()
	}
	solid := &Solid{Mesh: clean}
	if clean == m {
		solid.moments = &i.moments
	}
	return solid, i.report, nil
}

func (r Report) has(kind string) bool {
	return slices.ContainsFunc(r.Problems, func(p Problem) bool { return p.Kind == kind })
}

// turned returns m with all faces wound the other way.
func (m *Mesh) turned() *Mesh {
	faces := make([][3]int32, len(m.Faces))
	for f, t := range m.Faces {
		faces[f] = [3]int32{t[0], t[2], t[1]}
	}
	return &Mesh{Vertices: m.Vertices, Faces: faces, box: m.box}
}

// withoutUnused returns m without collapsed faces and without vertices that no
// other face uses; m itself when there are none.
func (m *Mesh) withoutUnused() *Mesh {
	used, kept := m.uses()
	if kept == len(m.Faces) && !slices.Contains(used, false) {
		return m
	}
	to, out := make([]int32, len(m.Vertices)), &Mesh{Faces: make([][3]int32, 0, kept)}
	for v, u := range used {
		if u {
			to[v] = int32(len(out.Vertices))
			out.Vertices = append(out.Vertices, m.Vertices[v])
		}
	}
	for _, t := range m.Faces {
		if !collapsed(t) {
			out.Faces = append(out.Faces, [3]int32{to[t[0]], to[t[1]], to[t[2]]})
		}
	}
	return out
}

// uses says of each vertex whether a face that is not collapsed uses it, and how
// many of these there are.
func (m *Mesh) uses() (used []bool, faces int) {
	parts := partsFor(len(m.Faces))
	usedIn, kept := make([][]bool, parts), make([]int, parts)
	inParts(len(m.Faces), func(part, lo, hi int) {
		used, n := make([]bool, len(m.Vertices)), 0
		for _, t := range m.Faces[lo:hi] {
			if !collapsed(t) {
				used[t[0]], used[t[1]], used[t[2]] = true, true, true
				n++
			}
		}
		usedIn[part], kept[part] = used, n
	})
	used, faces = usedIn[0], kept[0]
	for p := 1; p < parts; p++ {
		for v, u := range usedIn[p] {
			if u {
				used[v] = true
			}
		}
		faces += kept[p]
	}
	return used, faces
}

// inspection is a check under way.
type inspection struct {
	*Mesh
	bounds  r3.Box
	shellOf []int32 // of each face; −1 when collapsed
	moments moments // of all faces, about the middle of the bounds
	report  Report
}

// inspect looks at a mesh; the only error is the context's.
func inspect(ctx context.Context, m *Mesh) (*inspection, error) {
	i := &inspection{Mesh: m, bounds: m.Bounds()}
	if len(m.Faces) == 0 {
		i.add(KindEmpty, 0, "the scan has no faces")
		return i, nil
	}
	if i.nonFinite() {
		return i, nil
	}
	var odd oddEdges
	i.shellOf, i.report.Shells, odd = m.faceShells()
	i.oddEdges(odd)
	list, needles, sums := m.tally(i.shellOf, i.report.Shells, i.bounds)
	i.moments = sums
	i.degenerate(list, needles)
	i.pairs(list)
	err := i.space(ctx, list)
	i.floaters(list)
	slices.SortStableFunc(i.report.Problems, func(a, b Problem) int { return rank(a.Kind) - rank(b.Kind) })
	return i, err
}

// rank orders problems: the blocking ones as listed, then the others.
func rank(kind string) int {
	for r, b := range blocking {
		if b.kind == kind {
			return r
		}
	}
	return len(blocking)
}

func (i *inspection) add(kind string, count int, text string) {
	i.report.Problems = append(i.report.Problems, Problem{Kind: kind, Count: count, Text: text})
}

// addAt adds a problem whose text ends with its place.
func (i *inspection) addAt(kind string, count int, at r3.Vec, text string) {
	i.report.Problems = append(i.report.Problems,
		Problem{Kind: kind, Count: count, At: at, HasAt: true, Text: text + " near " + i.place(at)})
}

// finite says whether all coordinates are numbers, and not infinite.
func finite(v r3.Vec) bool { return v.X-v.X+v.Y-v.Y+v.Z-v.Z == 0 }

func (i *inspection) nonFinite() bool {
	if finite(i.bounds.Min) && finite(i.bounds.Max) {
		return false // the bounds of anything else are not finite
	}
	count := 0
	for _, v := range i.Vertices {
		if !finite(v) {
			count++
		}
	}
	if count > 0 {
		i.add(KindNonFinite, count, plural(count, "corner is", "corners are")+" not a finite number")
	}
	return count > 0
}

// degenerate reports faces without area: those that lost a corner in welding
// and those that are needles.
func (i *inspection) degenerate(list []shell, needles []int32) {
	gone := len(i.Faces)
	for _, s := range list {
		gone -= s.faces
	}
	if gone > 0 {
		first := slices.IndexFunc(i.Faces, collapsed)
		i.addAt(KindDegenerateFace, gone, i.middle(int32(first)), plural(gone, "face has", "faces have")+
			" two corners in one place and no area (left out), the first")
	}
	if n := len(needles); n > 0 {
		i.addAt(KindDegenerateFace, n, i.middle(needles[0]), plural(n, "face is", "faces are")+
			" too thin to have a direction (kept), the first")
	}
}

// space looks at what the shells enclose. It has an answer only where every
// edge is regular.
func (i *inspection) space(ctx context.Context, list []shell) error {
	volume, area := 0.0, 0.0
	for _, s := range list {
		volume += math.Abs(s.volume)
		area += s.area
	}
	size := r3.Sub(i.bounds.Max, i.bounds.Min)
	thinnest := min(size.X, size.Y, size.Z)
	sound := i.report.Closed && !i.report.has(KindFlippedFace) && !i.report.has(KindOneSided)
	if thinnest <= 2*coordinateTolerance(i.bounds) || sound && volume <= flatVolume(i.bounds, area) {
		i.add(KindFlat, len(list), "the scan is flat: it encloses no space")
		return nil
	}
	if sound {
		return i.shells(ctx, list)
	}
	return nil
}

// shells sorts closed shells into outer ones, cavities and mistakes.
func (i *inspection) shells(ctx context.Context, list []shell) error {
	if len(list) > 1 {
		if err := i.windAround(ctx, i.shellOf, list); err != nil {
			return err
		}
	}
	asIs, turned := i.sortShells(list, 1), i.sortShells(list, -1)
	if len(asIs.insideOut)+len(asIs.nested) > 0 && len(turned.insideOut)+len(turned.nested) == 0 {
		i.add(KindInsideOut, len(list), "the whole surface is inside out; it is used turned outward")
		asIs = turned
	}
	i.addShells(KindInsideOutShell, asIs.insideOut, "is inside out, unlike the rest", "are inside out, unlike the rest")
	i.addShells(KindCrossedShell, asIs.crossed, "is partly inside another", "are partly inside others")
	i.addShells(KindNestedShell, asIs.nested, "lies inside another and is no hollow", "lie inside others and are no hollows")
	i.addShells(KindFlatShell, asIs.flat, "is flat and encloses no space", "are flat and enclose no space")
	i.addShells(KindInnerCavity, asIs.cavities, "is a closed hollow inside", "are closed hollows inside")
	i.addShells(KindInnerBody, asIs.bodies, "is a body of its own in a closed hollow", "are bodies of their own in a closed hollow")
	return nil
}

// floaters reports shells that are scraps (see floaterShare) and no hollows.
func (i *inspection) floaters(list []shell) {
	if len(list) < 2 {
		return
	}
	part := list[largestShell(list)]
	var scraps []shell
	for _, s := range list {
		if s.area < floaterShare*part.area && !(s.volume*part.volume < 0) {
			scraps = append(scraps, s)
		}
	}
	i.addShells(KindFloater, scraps, "is a loose scrap, under "+percent(floaterShare)+" of the largest's area",
		"are loose scraps, each under "+percent(floaterShare)+" of the largest's area")
}

func (i *inspection) addShells(kind string, of []shell, one, many string) {
	if len(of) > 0 {
		largest := slices.MaxFunc(of, func(s, t shell) int { return s.faces - t.faces })
		i.addAt(kind, len(of), largest.at, plural(len(of), "part of the surface "+one, "parts of the surface "+many)+",")
	}
}

// sortedShells are the shells that need a word.
type sortedShells struct{ insideOut, crossed, nested, flat, cavities, bodies []shell }

// sortShells sorts shells as they are wound (sign 1) or all turned (−1).
func (i *inspection) sortShells(list []shell, sign int) sortedShells {
	var out sortedShells
	for _, s := range list {
		around, outward := s.around*sign, s.volume*float64(sign) > 0
		switch {
		case math.Abs(s.volume) <= flatVolume(i.bounds, s.area):
			out.flat = append(out.flat, s)
		case s.crossed():
			out.crossed = append(out.crossed, s)
		case !outward && around >= 1:
			out.cavities = append(out.cavities, s)
		case !outward:
			out.insideOut = append(out.insideOut, s)
		case around >= 1:
			out.nested = append(out.nested, s)
		case s.depth > 0:
			out.bodies = append(out.bodies, s)
		}
	}
	return out
}

// place writes a point with as many decimals as the part's size calls for.
func (i *inspection) place(p r3.Vec) string {
	size := farthest(r3.Sub(i.bounds.Max, i.bounds.Min))
	digits := min(max(1, lengthDigits-int(math.Floor(math.Log10(size)))), placeDecimals)
	if size == 0 {
		digits = 1
	}
	write := func(x float64) string {
		unit := math.Pow10(digits)
		return strconv.FormatFloat(math.Round(x*unit)/unit+0, 'f', digits, 64)
	}
	return fmt.Sprintf("(%s, %s, %s)", write(p.X), write(p.Y), write(p.Z))
}

// length writes a length in mm with three digits.
func length(x float64) string {
	digits := 0
	if x > 0 {
		digits = min(max(0, lengthDigits-1-int(math.Floor(math.Log10(x)))), mostDecimals)
	}
	unit := math.Pow10(digits)
	return strconv.FormatFloat(math.Round(x*unit)/unit, 'f', -1, 64) + " mm"
}

func plural(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return strconv.Itoa(n) + " " + many
}
