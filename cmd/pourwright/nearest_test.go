package main

import "testing"

func TestNearest(t *testing.T) {
	for typed, want := range map[string]string{
		"clearance": "clearance_mm", "clearence_mm": "clearance_mm", "cut-clearance": "cut_clearance_mm", "Cover": "cover_mm",
		"unit": "units", "longest": "longest_mm", "freeboard_cm": "freeboard_mm", "ruber": "rubber", "scann": "scan",
		"weather": "", "x": "", "": "", "box.clearance": "",
	} {
		if got := nearest(typed, jobKeys()); got != want {
			t.Errorf("nearest to %q is %q, want %q", typed, got, want)
		}
	}
}

// Distances by the definition, counted by hand.
func TestSlips(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want int
	}{{"", "", 0}, {"", "rope", 4}, {"rope", "", 4}, {"lamp", "lamp", 0}, {"lamp", "damp", 1}, {"lamp", "lamps", 1}, {"kitten", "sitting", 3}} {
		if got := slips(c.a, c.b); got != c.want {
			t.Errorf("slips(%q, %q) = %d, want %d", c.a, c.b, got, c.want)
		}
	}
}
