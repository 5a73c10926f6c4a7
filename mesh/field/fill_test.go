package field

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

// The bounds of fill hold for every voxel amid the corners of a cube, whatever the
// surface: here points at random, near and far, the nearest found by trying all.
func TestBoundsHold(t *testing.T) {
	rng := rand.New(rand.NewPCG(11, 12))
	tight := 0
	for range 3000 {
		far := float32(math.Exp(4 * rng.Float64()))
		cloud := make([]point, 1+rng.IntN(30))
		for i := range cloud {
			cloud[i] = point{far * float32(rng.NormFloat64()), far * float32(rng.NormFloat64()), far * float32(rng.NormFloat64())}
		}
		nearest := func(at point) point {
			best := at.to(cloud[0])
			for _, q := range cloud {
				if w := at.to(q); w.dot(w) < best.dot(best) {
					best = w
				}
			}
			return best
		}
		var rows [4][]spot
		for r := range rows {
			for x := range 2 {
				rows[r] = append(rows[r], spot{way: nearest(point{float32(2 * x), float32(2 * (r & 1)), float32(2 * (r >> 1))})})
			}
		}
		var left, right ends
		left.sum(&rows, 0)
		right.sum(&rows, 1)
		for r := range rows {
			across, halves := left[r], halvesOf[r]
			for x := range 2 {
				if x == 1 {
					across.join(&left[r], &right[r], point{x: 1})
					halves++
				}
				w := nearest(point{float32(x), float32(r & 1), float32(r >> 1)})
				low, high := across.bounds(halves)
				d2, slack := w.dot(w), 1e-4*(1+high)
				if low > d2+slack || high < d2-slack {
					t.Fatalf("row %d, x %d: %g is not between %g and %g", r, x, d2, low, high)
				}
				if sqrt32(high)-sqrt32(max(0, low)) < 2*fillVoxels {
					tight++
				}
			}
		}
	}
	if tight < 3000*8/4 {
		t.Errorf("only %d pairs of bounds are tight enough to be of use", tight)
	}
}

// Far voxels of fine grids: against the closed form on a sphere, in whose middle all
// of the surface is equally near, and against the search tree on our props, the lantern
// with many ridges between its bars and the trumpet with its thin wall.
func TestFarDistancesOfFineGrids(t *testing.T) {
	if testing.Short() {
		t.Skip("needs seconds")
	}
	ball := newField(t, meshtest.Icosphere(7), Choice{Cells: 256})
	if near, any := ball.misses(13, sphereDistance(1)); near > 0.1 || any > 0.5 {
		t.Errorf("ball: off by %g voxels near the surface, %g anywhere", near, any)
	}
	rng := rand.New(rand.NewPCG(13, 14))
	for _, name := range []string{"storm-lantern", "speaking-trumpet"} {
		m, _, err := mesh.Read(context.Background(), "../../samples/"+name+".stl", nil)
		if err != nil {
			t.Fatal(err)
		}
		f, tree := newField(t, m, Choice{Cells: 256}), mesh.NewTree(m)
		const places = 60000
		band, far, sum := 0.0, 0.0, 0.0
		for range places {
			i := rng.IntN(len(f.Distance))
			x, y, z := i%f.N[0], i/f.N[0]%f.N[1], i/f.N[0]/f.N[1]
			hit, _ := tree.Closest(r3.Add(f.Origin, r3.Scale(f.VoxelMM, r3.Vec{X: float64(x), Y: float64(y), Z: float64(z)})), math.Inf(1))
			off := math.Abs(math.Abs(float64(f.Distance[i]))-hit.Distance) / f.VoxelMM
			if hit.Distance < (bandVoxels-0.01)*f.VoxelMM {
				band = max(band, off)
			}
			far, sum = max(far, off), sum+off
		}
		t.Logf("%s, %v: %.5f voxels in the band, %.3f anywhere, %.4f in the mean", name, f.N, band, far, sum/places)
		if band > 1e-3 || far > 0.5 || sum/places > 0.015 {
			t.Errorf("%s: off by %g voxels in the band, %g anywhere, %g in the mean", name, band, far, sum/places)
		}
	}
}
