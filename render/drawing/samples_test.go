package drawing

import (
	"context"
	"path/filepath"
	"testing"

	"pourwright/analysis"
	"pourwright/render/say"
)

// Whole plans of our samples, in boxes of every shape: everything drawn measures what
// the plan says, and no text lies on another.
func TestSamples(t *testing.T) {
	if testing.Short() {
		t.Skip("plans whole scans")
	}
	for name, c := range map[string]analysis.Choices{
		"cane":             {Scan: "gull-headed-cane.stl", Show: "in", Fillers: true},
		"trumpet":          {Scan: "speaking-trumpet.stl"},
		"tiller":           {Scan: "tiller-handle.stl"},
		"lantern, faceted": {Scan: "storm-lantern.stl", Down: &[3]float64{0, 0, -1}, Shape: "faceted", Board: "corrugated-4"},
		"pin, tube":        {Scan: "belaying-pin.stl", Down: &[3]float64{0, 0, -1}, Shape: "tube", Show: "in"},
		"hand, leaning":    {Scan: "../testdata/hand.stl", LongestMM: 150},
		"lion, stepped":    {Scan: "../testdata/lion-head.stl", LongestMM: 90},
		"trumpet in two":   {Scan: "speaking-trumpet.stl", Style: analysis.TwoPartStyle, Show: "in"},
		"tiller, in two":   {Scan: "tiller-handle.stl", Down: &[3]float64{0, 0, -1}, Style: analysis.TwoPartStyle, Show: "mm"},
		"hand, shaped":     {Scan: "../testdata/hand.stl", LongestMM: 200, Style: analysis.TwoPartStyle},
		"tiller, pinned":   {Scan: "tiller-handle.stl", Down: &[3]float64{0, 0, -1}, Show: "mm"},
	} {
		t.Run(name, func(t *testing.T) {
			c.Scan, c.Units = filepath.Join("..", "..", "samples", c.Scan), "mm"
			p := planOf(t, c)
			rounding := 1.0
			if c.Show == "in" {
				rounding = 25.4 / 16
			}
			if p.TwoPart != nil {
				checkTwoPart(t, name, p)
			} else {
				checkStrip(t, name, p, say.Inch)
				checkBase(t, name, p)
				checkPanels(t, name, p)
				checkCloses(t, name, p, rounding)
				checkCutFace(t, name, p)
			}
			if p.Cut.Surface == "plane" && p.TwoPart == nil {
				checkBlockFaces(t, name, p)
			}
			checkTexts(t, name, p)
			for _, set := range sets(p, say.Both) {
				for _, d := range set.drawings {
					checkCovers(t, name+" "+d.Name, d)
				}
			}
		})
	}
}

func planOf(t *testing.T, c analysis.Choices) *analysis.Plan {
	t.Helper()
	ctx := context.Background()
	loaded, err := analysis.Load(ctx, c, nil)
	if err != nil {
		t.Fatal(err)
	}
	p, err := analysis.AskFor(ctx, loaded, c, analysis.AskBox|analysis.AskRubber|analysis.AskCut, nil)
	if err != nil {
		t.Fatal(err)
	}
	return p
}
