// Package shelf answers "what is on the shelf?": rubbers, casting materials
// and boards under generic names, with the figures that a plan needs.
//
// The built-in shelf is shelf.toml. A maker's own file has the same tables: a
// new key adds an entry, a known key changes only the fields that are given.
// Every figure is a stand-in for the data sheet of the product at hand, and
// says in Basis where it comes from.
package shelf

import (
	"bytes"
	"cmp"
	_ "embed"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
)

// The entries a job uses when the maker names none.
const (
	DefaultRubber  = "tin-30"
	DefaultCasting = "foam"
	DefaultBoard   = "melamine-18"
	DefaultBending = "corrugated-4" // for walls that are bent round the part
)

// Range is an uncertain figure: likely, and the ends that it hardly passes.
type Range struct {
	Low    float64 `toml:"low"`
	Likely float64 `toml:"likely"`
	High   float64 `toml:"high"`
}

// Rubber is one mold rubber of two parts.
type Rubber struct {
	Key            string
	Name           string // generic: "tin-cure silicone, 30 A"
	Cure           string // Tin | Platinum
	ShoreA         float64
	DensityGPerCM3 Range   // mixed
	RatioA, RatioB float64 // by weight
	// By volume, for a rubber that may be measured so; 0 for others.
	VolumeRatioA, VolumeRatioB float64
	PacksKg                    []float64 // what it is sold in, A and B together; none: not known
	PricePerKg                 float64   // in any currency; 0: not known
	PotLifeS                   float64   // at about 23 °C
	DemoldS                    Range
	ViscosityPaS               float64 // mixed
	ShrinkPct                  Range   // linear
	ElongationPct              Range   // at break; zeros: not known
	TearKNPerM                 Range   // tear strength; zeros: not known
	Basis                      string  // where the figures come from
}

// The ways a rubber cures.
const (
	Tin      = "tin"      // condensation
	Platinum = "platinum" // addition
)

// Casting is one material that is cast in the mold.
type Casting struct {
	Key                        string
	Name                       string
	Kind                       string  // Resin | Foam
	DensityGPerCM3             Range   // of a foam: at free rise
	ViscosityPaS               Range   // mixed, when it is poured; zeros: not known
	WorkingS                   float64 // from mixing until it no longer flows; 0: not known
	RatioA, RatioB             float64 // by weight; 0: as the data sheet says
	VolumeRatioA, VolumeRatioB float64 // by volume, likewise
	LiquidGPerCM3              Range   // of the mix as it is poured
	Packing                    Range   // of a foam: moulded over free-rise density
	RiseS                      Range   // of a foam: from when it starts to rise until it stands; zeros: not known
	DemoldS                    Range   // from pouring until it comes out; zeros: not known
	ThickestMM                 float64 // of a resin: thicker casts get too hot; 0: not known
	ShrinkPct                  Range   // linear; zeros: not known
	PacksKg                    []float64
	PricePerKg                 float64
	Basis                      string

	spouts []spoutRow
	ventMM float64
}

// The kinds of casting material.
const (
	Resin = "resin" // sets solid without growing
	Foam  = "foam"  // rises
)

// LeastSpoutMM returns the narrowest spout, as a diameter in mm, for a cavity
// of the given volume in mm³. Basis: common practice, no source.
func (c Casting) LeastSpoutMM(cavityMM3 float64) float64 {
	for _, row := range c.spouts {
		if row.UpToL == 0 || cavityMM3 < row.UpToL*1e6 {
			return row.MM
		}
	}
	return 0 // not reached: the last row has no limit
}

// A vent longer than longVentMM is at least longVentDiameterMM wide, so that
// the rod that makes it is stiff and the air still gets through. Basis: common
// practice, no source.
const (
	longVentMM         = 60
	longVentDiameterMM = 5
)

// VentMM returns the diameter in mm of a vent of the given length in mm.
func (c Casting) VentMM(lengthMM float64) float64 {
	if lengthMM > longVentMM {
		return max(c.ventMM, longVentDiameterMM)
	}
	return c.ventMM
}

// Shelf is everything on the shelf, in a stable order.
type Shelf struct {
	rubbers  []Rubber
	castings []Casting
	boards   []Board
	glues    []Glue
	braces   []Brace
	releases []Release
	patterns []Pattern
}

//go:embed shelf.toml
var builtIn []byte

// Template returns the built-in shelf as a shelf file.
func Template() []byte { return bytes.Clone(builtIn) }

// PersonalFile is the shelf file that is always laid over the built-in shelf
// when it exists; "" where the system has no folder for it.
func PersonalFile() string {
	folder, err := os.UserConfigDir()
	if err != nil {
		return ""
	}
	return filepath.Join(folder, "pourwright", "shelf.toml")
}

// Open returns the built-in shelf with the maker's personal file laid over it,
// if there is one, and over that the TOML file at path, if one is given.
func Open(path string) (*Shelf, error) {
	var files []source
	if personal := PersonalFile(); personal != "" {
		text, err := os.ReadFile(personal)
		switch {
		case err == nil:
			files = append(files, source{"shelf file " + personal, text})
		case !errors.Is(err, fs.ErrNotExist):
			return nil, unreadable(personal, err)
		}
	}
	if path != "" {
		text, err := os.ReadFile(path)
		if err != nil {
			return nil, unreadable(path, err)
		}
		files = append(files, source{"shelf file " + path, text})
	}
	return read(files...)
}

func unreadable(path string, err error) error {
	return &Error{
		what: fmt.Sprintf("shelf file %s cannot be read: %v", path, reason(err)),
		try:  "give the path of a TOML file such as pourwright shelf --template writes",
	}
}

// Read returns the built-in shelf with an open file laid over it; name is what
// errors call it.
func Read(name string, r io.Reader) (*Shelf, error) {
	text, err := io.ReadAll(r)
	if err != nil {
		return nil, fmt.Errorf("shelf file %s cannot be read: %w", name, err)
	}
	return read(source{"shelf file " + name, text})
}

// read lays files over the built-in shelf, in their order, and checks it all.
func read(files ...source) (*Shelf, error) {
	var d document
	from := []source{{"built-in shelf", builtIn}}
	if err := d.decode(from[0]); err != nil {
		return nil, err
	}
	for _, file := range files {
		before := d.clone()
		if err := d.decode(file); err != nil {
			return nil, err
		}
		d.noteChanges(before)
	}
	return d.shelf(append(from, files...))
}

// shelf checks every entry and sorts them.
func (d *document) shelf(from []source) (s *Shelf, err error) {
	s = &Shelf{}
	if s.rubbers, err = gather("rubber", d.Rubber, from, func(key string, e rubberEntry) Rubber { return e.rubber(key) }); err != nil {
		return nil, err
	}
	if s.castings, err = gather("casting", d.Casting, from, func(key string, e castingEntry) Casting { return e.casting(key) }); err != nil {
		return nil, err
	}
	if s.boards, err = gather("board", d.Board, from, func(key string, e boardEntry) Board { return e.board(key) }); err != nil {
		return nil, err
	}
	if s.glues, err = gather("glue", d.Glue, from, func(key string, e glueEntry) Glue { return e.glue(key) }); err != nil {
		return nil, err
	}
	if s.braces, err = gather("brace", d.Brace, from, func(key string, e braceEntry) Brace { return e.brace(key) }); err != nil {
		return nil, err
	}
	if s.releases, err = gather("release", d.Release, from, func(key string, e releaseEntry) Release { return e.release(key) }); err != nil {
		return nil, err
	}
	if s.patterns, err = gather("pattern", d.Pattern, from, func(key string, e patternEntry) Pattern { return e.pattern(key) }); err != nil {
		return nil, err
	}
	slices.SortStableFunc(s.rubbers, func(a, b Rubber) int {
		return cmp.Or(-cmp.Compare(a.Cure, b.Cure), cmp.Compare(a.ShoreA, b.ShoreA))
	})
	slices.SortStableFunc(s.braces, func(a, b Brace) int { return cmp.Compare(a.Effort, b.Effort) })
	return s, nil
}

// Rubbers returns all rubbers: tin-cure first, then by hardness, then by key.
func (s *Shelf) Rubbers() []Rubber { return slices.Clone(s.rubbers) }

// Castings returns all casting materials by key.
func (s *Shelf) Castings() []Casting { return slices.Clone(s.castings) }

// Boards returns all boards by key.
func (s *Shelf) Boards() []Board { return slices.Clone(s.boards) }

// Glues returns all ways to hold a pattern, by key.
func (s *Shelf) Glues() []Glue { return slices.Clone(s.glues) }

// Braces returns all bracing, least effort first.
func (s *Shelf) Braces() []Brace { return slices.Clone(s.braces) }

// Releases returns all releases and sealers, by key.
func (s *Shelf) Releases() []Release { return slices.Clone(s.releases) }

// Patterns returns all materials of patterns, by key.
func (s *Shelf) Patterns() []Pattern { return slices.Clone(s.patterns) }

// Pattern returns the material of a pattern of that key.
func (s *Shelf) Pattern(key string) (Pattern, error) {
	return find(s.patterns, "material of a pattern", key, func(p Pattern) string { return p.Key })
}

// Rubber returns the rubber of that key; the error lists the keys there are.
func (s *Shelf) Rubber(key string) (Rubber, error) {
	return find(s.rubbers, "rubber", key, func(r Rubber) string { return r.Key })
}

// Casting returns the casting material of that key.
func (s *Shelf) Casting(key string) (Casting, error) {
	return find(s.castings, "casting material", key, func(c Casting) string { return c.Key })
}

// Board returns the board of that key.
func (s *Shelf) Board(key string) (Board, error) {
	return find(s.boards, "board", key, func(b Board) string { return b.Key })
}

func find[T any](entries []T, noun, key string, keyOf func(T) string) (T, error) {
	keys := make([]string, len(entries))
	for i, e := range entries {
		if keys[i] = keyOf(e); keys[i] == key {
			return e, nil
		}
	}
	var none T
	return none, &Error{
		what: fmt.Sprintf("no %s %q is on the shelf", noun, key),
		try:  "take one of " + strings.Join(keys, ", ") + ", or name a file with your own by --shelf",
	}
}

// Error is one sentence on what is wrong with a shelf file or key.
type Error struct{ what, try string }

func (e *Error) Error() string { return e.what }

// Hint says what to do about it.
func (e *Error) Hint() string { return e.try }
