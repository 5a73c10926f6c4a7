package picture

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis"
)

// partedIn gives a plan a bed with two keys on its cut.
func partedIn(p *analysis.Plan) {
	n := vec(p.Cut.Normal)
	along := r3.Unit(r3.Cross(n, r3.Vec{Z: 1}))
	at := vec(p.Cut.PointMM)
	off := func(x, z float64) [3]float64 {
		q := r3.Add(at, r3.Scale(x, along))
		return [3]float64{q.X, q.Y, z}
	}
	in := p.Box.InsideMM
	far := 0.5*min(in[0], in[1]) - 8
	p.TwoPart = &analysis.TwoPart{InsideMM: [3]float64{in[2], in[0], in[1]}, Keys: []analysis.BedKey{
		{AtMM: off(far, 0.6*in[2]), Along: [3]float64{0, 0, 1}, LengthMM: 12, WidthMM: 8, DepthMM: 5},
		{AtMM: off(-far, 0.6*in[2]), Along: [3]float64{along.X, along.Y, along.Z}, LengthMM: 12, WidthMM: 8, DepthMM: 5},
	}}
	p.Cut.Style, p.Cut.Surface = "two-part", "plane"
	p.Box.WallHeightMM = in[1] + 12
}

// The picture of a mold in two parts shows the block, its keys where they are and of
// their size, and says nothing of a cut or of walls that are not there.
func TestPictureOfTwoParts(t *testing.T) {
	for _, shape := range shapes {
		t.Run(shape.name, func(t *testing.T) {
			m, p := shaped(t, shape.mesh, 0, 1)
			partedIn(p)
			d := drawn(t, m, p, worded())
			labelsAreClear(t, d)
			s, err := newScene(m, p, worded())
			if err != nil {
				t.Fatal(err)
			}
			for _, word := range []string{"cut (", "behind the cut", "base board", "inside of the walls"} {
				if row := rowOf(s, word); row != "" {
					t.Errorf("legend has %q", row)
				}
			}
			if rowOf(s, "keys on the bed") == "" || rowOf(s, "bed of clay") == "" || rowOf(s, "wall at the spout") == "" {
				t.Errorf("legend leaves out keys, bed or wall: %v", s.legend())
			}
			for _, x := range s.dimensions(d.layout.cam) {
				if x.name == "wall height" {
					t.Error("the height of walls that are not drawn")
				}
			}
			f := s.square()
			for i, oval := range s.ovals() {
				k := p.TwoPart.Keys[i]
				b := boundsOf(f.all(oval))
				long, wide := math.Max(b.wide(), b.high()), math.Min(b.wide(), b.high())
				if math.Abs(long-k.LengthMM) > 0.1 || math.Abs(wide-k.WidthMM) > 0.1 {
					t.Errorf("key %d is drawn %.2f by %.2f mm, want %g by %g", i, long, wide, k.LengthMM, k.WidthMM)
				}
				middle := f.at(vec(k.AtMM))
				if math.Abs((b.X0+b.X1)/2-middle.X) > 0.01 || math.Abs((b.Y0+b.Y1)/2-middle.Y) > 0.01 {
					t.Errorf("key %d is drawn beside its place", i)
				}
			}
		})
	}
}
