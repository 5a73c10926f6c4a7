package analysis

import (
	"context"
	"errors"
	"fmt"
	"math"

	"pourwright/analysis/detail"
	"pourwright/analysis/finding"
	"pourwright/mesh"
)

func (j *job) scoreDetail() error {
	r, err := DetailOf(j.ctx, j.solid, j.choices)
	if err != nil {
		return err
	}
	j.detail = r.Vertex
	j.plan.Scan.DetailRadiusMM = r.RadiusMM
	j.detailDoubts(r)
	return nil
}

// detailDoubts tells when the size that the maker asked for cannot be seen.
func (j *job) detailDoubts(r detail.Result) {
	asked := j.choices.DetailRadiusMM
	switch {
	case asked == 0:
	case r.RadiusMM > asked:
		j.find(finding.Finding{Question: "detail", Level: finding.Note,
			Text:   fmt.Sprintf("Detail of %.3g mm is too fine to look for on a part as large as this, so detail of %.2g mm was looked for.", asked, r.RadiusMM),
			Action: "Mark what matters with --keep-clear, or ask for a larger size."})
	case r.Coarse:
		j.find(finding.Finding{Question: "detail", Level: finding.Note,
			Text:   fmt.Sprintf("Most triangles of this scan are larger than %.3g mm, so it shows no detail of that size.", asked),
			Action: "Ask for a larger --detail-radius, mark what matters with --keep-clear, or scan it finer."})
	}
}

// DetailOf returns how much each vertex of a solid, in the scan frame, is worth
// protecting, as a plan with the same choices takes it. An error that the maker
// can mend has a Hint.
func DetailOf(ctx context.Context, s *mesh.Solid, c Choices) (detail.Result, error) {
	if r := c.DetailRadiusMM; !(r >= 0) || math.IsInf(r, 0) {
		return detail.Result{}, &Refusal{fmt.Sprintf("detail of %g mm cannot be looked for", r), radiusHint}
	}
	in := detail.Input{RadiusMM: c.DetailRadiusMM}
	var err error
	if in.KeepClear, err = balls(c.KeepClear, "--keep-clear"); err != nil {
		return detail.Result{}, err
	}
	if in.Plain, err = balls(c.Plain, "--plain"); err != nil {
		return detail.Result{}, err
	}
	r, err := detail.Score(ctx, s.Mesh, in)
	return r, detailRefusal(err)
}

const radiusHint = "Give about the size of the rivets, letters or cuts to protect, such as --detail-radius 2mm, or leave it out."

// balls takes what a maker typed, or wrote into a job file.
func balls(typed [][4]float64, flag string) ([]detail.Ball, error) {
	var all []detail.Ball
	for _, b := range typed {
		for _, x := range b {
			if math.IsNaN(x) || math.IsInf(x, 0) || !(b[3] > 0) {
				return nil, &Refusal{fmt.Sprintf("%s %s is not a ball", flag, ballText(b)),
					"Give its middle and a radius above zero, x,y,z,r in the scan's own axes, in mm, such as 12,0,40.5,8."}
			}
		}
		all = append(all, detail.Ball{Centre: vec([3]float64(b[:3])), RadiusMM: b[3]})
	}
	return all, nil
}

func ballText(b [4]float64) string { return fmt.Sprintf("%.6g,%.6g,%.6g,%.6g", b[0], b[1], b[2], b[3]) }

// detailRefusal words what the maker can mend.
func detailRefusal(err error) error {
	var apart *detail.Untouched
	var radius *detail.BadRadius
	switch {
	case errors.As(err, &apart):
		flag, b := "--plain", apart.Ball
		if apart.KeepClear {
			flag = "--keep-clear"
		}
		n := apart.Nearest
		text := ballText([4]float64{b.Centre.X, b.Centre.Y, b.Centre.Z, b.RadiusMM})
		return &Refusal{fmt.Sprintf("%s %s touches no surface: the nearest is %.3g mm from its middle, at %.1f,%.1f,%.1f", flag, text, apart.AwayMM, n.X, n.Y, n.Z),
			fmt.Sprintf("Move the middle there, or give a radius above %.3g; it is in the scan's own axes, in mm.", apart.AwayMM)}
	case errors.As(err, &radius):
		return &Refusal{radius.Error(), radiusHint}
	}
	return err
}
