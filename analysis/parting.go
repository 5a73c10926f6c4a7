package analysis

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis/cut"
	"pourwright/analysis/moldbox"
	"pourwright/mesh"
)

// outlineStepMM is the least distance between points of the outline in the
// plan; the scan's own are often much closer.
const outlineStepMM = 0.3

func (j *job) chooseCut() error {
	f, err := j.space()
	if err != nil {
		return err
	}
	r, err := cut.Choose(j.ctx, j.posed, cut.Input{
		Axis: j.pose.Point(j.way.Spout), Centroid: j.pose.Point(j.measures.Centroid), Detail: j.detail,
		VolumeMM3: j.measures.VolumeMM3, AreaMM2: j.measures.AreaMM2,
		TwoPart: j.choices.twoPart(), SpoutMM: j.way.SpoutDiameterMM, ClearanceMM: moldbox.DefaultClearanceMM(j.plan.Scan.TightestBoxMM[0]),
		Space:    cut.Space{Field: f, Pose: j.pose.Inverse()},
		Progress: func(done, total int64) { j.tell.Tell("choosing the cut", done, total) },
	})
	if err != nil {
		return err
	}
	j.parting = r
	return nil
}

// describeCut moves the parting sheet by turn into the stand frame.
func (j *job) describeCut(turn mesh.Pose) Cut {
	j.opened = j.parting.Moved(turn)
	r := &j.opened
	c := Cut{
		PointMM: array(r.Point), Normal: array(r.Normal), OutlineMM: r.OutlineMM, Outline: [][][3]float64{},
		DetailCrossed: r.DetailCrossed, UndercutMM3: r.UndercutMM3, Searched: r.Searched,
		Style: j.choices.style(), Surface: "plane", Steps: []CutStep{}, ThroughSpout: r.ThroughSpout, SquareDeg: r.Square,
		Score: r.Score, Criteria: CutCriteria(r.Criteria), Links: describeLinks(r),
		Land: []CutLine{}, KeyLine: [][3]float64{}, KeyDepthsMM: []float64{}, KeyLines: []KeyLine{}, Rim: [][3]float64{}, Knife: []KnifeMark{},
	}
	for _, l := range r.Outline {
		c.Outline = append(c.Outline, thinned(l.Points, true))
	}
	if r.Shape != nil {
		c.Surface = "shaped"
	}
	if r.Stepped() {
		along := array(r.Along())
		c.Surface, c.StepsAlong = "stepped", &along
		for _, s := range r.Steps {
			c.Steps = append(c.Steps, CutStep(s))
		}
	}
	return c
}

// describeLinks puts what stays linked into the plan.
func describeLinks(r *cut.Result) []CutLink {
	out := []CutLink{}
	for _, l := range r.Links {
		out = append(out, CutLink{Side: 2*l.Side - 1, Half: r.Half(l.Side), AtMM: array(l.At), WidthMM: l.WidthMM})
	}
	return out
}

// cutKeys lays land, key line and least slit on the cut, now that the block is
// known, and takes the undercut from the pattern itself.
func (j *job) cutKeys() error {
	r, c := &j.opened, &j.plan.Cut
	r.Exact(j.posed.Mesh, j.search())
	c.UndercutMM3, c.UndercutDepthMM, c.Why = r.UndercutMM3, r.DepthMM, r.Why()
	if j.choices.twoPart() {
		return nil // nothing is cut: see layBed
	}
	var err error
	if c.LandMM, err = j.choices.land(); err != nil {
		return err
	}
	p, err := r.Place(j.ctx, j.posed, cut.Placing{
		Tree: j.search(), Room: j.block(), LandMM: c.LandMM, Opening: j.opening(), Rubber: j.rubber,
	})
	if err != nil {
		return err
	}
	c.Why = r.Why() // with what the block gives
	j.describePlaced(p)
	j.plan.Findings = append(j.plan.Findings, p.Findings...)
	return nil
}

// land is how wide the straight part beside the pattern is.
func (c Choices) land() (float64, error) {
	if c.LandMM == 0 {
		return cut.DefaultLandMM, nil
	}
	if least, most := cut.LandLimits(); !(c.LandMM >= least && c.LandMM <= most) {
		return 0, &Refusal{fmt.Sprintf("a land of %.3g mm is of no use", c.LandMM), fmt.Sprintf("Give from %g to %g mm; 5mm is usual.", least, most)}
	}
	return c.LandMM, nil
}

// roundCorners is how many corners stand for a tube.
const roundCorners = 360

// block is the rubber's outline, and the stem and the posts in it.
func (j *job) block() cut.Room {
	room := cut.Room{Floor: j.floor.Outline, LevelMM: j.plan.Box.RubberLevelMM}
	if r := j.floor.RadiusMM; r > 0 {
		room.Floor = nil
		for k := range roundCorners {
			sin, cos := math.Sincos(2 * math.Pi * float64(k) / roundCorners)
			room.Floor = append(room.Floor, r2.Vec{X: r * cos, Y: r * sin})
		}
	}
	if s := j.plan.Stand; s.StemMM > 0 {
		top := j.pose.Point(j.way.Spout)
		room.Rods = append(room.Rods, cut.Rod{From: top, To: r3.Vec{X: top.X, Y: top.Y}, RadiusMM: s.SpoutDiameterMM / 2})
	}
	for i, v := range j.vents {
		if v != nil && slices.Index(j.vents, v) == i {
			room.Rods = append(room.Rods, cut.Rod{From: v.From, To: v.To, RadiusMM: v.DiameterMM / 2})
		}
	}
	return room
}

// opening is what the pattern has to come out by.
func (j *job) opening() cut.Opening {
	o := cut.Opening{Spout: j.pose.Point(j.way.Spout), Detail: j.detail}
	if s := j.plan.Stand; s.StemMM > 0 {
		o.StemMM = s.SpoutDiameterMM
	}
	// Euler's formula: corners − edges + faces = 2·shells − 2·handles.
	handles := j.plan.Scan.Shells - (len(j.posed.Vertices)-len(j.posed.Faces)/2)/2
	o.Holed = handles > 0
	return o
}

// describePlaced puts what lies on the cut into the plan.
func (j *job) describePlaced(p cut.Placed) {
	c := &j.plan.Cut
	for _, l := range p.Land {
		c.Land = append(c.Land, CutLine{thinned(l.Points, l.Closed), l.Closed})
	}
	longest := 0
	for _, k := range p.Keys {
		line := KeyLine{Points: arrays(k.Points), Closed: k.Closed, PitchMM: k.Pitch}
		for _, w := range k.Waves {
			line.Waves = append(line.Waves, KeyWave{array(w.At), w.AmplitudeMM, w.DepthMM})
		}
		c.KeyLines = append(c.KeyLines, line)
		if len(line.Points) > len(c.KeyLines[longest].Points) {
			longest = len(c.KeyLines) - 1
		}
	}
	if len(c.KeyLines) > 0 {
		c.KeyLine = c.KeyLines[longest].Points
		for _, w := range c.KeyLines[longest].Waves {
			c.KeyDepthsMM = append(c.KeyDepthsMM, w.DepthMM)
		}
	}
	for _, k := range p.Knife {
		c.Knife = append(c.Knife, KnifeMark{array(k.At), k.ToLandMM, k.PatternMM})
	}
	c.AreaMM2 = p.RubberMM2
	c.Rim, c.HalvesMM3 = arrays(p.Rim), &p.HalvesMM3
	j.describeSlit(p)
}

func (j *job) describeSlit(p cut.Placed) {
	c, s := &j.plan.Cut, p.Slit
	c.SlitMM = s.MM
	c.Slit = Slit{Full: s.Full != "", Path: thinned(s.Path, false), RimMM: s.RimMM, GirthMM: s.GirthMM, GirthAtMM: s.AtMM}
	c.Stretch = CutStretch{Without: p.Stretch.Without, Allowed: p.Stretch.Allowed, Guessed: p.Stretch.Guessed}
	if c.Slit.Full {
		because := s.FullBecause()
		c.Slit.Because = &because
		return
	}
	c.Stretch.Needed, c.Stretch.Straight = &p.Stretch.Needed, &p.Stretch.Straight
	if n := p.Stretch.NickMM; n > 0 && !math.IsInf(n, 0) {
		c.Tear = &Tear{NickMM: n, StressMPa: p.Stretch.StressMPa}
	}
	c.Hinge = &Hinge{LengthMM: s.HingeMM, Path: thinned(s.Hinge, false)}
	if p.Stop != nil {
		c.Hinge.Stop, c.Hinge.Square = &[2][3]float64{array(p.Stop[0]), array(p.Stop[1])}, p.Square
	}
}

func arrays(points []r3.Vec) [][3]float64 {
	out := [][3]float64{}
	for _, p := range points {
		out = append(out, array(p))
	}
	return out
}

// thinned leaves out points that are too close; the last of an open line stays.
func thinned(points []r3.Vec, closed bool) [][3]float64 {
	out := [][3]float64{}
	var last r3.Vec
	for i, p := range points {
		if i == 0 || !closed && i == len(points)-1 || r3.Norm(r3.Sub(p, last)) >= outlineStepMM {
			out = append(out, array(p))
			last = p
		}
	}
	return out
}

// waves counts those that there is rubber for.
func (c *Cut) waves() int {
	n := 0
	for _, k := range c.KeyLines {
		for _, w := range k.Waves {
			if w.AmplitudeMM > 0 {
				n++
			}
		}
	}
	return n
}

// cutBasis traces the numbers of the cut.
func (j *job) cutBasis() []Basis {
	c := j.plan.Cut
	if t := j.plan.TwoPart; t != nil {
		return j.bedBasis(t)
	}
	out := []Basis{
		{"cut.normal", fmt.Sprintf("%d cuts through the spout and beside it", c.Searched),
			"highest weighted mean of the criteria: detail 3, undercut 2, nearness to the middle of the pattern 1, shallow halves 1, rubber for keys 1, seam 0.5, rubber to cut 0.5, all divided by 1.4 and 0.05 more for each place where rubber stays linked round the part; a plane that leans and a stepped sheet must be better by 0.05, one beside the spout by 0.08 (common practice, no source)"},
		{"cut.links", fmt.Sprintf("%d places; the part's surface on a grid of %.2f mm, a little thickened", len(c.Links), j.field.VoxelMM),
			"loops in the rubber of each half that cannot be drawn together (first Betti number, by the Euler characteristic), the fewest with the cut where it is and moved by 1.5 mm either way; width: twice the distance from the part where the rubber of each closes last"},
		{"cut.undercut_mm3", "lines along the pull through the scan's own triangles", "along each line, from the cut to the last exit, less what is inside the pattern"},
		{"cut.land_mm", "the outline in the cut", "distance on the cut, 5 mm unless another is asked for (common practice, no source)"},
		{"cut.key_line", fmt.Sprintf("%d waves", c.waves()),
			"10 mm high over the edge of the land, 25 mm long, 6 mm off the cut, less where rubber is short; heights are told over a straight line from trough to trough, which is more round a corner of the part and less in a nook; at least 5 mm from the pattern, openings and the outside everywhere (common practice, no source)"},
	}
	if len(c.Rim) == 0 { // not asked for
		return out[:1]
	}
	rule := "the rim of every section on the way out, and twice the slit beyond it, stretched as allowed, goes round all wider sections above (convex-hull perimeters); allowed: elongation at break / 4 of tin-cure, / 3 of platinum-cure rubber (from memory)"
	out = append(out, Basis{"cut.slit_mm", fmt.Sprintf("spout rim %.0f mm, widest girth %.0f mm, rubber stretched by %.0f %% at most", c.Slit.RimMM, c.Slit.GirthMM, 100*c.Stretch.Allowed), rule})
	if c.Tear != nil {
		out = append(out, Basis{"cut.tear.nick_mm", fmt.Sprintf("tear strength and hardness of %s", j.rubber.Name),
			"an indication: T = 2kWc (Rivlin & Thomas, 1953; Greensmith, 1963; from memory), modulus by hardness (Gent, 1958, from memory); a data sheet's tear strength is no tearing energy"})
	}
	return out
}
