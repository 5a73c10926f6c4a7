package cast

import (
	"fmt"
	"math"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis/finding"
	"pourwright/analysis/shelf"
)

// Input is what the filling depends on. Places are in one frame, in which z is the
// depth under the spout's rim while the mold is filled: the stand frame.
type Input struct {
	Material  shelf.Casting
	Spout     []Channel // what the material passes on its way into the pattern, from the part up to the rim
	SpoutAt   r3.Vec
	SpoutEnds float64 // z where the last of them ends
	All       []Layer // the whole cavity
	Necks     []Neck
	Behind    [][]Layer   // each neck
	Bores     []*Bore     // to behind each neck; nil: none, or not looked for
	UnseenMM3 float64     // volume without a way from the spout on the grid
	VoxelMM   float64     // of that grid
	OneBody   bool        // the part is in one piece, so there is a way
	PushPa    shelf.Range // pressure on the spout besides the liquid's own
	Cups      int         // that are poured at once; 0 as 1
}

// Result says how the cavity fills.
type Result struct {
	Spout    Channel    // the one that holds the filling up most
	Filling  *Filling   // through it; nil: not known
	WidenMM  float64    // diameter at which all of them would be quick enough; 0: they are, or none would be
	Necks    []*Filling // through each neck; nil: not known
	Rises    []*Rise    // of foam at each neck; nil: not known
	Pour     *Pour      // of foam through the spout; nil: not known
	Seconds  *shelf.Range
	AllowedS float64 // the filling may take so long; 0: not known
	Quick    *bool   // all of it within that; nil: not known
	Findings []finding.Finding
	Times    []string // texts of those that only tell how long it takes, which is no matter where coats are poured in and rolled about
}

// Judge works out how long the filling takes and says what is wrong with it.
func Judge(in Input) Result {
	r := Result{Necks: make([]*Filling, len(in.Necks)), Rises: make([]*Rise, len(in.Necks)), Findings: []finding.Finding{}}
	if len(in.Spout) > 0 {
		r.Spout = in.Spout[0]
	}
	r.unseen(in)
	m := in.Material
	if m.Kind == shelf.Foam {
		r.pourFoam(in)
		r.foam(in)
		return r
	}
	l := in.liquid()
	if !(l.ViscosityPaS.Low > 0) || !(l.WorkingS > 0) {
		return r
	}
	r.AllowedS = l.AllowedS()
	r.throughSpout(in, l)
	for i, n := range in.Necks {
		f := Fill(n.channel(), n.OutletZ(), in.Behind[i], l)
		r.Necks[i] = &f
		r.neck(in, l, i)
	}
	r.sum(in, l)
	return r
}

// liquid is the material as it is poured.
func (in Input) liquid() Liquid {
	m := in.Material
	return Liquid{DensityGPerCM3: m.DensityGPerCM3.Likely, ViscosityPaS: m.ViscosityPaS, WorkingS: m.WorkingS, PushPa: in.PushPa, Cups: in.Cups}
}

// channel returns the neck as a liquid meets it.
func (n Neck) channel() Channel {
	return Channel{n.DiameterMM, n.AreaMM2, n.PerimeterMM, n.LengthMM}
}

// OutletZ returns z of the end of the neck that is away from the spout.
func (n Neck) OutletZ() float64 { return n.At.Z + n.LengthMM/2*n.Along.Z }

// throughSpout takes the part of the spout that holds the filling up most.
func (r *Result) throughSpout(in Input, l Liquid) {
	for _, c := range in.Spout {
		if !(c.DiameterMM > 0) {
			r.Spout, r.Filling = c, nil // a bare tip: nothing passes, and the way up is warned of
			return
		}
		f := Fill(c, in.SpoutEnds, in.All, l)
		if r.Filling == nil || f.Seconds.Likely > r.Filling.Seconds.Likely {
			r.Spout, r.Filling = c, &f
		}
		if !f.Quick {
			r.WidenMM = max(r.WidenMM, WidenTo(c, in.SpoutEnds, in.All, l))
		}
	}
	if r.Filling == nil || r.Filling.Quick {
		return
	}
	action := otherMaterial(l, r.Filling.Seconds.Likely)
	if r.WidenMM > 0 {
		action = fmt.Sprintf("Widen the spout to %.0f mm, with clay or a wider stem, or take %s.", math.Ceil(r.WidenMM), action)
	} else {
		action = fmt.Sprintf("Take %s, or pour from several cups at once.", action)
	}
	r.tellTime(r.slow(l, r.Filling), in.SpoutAt, fmt.Sprintf(
		"Through the spout, %.1f mm wide at its narrowest, the mold takes %s to fill; with twice that for thickening it must be within a third of the working time of %s, that is within %s.",
		r.Spout.DiameterMM, duration(r.Filling.Seconds.Likely), duration(l.WorkingS), duration(r.AllowedS)), action)
}

// neck warns of a neck that takes too long.
func (r *Result) neck(in Input, l Liquid, i int) {
	n, f := in.Necks[i], r.Necks[i]
	if !f.Creeping {
		r.tellTime(finding.Note, n.At, fmt.Sprintf("The material runs through this neck, %.1f mm wide, too fast for the time to be known (Reynolds number %.0f): the neck is not what holds the filling up.",
			n.DiameterMM, f.Reynolds), "Pour steadily and look for air that is carried in.")
		return
	}
	if f.Quick {
		return
	}
	action := "Take " + otherMaterial(l, f.Seconds.Likely) + "."
	if b := in.bore(i); b != nil {
		action = fmt.Sprintf("Take %s, or make a second spout beyond the neck, a bore %.0f mm long through the rubber.", otherMaterial(l, f.Seconds.Likely), b.LengthMM)
	}
	if front := in.volume() - n.BehindMM3; front < n.BehindMM3/1.5 {
		action = fmt.Sprintf("Pour from the other end, which leaves %.0f mL behind the neck instead of %.0f mL, or take %s.",
			front/1000, n.BehindMM3/1000, otherMaterial(l, f.Seconds.Likely))
	}
	r.tellTime(r.slow(l, f), n.At, fmt.Sprintf(
		"Behind this neck, %.1f mm wide, %.0f mL take %s to fill; with twice that for thickening it must be within a third of the working time of %s, that is within %s.",
		n.DiameterMM, n.BehindMM3/1000, duration(f.Seconds.Likely), duration(l.WorkingS), duration(r.AllowedS)), action)
}

// slow says how bad it is that a filling takes too long.
func (r *Result) slow(l Liquid, f *Filling) finding.Level {
	if f.Seconds.Likely > l.WorkingS {
		return finding.Stop // it sets before it is there
	}
	return finding.Warn
}

// otherMaterial says how thin or slow a material would have to be.
func otherMaterial(l Liquid, seconds float64) string {
	return fmt.Sprintf("a material of at most %.2g Pa·s or with at least %s of working time",
		l.ViscosityPaS.Likely*l.AllowedS()/seconds, duration(seconds*margin/workingShare))
}

// sum adds up the filling: all that is behind a passage takes as long as it does
// through it, or as long as through the necks behind it one after the other.
func (r *Result) sum(in Input, l Liquid) {
	if r.Filling == nil || !r.Filling.Creeping {
		return
	}
	behind := make([]shelf.Range, len(in.Necks)+1) // the last: behind the spout
	for i := len(in.Necks) - 1; i >= 0; i-- {
		f := r.Necks[i]
		if !f.Creeping {
			continue
		}
		after := in.Necks[i].After
		if after < 0 {
			after = len(in.Necks)
		}
		behind[after] = plus(behind[after], longer(f.Seconds, behind[i]))
	}
	s := longer(r.Filling.Seconds, behind[len(in.Necks)])
	quick := s.Likely <= r.AllowedS
	r.Seconds, r.Quick = &s, &quick
	if !quick && len(r.Findings) == 0 {
		r.tellTime(finding.Warn, in.SpoutAt, fmt.Sprintf("One after the other the spout and the necks take %s to fill, more than the %s that the working time allows.",
			duration(s.Likely), duration(r.AllowedS)), "Take "+otherMaterial(l, s.Likely)+".")
	}
}

func plus(a, b shelf.Range) shelf.Range {
	return shelf.Range{Low: a.Low + b.Low, Likely: a.Likely + b.Likely, High: a.High + b.High}
}

func longer(a, b shelf.Range) shelf.Range {
	return shelf.Range{Low: max(a.Low, b.Low), Likely: max(a.Likely, b.Likely), High: max(a.High, b.High)}
}

// foamShare is the narrowest passage for foam, as a share of its least spout
// (common practice, no source).
const foamShare = 0.5

// foamLeastMM is how wide a passage has to be for foam not to close it up.
func (in Input) foamLeastMM() float64 { return foamShare * in.Material.LeastSpoutMM(in.volume()) }

// foam warns of necks that foam may not pass; by diameter alone where its rise is
// not known.
func (r *Result) foam(in Input) {
	f, known := newRisingFoam(in.Material, in.volume())
	if known {
		r.Rises = f.rises(in)
	}
	for i, n := range in.Necks {
		rise := r.Rises[i]
		least := in.foamLeastMM()
		if rise == nil && n.DiameterMM >= least || rise != nil && rise.Verdict == Passes {
			continue
		}
		action := "Lay the foam into both sides of the opened mold and close it at once, or cast in resin."
		here, there := n.BehindMM3, in.volume()-n.BehindMM3 // what has to pass, and would from the other end
		if rise != nil && rise.Back {
			here, there = there, here
		}
		if there < here/1.5 {
			action = "Pour from the other end, so that less has to pass; lay the foam into both sides of the opened mold and close it at once; or cast in resin."
		}
		if rise != nil && rise.WidenMM > 0 {
			action = fmt.Sprintf("Widen it to %.0f mm with clay and trim the casts; ", math.Ceil(rise.WidenMM)) + strings.ToLower(action[:1]) + action[1:]
		}
		r.tell(finding.Warn, n.At, foamWords(n, rise, least), action)
	}
}

// foamWords says why foam may not pass a neck.
func foamWords(n Neck, r *Rise, leastMM float64) string {
	if r == nil {
		return fmt.Sprintf("Foam has to pass this neck, %.1f mm wide, to %.0f mL behind it, and tends to close up in passages under %.1f mm.",
			n.DiameterMM, n.BehindMM3/1000, leastMM)
	}
	way := "to what is behind it"
	if r.Back {
		way = "back towards the spout"
	}
	times := fmt.Sprintf("that takes %s to %s, likely %s, and the foam has about %s before it is too thick", duration(r.TakesS.Low), duration(r.TakesS.High), duration(r.TakesS.Likely), duration(r.AllowedS.Likely))
	if r.Verdict == WillNot {
		return fmt.Sprintf("Foam will not get through this neck, %.1f mm wide: %.0f mL of it have to pass %s, and %s.", n.DiameterMM, r.PassMM3/1000, way, times)
	}
	narrow := ""
	if n.DiameterMM < leastMM {
		narrow = fmt.Sprintf("; foam also tends to close up in passages under %.1f mm", leastMM)
	}
	return fmt.Sprintf("Foam may not get through this neck, %.1f mm wide: %.0f mL of it have to pass %s, and %s%s.", n.DiameterMM, r.PassMM3/1000, way, times, narrow)
}

// unseen warns of volume that no way leads to.
func (r *Result) unseen(in Input) {
	if in.UnseenMM3 <= 0 {
		return
	}
	if in.OneBody {
		r.tell(finding.Note, in.SpoutAt, fmt.Sprintf("%.1f mL of the part lie behind walls or passages thinner than about %.1f mm, too thin for the filling to be judged.", in.UnseenMM3/1000, in.VoxelMM),
			"Trust the times and necks only for the thicker parts; make a trial cast.")
		return
	}
	r.tell(finding.Warn, in.SpoutAt, fmt.Sprintf("No way from the spout to %.1f mL of the part was found; passages under about %.1f mm are not seen.", in.UnseenMM3/1000, in.VoxelMM),
		"Look for a body that does not touch the rest, and join it or give it a spout of its own.")
}

// tellTime tells how long something takes.
func (r *Result) tellTime(level finding.Level, at r3.Vec, text, action string) {
	r.tell(level, at, text, action)
	r.Times = append(r.Times, text)
}

func (r *Result) tell(level finding.Level, at r3.Vec, text, action string) {
	r.Findings = append(r.Findings, finding.Finding{Question: "cast", Level: level, AtMM: &[3]float64{at.X, at.Y, at.Z}, Text: text, Action: action})
}

// duration words a time as the tables do.
func duration(seconds float64) string { return finding.Duration(seconds) }
