package shelf

import "math"

type rubberEntry struct {
	Name       string    `toml:"name"`
	Cure       string    `toml:"cure"`
	ShoreA     float64   `toml:"shore_a"`
	Density    Range     `toml:"density_g_cm3"`
	RatioA     float64   `toml:"ratio_a"`
	RatioB     float64   `toml:"ratio_b"`
	VolumeA    float64   `toml:"volume_ratio_a"`
	VolumeB    float64   `toml:"volume_ratio_b"`
	PacksKg    []float64 `toml:"packs_kg"`
	PricePerKg float64   `toml:"price_per_kg"`
	PotLifeMin float64   `toml:"pot_life_min"`
	DemoldH    Range     `toml:"demold_h"`
	Viscosity  float64   `toml:"viscosity_pa_s"`
	ShrinkPct  Range     `toml:"shrink_pct"`
	Elongation Range     `toml:"elongation_pct"`
	Tear       Range     `toml:"tear_kn_m"`
	Basis      string    `toml:"basis"`
}

func (e rubberEntry) rubber(key string) Rubber {
	return Rubber{
		Key: key, Name: e.Name, Cure: e.Cure, ShoreA: e.ShoreA,
		DensityGPerCM3: e.Density,
		RatioA:         e.RatioA, RatioB: e.RatioB,
		VolumeRatioA: e.VolumeA, VolumeRatioB: e.VolumeB, PacksKg: e.PacksKg, PricePerKg: e.PricePerKg,
		PotLifeS:      e.PotLifeMin * 60,
		DemoldS:       Range{e.DemoldH.Low * 3600, e.DemoldH.Likely * 3600, e.DemoldH.High * 3600},
		ViscosityPaS:  e.Viscosity,
		ShrinkPct:     e.ShrinkPct,
		ElongationPct: e.Elongation, TearKNPerM: e.Tear,
		Basis: basisOr(e.Basis),
	}
}

// The limits below keep out slips of unit and decimal point, not odd products.

func (e rubberEntry) faults() faults {
	var f faults
	f.unless(e.Name != "", "name is missing")
	f.unless(e.Cure == Tin || e.Cure == Platinum, "cure is %q and must be %q or %q", e.Cure, Tin, Platinum)
	f.number("shore_a", e.ShoreA, 0, 100)
	f.scale("density_g_cm3", e.Density, 0.5, 3)
	f.number("ratio_a", e.RatioA, 0.01, 1000)
	f.number("ratio_b", e.RatioB, 0.01, 1000)
	f.pair("volume_ratio_a", "volume_ratio_b", e.VolumeA, e.VolumeB)
	f.number("price_per_kg", e.PricePerKg, 0, 1e6)
	f.packs(e.PacksKg)
	f.number("pot_life_min", e.PotLifeMin, 1, 24*60)
	f.scale("demold_h", e.DemoldH, 0.05, 24*30)
	f.number("viscosity_pa_s", e.Viscosity, 0.01, 10_000)
	f.scale("shrink_pct", e.ShrinkPct, 0, 20)
	f.known("elongation_pct", e.Elongation, 10, 2000)
	f.known("tear_kn_m", e.Tear, 0.5, 100)
	return f
}

type castingEntry struct {
	Name       string     `toml:"name"`
	Kind       string     `toml:"kind"`
	Density    Range      `toml:"density_g_cm3"`
	LeastSpout []spoutRow `toml:"least_spout"`
	VentMM     float64    `toml:"vent_mm"`
	Viscosity  Range      `toml:"viscosity_pa_s"`
	WorkingMin float64    `toml:"working_min"`
	RatioA     float64    `toml:"ratio_a"`
	RatioB     float64    `toml:"ratio_b"`
	VolumeA    float64    `toml:"volume_ratio_a"`
	VolumeB    float64    `toml:"volume_ratio_b"`
	Liquid     Range      `toml:"liquid_g_cm3"`
	Packing    Range      `toml:"packing"`
	RiseMin    Range      `toml:"rise_min"`
	DemoldMin  Range      `toml:"demold_min"`
	ThickestMM float64    `toml:"thickest_mm"`
	ShrinkPct  Range      `toml:"shrink_pct"`
	PacksKg    []float64  `toml:"packs_kg"`
	PricePerKg float64    `toml:"price_per_kg"`
	Basis      string     `toml:"basis"`
}

// spoutRow is the least spout for cavities under UpToL litres, 0 for no limit.
type spoutRow struct {
	UpToL float64 `toml:"up_to_l"`
	MM    float64 `toml:"mm"`
}

func (e castingEntry) casting(key string) Casting {
	return Casting{
		Key: key, Name: e.Name, Kind: e.Kind, DensityGPerCM3: e.Density,
		ViscosityPaS: e.Viscosity, WorkingS: e.WorkingMin * 60,
		RatioA: e.RatioA, RatioB: e.RatioB, VolumeRatioA: e.VolumeA, VolumeRatioB: e.VolumeB,
		LiquidGPerCM3: e.liquid(), Packing: e.Packing, RiseS: e.RiseMin.times(60), DemoldS: e.DemoldMin.times(60), ThickestMM: e.ThickestMM,
		ShrinkPct: e.ShrinkPct, PacksKg: e.PacksKg, PricePerKg: e.PricePerKg,
		Basis: basisOr(e.Basis), spouts: e.LeastSpout, ventMM: e.VentMM,
	}
}

// liquid is the density of what is poured: of a resin, its own.
func (e castingEntry) liquid() Range {
	if e.Kind == Resin && e.Liquid == (Range{}) {
		return e.Density
	}
	return e.Liquid
}

func (e castingEntry) faults() faults {
	var f faults
	f.unless(e.Name != "", "name is missing")
	f.unless(e.Kind == Resin || e.Kind == Foam, "kind is %q and must be %q or %q", e.Kind, Resin, Foam)
	f.scale("density_g_cm3", e.Density, 0.01, 10)
	f.number("vent_mm", e.VentMM, 0.5, 50)
	f.known("viscosity_pa_s", e.Viscosity, 0.0005, 1000)
	f.number("working_min", e.WorkingMin, 0, 24*60)
	f.pair("ratio_a", "ratio_b", e.RatioA, e.RatioB)
	f.pair("volume_ratio_a", "volume_ratio_b", e.VolumeA, e.VolumeB)
	f.known("liquid_g_cm3", e.Liquid, 0.5, 3)
	f.known("packing", e.Packing, 1, 4)
	f.known("rise_min", e.RiseMin, 0.05, 120)
	f.known("demold_min", e.DemoldMin, 0.5, 7*24*60)
	f.number("thickest_mm", e.ThickestMM, 0, 1000)
	f.known("shrink_pct", e.ShrinkPct, 0, 20)
	f.number("price_per_kg", e.PricePerKg, 0, 1e6)
	f.packs(e.PacksKg)
	if e.Kind == Foam {
		f.unless(e.Liquid != Range{}, "liquid_g_cm3 is missing: the density of the mix before it rises")
		f.unless(e.Packing != Range{}, "packing is missing: moulded over free-rise density")
		f.unless(e.Liquid.Low > e.Density.High*e.Packing.High, "liquid_g_cm3 must be more than density_g_cm3 times packing")
	}
	f.unless(len(e.LeastSpout) > 0, "least_spout is missing")
	limit := 0.0
	for i, row := range e.LeastSpout {
		f.number("least_spout mm", row.MM, 1, 500)
		if i == len(e.LeastSpout)-1 {
			f.unless(row.UpToL == 0, "the last row of least_spout must have no up_to_l")
			break
		}
		f.unless(row.UpToL > limit && !math.IsInf(row.UpToL, 0), "up_to_l of least_spout must grow from row to row")
		limit = row.UpToL
	}
	return f
}
