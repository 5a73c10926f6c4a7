package main

import (
	"testing"

	"pourwright/cmd/pourwright/planfolder"
)

// The list of what was written names every drawing, also one that has no word yet.
func TestTemplatesWords(t *testing.T) {
	var files []planfolder.File
	for _, name := range []string{"plan.json", "templates/strip.svg", "templates/strip.pdf", "templates/base.svg", "templates/panel-side.svg", "templates/panel-end.svg",
		"templates/sheets.svg", "templates/sheets.pdf", "templates/cut-face.svg", "templates/block-faces.svg", "templates/cut.pdf", "templates/other.svg"} {
		files = append(files, planfolder.File{Name: name})
	}
	const want = "true-size drawings to print at 100 %: level strip, base board, walls, face of the cut, faces of the block, other; and how the boards lie on their sheets, to scale"
	if have := templatesWords(files); have != want {
		t.Errorf("have %q\nwant %q", have, want)
	}
}
