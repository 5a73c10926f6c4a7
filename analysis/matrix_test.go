package analysis

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

// The broken-scan matrix: solids of known volume, each broken in every way that
// scans are, read and mended as plan does, and held against the truth, which is
// the volume of the unbroken mesh (exact, see mesh.Measure).

// way is a way to break a scan and what the maker says to it.
type way struct {
	meshtest.Damage
	choices  Choices
	mendable bool // without a field or a question
}

func ways() []way {
	var all []way
	for _, d := range meshtest.Damages() {
		all = append(all, way{d, Choices{Units: "mm"}, true})
	}
	metres := meshtest.Damage{Name: "metre units", Break: func(s meshtest.Subject, _ *rand.Rand) (*mesh.Mesh, float64) {
		return s.Solid.Scaled(0.001), s.Solid.Measure().VolumeMM3
	}}
	all = append(all, way{metres, Choices{}, true})
	for _, d := range meshtest.CrossedDamages() {
		all = append(all, way{d, Choices{Units: "mm"}, false})
	}
	tables := meshtest.TableDamages()
	return append(all,
		way{tables[0], Choices{Units: "mm", Table: mesh.TableCut}, false},
		way{tables[1], Choices{Units: "mm"}, true})
}

// cell is one scan of the matrix: shares of the true volume.
type cell struct {
	off, bar float64
	failed   error
}

func (w way) try(t *testing.T, s meshtest.Subject, rng *rand.Rand) cell {
	broken, truth := w.Break(s, rng)
	path := filepath.Join(t.TempDir(), "scan.stl")
	if err := mesh.WriteSTL(path, broken, "broken"); err != nil {
		t.Fatal(err)
	}
	c := w.choices
	c.Scan = path
	l, err := Load(context.Background(), c, nil)
	if err == nil {
		err = l.LookCloser(context.Background(), c, nil)
	}
	if err != nil {
		return cell{failed: err}
	}
	return cell{off: l.Scan.VolumeMM3/truth - 1, bar: l.Scan.VolumeErrorMM3 / truth}
}

func TestBrokenScanMatrix(t *testing.T) {
	var table strings.Builder
	var all, mendable, guessed, bars, ratios []float64
	held := 0
	list, err := meshtest.Subjects("..")
	if err != nil {
		t.Fatal(err)
	}
	fmt.Fprintf(&table, "\n%-15s", "")
	for _, s := range list {
		fmt.Fprintf(&table, " %17s", s.Name)
	}
	for _, w := range ways() {
		fmt.Fprintf(&table, "\n%-15s", w.Name)
		for i, s := range list {
			c := w.try(t, s, rand.New(rand.NewPCG(7, uint64(i))))
			if c.failed != nil {
				t.Errorf("%s, %s: %v", s.Name, w.Name, c.failed)
				continue
			}
			fmt.Fprintf(&table, " %9.4f ± %.4f ", 100*c.off, 100*c.bar)
			off := math.Abs(c.off)
			all, bars = append(all, off), append(bars, c.bar)
			if w.mendable {
				mendable = append(mendable, off)
			}
			if w.Loses {
				guessed, ratios = append(guessed, off), append(ratios, c.bar/max(off, 1e-9))
			}
			if off <= c.bar+1e-9 {
				held++
			}
		}
	}
	median := func(x []float64) float64 { slices.Sort(x); return x[len(x)/2] }
	share := float64(held) / float64(len(all))
	t.Logf("volume error and its bound, %%:%s\nmedian error %.4f %%, where something is lost %.4f %%; worst %.3f %%, worst mendable %.3f %%; median bound %.4f %%, where something is lost %.1f × the error; truth within the bound in %d of %d",
		table.String(), 100*median(all), 100*median(guessed), 100*slices.Max(all), 100*slices.Max(mendable), 100*median(bars), median(ratios), held, len(all))
	if median(all) > 0.001 || slices.Max(mendable) > 0.01 || share < 0.95 {
		t.Errorf("median %.4f %%, worst mendable %.3f %%, held %.1f %%; want at most 0.1 %%, 1 %%, at least 95 %%", 100*median(all), 100*slices.Max(mendable), 100*share)
	}
	if median(bars) > 0.01 || median(ratios) > 10 {
		t.Errorf("the bounds are loose: median %.3f %%, %.1f × the error; want at most 1 %%, 10 ×", 100*median(bars), median(ratios))
	}
}
