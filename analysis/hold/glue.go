package hold

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// Kind is one way to fix the pattern to the board: an adhesive, by its strength
// over the patch, or pieces such as screws, by what one holds.
type Kind struct {
	Name               string
	TensilePa, ShearPa Range // of an adhesive; zero for pieces
	EachN              Range // of one piece; zero for adhesives
	Basis              string
}

func (k Kind) valid() bool {
	if k.EachN.Low > 0 {
		return k.EachN.ordered()
	}
	return k.TensilePa.Low > 0 && k.TensilePa.ordered() && k.ShearPa.Low > 0 && k.ShearPa.ordered()
}

// gentler tells whether a joint comes apart with less harm to the pattern: the
// weaker adhesive, and any adhesive before pieces, which leave holes.
func gentler(a, b Kind) bool {
	if (a.EachN.Low > 0) != (b.EachN.Low > 0) {
		return b.EachN.Low > 0
	}
	return a.TensilePa.Low < b.TensilePa.Low
}

// pieceMM2 is how much of the patch a screw needs around it: they are 12 mm
// apart (common practice, no source).
const pieceMM2 = 144

// Need says what one kind of joint takes to hold.
type Need struct {
	Kind    string
	AreaMM2 *float64 // of a patch of the same shape, safety in it; nil: pieces, or no patch to tell from
	Pieces  int      // of screws, 0 for adhesives
	Holds   bool     // the patch there is does
	Basis   string
}

// load is what the joint bears, leaking, with the densest rubber and the
// lightest pattern.
type load struct {
	cases  []pull
	liftN  float64 // greatest net lift, 0 when the pattern stays down
	pullPa float64 // greatest stress at the rim of the patch, 0 when it is pressed all over
	shearN float64
}

// pull is the stress on the patch at one level, pressed on one side: its mean
// and the most that bending adds, both in N/mm², pulling positive.
type pull struct{ mean, bending float64 }

func (in Input) load(b *body, states []state, s Shove) load {
	l := load{shearN: s.ForceN}
	patch := in.patch()
	weight := in.Mass.LowG / 1000 * Gravity
	pushes := [4]r2.Vec{{X: s.MomentNMM}, {X: -s.MomentNMM}, {Y: s.MomentNMM}, {Y: -s.MomentNMM}}
	for _, st := range states {
		lift := newtons(st.mm3, in.DensityGPerCM3.High) - weight
		l.liftN = max(l.liftN, lift)
		if patch <= 0 {
			continue
		}
		c := in.Contact.Centre
		moment := r2.Scale(newtons(1, in.DensityGPerCM3.High), r2.Sub(st.moment, r2.Scale(st.mm3, c)))
		moment = r2.Sub(moment, r2.Scale(weight, r2.Sub(flat(b.centroid), c)))
		p := pull{mean: lift / patch}
		for _, push := range pushes {
			for _, at := range in.Contact.Hull {
				p.bending = max(p.bending, in.Contact.bend(r2.Add(moment, push), at)*in.Contact.AreaMM2/patch)
			}
		}
		l.cases = append(l.cases, p)
		l.pullPa = max(l.pullPa, (p.mean+p.bending)*1e6)
	}
	return l
}

// need works out each kind of joint, at its low strength.
func (in Input) need(l load) (needs []Need, held int) {
	held = -1
	patch := in.patch()
	for i, k := range in.Kinds {
		n := Need{Kind: k.Name, Basis: k.Basis}
		switch {
		case patch <= 0:
		case k.EachN.Low > 0:
			n.Pieces = max(2, int(math.Ceil(in.Safety*max(l.pullPa*1e-6*patch, l.shearN)/k.EachN.Low)))
			n.Holds = float64(n.Pieces)*pieceMM2 <= patch
		default:
			if area := patch * in.growth(k, l, patch); !math.IsInf(area, 1) {
				n.AreaMM2 = &area
				n.Holds = area <= patch
			}
		}
		if n.Holds && (held < 0 || gentler(k, in.Kinds[held])) {
			held = i
		}
		needs = append(needs, n)
	}
	return needs, held
}

// growth is by how much the patch's area is to be multiplied: a patch s times
// as long and wide bears a lift by s² and a moment by s³, so that s solves
// strength·s³ = mean·s + bending.
func (in Input) growth(k Kind, l load, patch float64) float64 {
	strength := k.TensilePa.Low / 1e6 / in.Safety
	s := math.Sqrt(l.shearN / patch / (k.ShearPa.Low / 1e6 / in.Safety))
	for _, p := range l.cases {
		lo, hi := 0.0, max(math.Sqrt(max(0, 2*p.mean/strength)), math.Cbrt(2*p.bending/strength))
		for range 60 {
			if m := (lo + hi) / 2; strength*m*m*m < p.mean*m+p.bending {
				lo = m
			} else {
				hi = m
			}
		}
		s = max(s, hi)
	}
	return s * s
}
