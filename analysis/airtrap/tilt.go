package airtrap

import (
	"cmp"
	"context"
	"math"
	"slices"
	"sync"

	"gonum.org/v1/gonum/spatial/r3"
)

// Tilting is a pour in the stand frame, and what keeps it from being tilted far.
type Tilting struct {
	Input // as it stands level: Up is ±z
	// Limit returns the highest level, along a tilted up, that the liquid can
	// rise to before it runs out.
	Limit func(up r3.Vec) float64
}

// Tilt is the least tilt that frees as good as the most air.
type Tilt struct {
	Deg       float64 // 0: no tilt helps
	Toward    r3.Vec  // level and of unit length: the side that goes down; zero for none
	Up        r3.Vec  // against gravity, so tilted
	BeforeMM3 float64 // air trapped when level
	LeftMM3   float64 // and when tilted
	Frees     []bool  // which of the traps
}

// Tilts that are tried, degrees, and the step to which the answer is refined.
const (
	mostTiltDeg = 30
	tiltStepDeg = 2.5
	tiltFineDeg = 0.5
	tiltSteps   = mostTiltDeg / tiltStepDeg
)

// A tilt that leaves more than the best by this share of the air, or by less
// than what matters, is as good (common practice, no source).
const asGoodShare = 0.05

// Sides to tilt to, in the order they are preferred: one wall of the box down,
// one corner down, between.
var tiltBearings = [...]float64{0, 90, 180, 270, 45, 135, 225, 315, 22.5, 67.5, 112.5, 157.5, 202.5, 247.5, 292.5, 337.5}

// tiltVertices is about how fine a mesh the first search is made on.
const tiltVertices = 6000

// verified is how many of the tilts found there are tried on the whole mesh.
const verified = 4

// LeastTilt looks for the smallest tilt, up to 30°, that frees the most air of
// the traps found when level. All tilts are tried on a coarse mesh; what it
// finds is verified and refined to half a degree on the mesh itself.
func LeastTilt(ctx context.Context, s *Surface, in Tilting, traps []Trap) (Tilt, error) {
	t := Tilt{Frees: make([]bool, len(traps)), BeforeMM3: Air(traps), LeftMM3: Air(traps), Up: in.Up}
	if t.BeforeMM3 == 0 {
		return t, nil
	}
	fine := &tilter{s: s, in: in, level: traps}
	coarse, err := fine.coarse()
	if err != nil {
		return t, err
	}
	leans, err := coarse.search(ctx)
	if err != nil {
		return t, err
	}
	best, err := fine.verify(ctx, leans[:min(len(leans), verified)])
	if err != nil {
		return t, err
	}
	if best.left > t.BeforeMM3-fine.asGood() {
		return t, nil
	}
	t.Deg, t.Toward, t.Up, t.LeftMM3 = best.deg, best.toward(), best.up(in.Up), best.left
	found, err := fine.find(t.Up)
	if err != nil {
		return t, err
	}
	for i, trap := range traps {
		t.Frees[i] = !fine.keeps(trap, t.Up, found)
	}
	return t, nil
}

// Air returns the volume of some traps together, mm³.
func Air(traps []Trap) float64 {
	sum := 0.0
	for _, t := range traps {
		if !t.Nested {
			sum += t.VolumeMM3
		}
	}
	return sum
}

// lean is one tilt and the air it leaves.
type lean struct {
	order int // of the bearing
	deg   float64
	left  float64
}

func (l lean) toward() r3.Vec {
	sin, cos := math.Sincos(tiltBearings[l.order] * math.Pi / 180)
	return r3.Vec{X: cos, Y: sin}
}

// up turns the direction against gravity: the side tilted to goes down.
func (l lean) up(level r3.Vec) r3.Vec {
	sin, cos := math.Sincos(l.deg * math.Pi / 180)
	return r3.Unit(r3.Sub(r3.Scale(cos, level), r3.Scale(sin, l.toward())))
}

// tilter tells how much air tilts of one mesh leave.
type tilter struct {
	s     *Surface
	in    Tilting
	level []Trap // found before tilting
}

func (t *tilter) asGood() float64 { return max(t.in.VolumeMM3, asGoodShare*Air(t.level)) }

// coarse returns the same on a mesh of fewer vertices, when there are many.
func (t *tilter) coarse() (*tilter, error) {
	if len(t.s.m.Vertices) <= 2*tiltVertices {
		return t, nil
	}
	m, to := t.s.m.Clustered(math.Sqrt(1.5 * t.s.m.Area() / tiltVertices))
	c := &tilter{s: NewSurface(m), in: t.in}
	c.in.Screen = true
	c.in.Open = make([]int32, len(t.in.Open))
	for i, v := range t.in.Open {
		c.in.Open[i] = to[v]
	}
	var err error
	c.level, err = c.find(c.in.Up)
	return c, err
}

func (t *tilter) find(up r3.Vec) ([]Trap, error) {
	in := t.in.Input
	in.Up = up
	return Find(t.s, in)
}

// left returns the air, mm³, that a tilt leaves: what is trapped then, and what
// was trapped before where the liquid does not get to while it is tilted.
func (t *tilter) left(l lean) (float64, error) {
	up := l.up(t.in.Up)
	found, err := t.find(up)
	if err != nil {
		return 0, err
	}
	sum := Air(found)
	for _, trap := range t.level {
		if !trap.Nested && t.outOfReach(trap, up) && !t.within(found, up, trap.Vertex) {
			sum += trap.VolumeMM3
		}
	}
	return sum, nil
}

// keeps tells whether the trap found when level still holds air.
func (t *tilter) keeps(trap Trap, up r3.Vec, found []Trap) bool {
	return t.outOfReach(trap, up) || t.within(found, up, trap.Vertex)
}

// outOfReach tells whether the liquid never gets to the trap's top while it is
// tilted: it runs out first, or the board closes the trap.
func (t *tilter) outOfReach(trap Trap, up r3.Vec) bool {
	return r3.Dot(up, trap.At) > t.in.Limit(up) || t.in.Domain == Outside && trap.OnBoard()
}

// OnBoard tells of a trap of the rubber whether its rim stands on the board, so
// that rubber never gets in.
func (t Trap) OnBoard() bool { return t.Spill < boardGapMM }

// boardGapMM is a gap that glue or clay closes (common practice, no source).
const boardGapMM = 0.5

// within tells whether a vertex is in the air of one of the traps.
func (t *tilter) within(traps []Trap, up r3.Vec, vertex int32) bool {
	at := t.s.m.Vertices
	for _, trap := range traps {
		if r3.Dot(up, at[vertex]) > trap.Spill &&
			slices.Contains(t.s.flood(trap.Vertex, func(v int32) bool { return r3.Dot(up, at[v]) > trap.Spill }), vertex) {
			return true
		}
	}
	return false
}

// search tries all tilts and returns, of each bearing, the smallest that is as
// good as the best of all, smaller ones first.
func (t *tilter) search(ctx context.Context) ([]lean, error) {
	var all []lean
	for order := range tiltBearings {
		for k := range int(tiltSteps) {
			all = append(all, lean{order: order, deg: tiltStepDeg * float64(k+1)})
		}
	}
	if err := t.leave(ctx, all); err != nil {
		return nil, err
	}
	best := slices.MinFunc(all, func(a, b lean) int { return cmp.Compare(a.left, b.left) })
	var leans []lean
	for _, l := range all {
		known := len(leans) > 0 && leans[len(leans)-1].order == l.order
		if !known && l.left <= best.left+t.asGood() {
			leans = append(leans, l)
		}
	}
	slices.SortStableFunc(leans, func(a, b lean) int { return cmp.Or(cmp.Compare(a.deg, b.deg), cmp.Compare(a.order, b.order)) })
	return leans, nil
}

// verify tries some tilts on the mesh itself and refines the first that is as
// good as the best of them.
func (t *tilter) verify(ctx context.Context, some []lean) (lean, error) {
	if err := t.leave(ctx, some); err != nil {
		return lean{}, err
	}
	best := slices.MinFunc(some, func(a, b lean) int { return cmp.Compare(a.left, b.left) })
	enough := best.left + t.asGood()
	chosen := some[slices.IndexFunc(some, func(l lean) bool { return l.left <= enough })]
	// Halve the last step while the smaller tilt is as good.
	high := int(math.Round(chosen.deg / tiltFineDeg))
	low := high - int(tiltStepDeg/tiltFineDeg)
	for high-low > 1 {
		try := []lean{{order: chosen.order, deg: float64((low+high)/2) * tiltFineDeg}}
		if err := t.leave(ctx, try); err != nil {
			return lean{}, err
		}
		if try[0].left <= enough {
			chosen, high = try[0], (low+high)/2
		} else {
			low = (low + high) / 2
		}
	}
	return chosen, nil
}

// leave fills in the air that each tilt leaves, on two processors or more.
func (t *tilter) leave(ctx context.Context, leans []lean) error {
	const hands = 4
	errs := make([]error, hands)
	var wait sync.WaitGroup
	for h := range hands {
		wait.Add(1)
		go func() {
			defer wait.Done()
			for i := h; i < len(leans) && errs[h] == nil; i += hands {
				if errs[h] = ctx.Err(); errs[h] == nil {
					leans[i].left, errs[h] = t.left(leans[i])
				}
			}
		}()
	}
	wait.Wait()
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}
