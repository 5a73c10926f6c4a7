package analysis

import (
	"context"
	"fmt"
	"math"
	"path/filepath"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis/finding"
	"pourwright/mesh"
)

// Loaded is a scan that is fit to be planned with.
type Loaded struct {
	Solid    *mesh.Solid // mm, scan frame
	Measures mesh.Measures
	Scan     Scan
	Findings []finding.Finding
}

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

// Load reads the scan of a job and measures it: what `scan` prints. Errors that
// the maker can mend have a Hint.
func Load(ctx context.Context, c Choices, p Progress) (*Loaded, error) {
	raw, source, err := mesh.Read(ctx, c.Scan, func(done, total int64) { p.Tell("reading the scan", done, total) })
	if err != nil {
		return nil, err
	}
	p.Tell("measuring", 0, 1)
	if !finiteExtent(raw) {
		_, _, err := mesh.NewSolid(raw)
		return nil, err
	}
	box := mesh.TightestBox(raw.Vertices)
	units, err := chooseUnits(c, source, box.Size[0])
	if err != nil {
		return nil, err
	}
	doubts, err := scaleDoubts(c, scaledSides(box, units.scale))
	if err != nil {
		return nil, err
	}
	units.findings = append(units.findings, doubts...)
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	mended, err := c.solidOf(ctx, raw.Scaled(units.scale))
	if err != nil {
		return nil, err
	}
	solid := mended.solid
	material := solid.Measure()
	l := &Loaded{Solid: solid, Measures: material, Findings: []finding.Finding{}}
	hollow := hasKind(mended.report, mesh.KindInnerCavity)
	if hollow {
		l.Solid = solid.Envelope()
		l.Measures = l.Solid.Measure()
	}
	l.Findings = append(l.Findings, units.findings...)
	for _, note := range source.Notes {
		l.Findings = append(l.Findings, finding.Finding{Question: "scan", Level: finding.Note, Text: note,
			Action: "Compare the size and the picture with the part: is all of it there?"})
	}
	l.Scan = l.describe(c, source, mended.scan, units, box, raw)
	l.Scan.MaterialMM3, l.Scan.VolumeMM3 = material.VolumeMM3, material.VolumeMM3
	if hollow {
		l.Scan.As = "hollow"
		l.Findings = append(l.Findings, sealedHollow(l.Measures.VolumeMM3-material.VolumeMM3))
	}
	l.noteMends(mended)
	if n := outerParts(mended.report); n > 1 {
		l.Findings = append(l.Findings, separateParts(n))
	}
	l.Findings = append(l.Findings, l.accuracy())
	p.Tell("measuring", 1, 1)
	return l, nil
}

// sealedHollow says what is done about a closed hollow inside.
func sealedHollow(mm3 float64) finding.Finding {
	return finding.Finding{Question: "scan", Level: finding.Warn,
		Text:   fmt.Sprintf("The scan has a closed hollow of %.1f mL inside; rubber never gets in, so the plan takes the outside for the part, and the cast comes out solid.", mm3/1000),
		Action: "If the hollow is not there on the original, delete it from the scan; if it is open somewhere, scan the opening too."}
}

// outerParts counts the parts of the surface that are no hollows.
func outerParts(report mesh.Report) int {
	n := report.Shells
	for _, p := range report.Problems {
		if p.Kind == mesh.KindInnerCavity || p.Kind == mesh.KindFlatShell {
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
	for _, v := range m.Vertices {
		if s := v.X + v.Y + v.Z; math.IsNaN(s) || math.IsInf(s, 0) {
			return false
		}
	}
	return r3.Norm(r3.Sub(b.Max, b.Min)) > 0
}

func (l *Loaded) describe(c Choices, source mesh.Source, report mesh.Report, u units, box mesh.OrientedBox, raw *mesh.Mesh) Scan {
	b := l.Solid.Bounds()
	m := l.Measures
	s := Scan{
		File:           fileName(c.Scan),
		Format:         source.Format,
		Triangles:      source.Triangles,
		Vertices:       len(l.Solid.Vertices),
		Units:          u.name,
		UnitsFrom:      u.from,
		Scale:          u.scale,
		BoundsMM:       [2][3]float64{array(b.Min), array(b.Max)},
		SizeMM:         array(r3.Sub(b.Max, b.Min)),
		VolumeMM3:      m.VolumeMM3,
		VolumeErrorMM3: m.AreaMM2 * roundingMM(raw, u.scale),
		AreaMM2:        m.AreaMM2,
		CentroidMM:     array(m.Centroid),
		InertiaMM5:     m.Inertia,
		Watertight:     report.Closed,
		Shells:         report.Shells,
		OpenLoops:      report.OpenLoops,
		As:             "solid",
		MaterialMM3:    m.VolumeMM3,
		EnvelopeMM3:    m.VolumeMM3,
		Problems:       []Problem{},
		Mends:          []Mend{},
	}
	s.TightestBoxMM = scaledSides(box, u.scale)
	for _, p := range report.Problems {
		found := Problem{Kind: p.Kind, Count: p.Count, Text: p.Text}
		if p.HasAt {
			at := array(p.At)
			found.AtMM = &at
		}
		s.Problems = append(s.Problems, found)
	}
	return s
}

func scaledSides(box mesh.OrientedBox, scale float64) (sides [3]float64) {
	for i, side := range box.Size {
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

// roundingMM bounds how far a vertex may be from where the scanner put it, by
// the file's 32-bit coordinates alone: half a unit in the last place on each
// axis.
func roundingMM(raw *mesh.Mesh, scale float64) float64 {
	b := raw.Bounds()
	far := 0.0
	for _, x := range [6]float64{b.Min.X, b.Min.Y, b.Min.Z, b.Max.X, b.Max.Y, b.Max.Z} {
		far = max(far, math.Abs(x))
	}
	ulp := float64(math.Nextafter32(float32(far), math.MaxFloat32)) - float64(float32(far))
	return math.Sqrt(3) * ulp / 2 * scale
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
