package clock_test

import (
	"math"
	"strings"
	"testing"

	"pourwright/analysis/clock"
	"pourwright/analysis/shelf"
)

func input(t *testing.T, rubber, casting string) clock.Input {
	t.Helper()
	s, err := shelf.Read("none", strings.NewReader(""))
	if err != nil {
		t.Fatal(err)
	}
	in := clock.Input{Batches: []int{3}, BatchS: 1100, RoomC: 23}
	if in.Rubber, err = s.Rubber(rubber); err != nil {
		t.Fatal(err)
	}
	if in.Casting, err = s.Casting(casting); err != nil {
		t.Fatal(err)
	}
	return in
}

// Each step begins when the one before it ends, and the spreads keep their order.
func TestStepsFollowEachOther(t *testing.T) {
	for _, rubber := range []string{"tin-10", "tin-30", "plat-30"} {
		for _, casting := range []string{"foam", "resin", "resin-slow"} {
			in := input(t, rubber, casting)
			steps, err := clock.Plan(in)
			if err != nil {
				t.Fatal(err)
			}
			var at shelf.Range
			rests := false
			for _, s := range steps {
				if s.FromS != at {
					t.Errorf("%s, %s: %q begins at %v, not at %v", rubber, casting, s.Name, s.FromS, at)
				}
				if !(s.TakeS.Low <= s.TakeS.Likely && s.TakeS.Likely <= s.TakeS.High) || s.Why == "" {
					t.Errorf("%q takes %v because %q", s.Name, s.TakeS, s.Why)
				}
				at = shelf.Range{Low: at.Low + s.TakeS.Low, Likely: at.Likely + s.TakeS.Likely, High: at.High + s.TakeS.High}
				rests = rests || strings.Contains(s.Name, "rest")
			}
			if rests != (in.Rubber.Cure == shelf.Tin) {
				t.Errorf("%s, %s: rests %t", rubber, casting, rests)
			}
			if last := steps[len(steps)-1]; last.Name != "first cast" || last.FromS.Likely < in.Rubber.DemoldS.Likely {
				t.Errorf("%s, %s: %+v is last", rubber, casting, last)
			}
		}
	}
}

// By hand: platinum-cure rubber and resin, one batch of 1000 s in a room at 23 °C:
// 1000 + 6 h + 60 min + 20 min + 5 min + 30 min; ten degrees less double both cures.
func TestTimetableByHand(t *testing.T) {
	in := input(t, "plat-30", "resin")
	in.Batches, in.BatchS = []int{1}, 1000
	end := func() float64 {
		steps, err := clock.Plan(in)
		if err != nil {
			t.Fatal(err)
		}
		return steps[len(steps)-1].FromS.Likely
	}
	if got, want := end(), 1000.0+6*3600+85*60+30*60; math.Abs(got-want) > 1e-6 {
		t.Errorf("first cast after %v s, want %v", got, want)
	}
	in.RoomC = 13
	if got, want := end(), 1000.0+2*6*3600+85*60+2*30*60; math.Abs(got-want) > 1e-6 {
		t.Errorf("in a cold room after %v s, want %v", got, want)
	}
	in.RoomC, in.Batches = 23, []int{1, 2}
	// Another cure, two more batches, and 45 min to turn the box over; 30 min less to
	// part the mold than to cut it open.
	if got, want := end(), 3*1000.0+2*6*3600+85*60+30*60+15*60; math.Abs(got-want) > 1e-6 {
		t.Errorf("in two parts after %v s, want %v", got, want)
	}
	in.Batches = nil
	if _, err := clock.Plan(in); err == nil {
		t.Error("no batches made a timetable")
	}
}

// A hollow cast is mixed and rolled coat by coat: by hand, resin that works for 300 s
// takes 3 min and 1.5 × 300 s for each of three coats, instead of 5 min for one pour.
func TestCoatsTakeTheirTime(t *testing.T) {
	in := input(t, "plat-30", "resin")
	end := func() float64 {
		steps, err := clock.Plan(in)
		if err != nil {
			t.Fatal(err)
		}
		return steps[len(steps)-1].FromS.Likely
	}
	solid := end()
	in.Coats = 3
	if got, want := end()-solid, 3*(180+450.0)-300; math.Abs(got-want) > 1e-9 {
		t.Errorf("three coats take %v s longer, want %v", got, want)
	}
}
