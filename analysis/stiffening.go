package analysis

import (
	"fmt"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis/finding"
	stiffener "pourwright/analysis/rod" // rods.go has the stems and posts
)

// Rods that a maker can mean, mm.
const (
	leastRodMM, mostRodMM = 1, 50
	mostRodCoverMM        = 100
)

// rodWanted returns the diameter of the rod and its cover, mm; no diameter: none.
func (c Choices) rodWanted() (diameterMM, coverMM float64, err error) {
	diameterMM, coverMM = stiffener.DefaultDiameterMM, stiffener.DefaultCoverMM
	if c.RodMM != nil {
		diameterMM = *c.RodMM
	}
	if c.RodCoverMM != nil {
		coverMM = *c.RodCoverMM
	}
	switch {
	case diameterMM != 0 && !(diameterMM >= leastRodMM && diameterMM <= mostRodMM):
		return 0, 0, &Refusal{fmt.Sprintf("%.4g mm is no diameter of a rod", diameterMM), "Give from 1 to 50 mm, such as --rod 6mm, or --rod 0mm for none."}
	case !(coverMM > 0 && coverMM <= mostRodCoverMM):
		return 0, 0, &Refusal{fmt.Sprintf("%.4g mm is no cover over a rod", coverMM), "Give more than nothing and up to 100 mm; --rod-cover 8mm is usual."}
	}
	return diameterMM, coverMM, nil
}

// placeRod finds where a stiffener goes.
func (j *job) placeRod() error {
	diameter, cover, err := j.choices.rodWanted()
	if err != nil {
		return err
	}
	out := &j.plan.Rod
	*out = Rod{DiameterMM: diameter, CoverAskedMM: cover, Entry: string(stiffener.None), Standoffs: []Standoff{}, StopsMM: [][3]float64{},
		Materials: []RodStock{}, Cautions: []string{}, Why: "No rod was wanted."}
	if diameter == 0 {
		return nil
	}
	f, err := j.space()
	if err != nil {
		return err
	}
	r, err := stiffener.Find(j.ctx, stiffener.Input{
		Field: f, Tree: j.search(), ToTree: j.pose, DiameterMM: diameter, CoverMM: cover, LongestMM: j.plan.Scan.TightestBoxMM[0],
		Spout: stiffener.Spout{At: j.way.Spout, Inward: r3.Scale(-1, j.way.Down), DiameterMM: j.way.SpoutDiameterMM, StemMM: j.plan.Stand.StemMM, Open: j.openFoot()},
	})
	if err != nil {
		return err
	}
	j.describeRod(r)
	if g := out.StiffnessGain; g != nil && g.High < leastGain && j.choices.RodMM == nil {
		j.leaveRodOut(g.High)
		return nil
	}
	j.rodFindings(r.Findings)
	return nil
}

// rodMM3 is what the stiffener takes off the casting material.
func (j *job) rodMM3() float64 { return j.plan.Rod.DisplacedMM3 }

// rodFindings turns the places of findings to the stand frame.
func (j *job) rodFindings(all []finding.Finding) {
	for _, f := range all {
		if f.AtMM != nil {
			at := j.standPoint(vec(*f.AtMM))
			f.AtMM = &at
		}
		j.find(f)
	}
}

func (j *job) standPoint(p r3.Vec) [3]float64 { return array(j.pose.Point(p)) }

func (j *job) describeRod(r stiffener.Result) {
	out := &j.plan.Rod
	thickest := j.standPoint(r.Thickest)
	out.Entry, out.Why, out.LongestMM, out.ThickestMM, out.ThickestAtMM = string(r.Entry), r.Why, known(r.LongestMM), &r.ThickestMM, &thickest
	out.BySpoutMM = known(r.SpoutMM)
	for _, p := range r.Stops {
		out.StopsMM = append(out.StopsMM, j.standPoint(p))
	}
	if r.Entry == stiffener.None {
		return
	}
	length, from, to := r.Rod.Length(), j.standPoint(r.Rod.From), j.standPoint(r.Rod.To)
	out.LengthMM, out.FromMM, out.ToMM, out.CoverMM = &length, &from, &to, &r.CoverMM
	if r.Entry == stiffener.BySpout || r.Entry == stiffener.ByMouth {
		out.DepthMM = &r.DepthMM
	}
	if s := r.Second; s != nil {
		out.Second = &SecondRod{LengthMM: s.Length(), FromMM: j.standPoint(s.From), ToMM: j.standPoint(s.To), TieMM: j.standPoint(*r.Tie), LapMM: r.LapMM}
	}
	for _, s := range r.Standoffs {
		out.Standoffs = append(out.Standoffs, Standoff{AtMM: j.standPoint(s.OnRod), WallMM: j.standPoint(s.OnSurface), LengthMM: s.LengthMM})
	}
	out.DisplacedMM3 = r.DisplacedMM3(out.DiameterMM)
	out.Cautions = stiffener.Cautions()
	j.stiffen(r)
}

// stiffSections is how many sections the stiffness is worked out from.
const stiffSections = 40

// stiffen compares the cast with and without the rod, for all that rods are made of.
func (j *job) stiffen(r stiffener.Result) {
	out := &j.plan.Rod
	sections := stiffener.Slice(j.solid, stiffener.LongAxis(j.measures.Inertia), stiffSections)
	modulus := stiffener.CastMPa(j.casting.Kind)
	for i, s := range stiffener.Stocks() {
		stock := RodStock{Material: s.Key, Name: s.Name, MassG: spreadOf(s.MassG(out.DisplacedMM3))}
		bending := stiffener.Bend(sections, r.Rods(), out.DiameterMM, modulus, s.YoungMPa)
		if bending != nil {
			stock.StiffnessGain = spreadOf(bending.Gain)
		}
		if i == 0 {
			out.Material, out.MassG, out.StiffnessGain = stock.Material, stock.MassG, stock.StiffnessGain
			if bending != nil {
				out.WithoutNPerMM, out.WithNPerMM = spreadOf(bending.WithoutNPerMM), spreadOf(bending.WithNPerMM)
			}
		}
		out.Materials = append(out.Materials, stock)
	}
	if g := out.StiffnessGain; g != nil && g.High < leastGain && j.choices.RodMM != nil {
		j.find(finding.Finding{Question: "rod", Level: finding.Note, AtMM: out.FromMM,
			Text:   fmt.Sprintf("A steel rod here makes the cast %.1f %% stiffer at most: the thin part that it does not reach bends as before.", 100*(g.High-1)),
			Action: "Leave it out, or try a thinner rod or less cover (--rod, --rod-cover)."})
	}
}

// leaveRodOut plans no rod where nobody asked for one and it would hardly stiffen the
// cast.
func (j *job) leaveRodOut(gain float64) {
	r := &j.plan.Rod
	why := fmt.Sprintf("A steel rod of %.3g mm that fits, %.0f mm long, makes the cast %.1f %% stiffer at most, which is not worth it.", r.DiameterMM, *r.LengthMM, 100*(gain-1))
	j.withoutRod(why)
	j.find(finding.Finding{Question: "rod", Level: finding.Note, Text: "No rod is planned. " + why,
		Action: fmt.Sprintf("Try a thinner rod or less cover, such as --rod 3mm --rod-cover 5mm; --rod %.3gmm plans this one all the same.", r.DiameterMM)})
}

// noRodInHollow plans no rod for a cast that has to be made hollow, and takes back what
// was said of one.
func (j *job) noRodInHollow() {
	j.withoutRod("The cast is made hollow, so no rod goes in.")
	j.plan.Findings = slices.DeleteFunc(j.plan.Findings, func(f finding.Finding) bool { return f.Question == "rod" })
}

// withoutRod leaves of the rod only what was looked for, and why there is none.
func (j *job) withoutRod(why string) {
	r := &j.plan.Rod
	*r = Rod{DiameterMM: r.DiameterMM, CoverAskedMM: r.CoverAskedMM, Entry: string(stiffener.None), Standoffs: []Standoff{}, StopsMM: [][3]float64{},
		LongestMM: r.LongestMM, BySpoutMM: r.BySpoutMM, ThickestMM: r.ThickestMM, ThickestAtMM: r.ThickestAtMM,
		Materials: []RodStock{}, Cautions: []string{}, Why: why}
}

// leastGain is the least that a rod is worth its trouble for (common practice, no
// source).
const leastGain = 1.1

// rodBasis traces the numbers of the stiffener.
func (j *job) rodBasis() []Basis {
	r := j.plan.Rod
	if r.LengthMM == nil {
		return nil
	}
	out := []Basis{
		{"rod.length_mm", fmt.Sprintf("%.3g mm across under %.3g mm, distances on a grid of %.2f mm, then the scan's own triangles", r.DiameterMM, r.CoverAskedMM, j.field.VoxelMM),
			"longest straight axis that is nowhere nearer to the surface than cover + diameter/2: all pairs of places from coarse to fine, the best made longer on the triangles, and one moved to the middle of the part while it keeps 97 % of that length; proved all along, since a distance changes no faster than its place. Cover and diameter: common practice, no source"},
		{"rod.displaced_mm3", fmt.Sprintf("%.0f mm of rod, and the second if there is one", *r.LengthMM), "π/4 · diameter² · length"},
		{"rod.mass_g", fmt.Sprintf("%.0f mm³", r.DisplacedMM3), "density of mild steel 7.8 to 7.9 g/cm³, hardwood 0.55 to 0.8, glass fibre 1.8 to 2.1 (from memory)"},
	}
	if r.StiffnessGain != nil {
		modulus := stiffener.CastMPa(j.casting.Kind)
		out = append(out, Basis{"rod.stiffness_gain", fmt.Sprintf("%d sections of the scan; %s at %.3g to %.3g MPa (from memory), steel at 195 to 210 GPa (from memory)", stiffSections, j.casting.Name, modulus.Low, modulus.High),
			"beam on two supports a tenth of its length from the ends, force in the middle, softest direction: ∫ m²/EI, cast and rod bonded, EI of both about their common neutral axis; a slanted rod counts by cos³ of its slope. Low is the stiffest cast with the softest rod"})
	}
	return out
}
