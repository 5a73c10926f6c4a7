package main

import (
	"bytes"
	"context"
	"image/gif"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis"
	"pourwright/analysis/airtrap"
	"pourwright/mesh"
	"pourwright/render/picture"
)

// pouredWhole refuses a mold in two parts, whose rubber is poured lying on its side.
func pouredWhole(s *solved) error {
	if s.TwoPart == nil {
		return nil
	}
	return &usageError{"filling is drawn of a block that stands while rubber is poured, and a mold in two parts lies on its side", "see how it is cast with --cast, or take --style block"}
}

// drawFilling draws where air stays in both pours.
func (con *console) drawFilling(ctx context.Context, s *solved) ([]byte, error) {
	if err := pouredWhole(s); err != nil {
		return nil, err
	}
	b := con.newBar()
	defer b.erase()
	posed := s.Posed(s.solid).Mesh
	b.tell("locating trapped air", 0, 2)
	pockets, err := s.pockets(ctx, posed)
	if err != nil {
		return nil, err
	}
	b.tell("drawing the picture", 1, 2)
	img, err := picture.Filling(ctx, posed, s.Plan, pockets, picture.Options{Show: s.style})
	if err != nil {
		return nil, err
	}
	var png bytes.Buffer
	if err := picture.WritePNG(&png, img); err != nil {
		return nil, err
	}
	return png.Bytes(), nil
}

// pockets locates the air of the plan's traps in the posed mesh, and the bowls
// that rubber runs into late: traps of the same space turned over.
func (s *solved) pockets(ctx context.Context, posed *mesh.Mesh) (picture.Pockets, error) {
	up, down := r3.Vec{Z: 1}, r3.Vec{Z: -1}
	bowls, err := airtrap.Find(airtrap.NewSurface(posed), airtrap.Input{Domain: airtrap.Outside, Up: down,
		PersistenceMM: airtrap.DefaultPersistenceMM, VolumeMM3: airtrap.DefaultVolumeMM3})
	if err != nil {
		return picture.Pockets{}, err
	}
	var at [3]*airtrap.Pockets
	for i, in := range []airtrap.PocketInput{
		{Domain: airtrap.Outside, Up: up, Traps: trapsOf(s.RubberTrap, 1)},
		{Domain: airtrap.Inside, Up: down, Traps: trapsOf(s.CastTrap, -1)},
		{Domain: airtrap.Outside, Up: down, Traps: bowls},
	} {
		if at[i], err = airtrap.LocatePockets(ctx, posed, in); err != nil {
			return picture.Pockets{}, err
		}
	}
	p := picture.Pockets{Rubber: at[0].At, Cast: at[1].At, Bowl: at[2].At}
	for _, b := range bowls {
		p.RimMM = append(p.RimMM, -b.Spill)
	}
	return p, nil
}

// trapsOf takes traps from a plan; sign turns a height in the stand frame into
// one against gravity.
func trapsOf(traps []analysis.Trap, sign float64) []airtrap.Trap {
	out := make([]airtrap.Trap, len(traps))
	for i, t := range traps {
		at := r3.Vec{X: t.AtMM[0], Y: t.AtMM[1], Z: t.AtMM[2]}
		out[i] = airtrap.Trap{At: at, Spill: sign * t.SpillMM, PersistenceMM: t.PersistenceMM, VolumeMM3: t.VolumeMM3}
	}
	return out
}

// filmFilling draws both pours as an animated GIF.
func (con *console) filmFilling(ctx context.Context, s *solved) ([]byte, error) {
	if err := pouredWhole(s); err != nil {
		return nil, err
	}
	b := con.newBar()
	defer b.erase()
	posed := s.Posed(s.solid).Mesh
	b.tell("locating trapped air", 0, 1)
	pockets, err := s.pockets(ctx, posed)
	if err != nil {
		return nil, err
	}
	film, err := picture.Film(ctx, posed, s.Plan, pockets, picture.Options{Show: s.style}, func(done, total int64) {
		b.tell("drawing the animation", done, total)
	})
	if err != nil {
		return nil, err
	}
	var data bytes.Buffer
	if err := gif.EncodeAll(&data, film); err != nil {
		return nil, err
	}
	return data.Bytes(), nil
}
