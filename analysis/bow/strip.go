package bow

import (
	"fmt"
	"math"

	"pourwright/analysis/shelf"
)

// Reading errors of a test with a ruler and a kitchen scale (common practice,
// no source).
const (
	spanErrorMM    = 1.0
	widthErrorMM   = 0.5
	massErrorPart  = 0.01
	sinkErrorMM    = 0.25
	leastSinkMM    = 4 * sinkErrorMM
	mostSinkPart   = 0.1 // of the span: the formula is for small deflections
	mostStripRatio = 0.5 // width over span: a wider strip bends as a plate
	mostPoisson    = 0.4
)

// ThreePoint returns the bending stiffness D in N·m of a maker's own board
// from a strip on two supports that sinks by sinkMM in the middle when massG is
// put there: D = m·g·L³/(48·δ·c) with span L and width c (beam tables, from
// memory). Low and high hold the reading errors, and in high also that a
// narrow strip is free to curl where a wall is not. A soft core shears more on
// a short span, so the span should be about the shorter side of the wall.
func ThreePoint(spanMM, widthMM, massG, sinkMM float64) (shelf.Range, error) {
	for _, c := range []struct {
		name     string
		v, least float64
	}{{"span", spanMM, 20}, {"width", widthMM, 5}, {"mass", massG, 1}, {"deflection", sinkMM, 0}} {
		if !(c.v > c.least) || math.IsInf(c.v, 0) {
			return shelf.Range{}, &InputError{
				fmt.Sprintf("the %s of the test is %v and must be more than %v", c.name, c.v, c.least),
				"give span, width and deflection in mm and the mass in g",
			}
		}
	}
	if widthMM > mostStripRatio*spanMM {
		return shelf.Range{}, &InputError{
			fmt.Sprintf("a strip %v mm wide on a span of %v mm bends as a plate", widthMM, spanMM),
			"cut a strip at most half as wide as the span",
		}
	}
	if sinkMM < leastSinkMM || sinkMM > mostSinkPart*spanMM {
		return shelf.Range{}, &InputError{
			fmt.Sprintf("the strip sinks by %v mm, which is not between %v mm and a tenth of the span", sinkMM, leastSinkMM),
			"choose the mass so that the strip sinks by a few millimetres",
		}
	}
	span, width, sink := spanMM/1000, widthMM/1000, sinkMM/1000
	d := massG / 1000 * GravityMPerS2 * span * span * span / (48 * sink * width)
	var square float64
	for _, part := range [4]float64{3 * spanErrorMM / spanMM, widthErrorMM / widthMM, massErrorPart, sinkErrorMM / sinkMM} {
		square += part * part
	}
	off := 1 + math.Sqrt(square)
	return shelf.Range{Low: d / off, Likely: d, High: d * off / (1 - mostPoisson*mostPoisson)}, nil
}
