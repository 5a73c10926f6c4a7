package cut

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

// Circles, a saddle and a line that leaves the grid: lengths by closed form, every
// point on the level, the higher side on the left.
func TestContours(t *testing.T) {
	grid := func() raster { return raster{low: r2.Vec{X: -20.3, Y: -20.1}, stepMM: 0.5, nu: 82, nv: 82} }
	for _, c := range []struct {
		what   string
		figure func(p r2.Vec) float64
		level  float64
		lines  int
		closed bool
		length float64
	}{
		{"circle", func(p r2.Vec) float64 { return r2.Norm(p) }, 11, 1, true, 2 * math.Pi * 11},
		{"two circles", func(p r2.Vec) float64 {
			return math.Min(math.Hypot(p.X-8, p.Y), math.Hypot(p.X+8, p.Y))
		}, 5, 2, true, 4 * math.Pi * 5},
		{"line", func(p r2.Vec) float64 { return p.X + p.Y }, 3, 1, false, 0},
		{"saddle", func(p r2.Vec) float64 { return p.X * p.Y }, 0.001, 2, false, 0},
	} {
		g := grid()
		g.fill(func(i, j int) float64 { return c.figure(g.place(i, j)) })
		lines := g.contours(c.level, c.figure)
		if len(lines) != c.lines {
			t.Errorf("%s: %d lines, want %d", c.what, len(lines), c.lines)
		}
		length := 0.0
		for _, l := range lines {
			length += l.lengthMM()
			if l.closed != c.closed {
				t.Errorf("%s: closed %v", c.what, l.closed)
			}
			for i, p := range l.points {
				if math.Abs(c.figure(p)-c.level) > 1e-4 {
					t.Fatalf("%s: %v has %g", c.what, p, c.figure(p))
				}
				if i == 0 {
					continue
				}
				d := r2.Sub(p, l.points[i-1])
				middle := r2.Add(l.points[i-1], r2.Scale(0.5, d))
				if r2.Norm(d) < 1e-3 {
					continue
				}
				left := r2.Add(middle, r2.Scale(0.1/r2.Norm(d), r2.Vec{X: -d.Y, Y: d.X}))
				if c.figure(left) < c.level {
					t.Fatalf("%s: lower on the left at %v", c.what, p)
				}
			}
		}
		if c.length > 0 && math.Abs(length-c.length) > 0.003*c.length {
			t.Errorf("%s: %.3f mm, want %.3f", c.what, length, c.length)
		}
	}
}

func TestCurveKeptAndEven(t *testing.T) {
	var circle curve
	circle.closed = true
	for k := range 720 {
		sin, cos := math.Sincos(2 * math.Pi * float64(k) / 720)
		circle.points = append(circle.points, r2.Vec{X: 10 * cos, Y: 10 * sin})
	}
	parts := circle.kept(func(p r2.Vec) float64 { return p.Y - 5 })
	if len(parts) != 1 || parts[0].closed {
		t.Fatalf("%d parts", len(parts))
	}
	if want := 10 * 2 * math.Pi / 3; math.Abs(parts[0].lengthMM()-want) > 1e-3*want {
		t.Errorf("arc over y = 5: %.4f mm, want %.4f", parts[0].lengthMM(), want)
	}
	if whole := circle.kept(func(r2.Vec) float64 { return 1 }); len(whole) != 1 || !whole[0].closed {
		t.Error("what is kept whole stays closed")
	}
	if none := circle.kept(func(r2.Vec) float64 { return -1 }); len(none) != 0 {
		t.Errorf("%d parts of what is left out whole", len(none))
	}
	points := circle.even(36)
	if len(points) != 37 || r2.Norm(r2.Sub(points[36], points[0])) > 1e-9 {
		t.Fatalf("%d points, from %v to %v", len(points), points[0], points[len(points)-1])
	}
	for i := 1; i < len(points); i++ {
		if d := r2.Norm(r2.Sub(points[i], points[i-1])); math.Abs(d-2*10*math.Sin(math.Pi/36)) > 0.01 {
			t.Errorf("step %d is %.4f mm", i, d)
		}
	}
}
