package mix

import (
	"fmt"

	"pourwright/analysis/shelf"
)

// Mold is one of several that are poured in one go with the same rubber.
type Mold struct {
	Name    string
	NetMM3  float64                         // rubber in it
	LevelOf func(rubberMM3 float64) float64 // mm above its board
}

// Joint is the answer for several molds: batches are poured into the molds in
// turn, the next one when one is full.
type Joint struct {
	NetG, AllowanceG float64
	AllowanceRule    string
	MassG            float64 // = NetG + AllowanceG = the sum of the batches
	AG, BG           float64
	Batches          []JointBatch
	BatchRule        string
	SavedG           float64 // against pouring each mold by itself
}

// JointBatch is one weighing and where it goes.
type JointBatch struct {
	Batch  // its level is that of the last mold it goes into
	Shares []Share
}

// Share is the part of a batch that goes into one mold.
type Share struct {
	Mold    int
	G       float64 // in the mold, without the film in the cup
	LevelMM float64 // where the rubber then stands in it
}

// Together plans the rubber of several molds. What in says of one box and its
// pattern is not used.
func Together(molds []Mold, in Input) (Joint, error) {
	in = in.withDefaults()
	net := 0.0
	for _, m := range molds {
		if !(m.NetMM3 > 0) {
			return Joint{}, &InputError{fmt.Sprintf("%s takes no rubber", m.Name), "leave it out"}
		}
		net += m.NetMM3
	}
	if len(molds) == 0 {
		return Joint{}, &InputError{"no molds were given", "name the plans to pour together"}
	}
	one := in.asBox(net)
	r, err := Plan(one)
	if err != nil {
		return Joint{}, err
	}
	j := Joint{NetG: r.NetG, AllowanceG: r.AllowanceG, AllowanceRule: r.AllowanceRule, MassG: r.MassG, AG: r.AG, BG: r.BG, BatchRule: r.BatchRule}
	for _, m := range molds {
		alone, err := Plan(in.asBox(m.NetMM3))
		if err != nil {
			return Joint{}, err
		}
		j.SavedG += alone.MassG
	}
	j.SavedG -= j.MassG
	j.share(molds, r, in)
	return j, nil
}

// asBox is the same rubber in a cube of that volume.
func (in Input) asBox(mm3 float64) Input {
	in.InsideMM, in.FloorMM2 = [3]float64{100, 100, mm3 / 1e4}, 1e4
	in.Below, in.DisplacedMM3, in.DisplacedErrorMM3, in.BulgeMM3 = nil, 0, 0, shelf.Range{}
	return in
}

// share deals the batches out to the molds. What is spare at the end is not
// poured.
func (j *Joint) share(molds []Mold, r Result, in Input) {
	film := in.FilmG.Likely * in.cupSurface(r.MassG/float64(len(r.Batches)))
	perMM3 := in.Rubber.DensityGPerCM3.Likely / mm3PerCM3
	at, inMold := 0, 0.0
	for _, b := range r.Batches {
		left := b.TotalG - film
		joint := JointBatch{Batch: b}
		for left > 1e-9 && at < len(molds) {
			full := molds[at].NetMM3 * perMM3
			g := min(left, full-inMold)
			left, inMold = left-g, inMold+g
			joint.LevelMM = molds[at].LevelOf(inMold / perMM3)
			joint.Shares = append(joint.Shares, Share{at, g, joint.LevelMM})
			if inMold >= full*(1-1e-12) {
				at, inMold = at+1, 0
			}
		}
		j.Batches = append(j.Batches, joint)
	}
}
