package shelf

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"maps"
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
	Glue    map[string]glueEntry    `toml:"glue"`
	Brace   map[string]braceEntry   `toml:"brace"`
	Release map[string]releaseEntry `toml:"release"`
	Pattern map[string]patternEntry `toml:"pattern"`
}

// source is the text of a shelf file, for telling lines.
type source struct {
	name string // what errors call it
	text []byte
}

func (d *document) decode(from source) error {
	err := toml.NewDecoder(bytes.NewReader(from.text)).DisallowUnknownFields().Decode(d)
	var unknown *toml.StrictMissingError
	var broken *toml.DecodeError
	switch {
	case err == nil:
		return nil
	case errors.As(err, &unknown):
		first := &unknown.Errors[0]
		row, _ := first.Position()
		return &Error{
			what: fmt.Sprintf("%s, line %d: a shelf has no field %s", from.name, row, strings.Join(first.Key(), ".")),
			try:  knownFields(first.Key()),
		}
	case errors.As(err, &broken):
		row, _ := broken.Position()
		return &Error{
			what: fmt.Sprintf("%s, line %d: %s", from.name, row, plain(broken.Error())),
			try:  "correct that line; text stands in quotes, numbers have a decimal point, ranges look like { low = 1.1, likely = 1.2, high = 1.3 }",
		}
	}
	return fmt.Errorf("%s cannot be read: %w", from.name, err)
}

var wrongType = regexp.MustCompile(`^cannot decode TOML (\w+) into`)

// plain rewords the decoder's message where it speaks of Go types.
func plain(message string) string {
	message = strings.TrimPrefix(message, "toml: ")
	if m := wrongType.FindStringSubmatch(message); m != nil {
		return "this field cannot hold a " + m[1]
	}
	return message
}

// tables calls do with the map of each kind of entry, by the name it has in a
// shelf file.
func (d *document) tables(do func(name string, table reflect.Value)) {
	all := reflect.ValueOf(d).Elem()
	for i := range all.NumField() {
		do(all.Type().Field(i).Tag.Get("toml"), all.Field(i))
	}
}

// clone copies the entries, to tell later which were changed.
func (d *document) clone() *document {
	copied := *d
	copied.tables(func(_ string, table reflect.Value) {
		fresh := reflect.MakeMap(table.Type())
		for _, key := range table.MapKeys() {
			fresh.SetMapIndex(key, table.MapIndex(key))
		}
		table.Set(fresh)
	})
	return &copied
}

const changedByMaker = "; some figures changed by the maker's shelf file"

// noteChanges says so in the basis of entries of before whose figures were
// changed under the old basis.
func (d *document) noteChanges(before *document) {
	was := map[string]reflect.Value{}
	before.tables(func(name string, table reflect.Value) { was[name] = table })
	d.tables(func(name string, table reflect.Value) {
		for _, key := range was[name].MapKeys() {
			old, now := was[name].MapIndex(key), table.MapIndex(key)
			if reflect.DeepEqual(old.Interface(), now.Interface()) || old.FieldByName("Basis").String() != now.FieldByName("Basis").String() {
				continue
			}
			noted := reflect.New(now.Type()).Elem()
			noted.Set(now)
			noted.FieldByName("Basis").SetString(now.FieldByName("Basis").String() + changedByMaker)
			table.SetMapIndex(key, noted)
		}
	})
}

// knownFields lists what may stand where the unknown key stood.
func knownFields(key []string) (known string) {
	var names []string
	(&document{}).tables(func(name string, table reflect.Value) {
		names = append(names, "["+name+".KEY]")
		if len(key) > 2 && key[0] == name {
			known = "a " + name + " has " + listed(fieldsOf(table.Type().Elem()))
		}
	})
	if known == "" {
		known = "a shelf file holds " + listed(names) + " tables"
	}
	return known
}

func fieldsOf(entry reflect.Type) []string {
	var names []string
	for i := range entry.NumField() {
		names = append(names, entry.Field(i).Tag.Get("toml"))
	}
	return names
}

func listed(words []string) string {
	return strings.Join(words[:len(words)-1], ", ") + " and " + words[len(words)-1]
}

// gather checks the entries of one table and returns them by key. A fault must be in
// one of the maker's files, which come last in from.
func gather[E interface{ faults() faults }, T any](table string, entries map[string]E, from []source, build func(key string, e E) T) ([]T, error) {
	var all []T
	for _, key := range slices.Sorted(maps.Keys(entries)) {
		e := entries[key]
		if f := append(checkKey(key), e.faults()...); len(f) > 0 {
			return nil, entryError(from, table, key, f[0])
		}
		all = append(all, build(key, e))
	}
	return all, nil
}

// entryError says which entry is faulty, and in which line where that is found.
func entryError(from []source, table, key, fault string) error {
	at := from[len(from)-1]
	row := 0
	for _, s := range slices.Backward(from) {
		if row = s.lineOf(table, key, fault); row > 0 {
			at = s
			break
		}
	}
	where := at.name
	if row > 0 {
		where += fmt.Sprintf(", line %d", row)
	}
	return &Error{
		what: fmt.Sprintf("%s, [%s.%s]: %s", where, table, key, fault),
		try:  "copy the figure from the product's data sheet",
	}
}

var headerPattern = regexp.MustCompile(`^\s*\[\s*(\w+)\s*\.\s*"?([^"\]]+?)"?\s*\]`)

// lineOf returns the line of the entry's field that a fault begins with, or of
// the entry where it lacks that field; 0 when the entry is not in the file.
func (s source) lineOf(table, key, fault string) int {
	field, _, _ := strings.Cut(fault, " ")
	row, inside := 0, false
	for i, line := range strings.Split(string(s.text), "\n") {
		if m := headerPattern.FindStringSubmatch(line); m != nil {
			inside = m[1] == table && m[2] == key
			if inside {
				row = i + 1
			}
			continue
		}
		name, _, isField := strings.Cut(line, "=")
		if inside && isField && strings.TrimSpace(name) == field {
			return i + 1
		}
	}
	return row
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

// known checks a range that may be left out.
func (f *faults) known(field string, r Range, least, most float64) {
	if r != (Range{}) {
		f.scale(field, r, least, most)
	}
}

// pair checks two parts of a ratio that may be left out.
func (f *faults) pair(fieldA, fieldB string, a, b float64) {
	f.unless((a > 0) == (b > 0), "%s and %s go together", fieldA, fieldB)
	f.number(fieldA, a, 0, 1000)
	f.number(fieldB, b, 0, 1000)
}

// packs checks sizes of packs.
func (f *faults) packs(kg []float64) {
	const most = 12
	f.unless(len(kg) <= most, "packs_kg lists %d sizes and may list %d", len(kg), most)
	for _, x := range kg {
		f.number("packs_kg", x, 0.05, 1000)
	}
}

// basisOr says where figures come from when the maker's file does not.
func basisOr(basis string) string {
	if basis == "" {
		return "the maker's shelf file"
	}
	return basis
}

// reason strips the path that a file error repeats.
func reason(err error) error {
	var p *fs.PathError
	if errors.As(err, &p) {
		return p.Err
	}
	return err
}
