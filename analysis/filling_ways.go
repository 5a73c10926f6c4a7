package analysis

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis/cast"
	"pourwright/analysis/shelf"
	"pourwright/analysis/stand"
	"pourwright/mesh"
)

// otherWays is how many of the other ways up are tried as ways to fill.
const otherWays = 3

// adviseCast lists ways to fill the mold with the time of each.
func (j *job) adviseCast(p *cast.Passages, planned wayIn, ends []cast.End, in cast.Input) {
	var others []cast.Otherwise
	if o, ok := j.tilted(p, planned, in); ok {
		others = append(others, o)
	}
	for _, w := range j.elsewhere(ends) {
		// Another tilt of the same end is no other end.
		if r3.Norm(r3.Sub(w.Spout, j.way.Spout)) < j.leastSpoutMM+j.way.SpoutDiameterMM {
			continue
		}
		contact := w.SpoutDiameterMM
		w.SpoutDiameterMM = max(contact, min(p.WidthAt(w.Spout, j.leastSpoutMM), j.leastSpoutMM))
		necks, reached := p.From(w.Spout, w.SpoutDiameterMM)
		if reached < (1-unseenShare)*j.measures.VolumeMM3-in.UnseenMM3 {
			continue
		}
		other := wayIn{way: w, pose: standPose(w), stemMM: max(w.SpoutDiameterMM, j.leastSpoutMM)}
		other.throatMM, other.end = p.RoughThroat(w.Spout, r3.Scale(-1, w.Down), w.SpoutDiameterMM)
		o := cast.Otherwise{Kind: cast.OtherEnd, Input: j.castingInput(p, other, necks)}
		o.Text = "Pour from another end"
		if contact < w.SpoutDiameterMM {
			o.Text += fmt.Sprintf(", built up with clay to %.0f mm where the stem meets it (without the clay it is slower)", w.SpoutDiameterMM)
		}
		o.Text += fmt.Sprintf(": plan it with --down %.3f,%.3f,%.3f.", w.Down.X, w.Down.Y, w.Down.Z)
		at := j.pose.Point(w.Spout)
		o.At = &at
		others = append(others, o)
	}
	for _, a := range cast.Advise(in, others) {
		d := CastAdvice{Kind: a.Kind, Text: a.Text, Passes: a.Quick, Verdict: a.Verdict}
		if a.Seconds != nil {
			d.FillS = spreadOf(*a.Seconds)
		}
		if a.Open {
			d.Verdict = cast.Doubtful
		}
		if a.At != nil {
			at := array(*a.At)
			d.AtMM = &at
		}
		j.plan.Cast.Advice = append(j.plan.Cast.Advice, d)
	}
}

// elsewhere lists other places for the spout: those of other ways up, the side
// opposite to the spout, and the end that is farthest from it.
func (j *job) elsewhere(ends []cast.End) []stand.Way {
	var out []stand.Way
	out = append(out, j.ways[:min(otherWays, len(j.ways))]...)
	downs := []r3.Vec{r3.Scale(-1, j.way.Down)}
	if len(ends) > 0 {
		downs = append(downs, ends[0].Out, r3.Sub(ends[0].At, j.measures.Centroid), r3.Sub(ends[0].At, j.way.Spout))
	}
	for _, down := range downs {
		if l := r3.Norm(down); l > 0 {
			out = append(out, j.onTip(r3.Scale(1/l, down)))
		}
	}
	return out
}

// onTip stands the pattern on a stem under its lowest place; how wide it is there is
// left open.
func (j *job) onTip(down r3.Vec) stand.Way {
	spout, most := r3.Vec{}, math.Inf(-1)
	for _, v := range j.solid.Vertices {
		if d := r3.Dot(down, v); d > most {
			spout, most = v, d
		}
	}
	return stand.Way{Spout: spout, Down: down, StemMM: stand.StemMM}
}

// tilted is the filling with the block propped up as it frees most air.
func (j *job) tilted(p *cast.Passages, w wayIn, in cast.Input) (cast.Otherwise, bool) {
	t := j.plan.Air.Tilt.Cast
	if t == nil || t.Deg == 0 || j.casting.Kind == shelf.Foam {
		return cast.Otherwise{}, false
	}
	// Gravity turns toward the side that goes down; it is +z when the block is level.
	sin, cos := math.Sincos(t.Deg * math.Pi / 180)
	down := r3.Add(r3.Scale(cos, r3.Vec{Z: 1}), r3.Scale(sin, vec(t.Toward)))
	x, y := mesh.Frame(down)
	lean := mesh.Pose{Rows: [3]r3.Vec{x, y, down}}
	rim := j.spoutOnBoard()
	lean.T = r3.Scale(-1, lean.Dir(rim))
	w.pose = w.pose.Then(lean)
	necks := make([]cast.Neck, len(in.Necks))
	for i, n := range in.Necks {
		n.At, n.Along = j.pose.Inverse().Point(n.At), j.pose.Inverse().Dir(n.Along)
		necks[i] = n
	}
	return cast.Otherwise{Kind: cast.Tilted, Wanted: true, Input: j.castingInput(p, w, necks),
		Text: fmt.Sprintf("Tilted by %g° with %s down, as it frees most air, and kept full to the rim.", t.Deg, sideWords(t.Side))}, true
}
