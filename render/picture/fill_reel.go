package picture

import (
	"cmp"
	"context"
	"image"
	"image/color"
	"image/gif"
	"slices"
)

// filmColours are in every film's palette as they are.
func filmColours() []tint {
	return []tint{paper, ink, oak, oakLine, shadow, rubberIn, cured, deep, poured, trapped, leaving, lamp, amber, lampLine,
		chalk, signal, backWall, wallCut, hollow, shade, faint, board, glass}
}

// spread is how many frames apart those are that the palette is taken from.
const spread = 9

// palette is our colours and, up to 255, those that a spread of the frames shows
// most; the last one is see-through.
func (f *film) palette(ctx context.Context, tell func()) (color.Palette, error) {
	bins := make([]bin, 1<<15)
	for i := 0; i < len(f.shots); i += spread {
		tell()
		if err := f.drawShot(ctx, f.shots[i]); err != nil {
			return nil, err
		}
		for p := 0; p < len(f.canvas.img.Pix); p += 4 {
			bins[binOf(f.canvas.img.Pix[p:])].add(f.canvas.img.Pix[p:])
		}
	}
	var all color.Palette
	for _, t := range filmColours() {
		all = append(all, t.opaque())
	}
	for i := range bins {
		bins[i].number = i
	}
	slices.SortFunc(bins, func(a, b bin) int { return cmp.Or(cmp.Compare(b.n, a.n), cmp.Compare(a.number, b.number)) })
	for _, b := range bins {
		if len(all) == 255 || b.n == 0 {
			break
		}
		all = append(all, b.mean())
	}
	return append(all, color.RGBA{}), nil
}

// bin collects colours that are alike: five bits of each part.
type bin struct {
	n      int64
	sum    [3]int64
	number int
}

func binOf(pix []uint8) int { return int(pix[0]>>3)<<10 | int(pix[1]>>3)<<5 | int(pix[2]>>3) }

func (b *bin) add(pix []uint8) {
	b.n++
	for k := range b.sum {
		b.sum[k] += int64(pix[k])
	}
}

func (b bin) mean() color.RGBA {
	return color.RGBA{uint8(b.sum[0] / b.n), uint8(b.sum[1] / b.n), uint8(b.sum[2] / b.n), 255}
}

// reel gathers frames, of each only what changed.
type reel struct {
	gif     gif.GIF
	palette color.Palette
	nearest map[[3]uint8]uint8
	before  *image.Paletted

	lastKey   [3]uint8 // that index was asked for: neighbours are mostly alike
	lastIndex uint8
}

func newReel(p color.Palette) *reel {
	r := &reel{palette: p, nearest: map[[3]uint8]uint8{}}
	r.lastIndex = r.find(r.lastKey)
	return r
}

func (r *reel) add(img *image.RGBA, hundredths int) {
	full := image.NewPaletted(img.Rect, r.palette)
	for i := range full.Pix {
		full.Pix[i] = r.index(img.Pix[4*i : 4*i+3])
	}
	frame := full
	if r.before != nil {
		frame = r.changed(full)
	}
	if frame == nil { // nothing moved: the frame before is shown longer
		r.gif.Delay[len(r.gif.Delay)-1] += hundredths
		return
	}
	r.gif.Image = append(r.gif.Image, frame)
	r.gif.Delay = append(r.gif.Delay, hundredths)
	r.gif.Disposal = append(r.gif.Disposal, gif.DisposalNone)
	r.before = full
}

// index is the nearest colour of the palette.
func (r *reel) index(pix []uint8) uint8 {
	key := [3]uint8(pix)
	if key == r.lastKey {
		return r.lastIndex
	}
	i, known := r.nearest[key]
	if !known {
		i = r.find(key)
		r.nearest[key] = i
	}
	r.lastKey, r.lastIndex = key, i
	return i
}

// find looks through the whole palette but its last, see-through colour.
func (r *reel) find(c [3]uint8) uint8 {
	return uint8(r.palette[:len(r.palette)-1].Index(color.RGBA{c[0], c[1], c[2], 255}))
}

// changed is the part of a frame that differs from the one before; what does not
// differ in it is see-through. It is nil when nothing does.
func (r *reel) changed(full *image.Paletted) *image.Paletted {
	wide := full.Rect.Dx()
	area := image.Rectangle{}
	for i, p := range full.Pix {
		if p != r.before.Pix[i] {
			x, y := i%wide, i/wide
			area = area.Union(image.Rect(x, y, x+1, y+1))
		}
	}
	if area.Empty() {
		return nil
	}
	out := image.NewPaletted(area, r.palette)
	see := uint8(len(r.palette) - 1)
	for y := area.Min.Y; y < area.Max.Y; y++ {
		for x := area.Min.X; x < area.Max.X; x++ {
			p := full.ColorIndexAt(x, y)
			if p == r.before.ColorIndexAt(x, y) {
				p = see
			}
			out.SetColorIndex(x, y, p)
		}
	}
	return out
}
