package analysis

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis/airtrap"
	"pourwright/analysis/cut"
	"pourwright/analysis/finding"
	"pourwright/analysis/hold"
	"pourwright/analysis/mix"
	"pourwright/analysis/moldbox"
	"pourwright/analysis/shelf"
	"pourwright/analysis/stand"
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
		Keys: []BedKey{}, Locks: []Lock{}, Why: b.Why, Release: release.Key, ReleaseName: release.Name, ReleaseNote: release.Note, StretchAllowed: allowed,
	}
	// Clay is what rubber of the second part takes the place of, and the part in it.
	t.ClayMM3 = b.RubberMM3[1-b.First]
	for _, k := range b.Keys {
		t.Keys = append(t.Keys, j.describeKey(t, k))
	}
	for _, l := range b.Locks {
		lock := Lock{Side: 2*l.Side - 1, AtMM: array(l.At), VolumeMM3: l.VolumeMM3, DepthMM: l.DepthMM, BesideMM: l.BesideMM, Linked: l.Linked, Gives: l.Gives}
		if !math.IsInf(l.ReachMM, 1) {
			lock.ReachMM = &l.ReachMM
		}
		t.Locks = append(t.Locks, lock)
	}
	j.describeHeights(t)
	t.PeelFirst, t.PeelWhy = t.easier(2*b.First - 1)
	j.plan.TwoPart = t
	j.plan.Box.Assembly = moldbox.AssemblyOnSide(t.LowMM, t.HighMM)
	j.describeBed(b)
	j.plan.Findings = append(j.plan.Findings, b.Findings...)
	if guessed {
		j.find(finding.Finding{Question: "cut", Level: finding.Note,
			Text:   fmt.Sprintf("How far this rubber stretches is not known; %.0f %% was allowed.", 100*allowed),
			Action: "Give elongation_pct from its data sheet in your shelf file."})
	}
	return j.airInParts()
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

// airInParts looks for air under the pattern in both pours of a mold in two parts.
func (j *job) airInParts() error {
	mm3, depth, err := j.choices.leastAir()
	if err != nil {
		return err
	}
	j.plan.RubberTrap = []Trap{}
	for n, side := range [2]int{j.bed.First, 1 - j.bed.First} {
		pose := j.onBoard(side)
		s := airtrap.NewSurface(j.posed.Posed(pose).Mesh)
		found, err := airtrap.Find(s, airtrap.Input{Domain: airtrap.Outside, Up: r3.Vec{Z: 1}, PersistenceMM: depth, VolumeMM3: mm3})
		if err != nil {
			return err
		}
		var above []airtrap.Trap // what lies under the bed is in clay, or in the other part
		for _, t := range found {
			if h := j.opened.Height(back(pose, t.At)); h*float64(2*side-1) > 0 {
				above = append(above, t)
			}
		}
		traps := j.describeTraps(above, nil, 1)
		for i, r := range airtrap.Remedies(s, above, make([]bool, len(above))) {
			t := &traps[i]
			t.Part, t.Remedy = n+1, j.describeRemedy(r)
			t.AtMM = array(back(pose, above[i].At))
			for _, p := range []*[3]float64{t.Remedy.MouthMM, t.Remedy.OutMM} {
				if p != nil {
					*p = array(back(pose, vec(*p)))
				}
			}
		}
		j.plan.RubberTrap = append(j.plan.RubberTrap, traps...)
	}
	j.rubberTrapDoubts()
	return nil
}

// back moves a point against a pose.
func back(p mesh.Pose, q r3.Vec) r3.Vec {
	d := r3.Sub(q, p.T)
	return r3.Add(r3.Scale(d.X, p.Rows[0]), r3.Add(r3.Scale(d.Y, p.Rows[1]), r3.Scale(d.Z, p.Rows[2])))
}

// weighParts weighs the rubber of both parts, in the box on its side.
func (j *job) weighParts() error {
	t, side := j.plan.TwoPart, *j.onSide
	floor := side.Floor.AreaMM2()
	for n, s := range [2]int{j.bed.First, 1 - j.bed.First} {
		bed := side.RubberLevelMM - j.bed.DepthMM[s]
		share := j.bed.DepthMM[s] / side.RubberLevelMM
		r, err := mix.Plan(j.choices.InShop(mix.Input{
			Rubber: j.rubber, InsideMM: side.InsideMM, FloorMM2: floor,
			Below: func(level float64) float64 {
				rubber, _ := j.bed.RubberTo(s, level-bed)
				return floor*level - rubber
			},
			DisplacedErrorMM3: j.plan.Scan.VolumeErrorMM3 * j.bed.PartMM3[s] / j.measures.VolumeMM3, FilmG: j.own.FilmG,
			BulgeMM3: shelf.Range{Low: share * j.bulge.Low, Likely: share * j.bulge.Likely, High: share * j.bulge.High}, InchMarks: j.choices.Show == "in",
		}))
		if err != nil {
			return err
		}
		one := RubberOf(j.rubber, r)
		t.Parts[n] = MoldPart{Side: 2*s - 1, DepthMM: j.bed.DepthMM[s], LevelMM: side.RubberLevelMM, RubberMM3: one.NetMM3, PatternMM3: j.bed.PartMM3[s],
			MassG: one.MassG, LowG: one.LowG, HighG: one.HighG, Batches: one.Batches, Marks: []Mark{}, TimeNeededS: one.TimeNeededS}
		for _, m := range one.Marks {
			if rubber, _ := j.bed.RubberTo(s, m.LevelMM-bed); rubber >= leastMarkMM3 { // others are in the clay
				t.Parts[n].Marks = append(t.Parts[n].Marks, m)
			}
		}
		if n == 0 {
			j.plan.Rubber, j.rangeRule, j.batchRule = one, r.RangeRule+"; both parts together", r.BatchRule
		} else {
			j.plan.Rubber.add(one)
		}
		for _, f := range r.Findings {
			if !slices.ContainsFunc(j.plan.Findings, func(o finding.Finding) bool { return o.Text == f.Text }) {
				j.find(f)
			}
		}
	}
	return j.sumParts()
}

// add takes the second part's rubber to that of the first.
func (r *Rubber) add(o Rubber) {
	r.NetMM3 += o.NetMM3
	r.AllowanceG += o.AllowanceG
	r.MassG += o.MassG
	r.LowG += o.LowG
	r.HighG += o.HighG
	r.BlockG += o.BlockG
	r.Enough = min(r.Enough, o.Enough)
	r.Batches = append(append([]Batch{}, r.Batches...), o.Batches...)
	if *o.TimeNeededS > *r.TimeNeededS {
		r.TimeNeededS = o.TimeNeededS
	}
	if o.AllowanceRule != r.AllowanceRule {
		r.AllowanceRule = "first part: " + r.AllowanceRule + "; second part: " + o.AllowanceRule
	}
}

// sumParts completes what the plan says of both parts' rubber together.
func (j *job) sumParts() error {
	r, floor := &j.plan.Rubber, j.onSide.Floor.AreaMM2()
	r.BoxVolumeMM3 = floor * j.onSide.RubberLevelMM
	r.DisplacedMM3 = r.BoxVolumeMM3 + j.bulge.Likely - r.NetMM3
	r.Marks, r.OwnPours = []Mark{}, j.own.Pours // the marks are those of each part
	if j.plan.Bow.Verdict != "unknown" {
		r.BulgeMM3 = &j.bulge.Likely
	}
	sizes := []float64{}
	for _, kg := range j.rubber.PacksKg {
		sizes = append(sizes, 1000*kg)
	}
	buy, err := mix.Buy(r.HighG, sizes, j.rubber.PricePerKg)
	if err != nil {
		return err
	}
	r.Buy = buyOf(mix.Result{HighG: r.HighG, MassG: r.MassG, Buy: buy})
	return nil
}

// batches is how many weighings the rubber takes, for each part of the mold.
func (j *job) batches() []int {
	if t := j.plan.TwoPart; t != nil {
		return []int{len(t.Parts[0].Batches), len(t.Parts[1].Batches)}
	}
	return []int{len(j.plan.Rubber.Batches)}
}

// leastMarkMM3 is the least rubber that a level is marked for.
const leastMarkMM3 = 1000

const (
	gravityMPerS2 = 9.80665 // exact by definition, CGPM 1901
	partLevels    = 200     // of the rising rubber that uplift is looked at
)

// holdParts works out what lifts the pattern in either pour. Bedded tightly, only what
// is over the bed floats, and is pressed down as well; where rubber gets under the
// pattern, all of it floats.
func (j *job) holdParts() error {
	t, mass, density := j.plan.TwoPart, j.patternMass(), j.rubber.DensityGPerCM3
	h := Hold{PatternLowG: mass.LowG, PatternHighG: mass.HighG, PatternFrom: mass.From, PatternKnown: mass.Known,
		Kinds: []HoldKind{}, Pins: []Pin{}, NetLiftN: math.Inf(-1)}
	newtons := func(mm3, gPerCM3 float64) float64 { return mm3 * 1e-6 * gPerCM3 * gravityMPerS2 }
	t.LiftArmMM = j.pose.Point(j.measures.Centroid).Z
	for n := range t.Parts {
		p := &t.Parts[n]
		side := (p.Side + 1) / 2
		for k := range partLevels {
			level := p.DepthMM * float64(k+1) / partLevels
			_, part := j.bed.RubberTo(side, level)
			p.UpliftSealedN = max(p.UpliftSealedN, newtons(part-j.opened.SectionMM2*level, density.Likely))
		}
		p.UpliftLeakingN = newtons(j.measures.VolumeMM3, density.Likely)
		p.NetLiftN = newtons(j.measures.VolumeMM3, density.High) - mass.LowG/1000*gravityMPerS2
		if p.NetLiftN > h.NetLiftN {
			h.UpliftSealedN, h.UpliftLeakingN, h.NetLiftN, h.WorstLevelMM = p.UpliftSealedN, p.UpliftLeakingN, p.NetLiftN, p.LevelMM
		}
	}
	box := j.boxG()
	w := hold.WeightsOf(j.plan.Rubber.NetMM3, hold.Range(density), mass, box)
	h.FilledBoxG, h.WithBox, h.SpillMM3, h.SpillRule = *spreadOf(shelf.Range(w.FilledBoxG)), w.WithBox, w.SpillTrayMM3, w.SpillRule
	j.plan.Hold, j.plan.Rubber.FilledBoxG = h, &w.FilledBoxG.High
	if h.NetLiftN > 0 {
		j.find(finding.Finding{Question: "hold", Level: finding.Note,
			Text: fmt.Sprintf("Rubber that gets under the part lifts it with up to %.1f N, as much as a mass of %.0f g, %.0f mm from the wall that its spout end is fixed to: %.2f N·m on that joint.",
				h.NetLiftN, h.NetLiftN/gravityMPerS2*1000, t.LiftArmMM, h.NetLiftN*t.LiftArmMM/1000),
			Action: "Screw or glue its spout end to the wall for both pours, hold its far end down with a bar across the box or a weight where it is long, press the clay up to it all round, and at the second pour do not loosen it from the first part."})
	}
	return nil
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

// A way up whose parts draw off freely may score so much less than another to be taken
// before it (common practice, no source), and undercut that hardly matters, as a share
// of the pattern's volume.
const (
	bedWorth  = 0.8
	bedSlack  = 0.05
	drawWorth = 0.3   // how shallow the parts of the mold are, likewise
	bedMesh   = 8_000 // corners that the ways are compared on
)

// preferBed puts the way up first that suits a mold in two parts best, by its score and
// by the rubber that its best bed leaves hooked, and says so where it changes the
// choice.
func (j *job) preferBed(ways []stand.Way) ([]stand.Way, string, error) {
	c := j.choices
	if asked := c.Down != nil || c.Spout != nil || j.rimDown != nil; !c.twoPart() || asked || len(ways) < 2 {
		return ways, "", nil
	}
	rough, detail := j.roughMesh()
	hooked, values := make([]float64, len(ways)), make([]float64, len(ways))
	best, longest := 0, j.plan.Scan.TightestBoxMM[0]
	for i, w := range ways {
		pose := standPose(w)
		r, err := cut.Choose(j.ctx, &mesh.Solid{Mesh: rough.Posed(pose)}, cut.Input{
			Axis: pose.Point(w.Spout), Centroid: pose.Point(j.measures.Centroid), Detail: detail, TwoPart: true, Rough: true,
			VolumeMM3: j.measures.VolumeMM3, AreaMM2: j.measures.AreaMM2, SpoutMM: w.SpoutDiameterMM,
			ClearanceMM: moldbox.DefaultClearanceMM(j.plan.Scan.TightestBoxMM[0]),
		})
		if err != nil {
			return nil, "", err
		}
		hooked[i] = (r.UndercutMM3[0] + r.UndercutMM3[1]) / j.measures.VolumeMM3
		values[i] = w.Score + bedWorth*bedSlack/(bedSlack+hooked[i]) - drawWorth*min(1, 2*r.DrawMM/longest)
		if values[i] > values[best]+1e-9 {
			best = i
		}
	}
	if best == 0 {
		return ways, "", nil
	}
	ways[best].Why = strings.ReplaceAll(ways[best].Why, "the choice", "the way of the highest score")
	ways = append([]stand.Way{ways[best]}, slices.Delete(slices.Clone(ways), best, best+1)...)
	return ways, fmt.Sprintf(" For a mold in two parts it was taken before the way of the highest score, since the parts of the mold draw off more easily: rubber hooked behind the part is %s its volume, with that one %s.",
		cut.Times(hooked[best]), cut.Times(hooked[0])), nil
}

// roughMesh is the solid with few corners, and the detail of each.
func (j *job) roughMesh() (*mesh.Mesh, []float32) {
	if len(j.solid.Vertices) <= bedMesh {
		return j.solid.Mesh, j.detail
	}
	m, to := j.solid.Clustered(math.Sqrt(j.measures.AreaMM2 / bedMesh))
	detail, count := make([]float32, len(m.Vertices)), make([]float32, len(m.Vertices))
	for v, d := range j.detail {
		detail[to[v]] += d
		count[to[v]]++
	}
	for v := range detail {
		detail[v] /= max(1, count[v])
	}
	return m, detail
}
