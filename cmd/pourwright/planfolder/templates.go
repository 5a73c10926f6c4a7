package planfolder

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"regexp"

	"pourwright/render/drawing"
)

// Templates is the folder in a plan folder that holds what is printed true to size.
const Templates = "templates"

// How a plan names its templates. Which walls there are differs from plan to plan,
// so their drawings are also known by the mark in them.
var (
	templateName = regexp.MustCompile(`^(strip|strip-[12]|bed|base|panels|sheets|cut|cut-face|block-faces)\.(svg|pdf)$`)
	wallName     = regexp.MustCompile(`^panel-[a-z0-9-]+\.svg$`)
)

// onlyTemplates refuses a folder of templates in which someone keeps something else.
func onlyTemplates(dir string) error {
	folder := filepath.Join(dir, Templates)
	entries, err := os.ReadDir(folder)
	if err != nil {
		return &Error{folder + " cannot be looked into", "name another folder with --out", err}
	}
	for _, e := range entries {
		if !e.Type().IsRegular() || !isTemplate(filepath.Join(folder, e.Name())) {
			return notOurs(dir, filepath.Join(Templates, e.Name()))
		}
	}
	return nil
}

func isTemplate(path string) bool {
	name := filepath.Base(path)
	if templateName.MatchString(name) {
		return true
	}
	if !wallName.MatchString(name) {
		return false
	}
	data, err := os.ReadFile(path)
	return err == nil && bytes.Contains(data, []byte(drawing.Mark))
}

func notOurs(dir, name string) error {
	return &Error{fmt.Sprintf("%s also holds %s, which no plan wrote, so it is left alone", dir, name),
		"move " + name + " elsewhere, or name another folder with --out", nil}
}
