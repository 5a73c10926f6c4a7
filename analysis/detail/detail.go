// Package detail answers "where is the surface worth protecting?".
//
// The score of a place is the variation of the surface normals within a
// physical radius that the local smooth shape does not explain. Normals of a
// plane, a sphere and a cylinder are linear functions of position, so a linear
// fit of the normals leaves nothing there, however round a handle is; rivets,
// carving, stamped marks and sharp edges leave a lot. The fit is over samples
// of equal spacing, not over vertices, so the score does not depend on how
// densely the scanner triangulated the surface. What scan noise leaves over is taken
// off; but for that, a place's score depends on nothing but the surface within the
// radius of it.
package detail

import (
	"context"
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
)

// DefaultRadiusMM is the radius at which detail is looked for: about the size
// of the rivets and chisel cuts of hand props (common practice, no source).
const DefaultRadiusMM = 2

// partPerRadius keeps the default radius in proportion to a small part: it is
// at most the part's span over this.
const partPerRadius = 10

// A residual of the normals (root mean square, as a share of their length) up
// to quiet is plain: a ball of 1.7 times the radius leaves as much. One of quiet +
// span is all detail: a single sharp 90° edge leaves about as much.
const (
	quiet = 0.04
	span  = 0.16
)

// Input says at which radius to look, and where the maker decided by hand.
type Input struct {
	RadiusMM  float64 // 0: DefaultRadiusMM, less on a small part
	KeepClear []Ball  // score 1 inside, also where a plain ball reaches
	Plain     []Ball  // score 0 inside
}

// Result holds one score per vertex, 0 plain to 1 detail, and the radius used:
// a surface too large to be sampled at the radius asked for is looked at with
// a larger one. Coarse says that most faces are larger than the radius, so that
// the mesh has no detail of that size to show.
type Result struct {
	Vertex   []float32
	RadiusMM float64
	Coarse   bool
}

// Score scores every vertex of m. The error is a BadRadius, an Untouched, or
// that of ctx.
func Score(ctx context.Context, m *mesh.Mesh, in Input) (Result, error) {
	if r := in.RadiusMM; !(r >= 0) || math.IsInf(r, 0) {
		return Result{}, &BadRadius{RadiusMM: r}
	}
	s := newSurface(m)
	radius := in.RadiusMM
	if radius == 0 {
		radius = min(DefaultRadiusMM, s.span/partPerRadius)
	}
	if radius > s.span/2 {
		return Result{}, &BadRadius{RadiusMM: radius, SpanMM: s.span}
	}
	out := Result{Vertex: make([]float32, len(m.Vertices)), RadiusMM: radius}
	if s.area > 0 {
		out.RadiusMM = max(radius, samplesPerRadius*math.Sqrt(s.area/maxSamples), s.span/mostCells)
		var err error
		if out.Vertex, err = s.scores(ctx, out.RadiusMM); err != nil {
			return Result{}, err
		}
		out.Coarse = s.coarserThan(radius)
	}
	if err := override(m, out.Vertex, in.Plain, 0); err != nil {
		return Result{}, err
	}
	if err := override(m, out.Vertex, in.KeepClear, 1); err != nil {
		return Result{}, err
	}
	return out, ctx.Err()
}

// scores returns the score of each vertex: its own, or the mean over what it stands
// for where faces are vast. (A corner of a block is sharp, and
// the flat faces that it stands for are plain.)
func (s *surface) scores(ctx context.Context, radius float64) ([]float32, error) {
	d := s.divide(radius)
	c := newCells(d.points, s.frame, radius)
	residuals, err := c.residuals(ctx, len(s.Vertices), func(v int32) (at, n r3.Vec) { return s.Vertices[v], s.normal[v] })
	if err != nil {
		return nil, err
	}
	noise := s.noise(radius, residuals)
	inside, err := c.residuals(ctx, len(d.inside), func(i int32) (at, n r3.Vec) { return d.inside[i].at, unit(d.inside[i].vector) })
	if err != nil {
		return nil, err
	}
	sum, area := make([]float64, len(residuals)), d.own
	for v, r := range residuals {
		sum[v] = area[v] * grade(float64(r), noise)
	}
	for i, p := range d.inside {
		score := p.area * grade(float64(inside[i]), noise)
		for k, v := range s.Faces[p.face] {
			share := part(p.share, k)
			sum[v] += share * score
			area[v] += share * p.area
		}
	}
	out := make([]float32, len(residuals))
	for v := range out {
		if area[v] > 0 {
			out[v] = float32(sum[v] / area[v])
		}
	}
	return out, nil
}

func part(v r3.Vec, axis int) float64 { return [3]float64{v.X, v.Y, v.Z}[axis] }

// BadRadius is the error for a radius at which there is nothing to look for.
type BadRadius struct {
	RadiusMM float64
	SpanMM   float64 // about the longest distance across the part; 0 where the radius is no length at all
}

func (e *BadRadius) Error() string {
	if e.SpanMM > 0 {
		return fmt.Sprintf("detail of %.4g mm is more than half as large as the whole part", e.RadiusMM)
	}
	return fmt.Sprintf("a detail radius of %g mm is not a length", e.RadiusMM)
}

// grade turns a residual into a score, less what noise makes of it: their squares
// add up.
func grade(residual, noise float64) float64 {
	own := math.Sqrt(max(0, residual*residual-noise*noise))
	rest := 1 - min(1, max(0, (own-quiet)/span))
	return 1 - rest*rest
}

// long is the length of v; r3.Norm guards against overflow, and takes four times
// as long.
func long(v r3.Vec) float64 { return math.Sqrt(v.X*v.X + v.Y*v.Y + v.Z*v.Z) }

func add(p *r3.Vec, by r3.Vec) { p.X, p.Y, p.Z = p.X+by.X, p.Y+by.Y, p.Z+by.Z }
