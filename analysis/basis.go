package analysis

import (
	"fmt"
	"slices"

	"pourwright/analysis/bow"
	"pourwright/analysis/moldbox"
)

// basis traces the numbers that a maker acts on.
func (j *job) basis() []Basis {
	p := j.plan
	s, b, r, d := p.Scan, p.Box, p.Rubber, p.Scan.VolumeDoubt
	level := b.RubberLevelMM
	if p.TwoPart != nil {
		level = p.TwoPart.InsideMM[2] // of either part
	}
	return append([]Basis{
		{"scan.scale", fmt.Sprintf("the unit of the file, %s (%s)", s.Units, s.UnitsFrom), "mm per file unit; with --longest, the caliper length over the longest side of the tightest box"},
		{"scan.volume_mm3", fmt.Sprintf("%d triangles", s.Triangles), "signed tetrahedra about the middle of the bounds, compensated sums (Mirtich, Journal of Graphics Tools 1(2), 1996)"},
		{"scan.volume_error_mm3", fmt.Sprintf("rounding %.3g, scale %.3g, mends %.3g, grid %.3g, crossings %.3g, noise %.3g mm³", d.RoundingMM3, d.ScaleMM3, d.MendsMM3, d.GridMM3, d.CrossingMM3, d.NoiseMM3),
			"sum. Rounding: area × the largest shift of a corner. Scale: three times 0.5 mm over the caliper length, or all that a second length disagrees. Mends: a filled hole: a quarter of its area × span/2·tan(slope at the rim/2), or half of what its patch added; a flat end: area × twice how far its rim is out of plane. Grid: spread of the volume over its three axes and steps, and between scans laid over each other what only one of them holds. Crossings: what is counted twice. Noise: 2.5 standard deviations, independent from corner to corner. The scanner's own error comes on top"},
		{"scan.tightest_box_mm", "the convex hull of all vertices", "smallest box over turns (O'Rourke, 1985), longest side first"},
		{"stand.down", fmt.Sprintf("%d directions tried, %d looked at closely", p.Stand.Searched, p.Stand.Judged), "highest weighted mean of the criteria in stand.criteria, by the weights in stand.weights (common practice, no source)"},
		{"scan.detail_radius_mm", fmt.Sprintf("%.2f mm", s.DetailRadiusMM), "what a linear fit of the surface's directions within that radius leaves over is detail; 2 mm or a tenth of the part, unless given (common practice, no source)"},
		{"stand.spout_diameter_mm", "the pattern's section 0.5 mm above the board", fmt.Sprintf("largest circle in it, or a stem of the least spout for %s (common practice, no source)", j.casting.Name)},
		{"box.inside_mm", fmt.Sprintf("the pattern's outline, and clearances of %.1f to %.1f mm", min(b.ClearanceMM.X0, b.ClearanceMM.Y0), max(b.ClearanceMM.X0, b.ClearanceMM.Y0)), boxRule(b) + "; " + j.clearanceRule},
		{"box.wall_height_mm", fmt.Sprintf("rubber level %.1f mm", level), fmt.Sprintf("plus %.1f mm freeboard (common practice, no source)", b.FreeboardMM)},
		{"rubber.net_mm3", fmt.Sprintf("box %.0f mm³ less displaced %.0f mm³", r.BoxVolumeMM3, r.DisplacedMM3), "both up to the rubber level; the pattern's part is its exact volume below that level"},
		{"rubber.mass_g", fmt.Sprintf("%.0f mm³ × %.2f g/cm³, and %.0f g allowance", r.NetMM3, r.DensityGPerCM3, r.AllowanceG), r.AllowanceRule},
		{"rubber.low_g", fmt.Sprintf("%.0f to %.0f g", r.LowG, r.HighG), j.rangeRule},
		{"rubber.rule_g", fmt.Sprintf("inside %.0f × %.0f × %.0f mm", b.InsideMM[0], b.InsideMM[1], b.InsideMM[2]), "18.5 g per cubic inch of box, nothing taken off (common practice, no source)"},
		{"rubber.batches", fmt.Sprintf("A to B %g : %g by weight", r.RatioA, r.RatioB), j.batchRule},
		{"cast_traps", "the scan's own triangles, spout up", "merge tree of the cavity from the top down (Carr, Snoeyink & Axen, 2003); " + fmt.Sprintf("at least %g mm deep and %g mL", p.Air.LeastDepthMM, p.Air.LeastMM3/1000)},
	}, slices.Concat(j.boxBasis(), j.cutBasis(), j.castBasis(), j.rodBasis())...)
}

// boxBasis traces whether the box holds, and the pattern in it.
func (j *job) boxBasis() []Basis {
	var out []Basis
	if b := j.plan.Bow; len(b.Walls) > 0 {
		stiffness := fmt.Sprintf("%s: %s", j.board.Name, j.board.Basis)
		out = append(out,
			Basis{"bow.walls", stiffness, "thin plates under the rubber's pressure (Ritz method; Timoshenko & Woinowsky-Krieger, 1959, from memory); " + bow.RangeRule},
			Basis{"bow.bracing", fmt.Sprintf("%d ways tried in order of effort", len(b.Trials)),
				fmt.Sprintf("the first whose walls bow at worst by no more than %g mm or half their thickness, with %d times the strength (common practice, no source)", bow.MostBowMM, bow.LeastSafety)})
	}
	if h := j.plan.Hold; h.Safety > 0 {
		out = append(out,
			Basis{"hold.net_lift_n", h.PatternFrom, "buoyancy of all that rubber surrounds, with rubber under the foot as well, the densest rubber and the lightest pattern, over all levels from the board to full (Archimedes)"},
			Basis{"hold.glue_area_mm2", fmt.Sprintf("lift and push on a foot of %.0f mm²", h.PatchMM2), fmt.Sprintf("stress at the rim of the patch against the weak end of the joint's strength, safety %g (common practice, no source)", h.Safety)},
			Basis{"hold.shove_n", "the stream and the head it makes", h.ShoveRule})
	}
	if w := j.plan.Wall; w.Samples > 0 {
		out = append(out, Basis{"wall.min_mm", fmt.Sprintf("%d places %.1f mm apart, and every vertex", w.Samples, w.SpacingMM),
			"true distance to walls, level, board and facing surface; webs by the largest ball that fits between (Ma, Bae & Choi, 2012, from memory); floppy and wasted: common practice, no source"})
	}
	if r := j.plan.Rubber; r.MassG > 0 {
		out = append(out,
			Basis{"rubber.enough", fmt.Sprintf("%.0f g spare of the allowance when nothing leaks", r.AllowanceG), "chance under half a normal curve of the upper range"},
			Basis{"rubber.pot_life_s", fmt.Sprintf("%.0f min at 23 °C, the room at %g °C", j.rubber.PotLifeS/60, r.RoomC), "ten degrees more halve it (common practice, no source)"},
			Basis{"rubber.buy", fmt.Sprintf("packs of %v kg", j.rubber.PacksKg), "least mass that covers the high end of the range, in the fewest packs"})
	}
	return out
}

// boxRule says how the walls follow the pattern.
func boxRule(b Box) string {
	switch {
	case b.Owned:
		return "the box that is owned, turned round the pattern for the largest of the least gaps"
	case b.RadiusMM != nil:
		return "smallest circle around the outline (Welzl, 1991) plus clearance"
	case b.Shape == moldbox.Faceted:
		return "the outline's own edges, those left out that add the least floor, moved out by the clearance"
	}
	return "smallest rectangle around the outline (rotating calipers; Freeman & Shapira, 1975) plus clearance"
}
