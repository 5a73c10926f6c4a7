package main

import (
	"bytes"
	"context"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis/airtrap"
	"pourwright/render/picture"
)

// drawCast draws the block as it is cast.
func (con *console) drawCast(ctx context.Context, s *solved) ([]byte, error) {
	b := con.newBar()
	defer b.erase()
	b.tell("drawing the picture", 0, 1)
	posed := s.Posed(s.solid).Mesh
	var pockets picture.Pockets
	if len(s.CastTrap) > 0 {
		at, err := airtrap.LocatePockets(ctx, posed, airtrap.PocketInput{Domain: airtrap.Inside, Up: r3.Vec{Z: -1}, Traps: trapsOf(s.CastTrap, -1)})
		if err != nil {
			return nil, err
		}
		pockets.Cast = at.At
	}
	img, err := picture.Casting(ctx, posed, s.Plan, pockets, picture.Options{Show: s.style})
	if err != nil {
		return nil, err
	}
	var png bytes.Buffer
	if err := picture.WritePNG(&png, img); err != nil {
		return nil, err
	}
	return png.Bytes(), nil
}
