// Package stand answers "which way up, and where is the spout?".
//
// More than a thousand directions, even over the sphere, and every flat of the
// convex hull are tried as the one that points at the board, on a coarse mesh.
// The best dozen, and those that are best at one thing, are leaned to their best
// tilt and judged on a fine mesh, with all their traps of air. Where the choice
// and its alternatives touch the board is measured on the scan itself. The spout
// is the widest circle in a section just above the board. Of the ways that none
// beats in everything at once, the choice has the highest weighted mean.
package stand

import (
	"context"
	"errors"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
)

// StemMM is how long a stem is where one is needed and its length is not given.
const StemMM = 20

// Air is what one pour leaves trapped.
type Air struct {
	Count    int     // places where air stays without a vent
	Vents    int     // of them, those that a straight post to the board frees
	OnDetail float64 // sum over the places of the detail there, 0–1 each
	StayMM3  float64 // what stays where no post frees it
}

// AirFinder tells, for one mesh, what each pour traps when down points at the
// board and the cavity is open at the given vertices. It must be safe for
// concurrent use.
type AirFinder func(down r3.Vec, open []int32) (cast, rubber Air)

// Input is what the choice depends on. Lengths in mm, places in the scan frame.
type Input struct {
	Measures     mesh.Measures
	Detail       []float32 // score of each vertex, 0–1
	DetailMM     float64   // radius at which that was looked for; 0 for 2 mm
	Down         *r3.Vec   // unit, given by the maker; nil to search
	Spout        *r3.Vec   // where the maker wants it, on or near the surface; nil to search
	StemMM       float64   // length of a stem that is asked for; 0: one of StemMM only where it is needed
	LeastSpoutMM float64
	ClearanceMM  float64
	CoverMM      float64
	TightestMM   [3]float64 // sides of the tightest box; zero to find it
	Weights      Weights    // all zero for DefaultWeights
	// Air prepares a mesh for the count of traps; quick is for many directions.
	// The frame of the mesh is not the scan's.
	Air func(m *mesh.Mesh, detail []float32, quick bool) AirFinder
	// Passage tells the narrowest place (mm) between a spout of a diameter and
	// the rest of the pattern, and the volume behind it; NaN where it is not known.
	// Nil: necks are not looked at. It must be safe for concurrent use.
	Passage  func(spout r3.Vec, diameterMM float64) (narrowestMM, behindMM3 float64)
	Progress func(done, total int64)
}

func (in *Input) stemLength() float64 {
	if in.StemMM > 0 {
		return in.StemMM
	}
	return StemMM
}

func (in *Input) detailRadius() float64 {
	if in.DetailMM > 0 {
		return in.DetailMM
	}
	return 2
}

// Way is one way up. Points and directions are in the frame of the scan.
type Way struct {
	Down            r3.Vec  // unit
	Spout           r3.Vec  // centre of the opening on the pattern
	SpoutDiameterMM float64 // of the widest circle where it touches the board or the stem
	StemMM          float64 // 0: the pattern touches the board itself
	Open            []int32 // vertices in the spout and wherever else it lies open to the board
	OtherFeet       int     // places besides the spout where the pattern touches the board
	HeightMM        float64
	Cast, Rubber    Air
	SpoutDetail     float64 // mean detail under and around the spout and on the board, 0–1
	DetailLost      float64 // share of all the pattern's detail that is, 0–1
	RubberMM3       float64 // of a rough box
	TipDeg          float64 // tilt at which it would fall over, negative: it would not stand
	NeckMM          float64 // narrowest place behind the spout; NaN when not known
	BehindMM3       float64 // volume behind that
	Criteria        Criteria
	Score           float64
	Pareto          bool        // no finalist is better at one thing and as good at all others
	BestAt          []Criterion // at which no other way of the result is as good
	Why             string

	close bool // its contact was measured on the scan itself
}

// Result lists the choice first, then its alternatives, best first.
type Result struct {
	Ways     []Way
	Searched int // directions looked at
	Judged   int // finalists that really differ
	Pareto   int // of them, those that none of the others beats
	Weights  Weights
}

// Choose searches the ways up of a solid. A *Refused tells that the maker's
// wishes for the spout cannot be met.
func Choose(ctx context.Context, solid *mesh.Solid, in Input) (Result, error) {
	if len(in.Detail) != len(solid.Vertices) {
		return Result{}, errors.New("detail and vertices do not match")
	}
	if in.Weights == (Weights{}) {
		in.Weights = DefaultWeights
	}
	s, err := newSearch(ctx, solid, in)
	if err != nil {
		return Result{}, err
	}
	ds, err := s.directions()
	if err != nil {
		return Result{}, err
	}
	finals, err := s.screen(ds)
	if err != nil {
		return Result{}, err
	}
	ways, err := s.judgeFinals(finals)
	if err != nil {
		return Result{}, err
	}
	r, err := s.settle(ways)
	if err != nil {
		return Result{}, err
	}
	r.Searched, r.Weights = len(ds), in.Weights
	for i := range r.Ways {
		r.Ways[i].Why = why(r.Ways, i, in.Weights)
	}
	return r, nil
}

// hullOf returns the hull of points, or just the points when they have none.
func hullOf(points []r3.Vec) *mesh.Mesh {
	hull, err := mesh.Hull(points)
	if err != nil {
		return &mesh.Mesh{Vertices: points}
	}
	return hull
}

// nan is what is not known.
var nan = math.NaN()
