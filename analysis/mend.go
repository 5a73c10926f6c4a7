package analysis

import (
	"context"
	"fmt"

	"pourwright/analysis/finding"
	"pourwright/mesh"
)

// AsSolid says that an open underside of a scan is one that was not scanned.
const AsSolid = "solid"

// mendedScan is a solid with what was wrong with the scan and what was done.
type mendedScan struct {
	solid    *mesh.Solid
	scan     mesh.Report // of the scan as read
	report   mesh.Report // of the solid
	steps    []mesh.MendStep
	errorMM3 float64
}

// solidOf returns the scan as a solid, mended where it has to be or where scraps
// lie about it.
func (c Choices) solidOf(ctx context.Context, m *mesh.Mesh) (mendedScan, error) {
	if c.As != "" && c.As != AsSolid {
		return mendedScan{}, &Refusal{fmt.Sprintf("a scan cannot be taken as %q", c.As), "write as = 'solid', or leave it out"}
	}
	solid, report, err := mesh.NewSolid(m)
	sound := mendedScan{solid: solid, scan: report, report: report}
	if c.NoMend || err == nil && outerParts(report) == 1 && !hasKind(report, mesh.KindDuplicateFace) {
		return sound, err
	}
	mended, failed := mesh.Mend(ctx, m, mesh.MendChoice{Solid: c.As == AsSolid})
	if failed != nil {
		if err == nil && ctx.Err() == nil {
			return sound, nil
		}
		return sound, failed
	}
	return mendedScan{mended.Solid, report, mended.Report, mended.Steps, mended.ErrorMM3}, nil
}

// scanWithScatter returns what is known of the scan, with what the scatter of its
// corners may do to the volume in the error.
func (l *Loaded) scanWithScatter() Scan {
	s := l.Scan
	_, scatter := l.Solid.Noise()
	s.VolumeErrorMM3 += scatter
	return s
}

func hasKind(r mesh.Report, kind string) bool {
	for _, p := range r.Problems {
		if p.Kind == kind {
			return true
		}
	}
	return false
}

// noteMends puts the mends into what is known of the scan.
func (l *Loaded) noteMends(m mendedScan) {
	l.Scan.VolumeErrorMM3 += m.errorMM3
	l.Scan.Watertight, l.Scan.OpenLoops, l.Scan.Shells = m.scan.Closed, m.scan.OpenLoops, m.report.Shells
	for _, s := range m.steps {
		l.Scan.Mends = append(l.Scan.Mends, Mend{Kind: s.Kind, Count: s.Count, AreaMM2: s.AreaMM2, Text: s.Text})
		if f := l.mendFinding(s); f != nil {
			l.Findings = append(l.Findings, *f)
		}
	}
	if len(m.steps) > 0 {
		l.Findings = append(l.Findings, l.mendDoubt(m.errorMM3))
	}
}

const (
	// A filled hole is worth a warning from this share of the part's longest
	// side, or when all of them are this share of its surface (common practice,
	// no source).
	holeSpanShare = 0.08
	holeAreaShare = 0.02
)

// mendFinding warns of mends that are more than tidying up.
func (l *Loaded) mendFinding(s mesh.MendStep) *finding.Finding {
	f := finding.Finding{Question: "scan", Level: finding.Warn, Text: "Mended in the scan: " + s.Text + "."}
	switch {
	case s.Kind == mesh.MendBase:
		f.Action = "Compare with the part: if it is not flat and closed there, scan that side too."
	case s.Kind == mesh.MendHole && (s.SpanMM > holeSpanShare*l.Scan.TightestBoxMM[0] || s.AreaMM2 > holeAreaShare*l.Measures.AreaMM2):
		f.Action = "Look at those places in the picture: the surface there is a guess."
	case s.Kind == mesh.MendFloater:
		f.Level, f.Action = finding.Note, "If they belong to the part, join them to it in a mesh program."
	default:
		return nil
	}
	return &f
}

// mendDoubt says what the mends may have done to the volume.
func (l *Loaded) mendDoubt(errorMM3 float64) finding.Finding {
	share := errorMM3 / l.Measures.VolumeMM3
	f := finding.Finding{Question: "scan", Level: finding.Note,
		Text:   fmt.Sprintf("The scan was mended, which may have changed the volume by up to %.2g %%.", 100*share),
		Action: "Compare the picture with the part."}
	if share > 0.01 {
		f.Level = finding.Warn
	}
	return f
}
