package picture

import "testing"

// The preview shows a rod and the second of a lap where the plan says, with its
// sizes, and names it.
func TestRodInThePreview(t *testing.T) {
	for _, shape := range shapes {
		t.Run(shape.name, func(t *testing.T) {
			m, p := shaped(t, shape.mesh, 0, 2)
			castOf(p, m, true)
			s, err := newScene(m, p, worded())
			if err != nil {
				t.Fatal(err)
			}
			c := newCanvas()
			d := &drawing{canvas: c, layout: s.layout(c.letters, s.chooseView())}
			c.drawTitle(s)
			c.drawColumn(s)
			c.drawStiffeners(s, d.layout)
			c.drawDimensions(d.layout, &opaque{})
			labelsAreClear(t, d)
			if have := len(d.layout.stiff); have != 2 {
				t.Fatalf("%d labels of rods, want 2", have)
			}
			cam := d.layout.cam
			for i, at := range d.layout.stiff {
				r := []rod{rodOf(*p.Rod.FromMM, *p.Rod.ToMM), rodOf(p.Rod.Second.FromMM, p.Rod.Second.ToMM)}[i]
				if a, b := cam.at(r.foot), cam.at(r.top); disjoint([]point{a, b}, around(at.leader[0], 1, 1).corners()) {
					t.Errorf("label %d points at %v, the rod leads from %v to %v", i, at.leader[0], a, b)
				}
			}
		})
	}
}

func rodOf(a, b [3]float64) rod { return rod{foot: vec(a), top: vec(b)} }

func TestRodIsNamedAndCounted(t *testing.T) {
	m, p := planned(t, vase(120, 200, 48), job{clearance: 16, spout: 40})
	s, err := newScene(m, p, worded())
	if err != nil {
		t.Fatal(err)
	}
	if have := rowOf(s, "rod"); have != "" || len(s.stiff) > 0 {
		t.Errorf("without a rod the legend has %q", have)
	}
	castOf(p, m, true)
	p.Rod.Second = nil
	if s, err = newScene(m, p, worded()); err != nil {
		t.Fatal(err)
	}
	if have := rowOf(s, "rod"); have != "rod inside the cast" {
		t.Errorf("legend: %q", have)
	}
	if name, value := s.stiffenerLabel(0); name != "rod 6 mm (1/4 in) thick" || value != "80 mm (3 1/8 in)" {
		t.Errorf("label: %q, %q", name, value)
	}
	d := drawn(t, m, p, worded())
	cam := d.layout.cam
	colour := func(q point) (warm int) { // how much redder than blue: wood is, steel is not
		c := d.canvas.img.RGBAAt(int(q.X), int(q.Y))
		return int(c.R) - int(c.B)
	}
	for z := 30.0; z < 95; z += 8 {
		on := cam.at(vec([3]float64{0, 0, z}))
		if on.minus(d.layout.stiff[0].leader[0]).length() < 8 {
			continue
		}
		if in, beside := colour(on), colour(on.plus(point{16, 0})); in+15 > beside {
			t.Errorf("at %g mm: %d on the rod, %d beside it", z, in, beside)
		}
	}
}

// rowOf is the row of the legend that begins with a word.
func rowOf(s *scene, word string) string {
	for _, e := range s.legend() {
		if len(e.name) >= len(word) && e.name[:len(word)] == word {
			return e.name
		}
	}
	return ""
}
