package rod

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis/finding"
)

// describe words where the rod goes, and adds what follows from it.
func (r *room) describe(out *Result) {
	rods := out.Rods()
	out.CoverMM = r.cover(rods)
	for _, s := range rods {
		out.Standoffs = append(out.Standoffs, r.standoffs(s)...)
	}
	out.Stops = r.stops(out.Rod)
	length := out.Rod.Length()
	it := fmt.Sprintf("A rod %.3g mm thick and %.0f mm long fits under %.3g mm of cover", r.in.DiameterMM, length, r.in.CoverMM)
	switch out.Entry {
	case BySpout:
		out.Why = fmt.Sprintf("It can be pushed in through the spout into the closed mold; the longest that fits in any way is %.0f mm.", out.LongestMM)
		out.doubt(out.Rod.From, fmt.Sprintf("%s: it is pushed in through the spout until its near end, which is here, is %.0f mm behind the rim.", it, out.DepthMM),
			"Hang it at that depth on wires through a bleed hole of the lid, and set two bridges of cast material into the mold, before it is closed, for it to lie on.")
	case ByMouth:
		out.Why = fmt.Sprintf("It can be lowered, as it lies, through the open foot into the closed mold; the longest that fits in any way is %.0f mm.", out.LongestMM)
		far := r3.Dot(r3.Sub(out.Rod.To, r.in.Spout.At), r.in.Spout.Inward)
		deep := fmt.Sprintf("its ends are %.0f mm, here, and %.0f mm below the rim", out.DepthMM, far)
		if far-out.DepthMM < 0.5 {
			deep = fmt.Sprintf("it lies level, %.0f mm below the rim", out.DepthMM)
		}
		out.doubt(out.Rod.From, fmt.Sprintf("%s: it is lowered as it lies through the open foot, until %s.", it, deep),
			"Hang it so on wires through the bleed holes of the lid, and set two bridges of cast material into the mold, before it is closed, for it to lie on.")
	case InHalf:
		out.Why = fmt.Sprintf("The longest that fits is %.0f mm; none goes in through the spout.", out.LongestMM)
		if out.SpoutMM > 0 {
			out.Why = fmt.Sprintf("The longest that fits is %.0f mm; through the spout goes one of %.0f mm at most.", out.LongestMM, out.SpoutMM)
		}
		out.doubt(out.Rod.From, it+", but it cannot be pushed in through the spout.",
			"Lay it into one half on two bridges of cast material before the mold is closed, or leave it out.")
	case InTwo:
		out.Why = fmt.Sprintf("One straight rod reaches only %.0f mm; two that pass each other reach farther.", out.LongestMM)
		out.doubt(*out.Tie, fmt.Sprintf("It takes two rods, which touch here and go on for %.0f mm each.", out.LapMM/2),
			"Bind them together here and glue the binding before they go in, and lay them into one half on bridges before the mold is closed.")
	}
	if one := out.LongestMM; out.Entry != InTwo && one < shortShare*r.in.LongestMM {
		out.doubt(out.Stops[1], fmt.Sprintf("The rod is %.0f %% as long as the part: beyond its ends the cast is as limp as without.", 100*length/r.in.LongestMM),
			"A thinner rod or less cover may reach farther (--rod, --rod-cover).")
	}
}

// shortShare of the part's length is little for a stiffener.
const shortShare = 0.5

func (r *room) describeNone(out *Result) {
	needs := 2 * r.reach
	least := leastLength(r.in.DiameterMM)
	if out.ThickestMM < needs {
		out.Why = fmt.Sprintf("Too thin here: even the thickest place is %.1f mm thick, and a %.3g mm rod under %.3g mm of cover takes %.3g mm.", out.ThickestMM, r.in.DiameterMM, r.in.CoverMM, needs)
		if left := (out.ThickestMM - r.in.DiameterMM) / 2; left >= 1 {
			out.Why += fmt.Sprintf(" It would have %.1f mm there.", left)
		}
	} else {
		out.Why = fmt.Sprintf("Too thin: no straight rod of %.3g mm under %.3g mm of cover is longer than %.0f mm; under %.0f mm it stiffens next to nothing.", r.in.DiameterMM, r.in.CoverMM, out.LongestMM, least)
	}
	out.Stops = append(out.Stops, r.touch(out.Thickest, math.Inf(1)).on)
	out.doubt(out.Thickest, "No stiffener fits: "+lower(out.Why),
		"Take a thinner rod or less cover (--rod, --rod-cover), or cast a stiffer material.")
}

// doubt adds a finding at a place, in the frame of the field.
func (out *Result) doubt(at r3.Vec, text, action string) {
	f := finding.Finding{Question: "rod", Level: finding.Note, Text: text, AtMM: &[3]float64{at.X, at.Y, at.Z}, Action: action}
	out.Findings = append(out.Findings, f)
}

// Cautions are what to heed with a rod. Basis: common practice, no source.
func Cautions() []string {
	return []string{
		"Round both ends of the rod, take off the burr, degrease and roughen it, and see that the casting material buries it all.",
		"A rod makes a prop harder on whoever it hits, and a broken cast lays the rod bare: whether a prop for stunt or breakaway use may have one is a safety decision for the shop, not for this program.",
	}
}

// lower starts a sentence small, to go on after a colon.
func lower(s string) string {
	if s == "" {
		return s
	}
	return string(s[0]|0x20) + s[1:]
}
