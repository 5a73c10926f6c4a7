package shelf

import (
	"cmp"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"math"
	"reflect"
	"regexp"
	"slices"
	"strings"

	"github.com/pelletier/go-toml/v2"
)

// document is a shelf file. Decoding a second file into it lays that file
// over the first, entry by entry and field by field.
type document struct {
	Rubber  map[string]rubberEntry  `toml:"rubber"`
	Casting map[string]castingEntry `toml:"casting"`
	Board   map[string]boardEntry   `toml:"board"`
}

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
	Basis      string    `toml:"basis"`
}

type castingEntry struct {
	Name       string     `toml:"name"`
	Kind       string     `toml:"kind"`
	Density    Range      `toml:"density_g_cm3"`
	LeastSpout []spoutRow `toml:"least_spout"`
	VentMM     float64    `toml:"vent_mm"`
	Basis      string     `toml:"basis"`
}

// spoutRow is the least spout for cavities under UpToL litres, 0 for no limit.
type spoutRow struct {
	UpToL float64 `toml:"up_to_l"`
	MM    float64 `toml:"mm"`
}

type boardEntry struct {
	Name        string  `toml:"name"`
	ThicknessMM float64 `toml:"thickness_mm"`
	Basis       string  `toml:"basis"`
}

func (d *document) decode(name string, r io.Reader) error {
	err := toml.NewDecoder(r).DisallowUnknownFields().Decode(d)
	var unknown *toml.StrictMissingError
	var broken *toml.DecodeError
	switch {
	case err == nil:
		return nil
	case errors.As(err, &unknown):
		first := &unknown.Errors[0]
		row, _ := first.Position()
		return &Error{
			what: fmt.Sprintf("%s, line %d: a shelf has no field %s", name, row, strings.Join(first.Key(), ".")),
			try:  knownFields(first.Key()),
		}
	case errors.As(err, &broken):
		row, _ := broken.Position()
		return &Error{
			what: fmt.Sprintf("%s, line %d: %s", name, row, plain(broken.Error())),
			try:  "correct that line; text stands in quotes, numbers have a decimal point, ranges look like { low = 1.1, likely = 1.2, high = 1.3 }",
		}
	}
	return fmt.Errorf("%s cannot be read: %w", name, err)
}

var wrongType = regexp.MustCompile(`^cannot decode TOML (\w+) into`)

// clone copies the entries, to tell later which were changed.
func (d *document) clone() document {
	return document{maps.Clone(d.Rubber), maps.Clone(d.Casting), maps.Clone(d.Board)}
}

const changedByMaker = "; some figures changed by the maker's shelf file"

// noteChanges says so in the basis of entries of before whose figures were
// changed under the old basis.
func (d *document) noteChanges(before document) {
	for key, old := range before.Rubber {
		if e := d.Rubber[key]; !reflect.DeepEqual(e, old) && e.Basis == old.Basis {
			e.Basis += changedByMaker
			d.Rubber[key] = e
		}
	}
	for key, old := range before.Casting {
		if e := d.Casting[key]; !reflect.DeepEqual(e, old) && e.Basis == old.Basis {
			e.Basis += changedByMaker
			d.Casting[key] = e
		}
	}
	for key, old := range before.Board {
		if e := d.Board[key]; e != old && e.Basis == old.Basis {
			e.Basis += changedByMaker
			d.Board[key] = e
		}
	}
}

// plain rewords the decoder's message where it speaks of Go types.
func plain(message string) string {
	message = strings.TrimPrefix(message, "toml: ")
	if m := wrongType.FindStringSubmatch(message); m != nil {
		return "this field cannot hold a " + m[1]
	}
	return message
}

// knownFields lists what may stand where the unknown key stood.
func knownFields(key []string) string {
	if len(key) > 2 {
		switch key[0] {
		case "rubber":
			return "a rubber has name, cure, shore_a, density_g_cm3, ratio_a, ratio_b, volume_ratio_a, volume_ratio_b, packs_kg, price_per_kg, pot_life_min, demold_h, viscosity_pa_s, shrink_pct and basis"
		case "casting":
			return "a casting material has name, kind, density_g_cm3, least_spout, vent_mm and basis"
		case "board":
			return "a board has name, thickness_mm and basis"
		}
	}
	return "a shelf file holds [rubber.KEY], [casting.KEY] and [board.KEY] tables"
}

// shelf checks every entry and sorts them; name is the maker's file, where
// any fault must be.
func (d *document) shelf(name string) (*Shelf, error) {
	var s Shelf
	for _, key := range slices.Sorted(maps.Keys(d.Rubber)) {
		e := d.Rubber[key]
		if f := append(checkKey(key), e.faults()...); len(f) > 0 {
			return nil, entryError(name, "rubber."+key, f[0])
		}
		s.rubbers = append(s.rubbers, e.rubber(key))
	}
	for _, key := range slices.Sorted(maps.Keys(d.Casting)) {
		e := d.Casting[key]
		if f := append(checkKey(key), e.faults()...); len(f) > 0 {
			return nil, entryError(name, "casting."+key, f[0])
		}
		s.castings = append(s.castings, e.casting(key))
	}
	for _, key := range slices.Sorted(maps.Keys(d.Board)) {
		e := d.Board[key]
		if f := append(checkKey(key), e.faults()...); len(f) > 0 {
			return nil, entryError(name, "board."+key, f[0])
		}
		s.boards = append(s.boards, Board{Key: key, Name: e.Name, ThicknessMM: e.ThicknessMM, Basis: e.basis()})
	}
	slices.SortStableFunc(s.rubbers, func(a, b Rubber) int {
		return cmp.Or(-cmp.Compare(a.Cure, b.Cure), cmp.Compare(a.ShoreA, b.ShoreA))
	})
	return &s, nil
}

func entryError(name, entry, fault string) error {
	return &Error{
		what: fmt.Sprintf("shelf file %s, [%s]: %s", name, entry, fault),
		try:  "copy the figure from the product's data sheet",
	}
}

func (e rubberEntry) rubber(key string) Rubber {
	return Rubber{
		Key: key, Name: e.Name, Cure: e.Cure, ShoreA: e.ShoreA,
		DensityGPerCM3: e.Density,
		RatioA:         e.RatioA, RatioB: e.RatioB,
		VolumeRatioA: e.VolumeA, VolumeRatioB: e.VolumeB, PacksKg: e.PacksKg, PricePerKg: e.PricePerKg,
		PotLifeS:     e.PotLifeMin * 60,
		DemoldS:      Range{e.DemoldH.Low * 3600, e.DemoldH.Likely * 3600, e.DemoldH.High * 3600},
		ViscosityPaS: e.Viscosity,
		ShrinkPct:    e.ShrinkPct,
		Basis:        basisOr(e.Basis),
	}
}

func (e castingEntry) casting(key string) Casting {
	return Casting{
		Key: key, Name: e.Name, Kind: e.Kind, DensityGPerCM3: e.Density,
		Basis: basisOr(e.Basis), spouts: e.LeastSpout, ventMM: e.VentMM,
	}
}

func (e boardEntry) basis() string { return basisOr(e.Basis) }

// basisOr says where figures come from when the maker's file does not.
func basisOr(basis string) string {
	if basis == "" {
		return "the maker's shelf file"
	}
	return basis
}

var keyPattern = regexp.MustCompile(`^[a-z0-9]+(-[a-z0-9]+)*$`)

func checkKey(key string) faults {
	var f faults
	f.unless(keyPattern.MatchString(key), "the key may hold only small letters, digits and single hyphens")
	return f
}

// faults are plain sentences, the first one is told to the maker.
type faults []string

func (f *faults) unless(ok bool, format string, args ...any) {
	if !ok {
		*f = append(*f, fmt.Sprintf(format, args...))
	}
}

func (f *faults) number(field string, v, least, most float64) {
	f.unless(v >= least && v <= most, "%s is %v and must be from %v to %v", field, v, least, most)
}

func (f *faults) scale(field string, r Range, least, most float64) {
	f.unless(r.Low >= least && r.High <= most, "%s goes from %v to %v and must stay from %v to %v",
		field, r.Low, r.High, least, most)
	f.unless(r.Low <= r.Likely && r.Likely <= r.High, "%s must have low ≤ likely ≤ high", field)
}

// The limits below keep out slips of unit and decimal point, not odd products.

func (e rubberEntry) faults() []string {
	var f faults
	f.unless(e.Name != "", "name is missing")
	f.unless(e.Cure == Tin || e.Cure == Platinum, "cure is %q and must be %q or %q", e.Cure, Tin, Platinum)
	f.number("shore_a", e.ShoreA, 0, 100)
	f.scale("density_g_cm3", e.Density, 0.5, 3)
	f.number("ratio_a", e.RatioA, 0.01, 1000)
	f.number("ratio_b", e.RatioB, 0.01, 1000)
	f.unless((e.VolumeA > 0) == (e.VolumeB > 0), "volume_ratio_a and volume_ratio_b go together")
	f.number("volume_ratio_a", e.VolumeA, 0, 1000)
	f.number("volume_ratio_b", e.VolumeB, 0, 1000)
	f.number("price_per_kg", e.PricePerKg, 0, 1e6)
	f.unless(len(e.PacksKg) <= 12, "packs_kg lists %d sizes and may list 12", len(e.PacksKg))
	for _, kg := range e.PacksKg {
		f.number("packs_kg", kg, 0.05, 1000)
	}
	f.number("pot_life_min", e.PotLifeMin, 1, 24*60)
	f.scale("demold_h", e.DemoldH, 0.05, 24*30)
	f.number("viscosity_pa_s", e.Viscosity, 0.01, 10_000)
	f.scale("shrink_pct", e.ShrinkPct, 0, 20)
	return f
}

func (e castingEntry) faults() []string {
	var f faults
	f.unless(e.Name != "", "name is missing")
	f.unless(e.Kind == Resin || e.Kind == Foam, "kind is %q and must be %q or %q", e.Kind, Resin, Foam)
	f.scale("density_g_cm3", e.Density, 0.01, 10)
	f.number("vent_mm", e.VentMM, 0.5, 50)
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

func (e boardEntry) faults() []string {
	var f faults
	f.unless(e.Name != "", "name is missing")
	f.number("thickness_mm", e.ThicknessMM, 0.5, 100)
	return f
}

// reason strips the path that a file error repeats.
func reason(err error) error {
	var p *fs.PathError
	if errors.As(err, &p) {
		return p.Err
	}
	return err
}
