package finding

import (
	"slices"
	"testing"
)

func TestJudge(t *testing.T) {
	for _, c := range []struct {
		stops, warns, notes int
		want                Outcome
	}{{0, 0, 0, Go}, {0, 0, 9, Go}, {0, 1, 9, Check}, {0, MostChecks, 0, Check}, {0, MostChecks + 1, 0, Much}, {1, 0, 0, Settle}, {1, 99, 0, Settle}} {
		all := slices.Concat(slices.Repeat([]Finding{{Level: Note}}, c.notes), slices.Repeat([]Finding{{Level: Warn}}, c.warns), slices.Repeat([]Finding{{Level: Stop}}, c.stops))
		got, stops, warns := Judge(all)
		if got != c.want || stops != c.stops || warns != c.warns {
			t.Errorf("%+v: %s, %d to settle, %d to check", c, got, stops, warns)
		}
	}
}
