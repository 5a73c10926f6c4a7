package cast

import (
	"context"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
	"pourwright/mesh/field"
	"pourwright/samples"
)

// The samples' necks are where and as wide as the program that made them says;
// the field is as fine as a plan's.
func TestSamples(t *testing.T) {
	for _, fact := range samples.All() {
		if fact.NeckMM == 0 {
			continue
		}
		m, _, err := mesh.Read(context.Background(), "../../samples/"+fact.File, nil)
		if err != nil {
			t.Fatal(err)
		}
		f, err := field.New(context.Background(), m, field.Choice{VoxelMM: 2}, nil)
		if err != nil {
			t.Fatal(err)
		}
		p, err := NewPassages(context.Background(), f)
		if err != nil {
			t.Fatal(err)
		}
		if err := p.Refine(context.Background(), m); err != nil {
			t.Fatal(err)
		}
		far := m.Vertices[0]
		for _, v := range m.Vertices {
			if r3.Dot(fact.NeckAxis, v) < r3.Dot(fact.NeckAxis, far) {
				far = v
			}
		}
		necks, _ := p.From(far, 15)
		if len(necks) != 1 {
			t.Fatalf("%s: %+v", fact.File, necks)
		}
		n := necks[0]
		near(t, fact.File, n.DiameterMM, fact.NeckMM, 0.03)
		if d := r3.Norm(r3.Sub(n.At, fact.NeckAt)); d > 1 {
			t.Errorf("%s: the neck is %g mm off", fact.File, d)
		}
		if c := r3.Dot(n.Along, fact.NeckAxis); c < 0.999 {
			t.Errorf("%s: along %v, want %v", fact.File, n.Along, fact.NeckAxis)
		}
		// From the other end, the rest is behind it.
		near2, _ := p.From(r3.Add(far, r3.Scale(417, fact.NeckAxis)), 15)
		if len(near2) != 1 {
			continue
		}
		near(t, "both sides", n.BehindMM3+near2[0].BehindMM3, fact.VolumeMM3, fact.VolumeTolerance)
	}
}
