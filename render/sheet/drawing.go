package sheet

import (
	"math"
	"strconv"
	"strings"

	"pourwright/render/say"
)

// px is a coordinate of an SVG drawing, written with one decimal.
type px float64

func (v px) String() string {
	text := strconv.FormatFloat(float64(v), 'f', 1, 64)
	if text == "-0.0" {
		return "0"
	}
	return strings.TrimSuffix(text, ".0")
}

// drawable tells whether lengths are positive and finite.
func drawable(mm ...float64) bool {
	for _, x := range mm {
		if !(x > 0) || math.IsInf(x, 0) {
			return false
		}
	}
	return true
}

// line is a straight line of a drawing.
type line struct{ X1, Y1, X2, Y2 px }

// scaleBar is a bar of known length.
type scaleBar struct {
	Wide  px
	Label string
}

// barFor is the longest round length that takes at most a third of a drawing
// that is mm wide; perMM is its scale.
func barFor(mm, perMM float64, s say.Style) scaleBar {
	lengths, label := []float64{500, 200, 100, 50, 20, 10, 5}, say.Metric
	if s == say.Inch {
		lengths, label = []float64{12 * 25.4, 6 * 25.4, 4 * 25.4, 2 * 25.4, 25.4, 12.7, 6.35}, say.Inch
	}
	length := lengths[len(lengths)-1]
	for _, l := range lengths {
		if l <= mm/3 {
			length = l
			break
		}
	}
	return scaleBar{px(length * perMM), label.Length(length)}
}

// spread moves heights, sorted upwards, apart by at least gap and keeps them
// between low and high as far as there is room.
func spread(at []float64, gap, low, high float64) []float64 {
	moved := append([]float64(nil), at...)
	for i := range moved {
		moved[i] = math.Max(moved[i], low)
		if i > 0 {
			moved[i] = math.Max(moved[i], moved[i-1]+gap)
		}
	}
	for i := len(moved) - 1; i >= 0; i-- {
		limit := high
		if i < len(moved)-1 {
			limit = moved[i+1] - gap
		}
		moved[i] = math.Min(moved[i], limit)
	}
	return moved
}
