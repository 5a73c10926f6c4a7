package cut

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// The land and the key line (common practice, no source): a straight land along
// the pattern, beyond it waves within the sheet, each of them set off the sheet
// to one side or the other, so that halves slide in no direction; straight again
// before the outside of the block.
const (
	DefaultLandMM   = 5
	AmplitudeMM     = 10 // from trough to crest, within the sheet
	PitchMM         = 25
	LeastMM         = 5 // from the pattern, from openings and from the outside
	DepthMM         = 6 // off the sheet
	leastKeyMM      = 2 // crests lower than this hold nothing
	leastPitch      = 0.6
	pointsAWave     = 24
	marginMM        = 0.2 // against the chords of the line
	stepsOfOneChord = 3
)

// depthOf is the share of the depth that waves are set off by, to the normal's
// side or against it. No shift by a wave or two brings it upon itself.
var depthOf = [4]float64{1, -0.6, 0.6, -1}

// KeyLine is one line beyond the land.
type KeyLine struct {
	Points []r3.Vec // on the sheet, but for the waves' depth
	Closed bool
	Waves  []Wave
	Pitch  float64 // mm along the land's edge
}

// Wave is one bump of a key line.
type Wave struct {
	At          r3.Vec  // its crest
	AmplitudeMM float64 // as it lies: over a straight line from trough to trough; 0 where there is no rubber for it
	DepthMM     float64 // off the sheet, along its normal
}

// Line is a line in space.
type Line struct {
	Points []r3.Vec
	Closed bool
}

// layOut draws land and key lines; open tells which places of the sheet are cut,
// as those that are not below zero, nil for all.
func (f *face) layOut(landMM float64, open func(p r2.Vec) float64) (land []Line, keys []KeyLine) {
	inside := f.within()
	for _, line := range f.offsets(landMM, inside, f.fromOutline) {
		for _, part := range line.kept(func(p r2.Vec) float64 {
			return min(f.room.Outside(f.at(p)), f.room.rodGap(f.at(p)))
		}) {
			land = append(land, f.lift(part))
		}
	}
	least := max(landMM, LeastMM)
	distance := func(p r2.Vec, within float64) float64 { return f.clear(f.at(p), within) }
	allowed := func(p r2.Vec) float64 {
		free := f.room.Outside(f.at(p)) - LeastMM - marginMM
		if open != nil {
			free = min(free, open(p))
		}
		return free
	}
	for _, base := range f.offsets(least+marginMM, inside, distance) {
		for _, part := range base.kept(allowed) {
			if k, ok := f.wave(part, least, open); ok {
				keys = append(keys, k)
			}
		}
	}
	return land, keys
}

func (f *face) lift(c curve) Line {
	l := Line{Closed: c.closed}
	for _, p := range c.points {
		l.Points = append(l.Points, f.at(p))
	}
	return l
}

// wave sets waves on the land's edge. There is no key line where none fits.
func (f *face) wave(base curve, least float64, open func(p r2.Vec) float64) (KeyLine, bool) {
	length := base.lengthMM()
	n := int(math.Round(length / PitchMM))
	if n == 0 && length >= leastPitch*PitchMM {
		n = 1
	}
	if n == 0 || base.closed && n < 2 {
		return KeyLine{}, false
	}
	w := waving{f: f, least: least, open: open, base: base.even(n * pointsAWave), closed: base.closed}
	w.normals()
	k := KeyLine{Closed: base.closed, Pitch: length / float64(n)}
	w.flat, w.off = append([]r2.Vec{}, w.base...), make([]float64, len(w.base))
	highest := 0.0
	for i := range n {
		k.Waves = append(k.Waves, w.raise(i))
		highest = max(highest, k.Waves[i].AmplitudeMM)
	}
	if highest == 0 {
		return KeyLine{}, false
	}
	for i, p := range w.flat {
		k.Points = append(k.Points, w.space(p, w.off[i]))
	}
	if k.Closed {
		k.Points = k.Points[:len(k.Points)-1]
	}
	return k, true
}

// waving is a key line in the making.
type waving struct {
	f      *face
	least  float64
	open   func(p r2.Vec) float64
	base   []r2.Vec
	normal []r2.Vec // away from the pattern
	closed bool
	flat   []r2.Vec  // base, moved out
	off    []float64 // and how far off the sheet
}

// normals takes the direction across the base from some points around, since it
// follows every notch of the pattern.
func (w *waving) normals() {
	const around = 4
	n := len(w.base) - 1
	w.normal = make([]r2.Vec, n+1)
	for i := range w.normal {
		a, b := max(0, i-around), min(n, i+around)
		if w.closed {
			a, b = (i-around+n)%n, (i+around)%n
		}
		d := r2.Sub(w.base[b], w.base[a])
		if length := r2.Norm(d); length > 0 {
			w.normal[i] = r2.Vec{X: -d.Y / length, Y: d.X / length}
		}
	}
}

func (w *waving) space(p r2.Vec, off float64) r3.Vec {
	return r3.Add(w.f.at(p), r3.Scale(off, w.f.sheet.Normal))
}

// sizes of a wave that are tried, shares of amplitude and depth, best first.
var sizes = [...][2]float64{{1, 1}, {1, 0.6}, {0.8, 0.8}, {0.8, 0.5}, {0.6, 0.6}, {0.6, 0.3}, {0.4, 0.4}, {0.4, 0.2}, {0.25, 0.25}, {0.25, 0}}

// raise makes wave i as large as the rubber allows.
func (w *waving) raise(i int) Wave {
	first := i * pointsAWave
	for _, size := range sizes {
		amplitude, depth := size[0]*AmplitudeMM, size[1]*DepthMM*depthOf[i%len(depthOf)]
		if amplitude < leastKeyMM {
			break
		}
		for k := range pointsAWave + 1 {
			rise := (1 - math.Cos(2*math.Pi*float64(k)/pointsAWave)) / 2
			w.flat[first+k] = r2.Add(w.base[first+k], r2.Scale(rise*amplitude, w.normal[first+k]))
			w.off[first+k] = rise * depth
		}
		if !w.fits(first) {
			continue
		}
		high := w.height(first)
		if high < leastKeyMM {
			break // it only fills a nook of the land's edge
		}
		crest := first + pointsAWave/2
		w.f.crests = append(w.f.crests, w.space(w.flat[crest], w.off[crest]))
		return Wave{w.space(w.flat[crest], w.off[crest]), high, depth}
	}
	for k := range pointsAWave + 1 {
		w.flat[first+k], w.off[first+k] = w.base[first+k], 0
	}
	return Wave{At: w.space(w.base[first+pointsAWave/2], 0)}
}

// height is how far a wave rises over a straight line from trough to trough, away from
// the pattern: more than it was moved out where the land's edge goes round a corner of
// the pattern, less in a nook.
func (w *waving) height(first int) float64 {
	a, b := w.flat[first], w.flat[first+pointsAWave]
	d := r2.Sub(b, a)
	long := r2.Norm(d)
	if long == 0 {
		return 0
	}
	most := 0.0
	for _, p := range w.flat[first : first+pointsAWave+1] {
		most = max(most, r2.Cross(d, r2.Sub(p, a))/long)
	}
	return most
}

// fits checks a wave along its whole length, in space, and that it neither folds
// nor runs into what comes from across, another line's wave above all.
func (w *waving) fits(first int) bool {
	crest := w.space(w.flat[first+pointsAWave/2], w.off[first+pointsAWave/2])
	for _, c := range w.f.crests {
		if r3.Norm(r3.Sub(c, crest)) < PitchMM/2 {
			return false // no knife turns between the two
		}
	}
	for k := first; k < first+pointsAWave; k++ {
		step, along := r2.Sub(w.flat[k+1], w.flat[k]), r2.Sub(w.base[k+1], w.base[k])
		if r2.Dot(step, along) < 0.1*r2.Norm2(along) {
			return false
		}
		moved := r2.Norm(r2.Sub(w.flat[k], w.base[k]))
		if own := w.f.ownSide(w.base[k]); w.f.ownSide(w.flat[k]) < min(own+0.8*moved, farMM-1) {
			return false
		}
		a, b := w.space(w.flat[k], w.off[k]), w.space(w.flat[k+1], w.off[k+1])
		for s := range stepsOfOneChord + 1 {
			t := float64(s) / stepsOfOneChord
			p := r3.Add(a, r3.Scale(t, r3.Sub(b, a)))
			if w.f.clear(p, w.least+1) < w.least || w.f.room.Outside(p) < LeastMM {
				return false
			}
		}
		if w.open != nil && w.open(w.flat[k]) < 0 {
			return false
		}
	}
	return true
}

// ownSide grows along the way from the outline to the middle of the rubber and
// shrinks beyond.
func (f *face) ownSide(p r2.Vec) float64 {
	return min(f.fromOutline(p, farMM), f.room.rodGap(f.at(p)))
}
