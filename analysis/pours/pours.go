// Package pours answers "what did my own pours really take?": it keeps a plain
// file of them, and learns the maker's own density of a rubber, and own loss in
// the cups, from what is in it.
package pours

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"github.com/pelletier/go-toml/v2"
)

// Pour is what one job took. Masses in g; 0 for a figure that was not taken.
type Pour struct {
	Date     string  `toml:"date"`               // year-month-day
	Plan     string  `toml:"plan"`               // name of the plan
	Material string  `toml:"material"`           // shelf key of the rubber
	NetMM3   float64 `toml:"net_mm3"`            // that the plan left for rubber
	ErrorMM3 float64 `toml:"error_mm3"`          // how far that may be off
	Batches  int     `toml:"batches"`            // that were planned
	PlannedG float64 `toml:"planned_g"`          // the likely mass
	UsedG    float64 `toml:"used_g"`             // weighed out, all in all
	LeftG    float64 `toml:"left_g"`             // mixed and not poured
	BlockG   float64 `toml:"block_g,omitempty"`  // the cured block without the pattern
	Note     string  `toml:"note,omitempty"`     // the maker's own
	LeftOut  bool    `toml:"left_out,omitempty"` // not to be learned from
}

// File is where pours are kept; "" where the system has no folder for it.
func File() string {
	folder, err := os.UserConfigDir()
	if err != nil {
		return ""
	}
	return filepath.Join(folder, "pourwright", "pours.toml")
}

const head = `# What your pours really took. Later plans with the same rubber learn from it.
# Correct what is wrong, or take a pour out; left_out = true keeps it unused.
`

type document struct {
	Pour []Pour `toml:"pour"`
}

// Read returns the pours of a file, none when there is no file.
func Read(path string) ([]Pour, error) {
	text, err := os.ReadFile(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, &Error{path + " cannot be read", "it is the record of your pours; look at its rights, or move it away", err}
	}
	var d document
	if err := toml.NewDecoder(bytes.NewReader(text)).DisallowUnknownFields().Decode(&d); err != nil {
		return nil, damaged(path, err)
	}
	for i, p := range d.Pour {
		if fault := p.fault(); fault != "" {
			return nil, &Error{fmt.Sprintf("%s, pour %d (%s): %s", path, i+1, p.Plan, fault), "correct it in that file; it is plain text", nil}
		}
	}
	return d.Pour, nil
}

func damaged(path string, err error) error {
	where := ""
	var unknown *toml.StrictMissingError
	var broken *toml.DecodeError
	if errors.As(err, &unknown) && len(unknown.Errors) > 0 {
		row, _ := unknown.Errors[0].Position()
		where = fmt.Sprintf(", line %d: a pour has no %s", row, strings.Join(unknown.Errors[0].Key(), "."))
	} else if errors.As(err, &broken) {
		row, _ := broken.Position()
		where = fmt.Sprintf(", line %d: %s", row, strings.TrimPrefix(broken.Error(), "toml: "))
	}
	return &Error{path + " is damaged" + where, "it is plain text: correct that line, or move the file away to begin anew", err}
}

// fault says what cannot be in a pour.
func (p Pour) fault() string {
	const most = 1e7
	switch {
	case p.Material == "":
		return "material is missing"
	case !(p.NetMM3 > 0 && p.NetMM3 < 1e12):
		return "net_mm3 is no volume"
	case !(p.UsedG > 0 && p.UsedG < most):
		return "used_g is no mass"
	case !(p.LeftG >= 0 && p.LeftG < p.UsedG):
		return "left_g is not less than used_g"
	case !(p.BlockG >= 0 && p.BlockG < most):
		return "block_g is no mass"
	case !(p.ErrorMM3 >= 0 && p.ErrorMM3 < p.NetMM3) || p.Batches < 0:
		return "error_mm3 or batches cannot be"
	}
	return ""
}

// slip says what in a new pour can only be a slip of the pen.
func (p Pour) slip() string {
	took := p.UsedG - p.LeftG
	switch {
	case p.LeftG >= p.UsedG:
		return fmt.Sprintf("%.0f g cannot be left of %.0f g", p.LeftG, p.UsedG)
	case p.BlockG > took:
		return fmt.Sprintf("a block of %.0f g cannot come from %.0f g of rubber", p.BlockG, took)
	case p.PlannedG > 0 && (took > 3*p.PlannedG || took < p.PlannedG/3):
		return fmt.Sprintf("%.0f g were used where %.0f g were planned", took, p.PlannedG)
	}
	return ""
}

// Add puts one more pour at the end of a file. The file is written aside and
// renamed, so that a crash leaves the old one; comments of the maker's stay.
func Add(path string, p Pour) error {
	if slip := p.slip(); slip != "" {
		return &Error{"this pour cannot be right: " + slip, "look at the masses that were given, and at the plan that was named", nil}
	}
	if fault := p.fault(); fault != "" {
		return &Error{"this pour cannot be kept: " + fault, "look at the masses that were given", nil}
	}
	if _, err := Read(path); err != nil {
		return err // not to bury it under more
	}
	before, err := os.ReadFile(path)
	if errors.Is(err, fs.ErrNotExist) {
		before = []byte(head)
	} else if err != nil {
		return &Error{path + " cannot be read", "look at its rights, or move it away", err}
	}
	text, err := toml.Marshal(document{[]Pour{p}})
	if err != nil {
		return err
	}
	if !bytes.HasSuffix(before, []byte("\n")) {
		before = append(before, '\n')
	}
	return replace(path, append(append(before, '\n'), text...))
}

// replace writes a file aside, to the disk itself, and renames it.
func replace(path string, text []byte) (err error) {
	cannot := func(err error) error {
		return &Error{path + " cannot be written", "look at the rights of that folder and at the room on the disk", err}
	}
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		return cannot(err)
	}
	aside, err := os.CreateTemp(filepath.Dir(path), ".pours-*")
	if err != nil {
		return cannot(err)
	}
	defer func() {
		if err != nil {
			_ = os.Remove(aside.Name()) // nothing more can be done about it
		}
	}()
	_, err = aside.Write(text)
	err = errors.Join(err, aside.Sync(), aside.Close())
	if err == nil {
		err = os.Rename(aside.Name(), path)
	}
	if err != nil {
		return cannot(err)
	}
	return nil
}

// Error is one sentence on what is wrong with the record.
type Error struct {
	what, try string
	cause     error
}

func (e *Error) Error() string { return e.what }

// Hint says what to do about it.
func (e *Error) Hint() string { return e.try }

// Unwrap returns the system's error behind this one, if any.
func (e *Error) Unwrap() error { return e.cause }
