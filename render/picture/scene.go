package picture

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis"
	"pourwright/mesh"
)

// scene is what the picture shows, in mm in the stand frame.
type scene struct {
	plan      *analysis.Plan
	words     wording
	part      *mesh.Mesh
	partBox   r3.Box
	walls     prism  // their inside, up to the rubber's level
	block     r3.Box // around the rubber
	wallTop   float64
	size      float64 // diagonal of the block
	cut       plane
	hasCut    bool
	outline   [][]r3.Vec
	spout     r3.Vec // its middle on the board
	spoutR    float64
	stem      float64
	vents     []rod
	fillers   []prism // in the place of rubber
	pins      []rod   // through the walls, top on the pattern
	bar       []rod   // across the box, and its prop
	braces    []brace
	stiff     []rod    // the stiffener of the cast, two of a lap
	unvented  []r3.Vec // casting traps without a vent
	boardEdge float64  // board shown past the block
}

// thickestRod is the radius that a vent is drawn with at the most, in sizes of
// the block: on a very small pattern it would hide everything else.
const thickestRod = 0.02

// plane is the points x with n·x = at.
type plane struct {
	n  r3.Vec // unit
	at float64
}

// rod is a straight round rod.
type rod struct {
	foot, top r3.Vec
	radius    float64
}

func newScene(m *mesh.Mesh, p *analysis.Plan, w wording) (*scene, error) {
	if p == nil {
		return nil, errors.New("there is no plan to draw")
	}
	in := p.Box.InsideMM
	for _, x := range in {
		if !(x > 0) || math.IsInf(x, 0) {
			return nil, fmt.Errorf("the plan's box has no size to draw: %g × %g × %g mm inside", in[0], in[1], in[2])
		}
	}
	s := &scene{plan: p, words: w, part: m, partBox: m.Bounds()}
	s.block = r3.Box{Min: r3.Vec{X: -in[0] / 2, Y: -in[1] / 2}, Max: r3.Vec{X: in[0] / 2, Y: in[1] / 2, Z: in[2]}}
	s.setWalls()
	s.wallTop = math.Max(p.Box.WallHeightMM, in[2])
	if s.inParts() {
		s.wallTop = in[2]
	}
	s.size = r3.Norm(r3.Sub(s.block.Max, s.block.Min))
	s.boardEdge = 0.035 * s.size
	s.setCut(p.Cut)
	s.setSpout(p.Stand)
	s.setFillers(p.Box.Fillers)
	s.setHold(p.Hold)
	if !s.inParts() {
		s.setBraces(p.Bow)
	}
	s.setStiffener(p.Rod)
	for _, trap := range p.CastTrap {
		if v := trap.Vent; v != nil {
			s.vents = append(s.vents, rodBetween(vec(v.FromMM), vec(v.ToMM), math.Min(v.DiameterMM/2, thickestRod*s.size)))
		} else {
			s.unvented = append(s.unvented, vec(trap.AtMM))
		}
	}
	return s, nil
}

// setWalls takes the shape of the box from the plan.
func (s *scene) setWalls() {
	radius := 0.0
	if r := s.plan.Box.RadiusMM; r != nil && *r > 0 {
		radius = *r
	}
	s.walls = newPrism(s.outlineOnBoard(), radius, s.block.Max.Z)
	around := mesh.BoundsOf(s.walls.foot)
	s.block.Min.X, s.block.Min.Y, s.block.Max.X, s.block.Max.Y = around.Min.X, around.Min.Y, around.Max.X, around.Max.Y
}

func (s *scene) setCut(c analysis.Cut) {
	n := vec(c.Normal)
	length := r3.Norm(n)
	if !(length > 0) || math.IsInf(length, 0) {
		return
	}
	n = r3.Scale(1/length, n)
	s.cut, s.hasCut = plane{n, r3.Dot(n, vec(c.PointMM))}, true
	for _, loop := range c.Outline {
		line := make([]r3.Vec, len(loop))
		for i, p := range loop {
			line[i] = vec(p)
		}
		if len(line) > 2 {
			s.outline = append(s.outline, append(line, line[0]))
		}
	}
}

// setSpout moves the spout, which the plan gives in the scan frame, to the
// board.
func (s *scene) setSpout(st analysis.Stand) {
	r := st.Rotation
	pose := mesh.Pose{Rows: [3]r3.Vec{vec(r[0]), vec(r[1]), vec(r[2])}, T: vec(st.TranslationMM)}
	s.spout = pose.Point(vec(st.SpoutMM))
	s.spout.Z = 0
	in := r3.Sub(s.block.Max, s.block.Min)
	s.spoutR = min(math.Max(st.SpoutDiameterMM, 0), in.X, in.Y) / 2
	s.stem = math.Max(st.StemMM, 0)
}

func rodBetween(a, b r3.Vec, radius float64) rod {
	if a.Z > b.Z {
		a, b = b, a
	}
	return rod{foot: a, top: b, radius: radius}
}

// leastPost is the shortest post, in mm. Where the pattern is nearer to the
// board it stands on it, and leaves the vent itself.
const leastPost = 1.0

func (r rod) isPost() bool { return r3.Norm(r3.Sub(r.top, r.foot)) >= leastPost }

func vec(a [3]float64) r3.Vec { return r3.Vec{X: a[0], Y: a[1], Z: a[2]} }

func along(a, b r3.Vec, t float64) r3.Vec { return r3.Add(a, r3.Scale(t, r3.Sub(b, a))) }

// corner returns a corner of the box seen from above, at height z: the sides
// are −1 for the left end and the front, +1 for the right end and the back.
func corner(b r3.Box, x, y int, z float64) r3.Vec {
	v := r3.Vec{X: b.Min.X, Y: b.Min.Y, Z: z}
	if x > 0 {
		v.X = b.Max.X
	}
	if y > 0 {
		v.Y = b.Max.Y
	}
	return v
}

// rim returns the four corners of the box at height z, grown sideways.
func rim(b r3.Box, z, grow float64) []r3.Vec {
	b.Min.X, b.Min.Y, b.Max.X, b.Max.Y = b.Min.X-grow, b.Min.Y-grow, b.Max.X+grow, b.Max.Y+grow
	return []r3.Vec{corner(b, -1, -1, z), corner(b, 1, -1, z), corner(b, 1, 1, z), corner(b, -1, 1, z)}
}

// circle returns a closed line around centre in a level plane.
func circle(centre r3.Vec, radius float64) []r3.Vec {
	const sides = 72
	line := make([]r3.Vec, sides+1)
	for i := range line {
		sin, cos := math.Sincos(2 * math.Pi * float64(i%sides) / sides)
		line[i] = r3.Add(centre, r3.Vec{X: radius * cos, Y: radius * sin})
	}
	return line
}

// acrossBlock returns the parting plane's polygon in the block, nil when it
// misses the block.
func (s *scene) acrossBlock() []r3.Vec {
	if !s.hasCut {
		return nil
	}
	return s.walls.across(s.cut, 2*s.size)
}
