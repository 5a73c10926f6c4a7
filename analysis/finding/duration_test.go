package finding

import "testing"

func TestDuration(t *testing.T) {
	for seconds, want := range map[float64]string{
		0: "0 s", 0.48: "0.48 s", 1: "1 s", 6.62: "6.6 s", 45: "45 s", 59.4: "59 s", 59.6: "1 min", 60: "1 min", 100: "1.7 min", 108: "1.8 min", 120: "2 min", 569: "9.5 min", 571: "10 min",
		1200: "20 min", 3569: "59 min", 3599: "1 h", 5400: "1 h 30 min", 86400: "24 h", 93600: "26 h", 1e7: "116 days",
	} {
		if have := Duration(seconds); have != want {
			t.Errorf("%g s reads %q, want %q", seconds, have, want)
		}
	}
}
