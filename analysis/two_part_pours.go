package analysis

import (
	"fmt"
	"math"
	"slices"

	"pourwright/analysis/finding"
	"pourwright/analysis/hold"
	"pourwright/analysis/mix"
	"pourwright/analysis/shelf"
)

// weighParts weighs the rubber of both parts, in the box on its side.
func (j *job) weighParts() error {
	t, side := j.plan.TwoPart, *j.onSide
	floor := side.Floor.AreaMM2()
	var doubts [2][]finding.Finding
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
		doubts[n] = r.Findings
	}
	for n, mine := range doubts {
		for _, f := range mine {
			both := slices.ContainsFunc(doubts[1-n], func(o finding.Finding) bool { return o.Text == f.Text })
			switch {
			case !both:
				f.Text = fmt.Sprintf("Part %d of the mold: %s", n+1, f.Text)
			case n == 1:
				continue // told of the first
			}
			j.find(f)
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
