package picture

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh/meshtest"
)

// The colours between those of the table are near those that general plotting
// libraries publish for the same map, here at each tenth.
func TestHeatAgainstPublishedColours(t *testing.T) {
	for i, want := range []tint{
		{0.0, 0.135112, 0.304751}, {0.03211, 0.201199, 0.440785}, {0.208926, 0.272546, 0.424809}, {0.309601, 0.340399, 0.42479},
		{0.401418, 0.41179, 0.440708}, {0.488697, 0.485318, 0.471008}, {0.582087, 0.55867, 0.468118}, {0.68395, 0.638793, 0.444251},
		{0.785965, 0.720438, 0.399613}, {0.896818, 0.81103, 0.320982}, {0.995737, 0.909344, 0.217772},
	} {
		got := heat(float64(i) / 10)
		if off := max(math.Abs(got.R-want.R), math.Abs(got.G-want.G), math.Abs(got.B-want.B)); off > 0.03 {
			t.Errorf("at %.1f: %.3f, published %.3f", float64(i)/10, got, want)
		}
	}
}

// More is always lighter (relative luminance, ITU-R BT.709), and what is beyond
// the ends is as at the ends.
func TestHeatGrowsLighter(t *testing.T) {
	before := -1.0
	for x := 0.0; x <= 1; x += 0.01 {
		c := heat(x)
		light := 0.2126*math.Pow(c.R, 2.2) + 0.7152*math.Pow(c.G, 2.2) + 0.0722*math.Pow(c.B, 2.2)
		if light <= before {
			t.Errorf("at %.2f it is not lighter than before", x)
		}
		before = light
	}
	if heat(-1) != heat(0) || heat(7) != heat(1) {
		t.Error("beyond the ends the colour changes")
	}
}

// The pieces of a heat map cover the surface, each in the colour of its value.
func TestHeatBodiesCoverTheSurface(t *testing.T) {
	m := meshtest.Box(40, 30, 20)
	value := make([]float32, len(m.Vertices))
	for v, p := range m.Vertices {
		value[v] = float32(p.X / 40)
	}
	area, shades := 0.0, 0
	for i, b := range heatBodies(m, value, 10) {
		area += b.mesh.Area()
		if len(b.mesh.Faces) > 0 {
			shades++
		}
		for f := range b.mesh.Faces {
			p, q, r := b.mesh.Corners(f)
			x := (p.X + q.X + r.X) / 3 / 40
			if want := (float64(i) + 0.5) / heatShades; math.Abs(x-want) > 0.6/heatShades {
				t.Fatalf("a piece at %.3f of the way has the colour of %.3f", x, want)
			}
			if n := b.normals[f][0]; math.Abs(r3.Norm(n)-1) > 1e-9 {
				t.Fatalf("a direction %v", n)
			}
		}
	}
	if math.Abs(area-m.Area()) > 1e-6 || shades != heatShades {
		t.Errorf("%.3f mm² in %d shades, want %.3f in %d", area, shades, m.Area(), heatShades)
	}
}

// A mesh too large to draw keeps the values of its places when it is reduced.
func TestHeatOfLargeMeshes(t *testing.T) {
	m := meshtest.Icosphere(7).Scaled(40)
	value := make([]float32, len(m.Vertices))
	for v, p := range m.Vertices {
		value[v] = float32(0.5 + p.Z/80)
	}
	coarse, mean := heatReduced(m, value, 5)
	if len(coarse.Faces) >= len(m.Faces) || len(mean) != len(coarse.Vertices) {
		t.Fatalf("%d faces of %d, %d values", len(coarse.Faces), len(m.Faces), len(mean))
	}
	for v, p := range coarse.Vertices {
		if want := 0.5 + p.Z/80; math.Abs(float64(mean[v])-want) > 0.01 {
			t.Fatalf("the value at %v is %.3f, want %.3f", p, mean[v], want)
		}
	}
}
