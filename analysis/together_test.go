package analysis

import (
	"strings"
	"testing"

	"pourwright/analysis/finding"
	"pourwright/analysis/shelf"
)

func TestMaterialDoubts(t *testing.T) {
	s, err := shelf.Read("none", strings.NewReader(""))
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		rubber, casting, pattern string
		level                    finding.Level
		want                     string // "": nothing
	}{
		{"plat-30", "resin", "sulphur-clay", finding.Stop, "may keep platinum-cure rubber from ever setting"},
		{"tin-30", "resin", "sulphur-clay", finding.Note, "The original is oil clay with sulphur"},
		{"plat-30", "resin", "plaster", finding.Warn, "Plaster is porous"},
		{"tin-30", "foam", "", finding.Note, "collapses in a tin-cure mold"},
		{"plat-30", "foam", "", "", ""},
		{"plat-30", "resin", "oil-clay", "", ""},
	} {
		rubber, err := s.Rubber(c.rubber)
		if err != nil {
			t.Fatal(err)
		}
		casting, err := s.Casting(c.casting)
		if err != nil {
			t.Fatal(err)
		}
		var pattern *shelf.Pattern
		if c.pattern != "" {
			p, err := s.Pattern(c.pattern)
			if err != nil {
				t.Fatal(err)
			}
			pattern = &p
		}
		found := materialDoubts(rubber, casting, pattern)
		if c.want == "" {
			if len(found) > 0 {
				t.Errorf("%s, %s, %s: %v", c.rubber, c.casting, c.pattern, found)
			}
			continue
		}
		if len(found) != 1 || found[0].Level != c.level || !strings.Contains(found[0].Text, c.want) || found[0].Action == "" {
			t.Errorf("%s, %s, %s: %v, want %s %q", c.rubber, c.casting, c.pattern, found, c.level, c.want)
		}
	}
}
