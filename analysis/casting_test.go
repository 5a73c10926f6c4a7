package analysis

import (
	"context"
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
	"pourwright/mesh/meshtest"
	"pourwright/samples"
)

// The cane's plan has the neck that the program which made the cane put there:
// within 3 % of its diameter, at its place in the stand frame, whichever end the
// spout is at.
func TestNeckOfTheCane(t *testing.T) {
	for _, fact := range samples.All() {
		if fact.NeckMM == 0 {
			continue
		}
		down := fact.NeckAxis
		for _, d := range []r3.Vec{down, r3.Scale(-1, down)} {
			given := array(d)
			p := planOf(t, Choices{Scan: "../samples/" + fact.File, Units: "mm", Casting: "resin", Down: &given})
			if len(p.Cast.Necks) != 1 {
				t.Fatalf("%s: necks %+v", fact.File, p.Cast.Necks)
			}
			n := p.Cast.Necks[0]
			if math.Abs(n.DiameterMM-fact.NeckMM) > 0.03*fact.NeckMM {
				t.Errorf("%s: neck %g mm, want %g", fact.File, n.DiameterMM, fact.NeckMM)
			}
			if want := math.Pi / 4 * fact.NeckMM * fact.NeckMM; math.Abs(*n.AreaMM2-want) > 0.03*want {
				t.Errorf("%s: section %g mm², want %g", fact.File, *n.AreaMM2, want)
			}
			s := p.Stand
			pose := mesh.Pose{Rows: [3]r3.Vec{vec(s.Rotation[0]), vec(s.Rotation[1]), vec(s.Rotation[2])}, T: vec(s.TranslationMM)}
			if off := r3.Norm(r3.Sub(vec(n.AtMM), pose.Point(fact.NeckAt))); off > 1 {
				t.Errorf("%s: neck %g mm off", fact.File, off)
			}
			// Away from the spout, which is down here: up.
			if n.Along[2] < 0.99 || math.Abs(n.HeadMM-n.AtMM[2]-*n.LengthMM/2) > 1 {
				t.Errorf("%s: along %v, head %g mm", fact.File, n.Along, n.HeadMM)
			}
			if n.FillS == nil || !*n.Passes || p.Cast.Passes == nil || len(castFindings(p)) != 0 && *p.Cast.Passes {
				t.Errorf("%s: %+v", fact.File, p.Cast)
			}
		}
	}
}

// castFindings lists what is said of the filling; thick casts are another matter.
func castFindings(p *Plan) []string {
	var out []string
	for _, f := range p.Findings {
		if f.Question == "cast" && !strings.HasPrefix(f.Text, "At its thickest") {
			out = append(out, f.Text)
		}
	}
	return out
}

// A pawn's head hangs on its neck: both ways of looking at it add up, for the
// search of ways up as well as for the plan.
func TestPassageFinder(t *testing.T) {
	pawn := meshtest.Lathe([]r2.Vec{{}, {X: 30}, {X: 30, Y: 40}, {X: 7, Y: 46}, {X: 7, Y: 60}, {X: 20, Y: 66}, {X: 20, Y: 90}, {Y: 90}}, 72)
	c := Choices{Scan: scanOf(t, pawn), Units: "mm"}
	l, err := Load(context.Background(), c, nil)
	if err != nil {
		t.Fatal(err)
	}
	j := &job{ctx: context.Background(), choices: c, solid: l.Solid, measures: l.Measures, plan: &Plan{Scan: l.Scan}}
	find, err := j.passageFinder()
	if err != nil {
		t.Fatal(err)
	}
	wide, head := find(r3.Vec{}, 20)
	same, foot := find(r3.Vec{Z: 90}, 20)
	if math.Abs(wide-14) > 0.1 || wide != same || math.Abs(head+foot-l.Measures.VolumeMM3) > 1e-6*head || head > foot {
		t.Errorf("neck %g and %g mm, behind it %g and %g of %g mm³", wide, same, head, foot, l.Measures.VolumeMM3)
	}
	block := &job{ctx: context.Background(), solid: second(mesh.NewSolid(meshtest.Box(30, 40, 50))), plan: &Plan{}}
	if find, err = block.passageFinder(); err != nil {
		t.Fatal(err)
	}
	if d, behind := find(r3.Vec{X: 15, Y: 20}, 20); !math.IsInf(d, 1) || behind != 0 {
		t.Errorf("a block has a neck of %g mm with %g mm³ behind it", d, behind)
	}
}

func second[S, T any](s S, _ T, err error) S {
	if err != nil {
		panic(err)
	}
	return s
}

// The field is made once, and fine enough whatever the shape of the part.
func TestSpace(t *testing.T) {
	for _, m := range []*mesh.Mesh{meshtest.Box(30, 40, 50), meshtest.Box(600, 20, 8), meshtest.Box(300, 300, 1)} {
		j := &job{ctx: context.Background(), solid: second(mesh.NewSolid(m))}
		f, err := j.space()
		if err != nil {
			t.Fatal(err)
		}
		again, _ := j.space()
		if n := len(f.Distance); f != again || n < spaceVoxels/2 || n > 2*spaceVoxels {
			t.Errorf("%d voxels", n)
		}
	}
}

// Two parts in one scan: only one of them stands on the spout, which is said.
func TestPartOutOfReach(t *testing.T) {
	m := meshtest.Together(meshtest.Box(40, 40, 30), meshtest.Moved(meshtest.Box(20, 20, 20), r3.Vec{X: 10, Y: 10, Z: 35}))
	p := planOf(t, Choices{Scan: scanOf(t, m), Units: "mm", Casting: "resin", Down: &[3]float64{0, 0, -1}})
	if math.Abs(p.Cast.UnseenMM3-8000) > 400 {
		t.Errorf("out of reach %g mm³, want 8000", p.Cast.UnseenMM3)
	}
	if f := castFindings(p); len(f) != 1 || !strings.HasPrefix(f[0], "No way from the spout to ") {
		t.Errorf("findings %q", f)
	}
}
