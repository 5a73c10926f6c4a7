package airtrap

import (
	"context"
	"errors"
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

func locate(t *testing.T, m *mesh.Mesh, in Input, columns int) ([]Trap, *Pockets) {
	t.Helper()
	traps := find(t, m, in)
	p, err := LocatePockets(context.Background(), m, PocketInput{Domain: in.Domain, Up: in.Up, Traps: traps, Columns: columns})
	if err != nil {
		t.Fatal(err)
	}
	return traps, p
}

// pocketCases have traps of known volume; of a ball open 60° off its pole it
// is a cap 25 high, πh²(3r−h)/3.
func pocketCases() map[string]struct {
	m  *mesh.Mesh
	in Input
} {
	ball := meshtest.Icosphere(6).Scaled(50)
	sin60, cos60 := math.Sincos(math.Pi / 3)
	ring := meshtest.TorusMesh(256, 128, 40, 10).Posed(mesh.Pose{Rows: [3]r3.Vec{{Z: 1}, {X: 1}, {Y: 1}}})
	spike := meshtest.Lathe([]r2.Vec{{X: 0, Y: 30}, {X: 10, Y: 0}, {X: 50, Y: 0}, {X: 50, Y: 20}, {X: 50, Y: 40}, {X: 0, Y: 40}}, 96)
	type pocketCase = struct {
		m  *mesh.Mesh
		in Input
	}
	return map[string]pocketCase{
		"ball open off its pole":   {ball, Input{Domain: Inside, Up: up, Open: nearest(ball, r3.Vec{X: 50 * sin60, Z: 50 * cos60})}},
		"standing ring":            {ring, Input{Domain: Inside, Up: up, Open: nearest(ring, r3.Vec{Y: 50})}},
		"cup upside down":          {cup(96), Input{Domain: Outside, Up: r3.Vec{Z: -1}}},
		"cup upside down, leaning": {cup(96), Input{Domain: Outside, Up: r3.Vec{X: 0.28, Z: -0.96}}},
		"two horns":                {horns(80), Input{Domain: Inside, Up: up}},
		"hump under a ceiling":     {spike, Input{Domain: Inside, Up: up, Open: nearest(spike, r3.Vec{X: 50, Z: 20})}},
	}
}

// The pocket is as large as the exact volume over the mesh says.
func TestPocketVolumes(t *testing.T) {
	for name, c := range pocketCases() {
		t.Run(name, func(t *testing.T) {
			c.in.VolumeMM3 = DefaultVolumeMM3
			traps, p := locate(t, c.m, c.in, 0)
			if len(traps) == 0 {
				t.Fatal("no trap")
			}
			for i, trap := range traps {
				if have := p.VolumeMM3(i); math.Abs(have-trap.VolumeMM3) > 0.03*trap.VolumeMM3 {
					t.Errorf("pocket %d: have %.1f mm³, exact %.1f", i, have, trap.VolumeMM3)
				}
			}
		})
	}
}

// Four times the columns, half the width: the error, as a mean over turns about
// the vertical, at least halves (first order).
func TestPocketsConverge(t *testing.T) {
	mean := func(columns int) float64 {
		sum := 0.0
		const turns = 8
		for k := range turns {
			sin, cos := math.Sincos(0.1 + 0.7*float64(k))
			m := cup(96).Posed(mesh.Pose{Rows: [3]r3.Vec{{X: cos, Y: -sin}, {X: sin, Y: cos}, {Z: 1}}})
			traps, p := locate(t, m, Input{Domain: Outside, Up: r3.Vec{Z: -1}, VolumeMM3: DefaultVolumeMM3}, columns)
			sum += math.Abs(p.VolumeMM3(0)/traps[0].VolumeMM3-1) / turns
		}
		return sum
	}
	coarse, middle, fine := mean(250), mean(4000), mean(64000)
	t.Logf("error at 250, 4000 and 64000 columns: %.3f %%, %.3f %%, %.4f %%", 100*coarse, 100*middle, 100*fine)
	if !(middle <= coarse/4*1.2 && fine <= middle/4*1.2) {
		t.Errorf("not of first order")
	}
}

// Places in and out of the cup's hollow, radius 30, z 10 to 60, turned over.
func TestPocketPlaces(t *testing.T) {
	_, p := locate(t, cup(96), Input{Domain: Outside, Up: r3.Vec{Z: -1}, VolumeMM3: DefaultVolumeMM3}, 0)
	for _, c := range []struct {
		at   r3.Vec
		want int
	}{
		{r3.Vec{Z: 35}, 0},
		{r3.Vec{X: 28, Z: 59}, 0},
		{r3.Vec{X: 28, Z: 11}, 0},
		{r3.Vec{X: 35, Z: 35}, -1}, // in the cup's wall
		{r3.Vec{X: 45, Z: 35}, -1}, // beside it, in the rubber
		{r3.Vec{Z: 61}, -1},        // under the spill level
		{r3.Vec{Z: 5}, -1},         // in its floor
		{r3.Vec{Z: -5}, -1},        // over it
		{r3.Vec{X: 1e9, Z: 35}, -1},
	} {
		if have := p.At(c.at); have != c.want {
			t.Errorf("at %v: have %d, want %d", c.at, have, c.want)
		}
	}
}

// A wall much thinner than a column parts two pockets and keeps air from the
// open.
func TestThinWalls(t *testing.T) {
	const thin = 0.05
	profile := []r2.Vec{{X: 0, Y: 50}, {X: 30, Y: 50}, {X: 30, Y: 0}, {X: 30 + thin, Y: 0}, {X: 30 + thin, Y: 50 + thin}, {X: 0, Y: 50 + thin}}
	bell := meshtest.Lathe(profile, 96)
	traps, p := locate(t, bell, Input{Domain: Outside, Up: up, VolumeMM3: DefaultVolumeMM3}, 0)
	if len(traps) != 1 || math.Abs(p.VolumeMM3(0)/traps[0].VolumeMM3-1) > 0.01 {
		t.Errorf("got %+v and a pocket of %.1f mm³", traps, p.VolumeMM3(0))
	}
	if p.At(r3.Vec{X: 31, Z: 20}) >= 0 {
		t.Error("air leaked through the wall")
	}
}

// A leaning pyramid's tip is thinner than the columns around it, and its body is
// not below it: the pocket is found all the same. Its volume is a third of base
// times height.
func TestPocketUnderATip(t *testing.T) {
	blade := &mesh.Mesh{
		Vertices: []r3.Vec{{}, {X: 20}, {X: 20, Y: 20}, {Y: 20}, {X: 200, Y: 10, Z: 12}},
		Faces:    [][3]int32{{0, 2, 1}, {0, 3, 2}, {0, 1, 4}, {1, 2, 4}, {2, 3, 4}, {3, 0, 4}},
	}
	traps, p := locate(t, blade, Input{Domain: Inside, Up: up, VolumeMM3: DefaultVolumeMM3}, 400)
	if len(traps) != 1 {
		t.Fatalf("got %+v", traps)
	}
	if want := 20. * 20 * 12 / 3; math.Abs(p.VolumeMM3(0)-want) > 0.03*want {
		t.Errorf("have %.1f mm³, want %.1f", p.VolumeMM3(0), want)
	}
}

// A pocket in another one is part of it: the outer one answers for both.
func TestPocketInPocket(t *testing.T) {
	traps, p := locate(t, horns(80), Input{Domain: Inside, Up: up, VolumeMM3: DefaultVolumeMM3}, 0)
	if len(traps) != 2 {
		t.Fatalf("got %+v", traps)
	}
	if have := p.At(r3.Vec{X: 40, Z: 70}); have != 0 {
		t.Errorf("in the lower horn: trap %d, want the outer one", have)
	}
}

func TestNoPockets(t *testing.T) {
	p, err := LocatePockets(context.Background(), meshtest.Box(1, 1, 1), PocketInput{Domain: Inside, Up: up})
	if err != nil || p.At(r3.Vec{X: 0.5, Y: 0.5, Z: 0.5}) != -1 {
		t.Errorf("error %v", err)
	}
	if _, err := LocatePockets(context.Background(), meshtest.Box(1, 1, 1), PocketInput{Up: r3.Vec{Z: 2}}); err == nil {
		t.Error("a direction of length two passed")
	}
}

func TestPocketsStop(t *testing.T) {
	traps, _ := locate(t, cup(96), Input{Domain: Outside, Up: r3.Vec{Z: -1}, VolumeMM3: DefaultVolumeMM3}, 0)
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	in := PocketInput{Domain: Outside, Up: r3.Vec{Z: -1}, Traps: traps}
	if _, err := LocatePockets(ctx, cup(96), in); !errors.Is(err, context.Canceled) {
		t.Errorf("have %v, want it to stop", err)
	}
}

func BenchmarkLocatePockets(b *testing.B) {
	m := meshtest.Icosphere(7).Scaled(50)
	in := Input{Domain: Inside, Up: up, Open: []int32{0}, VolumeMM3: DefaultVolumeMM3, PersistenceMM: DefaultPersistenceMM}
	traps, err := Find(NewSurface(m), in)
	if err != nil || len(traps) == 0 {
		b.Fatal(err, len(traps))
	}
	for b.Loop() {
		if _, err := LocatePockets(context.Background(), m, PocketInput{Domain: Inside, Up: up, Traps: traps}); err != nil {
			b.Fatal(err)
		}
	}
}
