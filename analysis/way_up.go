package analysis

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"pourwright/analysis/airtrap"
	"pourwright/analysis/finding"
	"pourwright/analysis/moldbox"
	"pourwright/analysis/shelf"
	"pourwright/analysis/stand"
	"pourwright/mesh"

	"gonum.org/v1/gonum/spatial/r3"
)

func (j *job) chooseStand() error {
	in, err := j.standInput()
	if err != nil {
		return err
	}
	r, err := stand.Choose(j.ctx, j.solid, in)
	if err != nil {
		return err
	}
	why := ""
	if r.Ways, why, err = j.preferBed(r.Ways); err != nil {
		return err
	}
	j.way, j.ways = r.Ways[0], r.Ways[1:]
	j.pose = standPose(j.way)
	j.posed = j.solid.Posed(j.pose)
	j.plan.Stand = j.describeStand(r, in.LeastSpoutMM)
	if why != "" {
		j.plan.Stand.Chosen = "bed"
		j.plan.Stand.Why += why
	}
	j.leastSpoutMM = in.LeastSpoutMM
	return nil
}

// standInput is what the way up depends on, the maker's wishes among it.
func (j *job) standInput() (stand.Input, error) {
	clearance := moldbox.DefaultClearanceMM(j.plan.Scan.TightestBoxMM[0])
	if j.choices.ClearanceMM != nil {
		clearance = *j.choices.ClearanceMM
	}
	cover := clearance + moldbox.CoverOverClearanceMM
	if j.choices.CoverMM != nil {
		cover = *j.choices.CoverMM
	}
	mm3, depth, err := j.choices.leastAir()
	if err != nil {
		return stand.Input{}, err
	}
	in := stand.Input{
		Measures: j.measures, Detail: j.detail, DetailMM: j.plan.Scan.DetailRadiusMM,
		LeastSpoutMM: j.casting.LeastSpoutMM(j.measures.VolumeMM3),
		ClearanceMM:  clearance, CoverMM: cover, TightestMM: j.plan.Scan.TightestBoxMM,
		Air:      leastAir{mm3, depth}.finder,
		Progress: func(done, total int64) { j.tell.Tell("choosing which way up", done, total) },
	}
	if err := j.takeWishes(&in); err != nil {
		return in, err
	}
	if in.Weights, err = j.choices.standWeights(); err != nil || in.Weights[stand.Necks] == 0 {
		return in, err
	}
	in.Passage, err = j.passageFinder()
	return in, err
}

// mostStemMM is the longest stem that is still one.
const mostStemMM = 500

// takeWishes puts in what the maker decided: direction, spout and stem.
func (j *job) takeWishes(in *stand.Input) error {
	c := j.choices
	if !(c.StemMM >= 0 && c.StemMM <= mostStemMM) {
		return &Refusal{fmt.Sprintf("a stem of %.4g mm is none", c.StemMM), "Give a length up to 500 mm, or leave it out."}
	}
	in.StemMM = c.StemMM
	if c.Spout != nil {
		spout := vec(*c.Spout)
		if l := r3.Norm(spout); math.IsNaN(l) || math.IsInf(l, 0) {
			return &Refusal{"the spout's place is not a point", "Give three numbers in mm and the scan's own axes, such as --spout 12,0,40.5."}
		}
		in.Spout = &spout
	}
	in.Down = j.rimDown
	if c.Down != nil {
		down, err := direction(*c.Down)
		if err != nil {
			return err
		}
		in.Down = &down
	}
	return nil
}

// standWeights are the weights of the criteria. A mold in two parts is poured lying on
// its side, so how the pattern would stand, and what air rubber would trap then, counts
// only where it is asked for.
func (c Choices) standWeights() (stand.Weights, error) {
	w, err := weights(c.Prefer)
	if err != nil || !c.twoPart() {
		return w, err
	}
	for _, k := range []stand.Criterion{stand.RubberAir, stand.Stability} {
		if _, asked := c.Prefer[k.String()]; !asked {
			w[k] = 0
		}
	}
	return w, nil
}

// weights returns the default weights with the maker's own over them.
func weights(prefer map[string]float64) (stand.Weights, error) {
	w, wrong := stand.DefaultWeights.Preferring(prefer)
	switch {
	case wrong != "" && !slices.Contains(CriterionNames(), wrong):
		return w, &Refusal{fmt.Sprintf("%q is no criterion of the way up", wrong), "The criteria are " + strings.Join(CriterionNames(), ", ") + "."}
	case wrong != "":
		return w, &Refusal{fmt.Sprintf("the weight of %s is no number from 0", wrong), "Give one such as 2, or 0 to leave the criterion out."}
	case w == stand.Weights{}:
		return w, &Refusal{"all criteria of the way up weigh nothing, so no way is better than another", "Give at least one a weight above 0."}
	}
	return w, nil
}

// direction returns the unit vector that a maker typed, one long.
func direction(d [3]float64) (r3.Vec, error) {
	v := vec(d)
	l := r3.Norm(v)
	if !(l > 0) || math.IsInf(l, 0) {
		return v, &Refusal{"--down is not a direction", "Give three numbers that are not all zero, such as --down 0,0,-1."}
	}
	return r3.Scale(1/l, v), nil
}

// standPose moves the scan frame so that the spout is over the origin and the
// board, below a stem if there is one, is at z = 0.
func standPose(w stand.Way) mesh.Pose {
	pose := mesh.PoseDown(w.Down)
	pose.T = r3.Sub(r3.Vec{Z: w.StemMM}, pose.Dir(w.Spout))
	return pose
}

// leastAir is what of trapped air matters.
type leastAir struct{ mm3, depthMM float64 }

// finder prepares a mesh for the search of ways up. A quick one takes it that a
// post frees every trap of the cast.
func (least leastAir) finder(m *mesh.Mesh, score []float32, quick bool) stand.AirFinder {
	s := airtrap.NewSurface(m)
	var tree *mesh.Tree
	if !quick {
		tree = mesh.NewTree(m)
	}
	count := func(in airtrap.Input) stand.Air {
		in.Screen = quick
		in.PersistenceMM, in.VolumeMM3 = least.depthMM, least.mm3
		found, err := airtrap.Find(s, in)
		if err != nil {
			return stand.Air{} // not reached: directions are unit vectors
		}
		var a stand.Air
		for _, t := range found {
			a.Count++
			a.OnDetail += float64(score[t.Vertex])
			if in.Domain == airtrap.Inside && (quick || postFits(tree, t.At, in.Up)) {
				a.Vents++
			} else if !t.Nested {
				a.StayMM3 += t.VolumeMM3
			}
		}
		return a
	}
	return func(down r3.Vec, open []int32) (cast, rubber stand.Air) {
		return count(airtrap.Input{Domain: airtrap.Inside, Up: down, Open: open}),
			count(airtrap.Input{Domain: airtrap.Outside, Up: r3.Scale(-1, down)})
	}
}

// postFits tells whether a straight line from a low point of the pattern gets
// to the board: straight down, or at a slant.
func postFits(tree *mesh.Tree, at, down r3.Vec) bool {
	const offMM = 0.05 // where the line starts, so that it leaves its own surface
	x, y := mesh.Frame(down)
	for _, slant := range [...]float64{0, 20, 40} {
		out := math.Tan(slant * math.Pi / 180)
		turns := 12
		if slant == 0 {
			turns = 1
		}
		for k := range turns {
			sin, cos := math.Sincos(2 * math.Pi * float64(k) / 12)
			dir := r3.Unit(r3.Add(down, r3.Scale(out, r3.Add(r3.Scale(cos, x), r3.Scale(sin, y)))))
			if _, blocked := tree.First(r3.Add(at, r3.Scale(offMM, dir)), dir); !blocked {
				return true
			}
		}
	}
	return false
}

func (j *job) describeStand(r stand.Result, leastSpout float64) Stand {
	w := r.Ways[0]
	s := Stand{
		Down: array(w.Down), SpoutMM: array(w.Spout), SpoutDiameterMM: spoutDiameter(w, leastSpout),
		ContactMM: w.SpoutDiameterMM, StemMM: w.StemMM, HeightMM: w.HeightMM,
		Chosen: "search", Searched: r.Searched, Judged: r.Judged, ParetoCount: r.Pareto,
		Score: w.Score, Criteria: criteria(w), Weights: describeWeights(r.Weights), Figures: figures(w),
		Pareto: w.Pareto, BestAt: names(w.BestAt), Why: w.Why, Alternatives: []Alternative{},
	}
	switch {
	case j.choices.Down != nil:
		s.Chosen = "down"
	case j.rimDown != nil:
		s.Chosen = "rim"
	case j.choices.Spout != nil:
		s.Chosen = "spout"
	}
	for _, a := range r.Ways[1:] {
		pose := standPose(a)
		s.Alternatives = append(s.Alternatives, Alternative{
			Down: array(a.Down), SpoutMM: array(a.Spout), SpoutDiameterMM: spoutDiameter(a, leastSpout),
			StemMM: a.StemMM, HeightMM: a.HeightMM, Rotation: rows(pose), TranslationMM: array(pose.T),
			Score: a.Score, Criteria: criteria(a), Figures: figures(a), Pareto: a.Pareto, BestAt: names(a.BestAt), Why: a.Why,
		})
	}
	return s
}

func names(cs []stand.Criterion) []string {
	out := []string{}
	for _, c := range cs {
		out = append(out, c.String())
	}
	return out
}

func describeWeights(w stand.Weights) Weights {
	return Weights{Detail: w[stand.Detail], Spout: w[stand.Spout], CastAir: w[stand.CastAir], RubberAir: w[stand.RubberAir],
		RubberMass: w[stand.RubberMass], Height: w[stand.Height], Stability: w[stand.Stability], Necks: w[stand.Necks]}
}

func figures(w stand.Way) StandFigures {
	f := StandFigures{
		SpoutDetail: w.SpoutDetail, DetailLost: w.DetailLost, OtherContacts: w.OtherFeet,
		CastTraps: w.Cast.Count, Vents: w.Cast.Vents, CastStayMM3: w.Cast.StayMM3,
		RubberTraps: w.Rubber.Count, RubberStayMM3: w.Rubber.StayMM3, RubberMM3: w.RubberMM3, TipDeg: w.TipDeg,
		NeckMM: finite(w.NeckMM),
	}
	if f.NeckMM != nil {
		f.BehindNeckMM3 = finite(w.BehindMM3)
	}
	return f
}

// finite is nil for what is not a number, or has no end.
func finite(x float64) *float64 {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return nil
	}
	return &x
}

// spoutDiameter is the stem's where there is one.
func spoutDiameter(w stand.Way, least float64) float64 {
	if w.StemMM > 0 {
		return least
	}
	return w.SpoutDiameterMM
}

func criteria(w stand.Way) Criteria {
	c := w.Criteria
	return Criteria{Detail: c[stand.Detail], Spout: c[stand.Spout], CastAir: c[stand.CastAir], RubberAir: c[stand.RubberAir],
		RubberMass: c[stand.RubberMass], Height: c[stand.Height], Stability: c[stand.Stability], Necks: finite(c[stand.Necks])}
}

// narrowJoint warns of a narrow place between stem and pattern where nothing else was
// told of how the material gets through it.
func (j *job) narrowJoint() {
	if w := j.way; w.StemMM > 0 && w.SpoutDiameterMM < j.leastSpoutMM/2 && j.casting.Kind != shelf.Foam {
		at := array(j.pose.Point(w.Spout))
		j.find(finding.Finding{Question: "cast", Level: finding.Warn, AtMM: &at,
			Text:   "Where the stem meets the pattern the opening is under half the least spout, so the mold fills slowly there, if at all.",
			Action: "Widen the pattern there with clay to the stem's width, and trim the cast; or choose another way up."})
	}
}

// standDoubts warns of what the way up brings with it.
func (j *job) standDoubts() {
	w := j.way
	at := array(j.pose.Point(w.Spout))
	tell := func(level finding.Level, text, action string) {
		j.find(finding.Finding{Question: "stand", Level: level, AtMM: &at, Text: text, Action: action})
	}
	if w.OtherFeet > 0 {
		tell(finding.Warn, fmt.Sprintf("Besides the spout the pattern touches the board in %d more places, and each leaves a hole in the mold.", w.OtherFeet),
			"When you cast, air leaves by these holes too: keep them level with the spout and plug each as material shows in it; or choose another way up.")
	}
	if w.SpoutDetail > 0.3 {
		tell(finding.Warn, "The spout comes off on detail.",
			"Choose another way up with --down, or plan to carve that place again on each cast.")
	}
	if w.TipDeg <= 3 && !j.choices.twoPart() { // lying in clay it cannot tip
		tell(finding.Warn, "The pattern does not stand like this by itself.",
			"Steady its top with a bar across the box until the rubber has set; screw or pin it through the board only where its owner allows a hole.")
	}
}
