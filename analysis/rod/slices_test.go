package rod

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis/shelf"
	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

func solidOf(tb testing.TB, m *mesh.Mesh) *mesh.Solid {
	tb.Helper()
	s, _, err := mesh.NewSolid(m)
	if err != nil {
		tb.Fatal(err)
	}
	return s
}

// polygonMoment is the second moment of a regular polygon of n sides with corners
// at radius r, about any axis through its middle (tables of sections).
func polygonMoment(n int, r float64) float64 {
	a := 2 * math.Pi / float64(n)
	return float64(n) * math.Pow(r, 4) * math.Sin(a) * (2 + math.Cos(a)) / 24
}

// pipe is a tube along z of n sides.
func pipe(n int, outer, inner, h float64) *mesh.Mesh {
	m := &mesh.Mesh{}
	for _, c := range [4][2]float64{{outer, 0}, {outer, h}, {inner, h}, {inner, 0}} {
		for k := range n {
			sin, cos := math.Sincos(2 * math.Pi * float64(k) / float64(n))
			m.Vertices = append(m.Vertices, r3.Vec{X: c[0] * cos, Y: c[0] * sin, Z: c[1]})
		}
	}
	for ring := range 4 {
		for k := range n {
			a, b := int32(ring*n+k), int32(ring*n+(k+1)%n)
			c, d := int32((ring+1)%4*n+(k+1)%n), int32((ring+1)%4*n+k)
			m.Faces = append(m.Faces, [3]int32{a, b, c}, [3]int32{a, c, d})
		}
	}
	return m
}

// TestSectionsKnown: area and second moments of a box, a many-sided bar and a
// pipe, by tables of sections (b·h³/12; regular polygon; difference of two), in
// any pose, at every station.
func TestSectionsKnown(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	ring := polygonMoment(24, 20) - polygonMoment(24, 13)
	ringArea := 12 * math.Sin(2*math.Pi/24) * (400 - 169)
	for _, c := range []struct {
		name            string
		m               *mesh.Mesh
		area, low, high float64
	}{
		{"box", meshtest.Box(30, 20, 200), 600, 30 * 8000 / 12, 20 * 27000 / 12},
		{"bar of 7 sides", meshtest.Cylinder(7, 15, 200), 3.5 * 225 * math.Sin(2*math.Pi/7), polygonMoment(7, 15), polygonMoment(7, 15)},
		{"pipe", pipe(24, 20, 13, 200), ringArea, ring, ring},
	} {
		for range 4 {
			p := randomPose(rng)
			s := Slice(solidOf(t, c.m.Posed(p)), p.Dir(r3.Vec{Z: 1}), 40)
			if math.Abs(s.SpanMM()-160) > 1e-9 {
				t.Fatalf("%s: span %g mm, not 160", c.name, s.SpanMM())
			}
			for i, a := range s.At {
				xx, xy, yy := a.Central()
				mid, off := (xx+yy)/2, math.Hypot((xx-yy)/2, xy)
				for _, v := range [3][2]float64{{a.AreaMM2, c.area}, {mid - off, c.low}, {mid + off, c.high}} {
					if math.Abs(v[0]/v[1]-1) > 1e-6 {
						t.Fatalf("%s, section %d: %.9g, not %.9g", c.name, i, v[0], v[1])
					}
				}
			}
		}
	}
}

// TestSectionsAreLoops holds the sections against the loops of mesh.Section, area,
// centroid and second moments, on a scan and on a shape with holes.
func TestSectionsAreLoops(t *testing.T) {
	for name, solid := range map[string]*mesh.Solid{
		"lantern": sample(t, "storm-lantern"), "ring": solidOf(t, meshtest.TorusMesh(80, 40, 60, 15)),
	} {
		axis := r3.Unit(r3.Vec{X: 2, Y: 1, Z: -1})
		s := Slice(solid, axis, 12)
		for i, got := range s.At {
			at := r3.Add(s.Origin, r3.Scale(s.Height(i), axis))
			var want Plane
			for _, l := range solid.Section(at, axis) {
				for k, p := range l.Points {
					q := l.Points[(k+1)%len(l.Points)]
					p, q := r3.Sub(p, s.Origin), r3.Sub(q, s.Origin)
					want.addEdge(r3.Dot(p, s.X), r3.Dot(p, s.Y), r3.Dot(q, s.X), r3.Dot(q, s.Y))
				}
			}
			for k, v := range [6][2]float64{{got.AreaMM2, want.AreaMM2}, {got.X, want.X}, {got.Y, want.Y}, {got.XX, want.XX}, {got.XY, want.XY}, {got.YY, want.YY}} {
				if math.Abs(v[0]-v[1]) > 1e-9*(want.XX+want.YY+want.AreaMM2) {
					t.Errorf("%s, section %d: figure %d is %.9g, by loops %.9g", name, i, k, v[0], v[1])
				}
			}
			if want.AreaMM2 <= 0 {
				t.Errorf("%s, section %d is empty", name, i)
			}
		}
	}
}

// TestSlicesSumUp: areas times steps are the volume of a bar of varying radius
// between the supports, to the midpoint rule.
func TestSlicesSumUp(t *testing.T) {
	solid := solidOf(t, meshtest.Lathe([]r2.Vec{{}, {X: 10}, {X: 30, Y: 100}, {Y: 100}}, 200))
	s := Slice(solid, r3.Vec{Z: 1}, 400)
	sum := 0.0
	for _, a := range s.At {
		sum += a.AreaMM2 * s.StepMM
	}
	// Frustum from radius 12 to 28 over 80 mm.
	want := math.Pi * 80 / 3 * (12*12 + 12*28 + 28*28)
	if math.Abs(sum/want-1) > 5e-4 {
		t.Errorf("%.1f mm³, not %.1f", sum, want)
	}
}

// TestLongAxis: along a box's longest side.
func TestLongAxis(t *testing.T) {
	p := randomPose(rand.New(rand.NewPCG(1, 1)))
	m := solidOf(t, meshtest.Box(40, 20, 300).Posed(p)).Measure()
	if a := LongAxis(m.Inertia); math.Abs(math.Abs(r3.Dot(a, p.Dir(r3.Vec{Z: 1})))-1) > 1e-9 {
		t.Errorf("axis %v", a)
	}
}

// TestEvenBeam: 48·E·I/L³ of a beam on two supports, force in the middle (tables
// of beams), bending the weak way.
func TestEvenBeam(t *testing.T) {
	s := Slice(solidOf(t, meshtest.Box(30, 20, 250)), r3.Vec{Z: 1}, 40)
	b := Bend(s, nil, 6, shelf.Range{Low: 500, Likely: 1500, High: 2500}, shelf.Range{Low: 1, Likely: 1, High: 1})
	want := 48 * 1500 * (30 * 8000 / 12.0) / (200 * 200 * 200)
	if math.Abs(b.WithoutNPerMM.Likely/want-1) > 1e-9 || math.Abs(b.WithoutNPerMM.Low*3/want-1) > 1e-9 {
		t.Errorf("%g N/mm, not %g", b.WithoutNPerMM.Likely, want)
	}
	if b.Gain.Likely != 1 || math.Abs(b.WithNPerMM.High/b.WithoutNPerMM.High-1) > 1e-12 {
		t.Errorf("no rod, and yet a gain of %v", b.Gain)
	}
}

// TestBeamWithRod: a rod in the middle of a round bar: E1·(I − i) + E2·i; and one
// beside the middle, by the parallel axis theorem about the common neutral axis.
func TestBeamWithRod(t *testing.T) {
	const e1, e2, r, a = 1000.0, 200_000.0, 20.0, 3.0
	solid := solidOf(t, meshtest.Cylinder(720, r, 250))
	s := Slice(solid, r3.Vec{Z: 1}, 40)
	span3 := math.Pow(s.SpanMM(), 3)
	cast, steel := shelf.Range{Low: e1, Likely: e1, High: e1}, shelf.Range{Low: e2, Likely: e2, High: e2}
	bar, own := math.Pi*math.Pow(r, 4)/4, math.Pi*math.Pow(a, 4)/4
	for _, off := range []float64{0, 9} {
		rod := Segment{r3.Vec{X: off, Z: 0}, r3.Vec{X: off, Z: 250}}
		got := Bend(s, []Segment{rod}, 2*a, cast, steel)
		// Softest across: the direction in which the offset does not help.
		ei := e1*bar + (e2-e1)*own
		if want := 48 * ei / span3; math.Abs(got.WithNPerMM.Likely/want-1) > 1e-4 {
			t.Errorf("off by %g: %g N/mm, not %g", off, got.WithNPerMM.Likely, want)
		}
	}
	// A bar that is weak the way that the offset helps: a flat one.
	flat := Slice(solidOf(t, meshtest.Box(60, 12, 250)), r3.Vec{Z: 1}, 40)
	got := Bend(flat, []Segment{{r3.Vec{X: 30, Y: 9}, r3.Vec{X: 30, Y: 9, Z: 250}}}, 4, cast, steel)
	area, rodArea := 60*12.0, math.Pi*4
	n := e1*area + (e2-e1)*rodArea
	ei := e1*60*12*12*12/12 + (e2-e1)*(math.Pi*16/4) + e1*area*(e2-e1)*rodArea/n*9
	if want := 48 * ei / span3; math.Abs(got.WithNPerMM.Likely/want-1) > 1e-9 {
		t.Errorf("flat bar: %g N/mm, not %g", got.WithNPerMM.Likely, want)
	}
	if want := ei / (e1 * 60 * 12 * 12 * 12 / 12); math.Abs(got.Gain.Likely/want-1) > 1e-9 {
		t.Errorf("gain %g, not %g", got.Gain.Likely, want)
	}
}

// TestShortRod: a rod over the middle half of an even beam: ∫ m²/EI by hand. The
// stations beside its ends make the error.
func TestShortRod(t *testing.T) {
	const e1, e2 = 1000.0, 200_000.0
	s := Slice(solidOf(t, meshtest.Box(30, 30, 250)), r3.Vec{Z: 1}, 40)
	// Span 200 from 25 to 225; the rod from 75 to 175.
	got := Bend(s, []Segment{{r3.Vec{X: 15, Y: 15, Z: 75}, r3.Vec{X: 15, Y: 15, Z: 175}}}, 6,
		shelf.Range{Low: e1, Likely: e1, High: e1}, shelf.Range{Low: e2, Likely: e2, High: e2})
	plain := e1 * 30 * 27000 / 12
	stiff := plain + (e2-e1)*math.Pi*81/4
	outer := 2 * math.Pow(50, 3) / 12
	inner := math.Pow(200, 3)/48 - outer
	if want := 1 / (outer/plain + inner/stiff); math.Abs(got.WithNPerMM.Likely/want-1) > 1e-9 {
		t.Errorf("%g N/mm, not %g", got.WithNPerMM.Likely, want)
	}
}

// TestSlantedRod counts by cos³ of its slope, and takes 1/cos of the casting
// material; in a beam so wide that only pulling along counts.
func TestSlantedRod(t *testing.T) {
	b := bar{r3.Vec{}, r3.Vec{X: 60, Z: 80}, 3}
	pulls, takes, cut := b.at(20)
	area := math.Pi * 9
	if !cut || math.Abs(pulls.AreaMM2/area-0.512) > 1e-12 || math.Abs(takes.AreaMM2/area-1.25) > 1e-12 || math.Abs(pulls.X/pulls.AreaMM2-15) > 1e-9 {
		t.Errorf("%v %v %v", pulls, takes, cut)
	}
	if _, _, cut := b.at(81); cut {
		t.Error("cut beyond its end")
	}
}

// TestMoreRodNeverSofter: a longer, thicker or stiffer rod never makes the cast
// bend farther, and gains rise as the cast gets softer.
func TestMoreRodNeverSofter(t *testing.T) {
	tiller := sample(t, "tiller-handle")
	s := Slice(tiller, LongAxis(tiller.Measure().Inertia), 40)
	steel := Stocks()[0].YoungMPa
	last := 1.0
	for i := range 8 {
		half := r3.Scale(20*float64(i), s.Axis)
		b := Bend(s, []Segment{{r3.Sub(s.Origin, half), r3.Add(s.Origin, half)}}, 4, CastMPa(shelf.Foam), steel)
		if b.Gain.Likely < last || b.Gain.Low > b.Gain.Likely || b.Gain.Likely > b.Gain.High {
			t.Errorf("%d: gain %v after %g", i, b.Gain, last)
		}
		last = b.Gain.Likely
	}
}

// TestStockMass: 7.85 g/cm³ × 10 cm³.
func TestStockMass(t *testing.T) {
	if m := Stocks()[0].MassG(10_000).Likely; math.Abs(m-78.5) > 1e-9 {
		t.Errorf("%g g", m)
	}
	if v := volumeMM3(6, 100); math.Abs(v-2827.433388) > 1e-6 {
		t.Errorf("%g mm³", v)
	}
}
