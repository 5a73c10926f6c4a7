// Package cut answers "where to open the block?".
//
// Upright planes through the spout's axis are tried all round, and free planes,
// leaning and beside the spout. Each is judged by the detail its outline crosses,
// the undercut it leaves on both sides, how near to the middle of the pattern it
// passes, how deep the pattern lies in the halves, how long the seam is, how much rubber is to be cut and how much is there
// for keys; all the less where rubber of one half goes round the pattern, so that it does
// not come off. Where no plane is good, a sheet that steps aside is sought. On the
// chosen sheet lie the land, the key line and the least slit.
//
// A mold in two parts is poured in two pours, the first over a bed of clay that the
// pattern lies in. Its sheet is that bed: upright through the spout in the stand
// frame, plane or stepped, and chosen above all for what it leaves hooked behind the
// pattern. On it lie keys, and nothing is cut.
package cut

import (
	"context"
	"errors"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
)

const (
	screenVertices = 6_000 // of the coarse mesh that sheets are compared on
	screenLines    = 32    // to the longer side of the shadow that undercut is summed over
	fullLines      = 160
)

// Input is what the choice depends on; the pattern is in the stand frame.
type Input struct {
	Axis        r3.Vec    // a point of the spout's axis, which is vertical
	SpoutMM     float64   // diameter
	Centroid    r3.Vec    // of the pattern
	Detail      []float32 // score of each vertex, 0–1
	VolumeMM3   float64   // of the pattern
	AreaMM2     float64   // of the pattern
	ClearanceMM float64   // rubber that is to be about the pattern
	TwoPart     bool      // the sheet is the bed of a mold in two parts
	Rough       bool      // of a bed: fewer are tried, to compare ways up
	Space       Space     // round the pattern; without one links are not counted
	Progress    func(done, total int64)
}

// Result is the best sheet and how it compares.
type Result struct {
	Sheet
	Outline       []mesh.Loop
	OutlineMM     float64    // length of all loops
	SectionMM2    float64    // area of the pattern in the sheet, seen along Normal
	DetailCrossed float64    // mean detail along the outline, 0–1
	UndercutMM3   [2]float64 // rubber behind the pattern on the −normal, +normal side
	DepthMM       [2]float64 // its depth along the pull
	Links         []Link     // that rubber of the halves stays in
	DrawMM        float64    // depth of the pattern in the deeper half
	Square        float64    // mean angle between the sheet and the surface, degrees; 90 is best
	ThroughSpout  bool
	Criteria      Criteria
	Score         float64
	Searched      int // sheets compared

	worst     candidate // for why: of the planes through the spout
	mostLinks int       // likewise, of all whose links were counted
	heldMM    float64   // of hooks that the rubber does not give way to, the deepest, once the block is known
	holed     bool      // the pattern has a hole
	counted   bool      // links were
	volume    float64
	bed       bool
}

// Stepped tells whether the sheet is a plane that steps aside.
func (r *Result) Stepped() bool { return len(r.Steps) > 0 }

// Choose compares the sheets on a reduced mesh and returns the best with its
// outline on the pattern itself. Undercut is that of the reduced mesh; see Exact.
func Choose(ctx context.Context, s *mesh.Solid, in Input) (Result, error) {
	if len(in.Detail) != len(s.Vertices) {
		return Result{}, errors.New("detail and vertices do not match")
	}
	j, err := newJudge(s.Mesh, in)
	if err != nil {
		return Result{}, err
	}
	tried, err := j.throughSpout(ctx)
	if err != nil {
		return Result{}, err
	}
	j.rateAgainst(tried, tried)
	all := tried
	if !in.TwoPart {
		first, err := j.settle(ctx, tried)
		if err != nil {
			return Result{}, err
		}
		free, err := j.freePlanes(ctx, tried[first].sheet)
		if err != nil {
			return Result{}, err
		}
		all = append(tried, free...)
		j.rateAgainst(all, all)
	}
	best, err := j.settle(ctx, all[:len(tried)])
	if err != nil {
		return Result{}, err
	}
	_, worst := extremes(all[:len(tried)])
	r := Result{worst: all[worst], volume: in.VolumeMM3, bed: in.TwoPart}
	finalists, err := j.finalists(ctx, all, len(tried), best)
	if err != nil {
		return Result{}, err
	}
	r.Searched = len(tried) + len(finalists) - 1
	chosen, err := j.settle(ctx, finalists)
	if err != nil {
		return Result{}, err
	}
	r.take(s.Mesh, in, finalists[chosen])
	if j.linking != nil {
		r.counted = true
		r.Links = j.linking.find(&r.Sheet)
		for _, c := range append(all, finalists...) {
			if n := c.links[0] + c.links[1]; c.counted {
				r.mostLinks = max(r.mostLinks, n)
			}
		}
	}
	return r, nil
}

// finalists are the best of the planes through the spout, the first n of all, with all
// sheets that are none of those.
func (j *judge) finalists(ctx context.Context, all []candidate, n, best int) ([]candidate, error) {
	finalists := append([]candidate{all[best]}, all[n:]...)
	if !j.in.Rough && (j.in.TwoPart || all[best].poor(j.in.VolumeMM3)) {
		stepped, err := j.stepAside(ctx, all[best], all)
		if err != nil {
			return nil, err
		}
		finalists = append(finalists, stepped...)
	}
	if j.in.TwoPart {
		shaped, err := j.shapeBeds(ctx, all[best])
		if err != nil {
			return nil, err
		}
		finalists = append(finalists, shaped...)
		// What no plane can do without counts against all of them.
		j.rateAgainst(finalists, append(slices.Clone(all), finalists[1:]...))
	}
	return finalists, nil
}

// take fills in the figures of the chosen sheet, its outline on the mesh itself.
func (r *Result) take(m *mesh.Mesh, in Input, c candidate) {
	r.Sheet, r.Criteria, r.Score, r.ThroughSpout = c.sheet, c.criteria, c.score, c.throughSpout || in.meetsSpout(&c.sheet)
	r.UndercutMM3, r.DepthMM, r.DrawMM = c.hooked.mm3, c.hooked.depthMM, c.drawMM
	r.Outline, r.SectionMM2 = r.Sheet.Section(m)
	crossed, square := 0.0, 0.0
	for _, l := range r.Outline {
		r.OutlineMM += l.Length()
		crossed += crossedDetail(l, in.Detail)
		square += r.squareness(m, l)
	}
	if r.OutlineMM > 0 {
		r.DetailCrossed = crossed / r.OutlineMM
		r.Square = square / r.OutlineMM
	}
}

// meetsSpout tells whether an upright plane passes well within the spout.
func (in *Input) meetsSpout(s *Sheet) bool {
	return s.plane() && math.Abs(s.Normal.Z) < 1e-9 && math.Abs(s.Height(in.Axis)) <= in.SpoutMM/4
}

// Moved returns the result in the frame that a pose leads to.
func (r Result) Moved(p mesh.Pose) Result {
	r.Sheet = r.Sheet.Moved(p)
	loops := make([]mesh.Loop, len(r.Outline))
	for k, l := range r.Outline {
		loops[k] = mesh.Loop{Points: make([]r3.Vec, len(l.Points)), Edges: l.Edges, T: l.T}
		for i, q := range l.Points {
			loops[k].Points[i] = p.Point(q)
		}
	}
	r.Outline = loops
	r.Links = slices.Clone(r.Links)
	for i := range r.Links {
		r.Links[i].At = p.Point(r.Links[i].At)
	}
	return r
}

// Exact takes the undercut from the pattern itself, whose search tree is at hand.
func (r *Result) Exact(m *mesh.Mesh, tree *mesh.Tree) {
	r.UndercutMM3, r.DepthMM = Undercut(m, tree, r.Sheet, fullLines)
}

// crossedDetail integrates the detail along a loop by its length.
func crossedDetail(l mesh.Loop, detail []float32) float64 {
	at := func(i int) float64 {
		e := l.Edges[i]
		return float64(detail[e[0]])*(1-l.T[i]) + float64(detail[e[1]])*l.T[i]
	}
	sum := 0.0
	for i := range l.Points {
		j := (i + 1) % len(l.Points)
		sum += r3.Norm(r3.Sub(l.Points[j], l.Points[i])) * (at(i) + at(j)) / 2
	}
	return sum
}

// squareness integrates the angle between the sheet and the surface along a loop,
// degrees·mm. The surface's normal at a point comes from the two edges that meet
// the face there.
func (r *Result) squareness(m *mesh.Mesh, l mesh.Loop) float64 {
	sum := 0.0
	for i, p := range l.Points {
		j := (i + 1) % len(l.Points)
		step := r3.Sub(l.Points[j], p)
		length := r3.Norm(step)
		face, ok := faceOf(m, l.Edges[i], l.Edges[j])
		if !ok || length == 0 {
			continue
		}
		n := r3.Norm(face)
		if n == 0 {
			continue
		}
		off := math.Abs(r3.Dot(face, r.Normal)) / n
		sum += length * (90 - math.Asin(min(1, off))*180/math.Pi)
	}
	return sum
}

// faceOf returns the normal, of any length, of the face that two of its edges
// span.
func faceOf(m *mesh.Mesh, a, b [2]int32) (r3.Vec, bool) {
	third := b[0]
	if third == a[0] || third == a[1] {
		third = b[1]
	}
	if third == a[0] || third == a[1] {
		return r3.Vec{}, false
	}
	p := m.Vertices[a[0]]
	return r3.Cross(r3.Sub(m.Vertices[a[1]], p), r3.Sub(m.Vertices[third], p)), true
}
