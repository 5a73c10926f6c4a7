// Package analysis asks the mold maker's questions in order and returns the
// whole plan. Questions know nothing of each other; plain values are handed on
// here.
package analysis

import (
	"context"
	"fmt"
	"path/filepath"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis/airtrap"
	"pourwright/analysis/bow"
	"pourwright/analysis/cast"
	"pourwright/analysis/cut"
	"pourwright/analysis/finding"
	"pourwright/analysis/moldbox"
	"pourwright/analysis/pours"
	"pourwright/analysis/shelf"
	"pourwright/analysis/stand"
	"pourwright/mesh"
	"pourwright/mesh/field"
)

// job is one run through the questions. The pattern moves from the scan frame
// to the stand frame on the way.
type job struct {
	ctx     context.Context
	choices Choices
	tell    Progress
	plan    *Plan

	solid     *mesh.Solid // scan frame
	measures  mesh.Measures
	rubber    shelf.Rubber
	own       pours.Own // what the maker's pours say of it
	casting   shelf.Casting
	board     shelf.Board
	base      shelf.Board    // of the base board: board, or a stiffer one where that is thin
	pattern   *shelf.Pattern // what the original is made of; nil: not said
	shelf     *shelf.Shelf
	detail    []float32      // of each vertex
	field     *field.Field   // of solid, made when it is first asked for, see space
	passages  *cast.Passages // of solid, likewise
	fillTimes []string       // findings that only tell how long the mold takes to fill
	way       stand.Way
	ways      []stand.Way // the others that were found, best first

	rimDown      *r3.Vec // of a shell, scan frame
	leastSpoutMM float64

	pose          mesh.Pose       // scan frame to stand frame, final once the box is fitted
	posed         *mesh.Solid     // the solid so moved
	parting       cut.Result      // before the box turned it
	opened        cut.Result      // the same in the stand frame
	floor         moldbox.Floor   // inside the walls, stand frame
	onSide        *moldbox.Result // the box as it is poured in, of a mold in two parts
	bed           cut.Bed         // likewise
	outline       []r3.Vec        // corners of the pattern's hull, and the stem's rim, before the box turned it
	tree          *mesh.Tree      // of posed; use search
	scanTree      *mesh.Tree      // of solid, where there is one already
	profile       *mesh.Profile   // of posed; use belowLevel
	turn          mesh.Pose       // of the outline into the stand frame
	fillers       []moldbox.Filler
	bracing       bow.Bracing // of the walls; zero for none
	bulge         shelf.Range // what the walls give, with their bracing, mm³
	haveClearance *float64    // that the rubber on hand allows
	vents         []*airtrap.Vent

	clearanceRule, rangeRule, batchRule string // in words
}

// Questions is what is asked: a sum of the parts of a plan that are wanted.
type Questions int

// The parts that cost time of their own. What they rest on is answered as well.
const (
	AskStand Questions = 1 << iota // way up, spout, vents, necks
	AskBox                         // box, walls, what holds the pattern
	AskRubber
	AskCast // charge, weights, timetable
	AskCut  // land, key line, slit
	AskAll  = AskStand | AskBox | AskRubber | AskCast | AskCut
)

// Ask answers all questions about a loaded scan. Errors that the maker can mend
// have a Hint.
func Ask(ctx context.Context, l *Loaded, c Choices, p Progress) (*Plan, error) {
	return AskFor(ctx, l, c, AskAll, p)
}

// AskFor answers some questions only: those parts of the plan that were not asked
// for are left empty.
func AskFor(ctx context.Context, l *Loaded, c Choices, what Questions, p Progress) (*Plan, error) {
	if err := l.lookCloser(ctx, c, what, p); err != nil {
		return nil, err
	}
	if c.twoPart() && what&AskCut != 0 {
		what |= AskBox | AskRubber // its bed is told with what is poured over it
	}
	j := &job{ctx: ctx, choices: c, tell: p, solid: l.Solid, measures: l.Measures, rimDown: l.RimDown, scanTree: l.tree}
	j.plan = &Plan{
		Name:     strings.TrimSuffix(l.Scan.File, filepath.Ext(l.Scan.File)),
		Scan:     l.Scan,
		Findings: append([]finding.Finding{}, l.Findings...),
	}
	if err := j.takeFromShelf(); err != nil {
		return nil, err
	}
	for _, step := range j.steps() {
		if step.when&what == 0 {
			continue
		}
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		p.Tell(step.stage, 0, 1)
		if err := step.do(); err != nil {
			return nil, err
		}
		p.Tell(step.stage, 1, 1)
	}
	j.plan.Cautions = j.cautions()
	j.plan.Basis = j.basis()
	return j.plan, nil
}

// step is one question, and which parts of the plan need its answer.
type step struct {
	stage string
	when  Questions
	do    func() error
}

// steps lists the questions in their order.
func (j *job) steps() []step {
	return []step{
		{"looking for detail", AskAll, j.scoreDetail},
		{"choosing which way up", AskAll, j.chooseStand},
		{"choosing the cut", AskAll, j.chooseCut},
		{"fitting the box", AskAll, j.fitBox},
		{"looking for trapped air", AskAll, j.findTraps},
		{"laying the bed", AskAll, j.layBed},
		{"filling voids", AskBox | AskRubber | AskCast, j.fillBox},
		{"measuring the rubber", AskBox, j.measureRubber},
		{"bending the walls", AskBox | AskRubber | AskCast, j.bowWalls},
		{"weighing the rubber", AskBox | AskRubber | AskCast, j.weighRubber},
		{"comparing boxes", AskBox, j.compareBoxes},
		{"holding the pattern", AskBox, j.holdPattern},
		{"laying out the cut", AskCut, j.cutKeys},
		{"placing the rod", AskCast, j.placeRod},
		{"following the casting material", AskStand | AskCast, j.fillCast},
		{"weighing the cast", AskCast, j.weighCast},
	}
}

// Posed returns the loaded solid as the plan stands it, in the stand frame.
func (p *Plan) Posed(s *mesh.Solid) *mesh.Solid {
	r := p.Stand.Rotation
	return s.Posed(mesh.Pose{Rows: [3]r3.Vec{vec(r[0]), vec(r[1]), vec(r[2])}, T: vec(p.Stand.TranslationMM)})
}

// densestGPerCM3 is osmium's density (from memory).
const densestGPerCM3 = 22.6

func (j *job) takeFromShelf() error {
	s, err := shelf.Open(j.choices.Shelf)
	if err != nil {
		return err
	}
	if j.rubber, err = s.Rubber(orElse(j.choices.Rubber, shelf.DefaultRubber)); err != nil {
		return err
	}
	if j.rubber, j.own, err = OwnPours(j.rubber, pours.File()); err != nil {
		return err
	}
	if err := j.takeBoards(s); err != nil {
		return err
	}
	if err := j.choices.styleFits(); err != nil {
		return err
	}
	if j.casting, err = s.Casting(orElse(j.choices.Casting, shelf.DefaultCasting)); err != nil {
		return err
	}
	if j.choices.Pattern != "" {
		pattern, err := s.Pattern(j.choices.Pattern)
		if err != nil {
			return err
		}
		j.pattern = &pattern
	}
	if g, most := j.choices.WeightG, j.plan.Scan.MaterialMM3/1000*densestGPerCM3; g > most {
		return &Refusal{fmt.Sprintf("a part of %.0f mL cannot weigh %.0f g: that is denser than any metal", j.plan.Scan.MaterialMM3/1000, g), "Look at --weight, and at the unit of the scan."}
	}
	j.shelf = s
	j.plan.Findings = append(j.plan.Findings, materialDoubts(j.rubber, j.casting, j.pattern)...)
	return nil
}

// thinBoardMM is the thickness under which a board is no base to carry a box
// (common practice, no source).
const thinBoardMM = 9

// takeBoards takes what the walls are cut from, and the base.
func (j *job) takeBoards(s *shelf.Shelf) (err error) {
	usual := shelf.DefaultBoard
	if j.choices.Shape == moldbox.Tube || j.choices.Shape == moldbox.Faceted {
		usual = shelf.DefaultBending
	}
	if j.board, err = s.Board(orElse(j.choices.Board, usual)); err != nil {
		return err
	}
	j.base = j.board
	if j.board.ThicknessMM < thinBoardMM {
		j.base, err = s.Board(shelf.DefaultBoard)
	}
	return err
}

func orElse(s, other string) string {
	if s == "" {
		return other
	}
	return s
}
