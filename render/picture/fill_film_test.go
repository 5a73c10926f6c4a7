package picture

import (
	"bytes"
	"context"
	"image"
	"image/color"
	"image/draw"
	"image/gif"
	"math"
	"slices"
	"testing"

	"pourwright/analysis"
	"pourwright/mesh"
)

func filmOf(t testing.TB, m *mesh.Mesh, p *analysis.Plan, pockets Pockets) *gif.GIF {
	t.Helper()
	g, err := Film(context.Background(), m, p, pockets, Options{}, nil)
	if err != nil {
		t.Fatal(err)
	}
	return g
}

func encodedGIF(t testing.TB, g *gif.GIF) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := gif.EncodeAll(&b, g); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func TestFilm(t *testing.T) {
	m, p, pockets := bell(t)
	g := filmOf(t, m, p, pockets)
	data := encodedGIF(t, g)
	if n := len(g.Image); n < 60 || n > 95 {
		t.Errorf("%d frames", n)
	}
	if len(data) > 1_500_000 {
		t.Errorf("%d bytes", len(data))
	}
	back, err := gif.DecodeAll(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	if back.LoopCount != 0 || back.Config.Width != FilmWidth || back.Config.Height != FilmHeight {
		t.Errorf("loops %d, %d × %d", back.LoopCount, back.Config.Width, back.Config.Height)
	}
	total := 0
	for _, d := range back.Delay {
		total += d
	}
	if total < 800 || total > 3000 {
		t.Errorf("it runs for %d hundredths of a second", total)
	}
}

func TestSameFilmTwice(t *testing.T) {
	m, p, pockets := bell(t)
	var colours [2]color.Palette
	var frames [2][]byte
	for i := range frames {
		f, err := newFilm(context.Background(), m, p, pockets, Options{})
		if err != nil {
			t.Fatal(err)
		}
		if colours[i], err = f.palette(context.Background(), func() {}); err != nil {
			t.Fatal(err)
		}
		for k := 5; k < len(f.shots); k += 20 {
			if err := f.drawShot(context.Background(), f.shots[k]); err != nil {
				t.Fatal(err)
			}
			frames[i] = append(frames[i], f.canvas.img.Pix...)
		}
	}
	if !slices.Equal(colours[0], colours[1]) {
		t.Error("two films of one plan have two palettes")
	}
	if !bytes.Equal(frames[0], frames[1]) {
		t.Error("two films of one plan differ")
	}
}

// Frames keep only what changes; laid over one another they are the frames as
// drawn, in the nearest colours.
func TestFilmFramesAddUp(t *testing.T) {
	m, p, pockets := bell(t)
	f, err := newFilm(context.Background(), m, p, pockets, Options{})
	if err != nil {
		t.Fatal(err)
	}
	colours, err := f.palette(context.Background(), func() {})
	if err != nil {
		t.Fatal(err)
	}
	r := newReel(colours)
	shown := image.NewRGBA(image.Rect(0, 0, FilmWidth, FilmHeight))
	for i, s := range f.shots {
		if i%4 != 0 {
			continue
		}
		if err := f.drawShot(context.Background(), s); err != nil {
			t.Fatal(err)
		}
		before := len(r.gif.Image)
		r.add(f.canvas.img, s.hundredths)
		if len(r.gif.Image) > before {
			last := r.gif.Image[before]
			draw.Draw(shown, last.Rect, last, last.Rect.Min, draw.Over)
		}
		for p := 0; p < len(shown.Pix); p += 4 {
			want := colours[r.index(f.canvas.img.Pix[p:p+3])]
			red, green, blue, _ := want.RGBA()
			if uint8(red>>8) != shown.Pix[p] || uint8(green>>8) != shown.Pix[p+1] || uint8(blue>>8) != shown.Pix[p+2] {
				t.Fatalf("frame %d, pixel %d: shown %v, want %v", i, p/4, shown.Pix[p:p+3], want)
			}
		}
	}
}

// Air is red from the frame in which it closes on, and not before.
func TestFilmShowsWhenAirCloses(t *testing.T) {
	m, p, pockets := bell(t)
	f, err := newFilm(context.Background(), m, p, pockets, Options{})
	if err != nil {
		t.Fatal(err)
	}
	v := f.views[rubberRises]
	at := v.cam.at(v.at(-12, 33))
	closed := slices.IndexFunc(f.shots, func(s shot) bool { return s.pour == rubberRises && s.level == 20 })
	if closed < 0 {
		t.Fatal("no frame at the spill level")
	}
	if f.shots[closed].hundredths < 100 {
		t.Error("the film does not stop there")
	}
	for i, s := range f.shots {
		if s.pour != rubberRises {
			break
		}
		if math.Abs(s.level-33) < 1 { // its line is right there
			continue
		}
		if err := f.drawShot(context.Background(), s); err != nil {
			t.Fatal(err)
		}
		isRed := f.canvas.img.RGBAAt(int(at.X), int(at.Y)) == trapped.opaque()
		if isRed != (i >= closed) {
			t.Errorf("frame %d at %.1f mm: red %v", i, s.level, isRed)
		}
		for _, l := range f.canvas.labels {
			if !(rect{0, 0, FilmWidth, FilmHeight}).grown(-4).holds(l) {
				t.Errorf("frame %d: a label leaves the picture: %.0f", i, l)
			}
		}
	}
}

func BenchmarkFilm(b *testing.B) {
	m, p, pockets := bell(b)
	for b.Loop() {
		filmOf(b, m, p, pockets)
	}
}
