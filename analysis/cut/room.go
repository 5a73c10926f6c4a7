package cut

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
)

// Room is the block and what besides the pattern takes space in it, in the frame
// of the sheet.
type Room struct {
	Floor   []r2.Vec // corners of the block seen from above, convex, counter-clockwise
	LevelMM float64  // height of the rubber
	Rods    []Rod    // stem and posts
}

// Rod is a stem or a post: a round bar that leaves an opening.
type Rod struct {
	From, To r3.Vec
	RadiusMM float64
}

// Outside returns the distance from a point in the block to its outside, negative
// beyond it. The block is convex.
func (r *Room) Outside(p r3.Vec) float64 {
	least := min(p.Z, r.LevelMM-p.Z)
	for i, a := range r.Floor {
		b := r.Floor[(i+1)%len(r.Floor)]
		d := r2.Unit(r2.Sub(b, a))
		least = min(least, d.X*(p.Y-a.Y)-d.Y*(p.X-a.X))
	}
	return least
}

// rodGap returns the distance from a point to the nearest rod, negative in it.
func (r *Room) rodGap(p r3.Vec) float64 {
	least := math.Inf(1)
	for _, rod := range r.Rods {
		d := r3.Sub(rod.To, rod.From)
		t := 0.0
		if n := r3.Norm2(d); n > 0 {
			t = max(0, min(1, r3.Dot(r3.Sub(p, rod.From), d)/n))
		}
		least = min(least, r3.Norm(r3.Sub(p, r3.Add(rod.From, r3.Scale(t, d))))-rod.RadiusMM)
	}
	return least
}

// corners lists the corners of the block.
func (r *Room) corners() []r3.Vec {
	var all []r3.Vec
	for _, p := range r.Floor {
		all = append(all, r3.Vec{X: p.X, Y: p.Y}, r3.Vec{X: p.X, Y: p.Y, Z: r.LevelMM})
	}
	return all
}

// Rim returns where the plane of a sheet leaves the block: the corners of that
// polygon, in order. Of a stepped sheet it is the rim of the plane moved onto the
// sheet, in short steps.
func (r *Room) Rim(s *Sheet) []r3.Vec {
	far := 0.0
	for _, p := range r.corners() {
		far = max(far, r3.Norm(r3.Sub(p, s.Point)))
	}
	polygon := []r2.Vec{{X: -far, Y: -far}, {X: far, Y: -far}, {X: far, Y: far}, {X: -far, Y: far}}
	clip := func(at, inward r3.Vec) {
		polygon = clipped(polygon, r2.Vec{X: r3.Dot(inward, s.Right), Y: r3.Dot(inward, s.Up)}, r3.Dot(inward, r3.Sub(s.Point, at)))
	}
	clip(r3.Vec{}, r3.Vec{Z: 1})
	clip(r3.Vec{Z: r.LevelMM}, r3.Vec{Z: -1})
	for i, a := range r.Floor {
		d := r2.Unit(r2.Sub(r.Floor[(i+1)%len(r.Floor)], a))
		clip(r3.Vec{X: a.X, Y: a.Y}, r3.Vec{X: -d.Y, Y: d.X})
	}
	if !s.plane() {
		polygon = inShortSteps(polygon, 2)
	}
	rim := make([]r3.Vec, len(polygon))
	for i, p := range polygon {
		rim[i] = s.At(p.X, p.Y)
	}
	return rim
}

// rubberMM2 is the area of the sheet within a rim, seen along its normal, less what
// rods take of it.
func (r *Room) rubberMM2(s *Sheet, rim []r3.Vec) float64 {
	area := 0.0
	for i, p := range rim {
		q := rim[(i+1)%len(rim)]
		area += r3.Dot(s.Normal, r3.Cross(r3.Sub(p, rim[0]), r3.Sub(q, rim[0]))) / 2
	}
	for _, rod := range r.Rods {
		area -= rod.sectionMM2(s)
	}
	return area
}

// sectionMM2 is the area in which a sheet cuts a rod: steps along it, each as wide
// as the chord there; across it, the whole disc.
func (rod Rod) sectionMM2(s *Sheet) float64 {
	const steps = 256
	d := r3.Sub(rod.To, rod.From)
	length := r3.Norm(d)
	if length == 0 {
		return 0
	}
	along := math.Abs(r3.Dot(s.Normal, d)) / length
	if lean := math.Sqrt(max(0, 1-along*along)); lean > 0.1 {
		sum := 0.0
		for k := range steps {
			off := s.Height(r3.Add(rod.From, r3.Scale((float64(k)+0.5)/steps, d))) / lean
			sum += 2 * math.Sqrt(max(0, rod.RadiusMM*rod.RadiusMM-off*off))
		}
		return sum * length / steps / lean
	}
	if (s.Height(rod.From) < 0) == (s.Height(rod.To) < 0) {
		return 0
	}
	return math.Pi * rod.RadiusMM * rod.RadiusMM
}

// clipped keeps the part of a convex polygon with n·p + offset ≥ 0.
func clipped(polygon []r2.Vec, n r2.Vec, offset float64) []r2.Vec {
	var kept []r2.Vec
	for i, a := range polygon {
		b := polygon[(i+1)%len(polygon)]
		da, db := r2.Dot(n, a)+offset, r2.Dot(n, b)+offset
		if da >= 0 {
			kept = append(kept, a)
		}
		if da < 0 != (db < 0) {
			kept = append(kept, r2.Add(a, r2.Scale(da/(da-db), r2.Sub(b, a))))
		}
	}
	return kept
}

func inShortSteps(polygon []r2.Vec, stepMM float64) []r2.Vec {
	var all []r2.Vec
	for i, a := range polygon {
		d := r2.Sub(polygon[(i+1)%len(polygon)], a)
		n := int(r2.Norm(d)/stepMM) + 1
		for k := range n {
			all = append(all, r2.Add(a, r2.Scale(float64(k)/float64(n), d)))
		}
	}
	return all
}

// Halves returns the rubber on the − and the + side of a sheet, mm³: the block
// less the pattern and the rods, each side summed up on its own. Keys take from
// one half what they give to the other and are left out.
func (r *Room) Halves(s *Sheet, pattern *mesh.Solid) ([2]float64, error) {
	block, err := r.sides(s)
	if err != nil {
		return [2]float64{}, err
	}
	parts := s.Sides(pattern)
	for side := range 2 {
		block[side] -= parts[side]
		for _, rod := range r.Rods {
			block[side] -= rod.sides(s)[side]
		}
	}
	return block, nil
}

// sides returns the volume of the block on the − and the + side of a sheet. Beside a
// shaped one, which is square to the block, it is summed up in columns.
func (r *Room) sides(s *Sheet) ([2]float64, error) {
	hull, err := mesh.Hull(r.corners())
	if err != nil {
		return [2]float64{}, err
	}
	plane := *s
	plane.Shape = nil
	block := plane.Sides(&mesh.Solid{Mesh: hull})
	if s.Shape != nil {
		above := 0.0
		for _, c := range r.columns(s) {
			above += c.offset * c.areaMM2
		}
		block[0], block[1] = block[0]+above, block[1]-above
	}
	return block, nil
}

// column is some of a sheet in the block that lies about as high.
type column struct{ offset, areaMM2 float64 }

const columnsAcross = 160

// columns divides the block across a sheet that is square to it.
func (r *Room) columns(s *Sheet) []column {
	lo, hi := [2]float64{math.Inf(1), math.Inf(1)}, [2]float64{math.Inf(-1), math.Inf(-1)}
	for _, c := range r.corners() {
		u, v := s.Flat(c)
		lo, hi = [2]float64{min(lo[0], u), min(lo[1], v)}, [2]float64{max(hi[0], u), max(hi[1], v)}
	}
	du, dv := (hi[0]-lo[0])/columnsAcross, (hi[1]-lo[1])/columnsAcross
	all := make([]column, 0, columnsAcross*columnsAcross)
	for j := range columnsAcross {
		for i := range columnsAcross {
			all = append(all, column{s.offset(lo[0]+(float64(i)+0.5)*du, lo[1]+(float64(j)+0.5)*dv), du * dv})
		}
	}
	return all
}

// sides returns the volume of a rod on both sides of a sheet: discs across it,
// each cut off along a chord.
func (rod Rod) sides(s *Sheet) [2]float64 {
	const discs = 256
	d := r3.Sub(rod.To, rod.From)
	length := r3.Norm(d)
	if length == 0 {
		return [2]float64{}
	}
	along := r3.Dot(s.Normal, d) / length
	lean := math.Sqrt(max(1e-12, 1-along*along)) // of the normal within the disc
	area := math.Pi * rod.RadiusMM * rod.RadiusMM
	var sum [2]float64
	for k := range discs {
		p := r3.Add(rod.From, r3.Scale((float64(k)+0.5)/discs, d))
		x := max(-1, min(1, s.Height(p)/lean/rod.RadiusMM))
		above := rod.RadiusMM * rod.RadiusMM * (math.Pi - math.Acos(x) + x*math.Sqrt(1-x*x))
		sum[1] += above * length / discs
		sum[0] += (area - above) * length / discs
	}
	return sum
}
