// Package clock answers "what is done when?", from the first weighing to the
// first cast.
package clock

import (
	"fmt"
	"math"
	"slices"

	"pourwright/analysis/shelf"
)

// Input is what takes time. Times in s.
type Input struct {
	Rubber  shelf.Rubber
	Casting shelf.Casting
	Batches []int   // of each part of the mold, poured when the one before has cured
	BatchS  float64 // to mix, degas and pour one
	RoomC   float64 // temperature of the room
	Rod     bool    // a rod goes into the mold
	Coats   int     // of a hollow cast, one after the other; 0 of a solid one
}

// Step is one thing to do or to wait for. From is when it begins, after the
// first weighing.
type Step struct {
	Name         string
	FromS, TakeS shelf.Range
	Wait         bool // nothing is to be done
	Why          string
}

// What hands take, and how long an opened mold rests (common practice, no source).
var (
	batchSpread  = shelf.Range{Low: 0.8, Likely: 1, High: 1.5}
	openS        = shelf.Range{Low: 30 * 60, Likely: 60 * 60, High: 150 * 60}
	turnS        = shelf.Range{Low: 20 * 60, Likely: 45 * 60, High: 90 * 60}
	partS        = shelf.Range{Low: 15 * 60, Likely: 30 * 60, High: 60 * 60}
	closeS       = shelf.Range{Low: 10 * 60, Likely: 20 * 60, High: 40 * 60}
	fillS        = shelf.Range{Low: 3 * 60, Likely: 5 * 60, High: 15 * 60}
	coatMixS     = shelf.Range{Low: 2 * 60, Likely: 3 * 60, High: 6 * 60}
	stopsFlowing = shelf.Range{Low: 1, Likely: 1.5, High: 2.5} // working times until a coat does
	tinForFoamS  = shelf.Range{Low: 12 * 3600, Likely: 24 * 3600, High: 72 * 3600}
	tinForResinS = shelf.Range{Low: 0, Likely: 4 * 3600, High: 24 * 3600}
)

// Data sheets give times for this room, °C; ten degrees more halve them (common
// practice, no source).
const (
	dataSheetC = 23
	halvingByC = 10
)

// Plan lists the steps in their order. Low is when all goes quickly, high when
// all goes slowly.
func Plan(in Input) ([]Step, error) {
	if len(in.Batches) == 0 || slices.Min(in.Batches) < 1 || !(in.BatchS > 0) || !(in.RoomC > 0) {
		return nil, fmt.Errorf("%v batches of %g s at %g °C make no timetable", in.Batches, in.BatchS, in.RoomC)
	}
	var steps []Step
	var at shelf.Range
	add := func(s Step) {
		s.FromS = at
		at = shelf.Range{Low: at.Low + s.TakeS.Low, Likely: at.Likely + s.TakeS.Likely, High: at.High + s.TakeS.High}
		steps = append(steps, s)
	}
	warm := math.Exp2((dataSheetC - in.RoomC) / halvingByC)
	parts := len(in.Batches)
	for part, batches := range in.Batches {
		if part > 0 {
			add(Step{Name: "turn the box over, take off the clay, release the first part", TakeS: turnS, Why: "common practice, no source"})
		}
		for i := range batches {
			add(Step{Name: batchName(part, parts, i, batches), TakeS: times(batchSpread, in.BatchS), Why: "one after the other; with helpers they overlap"})
		}
		add(Step{Name: "let the rubber cure", TakeS: times(in.Rubber.DemoldS, warm), Wait: true,
			Why: fmt.Sprintf("demold time of the shelf at %g °C; a sample in a cup must be firm first", in.RoomC)})
	}
	open := Step{Name: "take the walls off, cut the block, take the part out", TakeS: openS, Why: "common practice, no source"}
	if parts > 1 {
		open.Name, open.TakeS = "take the walls off, part the mold, take the part out", partS
	}
	add(open)
	if rest, why := in.rest(); rest.High > 0 {
		add(Step{Name: "let the open mold rest", TakeS: rest, Wait: true, Why: why})
	}
	ready := "release, close and strap the mold"
	if in.Rod {
		ready = "release, rod, close and strap the mold"
	}
	add(Step{Name: ready, TakeS: closeS, Why: "common practice, no source"})
	for _, s := range in.fill() {
		add(s)
	}
	if in.Casting.DemoldS != (shelf.Range{}) {
		add(Step{Name: "let the cast set", TakeS: times(in.Casting.DemoldS, warm), Wait: true, Why: fmt.Sprintf("demold time of the shelf at %g °C", in.RoomC)})
	}
	add(Step{Name: "first cast", Why: "take it out"})
	return steps, nil
}

// fill is the pouring of the cast, coat after coat of a hollow one.
func (in Input) fill() (steps []Step) {
	if in.Coats == 0 {
		return []Step{{Name: "weigh, mix and pour the cast", TakeS: fillS, Why: "common practice, no source; within its working time"}}
	}
	flows := times(stopsFlowing, in.Casting.WorkingS)
	for coat := range in.Coats {
		steps = append(steps, Step{
			Name:  fmt.Sprintf("mix coat %d of the cast, pour it and roll the mold until it no longer flows", coat+1),
			TakeS: shelf.Range{Low: coatMixS.Low + flows.Low, Likely: coatMixS.Likely + flows.Likely, High: coatMixS.High + flows.High},
			Why:   "1 to 2.5 working times of the shelf, and mixing: common practice, no source",
		})
	}
	return steps
}

// batchName says which batch of which part is poured.
func batchName(part, parts, batch, batches int) string {
	name := "mix, degas and pour the rubber"
	if batches > 1 {
		name = fmt.Sprintf("mix, degas and pour batch %d", batch+1)
	}
	if parts > 1 {
		name += fmt.Sprintf(" of part %d", part+1)
	}
	return name
}

// rest is how long an opened mold rests before it is cast in.
func (in Input) rest() (shelf.Range, string) {
	switch {
	case in.Rubber.Cure != shelf.Tin:
		return shelf.Range{}, ""
	case in.Casting.Kind == shelf.Foam:
		return tinForFoamS, "what leaves a fresh tin-cure mold makes foam collapse; hours in gentle warmth shorten it, as its data sheet says (common practice, no source)"
	}
	return tinForResinS, "alcohol leaves a fresh tin-cure mold (common practice, no source)"
}

func times(r shelf.Range, k float64) shelf.Range {
	return shelf.Range{Low: r.Low * k, Likely: r.Likely * k, High: r.High * k}
}
