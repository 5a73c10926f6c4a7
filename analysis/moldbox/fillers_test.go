package moldbox_test

import (
	"context"
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"

	"pourwright/analysis/moldbox"
	"pourwright/lawtest"
)

// fromPost is the distance from an upright round post of radius r that is h high.
func fromPost(r, h float64) func(r3.Vec) float64 {
	return func(p r3.Vec) float64 {
		return math.Hypot(max(0, math.Hypot(p.X, p.Y)-r), max(0, p.Z-h))
	}
}

// Closed form: round a post of radius r in a square box of half side r + c, the
// fillet's leg L is as far off the corner as the clearance allows:
// L/√2 = √2(r + c) − (r + c), less a cell of the grid.
func TestFilletsRoundAPost(t *testing.T) {
	const r, c = 60.0, 15.0
	floor := moldbox.RectangleFloor(2*(r+c), 2*(r+c))
	all, err := moldbox.Fillers(context.Background(), floor, 120, 100, moldbox.Void{ClearanceMM: c, Distance: fromPost(r, 80)})
	if err != nil {
		t.Fatal(err)
	}
	leg := (2 - math.Sqrt2) * (r + c)
	if len(all) != 4 {
		t.Fatalf("%d fillers", len(all))
	}
	for _, f := range all {
		got := math.Sqrt(2 * f.VolumeMM3(100) / 100)
		if f.Kind != "fillet" || got > leg || got < leg-13 || f.HeightMM != 120 {
			t.Errorf("%s of leg %.1f mm, at most %.1f", f.Kind, got, leg)
		}
	}
}

// An L: a block stands over the low arm's side.
func TestBlockBesideAnL(t *testing.T) {
	// A wall 40 mm thick at the left end, 200 mm high; a slab 40 mm high everywhere.
	in := func(p r3.Vec) float64 {
		wall := math.Hypot(max(0, p.X-(-110)), 0)
		return wall
	}
	floor := moldbox.RectangleFloor(300, 120)
	all, err := moldbox.Fillers(context.Background(), floor, 220, 200, moldbox.Void{ClearanceMM: 15, Distance: in, CutNormal: r3.Vec{Y: 1}})
	if err != nil {
		t.Fatal(err)
	}
	saved := 0.0
	for _, f := range all {
		saved += f.VolumeMM3(200)
		for _, p := range f.Foot {
			if math.Abs(p.Y) < 25-1e-9 {
				t.Errorf("%s at %v stands on the cut", f.Kind, p)
			}
			if p.X < -95-1e-9 {
				t.Errorf("%s at %v is too near", f.Kind, p)
			}
		}
	}
	// Free is 245 mm of length, and 35 mm of width on each side of the cut.
	if most := 245.0 * 70 * 200; saved > most || saved < 0.75*most {
		t.Errorf("%.0f mm³ saved of %.0f", saved, most)
	}
}

// Whatever the pattern is, fillers keep the clearance, stay in the box and off the
// cut and posts, and never lie in each other.
func TestFillersKeepOff(t *testing.T) {
	lawtest.Check(t, func(t *rapid.T) {
		var balls []r3.Vec
		for range rapid.IntRange(1, 4).Draw(t, "balls") {
			balls = append(balls, r3.Vec{X: rapid.Float64Range(-80, 80).Draw(t, "x"), Y: rapid.Float64Range(-40, 40).Draw(t, "y"), Z: rapid.Float64Range(0, 60).Draw(t, "z")})
		}
		distance := func(p r3.Vec) float64 {
			least := math.Inf(1)
			for _, b := range balls {
				least = min(least, r3.Norm(r3.Sub(p, b))-12)
			}
			return least
		}
		post := moldbox.Pillar{At: r2.Vec{X: rapid.Float64Range(-80, 80).Draw(t, "px"), Y: 20}, RadiusMM: 4}
		v := moldbox.Void{ClearanceMM: 10, Distance: distance, Keep: []moldbox.Pillar{post}, CutNormal: r3.Vec{X: rapid.Float64Range(-1, 1).Draw(t, "nx"), Y: 1}}
		all, err := moldbox.Fillers(context.Background(), moldbox.RectangleFloor(220, 140), 100, 85, v)
		if err != nil {
			t.Fatal(err)
		}
		for i, f := range all {
			eachOn(f, 85, func(p r3.Vec) {
				if d := distance(p); d < 10-1e-6 {
					t.Fatalf("%s %d is %.2f mm from the pattern", f.Kind, i, d)
				}
				if r2.Norm(r2.Sub(r2.Vec{X: p.X, Y: p.Y}, post.At)) < 14-1e-6 {
					t.Fatalf("%s %d stands on the post", f.Kind, i)
				}
				if math.Abs(p.X) > 110+1e-6 || math.Abs(p.Y) > 70+1e-6 {
					t.Fatalf("%s %d leaves the box at %v", f.Kind, i, p)
				}
				for k, g := range all[:i] {
					if inFoot(g.Foot, p) && p.Z < g.HeightMM {
						t.Fatalf("%s %d lies in %s %d", f.Kind, i, g.Kind, k)
					}
				}
			})
		}
	})
}

// eachOn visits points all over a filler, its surface included, up to the level.
func eachOn(f moldbox.Filler, level float64, visit func(r3.Vec)) {
	h := min(level, f.HeightMM)
	for i := range f.Foot {
		for u := 0.0; u <= 1; u += 0.1 {
			for w := 0.0; w <= 1; w += 0.1 {
				a := r2.Add(r2.Scale(1-u, f.Foot[i]), r2.Scale(u, f.Foot[(i+1)%len(f.Foot)]))
				p := r2.Add(r2.Scale(1-w, a), r2.Scale(w, f.Foot[(i+2)%len(f.Foot)]))
				for z := 0.0; z <= 1; z += 0.25 {
					visit(r3.Vec{X: p.X, Y: p.Y, Z: z * h})
				}
			}
		}
	}
}

func inFoot(foot []r2.Vec, p r3.Vec) bool {
	for i, a := range foot {
		b := foot[(i+1)%len(foot)]
		if (b.X-a.X)*(p.Y-a.Y)-(b.Y-a.Y)*(p.X-a.X) < 1e-6 {
			return false
		}
	}
	return true
}

// Closed forms: beside, above, and over an edge of a block.
func TestDistanceFromAFiller(t *testing.T) {
	f := moldbox.Filler{Foot: []r2.Vec{{}, {X: 40}, {X: 40, Y: 30}, {Y: 30}}, HeightMM: 50}
	for p, want := range map[r3.Vec]float64{
		{X: 50, Y: 10, Z: 20}: 10, {X: 20, Y: 10, Z: 57}: 7, {X: 43, Y: 34, Z: 10}: 5, {X: 43, Y: 10, Z: 54}: 5, {X: -3, Y: -4, Z: 62}: 13,
	} {
		if got := f.DistanceMM(p); math.Abs(got-want) > 1e-9 {
			t.Errorf("%v is %v mm off, want %v", p, got, want)
		}
	}
}
