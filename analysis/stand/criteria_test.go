package stand

import (
	"math"
	"testing"
)

func TestScoreLeavesOutTheUnknown(t *testing.T) {
	c := Criteria{Detail: 1, Spout: 0.5, Necks: nan}
	if got := c.Score(Weights{Detail: 3, Spout: 1, Necks: 5}); math.Abs(got-3.5/4) > 1e-15 {
		t.Errorf("score %g, want 0.875", got)
	}
	if got := c.Score(Weights{Necks: 1}); got != 0 {
		t.Errorf("nothing known: score %g, want 0", got)
	}
}

func TestPreferring(t *testing.T) {
	w, wrong := DefaultWeights.Preferring(map[string]float64{"detail": 5, "height": 0})
	if wrong != "" || w[Detail] != 5 || w[Height] != 0 || w[Spout] != DefaultWeights[Spout] {
		t.Errorf("got %v and %q", w, wrong)
	}
	for name, by := range map[string]map[string]float64{
		"beauty":    {"beauty": 2, "spout": 1},
		"detail":    {"detail": -1},
		"necks":     {"necks": math.NaN()},
		"stability": {"stability": math.Inf(1)},
	} {
		if _, wrong := DefaultWeights.Preferring(by); wrong != name {
			t.Errorf("%v: %q is wrong, want %q", by, wrong, name)
		}
	}
	if len(CriterionNames()) != len(DefaultWeights) {
		t.Error("names and weights do not match")
	}
}

func TestDominates(t *testing.T) {
	all := Weights{1, 1, 1, 1, 1, 1, 1, 1}
	a := Criteria{0.5, 0.5, 0.5, 0.5, 0.5, 0.5, 0.5, nan}
	better, mixed, nearly := a, a, a
	better[Spout] = 0.52
	mixed[Spout], mixed[Height] = 0.9, 0.48
	nearly[Spout] = 0.503 // less than a hundredth
	for _, c := range []struct {
		name string
		x, y Criteria
		w    Weights
		want bool
	}{
		{"itself", a, a, all, false},
		{"better at one", better, a, all, true},
		{"the other way round", a, better, all, false},
		{"better at one, worse at another", mixed, a, all, false},
		{"the other does not count", mixed, a, Weights{Spout: 1}, true},
		{"less than a hundredth", nearly, a, all, false},
	} {
		if got := c.x.dominates(c.y, c.w); got != c.want {
			t.Errorf("%s: %v", c.name, got)
		}
	}
}

// An orifice passes with the cube of its width (Sampson; Dagan, Weinbaum & Pfeffer 1982,
// from memory): ten times the time at the width at which the score's odds are
// ten times worse.
func TestOpeningScore(t *testing.T) {
	odds := func(d float64) float64 { s := openingScore(d, 25); return (1 - s) / s }
	if got := odds(25 / math.Cbrt(10)); math.Abs(got/odds(25)-10) > 1e-9 {
		t.Errorf("odds grow by %g, want 10", got/odds(25))
	}
	if openingScore(0, 25) != 0 || math.Abs(openingScore(25, 25)-0.8) > 1e-15 {
		t.Errorf("a tip scores %g, the least spout %g", openingScore(0, 25), openingScore(25, 25))
	}
}

// More of what is bad never scores higher.
func TestAirScoresFall(t *testing.T) {
	for _, score := range []func(a Air, volume float64) float64{castAirScore, rubberAirScore} {
		none := Air{}
		if got := score(none, 1e6); got != 1 {
			t.Errorf("without air: %g, want 1", got)
		}
		base := Air{Count: 2, Vents: 1, OnDetail: 0.5, StayMM3: 1000}
		for _, worse := range []Air{
			{Count: 3, Vents: 1, OnDetail: 0.5, StayMM3: 1000},
			{Count: 2, Vents: 1, OnDetail: 1.5, StayMM3: 1000},
			{Count: 2, Vents: 1, OnDetail: 0.5, StayMM3: 9000},
		} {
			if score(worse, 1e6) >= score(base, 1e6) {
				t.Errorf("%+v scores %g, %+v %g", worse, score(worse, 1e6), base, score(base, 1e6))
			}
		}
	}
	if vented, stays := castAirScore(Air{Count: 1, Vents: 1}, 1e6), castAirScore(Air{Count: 1}, 1e6); vented <= stays {
		t.Errorf("a vent scores %g, air that stays %g", vented, stays)
	}
}
