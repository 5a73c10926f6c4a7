package main

import (
	"context"

	"pourwright/analysis"
	"pourwright/render/say"
)

type worthTBD struct{}

func worthOfBroken(say.Style, *analysis.Unusable) worthTBD { return worthTBD{} }
func worthOf(say.Style, *analysis.Loaded) worthTBD         { return worthTBD{} }
func (s *scanner) draw(context.Context, worthTBD) error    { return nil }
