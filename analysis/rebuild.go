package analysis

import (
	"context"
	"fmt"
	"math"

	"pourwright/mesh"
	"pourwright/mesh/field"
)

// rebuildFaces is about how many faces a surface that is built anew has, and so
// how fine its grid is: 0.6 mm for a part with 250 cm² of surface (common practice,
// no source). A square of the grid's step takes some facesPerStep faces, measured.
const (
	rebuildFaces = 600_000
	facesPerStep = 9
)

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
	f, err := field.New(ctx, s.mends.Mesh, field.Choice{VoxelMM: math.Sqrt(s.mends.Mesh.Area() * facesPerStep / rebuildFaces)}, func(done, total int64) { p.Tell("building the scan anew", done, total) })
	if err != nil {
		return s, err
	}
	surface, err := f.Surface()
	if err != nil {
		return s, err
	}
	volume, doubt := f.Volume()
	s.solid = filling(withoutBubbles(surface), volume, f.VoxelMM)
	if _, s.report, err = mesh.NewSolidContext(ctx, s.solid.Mesh); err != nil {
		return s, err
	}
	s.tangled = s.mends.Mesh
	s.mends.Solid, s.mends.Mesh, s.mends.Scanned = s.solid, s.solid.Mesh, len(s.solid.Faces)
	s.gridMM3 = doubt + math.Abs(s.solid.Measure().VolumeMM3-volume) + betweenCopies((&mesh.Solid{Mesh: s.tangled}).Measure().VolumeMM3, volume)
	s.mends.Steps = append(s.mends.Steps, mesh.MendStep{Kind: mesh.MendRebuild, Count: len(s.solid.Faces),
		AreaMM2: s.solid.Area(), SpanMM: f.VoxelMM,
		Text: fmt.Sprintf("surface that passes through itself built anew on a grid of %.2g mm: everything it winds around counts as inside", f.VoxelMM)})
	return s, nil
}

// copyShare is how much of the volume within several surfaces they must share to be
// scans of one part, laid over each other (common practice, no source).
const copyShare = 0.8

// betweenCopies is the doubt, mm³, of a volume within several surfaces that lie
// nearly over each other: where the part is among them is not known. sum is the
// volume of all, each counted on its own. The doubt is twice what they have on average
// less than is within any: between two copies, all that is within one of them alone.
func betweenCopies(sum, volume float64) float64 {
	copies := math.Round(sum / volume)
	if copies < 2 || sum < (copies-1+copyShare)*volume {
		return 0
	}
	return 2 * (volume - sum/copies)
}

// bubbleShare is the share of a part's volume under which hollows in a surface built
// anew are gaps between the surfaces it was built from (common practice, no source).
const bubbleShare = 0.001

// withoutBubbles returns a solid without the hollows inside it, if they are that
// small.
func withoutBubbles(s *mesh.Solid) *mesh.Solid {
	outside := s.Envelope()
	whole := outside.Measure().VolumeMM3
	if whole-s.Measure().VolumeMM3 < bubbleShare*whole {
		return outside
	}
	return s
}

// mostOffset is how far a surface is moved to have the volume of its field, as a
// share of the grid's step.
const mostOffset = 0.25

// filling returns a surface of a field, which loses a little at edges and creases,
// moved outward evenly so that it has the field's own volume, mm³.
func filling(surface *mesh.Solid, volume, voxelMM float64) *mesh.Solid {
	m := surface.Measure()
	by := (volume - m.VolumeMM3) / m.AreaMM2
	if math.Abs(by) > mostOffset*voxelMM {
		return surface
	}
	return surface.Offset(by)
}
