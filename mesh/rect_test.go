package mesh_test

import (
	"math"
	"math/big"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"

	"pourwright/mesh"
)

// polygon returns the corners of a regular polygon, turned by an angle.
func polygon(n int, radius, turn float64) []r2.Vec {
	var corners []r2.Vec
	for i := range n {
		sin, cos := math.Sincos(turn + 2*math.Pi*float64(i)/float64(n))
		corners = append(corners, r2.Vec{X: radius * cos, Y: radius * sin})
	}
	return corners
}

// turnedPoints turns points about the origin and moves them.
func turnedPoints(points []r2.Vec, angle float64, by r2.Vec) []r2.Vec {
	sin, cos := math.Sincos(angle)
	var out []r2.Vec
	for _, p := range points {
		out = append(out, r2.Vec{X: cos*p.X - sin*p.Y + by.X, Y: sin*p.X + cos*p.Y + by.Y})
	}
	return out
}

// checkRect fails when a point is outside the rectangle by more than tol.
func checkRect(t *testing.T, what string, r mesh.Rect, points []r2.Vec, tol float64) {
	t.Helper()
	sin, cos := math.Sincos(r.Angle)
	for _, p := range points {
		d := r2.Sub(p, r.Center)
		x, y := math.Abs(cos*d.X+sin*d.Y), math.Abs(cos*d.Y-sin*d.X)
		if !(x <= r.Size[0]/2+tol && y <= r.Size[1]/2+tol) {
			t.Errorf("%s: %v is %.2g, %.2g outside of %v", what, p, x-r.Size[0]/2, y-r.Size[1]/2, r)
			return
		}
	}
	if r.Size[1] > r.Size[0] || r.Angle <= -math.Pi/2 || r.Angle > math.Pi/2 {
		t.Errorf("%s: %v is not longest side first within a half turn", what, r)
	}
}

// The least rectangle has a side on a side of the polygon (Freeman & Shapira,
// "Determining the minimum-area encasing rectangle for an arbitrary closed
// curve", Communications of the ACM 18(7), 1975, from memory), which gives
// closed forms for regular polygons of radius 1.
func TestMinAreaRectKnownPolygons(t *testing.T) {
	rng := rand.New(rand.NewPCG(31, 32))
	for _, c := range []struct {
		name   string
		points []r2.Vec
		area   float64
	}{
		{"triangle", polygon(3, 1, 0), 2.598076}, // 3√3/2
		{"square", polygon(4, 1, 0), 2},
		{"pentagon", polygon(5, 1, 0), 3.440955},
		{"hexagon", polygon(6, 1, 0), 3.464102}, // 2√3
		{"heptagon", polygon(7, 1, 0), 3.706615},
		{"octagon", polygon(8, 1, 0), 3.414214}, // 2 + √2
		{"triangle 3-4-5", []r2.Vec{{}, {X: 4}, {Y: 3}}, 12},
		{"rectangle", []r2.Vec{{}, {X: 7}, {X: 7, Y: 2}, {Y: 2}, {X: 3, Y: 1}}, 14},
	} {
		for range 25 {
			points := turnedPoints(c.points, 7*rng.Float64(), r2.Vec{X: 100 * rng.NormFloat64(), Y: 100 * rng.NormFloat64()})
			r := mesh.MinAreaRect(points)
			near(t, c.name, r.Size[0]*r.Size[1], c.area, 5e-7)
			checkRect(t, c.name, r, points, 1e-12)
		}
	}
}

func TestMinAreaRectFindsTurnedRectangles(t *testing.T) {
	rng := rand.New(rand.NewPCG(33, 34))
	corners := []r2.Vec{{X: -100, Y: -20}, {X: 100, Y: -20}, {X: 100, Y: 20}, {X: -100, Y: 20}}
	for range 200 {
		angle := math.Pi * (rng.Float64() - 0.5)
		by := r2.Vec{X: 1e4 * rng.Float64(), Y: -1e4 * rng.Float64()}
		inside := r2.Vec{X: 200*rng.Float64() - 100, Y: 40*rng.Float64() - 20}
		r := mesh.MinAreaRect(turnedPoints(append(corners, inside), angle, by))
		near(t, "long side", r.Size[0], 200, 1e-12)
		near(t, "short side", r.Size[1], 40, 1e-12)
		near(t, "angle", math.Remainder(r.Angle-angle, math.Pi), 0, 1e-11)
		near(t, "center", r2.Norm(r2.Sub(r.Center, by)), 0, 1e-11)
	}
}

func TestMinAreaRectOfFewPoints(t *testing.T) {
	for _, c := range []struct {
		name   string
		points []r2.Vec
		want   mesh.Rect
	}{
		{"nothing", nil, mesh.Rect{}},
		{"a point", []r2.Vec{{X: 3, Y: 4}}, mesh.Rect{Center: r2.Vec{X: 3, Y: 4}}},
		{"one point thrice", []r2.Vec{{X: 3, Y: 4}, {X: 3, Y: 4}, {X: 3, Y: 4}}, mesh.Rect{Center: r2.Vec{X: 3, Y: 4}}},
		{"upright line", []r2.Vec{{X: 1, Y: 5}, {X: 1, Y: 1}, {X: 1, Y: 2}}, mesh.Rect{Angle: math.Pi / 2, Center: r2.Vec{X: 1, Y: 3}, Size: [2]float64{4, 0}}},
		{"level line", []r2.Vec{{X: 5}, {X: 1}, {X: 2}}, mesh.Rect{Center: r2.Vec{X: 3}, Size: [2]float64{4, 0}}},
	} {
		if got := mesh.MinAreaRect(c.points); got != c.want {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
}

// pointSets are random sets, many of them nasty: nearly on lines and circles,
// in lattices, in tiny clusters.
func pointSets(rng *rand.Rand, n int) map[string][]r2.Vec {
	sets := make(map[string][]r2.Vec)
	for range n {
		x, y := rng.NormFloat64(), rng.NormFloat64()
		sin, cos := math.Sincos(7 * rng.Float64())
		tiny := math.Pow(10, -9-8*rng.Float64())
		corner := polygon(5, 50, 0.3)[rng.IntN(5)]
		add := func(name string, x, y float64) { sets[name] = append(sets[name], r2.Vec{X: x, Y: y}) }
		add("cloud", 50*x, 20*y)
		add("circle", 50*cos, 50*sin)
		add("noisy circle", (50+1e-9*x)*cos, (50+1e-9*x)*sin)
		add("lattice", float64(rng.IntN(9)), float64(rng.IntN(7)))
		add("turned lattice", 0.6*float64(rng.IntN(9))-0.8*float64(rng.IntN(7)), 0.8*float64(rng.IntN(9))+0.6*float64(rng.IntN(7)))
		add("clusters", corner.X+tiny*x, corner.Y+tiny*y)
		add("far clusters", 1e4+corner.X+tiny*x, corner.Y+tiny*y-1e4)
		add("nearly a line", 30*x, 10*x+1e-10*y)
		add("rounded square", 50*min(1, max(-1, 2*cos))+1e-12*x, 50*min(1, max(-1, 2*sin))+1e-12*y)
	}
	return sets
}

// leastTurned is the area of the least rectangle along any pair of points: slow,
// but blind to hulls and calipers.
func leastTurned(points []r2.Vec) float64 {
	least := math.Inf(1)
	for i, a := range points {
		for _, b := range points[:i] {
			if a == b {
				continue
			}
			u := r2.Unit(r2.Sub(b, a))
			lo, hi := r2.Vec{X: math.Inf(1), Y: math.Inf(1)}, r2.Vec{X: math.Inf(-1), Y: math.Inf(-1)}
			for _, p := range points {
				d := r2.Sub(p, points[0])
				x, y := u.X*d.X+u.Y*d.Y, u.X*d.Y-u.Y*d.X
				lo, hi = r2.Vec{X: min(lo.X, x), Y: min(lo.Y, y)}, r2.Vec{X: max(hi.X, x), Y: max(hi.Y, y)}
			}
			least = min(least, (hi.X-lo.X)*(hi.Y-lo.Y))
		}
	}
	return least
}

func TestMinAreaRectAgainstAllPairs(t *testing.T) {
	rng := rand.New(rand.NewPCG(35, 36))
	for range 8 {
		for name, points := range pointSets(rng, 40) {
			r := mesh.MinAreaRect(points)
			checkRect(t, name, r, points, 2e-12)
			want := leastTurned(points)
			if got := r.Size[0] * r.Size[1]; math.Abs(got-want) > 1e-9 {
				t.Errorf("%s: area %.12g, all pairs give %.12g", name, got, want)
			}
		}
	}
}

// Points a hair apart make hull edges so short that a rounded hull would turn
// them anywhere, and the rectangle with them.
func TestMinAreaRectHoldsPointsAHairApart(t *testing.T) {
	rng := rand.New(rand.NewPCG(45, 46))
	for range 10000 {
		hair, far := math.Pow(10, -17+8*rng.Float64()), math.Pow(10, 4*rng.Float64())
		corners := []r2.Vec{{}, {X: 100}, {Y: 40}, {X: 100, Y: 40}}
		if rng.IntN(2) == 0 {
			corners = append(corners[:1], polygon(5, 60, 1)...)
		}
		corners = turnedPoints(corners, 7*rng.Float64(), r2.Vec{X: far, Y: -far})
		var points []r2.Vec
		for range 3 + rng.IntN(40) {
			p := corners[rng.IntN(len(corners))]
			points = append(points, r2.Vec{X: p.X + hair*rng.NormFloat64(), Y: p.Y + hair*rng.NormFloat64()})
		}
		checkRect(t, "points a hair apart", mesh.MinAreaRect(points), points, 1e-15*(200+10*far))
	}
}

// side2 is the exact sign of the area of abc.
func side2(a, b, c r2.Vec) int {
	left := new(big.Float).Mul(exactly(b.X, a.X), exactly(c.Y, a.Y))
	return left.Cmp(new(big.Float).Mul(exactly(b.Y, a.Y), exactly(c.X, a.X)))
}

// Hulls are strictly convex and contain every point, exactly; their corners are
// points of the set. Small sets are sorted whole, large ones after most points
// are dropped.
func TestHull2IsExact(t *testing.T) {
	rng := rand.New(rand.NewPCG(37, 38))
	for name, points := range pointSets(rng, 300) {
		checkHull2(t, name, points, points)
	}
	for name, points := range pointSets(rng, 5000) {
		checkHull2(t, name, points, points[:5])
	}
}

func checkHull2(t *testing.T, name string, points, some []r2.Vec) {
	t.Helper()
	hull := mesh.Hull2(points)
	given := make(map[r2.Vec]bool)
	for _, p := range points {
		given[p] = true
	}
	for i, a := range hull {
		b, c := hull[(i+1)%len(hull)], hull[(i+2)%len(hull)]
		if side2(a, b, c) <= 0 {
			t.Fatalf("%s: corner %v does not turn left", name, b)
		}
		if !given[a] {
			t.Fatalf("%s: %v is none of the points", name, a)
		}
		for _, p := range some {
			if side2(a, b, p) < 0 {
				t.Fatalf("%s: %v is outside edge %d", name, p, i)
			}
		}
	}
	if len(hull) < 3 {
		t.Fatalf("%s: hull of %d corners", name, len(hull))
	}
	lowest := slices.MinFunc(points, func(a, b r2.Vec) int {
		if a.X < b.X || a.X == b.X && a.Y < b.Y {
			return -1
		}
		return 1
	})
	if hull[0] != lowest {
		t.Errorf("%s: starts at %v, want %v", name, hull[0], lowest)
	}
}

// Dropping points inside a sample's hull changes nothing.
func TestHull2OfManyIsHullOfParts(t *testing.T) {
	rng := rand.New(rand.NewPCG(39, 40))
	for name, points := range pointSets(rng, 20000) {
		var corners []r2.Vec
		for part := range slices.Chunk(points, 1000) { // too few to sample
			corners = append(corners, mesh.Hull2(part)...)
		}
		if got, want := mesh.Hull2(points), mesh.Hull2(corners); !slices.Equal(got, want) {
			t.Errorf("%s: %d corners, want %d", name, len(got), len(want))
		}
	}
}
