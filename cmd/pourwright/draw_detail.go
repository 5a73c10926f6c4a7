package main

import (
	"bytes"
	"context"

	"pourwright/analysis"
	"pourwright/render/picture"
)

// drawDetail draws where the surface is worth protecting.
func (con *console) drawDetail(ctx context.Context, s *solved) ([]byte, error) {
	b := con.newBar()
	defer b.erase()
	b.tell("drawing the picture", 0, 1)
	scored, err := analysis.DetailOf(ctx, s.solid, s.choices)
	if err != nil {
		return nil, err
	}
	img, err := picture.Detail(ctx, s.Posed(s.solid).Mesh, s.Plan, scored.Vertex,
		picture.DetailOptions{Show: s.style, KeepClear: s.choices.KeepClear, Plain: s.choices.Plain})
	if err != nil {
		return nil, err
	}
	var png bytes.Buffer
	if err := picture.WritePNG(&png, img); err != nil {
		return nil, err
	}
	return png.Bytes(), nil
}
