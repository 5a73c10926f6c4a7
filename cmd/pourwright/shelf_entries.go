package main

import (
	"fmt"
	"strings"

	"pourwright/analysis/shelf"
	"pourwright/render/say"
)

// shelfTables lists all that is on the shelf.
func shelfTables(s *shelf.Shelf) []shelfTable {
	return []shelfTable{
		tableOf("rubber", "Rubbers (--rubber KEY)", []string{"g/cm³", "A : B", "pot life", "demold"}, s.Rubbers(), rubberOnShelf),
		tableOf("casting", "Casting materials (--casting KEY)", []string{"g/cm³"}, s.Castings(), castingOnShelf),
		tableOf("board", "Boards (--board KEY)", []string{"stiffness"}, s.Boards(), boardOnShelf),
		tableOf("glue", "What holds the pattern down", []string{"holds"}, s.Glues(), glueOnShelf),
		tableOf("brace", "What keeps walls from bowing", nil, s.Braces(), braceOnShelf),
		tableOf("release", "Releases and sealers", []string{"for"}, s.Releases(), releaseOnShelf),
		tableOf("pattern", "What originals are made of (--pattern KEY)", []string{"g/cm³"}, s.Patterns(), patternOnShelf),
	}
}

func tableOf[T any](kind, title string, head []string, all []T, entry func(T) shelfEntry) shelfTable {
	t := shelfTable{kind: kind, title: title, head: head}
	for _, e := range all {
		t.entries = append(t.entries, entry(e))
	}
	return t
}

func three(r shelf.Range) *[3]float64 {
	if (r == shelf.Range{}) {
		return nil
	}
	return &[3]float64{r.Low, r.Likely, r.High}
}

// rubberEntry and those below are how --json words the shelf. Ranges are low,
// likely, high; null is not known.
type rubberEntry struct {
	Key            string      `json:"key"`
	Name           string      `json:"name"`
	Cure           string      `json:"cure"`
	ShoreA         float64     `json:"shore_a"`
	DensityGPerCM3 *[3]float64 `json:"density_g_cm3"`
	RatioA         float64     `json:"ratio_a"`
	RatioB         float64     `json:"ratio_b"`
	VolumeRatioA   float64     `json:"volume_ratio_a"` // 0: it must be weighed
	VolumeRatioB   float64     `json:"volume_ratio_b"`
	PacksKg        []float64   `json:"packs_kg"`
	PricePerKg     float64     `json:"price_per_kg"` // 0: not known
	PotLifeS       float64     `json:"pot_life_s"`
	DemoldS        *[3]float64 `json:"demold_s"`
	ViscosityPaS   float64     `json:"viscosity_pa_s"`
	ShrinkPct      *[3]float64 `json:"shrink_pct"`
	ElongationPct  *[3]float64 `json:"elongation_pct"`
	TearKNPerM     *[3]float64 `json:"tear_kn_m"`
	Basis          string      `json:"basis"`
	Cautions       []string    `json:"cautions"`
}

func rubberOnShelf(e shelf.Rubber) shelfEntry {
	byVolume := "; it must be weighed"
	if e.VolumeRatioA > 0 {
		byVolume = ", or " + say.Ratio(e.VolumeRatioA, e.VolumeRatioB) + " by volume"
	}
	var packs []string
	for _, kg := range e.PacksKg {
		packs = append(packs, say.Both.Mass(1000*kg))
	}
	return shelfEntry{
		key: e.Key, name: e.Name, basis: e.Basis, cautions: e.Cautions(),
		line: []string{fmt.Sprintf("%.2f", e.DensityGPerCM3.Likely), say.Ratio(e.RatioA, e.RatioB), say.Duration(e.PotLifeS), say.Duration(e.DemoldS.Likely)},
		facts: [][2]string{
			{"Cure", e.Cure},
			{"Hardness", say.Number(e.ShoreA) + " Shore A"},
			{"Density", rangeWords(e.DensityGPerCM3) + " g/cm³ mixed"},
			{"A : B", say.Ratio(e.RatioA, e.RatioB) + " by weight" + byVolume},
			{"Packs", orNot(strings.Join(packs, ", "))},
			{"Pot life", say.Duration(e.PotLifeS) + " at about 23 °C"},
			{"Demold", fmt.Sprintf("after %s (%s to %s)", say.Duration(e.DemoldS.Likely), say.Duration(e.DemoldS.Low), say.Duration(e.DemoldS.High))},
			{"Viscosity", say.Number(e.ViscosityPaS) + " Pa·s mixed"},
			{"Shrinkage", rangeWords(e.ShrinkPct) + " % of any length"},
			{"Stretches by", withUnit(e.ElongationPct, "% at break")},
			{"Tear strength", withUnit(e.TearKNPerM, "kN/m")},
		},
		json: rubberEntry{e.Key, e.Name, e.Cure, e.ShoreA, three(e.DensityGPerCM3), e.RatioA, e.RatioB, e.VolumeRatioA, e.VolumeRatioB, e.PacksKg, e.PricePerKg,
			e.PotLifeS, three(e.DemoldS), e.ViscosityPaS, three(e.ShrinkPct), three(e.ElongationPct), three(e.TearKNPerM), e.Basis, e.Cautions()},
	}
}

type castingEntry struct {
	Key            string      `json:"key"`
	Name           string      `json:"name"`
	Kind           string      `json:"kind"`
	DensityGPerCM3 *[3]float64 `json:"density_g_cm3"`
	ViscosityPaS   *[3]float64 `json:"viscosity_pa_s"`
	WorkingS       float64     `json:"working_s"` // 0: not known
	RiseS          *[3]float64 `json:"rise_s"`    // of a foam
	Basis          string      `json:"basis"`
	Cautions       []string    `json:"cautions"`
}

func castingOnShelf(e shelf.Casting) shelfEntry {
	density := "g/cm³"
	if e.Kind == shelf.Foam {
		density = "g/cm³ risen freely"
	}
	working := ""
	if e.WorkingS > 0 {
		working = say.Duration(e.WorkingS)
	}
	facts := [][2]string{
		{"Density", rangeWords(e.DensityGPerCM3) + " " + density},
		{"Viscosity", withUnit(e.ViscosityPaS, "Pa·s mixed")},
		{"Working time", orNot(working)},
	}
	if e.Kind == shelf.Foam {
		facts = append(facts, [2]string{"Rises for", withUnit(e.RiseS.Over(60), "min")})
	}
	return shelfEntry{
		key: e.Key, name: e.Name, basis: e.Basis, line: []string{rangeWords(e.DensityGPerCM3)},
		cautions: append([]string{shelf.DataSheetFirst}, e.Cautions()...), facts: facts,
		json: castingEntry{e.Key, e.Name, e.Kind, three(e.DensityGPerCM3), three(e.ViscosityPaS), e.WorkingS, three(e.RiseS), e.Basis, e.Cautions()},
	}
}

type boardEntry struct {
	Key           string      `json:"key"`
	Name          string      `json:"name"`
	ThicknessMM   float64     `json:"thickness_mm"`
	SheetMM       [2]float64  `json:"sheet_mm"` // 0: not known
	KerfMM        float64     `json:"kerf_mm"`
	PricePerSheet float64     `json:"price_per_sheet"` // 0: not known
	Scores        bool        `json:"scores"`
	YoungPa       *[3]float64 `json:"young_pa"`
	YoungUpPa     *[3]float64 `json:"young_up_pa"` // null: as along
	BendNM        *[3]float64 `json:"bend_nm"`
	BendUpNM      *[3]float64 `json:"bend_up_nm"`
	ShearNPerM    *[3]float64 `json:"shear_n_per_m"`
	StrengthPa    *[3]float64 `json:"strength_pa"`
	Basis         string      `json:"basis"`
}

func boardOnShelf(e shelf.Board) shelfEntry {
	stiffness := withUnit(e.YoungPa.Over(1e9), "GPa")
	if (e.BendNM != shelf.Range{}) {
		stiffness = withUnit(e.BendNM, "N·m")
	}
	up := e.YoungUpPa.Over(1e9)
	facts := [][2]string{
		{"Thickness", say.Both.Length(e.ThicknessMM)},
		{"Sheet", sheetWords(e)},
		{"Stiffness", stiffness},
	}
	if (up != shelf.Range{}) {
		facts = append(facts, [2]string{"Across", withUnit(up, "GPa up the wall")})
	}
	facts = append(facts, [2]string{"Strength", withUnit(e.StrengthPa.Over(1e6), "MPa in bending")})
	return shelfEntry{
		key: e.Key, name: e.Name, basis: e.Basis, line: []string{stiffness}, facts: facts, cautions: []string{shelf.DataSheetFirst},
		json: boardEntry{e.Key, e.Name, e.ThicknessMM, e.SheetMM, e.KerfMM, e.PricePerSheet, e.Scores, three(e.YoungPa), three(e.YoungUpPa),
			three(e.BendNM), three(e.BendUpNM), three(e.ShearNPerM), three(e.StrengthPa), e.Basis},
	}
}

func sheetWords(e shelf.Board) string {
	if e.SheetMM[0] == 0 {
		return "not known"
	}
	words := say.Both.SizeUp(e.SheetMM[:])
	if e.Scores {
		words += "; it can be scored and bent"
	}
	return words
}

type glueEntry struct {
	Key       string      `json:"key"`
	Name      string      `json:"name"`
	TensilePa *[3]float64 `json:"tensile_pa"`
	ShearPa   *[3]float64 `json:"shear_pa"`
	EachN     *[3]float64 `json:"each_n"`
	Porous    bool        `json:"porous"`
	Note      string      `json:"note"`
	Basis     string      `json:"basis"`
}

func glueOnShelf(e shelf.Glue) shelfEntry {
	holds := withUnit(e.TensilePa.Over(1e3), "kPa")
	if (e.EachN != shelf.Range{}) {
		holds = withUnit(e.EachN, "N each")
	}
	on := "clean, sealed surfaces"
	if e.Porous {
		on += ", and wood or plaster"
	}
	return shelfEntry{
		key: e.Key, name: e.Name, basis: e.Basis, line: []string{holds}, cautions: []string{shelf.DataSheetFirst},
		facts: [][2]string{{"Holds", holds + ", pulled"}, {"Sideways", withUnit(e.ShearPa.Over(1e3), "kPa")}, {"On", on}, {"Note", orNot(e.Note)}},
		json:  glueEntry{e.Key, e.Name, three(e.TensilePa), three(e.ShearPa), three(e.EachN), e.Porous, e.Note, e.Basis},
	}
}

type braceEntry struct {
	Key         string      `json:"key"`
	Name        string      `json:"name"`
	Kind        string      `json:"kind"`
	ThicknessMM float64     `json:"thickness_mm"`
	WidthMM     float64     `json:"width_mm"`
	YoungPa     *[3]float64 `json:"young_pa"`
	PullN       *[3]float64 `json:"pull_n"`
	Effort      int         `json:"effort"`
	Basis       string      `json:"basis"`
}

func braceOnShelf(e shelf.Brace) shelfEntry {
	return shelfEntry{
		key: e.Key, name: e.Name, basis: e.Basis, cautions: []string{shelf.DataSheetFirst},
		facts: [][2]string{{"Kind", e.Kind}, {"Thickness", say.Both.Length(e.ThicknessMM)}, {"Stiffness", withUnit(e.YoungPa.Over(1e9), "GPa")}, {"Pull", withUnit(e.PullN, "N")}},
		json:  braceEntry{e.Key, e.Name, e.Kind, e.ThicknessMM, e.WidthMM, three(e.YoungPa), three(e.PullN), e.Effort, e.Basis},
	}
}

type releaseEntry struct {
	Key   string   `json:"key"`
	Name  string   `json:"name"`
	For   []string `json:"for"`
	Not   []string `json:"not"`
	Note  string   `json:"note"`
	Basis string   `json:"basis"`
}

func releaseOnShelf(e shelf.Release) shelfEntry {
	facts := [][2]string{{"For", strings.Join(e.For, ", ")}}
	if len(e.Not) > 0 {
		facts = append(facts, [2]string{"Not for", strings.Join(e.Not, ", ")})
	}
	return shelfEntry{
		key: e.Key, name: e.Name, basis: e.Basis, line: []string{strings.Join(e.For, ", ")}, cautions: []string{shelf.DataSheetFirst},
		facts: append(facts, [2]string{"Note", orNot(e.Note)}), json: releaseEntry{e.Key, e.Name, e.For, e.Not, e.Note, e.Basis},
	}
}

type patternEntry struct {
	Key            string      `json:"key"`
	Name           string      `json:"name"`
	DensityGPerCM3 *[3]float64 `json:"density_g_cm3"`
	Porous         bool        `json:"porous"`
	Inhibits       []string    `json:"inhibits"`
	Note           string      `json:"note"`
	Basis          string      `json:"basis"`
}

func patternOnShelf(e shelf.Pattern) shelfEntry {
	facts := [][2]string{{"Density", rangeWords(e.DensityGPerCM3) + " g/cm³"}}
	if e.Porous {
		facts = append(facts, [2]string{"Porous", "yes: seal it"})
	}
	if len(e.Inhibits) > 0 {
		facts = append(facts, [2]string{"May spoil", strings.Join(e.Inhibits, " and ") + "-cure rubber"})
	}
	return shelfEntry{
		key: e.Key, name: e.Name, basis: e.Basis, line: []string{rangeWords(e.DensityGPerCM3)}, cautions: []string{shelf.DataSheetFirst},
		facts: append(facts, [2]string{"Note", orNot(e.Note)}), json: patternEntry{e.Key, e.Name, three(e.DensityGPerCM3), e.Porous, e.Inhibits, e.Note, e.Basis},
	}
}

// rangeWords says a likely figure and its ends.
func rangeWords(r shelf.Range) string {
	return fmt.Sprintf("%s (%s to %s)", say.Number(r.Likely), say.Number(r.Low), say.Number(r.High))
}

func withUnit(r shelf.Range, unit string) string {
	if (r == shelf.Range{}) {
		return "not known"
	}
	return rangeWords(r) + " " + unit
}

func orNot(words string) string {
	if words == "" {
		return "not known"
	}
	return words
}
