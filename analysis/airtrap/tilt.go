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
	tiltSteps   = int(mostTiltDeg / tiltStepDeg)
)

// A tilt that leaves more than the best by this share of the air, or by less
// than what matters, is as good (common practice, no source).
const asGoodShare = 0.05

// A tilt that frees less than this share of the air is not worth the trouble
// (common practice, no source).
const helpsShare = 0.2

// Sides to tilt to, in the order they are preferred: one wall of the box down,
// one corner down, between.
var tiltBearings = [...]float64{0, 90, 180, 270, 45, 135, 225, 315, 22.5, 67.5, 112.5, 157.5, 202.5, 247.5, 292.5, 337.5}

// tiltVertices is about how fine a mesh the first search is made on; where it
// shows less than this share of the air, on four times as many.
const (
	tiltVertices = 6000
	shownShare   = 0.7
)

// verifyVertices is about how fine a mesh what was found is tried on again.
const verifyVertices = 60000

// LeastTilt looks for the smallest tilt, up to 30°, that frees the most air of
// the traps found when level. All tilts are tried on a coarse mesh; what it
// finds is refined to half a degree on a finer one, and what it leaves is that of
// the mesh itself.
func LeastTilt(ctx context.Context, s *Surface, in Tilting, traps []Trap) (Tilt, error) {
	t := Tilt{Frees: make([]bool, len(traps)), BeforeMM3: Air(traps), LeftMM3: Air(traps), Up: in.Up}
	if t.BeforeMM3 == 0 {
		return t, nil
	}
	fine := newTilter(s, in, traps)
	best, err := fine.least(ctx)
	if err != nil {
		return t, err
	}
	if best.left > t.BeforeMM3-max(in.VolumeMM3, helpsShare*t.BeforeMM3) {
		return t, nil
	}
	t.Deg, t.Toward, t.Up, t.LeftMM3 = best.deg, best.toward(), best.up(in.Up), best.left
	found, err := fine.find(t.Up)
	if err != nil {
		return t, err
	}
	for i, trap := range traps {
		t.Frees[i] = fine.frees(trap, found, t.Up)
	}
	return t, nil
}

// least searches on a coarse mesh, refines on a finer one and measures on t's.
func (t *tilter) least(ctx context.Context) (lean, error) {
	coarse, err := t.coarse()
	if err != nil {
		return lean{}, err
	}
	ways, err := coarse.search(ctx)
	if err != nil {
		return lean{}, err
	}
	medium, err := t.reduced(verifyVertices, false)
	if err != nil {
		return lean{}, err
	}
	best, err := medium.verify(ctx, ways)
	if err != nil {
		return lean{}, err
	}
	best.left, err = t.left(best)
	return best, err
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
	level []Trap    // found before tilting
	space [][]int32 // of each of them that is in no larger one: the vertices around its air
	owner []int32   // of each vertex: the trap whose air it is in, −1 for none
}

func newTilter(s *Surface, in Tilting, level []Trap) *tilter {
	t := &tilter{s: s, in: in, level: level, space: make([][]int32, len(level)), owner: make([]int32, len(s.m.Vertices))}
	for v := range t.owner {
		t.owner[v] = -1
	}
	for i, trap := range level {
		if trap.Nested {
			continue
		}
		t.space[i] = t.around(trap, in.Up)
		for _, v := range t.space[i] {
			t.owner[v] = int32(i)
		}
	}
	return t
}

// around returns the vertices around the air of a trap found with an up.
func (t *tilter) around(trap Trap, up r3.Vec) []int32 {
	return t.s.flood(trap.Vertex, func(v int32) bool { return r3.Dot(up, t.s.m.Vertices[v]) > trap.Spill+t.s.grain })
}

func (t *tilter) asGood() float64 { return max(t.in.VolumeMM3, asGoodShare*Air(t.level)) }

// coarse returns the same on a mesh of fewer vertices, when there are many: the
// coarsest that shows most of the air.
func (t *tilter) coarse() (*tilter, error) {
	c, err := t.reduced(tiltVertices, true)
	if err != nil || Air(c.level) >= shownShare*Air(t.level) {
		return c, err
	}
	return t.reduced(4*tiltVertices, true)
}

// reduced returns the same on a mesh of about so many vertices, if there are
// more than twice as many.
func (t *tilter) reduced(vertices int, screen bool) (*tilter, error) {
	if len(t.s.m.Vertices) <= 2*vertices {
		return t, nil
	}
	m, to := t.s.m.Clustered(math.Sqrt(1.5 * t.s.m.Area() / float64(vertices)))
	in := t.in
	in.Screen = screen
	in.Open = make([]int32, len(t.in.Open))
	for i, v := range t.in.Open {
		in.Open[i] = to[v]
	}
	s := NewSurface(m)
	level, err := Find(s, in.Input)
	return newTilter(s, in, level), err
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
	sum := 0.0
	rest := make([][]Trap, len(t.level))
	for _, f := range found {
		if f.Nested {
			continue
		}
		if i := t.owner[f.Vertex]; i >= 0 {
			rest[i] = append(rest[i], f)
		} else {
			sum += f.VolumeMM3
		}
	}
	for i, trap := range t.level {
		if trap.Nested {
			continue
		}
		still := Air(rest[i])
		if !t.reached(trap, t.space[i], rest[i], up) {
			still = max(still, trap.VolumeMM3)
		}
		sum += still
	}
	return sum, nil
}

// frees tells whether a tilt leaves next to nothing of a trap.
func (t *tilter) frees(trap Trap, found []Trap, up r3.Vec) bool {
	space := t.around(trap, t.in.Up)
	var rest []Trap
	for _, f := range found {
		if slices.Contains(space, f.Vertex) {
			rest = append(rest, f)
		}
	}
	return Air(rest) <= max(t.in.VolumeMM3, 2*asGoodShare*trap.VolumeMM3) && t.reached(trap, space, rest, up)
}

// reached tells whether the liquid rises as far as it gets in the space of a
// trap while it is tilted, to what is left of the trap or to its top: it does
// not where it runs out first, or where the board closes the trap.
func (t *tilter) reached(trap Trap, space []int32, rest []Trap, up r3.Vec) bool {
	if t.in.Domain == Outside && trap.OnBoard() {
		return false
	}
	need := math.Inf(-1)
	for _, f := range rest {
		need = max(need, f.Spill)
	}
	if len(rest) == 0 {
		for _, v := range space {
			need = max(need, r3.Dot(up, t.s.m.Vertices[v]))
		}
	}
	return need <= t.in.Limit(up)
}

// OnBoard tells of a trap of the rubber whether its rim stands on the board, so
// that rubber never gets in.
func (t Trap) OnBoard() bool { return t.Spill < boardGapMM }

// boardGapMM is a gap that glue or clay closes (common practice, no source).
const boardGapMM = 0.5

// way is one bearing to tilt to: the tilt that leaves least, and the smallest
// that is as good.
type way struct{ best, least lean }

// search tries all tilts and returns all bearings, those that leave least first.
func (t *tilter) search(ctx context.Context) ([]way, error) {
	var all []lean
	for order := range tiltBearings {
		for k := range tiltSteps {
			all = append(all, lean{order: order, deg: tiltStepDeg * float64(k+1)})
		}
	}
	if err := t.leave(ctx, all); err != nil {
		return nil, err
	}
	var ways []way
	for some := range slices.Chunk(all, tiltSteps) {
		w := way{best: slices.MinFunc(some, byAir)}
		w.least = some[slices.IndexFunc(some, func(l lean) bool { return l.left <= w.best.left+t.asGood() })]
		ways = append(ways, w)
	}
	slices.SortStableFunc(ways, func(a, b way) int { return byAir(a.best, b.best) })
	return ways, nil
}

func byAir(a, b lean) int { return cmp.Compare(a.left, b.left) }

// verify tries the bearings found on a coarser mesh again: of all tilts as good as the
// best it takes the smallest, the first of equals, and refines it.
func (t *tilter) verify(ctx context.Context, ways []way) (lean, error) {
	var tried []lean
	for _, w := range ways {
		tried = append(tried, w.best, w.least)
	}
	if err := t.leave(ctx, tried); err != nil {
		return lean{}, err
	}
	enough := slices.MinFunc(tried, byAir).left + t.asGood()
	slices.SortStableFunc(tried, func(a, b lean) int { return cmp.Or(cmp.Compare(a.deg, b.deg), cmp.Compare(a.order, b.order)) })
	chosen := tried[slices.IndexFunc(tried, func(l lean) bool { return l.left <= enough })]
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
