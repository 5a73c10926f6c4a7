package analysis

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis/cast"
	"pourwright/analysis/shelf"
	"pourwright/analysis/stand"
	"pourwright/mesh"
)

// passageFinder returns what tells of the narrowest way through the pattern from
// a spout of that diameter around a point of the scan frame: the diameter of the
// neck that holds the filling up most, by the volume behind it over the cube of
// its diameter, and that volume. Without a neck the diameter is infinite and the
// volume 0. It takes some microseconds and is safe for concurrent use.
func (j *job) passageFinder() (func(spout r3.Vec, diameterMM float64) (narrowestMM, behindMM3 float64), error) {
	p, err := j.findPassages()
	if err != nil {
		return nil, err
	}
	return func(spout r3.Vec, diameterMM float64) (float64, float64) {
		necks, _ := p.From(spout, diameterMM)
		narrowest, behind, worst := math.Inf(1), 0.0, 0.0
		for _, n := range necks {
			if slow := n.BehindMM3 / (n.DiameterMM * n.DiameterMM * n.DiameterMM); slow > worst {
				narrowest, behind, worst = n.DiameterMM, n.BehindMM3, slow
			}
		}
		return narrowest, behind
	}, nil
}

// findPassages returns the pattern's passages, found once.
func (j *job) findPassages() (*cast.Passages, error) {
	if j.passages != nil {
		return j.passages, nil
	}
	f, err := j.space()
	if err != nil {
		return nil, err
	}
	p, err := cast.NewPassages(j.ctx, f)
	if err != nil {
		return nil, err
	}
	if err := p.Refine(j.ctx, j.solid.Mesh); err != nil {
		return nil, err
	}
	j.passages = p
	return p, nil
}

// fillCast finds the necks and how long the mold takes to fill, so and otherwise.
func (j *job) fillCast() error {
	p, err := j.findPassages()
	if err != nil {
		return err
	}
	necks, reached := p.From(j.way.Spout, j.way.SpoutDiameterMM)
	planned := j.asPlanned(p)
	in := j.castingInput(p, planned, necks)
	in.Bores = j.bores(p, necks)
	if unseen := j.measures.VolumeMM3 - reached; unseen > unseenShare*j.measures.VolumeMM3 {
		in.UnseenMM3 = unseen
	}
	r := cast.Judge(in)
	j.plan.Findings, j.fillTimes = append(j.plan.Findings, r.Findings...), r.Times
	if r.Pour == nil && r.Filling == nil {
		j.narrowJoint()
	}
	j.plan.Cast = j.describeCast(in, r)
	ends := p.Ends(j.way.Spout, j.way.SpoutDiameterMM)
	j.findTips(p, ends, in, r)
	j.adviseCast(p, planned, ends, in)
	return nil
}

// unseenShare is the least share of the pattern that counts as out of reach.
const unseenShare = 0.01

// wayIn is one way to fill the mold.
type wayIn struct {
	way      stand.Way
	pose     mesh.Pose // of the scan frame into one in which z is the depth under the spout's rim
	stemMM   float64   // how wide the stem is, if there is one
	throatMM float64   // how far into the pattern it goes on as wide
	end      r3.Vec    // where that ends, scan frame
}

// asPlanned is the way of the plan, in the stand frame: the block stands on its head.
func (j *job) asPlanned(p *cast.Passages) wayIn {
	w := wayIn{way: j.way, pose: j.pose, stemMM: j.plan.Stand.SpoutDiameterMM}
	w.throatMM, w.end = p.Throat(j.solid.Mesh, j.way.Spout, r3.Scale(-1, j.way.Down), j.way.SpoutDiameterMM)
	return w
}

// castingInput turns the passages to the frame of a way in.
func (j *job) castingInput(p *cast.Passages, w wayIn, necks []cast.Neck) cast.Input {
	in := cast.Input{
		Material: j.casting, VoxelMM: j.field.VoxelMM, OneBody: j.plan.Scan.Shells == 1,
		Spout:   []cast.Channel{{DiameterMM: w.way.SpoutDiameterMM, LengthMM: w.throatMM}},
		SpoutAt: w.pose.Point(w.way.Spout), SpoutEnds: w.pose.Point(w.end).Z,
	}
	if w.way.StemMM > 0 {
		in.Spout = append(in.Spout, cast.Channel{DiameterMM: w.stemMM, LengthMM: w.way.StemMM})
	}
	depths := p.Depths(w.pose.Rows[2], w.pose.T.Z)
	in.All = depths.Layers(nil)
	for _, n := range necks {
		in.Behind = append(in.Behind, depths.Layers(n.Rooms))
		n.At, n.Along = w.pose.Point(n.At), w.pose.Dir(n.Along)
		in.Necks = append(in.Necks, n)
	}
	return in
}

func (j *job) describeCast(in cast.Input, r cast.Result) Cast {
	c := Cast{Material: j.casting.Key, CavityMM3: j.measures.VolumeMM3, Necks: []Neck{}, Tips: []CastTip{}, Advice: []CastAdvice{},
		ViscosityPS: spreadOf(j.casting.ViscosityPaS), WorkingS: known(j.casting.WorkingS), AllowedS: known(r.AllowedS),
		Passes: r.Quick, UnseenMM3: in.UnseenMM3}
	for _, r := range j.rods() {
		c.CavityMM3 += r.volume()
	}
	if r.Seconds != nil {
		c.FillS = spreadOf(*r.Seconds)
	}
	c.Spout = j.describeSpout(r)
	c.Spout.FillS, c.Spout.Reynolds, c.Spout.Passes = describeFilling(r.Filling)
	for i, n := range in.Necks {
		neck := Neck{DiameterMM: n.DiameterMM, AreaMM2: known(n.AreaMM2), PerimeterMM: known(n.PerimeterMM), LengthMM: known(n.LengthMM),
			DoubtMM: n.DoubtMM + j.noiseDoubtMM(), AtMM: array(n.At), Along: array(n.Along), BehindMM3: n.BehindMM3, HeadMM: n.OutletZ()}
		if n.After >= 0 {
			neck.After = &n.After
		}
		neck.FillS, neck.Reynolds, neck.Passes = describeFilling(r.Necks[i])
		if f := r.Rises[i]; f != nil {
			neck.Foam = &NeckFoam{PassMM3: f.PassMM3, Back: f.Back, TakesS: Spread(f.TakesS), AllowedS: Spread(f.AllowedS), Verdict: f.Verdict, WidenMM: known(f.WidenMM)}
		}
		c.Necks = append(c.Necks, neck)
	}
	return c
}

// describeSpout gives both widths of the spout, and how foam gets in.
func (j *job) describeSpout(r cast.Result) CastSpout {
	s := CastSpout{RimMM: j.way.SpoutDiameterMM, JointMM: j.way.SpoutDiameterMM, DiameterMM: r.Spout.DiameterMM, LengthMM: r.Spout.LengthMM, WidenMM: known(r.WidenMM)}
	if j.way.StemMM > 0 {
		s.RimMM = j.plan.Stand.SpoutDiameterMM
	}
	if p := r.Pour; p != nil {
		s.Foam = &SpoutFoam{LiquidMM3: p.LiquidMM3, CreamS: p.CreamS, AllowedS: p.AllowedS, Verdict: p.Verdict, LeastMM: p.LeastMM}
		if p.TakesS != nil {
			s.Foam.TakesS = spreadOf(*p.TakesS)
		}
	}
	return s
}

// noiseDoubtMM is how much too small a scan's noise makes an inscribed ball: both
// sides of it rest on the corners that came out farthest inside, 2.5 standard
// deviations of them.
func (j *job) noiseDoubtMM() float64 {
	if noise := j.plan.Scan.NoiseMM; noise != nil {
		return 2 * 2.5 * *noise
	}
	return 0
}

// describeFilling words a filling time with the keys of the plan; all unknown without one.
func describeFilling(f *cast.Filling) (seconds *Spread, reynolds *float64, passes *bool) {
	if f == nil {
		return nil, nil, nil
	}
	if !f.Creeping {
		return nil, &f.Reynolds, nil
	}
	return spreadOf(f.Seconds), &f.Reynolds, &f.Quick
}

// known returns nil for 0, which stands for not known.
func known(x float64) *float64 {
	if x == 0 {
		return nil
	}
	return &x
}

func spreadOf(r shelf.Range) *Spread {
	if r == (shelf.Range{}) {
		return nil
	}
	return &Spread{Low: r.Low, Likely: r.Likely, High: r.High}
}

// castBasis traces the numbers of the casting.
func (j *job) castBasis() []Basis {
	c := j.plan.Cast
	if c.Material == "" {
		return nil // it was not asked for
	}
	out := []Basis{
		{"cast.cavity_mm3", fmt.Sprintf("pattern %.0f mm³, stem and vents %.0f mm³", j.plan.Scan.EnvelopeMM3, c.CavityMM3-j.plan.Scan.EnvelopeMM3), "sum"},
		{"cast.necks", fmt.Sprintf("distances from the surface on a grid of %.2f mm, then the scan's own triangles", j.field.VoxelMM),
			"the widest ways from the spout to everywhere (maximum spanning tree; Pollack, 1960, from memory); places under 0.7 of the clearance on either side with at least 1 % of the volume behind them (common practice, no source)"},
	}
	if c.FillS != nil {
		out = append(out, Basis{"cast.fill_s", fmt.Sprintf("%.2g to %.2g Pa·s, %.2f g/cm³: %s", c.ViscosityPS.Low, c.ViscosityPS.High, j.casting.DensityGPerCM3.Likely, j.casting.Basis),
			"slow flow with losses at both ends (Sampson, 1891; Dagan, Weinbaum & Pfeffer, 1982; Muzychka & Yovanovich, 2009; from memory), spout full to 10 mm over its rim, no more than 50 mL poured in a second (common practice, no source)"})
	}
	if c.AllowedS != nil {
		out = append(out, Basis{"cast.allowed_s", fmt.Sprintf("working time %.0f s: %s", *c.WorkingS, j.casting.Basis), "a third of it, and half of that since the material thickens (common practice, no source)"})
	}
	if len(c.Tips) > 0 {
		out = append(out, Basis{"cast.tips", fmt.Sprintf("%d ends, the volume of the pattern under the height of each, spout up", len(c.Tips)),
			"local tops of the distance from the spout inside the pattern that stick out farther than they are wide (persistence; chamfer distance 3-4-5, within 8 %), and closed tops of at least 0.5 % of the pattern or 5 mL (common practice, no source); what a neck holds up comes after all that is before it"})
	}
	if slices.ContainsFunc(c.Necks, func(n Neck) bool { return n.Foam != nil }) {
		out = append(out, Basis{"cast.necks.foam", fmt.Sprintf("rises for %.0f to %.0f s: %s", j.casting.RiseS.Low, j.casting.RiseS.High, j.casting.Basis), cast.RiseRule})
	}
	if f := c.Spout.Foam; f != nil {
		out = append(out, Basis{"cast.spout.foam", fmt.Sprintf("creams after %.0f s: %s", f.CreamS, j.casting.Basis), cast.PourRule})
	}
	if len(c.Advice) > 1 {
		out = append(out, Basis{"cast.advice", "the same figures for the mold as it would be", "hand pressure 2 to 5 kPa; a way must save a tenth of the time (common practice, no source)"})
	}
	if f := c.Foam; f != nil {
		out = append(out, Basis{"cast.foam.lid_n", fmt.Sprintf("%.0f mm² of mouth, and the vents, at %.0f Pa", c.Mouth.AreaMM2, f.PressurePa.Likely),
			fmt.Sprintf("all that faces the board less than half a millimetre over it, or the stem's end, × likely pressure × %.0f (safety: common practice, no source)", f.Safety)})
	}
	if c.Slush != nil {
		out = append(out, Basis{"cast.slush", fmt.Sprintf("what lies within %g mm of the surface × %.2f g/cm³", c.Slush.SkinMM, j.casting.LiquidGPerCM3.Likely), "coats, turns and two rounds within the working time, no more than 60 s each: common practice, no source"})
	}
	return out
}
