package main

import (
	"path"

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
