package analysis

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis/airtrap"
	"pourwright/analysis/finding"
)

// tiltCast looks for the tilt of the block that frees the air which no post
// does, and returns which traps of the pour it frees.
func (j *job) tiltCast(s *airtrap.Surface, p pour) ([]bool, error) {
	frees := make([]bool, len(p.traps))
	in := p.in
	in.Open = slices.Clone(in.Open)
	for i, v := range j.vents {
		if v != nil {
			in.Open = append(in.Open, v.Foot, p.traps[i].Vertex)
		}
	}
	left, err := airtrap.Find(s, in)
	if err != nil || len(left) == 0 {
		return frees, err
	}
	t, err := airtrap.LeastTilt(j.ctx, s, airtrap.Tilting{Input: in, Limit: j.spoutRim}, left)
	if err != nil {
		return nil, err
	}
	d := j.describeTilt(t)
	for i, trap := range p.traps {
		k := slices.IndexFunc(left, func(l airtrap.Trap) bool { return l.Vertex == trap.Vertex })
		if frees[i] = k >= 0 && t.Frees[k]; frees[i] {
			d.Frees = append(d.Frees, i)
		}
	}
	d.PlugOrder = j.plugOrder(t.Up)
	j.plan.Air.Tilt.Cast = d
	return frees, nil
}

// tiltRubber looks for the tilt of the box that frees the air under the
// pattern, and returns which traps of the pour it frees.
func (j *job) tiltRubber(s *airtrap.Surface, p pour) ([]bool, error) {
	if len(p.traps) == 0 {
		return nil, nil
	}
	t, err := airtrap.LeastTilt(j.ctx, s, airtrap.Tilting{Input: p.in, Limit: j.wallRim}, p.traps)
	if err != nil {
		return nil, err
	}
	d := j.describeTilt(t)
	for i, free := range t.Frees {
		if free {
			d.Frees = append(d.Frees, i)
		}
	}
	j.plan.Air.Tilt.Rubber = d
	return t.Frees, nil
}

// spoutRim is the level, along an up of the block, at which casting material
// runs out over the lowest place of the spout's rim.
func (j *job) spoutRim(up r3.Vec) float64 {
	return r3.Dot(up, j.spoutOnBoard()) - j.plan.Stand.SpoutDiameterMM/2*math.Hypot(up.X, up.Y)
}

// wallRim is the level, along an up of the box, at which rubber runs out over
// the lowest corner of the walls.
func (j *job) wallRim(up r3.Vec) float64 {
	return up.Z*j.plan.Box.WallHeightMM - j.floor.ReachMM(r2.Vec{X: -up.X, Y: -up.Y})
}

// plugOrder lists the posts whose holes end below the spout's rim in a tilted
// block, lowest first: in that order material shows in them.
func (j *job) plugOrder(up r3.Vec) []int {
	type hole struct {
		post  int
		level float64
	}
	var low []hole
	for i, v := range j.vents {
		if v == nil || slices.Index(j.vents, v) < i {
			continue
		}
		if h := r3.Dot(up, v.To); h < j.spoutRim(up) {
			low = append(low, hole{j.plan.CastTrap[i].Vent.Post, h})
		}
	}
	slices.SortFunc(low, func(a, b hole) int { return cmp.Or(cmp.Compare(a.level, b.level), cmp.Compare(a.post, b.post)) })
	order := []int{}
	for _, h := range low {
		order = append(order, h.post)
	}
	return order
}

// describeTilt puts a tilt in the plan, but for what depends on the pour.
func (j *job) describeTilt(t airtrap.Tilt) *Tilt {
	d := &Tilt{Deg: t.Deg, Toward: array(t.Toward), Side: []string{}, Frees: []int{}, PlugOrder: []int{},
		BeforeMM3: t.BeforeMM3, FreedMM3: t.BeforeMM3 - t.LeftMM3, LeftMM3: t.LeftMM3}
	if t.Deg > 0 {
		toward := r2.Vec{X: t.Toward.X, Y: t.Toward.Y}
		across := j.floor.ReachMM(toward) + j.floor.ReachMM(r2.Scale(-1, toward))
		d.LiftMM = across * math.Sin(t.Deg*math.Pi/180)
		d.BearingDeg = bearing(t.Toward)
		d.Side = sides(d.BearingDeg)
	}
	return d
}

// bearing is the direction of v along the board, degrees from x1 (+x)
// counter-clockwise as seen from above, 0 to 360.
func bearing(v r3.Vec) float64 {
	deg := math.Atan2(v.Y, v.X) * 180 / math.Pi
	if deg < 0 {
		deg += 360
	}
	return deg
}

// sides names the wall that a bearing points at, or the two walls of a corner.
func sides(bearingDeg float64) []string {
	walls := [4]string{"x1", "y1", "x0", "y0"}
	k := int(math.Round(bearingDeg / 22.5))
	switch k % 4 {
	case 0:
		return []string{walls[k/4%4]}
	default:
		return []string{walls[k/4%4], walls[(k/4+1)%4]}
	}
}

// sideWords names walls as they are seen from above, +x to the right.
func sideWords(walls []string) string {
	names := map[string]string{"x0": "left end", "x1": "right end", "y0": "front", "y1": "back"}
	var words []string
	for _, w := range walls {
		words = append(words, names[w])
	}
	if len(words) == 2 {
		return "the corner of the " + strings.Join(words, " and the ")
	}
	return "the " + words[0]
}

// words says how to tilt what (the box, the block) in one or two sentences.
func (t *Tilt) words(what, doing string) string {
	s := fmt.Sprintf("Tilt %s %g° with %s down while %s until the place is covered, then set it level and go on.",
		what, t.Deg, sideWords(t.Side), doing)
	if len(t.PlugOrder) > 0 {
		s += fmt.Sprintf(" Plug the vents in the order %s as material shows in them.", strings.ReplaceAll(strings.Trim(fmt.Sprint(t.PlugOrder), "[]"), " ", ", "))
	}
	return s
}

// tiltDoubt tells of a tilt that frees no trap altogether, but much of the air.
func (j *job) tiltDoubt(t *Tilt, what, doing string) {
	if t == nil || t.Deg == 0 || len(t.Frees) > 0 {
		return
	}
	j.find(finding.Finding{Question: "airtrap", Level: finding.Note,
		Text:   fmt.Sprintf("A tilt while %s frees %.1f of the %.1f mL of air that are trapped.", doing, t.FreedMM3/1000, t.BeforeMM3/1000),
		Action: t.words(what, doing)})
}

// describeRemedy says what frees a trap of the rubber.
func (j *job) describeRemedy(r airtrap.Remedy) *Remedy {
	d := &Remedy{Way: string(r.Way)}
	switch r.Way {
	case airtrap.BySeal:
		d.Text = "Fill this hollow with clay, level with the board, or glue and seal its rim all round; casts come out filled there."
	case airtrap.ByTilt:
		d.Text = j.plan.Air.Tilt.Rubber.words("the box", "pouring")
	case airtrap.ByBrush:
		d.Text = "Brush the first rubber into it before you pour, and let no bubble stay under it."
	case airtrap.ByTube:
		mouth := array(r.Mouth)
		d.MouthMM = &mouth
		d.Text = "Hold the end of a thin tube at its top, lead the tube out under its rim and up above the rubber, and pour slowly: rubber fills it from below and the air leaves by the tube."
	case airtrap.ByDrill:
		out := array(r.Out)
		d.OutMM, d.DrillMM = &out, &r.Drill
		d.Text = "If the pattern may be drilled, a thin hole straight up from its top lets the air out; else choose another way up."
	default:
		d.Text = "Fill it with clay and carve it on the casts, or choose another way up: no brush, tube or straight hole gets there."
	}
	return d
}
