package bow_test

import (
	"fmt"
	"math"
	"testing"

	"pourwright/analysis/bow"
)

// scaled is a wall of height 1 m under rubber of 1 g/cm³ to its top, as thin as
// theory likes, with the figures that make coefficients of its answer.
type scaled struct {
	bow.Bent
	b, q0, d float64
}

var (
	free      = bow.Edge{Hold: bow.Free}
	supported = bow.Edge{Hold: bow.Supported}
	clamped   = bow.Edge{Hold: bow.Clamped}
)

// edges reads "SSSF": left, right, bottom, top.
func edges(code string) bow.Edges {
	by := map[byte]bow.Edge{'F': free, 'S': supported, 'C': clamped}
	return bow.Edges{Left: by[code[0]], Right: by[code[1]], Bottom: by[code[2]], Top: by[code[3]]}
}

// unitWall is a wall of a given shape; the plate has D = 1000 N·m.
func unitWall(aspect, poisson float64, code string) bow.Wall {
	return bow.Wall{
		WidthMM: 1000 * aspect, HeightMM: 1000, Plate: bow.Bending(1000, poisson, 1),
		Edges: edges(code), LevelMM: 1000, DensityGPerCM3: 1,
	}
}

func bend(t testing.TB, w bow.Wall) scaled {
	t.Helper()
	b, err := bow.Bend(w)
	if err != nil {
		t.Fatal(err)
	}
	d := w.Plate.DxNM
	return scaled{b, w.HeightMM / 1000, w.DensityGPerCM3 * 1000 * bow.GravityMPerS2 * w.LevelMM / 1000, d}
}

func (s scaled) alpha(mm float64) float64 { return mm / 1000 * s.d / s.q0 / math.Pow(s.b, 4) }

// worst keeps the largest deviation of a table, in percent, beyond what the
// last printed digit leaves open.
type worst struct {
	percent float64
	where   string
}

// near checks a value against a printed one: within the given percentage, or
// within half of its last digit.
func (w *worst) near(t *testing.T, where string, got, want, percent, digit float64) {
	t.Helper()
	off := math.Max(0, math.Abs(got-want)-digit/2*1.001) / math.Abs(want) * 100
	if off > w.percent {
		w.percent, w.where = off, where
	}
	if !(off <= percent) {
		t.Errorf("%s: %.6g, want %.6g (%.2f %% off beyond the digits printed)", where, got, want, off)
	}
}

func (w *worst) log(t *testing.T, table string) {
	t.Helper()
	t.Logf("%s: worst deviation beyond the digits printed %.3f %% (%s)", table, w.percent, w.where)
}

// Plates under liquid to the top, ν = 0.3; deflections × D/q₀b⁴, moments ×
// 1/q₀b², volume × D/q₀ab⁵. Source: computed for this project by separate
// programs (Navier and Lévy series, finite elements of 12 degrees of freedom,
// Ritz), which agree among each other to the digits printed.
var heldAllRound = []struct {
	aspect                                      float64
	middle, most, height, bulge, sagX, sagY     float64 // SSSS
	cMiddle, cMost, cBulge, cFoot, cHead, cSide float64 // CCCC
}{
	{0.5, 0.000317, 0.000340, 0.38, 0.000138, 0.01399, 0.00878, 0.000079, 0.000091, 0.000027, -0.01146, -0.00279, -0.01248},
	{0.75, 0.001049, 0.001075, 0.43, 0.000442, 0.02097, 0.01750, 0.000311, 0.000324, 0.000098, -0.02256, -0.00923, -0.02124},
	{1.0, 0.002031, 0.002054, 0.45, 0.000851, 0.02455, 0.02699, 0.000633, 0.000643, 0.000195, -0.03343, -0.01789, -0.02679},
	{1.5, 0.003862, 0.003880, 0.47, 0.001637, 0.02535, 0.04297, 0.001098, 0.001106, 0.000351, -0.04612, -0.02952, -0.02946},
	{2.0, 0.005064, 0.005079, 0.48, 0.002202, 0.02359, 0.05286, 0.001266, 0.001273, 0.000438, -0.04974, -0.03308, -0.02944},
	{3.0, 0.006116, 0.006129, 0.48, 0.002843, 0.02077, 0.06117, 0.001309, 0.001315, 0.000524, -0.05018, -0.03351, -0.02940},
}

func TestHeldAllRound(t *testing.T) {
	var w worst
	for _, row := range heldAllRound {
		s := bend(t, unitWall(row.aspect, 0.3, "SSSS"))
		c := bend(t, unitWall(row.aspect, 0.3, "CCCC"))
		volume := func(s scaled) float64 {
			return s.BulgeMM3 / 1e9 * s.d / s.q0 / row.aspect / math.Pow(s.b, 6)
		}
		m := func(s scaled, n float64) float64 { return n / s.q0 / s.b / s.b }
		// The table has the moment of the middle upright; in long walls there is
		// more nearer to the ends, where the series is compared.
		anywhere, middle := navierOf(unitWall(row.aspect, 0.3, "SSSS"), 61).sagX()
		for _, x := range []struct {
			name             string
			got, want, digit float64
		}{
			{"SSSS middle", s.alpha(s.Grid.MM[20*41+20]), row.middle, 1e-6},
			{"SSSS most", s.alpha(s.DeflectionMM), row.most, 1e-6},
			{"SSSS height", s.AtMM[1] / 1000, row.height, 1e-2},
			{"SSSS bulge", volume(s), row.bulge, 1e-6},
			{"SSSS sag x, series in the middle", m(s, middle), row.sagX, 1e-5},
			{"SSSS sag x", m(s, s.Moments.SagX), m(s, anywhere), 0},
			{"SSSS sag y", m(s, s.Moments.SagY), row.sagY, 1e-5},
			{"CCCC middle", c.alpha(c.Grid.MM[20*41+20]), row.cMiddle, 1e-6},
			{"CCCC most", c.alpha(c.DeflectionMM), row.cMost, 1e-6},
			{"CCCC bulge", volume(c), row.cBulge, 1e-6},
			{"CCCC foot", m(c, c.Moments.FootY), row.cFoot, 1e-5},
			{"CCCC head", m(c, c.Moments.HeadY), row.cHead, 1e-5},
			{"CCCC side", m(c, c.Moments.SideX), row.cSide, 1e-5},
		} {
			w.near(t, fmt.Sprintf("a/b %v %s", row.aspect, x.name), x.got, x.want, 0.5, x.digit)
		}
	}
	w.log(t, "held all round")
}

// The same with the top free. Source as above.
var topFree = []struct {
	aspect                    float64
	sMiddle, sTop, sBulge     float64 // SSSF
	ccsTop, ccsBulge          float64 // CCSF
	sscTop, sscBulge          float64 // SSCF
	cMiddle, cTop, cBulge, cM float64 // CCCF, moment at the foot
}{
	{0.5, 0.000333, 0.000182, 0.000162, 0.000017, 0.000034, 0.000177, 0.000134, 0.000080, 0.000017, 0.000029, -0.01146},
	{0.75, 0.001287, 0.001144, 0.000663, 0.000133, 0.000149, 0.001015, 0.000489, 0.000333, 0.000135, 0.000121, -0.02263},
	{1.0, 0.003136, 0.003679, 0.001711, 0.000589, 0.000416, 0.002883, 0.001112, 0.000798, 0.000573, 0.000311, -0.03494},
	{1.5, 0.010057, 0.015373, 0.005912, 0.003998, 0.001686, 0.008973, 0.002878, 0.002296, 0.003214, 0.001067, -0.06047},
	{2.0, 0.021475, 0.036703, 0.013119, 0.012861, 0.004396, 0.015665, 0.004709, 0.004352, 0.008171, 0.002276, -0.08655},
	{3.0, 0.057101, 0.106455, 0.036153, 0.052408, 0.015754, 0.025232, 0.007402, 0.008388, 0.019453, 0.004997, -0.12920},
	{4.0, 0.108634, 0.208992, 0.069931, 0.123768, 0.036342, 0.029911, 0.008983, 0.010823, 0.026882, 0.007043, -0.15155},
}

func TestTopFree(t *testing.T) {
	var w worst
	for _, row := range topFree {
		for _, set := range []struct {
			code                      string
			middle, top, bulge, footM float64
		}{
			{"SSSF", row.sMiddle, row.sTop, row.sBulge, 0},
			{"CCSF", 0, row.ccsTop, row.ccsBulge, 0},
			{"SSCF", 0, row.sscTop, row.sscBulge, 0},
			{"CCCF", row.cMiddle, row.cTop, row.cBulge, row.cM},
		} {
			s := bend(t, unitWall(row.aspect, 0.3, set.code))
			where := fmt.Sprintf("a/b %v %s", row.aspect, set.code)
			w.near(t, where+" top", s.alpha(s.TopMiddleMM), set.top, 0.5, 1e-6)
			w.near(t, where+" bulge", s.BulgeMM3/1e9*s.d/s.q0/row.aspect, set.bulge, 0.5, 1e-6)
			if set.middle != 0 {
				w.near(t, where+" middle", s.alpha(s.Grid.MM[20*41+20]), set.middle, 0.5, 1e-6)
			}
			if set.footM != 0 {
				w.near(t, where+" foot moment", s.Moments.FootY/s.q0, set.footM, 0.5, 1e-5)
			}
			if off := s.Reactions.Sum()/s.ForceN - 1; math.Abs(off) > 1e-9 {
				t.Errorf("%s: reactions add up to the force × (1 %+.1e)", where, off)
			}
		}
	}
	w.log(t, "top free")
}
