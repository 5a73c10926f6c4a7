package analysis

import (
	"fmt"
	"math"
	"pourwright/analysis/airtrap"
	"pourwright/analysis/finding"
	"pourwright/analysis/moldbox"
	"pourwright/analysis/stand"
	"pourwright/mesh"

	"gonum.org/v1/gonum/spatial/r3"
)

func (j *job) chooseStand() error {
	clearance := moldbox.DefaultClearanceMM(j.plan.Scan.TightestBoxMM[0])
	if j.choices.ClearanceMM != nil {
		clearance = *j.choices.ClearanceMM
	}
	cover := clearance + moldbox.CoverOverClearanceMM
	if j.choices.CoverMM != nil {
		cover = *j.choices.CoverMM
	}
	in := stand.Input{
		Measures: j.measures, Detail: j.detail,
		LeastSpoutMM: j.casting.LeastSpoutMM(j.measures.VolumeMM3),
		ClearanceMM:  clearance, CoverMM: cover,
		Air:      airFinder,
		Progress: func(done, total int64) { j.tell.Tell("choosing which way up", done, total) },
	}
	if j.choices.Down != nil {
		down, err := direction(*j.choices.Down)
		if err != nil {
			return err
		}
		in.Down = &down
	} else if j.rimDown != nil {
		in.Down = j.rimDown
	}
	r, err := stand.Choose(j.ctx, j.solid, in)
	if err != nil {
		return err
	}
	j.way = r.Ways[0]
	j.pose = standPose(j.way)
	j.posed = j.solid.Posed(j.pose)
	j.plan.Stand = j.describeStand(r, in.LeastSpoutMM)
	j.leastSpoutMM = in.LeastSpoutMM
	return nil
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

// airFinder prepares a mesh for the search of ways up.
func airFinder(m *mesh.Mesh, score []float32, screen bool) stand.AirFinder {
	s := airtrap.NewSurface(m)
	count := func(in airtrap.Input) stand.Air {
		in.Screen = screen
		in.PersistenceMM, in.VolumeMM3 = airtrap.DefaultPersistenceMM, airtrap.DefaultVolumeMM3
		found, err := airtrap.Find(s, in)
		if err != nil {
			return stand.Air{} // not reached: directions are unit vectors
		}
		var a stand.Air
		for _, t := range found {
			a.Count++
			a.OnDetail += float64(score[t.Vertex])
			if !t.Nested {
				a.VolumeMM3 += t.VolumeMM3
			}
		}
		return a
	}
	return func(down r3.Vec, open []int32) (cast, rubber stand.Air) {
		return count(airtrap.Input{Domain: airtrap.Inside, Up: down, Open: open}),
			count(airtrap.Input{Domain: airtrap.Outside, Up: r3.Scale(-1, down)})
	}
}

func (j *job) describeStand(r stand.Result, leastSpout float64) Stand {
	w := r.Ways[0]
	s := Stand{
		Down: array(w.Down), SpoutMM: array(w.Spout), SpoutDiameterMM: spoutDiameter(w, leastSpout),
		ContactMM: w.SpoutDiameterMM, StemMM: w.StemMM, HeightMM: w.HeightMM,
		Chosen: "search", Searched: r.Searched, Score: w.Score, Criteria: criteria(w), Why: w.Why,
		Alternatives: []Alternative{},
	}
	if j.choices.Down != nil {
		s.Chosen = "down"
	} else if j.rimDown != nil {
		s.Chosen = "rim"
	}
	for _, a := range r.Ways[1:] {
		pose := standPose(a)
		s.Alternatives = append(s.Alternatives, Alternative{
			Down: array(a.Down), SpoutMM: array(a.Spout), SpoutDiameterMM: spoutDiameter(a, leastSpout),
			StemMM: a.StemMM, HeightMM: a.HeightMM, Rotation: rows(pose), TranslationMM: array(pose.T),
			Score: a.Score, Criteria: criteria(a), Why: a.Why,
		})
	}
	return s
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
	return Criteria{Detail: c.Detail, Spout: c.Spout, CastAir: c.CastAir, RubberAir: c.RubberAir,
		RubberMass: c.RubberMass, Height: c.Height, Stability: c.Stability}
}

// standDoubts warns of what the way up brings with it.
func (j *job) standDoubts() {
	w := j.way
	at := array(j.pose.Point(w.Spout))
	tell := func(level finding.Level, text, action string) {
		j.find(finding.Finding{Question: "stand", Level: level, AtMM: &at, Text: text, Action: action})
	}
	if w.StemMM > 0 && w.SpoutDiameterMM < j.leastSpoutMM/2 {
		tell(finding.Warn, "Where the stem meets the pattern the opening is under half the least spout, so the mold fills slowly there, or foam may not pass at all.",
			"Widen the pattern there with clay to the stem's width, and trim the cast; or choose another way up.")
	}
	if w.OtherFeet > 0 {
		tell(finding.Warn, fmt.Sprintf("Besides the spout the pattern touches the board in %d more places, and each leaves a hole in the mold.", w.OtherFeet),
			"When you cast, air leaves by these holes too: keep them level with the spout and plug each as material shows in it; or choose another way up.")
	}
	if w.SpoutDetail > 0.3 {
		tell(finding.Warn, "The spout comes off on detail.",
			"Choose another way up with --down, or plan to carve that place again on each cast.")
	}
	if w.TipDeg <= 3 {
		tell(finding.Warn, "The pattern does not stand like this by itself.",
			"Screw or pin it through the board and steady its top with a bar across the box until the rubber has set.")
		return
	}
	tell(finding.Note, "Liquid rubber lifts and pushes the pattern.",
		"Glue and seal it to the board all round, and try to move it before you pour.")
}
