package mix_test

import (
	"math"
	"strings"
	"testing"

	"pourwright/analysis/mix"
	"pourwright/analysis/shelf"
)

// Ten degrees more halve the pot life, ten less double it (common practice, no
// source); without vacuum a batch fills its vessel to four fifths.
func TestRoomAndVessel(t *testing.T) {
	in := mix.Input{Rubber: rubber(t, "tin-30"), InsideMM: [3]float64{400, 300, 150}}
	in.RoomC = 33
	near(t, "pot life at 33 °C", plan(t, in).PotLifeS, 45*60/2, 1e-9)
	in.RoomC = 13
	near(t, "pot life at 13 °C", plan(t, in).PotLifeS, 45*60*2, 1e-9)
	in.RoomC = 0
	near(t, "pot life when nothing is said", plan(t, in).PotLifeS, 45*60, 1e-9)

	in.CupMM3, in.Headroom = 5e6, 1
	r := plan(t, in)
	if most := 5e6 / 1.25 * 1.18e-3; r.Batches[0].TotalG > most+2 || r.Batches[0].TotalG < most/2 {
		t.Errorf("batch of %v g in a vessel of 5 L, at most %v", r.Batches[0].TotalG, most)
	}
	near(t, "time without vacuum", r.TimeNeededS, 300+r.Batches[0].TotalG*0.12, 1e-9)
}

// The bulge counts as rubber: box + bulge = rubber + displaced.
func TestBulgeIsFilled(t *testing.T) {
	in := mix.Input{Rubber: rubber(t, "tin-30"), InsideMM: [3]float64{300, 200, 150}, DisplacedMM3: 1e6}
	flat := plan(t, in)
	in.BulgeMM3 = shelf.Range{Low: 2e4, Likely: 5e4, High: 9e4}
	bowed := plan(t, in)
	near(t, "net", bowed.NetMM3, bowed.BoxMM3+5e4-1e6, 1e-6)
	if !(bowed.HighG-bowed.MassG > flat.HighG-flat.MassG) || !(bowed.MassG > flat.MassG) {
		t.Errorf("a bulge of doubtful size leaves the range at %v to %v, was %v to %v", bowed.LowG, bowed.HighG, flat.LowG, flat.HighG)
	}
	near(t, "last level", bowed.Batches[len(bowed.Batches)-1].LevelMM, 150, 1e-9)
}

// The chance that the likely mass is enough, against a simulation of the same
// sources with a fixed seed: within 0.05.
func TestEnoughAgainstSimulation(t *testing.T) {
	for _, key := range keys {
		in := mix.Input{Rubber: rubber(t, key), InsideMM: [3]float64{180, 90, 70}, DisplacedErrorMM3: 20_000, Below: cone(40, 60)}
		r := plan(t, in)
		enough := chance(in, r)
		if math.Abs(r.Enough-enough) > 0.05 {
			t.Errorf("%s: enough with a chance of %.3f, simulated %.3f", key, r.Enough, enough)
		}
	}
}

func TestByVolume(t *testing.T) {
	plat := rubber(t, "plat-30")
	plat.VolumeRatioA, plat.VolumeRatioB = 2, 1
	b := plan(t, mix.Input{Rubber: plat, InsideMM: [3]float64{100, 60, 30}}).Batches[0]
	near(t, "A : B", b.AMM3/b.BMM3, 2, 1e-12)
	near(t, "A + B", b.AMM3+b.BMM3, b.TotalG/1.12*1000, 1e-6)
	if b := plan(t, mix.Input{Rubber: rubber(t, "tin-30"), InsideMM: [3]float64{100, 60, 30}}).Batches[0]; b.AMM3 != 0 {
		t.Errorf("tin-cure rubber is measured by volume: %+v", b)
	}
}

func TestTogether(t *testing.T) {
	box := func(area float64) func(float64) float64 { return func(mm3 float64) float64 { return mm3 / area } }
	molds := []mix.Mold{{"pin", 4e5, box(8000)}, {"tiller", 2.6e6, box(30_000)}, {"cane", 1.1e6, box(11_000)}}
	in := mix.Input{Rubber: rubber(t, "tin-30")}
	j, err := mix.Together(molds, in)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "net", j.NetG, 4.1e6*1.18e-3, 1e-6)
	if j.SavedG <= 0 {
		t.Errorf("pouring together saves %v g", j.SavedG)
	}
	poured, sum := make([]float64, len(molds)), 0.0
	last := make([]float64, len(molds))
	for _, b := range j.Batches {
		sum += b.TotalG
		for _, s := range b.Shares {
			poured[s.Mold] += s.G
			if s.LevelMM < last[s.Mold] {
				t.Errorf("the level in %s falls", molds[s.Mold].Name)
			}
			last[s.Mold] = s.LevelMM
		}
	}
	near(t, "sum of the batches", sum, j.MassG, 1e-9)
	for i, m := range molds {
		near(t, m.Name, poured[i], m.NetMM3*1.18e-3, 1e-6)
		near(t, "level in "+m.Name, last[i], m.LevelOf(m.NetMM3), 1e-6)
	}
	if _, err := mix.Together([]mix.Mold{{Name: "nothing"}}, in); err == nil || !strings.Contains(err.Error(), "takes no rubber") {
		t.Errorf("an empty mold: %v", err)
	}
}
