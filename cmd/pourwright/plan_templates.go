package main

import (
	"path"
	"slices"
	"strings"

	"pourwright/cmd/pourwright/planfolder"
	"pourwright/render/drawing"
)

// templates draws what is printed true to size.
func templates(s *solved) []planfolder.File {
	var files []planfolder.File
	for _, f := range drawing.Files(s.Plan, s.style) {
		files = append(files, planfolder.File{Name: path.Join(planfolder.Templates, f.Name), Data: f.Data})
	}
	return files
}

// templateWords are what drawings are called, by how their files' names begin.
var templateWords = []struct{ begins, words string }{
	{"strip-1", "level strips"}, {"strip-2", "level strips"}, {"strip", "level strip"}, {"base", "base board"}, {"bed", "bed of clay"},
	{"panel-", "walls"}, {"cut-face", "face of the cut"}, {"block-faces", "faces of the block"},
}

// boardSheets is the one drawing that is not true to size.
const boardSheets = "sheets"

// templatesWords says what is drawn in the folder of templates: every drawing that is
// in it, one without a word for it by its name.
func templatesWords(files []planfolder.File) string {
	var all []string
	last := ""
	for _, f := range files {
		name, drawn := strings.CutSuffix(f.Name, ".svg")
		name, ours := strings.CutPrefix(name, planfolder.Templates+"/")
		switch words := templateName(name); {
		case !drawn || !ours || slices.Contains(all, words):
		case name == boardSheets:
			last = "; and how the boards lie on their sheets, to scale"
		default:
			all = append(all, words)
		}
	}
	return "true-size drawings to print at 100 %: " + strings.Join(all, ", ") + last
}

func templateName(name string) string {
	for _, one := range templateWords {
		if strings.HasPrefix(name, one.begins) {
			return one.words
		}
	}
	return name
}
