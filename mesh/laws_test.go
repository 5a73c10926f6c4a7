package mesh_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

// solidOf checks m and stops the test when it is not a sound solid.
func solidOf(t testing.TB, m *mesh.Mesh) *mesh.Solid {
	t.Helper()
	s, report, err := mesh.NewSolid(m)
	if err != nil {
		t.Fatalf("not a solid: %v %+v", err, report.Problems)
	}
	return s
}

func moved(m *mesh.Mesh, by r3.Vec) *mesh.Mesh {
	return m.Posed(mesh.Pose{Rows: [3]r3.Vec{{X: 1}, {Y: 1}, {Z: 1}}, T: by})
}

// shaken returns m with noise of that standard deviation on every coordinate,
// from a fixed seed.
func shaken(m *mesh.Mesh, size float64) *mesh.Mesh {
	rng := rand.New(rand.NewPCG(3, 4))
	out := &mesh.Mesh{Faces: m.Faces}
	for _, p := range m.Vertices {
		noise := r3.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()}
		out.Vertices = append(out.Vertices, r3.Add(p, r3.Scale(size, noise)))
	}
	return out
}

// anyDirection returns a unit vector in an even random direction.
func anyDirection(rng *rand.Rand) r3.Vec {
	return r3.Unit(r3.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()})
}

// anyPose returns a random turn and a shift of the given size.
func anyPose(rng *rand.Rand, shift float64) mesh.Pose {
	x, y := mesh.Frame(anyDirection(rng))
	p := mesh.PoseDown(anyDirection(rng)).Then(mesh.Pose{Rows: [3]r3.Vec{x, y, r3.Cross(x, y)}})
	p.T = r3.Scale(shift, anyDirection(rng))
	return p
}

// Plane geometry of a regular polygon with n sides and circumradius r, and of
// the frustum between two of them.
func polygonArea(n int, r float64) float64 {
	return float64(n) / 2 * r * r * math.Sin(2*math.Pi/float64(n))
}

func frustumVolume(n int, r, top, h float64) float64 {
	return polygonArea(n, 1) * h / 3 * (r*r + r*top + top*top)
}

func frustumArea(n int, r, top, h float64) float64 {
	angle := math.Pi / float64(n)
	slant := math.Hypot(h, (r-top)*math.Cos(angle))
	return polygonArea(n, r) + polygonArea(n, top) + float64(n)*math.Sin(angle)*(r+top)*slant
}

// Prisms and pyramids of n sides have closed forms to the last digit.
func TestMeasurePrismsAndPyramids(t *testing.T) {
	for _, n := range []int{3, 4, 7, 64, 500} {
		for _, c := range []struct {
			name      string
			mesh      *mesh.Mesh
			r, top, h float64
		}{
			{"cylinder", meshtest.Cylinder(n, 3, 10), 3, 3, 10},
			{"cone", meshtest.Cone(n, 5, 12), 5, 0, 12},
			{"frustum", meshtest.Frustum(n, 5, 3, 8), 5, 3, 8},
			{"widening frustum", meshtest.Frustum(n, 20, 40, 100), 20, 40, 100},
		} {
			got := solidOf(t, c.mesh).Measure()
			near(t, c.name+" volume", got.VolumeMM3, frustumVolume(n, c.r, c.top, c.h), 1e-14)
			near(t, c.name+" area", got.AreaMM2, frustumArea(n, c.r, c.top, c.h), 1e-14)
			// h/4·(R² + 2Rr + 3r²)/(R² + Rr + r²) above the base.
			tall := c.h / 4 * (c.r*c.r + 2*c.r*c.top + 3*c.top*c.top) / (c.r*c.r + c.r*c.top + c.top*c.top)
			near(t, c.name+" centroid", got.Centroid.Z, tall, 1e-13)
		}
		// Second moment of a regular polygon about its middle: ½·A·r²(1 − ⅔·sin²(π/n)).
		got := solidOf(t, meshtest.Cylinder(n, 3, 10)).Measure()
		polar := got.VolumeMM3 / 2 * 9 * (1 - 2./3*math.Pow(math.Sin(math.Pi/float64(n)), 2))
		near(t, "inertia about the axis", got.Inertia[2][2], polar, 1e-13)
		near(t, "inertia across it", got.Inertia[0][0], polar/2+got.VolumeMM3*100/12, 1e-13)
	}
}

// Inertia turns with the part: R·I·Rᵀ.
func TestInertiaTurnsWithThePart(t *testing.T) {
	rng := rand.New(rand.NewPCG(21, 22))
	m := shaken(meshtest.Box(20, 30, 40), 3)
	before := solidOf(t, m).Measure()
	for range 20 {
		pose := anyPose(rng, 500)
		after := solidOf(t, m.Posed(pose)).Measure()
		for range 5 {
			v := anyDirection(rng)
			near(t, "v·I·v", quadratic(after.Inertia, pose.Dir(v)), quadratic(before.Inertia, v), 1e-12)
		}
	}
}

func quadratic(m [3][3]float64, v r3.Vec) float64 {
	x := [3]float64{v.X, v.Y, v.Z}
	sum := 0.0
	for i := range 3 {
		for j := range 3 {
			sum += x[i] * m[i][j] * x[j]
		}
	}
	return sum
}
