package analysis

import (
	"context"
	"fmt"
	"math"

	"pourwright/mesh"
	"pourwright/mesh/field"
)

// LookCloser looks for what takes longer than reading: a table under a part that
// needed no mending, the scatter of the corners, and surface that passes through
// itself. A table is asked about, with an *Unusable; scatter adds to the doubt of
// the volume; a scan whose volume suffers from crossings is built anew. It looks
// only once.
func (l *Loaded) LookCloser(ctx context.Context, c Choices, p Progress) error {
	return l.lookCloser(ctx, c, AskAll, p)
}

// lookCloser looks only for a table when no more than the way up is asked: what
// else it finds moves volumes, not the way up, and takes the longest time of all.
func (l *Loaded) lookCloser(ctx context.Context, c Choices, what Questions, p Progress) error {
	if l.closer {
		return nil
	}
	if err := l.askAboutTable(c); err != nil {
		return err
	}
	if what == AskStand {
		return nil
	}
	sigma, scatter := l.Solid.Noise()
	l.Scan.NoiseMM, l.Scan.VolumeDoubt.NoiseMM3 = &sigma, scatter
	if err := l.untangle(ctx, c, p); err != nil {
		return err
	}
	l.judge()
	l.closer = true
	return nil
}

// askAboutTable asks about a plate under a scan that needed no mending; in one
// that did, Mend looked.
func (l *Loaded) askAboutTable(c Choices) error {
	choice, err := c.mendChoice()
	if err != nil || len(l.Scan.Mends) > 0 {
		return err
	}
	if err := choice.AskAboutTable(l.Mended); err != nil {
		s := l.Scan
		s.Worth = WorthNone
		return &Unusable{s, l.Read, err}
	}
	return nil
}

const (
	// closerCells is how fine a field is that tells what crossings do to the
	// volume.
	closerCells = 128
	// crossingShare is how much of the volume may be counted twice, or be turned
	// inside out, before a scan is built anew (common practice, no source).
	crossingShare = 0.002
)

// untangle looks for surface that passes through itself. Noise folds the surface
// over itself too, by about its own height where faces cross; that evens out in
// the volume, and building the scan anew would not.
func (l *Loaded) untangle(ctx context.Context, c Choices, p Progress) error {
	const stage = "looking for crossed surface"
	p.Tell(stage, 0, 1)
	defer p.Tell(stage, 1, 1)
	whole := l.Mended
	if l.tangled != nil {
		whole = l.tangled
	}
	tree := mesh.NewTree(whole)
	if whole == l.Solid.Mesh {
		l.tree = tree
	}
	found, err := tree.SelfCrossings(ctx)
	if err != nil || found.Pairs == 0 {
		return err
	}
	l.Crossed = whole.Some(found.Faces)
	at := array(found.At)
	l.Scan.Problems = append(l.Scan.Problems, Problem{Kind: mesh.KindSelfCrossing, Count: found.Pairs, AtMM: &at, Text: crossingWords(found)})
	if l.tangled != nil {
		return nil
	}
	f, err := field.New(ctx, l.Mended, field.Choice{Cells: closerCells}, nil)
	if err != nil {
		return err
	}
	volume, doubt := f.Volume()
	solid := &mesh.Solid{Mesh: l.Mended}
	off := math.Abs(solid.Measure().VolumeMM3 - volume)
	folds := *l.Scan.NoiseMM * l.Crossed.Area()
	choice, err := c.mendChoice()
	if err != nil {
		return err
	}
	if off <= doubt+crossingShare*volume || off <= folds || c.NoMend || !choice.Makes(mesh.MendRebuild) {
		l.Scan.VolumeDoubt.CrossingMM3 = off
		return nil
	}
	again := readyScan{mends: mesh.Mended{Mesh: l.Mended}}
	if again, err = again.rebuild(ctx, p); err != nil {
		return err
	}
	l.replace(again)
	return nil
}

// replace takes a solid that was built anew.
func (l *Loaded) replace(s readyScan) {
	l.Mended, l.Scanned, l.tree = s.solid.Mesh, s.mends.Scanned, nil
	l.Solid = s.solid.Envelope()
	l.Measures = l.Solid.Measure()
	l.Scan.EnvelopeMM3 = l.Measures.VolumeMM3
	if l.Scan.ShellMM == nil {
		l.Scan.MaterialMM3 = s.solid.Measure().VolumeMM3
		l.Scan.VolumeMM3 = l.Scan.MaterialMM3
	}
	l.Scan.AreaMM2, l.Scan.CentroidMM, l.Scan.InertiaMM5 = l.Measures.AreaMM2, array(l.Measures.Centroid), l.Measures.Inertia
	l.Scan.Vertices = len(l.Solid.Vertices)
	l.Scan.VolumeDoubt.GridMM3 = s.gridMM3
	for _, step := range s.mends.Steps {
		l.noteMend(step)
	}
}

func crossingWords(c mesh.Crossings) string {
	if c.Pairs == 1 {
		return fmt.Sprintf("2 faces cut through each other, near (%.1f, %.1f, %.1f)", c.At.X, c.At.Y, c.At.Z)
	}
	return fmt.Sprintf("%d pairs of faces cut through each other, the first near (%.1f, %.1f, %.1f)", c.Pairs, c.At.X, c.At.Y, c.At.Z)
}
