package analysis

import (
	"fmt"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis/finding"
	"pourwright/mesh"
)

// What a scan may be taken as.
const (
	AsSolid  = "solid"  // it goes on where the scan stops: openings are closed
	AsShell  = "shell"  // it is a wall that stands on its open rim; rubber stays outside
	AsHollow = "hollow" // it is closed and empty inside, where rubber never gets
)

// As lists what a scan may be taken as.
func As() []string { return []string{AsSolid, AsShell, AsHollow} }

// checkScan refuses choices about the scan that make no sense whatever it is.
func (c Choices) checkScan() error {
	switch {
	case c.As != "" && !slices.Contains(As(), c.As):
		return &Refusal{fmt.Sprintf("a scan cannot be taken as %q", c.As), "Say solid, shell or hollow, or leave it out."}
	case c.As == AsShell && c.ShellMM <= 0:
		return &Refusal{"it was not said how thick the shell is", "Measure its wall and give it, such as --as shell --shell 3mm."}
	case c.ShellMM < 0:
		return &Refusal{"a wall cannot be thinner than nothing", "Measure it and give it, such as --shell 3mm."}
	case c.ShellMM != 0 && c.As != AsShell && c.As != AsHollow:
		return &Refusal{"a wall thickness was given for a part that is not said to be hollow", "Say --as shell or --as hollow with it, or leave it out."}
	}
	_, err := c.mendChoice()
	return err
}

// takeAs works out what the part is made of, as the maker or the scan says.
func (l *Loaded) takeAs(c Choices, r sizedScan) error {
	cavity := hasKind(r.report, mesh.KindInnerCavity)
	switch {
	case c.As == AsSolid && cavity:
		l.Findings = append(l.Findings, finding.Finding{Question: "scan", Level: finding.Note,
			Text:   fmt.Sprintf("The closed hollow of %.1f mL inside the scan was filled.", (l.Measures.VolumeMM3-r.solid.Measure().VolumeMM3)/1000),
			Action: "Say --as hollow if the original is empty there."})
	case c.ShellMM > 0:
		return l.takeWall(c, r)
	case cavity:
		l.Scan.As = AsHollow
		l.Scan.MaterialMM3 = r.solid.Measure().VolumeMM3
		l.Scan.VolumeMM3 = l.Scan.MaterialMM3
		l.Findings = append(l.Findings, sealedHollow(l.Scan.EnvelopeMM3-l.Scan.MaterialMM3))
	case c.As == AsHollow:
		return &Refusal{"it was not said how thick the wall of the hollow part is, and the scan has no hollow inside", "Give the wall, such as --as hollow --shell 3mm."}
	}
	return nil
}

// takeWall takes the scan for the outside of a wall of the thickness given.
func (l *Loaded) takeWall(c Choices, r sizedScan) error {
	sheet := l.Solid.Mesh
	if c.As == AsShell {
		if r.mends.Opening == nil {
			return &Refusal{"the scan is closed, so as a shell it has no rim to stand on", "Say --as hollow --shell with the same thickness if it is empty inside; leave --as out if both sides of the wall were scanned."}
		}
		sheet = &mesh.Mesh{Vertices: r.mends.Mesh.Vertices, Faces: r.mends.Mesh.Faces[:r.mends.Scanned]}
		l.RimDown = outOf(l.Measures.Centroid, *r.mends.Opening)
	}
	wall := sheet.InwardVolume(c.ShellMM)
	if wall <= 0 || wall >= l.Scan.EnvelopeMM3 {
		return &Refusal{fmt.Sprintf("a wall %.4g mm thick leaves no room inside this part", c.ShellMM), "Measure the wall again; if there is no room, say --as solid."}
	}
	l.Scan.As, l.Scan.ShellMM = c.As, &c.ShellMM
	l.Scan.MaterialMM3, l.Scan.VolumeMM3 = wall, wall
	l.Findings = append(l.Findings, l.wallFinding())
	return nil
}

// outOf returns the direction of an opening as seen from within the part.
func outOf(centroid r3.Vec, o mesh.Opening) *r3.Vec {
	n := o.Normal
	if r3.Dot(n, r3.Sub(o.Center, centroid)) < 0 {
		n = r3.Scale(-1, n)
	}
	return &n
}

// wallFinding says what is done about a part that is only a wall.
func (l *Loaded) wallFinding() finding.Finding {
	s := l.Scan
	f := finding.Finding{Question: "scan", Level: finding.Warn,
		Text:   fmt.Sprintf("The part is taken for empty inside a wall of %.1f mL; rubber stays outside, and the cast comes out solid, of %.1f mL.", s.MaterialMM3/1000, s.EnvelopeMM3/1000),
		Action: "For a light copy, slush the material around the mold in coats instead of filling it."}
	if s.As == AsShell {
		f.Text = fmt.Sprintf("The part is taken for a shell of %.1f mL that stands on its rim; rubber stays outside, and the cast comes out solid, of %.1f mL.", s.MaterialMM3/1000, s.EnvelopeMM3/1000)
		f.Action = "Glue and seal the rim to the board all round, or rubber runs inside and lifts the part. For a thin copy, slush the material around the mold in coats instead of filling it."
	}
	return f
}

// sealedHollow says what is done about a closed hollow inside.
func sealedHollow(mm3 float64) finding.Finding {
	return finding.Finding{Question: "scan", Level: finding.Warn,
		Text:   fmt.Sprintf("The scan has a closed hollow of %.1f mL inside; rubber never gets in, so the plan takes the outside for the part, and the cast comes out solid.", mm3/1000),
		Action: "Say --as solid if the original is not empty there; if the hollow is open somewhere, scan the opening too."}
}
