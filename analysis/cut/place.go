package cut

import (
	"context"
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis/finding"
	"pourwright/analysis/shelf"
	"pourwright/mesh"
)

// Placing is what the drawing of the cut depends on, once the block is known.
type Placing struct {
	Tree    *mesh.Tree // of the pattern
	Room    Room
	LandMM  float64
	Opening Opening // its Allowed comes from the rubber
	Rubber  shelf.Rubber
}

// Placed is the cut in the block.
type Placed struct {
	Land      []Line // the land's outer edge
	Keys      []KeyLine
	RubberMM2 float64  // of the sheet in the rubber, seen along Normal
	Rim       []r3.Vec // where the sheet leaves the block
	Knife     []KnifeMark
	Slit      Slit
	Stop      *[2]r3.Vec // where the knife stops: from the pattern to the outside; nil when the halves come apart
	HalvesMM3 [2]float64 // rubber on the −normal, +normal side
	Stretch   Stretch
	Findings  []finding.Finding
}

// Stretch is what the rubber is asked for and what it can give, as shares.
type Stretch struct {
	Needed, Without, Allowed float64
	Straight                 float64 // needed when the part is drawn straight, not turned along its bends
	Guessed                  bool    // the rubber's elongation is not known: the least usual of its cure was taken
	NickMM                   float64 // see LongestNickMM; +Inf without stretch, 0 where the tear strength is not known
	StressMPa                float64
}

// How much of its elongation a mold is drawn out when it is opened, and the least
// usual elongation for a rubber whose own is not known (both from memory; an
// engineering choice).
const (
	tinSafety, platinumSafety     = 4, 3
	leastTinPct, leastPlatinumPct = 200, 250
	nickToMindMM                  = 10
	fewKeys                       = 2
	keysShare                     = 0.5 // of the waves that must have found room
	leastLandMM, mostLandMM       = 2, 40
)

// LandLimits are the least and the widest land that can be asked for, mm.
func LandLimits() (least, most float64) { return leastLandMM, mostLandMM }

// AllowedStretch is how far a rubber may be drawn out, as a share, and whether
// that is a guess.
func AllowedStretch(r shelf.Rubber) (share float64, guessed bool) {
	pct, safety := r.ElongationPct.Likely, float64(tinSafety)
	least := float64(leastTinPct)
	if r.Cure == shelf.Platinum {
		safety, least = platinumSafety, leastPlatinumPct
	}
	if pct == 0 {
		return least / 100 / safety, true
	}
	return pct / 100 / safety, false
}

// Place finds the least slit and lays land and key lines on the sheet.
func (r *Result) Place(ctx context.Context, pattern *mesh.Solid, p Placing) (Placed, error) {
	out := Placed{Rim: p.Room.Rim(&r.Sheet)}
	p.Opening.Allowed, out.Stretch.Guessed = AllowedStretch(p.Rubber)
	out.Slit = LeastSlit(r, pattern.Mesh, p.Opening)
	r.holed, r.heldMM = p.Opening.Holed, r.held(pattern.Mesh, p)
	out.Stretch.take(out.Slit, p)
	if err := ctx.Err(); err != nil {
		return out, err
	}
	out.RubberMM2 = p.Room.rubberMM2(&r.Sheet, out.Rim) - r.SectionMM2
	f := newFace(&r.Sheet, r.Outline, p.Tree, &p.Room)
	open := f.openTo(out.Slit)
	out.Land, out.Keys = f.layOut(p.LandMM, open)
	out.Knife = f.knifeMarks(out.Rim, p.LandMM, open)
	out.Stop = f.stop(out.Slit)
	var err error
	if out.HalvesMM3, err = p.Room.Halves(&r.Sheet, pattern); err != nil {
		return out, err
	}
	out.Findings = r.doubts(&out)
	return out, ctx.Err()
}

// held returns how deep the deepest hook is that the rubber cannot move aside for.
func (r *Result) held(m *mesh.Mesh, p Placing) float64 {
	deepest := 0.0
	for _, l := range newShadow(m, p.Tree, &r.Sheet, 2*screenLines).locks(&r.Sheet, &p.Room, p.Opening.Allowed) {
		if !l.Gives {
			deepest = max(deepest, l.DepthMM)
		}
	}
	return deepest
}

// take works out stretch, stress and nicks for a slit.
func (s *Stretch) take(slit Slit, p Placing) {
	s.Needed, s.Without, s.Straight, s.Allowed = slit.Needed, slit.Without, slit.Straight, p.Opening.Allowed
	modulus := Gent(p.Rubber.ShoreA)
	s.StressMPa = Stress(modulus, 1+s.Needed)
	if t := p.Rubber.TearKNPerM; t != (shelf.Range{}) {
		s.NickMM = LongestNickMM(modulus, 1+s.Needed, t.Low)
	}
}

// openTo tells which places of the sheet a slit opens: those whose nearest place of
// the way round the pattern is on it. Nil when all of it is, and when no slit is
// needed: whoever cuts all the same wants to see the whole.
func (f *face) openTo(s Slit) func(p r2.Vec) float64 {
	if s.Full != "" || s.MM == 0 || len(s.Hinge) < 2 {
		return nil
	}
	var way []r2.Vec
	for _, p := range append(append([]r3.Vec{}, s.Path...), s.Hinge[1:]...) {
		u, v := f.sheet.Flat(p)
		if q := (r2.Vec{X: u, Y: v}); len(way) == 0 || r2.Norm(r2.Sub(q, way[len(way)-1])) > 1 {
			way = append(way, q)
		}
	}
	return func(p r2.Vec) float64 { return s.MM - nearestOn(way, p) }
}

// stop draws the line where the knife stops, from the slit's end straight outward.
func (f *face) stop(s Slit) *[2]r3.Vec {
	n := len(s.Path)
	if s.Full != "" || n < 2 {
		return nil
	}
	at := func(p r3.Vec) r2.Vec { u, v := f.sheet.Flat(p); return r2.Vec{X: u, Y: v} }
	end, before := at(s.Path[n-1]), at(s.Path[max(0, n-5)])
	d := r2.Sub(end, before)
	if r2.Norm(d) == 0 {
		return nil
	}
	d = r2.Unit(d)
	out := r2.Vec{X: -d.Y, Y: d.X}
	if f.inPattern(r2.Add(end, r2.Scale(0.5, out))) {
		out = r2.Scale(-1, out)
	}
	const step = 0.5
	q := end
	for f.room.Outside(f.at(q)) > 0 {
		q = r2.Add(q, r2.Scale(step, out))
		if f.inPattern(q) {
			return nil
		}
	}
	return &[2]r3.Vec{s.Path[n-1], f.at(q)}
}

// inPattern tells whether a place of the sheet is inside the outline.
func (f *face) inPattern(p r2.Vec) bool {
	inside := false
	for _, loop := range f.loops {
		for i, a := range loop {
			b := loop[(i+1)%len(loop)]
			if (a.Y < p.Y) != (b.Y < p.Y) && p.X > a.X+(p.Y-a.Y)/(b.Y-a.Y)*(b.X-a.X) {
				inside = !inside
			}
		}
	}
	return inside
}

// nearestOn returns how far along a line the point nearest to p is, mm.
func nearestOn(points []r2.Vec, p r2.Vec) float64 {
	best, at, along := math.Inf(1), 0.0, 0.0
	for i := 1; i < len(points); i++ {
		a, d := points[i-1], r2.Sub(points[i], points[i-1])
		length := r2.Norm(d)
		t := 0.0
		if length > 0 {
			t = max(0, min(1, r2.Dot(r2.Sub(p, a), d)/(length*length)))
		}
		if off := r2.Norm(r2.Sub(p, r2.Add(a, r2.Scale(t, d)))); off < best {
			best, at = off, along+t*length
		}
		along += length
	}
	return at
}
