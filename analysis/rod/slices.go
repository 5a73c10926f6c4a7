package rod

import (
	"math"
	"runtime"
	"sync"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
)

// Plane is an area in a plane with axes (x, y), seen so that both turn
// counter-clockwise, with its moments about the axes' origin.
type Plane struct {
	AreaMM2    float64
	X, Y       float64 // first moments: ∫x dA, ∫y dA, mm³
	XX, XY, YY float64 // second moments: ∫x² dA, ∫xy dA, ∫y² dA, mm⁴
}

// addEdge adds one edge of the area's rim, which has the area on its left. Over a
// closed rim this is exact. Source: Green's theorem; Steger, "On the calculation
// of arbitrary moments of polygons", 1996 (from memory).
func (p *Plane) addEdge(x0, y0, x1, y1 float64) {
	w := x0*y1 - x1*y0
	p.AreaMM2 += w / 2
	p.X += w * (x0 + x1) / 6
	p.Y += w * (y0 + y1) / 6
	p.XX += w * (x0*x0 + x0*x1 + x1*x1) / 12
	p.YY += w * (y0*y0 + y0*y1 + y1*y1) / 12
	p.XY += w * (2*x0*y0 + x0*y1 + x1*y0 + 2*x1*y1) / 24
}

func (p *Plane) add(q Plane) { p.addScaled(1, q) }

// addScaled adds an area that counts by a factor, such as its stiffness.
func (p *Plane) addScaled(by float64, q Plane) {
	p.AreaMM2 += by * q.AreaMM2
	p.X += by * q.X
	p.Y += by * q.Y
	p.XX += by * q.XX
	p.XY += by * q.XY
	p.YY += by * q.YY
}

// Central returns the second moments about the centroid, mm⁴.
func (p Plane) Central() (xx, xy, yy float64) {
	if p.AreaMM2 == 0 {
		return 0, 0, 0
	}
	return p.XX - p.X*p.X/p.AreaMM2, p.XY - p.X*p.Y/p.AreaMM2, p.YY - p.Y*p.Y/p.AreaMM2
}

// disc returns a round area of radius r around (x, y).
func disc(x, y, r float64) Plane {
	a := math.Pi * r * r
	own := a * r * r / 4
	return Plane{AreaMM2: a, X: a * x, Y: a * y, XX: a*x*x + own, XY: a * x * y, YY: a*y*y + own}
}

// Slices are sections of a solid across an axis, evenly spaced between its two
// supports: number i is at start + (i + ½)·step along it.
type Slices struct {
	Axis, X, Y r3.Vec // right-handed frame
	Origin     r3.Vec // of x and y: the middle of the bounds
	StartMM    float64
	StepMM     float64
	At         []Plane
}

// Height returns where a slice is along the axis, from the origin, mm.
func (s Slices) Height(i int) float64 { return s.StartMM + (float64(i)+0.5)*s.StepMM }

// SpanMM is the distance of the supports.
func (s Slices) SpanMM() float64 { return s.StepMM * float64(len(s.At)) }

// endShare of the length is left free beyond either support: a part that runs out
// in a point cannot rest on that.
const endShare = 0.1

// slicePieces is how many parts the faces are summed in, whatever the number of
// processors, so that the digits are always the same.
const slicePieces = 16

// Slice cuts a solid into n sections across a unit axis, between supports a tenth
// of its length from either end. Each face that a plane
// crosses adds its line to that section; the lines make closed rims, but need not
// be chained for that. A corner exactly in a plane counts as just above it.
func Slice(solid *mesh.Solid, axis r3.Vec, n int) Slices {
	b := solid.Bounds()
	s := Slices{Axis: axis, Origin: r3.Scale(0.5, r3.Add(b.Min, b.Max)), At: make([]Plane, n)}
	s.X, s.Y = mesh.Frame(axis)
	local := make([]r3.Vec, len(solid.Vertices))
	lo, hi := math.Inf(1), math.Inf(-1)
	for i, v := range solid.Vertices {
		d := r3.Sub(v, s.Origin)
		local[i] = r3.Vec{X: r3.Dot(d, s.X), Y: r3.Dot(d, s.Y), Z: r3.Dot(d, axis)}
		lo, hi = min(lo, local[i].Z), max(hi, local[i].Z)
	}
	s.StartMM, s.StepMM = lo+endShare*(hi-lo), (1-2*endShare)*(hi-lo)/float64(n)
	if !(s.StepMM > 0) {
		return s
	}
	var parts [slicePieces][]Plane
	var wg sync.WaitGroup
	slots := make(chan struct{}, runtime.GOMAXPROCS(0))
	for p := range parts {
		parts[p] = make([]Plane, n)
		from, to := len(solid.Faces)*p/slicePieces, len(solid.Faces)*(p+1)/slicePieces
		wg.Go(func() {
			slots <- struct{}{}
			for _, f := range solid.Faces[from:to] {
				s.cutFace(local[f[0]], local[f[1]], local[f[2]], parts[p])
			}
			<-slots
		})
	}
	wg.Wait()
	for _, part := range parts {
		for i, q := range part {
			s.At[i].add(q)
		}
	}
	return s
}

// cutFace adds the lines in which the planes cross a face, corners
// counter-clockwise from outside.
func (s *Slices) cutFace(a, b, c r3.Vec, into []Plane) {
	low, high := min(a.Z, b.Z, c.Z), max(a.Z, b.Z, c.Z)
	first := max(0, int(math.Ceil((low-s.StartMM)/s.StepMM-0.5))-1)
	for i := first; i < len(into); i++ {
		z := s.Height(i)
		if z > high {
			break
		}
		// Turn the face so that one corner, a, is on the other side than both others.
		up := [3]bool{a.Z >= z, b.Z >= z, c.Z >= z}
		p, q, r := a, b, c
		switch {
		case up[0] == up[1] && up[1] == up[2]:
			continue
		case up[0] == up[2]:
			p, q, r = b, c, a
		case up[0] == up[1]:
			p, q, r = c, a, b
		}
		x0, y0 := crossing(p, q, z)
		x1, y1 := crossing(r, p, z)
		// With the lone corner below the plane the inside is on the left of the line
		// from the far edge to the near one.
		if p.Z >= z {
			into[i].addEdge(x0, y0, x1, y1)
		} else {
			into[i].addEdge(x1, y1, x0, y0)
		}
	}
}

// crossing returns where the edge between two corners on either side of a height
// is at it, to the same digits from either end.
func crossing(p, q r3.Vec, z float64) (x, y float64) {
	if q.Z < p.Z {
		p, q = q, p
	}
	t := (z - p.Z) / (q.Z - p.Z)
	return p.X + t*(q.X-p.X), p.Y + t*(q.Y-p.Y)
}
