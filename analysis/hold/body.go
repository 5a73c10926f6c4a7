package hold

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
)

// Post is a thin rod between the board and the pattern.
type Post struct {
	Foot, Top  r3.Vec // Foot on the board
	DiameterMM float64
}

// footMM2 is the area of a post's end on the board.
func (p Post) footMM2() float64 {
	d := r3.Sub(p.Top, p.Foot)
	return p.crossMM2() * r3.Norm(d) / d.Z
}

func (p Post) crossMM2() float64 { return math.Pi / 4 * p.DiameterMM * p.DiameterMM }

// below returns the volume under a level and the place of its middle.
func (p Post) below(level float64) (mm3 float64, middle r2.Vec) {
	share := min(1, max(0, (level-p.Foot.Z)/(p.Top.Z-p.Foot.Z)))
	d := r3.Sub(p.Top, p.Foot)
	return share * p.crossMM2() * r3.Norm(d), flat(r3.Add(p.Foot, r3.Scale(share/2, d)))
}

// body is all that the rubber surrounds: pattern, stem and posts.
type body struct {
	solid    *mesh.Solid
	profile  *mesh.Profile
	centroid r3.Vec // of the pattern
	bounds   [2]r3.Vec
	contact  Contact
	rods     []Post  // the stem among them
	posts    []Post  // without the stem
	sunkMM3  float64 // of the pattern, below the contact's plane
}

// state is what is under a level: volume and first moments about the z axis.
type state struct {
	levelMM float64
	mm3     float64
	moment  r2.Vec // ∫x, ∫y over the volume, mm⁴
	// The same with what the sealed patches carry taken off: the column of rubber
	// that would stand on them.
	sealedMM3    float64
	sealedMoment r2.Vec
}

func newBody(in Input) *body {
	box := in.Solid.Bounds()
	b := &body{
		solid: in.Solid, profile: mesh.NewProfile(in.Solid, r3.Vec{Z: 1}), centroid: in.Solid.Measure().Centroid,
		bounds: [2]r3.Vec{box.Min, box.Max}, contact: in.Contact,
	}
	for _, p := range in.Posts {
		if p.Top.Z > p.Foot.Z {
			b.posts = append(b.posts, p)
		}
	}
	b.rods = slices.Clone(b.posts)
	if c := in.Contact; in.StemMM > 0 {
		foot := r3.Vec{X: c.Centre.X, Y: c.Centre.Y}
		b.rods = append(b.rods, Post{foot, r3.Add(foot, r3.Vec{Z: in.StemMM}), 2 * math.Sqrt(c.AreaMM2/math.Pi)})
	}
	b.sunkMM3 = b.profile.Below(in.Contact.HeightMM)
	return b
}

// volume returns what is under a level, mm³.
func (b *body) volume(level float64) float64 {
	sum := b.profile.Below(level)
	for _, p := range b.rods {
		v, _ := p.below(level)
		sum += v
	}
	return sum
}

// carried is the volume of rubber that would stand on the sealed patches, up
// to a level, and what of the body is below them: sealed, rubber lifts with
// the weight of volume − carried, since −∮p·n dA over the wetted surface and
// the patch together is the weight of what it encloses.
func (b *body) carried(level float64) (mm3 float64, moment r2.Vec) {
	c := b.contact
	if h := level - c.HeightMM; h > 0 {
		mm3 = h * c.AreaMM2
		moment = r2.Scale(mm3, c.Centre)
	}
	sunk := b.sunkMM3
	if level < c.HeightMM {
		sunk = b.profile.Below(level)
	}
	mm3, moment = mm3+sunk, r2.Add(moment, r2.Scale(sunk, c.Centre))
	for _, p := range b.posts {
		if h := level - p.Foot.Z; h > 0 {
			v := h * p.footMM2()
			mm3, moment = mm3+v, r2.Add(moment, r2.Scale(v, flat(p.Foot)))
		}
	}
	return mm3, moment
}

// sealed returns the volume whose weight in rubber lifts the body under a
// level when no patch leaks, mm³; negative when it is pressed down.
func (b *body) sealed(level float64) float64 {
	carried, _ := b.carried(level)
	return b.volume(level) - carried
}

// sweepSteps is at how many levels the moments are looked at.
const sweepSteps = 200

// levels returns the heights of the sweep, rising, the last one full.
func (b *body) levels(full float64) []float64 {
	levels := make([]float64, 0, sweepSteps+2)
	for k := range sweepSteps + 1 {
		levels = append(levels, full*float64(k)/sweepSteps)
	}
	if top := b.bounds[1].Z; top > 0 && top < full {
		levels = append(levels, top)
	}
	slices.Sort(levels)
	return slices.Compact(levels)
}

// below measures what is under each of the rising levels.
func (b *body) below(levels []float64) []state {
	states := momentsBelow(b.solid.Mesh, levels, flat(r3.Scale(0.5, r3.Add(b.bounds[0], b.bounds[1]))))
	for i := range states {
		s := &states[i]
		for _, p := range b.rods {
			v, middle := p.below(s.levelMM)
			s.mm3, s.moment = s.mm3+v, r2.Add(s.moment, r2.Scale(v, middle))
		}
		carried, moment := b.carried(s.levelMM)
		s.sealedMM3, s.sealedMoment = s.mm3-carried, r2.Sub(s.moment, moment)
	}
	return states
}
