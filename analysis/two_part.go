package analysis

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis/cut"
	"pourwright/analysis/finding"
	"pourwright/analysis/moldbox"
	"pourwright/analysis/shelf"
	"pourwright/mesh"
)

// The styles of a mold.
const (
	BlockStyle   = "block"    // poured whole, and cut open
	TwoPartStyle = "two-part" // poured in two parts over a bed of clay
)

// Styles lists them.
func Styles() []string { return []string{BlockStyle, TwoPartStyle} }

func (c Choices) style() string { return orElse(c.Style, BlockStyle) }

func (c Choices) twoPart() bool { return c.Style == TwoPartStyle }

// styleFits refuses what does not go with a mold in two parts.
func (c Choices) styleFits() error {
	if style := c.style(); style != BlockStyle && style != TwoPartStyle {
		return &Refusal{fmt.Sprintf("%q is no style of mold", style), "Take block or two-part."}
	}
	if !c.twoPart() {
		return nil
	}
	switch {
	case c.Shape != "" && c.Shape != moldbox.Rectangle:
		return &Refusal{"a mold in two parts is poured in a rectangular box that lies on its side", "Leave --shape out, or pour a block with --style block."}
	case c.InsideMM != nil:
		return &Refusal{"a mold in two parts gets a box of its own, as wide as the block is high", "Leave --inside out, or pour a block with --style block."}
	case c.Fillers:
		return &Refusal{"fillers are for a block that is poured whole", "Leave --fillers out: shape the clay instead, or pour a block with --style block."}
	case c.LandMM != 0:
		return &Refusal{"a mold in two parts is not cut, so it has no land", "Leave --land out, or pour a block with --style block."}
	}
	return nil
}

// layOnSide makes the box that the block is poured in lying on its side, in place of
// the one it would stand in.
func (j *job) layOnSide(r moldbox.Result) moldbox.Result {
	n := j.opened.Normal
	side := moldbox.OnItsSide([3]float64{r.InsideMM[0], r.InsideMM[1], r.RubberLevelMM}, math.Abs(n.X) > math.Abs(n.Y), j.boxInput())
	j.onSide = &side
	b, lying := &j.plan.Box, describeBox(side)
	b.WallHeightMM, b.FreeboardMM, b.Panels = lying.WallHeightMM, lying.FreeboardMM, lying.Panels
	return side
}

// onBoard is the move from the stand frame to that of the box on its side, at the
// pour over a side of the bed: board at z = 0, origin in the centre of the floor, +x
// along its length.
func (j *job) onBoard(side int) mesh.Pose {
	up := r3.Scale(float64(2*side-1), j.opened.Normal)
	x, y := r3.Vec{Z: 1}, r3.Cross(up, r3.Vec{Z: 1})
	if in := j.onSide.InsideMM; math.Abs(j.plan.Box.RubberLevelMM-in[0]) > math.Abs(j.plan.Box.RubberLevelMM-in[1]) {
		x, y = r3.Scale(-1, y), x // the block is wider than high
	}
	p := mesh.Pose{Rows: [3]r3.Vec{x, y, up}}
	centre := p.Dir(r3.Vec{Z: j.plan.Box.RubberLevelMM / 2})
	p.T = r3.Vec{X: -centre.X, Y: -centre.Y, Z: j.onSide.RubberLevelMM/2 - centre.Z}
	return p
}

// layBed lays out the bed of a mold in two parts, and looks for air in both pours.
func (j *job) layBed() error {
	if !j.choices.twoPart() {
		return nil
	}
	allowed, guessed := cut.AllowedStretch(j.rubber)
	b, err := j.opened.MakeBed(j.ctx, j.posed, cut.Bedding{Tree: j.search(), Room: j.block(), Detail: j.detail, Allowed: allowed})
	if err != nil {
		return err
	}
	j.bed = b
	release := j.betweenParts()
	first := j.onBoard(b.First)
	t := &TwoPart{
		InsideMM: j.onSide.InsideMM, Rotation: rows(first), TranslationMM: array(first.T),
		BedMM: j.onSide.RubberLevelMM - b.DepthMM[b.First], OffMM: b.OffMM[0], MostOffMM: b.OffMM[1],
		Keys: []BedKey{}, Why: b.Why, Release: release.Key, ReleaseName: release.Name, ReleaseNote: release.Note, StretchAllowed: allowed,
	}
	// Clay is what rubber of the second part takes the place of, and the part in it.
	t.ClayMM3 = b.RubberMM3[1-b.First]
	for _, k := range b.Keys {
		t.Keys = append(t.Keys, j.describeKey(t, k))
	}
	t.Locks = describeLocks(b.Locks)
	j.describeHeights(t)
	t.PeelFirst, t.PeelWhy = t.easier(2*b.First - 1)
	j.plan.TwoPart = t
	j.plan.Box.Assembly = moldbox.AssemblyOnSide(t.LowMM, t.HighMM, j.plan.Stand.StemMM > 0)
	j.describeBed(b)
	j.plan.Findings = append(j.plan.Findings, b.Findings...)
	if guessed {
		j.find(finding.Finding{Question: "cut", Level: finding.Note,
			Text:   fmt.Sprintf("How far this rubber stretches is not known; %.0f %% was allowed.", 100*allowed),
			Action: "Give elongation_pct from its data sheet in your shelf file."})
	}
	return j.airInParts()
}

// describeLocks puts what still locks into the plan.
func describeLocks(all []cut.Lock) []Lock {
	out := []Lock{}
	for _, l := range all {
		lock := Lock{Side: 2*l.Side - 1, AtMM: array(l.At), VolumeMM3: l.VolumeMM3, DepthMM: l.DepthMM, BesideMM: l.BesideMM, Linked: l.Linked, Gives: l.Gives}
		if !math.IsInf(l.ReachMM, 1) {
			lock.ReachMM = &l.ReachMM
		}
		out = append(out, lock)
	}
	return out
}

// How far apart the heights along the parting line are told, and contours are drawn.
const (
	lineEveryMM    = 25
	contourEveryMM = 5
)

// describeHeights says how high the clay stands: along the parting line, and all over a
// shaped bed.
func (j *job) describeHeights(t *TwoPart) {
	s, up := &j.opened.Sheet, float64(2*j.bed.First-1)
	t.LowMM, t.HighMM, t.Line, t.Contours = t.BedMM, t.BedMM, []BedPoint{}, []BedContour{}
	for _, step := range s.Steps {
		t.LowMM, t.HighMM = min(t.LowMM, t.BedMM+up*step.OffsetMM), max(t.HighMM, t.BedMM+up*step.OffsetMM)
	}
	room := j.block()
	contours, low, high := s.Contours(&room, -up*t.BedMM, contourEveryMM) // at whole multiples over the board
	if s.Shape != nil {
		t.LowMM, t.HighMM = min(t.BedMM+up*low, t.BedMM+up*high), max(t.BedMM+up*low, t.BedMM+up*high)
	}
	for _, c := range contours {
		one := BedContour{HeightMM: t.BedMM + up*c.OffsetMM, Lines: []CutLine{}}
		for _, l := range c.Lines {
			one.Lines = append(one.Lines, CutLine{thinned(l.Points, l.Closed), l.Closed})
		}
		t.Contours = append(t.Contours, one)
	}
	if t.HighMM == t.LowMM {
		return
	}
	for _, p := range j.opened.Spaced(lineEveryMM) {
		at := BedPoint{AtMM: array(p)}
		at.FromSpoutMM, at.FromRightMM, at.HeightMM = t.Measured(at.AtMM, 1)
		t.Line = append(t.Line, at)
	}
}

// alikeShare is how much less rubber has to hook for a difference (common practice, no
// source).
const alikeShare = 0.9

// easier is the part, 1 or 2, to draw off first when the one on side first was poured
// first, and why: that with less rubber that locks, then with less that hooks at all.
// Of two as easy it is the second, since the pattern was seated in the first.
func (t *TwoPart) easier(first int) (part int, why string) {
	var locking, hooking [2]float64 // by part
	for _, l := range t.Locks {
		part := 1
		if l.Side == first {
			part = 0
		}
		hooking[part] += l.VolumeMM3
		if !l.Gives {
			locking[part] += l.VolumeMM3
		}
	}
	for _, c := range []struct {
		by  [2]float64
		why string
	}{{locking, "less of its rubber locks behind the prop"}, {hooking, "less of its rubber hooks behind the prop"}} {
		switch {
		case c.by[0] < alikeShare*c.by[1]:
			return 1, c.why
		case c.by[1] < alikeShare*c.by[0]:
			return 2, c.why
		}
	}
	return 2, "the other still holds the prop"
}

// describeKey says where a key is as a maker measures it.
func (j *job) describeKey(t *TwoPart, k cut.BedKey) BedKey {
	left := r3.Cross(r3.Scale(float64(2*j.bed.First-1), j.opened.Normal), r3.Vec{Z: 1})
	turn := math.Atan2(r3.Dot(k.Along, left), k.Along.Z) * 180 / math.Pi
	key := BedKey{AtMM: array(k.At), Along: array(k.Along), LengthMM: k.LengthMM, WidthMM: k.WidthMM, DepthMM: k.DepthMM,
		TurnDeg: math.Mod(math.Mod(turn, 180)+180, 180)}
	key.FromSpoutMM, key.FromRightMM, _ = t.Measured(key.AtMM, 1)
	return key
}

// describeBed puts what the plan says of any cut, for a bed.
func (j *job) describeBed(b cut.Bed) {
	c := &j.plan.Cut
	because := "the mold is poured in two parts"
	c.Rim, c.AreaMM2, c.HalvesMM3 = arrays(b.Rim), b.ClayMM2, &b.RubberMM3
	c.SlitMM, c.Slit = c.OutlineMM, Slit{Full: true, Because: &because, Path: [][3]float64{}}
}

// betweenParts is what keeps the second part from bonding to the first.
func (j *job) betweenParts() shelf.Release {
	for _, r := range j.shelf.Releases() {
		for _, use := range r.For {
			if use == shelf.RubberOnRubber {
				return r
			}
		}
	}
	return shelf.Release{Name: "a release for rubber on rubber"}
}

// bedBasis traces the numbers of a mold in two parts.
func (j *job) bedBasis(t *TwoPart) []Basis {
	c := j.plan.Cut
	return []Basis{
		{"cut.normal", fmt.Sprintf("%d beds upright through the spout", c.Searched),
			cut.BedRule},
		{"cut.undercut_mm3", "lines along the pull through the scan's own triangles", "along each line, from the bed to the last exit, less what is inside the pattern"},
		{"two_part.clay_mm3", fmt.Sprintf("box on its side %.0f × %.0f mm, bed %.1f to %.1f mm high", t.InsideMM[0], t.InsideMM[1], t.LowMM, t.HighMM), "the rubber of the second part, which takes the clay's place, dimples of the keys taken off"},
		{"two_part.off_mm", "lines along the edge of the pattern's shadow", "from the bed to where each is in the pattern"},
		{"two_part.keys", fmt.Sprintf("%d places", len(t.Keys)),
			"18 by 12 mm, 8 mm deep, less where rubber is short; at least 5 mm from the pattern, openings and the outside all over, 45 mm apart, closer where there is room for few, turned along and across by turns (common practice, no source)"},
		{"two_part.locks", fmt.Sprintf("rubber that may be drawn out by %.0f %%", 100*t.StretchAllowed),
			"it gives way when it reaches no farther under the pattern than that share of the rubber beside it: an indication (common practice, no source)"},
		{"two_part.parts", "the bed's exact halves of block and pattern", "rubber rises over the bed as lines through the pattern say, scaled to those halves; weighed as for any box"},
		{"two_part.parts.net_lift_n", j.plan.Hold.PatternFrom, "buoyancy of the whole pattern, with rubber under all of it, the densest rubber and the lightest pattern (Archimedes)"},
		{"bow.walls of two_part", "the box on its side", "as if rubber stood from the board to the top, which clay and the first part take less than"},
	}
}
