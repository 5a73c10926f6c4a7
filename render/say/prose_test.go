package say_test

import (
	"testing"

	"pourwright/render/say"
)

func TestProseInInches(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"Foam tends to close up in passages under 12.5 mm.", "Foam tends to close up in passages under 1/2 in."},
		{"too thin by 0.1 mm all over", "too thin by 0.004 in all over"},
		{"only 2.7 mm thick and reaches 31 mm deep, over 775 mm², here", "only 0.11 in thick and reaches 1 1/4 in deep, over 1.2 in², here"},
		{"inside 121 × 76 × 465 mm", "inside 4 3/4 × 3 × 18 5/16 in"},
		{"12 to 18 mm", "1/2 to 11/16 in"},
		{"4–6 mm; 2.9 ± 0.1 mm", "0.16–0.24 in; 0.11 ± 0.004 in"},
		{"near 54, −17, 254 mm.", "near 2.13, −0.67, 10 in."},
		{"frees 7.3 of the 8.2 mL of air", "frees 0.45 of the 0.5 in³ of air"},
		{"box 14\u00a0545\u00a0884 mm³ less", "box 888 in³ less"},
		{"a bucket of 10 L", "a bucket of 2.64 US gal"},
		{"weighs about 17 kg.", "weighs about 37.5 lb."},
		{"lifted as by 0.17 kg;", "lifted as by 6 oz weight;"},
		{"with 116 g; 1.18 g/cm³; 17 lb/ft³; 45 s; 8.5 N; 3 parts", "with 116 g; 1.18 g/cm³; 17 lb/ft³; 45 s; 8.5 N; 3 parts"},
		{"3 mm/s, 5 mmHg, 2 Ltd", "3 mm/s, 5 mmHg, 2 Ltd"},
		{"a 3 mm drill and a 25.4 mm rod, 10 mm", "a 0.12 in drill and a 1 in rod, 3/8 in"},
	} {
		if got := say.Inch.Prose(c.text); got != c.want {
			t.Errorf("%q reads %q, want %q", c.text, got, c.want)
		}
		for _, s := range []say.Style{say.Both, say.Metric} {
			if got := s.Prose(c.text); got != c.text {
				t.Errorf("%q reads %q in %v", c.text, got, s)
			}
		}
	}
}
