package cut

import (
	"context"
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis/shelf"
	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

// blockAround is a block with clearance around a pattern that stands at z = 0, or
// on a stem.
func blockAround(m *mesh.Mesh, clearance float64, rods ...Rod) Room {
	b := m.Bounds()
	x0, x1, y0, y1 := b.Min.X-clearance, b.Max.X+clearance, b.Min.Y-clearance, b.Max.Y+clearance
	return Room{Floor: []r2.Vec{{X: x0, Y: y0}, {X: x1, Y: y0}, {X: x1, Y: y1}, {X: x0, Y: y1}},
		LevelMM: b.Max.Z + clearance, Rods: rods}
}

// placedOn lays the cut on a sheet through the spout.
func placedOn(t *testing.T, m *mesh.Mesh, s Sheet, room Room, land float64, in Opening) (Result, Placed) {
	t.Helper()
	body := solid(t, m)
	r := Result{Sheet: s, ThroughSpout: true, volume: body.Measure().VolumeMM3}
	r.Outline, r.SectionMM2 = s.Section(m)
	for _, l := range r.Outline {
		r.OutlineMM += l.Length()
	}
	p, err := r.Place(context.Background(), body, Placing{Tree: mesh.NewTree(m), Room: room, LandMM: land, Opening: in,
		Rubber: shelf.Rubber{Cure: shelf.Tin, ShoreA: 30, ElongationPct: shelf.Range{Low: 250, Likely: 400, High: 450}}})
	if err != nil {
		t.Fatal(err)
	}
	return r, p
}

// standing is a pattern with notches, an arm that bulges beside the cut, and a
// post.
func standing() (*mesh.Mesh, []Rod) {
	body := meshtest.Lathe([]r2.Vec{{}, {X: 20, Y: 0}, {X: 14, Y: 25}, {X: 30, Y: 45}, {X: 12, Y: 70}, {X: 25, Y: 95}, {X: 6, Y: 110}, {Y: 110}}, 90)
	arm := meshtest.Moved(meshtest.Icosphere(4).Scaled(9), r3.Vec{X: 38, Y: 8, Z: 84})
	return meshtest.Together(body, arm), []Rod{{From: r3.Vec{X: 38, Y: 1, Z: 77}, To: r3.Vec{X: 38, Y: 1}, RadiusMM: 2}}
}

// Along the whole key line, in space: at least 5 mm and the land from pattern and
// openings, 5 mm from the outside, within the block, outside the pattern.
func TestKeyLineKeepsItsLimits(t *testing.T) {
	m, rods := standing()
	ring := mesh.Pose{Rows: [3]r3.Vec{{Y: 1}, {Z: 1}, {X: 1}}, T: r3.Vec{Z: 45}}
	for name, c := range map[string]struct {
		m         *mesh.Mesh
		rods      []Rod
		sheet     Sheet
		clearance float64
		land      float64
	}{
		"upright":    {m, rods, NewPlane(r3.Vec{}, r3.Vec{Y: 1}), 19, 5},
		"skew":       {m, rods, NewPlane(r3.Vec{}, r3.Unit(r3.Vec{X: 1, Y: 2})), 19, 5},
		"leaning":    {m, rods, NewPlane(r3.Vec{}, r3.Unit(r3.Vec{Y: 3, Z: 1})), 19, 5},
		"level":      {m, rods, NewPlane(r3.Vec{Z: 45}, r3.Vec{Z: 1}), 19, 5},
		"wide land":  {m, rods, NewPlane(r3.Vec{}, r3.Vec{Y: 1}), 25, 9},
		"thin block": {m, rods, NewPlane(r3.Vec{}, r3.Vec{Y: 1}), 13, 5},
		"ring":       {meshtest.TorusMesh(96, 48, 35, 10).Posed(ring), nil, NewPlane(r3.Vec{}, r3.Vec{Y: 1}), 19, 5},
		"stepped":    {m, rods, Sheet{Normal: r3.Vec{Y: 1}, Right: r3.Vec{X: -1}, Up: r3.Vec{Z: 1}, AlongUp: true, Steps: []Step{{30, 0}, {60, 8}, {90, 8}, {100, 4}}}, 25, 5},
	} {
		room := blockAround(c.m, c.clearance, c.rods...)
		_, p := placedOn(t, c.m, c.sheet, room, c.land, Opening{Holed: true})
		tree := mesh.NewTree(c.m)
		waves, length := 0, 0.0
		for _, k := range p.Keys {
			for _, w := range k.Waves {
				if w.AmplitudeMM > 0 {
					waves++
				}
				if math.Abs(w.DepthMM) > DepthMM {
					t.Errorf("%s: wave %+v is deeper than any may be", name, w)
				}
			}
			for i := range k.Points {
				if i+1 == len(k.Points) && !k.Closed {
					break
				}
				a, b := k.Points[i], k.Points[(i+1)%len(k.Points)]
				length += r3.Norm(r3.Sub(b, a))
				checkLimits(t, name, tree, &room, a, b, max(c.land, LeastMM))
			}
		}
		if waves < 3 {
			t.Errorf("%s: %d waves on %.0f mm of key line", name, waves, length)
		}
		if t.Failed() {
			return
		}
	}
}

func checkLimits(t *testing.T, name string, tree *mesh.Tree, room *Room, a, b r3.Vec, least float64) {
	t.Helper()
	for s := range 9 {
		q := r3.Add(a, r3.Scale(float64(s)/8, r3.Sub(b, a)))
		hit, _ := tree.Closest(q, math.Inf(1))
		switch {
		case hit.Distance < least-0.02:
			t.Fatalf("%s: key line %.3f mm from the pattern at %v", name, hit.Distance, q)
		case room.rodGap(q) < least-0.02:
			t.Fatalf("%s: key line %.3f mm from a post at %v", name, room.rodGap(q), q)
		case room.Outside(q) < LeastMM-0.02:
			t.Fatalf("%s: key line %.3f mm from the outside at %v", name, room.Outside(q), q)
		case tree.Winding(q) > 0.5:
			t.Fatalf("%s: key line in the pattern at %v", name, q)
		}
	}
}

// A wave is as high as it is drawn, from the line through its two troughs out to its
// crest: 10 mm beside a straight side, and in a nook of the pattern, which its rise
// only fills, there is none.
func TestWavesAreAsHighAsTheyLie(t *testing.T) {
	notched := meshtest.Lathe([]r2.Vec{{}, {X: 25, Y: 0}, {X: 25, Y: 60}, {X: 5, Y: 75}, {X: 25, Y: 90}, {X: 25, Y: 150}, {Y: 150}}, 90)
	straight := 0
	for name, m := range map[string]*mesh.Mesh{"notched": notched, "cone": meshtest.Lathe([]r2.Vec{{}, {X: 12, Y: 0}, {X: 40, Y: 60}, {X: 10, Y: 75}, {X: 10, Y: 150}, {Y: 150}}, 90)} {
		s := NewPlane(r3.Vec{}, r3.Vec{Y: 1})
		_, p := placedOn(t, m, s, blockAround(m, 40), 5, Opening{Holed: true})
		for _, k := range p.Keys {
			for i, w := range k.Waves {
				line := make([]r3.Vec, pointsAWave+1)
				for j := range line {
					line[j] = k.Points[(i*pointsAWave+j)%len(k.Points)]
				}
				high, moved := overChord(&s, line), false
				for _, q := range line {
					moved = moved || nearestPoint(closedLoop(p.Land), q) > LeastMM
				}
				if w.AmplitudeMM != 0 && math.Abs(high-w.AmplitudeMM) > 1e-6 || w.AmplitudeMM > 0 && high < leastKeyMM || w.AmplitudeMM == 0 && moved {
					t.Errorf("%s: wave %d is told as %.2f mm high and lies %.2f mm high (moved: %v)", name, i+1, w.AmplitudeMM, high, moved)
				}
				if math.Abs(w.AmplitudeMM-AmplitudeMM) < 0.05 {
					straight++
				}
			}
		}
	}
	if straight < 3 {
		t.Errorf("%d waves are as high as beside a straight side", straight)
	}
}

func closedLoop(land []Line) []r3.Vec {
	longest := land[0]
	for _, l := range land {
		if len(l.Points) > len(longest.Points) {
			longest = l
		}
	}
	return append(longest.Points[:len(longest.Points):len(longest.Points)], longest.Points[0])
}

// overChord is the most that a line lies off the straight one between its ends, within
// a sheet.
func overChord(s *Sheet, line []r3.Vec) float64 {
	flat := func(p r3.Vec) r2.Vec { u, v := s.Flat(p); return r2.Vec{X: u, Y: v} }
	a, b := flat(line[0]), flat(line[len(line)-1])
	across := r2.Unit(r2.Vec{X: a.Y - b.Y, Y: b.X - a.X})
	most := 0.0
	for _, p := range line {
		most = max(most, math.Abs(r2.Dot(across, r2.Sub(flat(p), a))))
	}
	return most
}

// Halves must not slide: no shift along the line by one, two or three waves makes
// depths match, and there are waves to both sides of the cut.
func TestKeysDoNotSlide(t *testing.T) {
	m, rods := standing()
	_, p := placedOn(t, m, NewPlane(r3.Vec{}, r3.Vec{Y: 1}), blockAround(m, 25, rods...), 5, Opening{Holed: true})
	for _, k := range p.Keys {
		for shift := 1; shift < min(4, len(k.Waves)-2); shift++ {
			off := 0.0
			for i := shift; i < len(k.Waves); i++ {
				off = max(off, math.Abs(k.Waves[i].DepthMM-k.Waves[i-shift].DepthMM))
			}
			if off < 1 {
				t.Errorf("shifted by %d waves the depths are within %.2f mm: %+v", shift, off, k.Waves)
			}
		}
	}
	up, down := 0, 0
	for _, k := range p.Keys {
		for _, w := range k.Waves {
			if w.DepthMM > 0 {
				up++
			} else if w.DepthMM < 0 {
				down++
			}
		}
	}
	if up == 0 || down == 0 {
		t.Errorf("%d waves to one side, %d to the other", up, down)
	}
}

// The land is everywhere as far from the outline as asked: against all segments.
func TestLandIsTheTrueOffset(t *testing.T) {
	m, _ := standing()
	sheet := NewPlane(r3.Vec{}, r3.Vec{Y: 1})
	r, p := placedOn(t, m, sheet, blockAround(m, 19), 5, Opening{})
	if len(p.Land) == 0 {
		t.Fatal("no land")
	}
	for _, l := range p.Land {
		for _, q := range l.Points {
			nearest := math.Inf(1)
			for _, loop := range r.Outline {
				for i, a := range loop.Points {
					d := r3.Sub(loop.Points[(i+1)%len(loop.Points)], a)
					s := max(0, min(1, r3.Dot(r3.Sub(q, a), d)/r3.Norm2(d)))
					nearest = min(nearest, r3.Norm(r3.Sub(q, r3.Add(a, r3.Scale(s, d)))))
				}
			}
			if math.Abs(nearest-5) > 0.01 {
				t.Fatalf("land %.4f mm from the outline at %v", nearest, q)
			}
		}
	}
	// Of a ball it is a circle, 5 mm wider: cut short nowhere, it is 2π(r + 5) long.
	ball := meshtest.Moved(meshtest.Icosphere(5).Scaled(20), r3.Vec{Z: 40})
	stem := Rod{From: r3.Vec{Z: 20.2}, To: r3.Vec{}, RadiusMM: 6}
	_, p = placedOn(t, ball, sheet, blockAround(ball, 19, stem), 5, Opening{Spout: r3.Vec{Z: 20}, StemMM: 12})
	length := 0.0
	for _, l := range p.Land {
		for i := 1; i < len(l.Points); i++ {
			length += r3.Norm(r3.Sub(l.Points[i], l.Points[i-1]))
		}
	}
	// The stem takes the arc over 2·asin(6/25).
	if want := 25 * (2*math.Pi - 2*math.Asin(6./25)); math.Abs(length-want) > 0.01*want {
		t.Errorf("land of a ball %.2f mm long, want %.2f", length, want)
	}
}

// Halves, pattern and openings make the block.
func TestHalvesMakeTheBlock(t *testing.T) {
	m, rods := standing()
	rods = append(rods, Rod{From: r3.Vec{X: -20, Y: 3, Z: 40}, To: r3.Vec{X: -31, Y: -6}, RadiusMM: 3})
	for _, normal := range []r3.Vec{{Y: 1}, r3.Unit(r3.Vec{X: 1, Y: 2}), r3.Unit(r3.Vec{X: 1, Y: 2, Z: 2}), {Z: 1}} {
		room := blockAround(m, 19, rods...)
		_, p := placedOn(t, m, NewPlane(r3.Vec{X: 2, Z: 30}, normal), room, 5, Opening{})
		f := room.Floor
		block := (f[1].X - f[0].X) * (f[2].Y - f[1].Y) * room.LevelMM
		openings := 0.0
		for _, rod := range rods {
			openings += math.Pi * rod.RadiusMM * rod.RadiusMM * r3.Norm(r3.Sub(rod.To, rod.From))
		}
		sum := p.HalvesMM3[0] + p.HalvesMM3[1] + solid(t, m).Measure().VolumeMM3 + openings
		if math.Abs(sum-block) > 1e-9*block {
			t.Errorf("normal %v: %.3f mm³, the block has %.3f", normal, sum, block)
		}
	}
	// A rod cut along its axis leaves half on each side; cut across, by its length.
	rod := Rod{From: r3.Vec{Z: 30}, To: r3.Vec{}, RadiusMM: 3}
	along, across := NewPlane(r3.Vec{}, r3.Vec{X: 1}), NewPlane(r3.Vec{Z: 10}, r3.Vec{Z: 1})
	whole := math.Pi * 9 * 30
	if s := rod.sides(&along); math.Abs(s[0]-whole/2) > 1e-6*whole {
		t.Errorf("rod cut along: %v of %g", s, whole)
	}
	if s := rod.sides(&across); math.Abs(s[0]-whole/3) > 0.005*whole {
		t.Errorf("rod cut across: %v of %g", s, whole)
	}
}

// Sections of rods by closed form: along the axis a rectangle, slanted an ellipse,
// across a disc.
func TestSectionOfRods(t *testing.T) {
	rod := Rod{From: r3.Vec{Z: 30}, To: r3.Vec{}, RadiusMM: 3}
	for _, c := range []struct {
		normal r3.Vec
		want   float64
	}{
		{r3.Vec{X: 1}, 30 * 6}, {r3.Unit(r3.Vec{X: 1, Z: 1}), math.Pi * 9 * math.Sqrt2}, {r3.Vec{Z: 1}, math.Pi * 9},
	} {
		s := NewPlane(r3.Vec{Z: 15}, c.normal)
		if got := rod.sectionMM2(&s); math.Abs(got-c.want) > 0.002*c.want {
			t.Errorf("normal %v: %.3f mm², want %.3f", c.normal, got, c.want)
		}
	}
	beside := NewPlane(r3.Vec{X: 4}, r3.Vec{X: 1})
	if got := rod.sectionMM2(&beside); got != 0 {
		t.Errorf("beside the rod: %g mm²", got)
	}
	// A block of 80 × 60 × 100 cut upright along it, a box of 60 × 40 × 80 in it.
	m := meshtest.Box(60, 40, 80)
	r, p := placedOn(t, m, NewPlane(r3.Vec{X: 30, Y: 20}, r3.Vec{Y: 1}), blockAround(m, 10), 5, Opening{})
	if want := 80*90. - 60*80; math.Abs(p.RubberMM2-want) > 1e-6 {
		t.Errorf("%.6f mm² of rubber in the cut, want %g (pattern %.3f)", p.RubberMM2, want, r.SectionMM2)
	}
}

// The rim is the plane's polygon in the block: of an upright plane a rectangle.
func TestRim(t *testing.T) {
	room := blockAround(meshtest.Box(60, 40, 80), 10)
	s := NewPlane(r3.Vec{X: 30, Y: 20}, r3.Vec{Y: 1})
	rim := room.Rim(&s)
	if len(rim) != 4 {
		t.Fatalf("%d corners: %v", len(rim), rim)
	}
	length := 0.0
	for i, p := range rim {
		length += r3.Norm(r3.Sub(rim[(i+1)%4], p))
		if math.Abs(room.Outside(p)) > 1e-9 {
			t.Errorf("corner %v is %g mm off the outside", p, room.Outside(p))
		}
	}
	if math.Abs(length-2*(80+90)) > 1e-9 {
		t.Errorf("rim %.6f mm, want 340", length)
	}
}

// Knife marks in a block around a box of 60 × 40 × 80: straight in, 10 mm to the
// sides, 15 above, 5 mm of them land.
func TestKnifeMarks(t *testing.T) {
	m := meshtest.Box(60, 40, 80)
	room := blockAround(m, 10)
	room.LevelMM += 5
	_, p := placedOn(t, m, NewPlane(r3.Vec{X: 30, Y: 20}, r3.Vec{Y: 1}), room, 5, Opening{Spout: r3.Vec{X: 30, Y: 20}})
	sides, tops := 0, 0
	for _, k := range p.Knife {
		want := 10.0
		if k.At.Z > 94.9 {
			want = 15
			tops++
		} else if k.At.Z < 80 && k.At.Z > 0 {
			sides++
		}
		if math.Abs(k.PatternMM-want) > 1e-9 || math.Abs(k.ToLandMM-(want-5)) > 1.1 || k.ToLandMM > want-5 {
			t.Errorf("at %v: %.2f mm to the land, %.2f to the pattern, want %g", k.At, k.ToLandMM, k.PatternMM, want)
		}
		if math.Abs(room.Outside(k.At)) > 1e-9 {
			t.Errorf("mark %v is not on the outside", k.At)
		}
	}
	if sides < 4 || tops < 2 {
		t.Errorf("%d marks on the sides, %d on top: %+v", sides, tops, p.Knife)
	}
}
