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

// TestHullCandidatesHoldHull asks that no corner of the hull is left out.
func TestHullCandidatesHoldHull(t *testing.T) {
	for name, points := range cloudsOfAllKinds(rand.New(rand.NewPCG(83, 84))) {
		hull, err := Hull(points)
		if err != nil {
			t.Fatal(name, err)
		}
		some, err := hullCandidates(points)
		if err != nil {
			t.Fatal(name, err)
		}
		for _, p := range hull.Vertices {
			if !slices.Contains(some, p) {
				t.Fatalf("%s: corner %v is left out of %d points", name, p, len(some))
			}
		}
	}
}

// TestRimHoldsShadow asks that the rims of a cloud and of its hull have the shadow's
// hull.
func TestRimHoldsShadow(t *testing.T) {
	for name, points := range cloudsOfAllKinds(rand.New(rand.NewPCG(85, 86))) {
		c := newCloud(points)
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
			if got := shadow(c.rim(n)); !slices.Equal(got, want) {
				t.Fatalf("%s, along %v: the rim's shadow has %d corners, want %d", name, n, len(got), len(want))
			}
			if got := shadow(h.rim(n)); !slices.Equal(got, want) {
				t.Fatalf("%s, along %v: the hull's rim has %d corners, want %d", name, n, len(got), len(want))
			}
		}
	}
}
