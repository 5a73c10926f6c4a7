package analysis

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"pourwright/analysis/finding"
	"pourwright/mesh"
)

// readyScan is a solid with what was wrong with the scan and what was done.
type readyScan struct {
	solid   *mesh.Solid
	scan    mesh.Report // of the scan as read
	report  mesh.Report // of the solid
	mends   mesh.Mended // no steps when nothing had to be done
	gridMM3 float64     // doubt of a surface built anew
	tangled *mesh.Mesh  // what it was built from; nil when it was not
}

// solidOf returns the scan as a solid, mended where it has to be or where scraps
// lie about it. What cannot be mended, but encloses space, is built anew from
// the field.
func (c Choices) solidOf(ctx context.Context, m *mesh.Mesh, p Progress) (readyScan, error) {
	choice, err := c.mendChoice()
	if err != nil {
		return readyScan{}, err
	}
	solid, report, err := mesh.NewSolidContext(ctx, m)
	if ctx.Err() != nil {
		return readyScan{}, ctx.Err()
	}
	sound := readyScan{solid: solid, scan: report, report: report, mends: mesh.Mended{Mesh: m, Scanned: len(m.Faces)}}
	if err == nil && tidy(report) && c.Table != mesh.TableCut || c.NoMend || hasKind(report, mesh.KindFlat) {
		return sound, err
	}
	mended, failed := mesh.Mend(ctx, m, choice)
	ready := readyScan{solid: mended.Solid, scan: report, report: mended.Report, mends: mended}
	var open *mesh.OpenQuestion
	switch {
	case failed == nil:
		return ready, nil
	case ctx.Err() != nil:
		return sound, ctx.Err()
	case errors.As(failed, &open):
		return ready, failed
	case err == nil:
		return sound, nil
	case !choice.Makes(mesh.MendRebuild) || !rebuildable(mended.Report):
		return ready, failed
	}
	return ready.rebuild(ctx, p)
}

// tidy says whether there is nothing to mend in a solid.
func tidy(report mesh.Report) bool {
	return outerParts(report) == 1 && !hasKind(report, mesh.KindDuplicateFace)
}

// mendChoice reads which mends the maker wants.
func (c Choices) mendChoice() (mesh.MendChoice, error) {
	choice := mesh.MendChoice{CloseAll: c.As != "", Table: c.Table}
	if c.Table != "" && c.Table != mesh.TableCut && c.Table != mesh.TableKeep {
		return choice, &Refusal{fmt.Sprintf("nothing is known of a table that is to be %q", c.Table), "Say --table cut or --table keep."}
	}
	switch c.As {
	case AsHollow:
		choice.Inner = mesh.InnerHollow
	case AsSolid:
		choice.Inner = mesh.InnerSolid
	}
	if c.As == AsShell && c.Table == "" {
		// The brim of a hat is no table.
		choice.Table = mesh.TableKeep
	}
	if len(c.Mend) == 0 {
		return choice, nil
	}
	all := mesh.MendKinds()
	only := !strings.HasPrefix(c.Mend[0], "no-")
	for _, word := range c.Mend {
		kind, not := strings.CutPrefix(word, "no-")
		if !slices.Contains(all, kind) {
			return choice, &Refusal{fmt.Sprintf("%q is not a mend", word), "The mends are " + strings.Join(all, ", ") + "; with no- before it, all but that one."}
		}
		if not == only {
			return choice, &Refusal{"the mends to make and those to leave out cannot be mixed", "Name either, such as --mend weld,hole or --mend no-hole."}
		}
	}
	for _, kind := range all {
		if named := slices.Contains(c.Mend, kind) || slices.Contains(c.Mend, "no-"+kind); named != only {
			choice.Without = append(choice.Without, kind)
		}
	}
	return choice, nil
}

func hasKind(r mesh.Report, kind string) bool {
	return slices.ContainsFunc(r.Problems, func(p mesh.Problem) bool { return p.Kind == kind })
}

// noteMends puts the mends into what is known of the scan.
func (l *Loaded) noteMends(m readyScan) {
	l.Scan.Watertight, l.Scan.OpenLoops, l.Scan.Shells = m.scan.Closed, m.scan.OpenLoops, m.report.Shells
	for _, s := range m.mends.Steps {
		l.noteMend(s)
	}
	if len(m.mends.Steps) > 0 {
		l.Findings = append(l.Findings, l.mendDoubt(m.mends.ErrorMM3+m.gridMM3))
	}
}

func (l *Loaded) noteMend(s mesh.MendStep) {
	l.Scan.Mends = append(l.Scan.Mends, Mend{Kind: s.Kind, Count: s.Count, AreaMM2: s.AreaMM2, Text: s.Text})
	if f := l.mendFinding(s); f != nil {
		l.Findings = append(l.Findings, *f)
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
	case s.Kind == mesh.MendBase && l.Scan.As == AsShell:
		return nil
	case s.Kind == mesh.MendBase:
		f.Action = "Compare with the part: if it is open there, as a cup is, say --as shell --shell 3mm with its wall; if it is not flat, scan that side too."
	case s.Kind == mesh.MendHole && l.Scan.As == AsShell:
		f.Action = "Close real openings of the original, such as eyes, with clay or tape before you pour, or rubber runs through."
	case s.Kind == mesh.MendHole && (s.SpanMM > holeSpanShare*l.Scan.TightestBoxMM[0] || s.AreaMM2 > holeAreaShare*l.Measures.AreaMM2):
		f.Action = "Look at those places in the picture: the surface there is a guess."
	case s.Kind == mesh.MendTable:
		f.Action = "Look at the foot of the part in the picture: where a table was cut off, it is a guess by the width of the cut."
	case s.Kind == mesh.MendRebuild:
		f.Action = "Look at the picture: detail finer than that is lost, and the volume has the doubt that is stated."
	case s.Kind == mesh.MendHollow && l.Scan.As == AsHollow:
		f.Action = "It is wound outward, as a part of its own would be; what rubber reaches is the same either way."
	case s.Kind == mesh.MendFloater:
		f.Level, f.Action = finding.Note, "If they belong to the part, join them to it in a mesh program."
	default:
		return nil
	}
	return &f
}

// noTable says that nothing was there to cut off.
var noTable = finding.Finding{Question: "scan", Level: finding.Warn,
	Text:   "No table was found under the part, so nothing was cut off.",
	Action: "Look at the picture; if there is one, cut it off in a mesh program."}

// mostDoubt is the share of the volume that mends may put in doubt before rubber
// cannot be bought by it (common practice, no source).
const mostDoubt = 0.25

// mendDoubt says what the mends may have done to the volume.
func (l *Loaded) mendDoubt(errorMM3 float64) finding.Finding {
	share := errorMM3 / l.Measures.VolumeMM3
	most := fmt.Sprintf("by up to %.2g %%", 100*share)
	if share < 0.001 {
		most = "by less than 0.1 %"
	}
	f := finding.Finding{Question: "scan", Level: finding.Note,
		Text:   "The scan was mended, which may have changed the volume " + most + ".",
		Action: "Compare the picture with the part."}
	switch {
	case share > mostDoubt:
		f.Level = finding.Stop
		f.Text = fmt.Sprintf("So much of the scan is missing that its volume is in doubt by %.0f %%.", 100*share)
		f.Action = "Scan the open sides too, or close them in a mesh program."
	case share > 0.01:
		f.Level = finding.Warn
	}
	return f
}
