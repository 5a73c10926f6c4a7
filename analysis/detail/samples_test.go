package detail

import (
	"context"
	"path/filepath"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
	"pourwright/samples"
)

// Where the makers of the samples put carving and rivets there is detail, where
// they left the surface plain there is none. (The least of the details are shallow
// waves on a part of their ball: 0.07; handles have none at all.)
func TestSamplesHaveDetailWhereItWasPut(t *testing.T) {
	for _, f := range samples.All() {
		m, _, err := mesh.Read(context.Background(), filepath.Join("../../samples", f.File), nil)
		if err != nil {
			t.Fatal(err)
		}
		score := scoreAt(t, m, 0)
		within := func(r samples.Region) float64 {
			return mean(m, score, func(p r3.Vec) bool { return r3.Norm(r3.Sub(p, r.Centre)) <= r.RadiusMM })
		}
		most := 0.0
		for _, r := range f.Plain {
			got := within(r)
			most = max(most, got)
			if !(got <= 0.002) {
				t.Errorf("%s, %s: mean score %.4f, want none", f.File, r.What, got)
			}
		}
		for _, r := range f.Detail {
			got := within(r)
			t.Logf("%s, %s: %.2f", f.File, r.What, got)
			if !(got >= 0.05) || got < 20*most {
				t.Errorf("%s, %s: mean score %.3f, and plain places have %.3f", f.File, r.What, got, most)
			}
		}
	}
}
