package cut

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
)

// A hinge that holds the halves together, and the step that slits are given in
// (common practice, no source).
const (
	leastHingeMM    = 20
	leastHingeShare = 0.15 // of the way round the pattern
	slitStepMM      = 5
	onBoardMM       = 0.5 // what is lower lies on the board or the stem
	leastHoleMM2    = 20
	severalShare    = 0.5 // of the way round: other outlines that one slit does not reach
)

// Why a block is cut through, so that its halves come apart.
const (
	Hole    = "hole"    // the pattern has a hole that rubber goes through
	Beside  = "beside"  // the cut does not meet the spout
	Several = "several" // the cut meets the pattern in several places
	Tight   = "tight"   // a hinge would leave too narrow an opening
)

// Slit is the least opening along the cut that lets the pattern out, towards the
// spout. Lengths are along the pattern's outline in the cut, from the board: where
// there is a stem, its length is part of them.
type Slit struct {
	MM       float64  // from the spout; the whole outline when Full
	HingeMM  float64  // left uncut
	Linked   int      // places where rubber stays round the pattern within a half: even full halves do not come off there
	Full     string   // why the halves come apart; empty: they do not
	Path     []r3.Vec // of a full cut: round the outline at the spout
	Hinge    []r3.Vec // from the slit's end on to the other side of the spout
	Needed   float64  // stretch of the narrowest place on the way out, share; with the slit
	Without  float64  // the same without any slit
	Straight float64  // with the slit, when the part is not turned along its bends
	RimMM    float64  // of the spout
	GirthMM  float64  // the widest section
	AtMM     float64  // and its height
}

// way is one way round the outline from the spout.
type way struct {
	points []r3.Vec
	along  []float64 // length up to each point
	top    []float64 // highest point so far
	detail []float64 // integral along it
}

func (w *way) length() float64 { return w.along[len(w.along)-1] }

// reaches returns how long a slit is that reaches a height; the whole way when
// none does.
func (w *way) reaches(z float64) float64 {
	lo, hi := 0, len(w.top)
	for lo < hi {
		if mid := (lo + hi) / 2; w.top[mid] < z {
			lo = mid + 1
		} else {
			hi = mid
		}
	}
	if lo == len(w.top) {
		return w.length()
	}
	if lo == 0 {
		return 0
	}
	below, at := w.points[lo-1].Z, w.points[lo].Z
	return w.along[lo-1] + (w.along[lo]-w.along[lo-1])*(z-below)/(at-below)
}

// Opening is what the least slit depends on.
type Opening struct {
	Spout   r3.Vec  // where the spout meets the pattern; the board is at z = 0
	StemMM  float64 // diameter of the stem; 0 where the pattern stands on the board itself
	Allowed float64 // stretch of the rubber, share
	Holed   bool    // the pattern's surface has a handle
	Detail  []float32
}

// LeastSlit finds the shortest slit from the spout along the outline. Past any
// section the pattern's wider parts must pass on their way out: its rim is the
// girth there, and twice what of the slit lies beyond; the rubber stretches on
// top of that.
func LeastSlit(r *Result, m *mesh.Mesh, in Opening) Slit {
	g := girthsOf(m, in.Spout.Z+onBoardMM)
	ways, loop := r.ways(in)
	s := Slit{Linked: len(r.Links)}
	if len(g.mm) > 0 {
		if in.StemMM > 0 {
			rim := math.Pi * in.StemMM // at the board and at the stem's top
			all := g.shadowMM[0]
			g = girths{append([]float64{0, in.Spout.Z}, g.heightMM...), append([]float64{rim, rim}, g.mm...), append([]float64{all, all}, g.shadowMM...)}
		}
		s.RimMM = g.mm[0]
		for k, mm := range g.mm {
			if mm > s.GirthMM {
				s.GirthMM, s.AtMM = mm, g.heightMM[k]
			}
		}
	}
	if len(ways) == 0 {
		s.Full, s.MM = Beside, r.OutlineMM
		return s
	}
	best, cost := 0, math.Inf(1)
	for i := range ways {
		w := &ways[i]
		mm := g.least(w, in.Allowed)
		end := w.index(mm)
		if c := mm + 3*w.detail[end]; c < cost {
			best, cost = i, c
		}
	}
	w := &ways[best]
	s.MM = min(w.length(), math.Ceil(g.least(w, in.Allowed)/slitStepMM)*slitStepMM)
	s.Without = g.needed(w, 0)
	s.HingeMM = w.length() - s.MM
	switch {
	case in.Holed && (s.Linked > 0 || r.throughHole(m)):
		s.Full = Hole
	case r.beside(loop) > severalShare*w.length():
		s.Full = Several
	case s.HingeMM < max(leastHingeMM, leastHingeShare*w.length()):
		s.Full = Tight
	}
	if s.Full != "" {
		s.MM, s.HingeMM, s.Path = r.OutlineMM, 0, w.points
		return s
	}
	s.Path, s.Hinge = w.split(s.MM)
	s.Needed, s.Straight = g.needed(w, s.MM), g.straight(w, s.MM)
	return s
}

// index returns the first point of the way after so much of it.
func (w *way) index(mm float64) int {
	for i, a := range w.along {
		if a >= mm {
			return i
		}
	}
	return len(w.along) - 1
}

// split returns the way up to a length, and from there on.
func (w *way) split(mm float64) (slit, hinge []r3.Vec) {
	i := w.index(mm)
	if i == 0 {
		return w.points[:1], w.points
	}
	a, b := w.points[i-1], w.points[i]
	t := min(1, (mm-w.along[i-1])/max(w.along[i]-w.along[i-1], thinnestMM))
	end := r3.Add(a, r3.Scale(t, r3.Sub(b, a)))
	return append(w.points[:i:i], end), append([]r3.Vec{end}, w.points[i:]...)
}

// widestBeyond returns for each section the widest one from there to the end.
func (g *girths) widestBeyond() []float64 {
	beyond := make([]float64, len(g.mm))
	widest := 0.0
	for k := len(g.mm) - 1; k >= 0; k-- {
		widest = max(widest, g.mm[k])
		beyond[k] = widest
	}
	return beyond
}

// least returns the length of slit for which no place must stretch by more than
// allowed.
func (g *girths) least(w *way, allowed float64) float64 {
	slit := 0.0
	for k, widest := range g.widestBeyond() {
		if short := widest/(1+allowed) - g.mm[k]; short > 0 {
			slit = max(slit, w.reaches(g.heightMM[k])+short/2)
		}
	}
	return min(slit, w.length())
}

// needed returns the largest stretch on the way out with a slit, the part turned
// along its bends as it comes.
func (g *girths) needed(w *way, slit float64) float64 { return g.stretch(w, slit, g.widestBeyond()) }

// straight returns the same when it is drawn straight, so that a ring must go round
// the shadow of all that is beyond.
func (g *girths) straight(w *way, slit float64) float64 { return g.stretch(w, slit, g.shadowMM) }

func (g *girths) stretch(w *way, slit float64, past []float64) float64 {
	most := 0.0
	for k, widest := range past {
		rim := g.mm[k] + 2*max(0, slit-w.reaches(g.heightMM[k]))
		if rim > 0 {
			most = max(most, StretchToPass(widest, rim))
		}
	}
	return most
}

// ways returns the two ways round the outline's loop that is nearest to the spout,
// from where it leaves board or stem to where it comes back, and which loop that is;
// none where the cut passes the spout by.
func (r *Result) ways(in Opening) (both []way, loop int) {
	loop = -1
	first := 0
	nearest := math.Inf(1)
	for l := range r.Outline {
		for i, p := range r.Outline[l].Points {
			if d := r3.Norm(r3.Sub(p, in.Spout)); d < nearest {
				loop, first, nearest = l, i, d
			}
		}
	}
	if loop < 0 || !r.ThroughSpout {
		return nil, loop
	}
	l := r.Outline[loop]
	n := len(l.Points)
	covered := func(p r3.Vec) bool {
		if p.Z > in.Spout.Z+onBoardMM {
			return false
		}
		return in.StemMM == 0 || math.Hypot(p.X-in.Spout.X, p.Y-in.Spout.Y) <= in.StemMM/2
	}
	lo, hi := first, first+n
	for lo < first+n-2 && covered(l.Points[(lo+1)%n]) {
		lo++
	}
	for hi > lo+1 && covered(l.Points[(hi-1)%n]) {
		hi--
	}
	near, far := r.stemEdges(in, l.Points[lo%n])
	one, other := way{}, way{}
	one.addAll(near)
	for i := lo; i <= hi; i++ {
		one.follow(l, i%n, in.Detail)
	}
	one.addAll(reversed(far))
	other.addAll(far)
	for i := hi; i >= lo; i-- {
		other.follow(l, i%n, in.Detail)
	}
	other.addAll(reversed(near))
	return []way{one, other}, loop
}

// stemEdges returns the stem's edges in the cut, from the board up, that on the side
// of a point first; none without a stem.
func (r *Result) stemEdges(in Opening, side r3.Vec) (near, far []r3.Vec) {
	if in.StemMM == 0 {
		return nil, nil
	}
	out := r3.Scale(in.StemMM/2, r.Right)
	if r3.Dot(out, r3.Sub(side, in.Spout)) < 0 {
		out = r3.Scale(-1, out)
	}
	foot := r3.Vec{X: in.Spout.X, Y: in.Spout.Y}
	return []r3.Vec{r3.Add(foot, out), r3.Add(in.Spout, out)}, []r3.Vec{r3.Sub(foot, out), r3.Sub(in.Spout, out)}
}

func reversed(points []r3.Vec) []r3.Vec {
	back := slices.Clone(points)
	slices.Reverse(back)
	return back
}

// addAll adds points without detail.
func (w *way) addAll(points []r3.Vec) {
	for _, p := range points {
		w.add(p, 0)
	}
}

// follow adds a point of a loop.
func (w *way) follow(l mesh.Loop, i int, detail []float32) {
	here := 0.0
	if e := l.Edges[i]; detail != nil {
		here = float64(detail[e[0]])*(1-l.T[i]) + float64(detail[e[1]])*l.T[i]
	}
	w.add(l.Points[i], here)
}

func (w *way) add(p r3.Vec, detail float64) {
	along, top, sum := 0.0, p.Z, 0.0
	if n := len(w.points); n > 0 {
		step := r3.Norm(r3.Sub(p, w.points[n-1]))
		along, top, sum = w.along[n-1]+step, max(w.top[n-1], p.Z), w.detail[n-1]+step*detail
	}
	w.points, w.along, w.top, w.detail = append(w.points, p), append(w.along, along), append(w.top, top), append(w.detail, sum)
}

// beside returns the length of the outer loops other than that of the spout.
func (r *Result) beside(spout int) float64 {
	other := 0.0
	for i, l := range r.Outline {
		if i != spout && mesh.LoopsArea([]mesh.Loop{l}, r.Normal) > 0 {
			other += l.Length()
		}
	}
	return other
}

// throughHole looks for the rubber in a hole: an island in the outline, or level
// sections in several pieces.
func (r *Result) throughHole(m *mesh.Mesh) bool {
	for _, l := range r.Outline {
		if mesh.LoopsArea([]mesh.Loop{l}, r.Normal) < -leastHoleMM2 {
			return true
		}
	}
	b := m.Bounds()
	const levels = 16
	for k := range levels {
		z := b.Min.Z + (b.Max.Z-b.Min.Z)*(float64(k)+0.5)/levels
		pieces := 0
		for _, l := range m.Section(r3.Vec{Z: z}, r3.Vec{Z: 1}) {
			switch area := mesh.LoopsArea([]mesh.Loop{l}, r3.Vec{Z: 1}); {
			case area < -leastHoleMM2:
				return true
			case area > leastHoleMM2:
				pieces++
			}
		}
		if pieces > 1 {
			return true
		}
	}
	return false
}
