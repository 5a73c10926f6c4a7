package hold

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// Tip says whether the pattern keels over. A moment about an edge of the hull
// around its contact lifts the other side when it is above zero, unless glue
// holds it there.
type Tip struct {
	StandDeg float64 // least tilt that topples it before there is rubber; negative when it falls by itself
	// The greatest moment during the pour, of the worst density and mass, N·mm.
	SealedNMM, LeakingNMM   float64
	SealedAtMM, LeakingAtMM float64
	EdgeMM                  [2]r2.Vec // it turns about, leaking
}

// edge is one side of the support, with the unit vector across it, inward.
type edge struct{ a, b, inward r2.Vec }

func (c Contact) edges() []edge {
	var edges []edge
	for i, a := range c.Hull {
		b := c.Hull[(i+1)%len(c.Hull)]
		if d := r2.Sub(b, a); r2.Norm(d) > 0 {
			edges = append(edges, edge{a, b, r2.Scale(1/r2.Norm(d), r2.Vec{X: -d.Y, Y: d.X})})
		}
	}
	return edges
}

// tipEdge is the line through a bare tip that a pull turns the pattern about.
func (c Contact) tipEdge(pull r2.Vec) edge {
	inward := r2.Vec{X: 1}
	if l := r2.Norm(pull); l > 0 {
		inward = r2.Scale(1/l, pull)
	}
	return edge{c.Hull[0], c.Hull[0], inward}
}

func (in Input) tip(b *body, states []state) Tip {
	edges := in.Contact.edges()
	bare := len(edges) == 0
	t := Tip{StandDeg: in.standDeg(b, edges), SealedNMM: math.Inf(-1), LeakingNMM: math.Inf(-1)}
	for _, s := range states {
		if bare {
			edges = []edge{in.Contact.tipEdge(r2.Sub(s.moment, r2.Scale(s.mm3, in.Contact.Hull[0])))}
		}
		for _, e := range edges {
			if m := in.turning(b, e, s.mm3, s.moment); m > t.LeakingNMM+1e-12*math.Abs(m) {
				t.LeakingNMM, t.LeakingAtMM, t.EdgeMM = m, s.levelMM, [2]r2.Vec{e.a, e.b}
			}
			if m := in.turning(b, e, s.sealedMM3, s.sealedMoment); m > t.SealedNMM+1e-12*math.Abs(m) {
				t.SealedNMM, t.SealedAtMM = m, s.levelMM
			}
		}
	}
	return t
}

// turning returns the moment about an edge (N·mm) of rubber of that volume and
// first moment, less the pattern's weight, at the worst of the densities and
// masses: it is linear in both.
func (in Input) turning(b *body, e edge, mm3 float64, moment r2.Vec) float64 {
	lifted := r2.Dot(e.inward, r2.Sub(moment, r2.Scale(mm3, e.a)))
	lever := r2.Dot(e.inward, r2.Sub(flat(b.centroid), e.a))
	weigh := func(g float64) float64 { return g / 1000 * Gravity * lever }
	d := in.DensityGPerCM3
	return max(newtons(lifted, d.Low), newtons(lifted, d.High)) - min(weigh(in.Mass.LowG), weigh(in.Mass.HighG))
}

// standDeg is the least over the edges of atan(lever/height of the centroid).
func (in Input) standDeg(b *body, edges []edge) float64 {
	if len(edges) == 0 {
		return 0
	}
	least := math.Inf(1)
	for _, e := range edges {
		least = min(least, r2.Dot(e.inward, r2.Sub(flat(b.centroid), e.a)))
	}
	return math.Atan2(least, b.centroid.Z) * 180 / math.Pi
}
