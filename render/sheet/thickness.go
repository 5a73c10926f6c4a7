package sheet

import (
	"math"

	"pourwright/analysis"
	"pourwright/render/say"
)

// histogram is how much of the part has rubber of which thickness.
type histogram struct {
	Wide, High, Base px
	End              px // of the axis
	Bars             []bar
	Ticks            []mapLabel
	Unit             string
}

type bar struct {
	rect
	Class string // "floppy", "wasted" or empty
	Share string // empty when it is too small to write
	MidX  px
	TextY px
}

const (
	barWide    = 36
	barTall    = 96 // highest
	barTop     = 24 // over the highest, for its share
	barLeft    = 16
	leastShare = 0.005 // that is written over its bar
)

// drawThickness draws the thicknesses, or gives nil when they are not known.
// Its bars are equally wide though the last one spans all that is thicker.
func drawThickness(w analysis.Wall, s units) *histogram {
	top := 0.0
	for _, bin := range w.Histogram {
		top = math.Max(top, bin.AreaMM2)
	}
	if !drawable(top, w.AreaMM2) {
		return nil
	}
	h := &histogram{Base: barTop + barTall, High: barTop + barTall + 26, Unit: "mm"}
	perMM, digits := 1.0, 0.5
	if s.style == say.Inch {
		perMM, digits, h.Unit = 25.4, 0.005, "in"
	}
	for i, bin := range w.Histogram {
		x := px(barLeft + i*barWide)
		h.Ticks = append(h.Ticks, mapLabel{tick(bin.FromMM/perMM, digits), x, h.Base + 18})
		tall := px(bin.AreaMM2 / top * barTall)
		b := bar{rect: rect{x + 1, h.Base - tall, barWide - 2, tall}, MidX: x + barWide/2, TextY: h.Base - tall - 5}
		if share := bin.AreaMM2 / w.AreaMM2; share >= leastShare {
			b.Share = say.Percent(math.Round(share*100) / 100)
		}
		switch {
		case bin.ToMM <= w.FloppyMM+1e-9:
			b.Class = "floppy"
		case bin.FromMM >= w.WastedMM-1e-9:
			b.Class = "wasted"
		}
		h.Bars = append(h.Bars, b)
	}
	last := w.Histogram[len(w.Histogram)-1]
	end := px(barLeft + len(w.Histogram)*barWide)
	h.Ticks = append(h.Ticks, mapLabel{tick(last.ToMM/perMM, digits), end, h.Base + 18})
	h.End, h.Wide = end+8, end+24
	return h
}

// tick is a figure on the axis, rounded to twice half a step.
func tick(x, half float64) string { return say.Number(math.Round(x/(2*half)) * 2 * half) }

// thinPlace is a place to be careful with.
type thinPlace struct {
	Where       string
	ThicknessMM float64
	AreaMM2     float64
	Fold        string // how far it is stretched when it is folded back; empty when that says nothing
}

// mostPlaces is how many places are listed; the rest are in plan.json.
const mostPlaces = 4

func webs(p *analysis.Plan, s units) []thinPlace {
	var all []thinPlace
	for _, w := range p.Wall.Webs[:min(len(p.Wall.Webs), mostPlaces)] {
		one := thinPlace{Where: placeOf(p, w.AtMM).Words(s), ThicknessMM: w.ThicknessMM, AreaMM2: w.AreaMM2}
		if w.Strain != nil {
			one.Fold = say.Percent(*w.Strain)
		}
		all = append(all, one)
	}
	return all
}

func castThin(p *analysis.Plan, s units) []thinPlace {
	var all []thinPlace
	for _, c := range p.Wall.CastThin[:min(len(p.Wall.CastThin), mostPlaces)] {
		all = append(all, thinPlace{Where: placeOf(p, c.AtMM).Words(s), ThicknessMM: c.ThicknessMM, AreaMM2: c.AreaMM2})
	}
	return all
}

// OfPart is a share of the part's surface in words.
func (v *page) OfPart(areaMM2 float64) string {
	if !(v.Wall.AreaMM2 > 0) {
		return say.Unknown
	}
	return say.Percent(areaMM2 / v.Wall.AreaMM2)
}

// ThinnestAt is where the rubber is thinnest.
func (v *page) ThinnestAt() string { return placeOf(v.Plan, v.Wall.MinAtMM).Words(v.Say) }
