package cast

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis/shelf"
)

// Kinds of advice.
const (
	AsPlanned   = "as planned"
	Widen       = "widen"
	Squeeze     = "squeeze"
	Tilted      = "tilt"
	OtherEnd    = "other end"
	SecondSpout = "second spout"
	LaidIn      = "lay in"
	MoreCups    = "more cups"
	Slower      = "slower material"
)

// handPa is what a hand pushes on material in a bottle or a bag with, or on a board
// over the cup; a funnel as much taller does the same (common practice, no source).
var handPa = shelf.Range{Low: 2000, Likely: 3500, High: 5000}

// Advice is one way to fill the mold, and how long it takes: the whole cavity, of a
// foam the passage that takes longest, the spout among them.
type Advice struct {
	Kind    string
	Text    string
	Seconds *shelf.Range // nil: too fast to tell, or not known
	Quick   *bool        // in time; nil: not known
	Verdict string       // of a foam
	Open    bool         // of a resin: in time at its thinnest, not at its thickest
	At      *r3.Vec      // where the material goes in then, frame of the input; nil: as planned
}

// Otherwise is a way of filling that is worked out elsewhere: tilted, or from
// another end.
type Otherwise struct {
	Kind, Text string
	Input      Input
	At         *r3.Vec // where the material goes in; nil: as planned
	Wanted     bool    // listed even if it is no quicker
}

// worthTrying is how much of the time as planned another way may take to be worth a
// word (common practice, no source).
const worthTrying = 0.9

// Advise lists ways of filling with the time of each: as planned first, then those
// that are quicker. Of several from other ends only the quickest is told.
func Advise(in Input, others []Otherwise) []Advice {
	text := "As planned, with the spout kept full."
	if in.Material.Kind == shelf.Foam {
		text = "As planned."
	}
	planned := judged(Otherwise{Kind: AsPlanned, Text: text, Input: in})
	if planned.Quick == nil && planned.Seconds == nil {
		return nil
	}
	out := []Advice{planned}
	if planned.Verdict == Passes {
		return out
	}
	add := func(a Advice, wanted bool) {
		sure := planned.Open && planned.inTime() && a.inTime() && !a.Open
		if wanted || sure || !planned.inTime() && a.better(planned) && (a.Verdict == "" || ranks[a.Verdict] < ranks[planned.Verdict]) {
			out = append(out, a)
		}
	}
	if planned.Quick != nil && !*planned.Quick {
		for _, w := range []Otherwise{in.widened(), in.secondSpout()} {
			if w.Text != "" {
				add(judged(w), false)
			}
		}
	}
	if in.Material.Kind != shelf.Foam {
		w := in.squeezed()
		add(judged(w), false)
		w = Otherwise{Kind: MoreCups, Text: "Pour from two cups at once, by two people.", Input: in}
		w.Input.Cups = 2
		add(judged(w), false)
	}
	var end *Advice
	for _, o := range others {
		a := judged(o)
		if o.Kind != OtherEnd {
			add(a, o.Wanted)
		} else if end == nil || a.better(*end) {
			end = &a
		}
	}
	if end != nil {
		add(*end, false)
	}
	if planned.Quick != nil && !*planned.Quick && in.Material.Kind != shelf.Foam {
		w := in.slower(planned.Seconds)
		out = append(out, judged(w))
	}
	if in.Material.Kind == shelf.Foam {
		out = append(out, Advice{Kind: LaidIn, Text: fmt.Sprintf("Lay the foam into both sides of the opened mold and close it at once%s: no narrow place has to be passed.", in.beforeCream())})
	}
	return out
}

// judged works out one way.
func judged(w Otherwise) Advice {
	in, r := w.Input, Judge(w.Input)
	a := Advice{Kind: w.Kind, Text: w.Text, Seconds: r.Seconds, Quick: r.Quick, At: w.At}
	a.Open = r.Seconds != nil && r.Seconds.Low <= r.AllowedS && r.Seconds.High > r.AllowedS
	if in.Material.Kind != shelf.Foam {
		return a
	}
	if _, known := newRisingFoam(in.Material, in.volume()); !known {
		return a
	}
	a.Verdict = Passes
	if p := r.Pour; p != nil {
		a.Verdict, a.Seconds = p.Verdict, p.TakesS
	}
	for _, rise := range r.Rises {
		if a.Seconds == nil || rise.TakesS.Likely > a.Seconds.Likely {
			a.Seconds = &rise.TakesS
		}
		if ranks[rise.Verdict] > ranks[a.Verdict] {
			a.Verdict = rise.Verdict
		}
	}
	quick := a.Verdict == Passes
	a.Quick = &quick
	return a
}

// beforeCream says until when the mold has to be closed.
func (in Input) beforeCream() string {
	if s := in.Material.WorkingS; s > 0 {
		return ", before it creams after " + duration(s)
	}
	return ""
}

// ranks order the verdicts, the best first.
var ranks = map[string]int{Passes: 0, Doubtful: 1, WillNot: 2}

// inTime tells a way that is known to be quick enough.
func (a Advice) inTime() bool { return a.Quick != nil && *a.Quick }

// better tells a way that is clearly quicker, or in time where the other is not.
func (a Advice) better(than Advice) bool {
	if a.inTime() != than.inTime() {
		return a.inTime()
	}
	if ra, rb := ranks[a.Verdict], ranks[than.Verdict]; ra != rb {
		return ra < rb
	}
	return a.Seconds != nil && than.Seconds != nil && a.Seconds.Likely < worthTrying*than.Seconds.Likely
}

// widened makes the spout and the necks that are too slow as wide as it takes; where
// each is quick enough and only their sum is not, all of them, step by step.
func (in Input) widened() Otherwise {
	r := Judge(in)
	targets := make([]float64, len(in.Necks))
	spout, slow := r.WidenMM, r.WidenMM > 0
	for i, n := range in.Necks {
		if rise := r.Rises[i]; rise != nil && rise.WidenMM > 0 {
			targets[i], slow = rise.WidenMM, true
		}
		if f := r.Necks[i]; f != nil && f.Creeping && !f.Quick {
			targets[i] = WidenTo(n.channel(), n.OutletZ(), in.Behind[i], in.liquid())
			slow = slow || targets[i] > 0
		}
	}
	if !slow {
		spout = r.Spout.DiameterMM
		for i, n := range in.Necks {
			targets[i] = n.DiameterMM
		}
	}
	for times := 1.; ; times += 0.1 {
		w := in.as(spout*times, targets, times)
		if a := judged(w); a.Quick != nil && *a.Quick || times >= 2 {
			return w
		}
	}
}

// as returns the input with the spout and the necks at least so wide, in whole mm.
func (in Input) as(spoutMM float64, neckMM []float64, times float64) Otherwise {
	w := Otherwise{Kind: Widen, Input: in}
	var what []string
	up := func(mm float64) float64 { return math.Ceil(mm - 1e-6) }
	w.Input.Spout = nil
	wider := false
	for _, c := range in.Spout {
		if d := up(spoutMM); c.DiameterMM < d {
			c, wider = Channel{DiameterMM: d, LengthMM: c.LengthMM}, true
		}
		w.Input.Spout = append(w.Input.Spout, c)
	}
	if wider {
		words := fmt.Sprintf("the spout to %.0f mm", up(spoutMM))
		if len(in.Spout) > 1 && in.Spout[len(in.Spout)-1].DiameterMM >= up(spoutMM) {
			words += " where it meets the part"
		}
		what = append(what, words)
	}
	w.Input.Necks = nil
	for i, n := range in.Necks {
		if d := up(neckMM[i] * times); n.DiameterMM < d {
			s := d / n.DiameterMM
			n.DiameterMM, n.AreaMM2, n.PerimeterMM = d, s*s*n.AreaMM2, s*n.PerimeterMM
			what = append(what, fmt.Sprintf("neck %d until it is %.0f mm wide", i+1, d))
		}
		w.Input.Necks = append(w.Input.Necks, n)
	}
	if len(what) > 0 {
		w.Text = "Widen " + list(what) + ", with clay on the pattern, and trim the casts."
	}
	return w
}

// list joins words as in a sentence.
func list(words []string) string {
	s := words[0]
	for i, w := range words[1:] {
		if i == len(words)-2 {
			s += " and " + w
		} else {
			s += ", " + w
		}
	}
	return s
}

// squeezed adds the push of a hand.
func (in Input) squeezed() Otherwise {
	w := Otherwise{Kind: Squeeze, Input: in}
	w.Input.PushPa = handPa
	w.Text = fmt.Sprintf("Squeeze it in from a soft bottle or a bag that sits tightly in the spout (%g to %g kPa by hand), or pour through a funnel about %.0f mm taller.",
		handPa.Low/1000, handPa.High/1000, math.Round(handPa.Likely/pressure(1, in.Material.LiquidGPerCM3.Likely)/10)*10)
	return w
}

// slower takes a material that may be worked for as long as the filling needs.
func (in Input) slower(needs *shelf.Range) Otherwise {
	w := Otherwise{Kind: Slower, Input: in}
	w.Input.Material.WorkingS = needs.Likely * margin / workingShare * (1 + 1e-9)
	w.Text = fmt.Sprintf("Take a material as thin that can be worked for %s or longer.", duration(w.Input.Material.WorkingS))
	return w
}

// secondSpout fills what is behind the neck that takes longest through a bore of its
// own, where there is room for one, while the rest fills through the first.
func (in Input) secondSpout() Otherwise {
	r := Judge(in)
	worst, most := -1, 0.0
	for i := range in.Necks {
		s := 0.0
		switch {
		case r.Rises[i] != nil && r.Rises[i].Verdict != Passes:
			s = r.Rises[i].TakesS.Likely
		case r.Necks[i] != nil && r.Necks[i].Creeping && !r.Necks[i].Quick:
			s = r.Necks[i].Seconds.Likely
		}
		if s > most {
			worst, most = i, s
		}
	}
	w := Otherwise{Kind: SecondSpout, Input: in}
	if worst < 0 || in.bore(worst) == nil {
		return w
	}
	b := in.Bores[worst]
	w.At = &b.From
	instead := ""
	if b.Post > 0 {
		instead = fmt.Sprintf(" in place of post %d", b.Post)
	}
	verb := "Make"
	if p := r.Pour; p != nil && p.Verdict != Passes && p.WidenMM > 0 { // the first has to let foam in too
		w.Input = in.as(p.WidenMM, make([]float64, len(in.Necks)), 1).Input
		verb = fmt.Sprintf("Widen the spout to %.0f mm where it is narrower, with clay on the pattern, and make", math.Ceil(p.WidenMM-1e-6))
	}
	w.Text = fmt.Sprintf("%s a second spout beyond neck %d and pour into both: a straight bore %.0f mm wide and %.0f mm long through the rubber, down from the spout's face of the block%s; it takes %.0f mL more.",
		verb, worst+1, b.DiameterMM, b.LengthMM, instead, math.Ceil(b.VolumeMM3/1000))
	// As a neck: round, from the rim down to what it fills.
	w.Input.Necks = append([]Neck{}, in.Necks...)
	w.Input.Necks[worst] = Neck{At: r3.Vec{X: b.From.X, Y: b.From.Y, Z: b.From.Z + b.LengthMM/2}, Along: r3.Vec{Z: 1}, DiameterMM: b.DiameterMM, LengthMM: b.LengthMM, BehindMM3: in.Necks[worst].BehindMM3, After: -1}
	return w
}

// Bore is a straight hole down through the rubber from the face of the block that the
// spout is in, to the part beyond a neck.
type Bore struct {
	From       r3.Vec // its middle on the face
	DiameterMM float64
	LengthMM   float64 // at its longest
	VolumeMM3  float64
	Post       int // the vent's post that it takes the place of; 0: none
}

// bore to behind a neck; nil: there is none.
func (in Input) bore(neck int) *Bore {
	if neck >= len(in.Bores) {
		return nil
	}
	return in.Bores[neck]
}
