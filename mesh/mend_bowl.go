package mesh

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// What makes a bowl of a scan with one large flat opening (common practice, no
// source).
const (
	// openShare is the area of an opening, as a share of the surface scanned,
	// above which the scan may be an open sheet whatever its shape.
	openShare = 0.25
	// bowlDepth is how deep a bowl may be, as a multiple of the root of the area of
	// its opening: 1 for a cube, 0.56 for half a ball, 1.5 for a ball whose opening
	// is two thirds as wide as it.
	bowlDepth = 1.5
	// bowlFilled is the least share of its convex hull that a bowl fills when its
	// opening is closed: a helmet fills nearly all, a bust under two thirds.
	bowlFilled = 0.8
	// bowlBand is the least share of the surface that leans away from the opening
	// by 20° to 45°, and that leans by 45° to 70°. A ball with an opening two thirds
	// as wide as it has 0.21 and 0.13; where walls meet a flat end, as in a box, a
	// bottle or a bucket, it is 0.
	bowlBand = 0.07
	// bowlCells is how many cells the surface is looked at in along its longest
	// side: roughness and single bumps do not count.
	bowlCells = 24
)

// shellQuestion asks about a large flat opening that may be the mouth of a thin
// sheet, a helmet, mask, bowl or shade, and not the end of a solid that was cut off
// or stood on: nil when it is none. Its size alone says so when it is much of the
// surface. Less will do when the loop is wide for the depth behind it and the
// surface curves over it like a bowl: it nearly fills its convex hull, and leans at
// all angles. A bust is too deep and too hollow for that; a box or a bottle does not
// curve.
func (w *mending) shellQuestion(h hole) error {
	share := h.area / w.Area()
	text := fmt.Sprintf("the scan is mostly one open sheet: its flat opening near %s is %s across, %s of the surface scanned",
		w.place(h.center), length(h.span), percent(share))
	if share <= openShare {
		depth, bowl := w.bowl(h)
		if !bowl {
			return nil
		}
		text = fmt.Sprintf("the scan is one sheet, curved like a bowl or a helmet: its flat opening near %s is %s across, and it is %s deep",
			w.place(h.center), length(h.span), length(depth))
	}
	return &OpenQuestion{text: text, question: whatIsOpen}
}

// bowl says whether the scan is curved like a bowl behind a flat opening, and how
// deep it is, mm.
func (w *mending) bowl(h hole) (depth float64, is bool) {
	for _, t := range w.Faces {
		for _, v := range t {
			depth = max(depth, math.Abs(r3.Dot(h.normal, r3.Sub(w.Vertices[v], h.center))))
		}
	}
	if depth > bowlDepth*math.Sqrt(h.area) {
		return depth, false
	}
	coarse, _ := w.used().Clustered(w.size / bowlCells)
	low, high, volume := coarse.leaning(h)
	if min(low, high) < bowlBand {
		return depth, false
	}
	hull, err := Hull(coarse.Vertices)
	if err != nil {
		return depth, false
	}
	return depth, math.Abs(volume) >= bowlFilled*(&Solid{Mesh: hull}).Measure().VolumeMM3
}

// leaning returns the shares of the surface that lean away from an opening by 20°
// to 45° and by 45° to 70°, and the volume behind it.
func (m *Mesh) leaning(h hole) (low, high, volume float64) {
	sin := func(degrees float64) float64 { return math.Sin(degrees * math.Pi / 180) }
	whole := 0.0
	for f := range m.Faces {
		n := m.DoubleAreaNormal(f)
		area := r3.Norm(n)
		whole += area
		a, _, _ := m.Corners(f)
		volume += r3.Dot(n, r3.Sub(a, h.center)) / 6
		switch lean := -r3.Dot(n, h.normal); { // turned outward or not
		case lean < sin(20)*area || lean > sin(70)*area:
		case lean < sin(45)*area:
			low += area
		default:
			high += area
		}
	}
	return low / whole, high / whole, volume
}
