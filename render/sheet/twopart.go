package sheet

import (
	"strings"

	"pourwright/analysis"
	"pourwright/render/say"
)

// In is the inside of the box that is poured into: length, width and level.
func (v *page) In() [3]float64 {
	if t := v.TwoPart; t != nil {
		return t.InsideMM
	}
	return [3]float64{v.Box.InsideMM[0], v.Box.InsideMM[1], v.Box.RubberLevelMM}
}

// LevelMM is how far up it is filled.
func (v *page) LevelMM() float64 { return v.In()[2] }

// baseBoards are the boards under a box that is turned over, one at a time.
type baseBoards struct {
	analysis.Panel
	Missing bool // the cut list has only one
}

// BaseBoards are those of a mold in two parts; nil when none is cut.
func (v *page) BaseBoards() *baseBoards {
	if v.TwoPart == nil {
		return nil
	}
	for _, panel := range v.Box.Panels {
		if panel.Name == "base board" {
			return &baseBoards{panel, panel.Count < 2}
		}
	}
	return nil
}

// Mold is what the finished mold is called.
func (v *page) Mold() string {
	if v.TwoPart != nil {
		return "mold"
	}
	return "block"
}

// pouring is one pour of rubber: into the box of a block, or of one part of a mold.
type pouring struct {
	*page
	Batches []analysis.Batch
	Marks   []analysis.Mark
}

// CardRow is how many batches of this pour stand side by side.
func (q pouring) CardRow() int { return cardRow(len(q.Batches)) }

// Pouring is the pour of a block.
func (v *page) Pouring() pouring { return pouring{v, v.Rubber.Batches, v.Rubber.Marks} }

// partPour is the pour of one part of a mold.
type partPour struct {
	pouring
	Of      analysis.MoldPart
	Step    int // on this sheet
	Ordinal string
	Below   string // what the rubber is poured onto
	High    string // how far up that fills the box, in words
	Deep    string // how deep the rubber stands over it
	Air     []trapPlace
	Lift    string // empty when the part stays down by its weight
	Last    bool
}

// ordinals name the parts in the order they are poured.
var ordinals = [2]string{"first", "second"}

// PartPours are the pours of a mold in two parts.
func (v *page) PartPours() []partPour {
	t := v.TwoPart
	if t == nil {
		return nil
	}
	var all []partPour
	heights := v.bedHeights()
	for i, part := range t.Parts {
		one := partPour{
			pouring: pouring{v, part.Batches, part.Marks}, Of: part,
			Step: [2]int{5, 7}[i], Ordinal: ordinals[i], Below: [2]string{"clay", "first part"}[i], Last: i == 1,
			High: heights[i].words(v.Say), Deep: heights[1-i].words(v.Say),
		}
		if part.NetLiftN > 0 {
			one.Lift = v.Say.Force(part.NetLiftN) + " on a string"
		}
		for _, trap := range v.RubberTrap {
			if trap.Part == i+1 {
				one.Air = append(one.Air, trapPlaces(v.Plan, v.Say, []analysis.Trap{trap}, nil)...)
			}
		}
		all = append(all, one)
	}
	return all
}

// bedWords says how the bed of clay is laid; zero of a block.
type bedWords struct {
	First     string // which part of the finished block is poured first
	Up        string // the side of the scan that looks up
	Spout     place
	SpoutWall string // what the board is called in the cut list that the spout end lies against
	SpoutUp   [2]float64
	DownMM    float64 // that the first part is let down after turning over
	Steps     []bedStep
	Keys      []bedKey
	Posts     []bedPost
	Hooks     []lockRow
	MoreHooks int
	Slight    string // what to expect where no hook is listed
	Locked    bool
	Halves    [2]string // rubber of each part
	Hooked    [2]string
	Peel      string
	Stay      string
	Stretch   string
}

// bedStep is a corner of a stepped bed.
type bedStep struct {
	At       string
	HeightMM float64
}

type bedKey struct {
	analysis.BedKey
	Number int
	Turn   string
}

// bedPost is a post as it lies in the bed: its end at the wall, and its end on the part.
type bedPost struct {
	post
	Wall, End place
}

func wordBed(p *analysis.Plan, s units) bedWords {
	t := p.TwoPart
	if t == nil {
		return bedWords{}
	}
	foot := spoutInBox(p)
	foot[2] = 0
	b := bedWords{Spout: placeOf(p, foot), First: towards(p.Cut.Normal, float64(t.Parts[0].Side)) + " part", SpoutWall: "end",
		DownMM: p.Box.FreeboardMM, Peel: ordinals[(t.PeelFirst+1)%2], Stay: ordinals[t.PeelFirst%2], Stretch: keep(say.Percent(t.StretchAllowed))}
	b.SpoutUp = [2]float64{b.Spout.Up, measured(t, foot, 2).Up}
	if ahead := t.Turned([3]float64{0, 0, 1}); ahead[1]*ahead[1] > 0.5 {
		b.SpoutWall = "side"
	}
	up := [3]float64{}
	for k := range up { // against both turns, since a turn's inverse is its transpose
		for i, x := range t.Rotation[2] {
			up[k] += p.Stand.Rotation[i][k] * x
		}
	}
	b.Up = direction(up)
	for _, step := range p.Cut.Steps {
		b.Steps = append(b.Steps, wordBedStep(p, s, step))
	}
	for i, k := range t.Keys {
		b.Keys = append(b.Keys, bedKey{k, i + 1, say.Angle(k.TurnDeg)})
	}
	for _, one := range posts(p) {
		b.Posts = append(b.Posts, bedPost{one, placeOf(p, [3]float64{one.BoardMM[0], one.BoardMM[1], 0}), placeOf(p, one.FromMM)})
	}
	b.wordLocks(p, s)
	return b
}

// wordBedStep says where a stepped bed has a corner, and how high the clay is there.
func wordBedStep(p *analysis.Plan, s units, step analysis.CutStep) bedStep {
	at := p.Cut.PointMM
	if p.Cut.StepsAlong != nil {
		for k := range at {
			at[k] += step.AtMM*p.Cut.StepsAlong[k] + step.OffsetMM*p.Cut.Normal[k]
		}
	}
	here := placeOf(p, at)
	words := s.Length(here.FromFront) + " from the right"
	if along := p.Cut.StepsAlong; along != nil && along[2]*along[2] > 0.5 {
		words = s.Length(here.FromLeft) + " from the spout’s end"
	}
	return bedStep{words, here.Up}
}

// lockRow is a place where rubber hooks behind the part.
type lockRow struct {
	analysis.Lock
	Part  string
	Where string
	Reach string
}

// mostHooks is how many are listed; the rest are in plan.json.
const mostHooks = 8

func (b *bedWords) wordLocks(p *analysis.Plan, s units) {
	t := p.TwoPart
	for i, l := range t.Locks {
		b.Locked = b.Locked || !l.Gives
		if i >= mostHooks {
			b.MoreHooks++
			continue
		}
		row := lockRow{l, partOn(t, l.Side), placeOf(p, l.AtMM).Words(s), "it is free nowhere near"}
		if l.ReachMM != nil {
			row.Reach = s.Length(*l.ReachMM)
		}
		b.Hooks = append(b.Hooks, row)
	}
	slight := []string{}
	for i, part := range t.Parts {
		b.Halves[i] = s.Liquid(part.RubberMM3)
		if d := p.Rubber.DensityGPerCM3; d > 0 {
			b.Halves[i] += ", " + s.Mass(part.RubberMM3/1000*d)
		}
		side := (part.Side + 1) / 2
		b.Hooked[i] = "none"
		if p.Cut.UndercutMM3[side] >= leastHook {
			b.Hooked[i] = s.Volume(p.Cut.UndercutMM3[side]) + ", up to " + s.Length(p.Cut.UndercutDepthMM[side]) + " deep"
			slight = append(slight, ordinals[i]+" part "+b.Hooked[i])
		}
	}
	b.Slight = "No rubber hooks behind the part: both parts of the mold come straight off."
	if len(slight) > 0 {
		b.Slight = "What hooks behind the part is so little that the rubber gives way: " + strings.Join(slight, "; ") + ". Pull slowly there."
	}
}

// partOn names the part on a side of the bed.
func partOn(t *analysis.TwoPart, side int) string {
	if t.Parts[0].Side == side {
		return ordinals[0]
	}
	return ordinals[1]
}

// bedHeights are how high the bed is at its lowest and its highest, at the first pour
// and turned over.
func (v *page) bedHeights() (heights [2]figures) {
	t := v.TwoPart
	for _, mm := range [2]float64{t.LowMM, t.HighMM} {
		heights[0].add(mm)
		heights[1].add(t.InsideMM[2] - mm)
	}
	return heights
}

// BedHeight says how high the clay is.
func (v *page) BedHeight() string {
	words := v.bedHeights()[0].words(v.Say)
	if len(v.Cut.Steps) > 0 {
		words += ", in steps"
	}
	return words
}

// Uneven tells whether the clay is higher in some places than in others.
func (v *page) Uneven() bool { return v.TwoPart.HighMM-v.TwoPart.LowMM > 0.5 }

// numbered is a place of the parting line with its number on the true-size bed.
type numbered struct {
	analysis.BedPoint
	Number int
}

// LineRows lists the heights of the parting line, two or three in a row, numbered down
// the columns.
func (v *page) LineRows() (rows [][]numbered) {
	line, abreast := v.TwoPart.Line, 3
	if v.Say.Both() {
		abreast = 2
	}
	n := (len(line) + abreast - 1) / abreast
	for i := range n {
		var row []numbered
		for k := i; k < len(line); k += n {
			row = append(row, numbered{line[k], k + 1})
		}
		rows = append(rows, row)
	}
	return rows
}

// wallWords names the sides of the lying box, as headings of rows.
var wallWords = map[string]string{
	analysis.SpoutEnd: "Spout end", analysis.FarEnd: "Far end", analysis.RightWall: "Right", analysis.LeftWall: "Left",
	analysis.FirstSide: "Over the part, first pour", analysis.SecondSide: "Over the part, second pour",
}

// outward are the ways out of the box through the walls of a plan.
var outward = map[string][3]float64{"x0": {-1, 0, 0}, "x1": {1, 0, 0}, "y0": {0, -1, 0}, "y1": {0, 1, 0}, "cover": {0, 0, 1}}

// wallName names a wall of the box in the stand frame; of a mold in two parts as it
// lies at the first pour.
func wallName(p *analysis.Plan, wall string) string {
	if out, known := outward[wall]; known && p.TwoPart != nil {
		return wallWords[p.TwoPart.SideOf(p.TwoPart.Turned(out))]
	}
	return wallNames[wall]
}

// bowed are the ways out through the walls that bow, in the frame of the box that is
// poured into.
var bowed = map[string][3]float64{"front": outward["y0"], "back": outward["y1"], "left end": outward["x0"], "right end": outward["x1"]}

// bowName names a wall that bows; of a box on its side as the walls are written on.
func bowName(p *analysis.Plan, name string) string {
	if out, known := bowed[name]; known && p.TwoPart != nil {
		return p.TwoPart.SideOf(out)
	}
	return name
}

// blockSides names sides of the finished mold of two parts, which a tilt turns down.
func blockSides(t *analysis.TwoPart, walls []string) string {
	words := make([]string, len(walls))
	for i, wall := range walls {
		switch side := t.SideOf(t.Turned(outward[wall])); side {
		case analysis.FirstSide:
			words[i] = "outside of the first part"
		case analysis.SecondSide:
			words[i] = "outside of the second part"
		default:
			words[i] = side + " side"
		}
	}
	return strings.Join(words, " and the ")
}
