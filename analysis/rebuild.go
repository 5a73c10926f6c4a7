package analysis

import (
	"context"
	"fmt"
	"math"

	"pourwright/mesh"
	"pourwright/mesh/field"
)

// rebuildCells is how many cells of the field the longest side of a scan has
// that is built anew: of a part 300 mm long, what is finer than 1.5 mm is lost, and
// the surface has some hundred thousand faces (common practice, no source).
const rebuildCells = 200

// rebuildable says whether a mesh that could not be mended encloses space.
func rebuildable(r mesh.Report) bool {
	for _, kind := range []string{mesh.KindEmpty, mesh.KindNonFinite, mesh.KindFlat, mesh.KindOneSided, mesh.KindOpenLoop} {
		if hasKind(r, kind) {
			return false
		}
	}
	return true
}

// rebuild takes the surface of what the scan winds around for the solid.
func (s readyScan) rebuild(ctx context.Context, p Progress) (readyScan, error) {
	f, err := field.New(ctx, s.mends.Mesh, field.Choice{Cells: rebuildCells}, func(done, total int64) { p.Tell("building the scan anew", done, total) })
	if err != nil {
		return s, err
	}
	if s.solid, err = f.Surface(); err != nil {
		return s, err
	}
	_, s.report, err = mesh.NewSolid(s.solid.Mesh)
	if err != nil {
		return s, err
	}
	volume, doubt := f.Volume()
	s.mends.Solid, s.mends.Mesh, s.mends.Scanned = s.solid, s.solid.Mesh, len(s.solid.Faces)
	s.gridMM3 = doubt + math.Abs(s.solid.Measure().VolumeMM3-volume)
	s.mends.Steps = append(s.mends.Steps, mesh.MendStep{Kind: mesh.MendRebuild, Count: len(s.solid.Faces),
		AreaMM2: s.solid.Area(), SpanMM: f.VoxelMM,
		Text: fmt.Sprintf("surface that passes through itself built anew on a grid of %.2g mm: everything it winds around counts as inside", f.VoxelMM)})
	return s, nil
}
