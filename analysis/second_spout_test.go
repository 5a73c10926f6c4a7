package analysis

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// A second spout is a bore from the board to the room behind the neck, through rubber
// only: here to the lower end of a rod that hangs 30 mm higher beside the one on the
// board. To a rod on top of the other there is none.
func TestBores(t *testing.T) {
	first := limb{r3.Vec{Z: 25}, r3.Vec{Z: 110}, 25}
	second := func(limbs ...limb) *CastAdvice {
		t.Helper()
		p := planOf(t, Choices{Scan: scanOf(t, limbed(t, limbs...)), Units: "mm", Casting: "foam", Down: &[3]float64{0, 0, -1}})
		if len(p.Cast.Necks) != 1 || len(p.Cast.Advice) < 2 {
			t.Fatalf("necks %+v, advice %+v", p.Cast.Necks, p.Cast.Advice)
		}
		for _, a := range p.Cast.Advice {
			if a.Kind == "second spout" {
				// From the stem's end to the round end of the rod, 25 mm wide where that is 50.
				long := p.Stand.StemMM + 30 + 25 - math.Sqrt(25*25-12.5*12.5)
				// The post that frees the round end as a closed top is in its way.
				if !strings.Contains(a.Text, "25 mm wide") || !strings.Contains(a.Text, "in place of post 1") {
					t.Error(a.Text)
				}
				bore := p.Cast.Necks[0]
				beyond := r3.Dot(r3.Sub(vec(*a.AtMM), vec(bore.AtMM)), vec(bore.Along))
				if math.Abs(beyond-45) > 14 || a.AtMM[2] != 0 {
					t.Errorf("the bore is %g mm beyond the neck, at %v", beyond, *a.AtMM)
				}
				told := boreLength(t, a.Text)
				if math.Abs(told-long) > 5 {
					t.Errorf("%g mm long, want about %g", told, long)
				}
				return &a
			}
		}
		return nil
	}
	if second(first, limb{r3.Vec{X: 90, Z: 55}, r3.Vec{X: 90, Z: 110}, 25}, limb{r3.Vec{Z: 95}, r3.Vec{X: 90, Z: 95}, 5}) == nil {
		t.Error("no second spout")
	}
	if a := second(first, limb{r3.Vec{Z: 180}, r3.Vec{Z: 240}, 25}, limb{r3.Vec{Z: 110}, r3.Vec{Z: 180}, 5}); a != nil {
		t.Errorf("to the rod above the other: %+v", a)
	}
}

// boreLength reads "… mm wide and 46 mm long …".
func boreLength(t *testing.T, text string) (mm float64) {
	t.Helper()
	_, rest, ok := strings.Cut(text, " mm wide and ")
	if _, err := fmt.Sscanf(rest, "%g mm long", &mm); !ok || err != nil {
		t.Fatal(text)
	}
	return mm
}
