package main

import (
	"context"

	"github.com/spf13/cobra"

	"pourwright/analysis"
	"pourwright/mesh"
	"pourwright/render/say"
)

// solved is a job with its answers.
type solved struct {
	*analysis.Plan
	choices analysis.Choices
	style   say.Style
	solid   *mesh.Solid // scan frame
	// ofRubber are the cautions of molding alone, which come first in Cautions.
	ofRubber []string
}

// questioner is a command that asks all questions and shows some answers.
type questioner struct {
	con     *console
	globals *globals
	job     jobFlags
	ask     analysis.Questions
	part    func(*solved) any      // of plan.json
	report  func(*report, *solved) // for people
}

// newQuestionCmd returns a command that answers about one scan or job.
func newQuestionCmd(q *questioner, use, short, long, example string) *cobra.Command {
	cmd := &cobra.Command{
		Use: use, Short: short, Long: long, Example: example,
		Args: oneScan,
		RunE: func(cmd *cobra.Command, args []string) error { return q.run(cmd.Context(), args[0]) },
	}
	q.job.addScan(cmd)
	q.job.addMold(cmd)
	return cmd
}

func (q *questioner) run(ctx context.Context, arg string) error {
	c, err := q.job.choices(arg, q.globals)
	if err != nil {
		return err
	}
	s, err := q.con.solveFor(ctx, q.globals, c, q.ask)
	if err != nil {
		return err
	}
	if q.globals.json {
		err = q.con.printJSON(q.part(s))
	} else {
		r := q.con.newReport(s.style).of(s)
		q.report(r, s)
		err = r.print()
	}
	if err != nil {
		return err
	}
	return q.globals.strictly(s.Findings)
}

// solve loads the scan and asks all questions, with a progress bar.
func (con *console) solve(ctx context.Context, g *globals, c analysis.Choices) (*solved, error) {
	return con.solveFor(ctx, g, c, analysis.AskAll)
}

// solveFor asks some of them.
func (con *console) solveFor(ctx context.Context, g *globals, c analysis.Choices, what analysis.Questions) (*solved, error) {
	style, err := g.style(c.Show)
	if err != nil {
		return nil, err
	}
	b := con.newBar()
	defer b.erase()
	loaded, err := analysis.Load(ctx, c, b.tell)
	if err != nil {
		return nil, err
	}
	plan, err := analysis.AskFor(ctx, loaded, c, what, b.tell)
	if err != nil {
		return nil, err
	}
	plan.Pourwright = version
	rubber, err := rubberOf(c.Shelf, c.Rubber)
	if err != nil {
		return nil, err
	}
	return &solved{plan, c, style, loaded.Solid, c.RubberCautions(rubber)}, nil
}
