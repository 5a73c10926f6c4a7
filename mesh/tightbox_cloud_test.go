package mesh

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// cloudsOfAllKinds are point sets that are hard in different ways.
func cloudsOfAllKinds(rng *rand.Rand) map[string][]r3.Vec {
	round, flat, far, few := ring(120, 80).Vertices, []r3.Vec{}, []r3.Vec{}, []r3.Vec{}
	for range 5000 {
		p := r3.Vec{X: rng.Float64(), Y: rng.Float64(), Z: rng.Float64()}
		flat = append(flat, r3.Vec{X: p.X, Y: p.Y, Z: math.Floor(2 * p.Z)})
		far = append(far, r3.Vec{X: 1e6 + p.X, Y: p.Y - 1e5, Z: 1e-3 * p.Z})
	}
	for range 9 {
		few = append(few, r3.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()})
	}
	shuffled := slices.Clone(round)
	rng.Shuffle(len(shuffled), func(i, j int) { shuffled[i], shuffled[j] = shuffled[j], shuffled[i] })
	return map[string][]r3.Vec{"round": round, "shuffled": shuffled, "flat": flat, "far": far, "few": few}
}

// TestCloudFarthest holds the farthest points against a look at all of them, to
// the last bit.
func TestCloudFarthest(t *testing.T) {
	rng := rand.New(rand.NewPCG(81, 82))
	for name, points := range cloudsOfAllKinds(rng) {
		c := newCloud(points)
		for k := range 300 {
			d := spiral(k, 300)
			if k < len(turnAxes) {
				d = turnAxes[k]
			}
			most := math.Inf(-1)
			for _, p := range points {
				most = max(most, dot(d, p))
			}
			if got := dot(d, c.farthest(d)); got != most {
				t.Fatalf("%s, along %v: %g, want %g", name, d, got, most)
			}
		}
	}
}

// TestOuterHoldsHull asks that the points outside a coarse hull, and its corners, reach
// as far as all do, and that those well inside it are left out.
func TestOuterHoldsHull(t *testing.T) {
	rng := rand.New(rand.NewPCG(83, 84))
	clouds := cloudsOfAllKinds(rng)
	for range 5000 {
		clouds["full"] = append(clouds["full"], r3.Scale(rng.Float64(), spiral(rng.IntN(900), 900)))
	}
	for name, points := range clouds {
		c := newCloud(points)
		coarse, err := Hull(c.spreadOut())
		if err != nil {
			t.Fatal(name, err)
		}
		some := c.outer(newPolyhedron(coarse))
		size := longestSide(BoundsOf(points))
		for k := range 300 {
			d := spiral(k, 300)
			for _, p := range points {
				if !reaches(some, d, dot(d, p)-1e-12*(size+farthest(p))) {
					t.Fatalf("%s, along %v: %v is left out of %d points", name, d, p, len(some))
				}
			}
		}
		if name == "full" && len(some) > len(points)/3 {
			t.Errorf("%s: %d of %d points are outside", name, len(some), len(points))
		}
	}
}

func reaches(points []r3.Vec, d r3.Vec, far float64) bool {
	return slices.ContainsFunc(points, func(p r3.Vec) bool { return dot(d, p) >= far })
}

// TestRimHoldsShadow asks that the rim of a hull has the shadow of all points.
func TestRimHoldsShadow(t *testing.T) {
	for name, points := range cloudsOfAllKinds(rand.New(rand.NewPCG(85, 86))) {
		hull, err := Hull(points)
		if err != nil {
			t.Fatal(name, err)
		}
		h := newPolyhedron(hull)
		for k := range 40 {
			n := spiral(k, 40)
			x, y := Frame(n)
			shadow := func(points []r3.Vec) (flat []r2.Vec) {
				for _, p := range points {
					flat = append(flat, r2.Vec{X: dot(x, p), Y: dot(y, p)})
				}
				return Hull2(flat)
			}
			want := shadow(points)
			if got := shadow(h.rim(n)); !slices.Equal(got, want) {
				t.Fatalf("%s, along %v: the hull's rim has %d corners, want %d", name, n, len(got), len(want))
			}
			area := 0.0
			for i := range want {
				area += r2.Cross(r2.Sub(want[i], want[0]), r2.Sub(want[(i+1)%len(want)], want[0])) / 2
			}
			if got := h.shadow(n); math.Abs(got-area) > 1e-7*area {
				t.Errorf("%s, along %v: shadow of %g mm², want %g", name, n, got, area)
			}
		}
	}
}

// TestBoxSides holds boxes along axes that are turned a little against boxes
// around all points, to the last bit.
func TestBoxSides(t *testing.T) {
	rng := rand.New(rand.NewPCG(87, 88))
	for name, points := range cloudsOfAllKinds(rng) {
		sides := newBoxSides(points)
		for range 60 {
			axes := turned([3]r3.Vec{{X: 1}, {Y: 1}, {Z: 1}}, r3.Scale(3*rng.Float64(), spiral(rng.IntN(100), 100)))
			reach := math.Pow(10, -6*rng.Float64())
			sides.keep(axes, reach)
			for range 20 {
				by := turned(axes, r3.Scale(reach*rng.Float64(), spiral(rng.IntN(100), 100)))
				want := boxAlong(points, by)
				if got, _ := sides.boxAlong(by, math.Inf(1)); got != want {
					t.Fatalf("%s, turned by up to %g: box %v, want %v", name, reach, got, want)
				}
				more := math.Nextafter(want.volume, math.Inf(1))
				if _, smaller := sides.boxAlong(by, want.volume); smaller {
					t.Fatalf("%s: a box of %g mm³ is called smaller", name, want.volume)
				}
				if _, smaller := sides.boxAlong(by, more); !smaller {
					t.Fatalf("%s: a box of %g mm³ is called no smaller than %g", name, want.volume, more)
				}
			}
		}
	}
}

// TestFlushBoxes holds the best boxes against those along all directions that are
// flush with the hull.
func TestFlushBoxes(t *testing.T) {
	for name, points := range cloudsOfAllKinds(rand.New(rand.NewPCG(89, 90))) {
		hull, err := Hull(spreadOut(points))
		if err != nil {
			t.Fatal(name, err)
		}
		h := newPolyhedron(hull)
		var all []turnedBox
		for _, n := range flushNormals(hull) {
			all = append(all, boxAlong(hull.Vertices, h.caliperAxes(n)))
		}
		for _, n := range []int{1, 5} {
			got, want := h.flushBoxes(flushNormals(hull), n), distinct(slices.Clone(all), n)
			if len(got) != len(want) {
				t.Fatalf("%s: %d boxes, want %d", name, len(got), len(want))
			}
			for i := range got {
				if got[i].volume > want[i].volume*(1+sameBox) {
					t.Errorf("%s: box %d of %g mm³, want %g", name, i, got[i].volume, want[i].volume)
				}
			}
		}
	}
}

// TestDistinct checks that boxes alike are one, and boxes that differ are not.
func TestDistinct(t *testing.T) {
	boxes := []turnedBox{{volume: 3}, {volume: 1 + sameBox/2}, {volume: 2}, {volume: 1}, {volume: 2 - sameBox/2}}
	var got []float64
	for _, b := range distinct(boxes, 3) {
		got = append(got, b.volume)
	}
	if want := []float64{1, 2 - sameBox/2, 3}; !slices.Equal(got, want) {
		t.Errorf("distinct volumes %v, want %v", got, want)
	}
}
