package main

import (
	"bytes"
	"context"

	"pourwright/render/picture"
)

// drawWays draws the way up beside the best others.
func (con *console) drawWays(ctx context.Context, s *solved) ([]byte, error) {
	b := con.newBar()
	defer b.erase()
	b.tell("drawing the picture", 0, 1)
	img, err := picture.Ways(ctx, s.solid.Mesh, s.Plan, picture.Options{Show: s.style})
	if err != nil {
		return nil, err
	}
	var png bytes.Buffer
	if err := picture.WritePNG(&png, img); err != nil {
		return nil, err
	}
	return png.Bytes(), nil
}
