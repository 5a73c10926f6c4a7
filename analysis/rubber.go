package analysis

import (
	"fmt"
	"pourwright/analysis/bow"
	"pourwright/analysis/mix"
	"pourwright/analysis/pours"
	"pourwright/analysis/shelf"
	"pourwright/mesh"

	"gonum.org/v1/gonum/spatial/r3"
)

func (j *job) weighRubber() error {
	if j.choices.twoPart() {
		return j.weighParts()
	}
	below := j.belowLevel()
	rods := j.rods()
	r, err := mix.Plan(j.choices.InShop(mix.Input{
		Rubber: j.rubber, InsideMM: j.plan.Box.InsideMM, FloorMM2: j.floor.AreaMM2(),
		Below: func(level float64) float64 {
			sum := below(level)
			for _, r := range rods {
				sum += r.below(level)
			}
			for _, f := range j.fillers {
				sum += f.VolumeMM3(level)
			}
			return sum
		},
		DisplacedErrorMM3: j.plan.Scan.VolumeErrorMM3, FilmG: j.own.FilmG, BulgeMM3: j.bulge,
		InchMarks: j.choices.Show == "in",
	}))
	if err != nil {
		return err
	}
	j.plan.Rubber = RubberOf(j.rubber, r)
	j.plan.Rubber.OwnPours = j.own.Pours
	if j.plan.Bow.Verdict != bow.Unknown {
		j.plan.Rubber.BulgeMM3 = &j.bulge.Likely
	}
	j.rangeRule, j.batchRule = r.RangeRule, r.BatchRule
	j.plan.Findings = append(j.plan.Findings, r.Findings...)
	return nil
}

// belowLevel returns the pattern's volume below a level of the stand frame.
func (j *job) belowLevel() func(level float64) float64 {
	if j.profile == nil {
		j.profile = mesh.NewProfile(j.posed, r3.Vec{Z: 1})
	}
	return j.profile.Below
}

// InShop adds to in what the choices say of the shop it is mixed in.
func (c Choices) InShop(in mix.Input) mix.Input {
	in.CupMM3, in.Headroom, in.RoomC, in.AltitudeM, in.ScaleStepG = c.CupMM3, c.Headroom, c.RoomC, c.AltitudeM, c.ScaleStepG
	return in
}

// OwnPours lays what the maker's own pours say of a rubber over it. The record
// is read from file; an empty name is no record.
func OwnPours(rubber shelf.Rubber, file string) (shelf.Rubber, pours.Own, error) {
	var own pours.Own
	if file == "" {
		return rubber, own, nil
	}
	all, err := pours.Read(file)
	if err != nil {
		return rubber, own, err
	}
	if own = pours.Learn(all, rubber, mix.DefaultFilmG); own.Pours > 0 {
		rubber.DensityGPerCM3 = own.Density
		rubber.Basis += fmt.Sprintf("; density from %d of your own pours as well (%s)", own.Pours, file)
	}
	return rubber, own, nil
}

// RubberOf says what was weighed with the keys of the plan.
func RubberOf(rubber shelf.Rubber, r mix.Result) Rubber {
	out := Rubber{
		Material: rubber.Key, MaterialName: rubber.Name, DensityGPerCM3: rubber.DensityGPerCM3.Likely,
		BoxVolumeMM3: r.BoxMM3, DisplacedMM3: r.DisplacedMM3, NetMM3: r.NetMM3,
		AllowanceG: r.AllowanceG, AllowanceRule: r.AllowanceRule,
		MassG: r.MassG, LowG: r.LowG, HighG: r.HighG, Enough: r.Enough, RuleG: r.RuleG,
		RatioA: rubber.RatioA, RatioB: rubber.RatioB, Batches: []Batch{},
		RoomC: r.RoomC, PotLifeS: r.PotLifeS, DemoldS: rubber.DemoldS.Likely, TimeNeededS: &r.TimeNeededS,
		Marks: []Mark{}, BlockG: r.NetG, Buy: buyOf(r),
	}
	for _, b := range r.Batches {
		batch := Batch{AG: b.AG, BG: b.BG, TotalG: b.TotalG, LevelMM: b.LevelMM}
		if b.AMM3 > 0 {
			batch.AMM3, batch.BMM3 = &b.AMM3, &b.BMM3
		}
		out.Batches = append(out.Batches, batch)
	}
	for _, m := range r.Marks {
		out.Marks = append(out.Marks, Mark(m))
	}
	return out
}

func buyOf(r mix.Result) Buy {
	b := Buy{NeedG: r.HighG, Packs: []Pack{}, TotalG: r.Buy.TotalG}
	for _, p := range r.Buy.Packs {
		b.Packs = append(b.Packs, Pack(p))
	}
	if b.TotalG > 0 {
		b.LeftG = b.TotalG - r.MassG
	}
	if r.Buy.Cost > 0 {
		b.Cost = &r.Buy.Cost
	}
	return b
}
