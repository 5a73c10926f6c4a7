package drawing

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"pourwright/lawtest"
)

// Labels keep their order, do not cover each other, stay in their room when there is
// enough, and a label that has its level to itself is not moved.
func TestApart(t *testing.T) {
	lawtest.Check(t, func(t *rapid.T) {
		const top, bottom = 10.0, 300.0
		n := rapid.IntRange(1, 14).Draw(t, "labels")
		var levels []level
		y := bottom
		for range n {
			y -= rapid.Float64Range(0, 40).Draw(t, "step")
			l := level{y: max(y, top), size: stripLevel, lines: make([]string, rapid.IntRange(1, 4).Draw(t, "lines"))}
			levels = append(levels, l)
		}
		middle := apart(levels, top, bottom)
		fits := total(levels)-labelGapMM <= bottom-top
		for i, l := range levels {
			up, down := middle[i]-l.height()/2, middle[i]+l.height()/2
			if fits && (up < top-1e-9 || down > bottom+1e-9) {
				t.Fatalf("label %d reaches from %g to %g", i, up, down)
			}
			if i > 0 && down > middle[i-1]-levels[i-1].height()/2-labelGapMM+1e-9 {
				t.Fatalf("label %d covers the one below it", i)
			}
		}
	})
	alone := level{y: 100, size: stripLevel, lines: []string{"a", "b"}}
	if have := apart([]level{alone}, 0, 200)[0] - alone.height()/2 + alone.first(); math.Abs(have-100) > 1e-9 {
		t.Errorf("a label alone stands at %g, its level at 100", have)
	}
	// Two of one height at one level go as far up as down.
	pair := apart([]level{alone, alone}, 0, 200)
	if have := (pair[0]+pair[1])/2 - alone.height()/2 + alone.first(); math.Abs(have-100) > 1e-9 {
		t.Errorf("two labels stand about %g, their level is 100", have)
	}
}
