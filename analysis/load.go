package analysis

import (
	"context"
	"fmt"
	"math"
	"path/filepath"
	"runtime"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis/finding"
	"pourwright/mesh"
)

// Loaded is a scan that is fit to be planned with.
type Loaded struct {
	Solid    *mesh.Solid // what rubber cannot enter: mm, scan frame
	Measures mesh.Measures
	Scan     Scan
	Findings []finding.Finding

	Read    *mesh.Mesh // the scan as it was read, in mm
	Mended  *mesh.Mesh // what it became, hollows and all
	Scanned int        // so many faces of Mended are the scan's; the others close openings
	Crossed *mesh.Mesh // its faces that cut through others, once looked for; nil for none
	Dropped *mesh.Mesh // scraps and the table that mending left out; nil for none
	RimDown *r3.Vec    // direction of the rim that a shell stands on
	tree    *mesh.Tree // of Solid, where there is one already
	tangled *mesh.Mesh // what the scan was before it was built anew; nil when it was not
	closer  bool       // LookCloser has looked
}

// Unusable is the error for a scan that was read but cannot be planned from.
type Unusable struct {
	Scan  Scan // volume and what follows from it are not known
	Read  *mesh.Mesh
	cause error
}

// Error says in one sentence what is wrong.
func (u *Unusable) Error() string { return u.cause.Error() }

// Unwrap returns the cause, which has the hint.
func (u *Unusable) Unwrap() error { return u.cause }

// Refusal says why a job cannot be planned, and what to do about it.
type Refusal struct {
	what, try string
}

// Error returns one sentence that says what is wrong.
func (r *Refusal) Error() string { return r.what }

// Hint returns what to do about it.
func (r *Refusal) Hint() string { return r.try }

// A block of rubber is poured for parts between these longest sides (mm).
const (
	leastLongest = 5
	mostLongest  = 3000
)

// manyTriangles is from how many on it takes longer to get memory from the system
// than to collect what reading has left.
const manyTriangles = 1_000_000

// Load reads the scan of a job and measures it: what `scan` prints. Errors that
// the maker can mend have a Hint; a scan that was read but is of no use is an
// *Unusable.
func Load(ctx context.Context, c Choices, p Progress) (*Loaded, error) {
	if err := c.checkScan(); err != nil {
		return nil, err
	}
	raw, source, err := mesh.Read(ctx, c.Scan, func(done, total int64) { p.Tell("reading the scan", done, total) })
	if err != nil {
		return nil, err
	}
	p.Tell("measuring", 0, 1)
	if source.Triangles >= manyTriangles {
		runtime.GC() // what reading took is used again
	}
	if !finiteExtent(raw) {
		_, _, err := mesh.NewSolid(raw)
		return nil, err
	}
	r, err := c.ready(ctx, raw, source, p)
	if err != nil {
		return nil, err
	}
	outside := r.solid
	if hasKind(r.report, mesh.KindInnerCavity) {
		outside = r.solid.Envelope()
	}
	l := &Loaded{Solid: outside, Findings: []finding.Finding{}, Read: r.read, Mended: r.solid.Mesh, Scanned: r.mends.Scanned, Dropped: r.mends.Dropped, tangled: r.tangled}
	l.Measures = l.Solid.Measure()
	l.Findings = append(l.Findings, r.units.findings...)
	for _, note := range source.Notes {
		l.Findings = append(l.Findings, finding.Finding{Question: "scan", Level: finding.Note, Text: note,
			Action: "Compare the size and the picture with the part: is all of it there?"})
	}
	l.Scan = l.describe(c, source, r)
	if err := l.takeAs(c, r); err != nil {
		return nil, err
	}
	l.noteMends(r.readyScan)
	if c.Table == mesh.TableCut && !slices.ContainsFunc(r.mends.Steps, func(s mesh.MendStep) bool { return s.Kind == mesh.MendTable }) {
		l.Findings = append(l.Findings, noTable)
	}
	if n := outerParts(r.report); n > 1 {
		l.Findings = append(l.Findings, separateParts(n))
	}
	l.Findings = append(l.Findings, l.accuracy())
	l.judge()
	p.Tell("measuring", 1, 1)
	return l, nil
}

// What a scan is worth.
const (
	WorthSound  = "sound"
	WorthUsable = "usable" // with the doubt stated
	WorthNone   = "unusable"
)

// soundDoubt is the share of its volume that may be in doubt in a sound scan
// (common practice, no source).
const soundDoubt = 0.01

// judge adds the doubts up and says what the scan is worth.
func (l *Loaded) judge() {
	l.Scan.VolumeErrorMM3 = l.Scan.VolumeDoubt.sum()
	l.Scan.Worth = WorthSound
	if len(l.Scan.Mends) > 0 || l.Scan.VolumeErrorMM3 > soundDoubt*l.Scan.EnvelopeMM3 {
		l.Scan.Worth = WorthUsable
	}
}

// sizedScan is a solid in mm.
type sizedScan struct {
	readyScan
	read     *mesh.Mesh // mm
	units    units
	sides    [3]float64 // of the tightest box, mm
	rounding float64    // see roundingOf, mm
}

// ready decides on the scale of a scan and makes a solid of it. The size of a
// scan with scraps or a table about it is known only without them, so that the
// scale may have to be chosen again.
func (c Choices) ready(ctx context.Context, raw *mesh.Mesh, source mesh.Source, p Progress) (sizedScan, error) {
	search := make(chan [3]float64, 1)
	go func() { search <- mesh.TightestBox(raw.Vertices).Size }()
	var early sizedScan
	var failed error
	if scale, known := c.knownScale(source, raw); known { // the box can be waited for
		early.read = raw.Scaled(scale)
		early.readyScan, failed = c.solidOf(ctx, early.read, p)
	}
	var box [3]float64
	select {
	case box = <-search:
	case <-ctx.Done():
		return sizedScan{}, ctx.Err()
	}
	rounding := roundingOf(raw)
	for first := true; ; first = false {
		units, err := chooseUnits(c, source, box[0])
		if err != nil {
			return sizedScan{}, err
		}
		if err := ctx.Err(); err != nil {
			return sizedScan{}, err
		}
		s := sizedScan{units: units, sides: scaledSides(box, units.scale), rounding: rounding * units.scale}
		if first && early.read != nil {
			s.read, s.readyScan, err = early.read, early.readyScan, failed
		} else {
			s.read = raw.Scaled(units.scale)
			s.readyScan, err = c.solidOf(ctx, s.read, p)
		}
		if err != nil {
			if ctx.Err() != nil {
				return s, ctx.Err()
			}
			if hasKind(s.scan, mesh.KindFlat) {
				return s, err
			}
			return s, &Unusable{c.describeBroken(source, s), s.read, err}
		}
		if first && s.smaller() {
			box = mesh.TightestBox(s.solid.Vertices).Size
			for i := range box {
				box[i] /= units.scale
			}
			continue
		}
		doubts, err := scaleDoubts(c, s.sides)
		s.units.findings = append(s.units.findings, doubts...)
		return s, err
	}
}

// smaller says whether mending took something away that is not of the part.
func (s readyScan) smaller() bool {
	return slices.ContainsFunc(s.mends.Steps, func(m mesh.MendStep) bool {
		return m.Kind == mesh.MendFloater || m.Kind == mesh.MendTable
	})
}

// outerParts counts the parts of the surface that are no hollows, nor in one.
func outerParts(report mesh.Report) int {
	n := report.Shells
	for _, p := range report.Problems {
		if p.Kind == mesh.KindInnerCavity || p.Kind == mesh.KindInnerBody || p.Kind == mesh.KindFlatShell {
			n -= p.Count
		}
	}
	return n
}

func separateParts(n int) finding.Finding {
	return finding.Finding{Question: "scan", Level: finding.Stop,
		Text:   fmt.Sprintf("The scan holds %d separate parts, and each would need a spout of its own.", n),
		Action: "Delete loose scraps in a mesh program; save parts that belong to the job each in a file of its own."}
}

// finiteExtent tells whether a mesh has finite vertices and any extent.
func finiteExtent(m *mesh.Mesh) bool {
	b := m.Bounds()
	far := 0.0 // the sum of any vertex's coordinates is finite where this is
	for _, x := range [6]float64{b.Min.X, b.Min.Y, b.Min.Z, b.Max.X, b.Max.Y, b.Max.Z} {
		far += math.Abs(x)
	}
	return far <= math.MaxFloat64 && r3.Norm(r3.Sub(b.Max, b.Min)) > 0
}

// describe puts what is known of a solid into words and figures.
func (l *Loaded) describe(c Choices, source mesh.Source, r sizedScan) Scan {
	b, m := l.Solid.Bounds(), l.Measures
	s := c.describeBroken(source, r)
	s.Vertices = len(l.Solid.Vertices)
	s.BoundsMM = [2][3]float64{array(b.Min), array(b.Max)}
	s.SizeMM = array(r3.Sub(b.Max, b.Min))
	s.VolumeMM3, s.EnvelopeMM3, s.MaterialMM3 = m.VolumeMM3, m.VolumeMM3, m.VolumeMM3
	s.VolumeDoubt = VolumeDoubt{RoundingMM3: m.AreaMM2 * r.rounding, ScaleMM3: m.VolumeMM3 * c.scaleDoubt(r.sides),
		MendsMM3: r.mends.ErrorMM3, GridMM3: r.gridMM3}
	s.AreaMM2, s.CentroidMM, s.InertiaMM5 = m.AreaMM2, array(m.Centroid), m.Inertia
	return s
}

// describeBroken is the same for a scan that may be no solid: without what only
// a solid has.
func (c Choices) describeBroken(source mesh.Source, r sizedScan) Scan {
	b := r.read.Bounds()
	s := Scan{
		File:          fileName(c.Scan),
		Format:        source.Format,
		Triangles:     source.Triangles,
		Vertices:      len(r.read.Vertices),
		Units:         r.units.name,
		UnitsFrom:     r.units.from,
		Scale:         r.units.scale,
		BoundsMM:      [2][3]float64{array(b.Min), array(b.Max)},
		SizeMM:        array(r3.Sub(b.Max, b.Min)),
		TightestBoxMM: r.sides,
		Watertight:    r.scan.Closed,
		Shells:        r.scan.Shells,
		OpenLoops:     r.scan.OpenLoops,
		As:            AsSolid,
		Worth:         WorthNone,
		Problems:      []Problem{},
		Mends:         []Mend{},
	}
	for _, p := range r.scan.Problems {
		found := Problem{Kind: p.Kind, Count: p.Count, Text: p.Text}
		if p.HasAt {
			at := array(p.At)
			found.AtMM = &at
		}
		s.Problems = append(s.Problems, found)
	}
	return s
}

func scaledSides(box [3]float64, scale float64) (sides [3]float64) {
	for i, side := range box {
		sides[i] = side * scale
	}
	return sides
}

// fileName names a scan without its folder.
func fileName(path string) string {
	if path == mesh.StandardInput {
		return "standard input"
	}
	return filepath.Base(path)
}

// roundingOf bounds how far a vertex may be from where the scanner put it, by the
// file's 32-bit coordinates alone: half a unit in the last place on each axis, file
// units. A file with finer coordinates is rounded only where corners are joined,
// as seen from the middle of a scan that is far from the origin.
func roundingOf(raw *mesh.Mesh) float64 {
	b := raw.Bounds()
	d := r3.Sub(b.Max, b.Min)
	far, half := 0.0, max(d.X, d.Y, d.Z)/2
	for _, x := range [6]float64{b.Min.X, b.Min.Y, b.Min.Z, b.Max.X, b.Max.Y, b.Max.Z} {
		far = max(far, math.Abs(x))
	}
	if far > 2*half && slices.ContainsFunc(raw.Vertices, finerThan32) {
		far = half
	}
	ulp := float64(math.Nextafter32(float32(far), math.MaxFloat32)) - float64(float32(far))
	return math.Sqrt(3) * ulp / 2
}

func finerThan32(v r3.Vec) bool {
	return float64(float32(v.X)) != v.X || float64(float32(v.Y)) != v.Y || float64(float32(v.Z)) != v.Z
}

// accuracy says what the scanner's own error, which the file does not tell,
// would do to the volume.
func (l *Loaded) accuracy() finding.Finding {
	const perMM = 0.1
	change := perMM * l.Measures.AreaMM2 / l.Measures.VolumeMM3
	level := finding.Note
	if change > 0.05 {
		level = finding.Warn
	}
	return finding.Finding{Question: "scan", Level: level,
		Text:   fmt.Sprintf("A scan that is too thick or too thin by %g mm all over would change the volume by %.1f %%; the file does not say how exact the scanner was.", perMM, 100*change),
		Action: "Measure the part with a caliper in one place and give its longest side with --longest."}
}

func array(v r3.Vec) [3]float64 { return [3]float64{v.X, v.Y, v.Z} }

func vec(a [3]float64) r3.Vec { return r3.Vec{X: a[0], Y: a[1], Z: a[2]} }
