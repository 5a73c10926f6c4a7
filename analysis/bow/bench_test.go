package bow_test

import (
	"context"
	"testing"

	"pourwright/analysis/bow"
	"pourwright/analysis/shelf"
)

// What does one wall cost, by its shape, and with a soft core or bracing?
func BenchmarkBend(b *testing.B) {
	plain := unitWall(1.5, 0.3, "SSSF")
	core, lined, lopsided, long := plain, plain, plain, unitWall(8, 0.3, "SSSF")
	core.Plate.ShearNPerM = 1e4
	lined.Lines = []bow.Line{{AtMM: 300, BendNM2: 500}, {AtMM: 700, BendNM2: 500}}
	lopsided.Edges = edges("SCSF")
	for _, c := range []struct {
		name string
		wall bow.Wall
	}{{"plain", plain}, {"soft core", core}, {"two battens", lined}, {"lopsided", lopsided}, {"long", long}} {
		b.Run(c.name, func(b *testing.B) {
			for b.Loop() {
				bend(b, c.wall)
			}
		})
	}
}

// What does a plan pay for its box?
func BenchmarkBox(b *testing.B) {
	for _, board := range []shelf.Board{chipboard, foamBoard} {
		b.Run(board.Name, func(b *testing.B) {
			for b.Loop() {
				bowOf(b, boxOf(board, 300, 200, 150, bow.Blocked))
			}
		})
	}
}

// What does it pay when the box must be braced?
func BenchmarkBrace(b *testing.B) {
	box := boxOf(foamBoard, 300, 250, 262, bow.Taped)
	options := bow.Usual(foamBoard, []shelf.Board{acrylic, plywood, chipboard}, braces)
	for b.Loop() {
		if _, err := box.Brace(context.Background(), options); err != nil {
			b.Fatal(err)
		}
	}
}
