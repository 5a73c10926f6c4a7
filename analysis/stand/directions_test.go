package stand

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh/meshtest"
)

func TestSphereIsEvenAndSymmetric(t *testing.T) {
	ds := sphere(sphereDirections)
	if len(ds) < 1000 {
		t.Fatalf("%d directions, want a thousand or more", len(ds))
	}
	seen := map[r3.Vec]bool{}
	for _, d := range ds {
		if math.Abs(r3.Norm(d)-1) > 1e-12 || seen[d] {
			t.Fatalf("%v is no unit vector, or there twice", d)
		}
		seen[d] = true
	}
	for d := range seen {
		for _, image := range []r3.Vec{{X: -d.X, Y: d.Y, Z: d.Z}, {X: d.X, Y: -d.Y, Z: d.Z}, {X: d.X, Y: d.Y, Z: -d.Z}} {
			if !seen[image] {
				t.Fatalf("%v has no image %v", d, image)
			}
		}
	}
	// An even cover of n points leaves no place farther than about twice the
	// radius of a cap of area 4π/n.
	farthest := 2 * math.Acos(1-2/float64(len(ds)))
	rng := rand.New(rand.NewPCG(3, 4))
	for range 2000 {
		p := r3.Unit(r3.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()})
		near := slices.MaxFunc(ds, func(a, b r3.Vec) int {
			return int(math.Copysign(1, r3.Dot(a, p)-r3.Dot(b, p)))
		})
		if gap := math.Acos(r3.Dot(near, p)); gap > farthest {
			t.Fatalf("nothing within %.2f° of %v", gap*180/math.Pi, p)
		}
	}
}

func TestHullFlats(t *testing.T) {
	box := hullFlats(meshtest.Box(40, 30, 20), r3.Vec{X: 20, Y: 15, Z: 10})
	if len(box) != 6 {
		t.Fatalf("a box has %d flats, want 6", len(box))
	}
	for _, d := range box {
		if s := math.Abs(d.X) + math.Abs(d.Y) + math.Abs(d.Z); math.Abs(s-1) > 1e-12 {
			t.Errorf("%v is no side of the box", d)
		}
	}
	// A spinning top rests on the flank of its cone, which is all small facets.
	top := meshtest.Cone(7000, 100, 30)
	all := len(hullFlats(top, r3.Vec{Z: 20}))
	if few := len(hullFlats(top, r3.Vec{Z: 900})); few == 0 || all < few {
		t.Errorf("%d flats, %d with its centroid far off", all, few)
	}
	ball := hullFlats(meshtest.Icosphere(6), r3.Vec{})
	if len(ball) == 0 || len(ball) > mostFacets {
		t.Errorf("a ball of 82k facets has %d flats", len(ball))
	}
	for i, d := range ball {
		if math.Abs(r3.Norm(d)-1) > 1e-12 {
			t.Errorf("flat %d is %v", i, d)
		}
	}
}

// In its own frame a part looks the same, however it was turned or mirrored.
func TestOwnFrameGoesWithThePart(t *testing.T) {
	m := lopsided()
	for name, moved := range map[string]func(p r3.Vec) r3.Vec{"turned": turned, "mirrored": mirrored} {
		frame, other := frameOf(t, m), frameOf(t, movedMesh(m, moved, name == "mirrored"))
		for v, p := range m.Vertices {
			if d := r3.Norm(r3.Sub(frame.in(p), other.in(moved(p)))); d > 1e-9 {
				t.Fatalf("%s: vertex %d is off by %g mm", name, v, d)
			}
			if d := r3.Norm(r3.Sub(frame.out(frame.in(p)), p)); d > 1e-9 {
				t.Fatalf("there and back: off by %g mm", d)
			}
		}
	}
}
