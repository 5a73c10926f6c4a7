package bow_test

import (
	"context"
	"fmt"

	"pourwright/analysis/bow"
)

// A box of foam board bows, and the bracing that passes with the least trouble
// is found.
func ExampleBox_Brace() {
	box := bow.Box{
		Walls:    bow.Rectangle(300, 200),
		HeightMM: 162, LevelMM: 150,
		DensityGPerCM3: between(1.10, 1.13, 1.16),
		Board:          foamBoard,
		Corners:        bow.Taped, Foot: bow.Taped,
		FreeAreaMM2: 40_000,
	}
	r, err := box.Bow()
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(r.Verdict+":", r.Walls[0].Why)
	s, err := box.Brace(context.Background(), bow.Usual(foamBoard, nil, braces))
	if err != nil {
		fmt.Println(err)
		return
	}
	best := s.Trials[s.Cheapest]
	fmt.Println(best.Bracing.Name, best.Bracing.HeightsMM)
	fmt.Printf("bows %.1f to %.1f mm, %s\n", best.Bow.Walls[0].DeflectionMM.Low, best.Bow.Walls[0].DeflectionMM.High, best.Bow.Verdict)
	// Output:
	// brace: it may bow by more than half its thickness, 2.5 mm, outside linear range: brace it
	// battens, 20 × 40 mm on edge: one row all round, under straps [70]
	// bows 0.2 to 1.0 mm, holds
}
