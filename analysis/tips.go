package analysis

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis/cast"
	"pourwright/analysis/finding"
	"pourwright/analysis/shelf"
)

// A closed top that is no end of a limb is a tip if it holds that share of the cavity,
// or that much (common practice, no source).
const (
	tipShare = 0.005
	tipMM3   = 5000
)

// findTips puts the ends of the cavity in the order in which the material comes to
// them: ends of limbs, and closed tops.
func (j *job) findTips(p *cast.Passages, ends []cast.End, in cast.Input, r cast.Result) {
	necks := make([][]int32, len(in.Necks))
	for i, n := range in.Necks {
		necks[i] = n.Rooms
	}
	behind := func(room int32) *int {
		for i := len(necks) - 1; i >= 0; i-- {
			if slices.Contains(necks[i], room) {
				return &i
			}
		}
		return nil
	}
	var tips []CastTip
	taken := make([]bool, len(j.plan.CastTrap))
	longest := 0.0
	for _, e := range ends {
		longest = max(longest, e.FarMM)
	}
	for _, e := range ends {
		at := j.pose.Point(e.At)
		tip := CastTip{AtMM: array(at), Behind: behind(e.Room)}
		if t := j.trapAt(at, max(e.WidthMM+2*j.field.VoxelMM, nearTip*longest)); t >= 0 {
			if taken[t] {
				continue
			}
			taken[t] = true
			tip.Trap, tip.AtMM = &t, j.plan.CastTrap[t].AtMM
		}
		tips = append(tips, tip)
	}
	for t, trap := range j.plan.CastTrap {
		if !taken[t] && trap.VolumeMM3 >= min(tipShare*j.measures.VolumeMM3, tipMM3) {
			tips = append(tips, CastTip{AtMM: trap.AtMM, Trap: &t, Behind: behind(p.RoomAt(j.pose.Inverse().Point(vec(trap.AtMM))))})
		}
	}
	for i := range tips {
		j.fillTip(&tips[i], in, r)
	}
	slices.SortStableFunc(tips, func(a, b CastTip) int {
		return cmp.Or(cmp.Compare(a.Share, b.Share), cmp.Compare(b.AtMM[2], a.AtMM[2]))
	})
	j.plan.Cast.Tips = append(j.plan.Cast.Tips, tips...)
	j.tipDoubts()
}

// nearTip is how near to an end a closed top is the same tip, as a share of the
// longest way (common practice, no source).
const nearTip = 0.05

// trapAt returns the nearest closed top within reach; −1 for none.
func (j *job) trapAt(at r3.Vec, reachMM float64) int {
	best, nearest := -1, reachMM
	for t, trap := range j.plan.CastTrap {
		if d := r3.Norm(r3.Sub(vec(trap.AtMM), at)); d <= nearest {
			best, nearest = t, d
		}
	}
	return best
}

// fillTip says when the material comes to a tip, and whether its air leaves.
func (j *job) fillTip(tip *CastTip, in cast.Input, r cast.Result) {
	profile := j.belowLevel()
	whole := profile(j.posed.Bounds().Max.Z)
	tip.Share = within01(1 - profile(tip.AtMM[2])/whole)
	late := func(layers []cast.Layer) (mm3 float64) { // of them, when the material is at the tip
		for _, l := range layers {
			if l.DepthMM <= tip.AtMM[2] {
				mm3 += l.VolumeMM3
			}
		}
		return mm3
	}
	through, back := heldBy(tip.Behind, in, r)
	switch {
	case through >= 0: // all that is before the neck fills first
		tip.Held, tip.Share = true, within01(1-late(in.Behind[through])/whole)
	case back >= 0: // all that is behind it does
		tip.Held, tip.Share = true, within01(1-(late(in.All)-late(in.Behind[back]))/whole)
	}
	tip.Vented = tip.Trap != nil && j.plan.CastTrap[*tip.Trap].Vent != nil || j.openAt(vec(tip.AtMM))
	if tip.Trap != nil && !tip.Vented {
		tip.Share = 1
	}
	tip.Bleed = j.casting.Kind == shelf.Foam && !tip.Vented && (tip.Trap != nil || through >= 0)
}

func within01(x float64) float64 { return min(max(x, 0), 1) }

// heldBy returns the first neck on the way to a tip that holds the material up: one
// that takes longer than the spout, or that foam does not surely pass. back is a neck
// that foam does not surely come back through to the tip, from what it rises in
// first. −1 for none.
func heldBy(behind *int, in cast.Input, r cast.Result) (through, back int) {
	through, back = -1, -1
	onWay := make([]bool, len(in.Necks))
	for i := behind; i != nil && *i >= 0; i = &in.Necks[*i].After {
		onWay[*i] = true
	}
	for i := len(in.Necks) - 1; i >= 0; i-- {
		fill, foam := r.Necks[i], r.Rises[i]
		slow := r.Filling != nil && fill != nil && fill.Creeping && fill.Seconds.Likely > r.Filling.Seconds.Likely
		slow = slow || foam != nil && foam.Verdict != cast.Passes
		returns := foam != nil && foam.Back
		switch {
		case slow && onWay[i] && !returns:
			through = i
		case slow && !onWay[i] && returns:
			back = i
		}
	}
	return through, back
}

// openAt tells whether a place is at the spout, or where else the pattern stands on
// the board.
func (j *job) openAt(at r3.Vec) bool {
	for _, v := range j.way.Open {
		if r3.Norm(r3.Sub(j.posed.Vertices[v], at)) <= 2*j.field.VoxelMM {
			return true
		}
	}
	return false
}

const (
	// bleedMM is a hole that foam closes by itself, and bleedDoubts how many of them
	// are told of (both common practice, no source).
	bleedMM     = 3
	bleedDoubts = 3
)

// tipDoubts warns of the ends that foam comes to last while their air does not leave.
func (j *job) tipDoubts() {
	told := 0
	for i := len(j.plan.Cast.Tips) - 1; i >= 0 && told < bleedDoubts; i-- {
		tip := &j.plan.Cast.Tips[i]
		if !tip.Bleed {
			continue
		}
		told++
		text := "Foam comes to this end last: it is a closed top without a vent, and the air in it has nowhere to go."
		if tip.Trap == nil {
			text = fmt.Sprintf("Foam comes to this end late, when %.0f %% of the mold is full: neck %d before it holds it up, and its air has to leave against the foam.", math.Floor(100*tip.Share), *tip.Behind+1)
		}
		j.find(finding.Finding{Question: "cast", Level: finding.Warn, AtMM: &tip.AtMM, Text: text,
			Action: fmt.Sprintf("Put a bleed hole there: push a sharpened tube of %d mm through the rubber from the nearest outside, and hold a finger on it when foam shows.", bleedMM)})
	}
}
