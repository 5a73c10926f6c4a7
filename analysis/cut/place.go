package cut

import (
	"context"

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
	Stop      *[2]r3.Vec // where the knife stops, straight in from the outside where that can be: from the pattern to the outside; nil when the halves come apart
	Square    bool       // the stop is square to the outside
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
	out.Stop, out.Square = f.stop(out.Slit, out.Rim)
	open := f.openTo(&out, p.Opening.Spout)
	out.Land, out.Keys = f.layOut(p.LandMM, open)
	out.Knife = f.knifeMarks(out.Rim, p.LandMM, open)
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
	for _, l := range r.locksOf(newShadow(m, p.Tree, &r.Sheet, 2*screenLines), &p.Room, p.Opening.Allowed) {
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
