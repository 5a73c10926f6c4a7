package main

import (
	"strings"
	"testing"

	"pourwright/analysis/finding"
	"pourwright/analysis/shelf"
	"pourwright/render/say"
)

func TestJudgement(t *testing.T) {
	note, warn, stop := finding.Finding{Level: finding.Note}, finding.Finding{Level: finding.Warn}, finding.Finding{Level: finding.Stop}
	for _, c := range []struct {
		all             []finding.Finding
		summed, answers string
	}{
		{nil, "good to go", "Do it."},
		{[]finding.Finding{note, note}, "good to go", "Do it."},
		{[]finding.Finding{note, warn}, "good to go, once 1 thing is checked", "Do it."},
		{[]finding.Finding{warn, note, warn}, "good to go, once 2 things are checked", "Do it."},
		{[]finding.Finding{warn, warn, warn, warn, warn}, "much to check first: 5 things before you go on", "Do it."},
		{[]finding.Finding{warn, stop}, "not yet: 1 thing must be settled before you pour", "Do it. But not yet: 1 thing must be settled before you pour."},
		{[]finding.Finding{stop, stop}, "not yet: 2 things must be settled before you pour", "Do it. But not yet: 2 things must be settled before you pour."},
	} {
		if got := judgement(c.all); got != c.summed {
			t.Errorf("%v: %q, want %q", c.all, got, c.summed)
		}
		r := (&console{width: plainWidth}).newReport(say.Both)
		r.answer("Do it.", c.all)
		if got := strings.TrimSpace(r.String()); got != c.answers {
			t.Errorf("%v: answers %q, want %q", c.all, got, c.answers)
		}
	}
}

func TestListed(t *testing.T) {
	for want, words := range map[string][]string{"": nil, "−x": {"−x"}, "−x and +x": {"−x", "+x"}, "−x, +x and −y": {"−x", "+x", "−y"}} {
		if got := listed(words); got != want {
			t.Errorf("%v: %q", words, got)
		}
	}
}

// The shelf file that the help shows can be read as it stands.
func TestHelpShowsAShelf(t *testing.T) {
	_, file, found := strings.Cut(shelfLong, "fields:\n")
	if !found {
		t.Fatal("no file in the help")
	}
	s, err := shelf.Read("help", strings.NewReader(file))
	if err != nil {
		t.Fatal(err)
	}
	if r, err := s.Rubber("my-tin"); err != nil || r.DensityGPerCM3.Likely != 1.15 || r.PotLifeS != 2400 {
		t.Errorf("my-tin is %v, %v", r, err)
	}
}
