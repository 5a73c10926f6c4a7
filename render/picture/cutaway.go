package picture

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis"
	"pourwright/mesh"
)

// Pockets tells where air is and where rubber gets late, in the stand frame. A nil
// function stands for nowhere.
type Pockets struct {
	// In which trap's air a place is, by its place in the plan's lists; −1 for
	// none.
	Rubber, Cast func(p r3.Vec) int
	// In which bowl of the pattern a place is, −1 for none: rubber that rises
	// beside it runs in once it stands at the bowl's rim.
	Bowl  func(p r3.Vec) int
	RimMM []float64 // of each bowl, a stand z
}

// pouring is one of the two times that liquid rises.
type pouring int

const (
	rubberRises pouring = iota
	castRises           // in the block, turned over
)

// cutaway is the block cut along an upright plane through the spout, with the
// half before it taken away.
type cutaway struct {
	s      *scene
	pour   pouring
	cut    plane   // its normal points at the viewer
	along  r3.Vec  // unit, level, in the plane: to the right while the board is below
	inside stretch // of the box in the plane, along it
	behind stretch // of what is seen of the box, the part behind the plane with it
	loops  [][]r3.Vec
	traps  []air
	pocket func(p r3.Vec) int
	bowl   func(p r3.Vec) int
	rims   []float64 // of the bowls
	most   int       // the trap that the cut goes through; −1 for none
	bodies []body    // what is seen behind the plane
	risen  bool      // the cavity over the liquid is full of foam
	skin   float64   // mm, of a hollow cast that nothing else is in; 0 for none
}

// stretch is a stretch of a line, mm.
type stretch struct{ lo, hi float64 }

func (s stretch) with(x float64) stretch { return stretch{math.Min(s.lo, x), math.Max(s.hi, x)} }
func (s stretch) long() float64          { return s.hi - s.lo }

// air is a trap as the plan gives it.
type air struct {
	at     r3.Vec
	spill  float64 // height in the stand frame
	volume float64
	high   float64
	vent   *rod // that lets it out when casting
	post   int  // number of the post that makes it, 0 if it has none
}

func airOf(traps []analysis.Trap) []air {
	all := make([]air, len(traps))
	for i, t := range traps {
		all[i] = air{at: vec(t.AtMM), spill: t.SpillMM, volume: t.VolumeMM3, high: t.PersistenceMM}
		if v := t.Vent; v != nil {
			r := rodBetween(vec(v.FromMM), vec(v.ToMM), v.DiameterMM/2)
			all[i].vent, all[i].post = &r, v.Post
		}
	}
	return all
}

// worst is the trap to show: the largest that nothing frees, else the largest;
// −1 without traps.
func worst(traps []air) int {
	best := -1
	for i, t := range traps {
		if best < 0 || (t.vent == nil) != (traps[best].vent == nil) && t.vent == nil ||
			(t.vent == nil) == (traps[best].vent == nil) && t.volume > traps[best].volume {
			best = i
		}
	}
	return best
}

// bothPours cuts through the spout and the worst trap of each pour. When one of
// them traps nothing, it is cut where the other one is.
func (s *scene) bothPours(p Pockets) [2]*cutaway {
	rubber := &cutaway{s: s, pour: rubberRises, pocket: p.Rubber, traps: airOf(s.plan.RubberTrap)}
	cast := &cutaway{s: s, pour: castRises, pocket: p.Cast, traps: airOf(s.plan.CastTrap)}
	rubber.most, cast.most = worst(rubber.traps), worst(cast.traps)
	switch {
	case rubber.most < 0:
		cast.along = s.tellingDirection(cast.most, cast.traps)
		rubber.along = cast.along
	case cast.most < 0:
		rubber.along = s.tellingDirection(rubber.most, rubber.traps)
		cast.along = rubber.along
	default:
		rubber.along = s.tellingDirection(rubber.most, rubber.traps)
		cast.along = s.tellingDirection(cast.most, cast.traps)
	}
	if p.Bowl != nil {
		rubber.bowl, rubber.rims = p.Bowl, p.RimMM
	}
	for _, c := range []*cutaway{rubber, cast} {
		c.open()
	}
	return [2]*cutaway{rubber, cast}
}

// open cuts along the direction chosen, and finds what is then seen.
func (c *cutaway) open() {
	if c.pocket == nil {
		c.pocket = func(r3.Vec) int { return -1 }
	}
	c.lookTowardsMost()
	c.measure()
	c.loops = c.s.sectionAt(c.cut)
	c.bodies = c.bodiesBehind()
}

// lookTowardsMost sets the plane so that most of the pattern is left behind it.
func (c *cutaway) lookTowardsMost() {
	n := r3.Cross(c.along, r3.Vec{Z: 1})
	c.cut = plane{n, r3.Dot(n, c.s.spout)}
	before := 0.0 // mean over the surface of how far it is before the plane
	area := 0.0
	for f := range c.s.part.Faces {
		p, q, r := c.s.part.Corners(f)
		a := r3.Norm(c.s.part.DoubleAreaNormal(f))
		before += a * (r3.Dot(n, r3.Add(p, r3.Add(q, r)))/3 - c.cut.at)
		area += a
	}
	const enough = 0.01 // of the block's size: else the sheet's usual side is kept
	if before > enough*c.s.size*area {
		c.along = r3.Scale(-1, c.along)
		c.cut = plane{r3.Scale(-1, n), -c.cut.at}
	}
}

// tellingDirection is the level direction of the cut through the spout: towards
// the trap, or, where that is right above the spout or there is none, along the
// largest section of the pattern. It points to +x, as the sheet's drawings do.
func (s *scene) tellingDirection(trap int, traps []air) r3.Vec {
	if trap >= 0 {
		d := r3.Sub(traps[trap].at, s.spout)
		if v := traps[trap].vent; v != nil { // which may stand beside the top
			d = r3.Sub(v.top, s.spout)
		}
		d.Z = 0
		if far := r3.Norm(d); far > 0.01*s.size {
			return rightward(r3.Scale(1/far, d))
		}
	}
	const turns = 12
	best, most := r3.Vec{X: 1}, 0.0
	for k := range turns {
		sin, cos := math.Sincos(math.Pi * float64(k) / turns)
		d := r3.Vec{X: cos, Y: sin}
		n := r3.Cross(d, r3.Vec{Z: 1})
		if area := mesh.LoopsArea(s.part.Section(s.spout, n), n); area > 1.001*most {
			best, most = d, area
		}
	}
	return rightward(best)
}

func rightward(d r3.Vec) r3.Vec {
	if d.X < -1e-9 || math.Abs(d.X) <= 1e-9 && d.Y < 0 {
		return r3.Scale(-1, d)
	}
	return d
}

func (s *scene) sectionAt(p plane) [][]r3.Vec {
	var loops [][]r3.Vec
	for _, l := range s.part.Section(r3.Scale(p.at, p.n), p.n) {
		loops = append(loops, l.Points)
	}
	return loops
}

// measure finds where the box is cut, and how much further it reaches behind
// the cut. A cut that misses the box is moved to its middle.
func (c *cutaway) measure() {
	if c.behind = c.acrossBox(); !(c.inside.hi > c.inside.lo) {
		c.cut.at = 0
		c.behind = c.acrossBox()
	}
}

// acrossBox sets where the cut is inside the box, and returns where what is
// behind it is.
func (c *cutaway) acrossBox() stretch {
	c.inside = stretch{math.Inf(1), math.Inf(-1)}
	foot := c.s.outlineOnBoard()
	var beyond []float64
	for i, a := range foot {
		b := foot[(i+1)%len(foot)]
		da, db := r3.Dot(c.cut.n, a)-c.cut.at, r3.Dot(c.cut.n, b)-c.cut.at
		if da <= 0 {
			beyond = append(beyond, r3.Dot(c.along, a))
		}
		if (da < 0) != (db < 0) {
			c.inside = c.inside.with(r3.Dot(c.along, along(a, b, da/(da-db))))
		}
	}
	behind := c.inside
	for _, t := range beyond {
		behind = behind.with(t)
	}
	return behind
}

// outlineOnBoard is the inside of the walls, seen from above.
func (s *scene) outlineOnBoard() []r3.Vec {
	box := s.plan.Box
	if box.RadiusMM != nil {
		all := circle(r3.Vec{}, *box.RadiusMM)
		return all[:len(all)-1]
	}
	if len(box.OutlineMM) < 3 {
		return rim(s.block, 0, 0)
	}
	var all []r3.Vec
	for _, p := range box.OutlineMM {
		all = append(all, r3.Vec{X: p[0], Y: p[1]})
	}
	return all
}

// bodiesBehind are the surfaces that the cut leaves in view: the pattern's own,
// with stem and posts, while rubber is poured; the cavity's, which is the
// pattern's seen from within, when casting. Faces that cross the plane stay
// whole: the part of them before it lies under the cut face.
func (c *cutaway) bodiesBehind() []body {
	var all []body
	for i, b := range c.s.bodies(1) {
		if c.pour == castRises && i > 0 {
			break
		}
		m := c.facesBehind(b.mesh)
		if len(m.Faces) == 0 {
			continue
		}
		if c.pour == castRises {
			for f, t := range m.Faces {
				m.Faces[f] = [3]int32{t[0], t[2], t[1]}
			}
			b.colour = glass
		}
		all = append(all, shaded(m, b.colour))
	}
	return all
}

// facesBehind are the faces of m that reach behind the plane.
func (c *cutaway) facesBehind(m *mesh.Mesh) *mesh.Mesh {
	out := &mesh.Mesh{}
	to := make([]int32, len(m.Vertices)) // new number plus one
	for _, t := range m.Faces {
		behind := false
		for _, v := range t {
			behind = behind || r3.Dot(c.cut.n, m.Vertices[v]) < c.cut.at
		}
		if !behind {
			continue
		}
		for k, v := range t {
			if to[v] == 0 {
				out.Vertices = append(out.Vertices, m.Vertices[v])
				to[v] = int32(len(out.Vertices))
			}
			t[k] = to[v] - 1
		}
		out.Faces = append(out.Faces, t)
	}
	return out
}

// turned is the view of the cut, turned by an angle in its own plane: 0 with the
// board below, 180 with the spout on top; 1 px to the mm.
func (c *cutaway) turned(degrees float64) camera {
	sin, cos := math.Sincos(degrees * math.Pi / 180)
	if degrees == 180 {
		sin, cos = 0, -1
	}
	up := r3.Vec{Z: 1}
	return camera{
		right:  r3.Add(r3.Scale(cos, c.along), r3.Scale(sin, up)),
		up:     r3.Add(r3.Scale(-sin, c.along), r3.Scale(cos, up)),
		toward: c.cut.n,
		scale:  1,
	}
}

// upright is the view as the pour happens.
func (c *cutaway) upright() camera {
	if c.pour == castRises {
		return c.turned(180)
	}
	return c.turned(0)
}

// top is how high the things drawn reach: the walls' edge, or the block's own.
func (c *cutaway) top() float64 {
	if c.pour == castRises {
		return c.s.block.Max.Z
	}
	return c.s.wallTop
}

// wallThick is how thick walls and board are drawn, mm.
func (c *cutaway) wallThick() float64 { return 0.018 * c.s.size }

// at is the point of the plane with a place along it and a height.
func (c *cutaway) at(t, z float64) r3.Vec {
	return r3.Add(r3.Scale(c.cut.at, c.cut.n), r3.Add(r3.Scale(t, c.along), r3.Vec{Z: z}))
}

// rectangle is part of the plane.
func (c *cutaway) rectangle(t stretch, z stretch) []r3.Vec {
	return []r3.Vec{c.at(t.lo, z.lo), c.at(t.hi, z.lo), c.at(t.hi, z.hi), c.at(t.lo, z.hi)}
}

// outline is what the view has to have room for, without labels.
func (c *cutaway) outline() []r3.Vec {
	w := c.wallThick()
	if c.pour == castRises {
		return c.rectangle(c.behind, stretch{0, c.s.block.Max.Z})
	}
	return c.rectangle(stretch{c.behind.lo - 1.6*w, c.behind.hi + 1.6*w}, stretch{-w, c.s.wallTop})
}

// shut tells whether a trap's air is closed off when the liquid stands at a
// height.
func (c *cutaway) shut(trap int, level float64) bool {
	slack := 1e-6 * c.s.size
	if c.pour == castRises {
		return level <= c.traps[trap].spill+slack
	}
	return level >= c.traps[trap].spill-slack
}

// wet is how much of a pixel at a height the liquid covers, when its surface is
// at level and a millimetre is so many pixels.
func (c *cutaway) wet(z, level, scale float64) float64 {
	over := level - z
	if c.pour == castRises {
		over = -over
	}
	return min(max(0.5+over*scale, 0), 1)
}

// finish is the height of the liquid when the pour is done; begin where it
// starts.
func (c *cutaway) begin() float64 {
	if c.pour == castRises {
		return c.s.partBox.Max.Z
	}
	return 0
}

func (c *cutaway) finish() float64 {
	if c.pour == castRises {
		return 0
	}
	return c.s.block.Max.Z
}

// telling is the height of the liquid that the still picture shows: where the
// worst trap closes, or well into the pour when nothing is trapped.
func (c *cutaway) telling() float64 {
	if c.most >= 0 {
		return c.traps[c.most].spill
	}
	low, high := c.s.partBox.Min.Z, c.s.partBox.Max.Z
	if c.pour == castRises {
		low, high = high, low
	}
	const share = 0.6
	return low + share*(high-low)
}
