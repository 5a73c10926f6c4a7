package pours_test

import (
	"errors"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"pourwright/analysis/pours"
	"pourwright/analysis/shelf"
)

var film = shelf.Range{Low: 20, Likely: 40, High: 70}

func tin(t *testing.T) shelf.Rubber {
	t.Helper()
	s, err := shelf.Read("none", strings.NewReader(""))
	if err != nil {
		t.Fatal(err)
	}
	r, err := s.Rubber("tin-30")
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func pour(density, lossG float64) pours.Pour {
	const net = 2.5e6
	block := net / 1000 * density
	return pours.Pour{Date: "2026-11-25", Plan: "lantern", Material: "tin-30", NetMM3: net, ErrorMM3: 0.002 * net,
		Batches: 1, PlannedG: 3000, UsedG: block + lossG + 100, LeftG: 100, BlockG: block}
}

func TestAddAndRead(t *testing.T) {
	path := filepath.Join(t.TempDir(), "deep", "pours.toml")
	if all, err := pours.Read(path); err != nil || all != nil {
		t.Fatalf("no file: %v, %v", all, err)
	}
	first, second := pour(1.2, 60), pour(1.21, 70)
	if err := pours.Add(path, first); err != nil {
		t.Fatal(err)
	}
	// What the maker writes into it stays.
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, append(text, "# the room was cold"...), 0o644); err != nil {
		t.Fatal(err)
	}
	if err := pours.Add(path, second); err != nil {
		t.Fatal(err)
	}
	all, err := pours.Read(path)
	if err != nil || !slices.Equal(all, []pours.Pour{first, second}) {
		t.Errorf("read %+v, %v", all, err)
	}
	if text, _ = os.ReadFile(path); !strings.Contains(string(text), "# the room was cold") || !strings.HasPrefix(string(text), "# What your pours") {
		t.Errorf("the file reads\n%s", text)
	}
	if left, _ := filepath.Glob(filepath.Join(filepath.Dir(path), ".pours-*")); left != nil {
		t.Errorf("left behind: %v", left)
	}
}

func TestFaultyFiles(t *testing.T) {
	for text, want := range map[string]string{
		"[[pour]\n": "is damaged, line 1",
		"[[pour]]\nmaterial = 'tin-30'\nused = 3\n":                                          "line 3: a pour has no pour.used",
		"[[pour]]\nplan = 'pin'\nmaterial = 'tin-30'\nnet_mm3 = 5\nused_g = -3\n":            "pour 1 (pin): used_g is no mass",
		"[[pour]]\nmaterial = 'tin-30'\nnet_mm3 = 5\nused_g = 3\nleft_g = 4\n":               "left_g is not less than used_g",
		"[[pour]]\nmaterial = 'tin-30'\nnet_mm3 = nan\nused_g = 3\n":                         "net_mm3 is no volume",
		"[[pour]]\nnet_mm3 = 5\nused_g = 3\n":                                                "material is missing",
		"[[pour]]\nmaterial = 'tin-30'\nnet_mm3 = 5\nused_g = 3\nblock_g = -1\n":             "block_g is no mass",
		"[[pour]]\nmaterial = 'tin-30'\nnet_mm3 = 5\nused_g = 3\nerror_mm3 = 9\nblock_g=1\n": "error_mm3 or batches cannot be",
	} {
		path := filepath.Join(t.TempDir(), "pours.toml")
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		_, err := pours.Read(path)
		var e *pours.Error
		if !errors.As(err, &e) || !strings.Contains(err.Error(), want) || e.Hint() == "" {
			t.Errorf("%q: %v, want %q", text, err, want)
		}
		// A damaged record is not written to.
		if err := pours.Add(path, pour(1.2, 50)); err == nil {
			t.Errorf("%q was added to", text)
		}
		if now, _ := os.ReadFile(path); string(now) != text {
			t.Errorf("%q became %q", text, now)
		}
	}
}

// Without pours the shelf stands; one moves it a little; many decide it, and
// narrow it.
func TestLearn(t *testing.T) {
	r := tin(t)
	none := pours.Learn(nil, r, film)
	if none.Pours != 0 || math.Abs(none.Density.Likely-r.DensityGPerCM3.Likely) > 1e-12 {
		t.Errorf("nothing learned is %+v", none)
	}
	rng := rand.New(rand.NewPCG(1, 2))
	var all []pours.Pour
	before := none.Density
	for n := 1; n <= 30; n++ {
		all = append(all, pour(1.24*(1+0.01*rng.NormFloat64()), 55))
		own := pours.Learn(all, r, film)
		if own.Pours != n || own.Density.High-own.Density.Low >= before.High-before.Low {
			t.Fatalf("%d pours: %+v after %+v", n, own, before)
		}
		before = own.Density
	}
	own := pours.Learn(all, r, film)
	if math.Abs(own.Density.Likely-1.24) > 0.01 || own.Density.High-own.Density.Low > 0.04 {
		t.Errorf("30 pours at 1.24 make %+v", own.Density)
	}
	// 55 g lost of 3.1 kg in one cup: a cup of 1 L would have lost 55/(3.255/1.18)^⅔.
	if want := 55 / math.Pow((2.5*1.24+0.155)/1.18, 2.0/3); math.Abs(own.FilmG.Likely-want) > 4 {
		t.Errorf("film %+v, want about %.0f g", own.FilmG, want)
	}
	if first := pours.Learn(all[:1], r, film); !(first.Density.Likely > 1.18 && first.Density.Likely < 1.24) {
		t.Errorf("one pour moves 1.18 to %.3f", first.Density.Likely)
	}
}

func TestLeaksAndOthersAreNotLearned(t *testing.T) {
	leak := pour(1.2, 50)
	leak.UsedG, leak.BlockG = 2*leak.UsedG, 0
	other := pour(1.2, 50)
	other.Material = "tin-20"
	out := pour(1.2, 50)
	out.LeftOut = true
	own := pours.Learn([]pours.Pour{leak, other, out}, tin(t), film)
	if own.Pours != 0 || own.LeftOut != 1 {
		t.Errorf("%+v", own)
	}
}

// Without the block's weight the density is read from what was poured less the film.
func TestLearnWithoutBlock(t *testing.T) {
	p := pour(1.2, 40*math.Pow(3.14/1.18, 2.0/3))
	p.BlockG = 0
	own := pours.Learn([]pours.Pour{p, p, p, p, p, p, p, p, p, p, p, p}, tin(t), film)
	if own.Blocks != 0 || math.Abs(own.Density.Likely-1.2) > 0.01 {
		t.Errorf("%+v", own)
	}
}
