package cut

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// Keys of a mold in two parts are oval dimples in the clay, half an ellipsoid each,
// turned along and across the pattern by turns so that the parts slide in no
// direction (common practice, no source: large enough that no air stays in them, near
// the parting line where soft rubber would leak). Few and large ones do: closer and
// smaller ones are taken only where fewer than enoughKeys find room.
const (
	KeyLengthMM   = 18
	KeyWidthMM    = 12
	KeyDepthMM    = 8
	enoughKeys    = 6
	leastKeySize  = 0.45 // of the full size
	keyBandMM     = 12   // beyond the nearest place that a key fits, where more are sought
	keyNodeMM     = 2    // between the places that are tried
	keySteps      = 20   // sizes up to the full one
	steepestKey   = 0.4  // slope of the bed that a key may lie on
	rimsOfAKey    = 4    // rings of places looked at on a key
	pointsOfARing = 16   // each
)

// BedKey is one key: a dimple in the clay, a knob on the part poured first.
type BedKey struct {
	At       r3.Vec // its middle on the bed
	Along    r3.Vec // unit, its long axis
	Into     r3.Vec // unit, into the clay
	LengthMM float64
	WidthMM  float64
	DepthMM  float64
}

// VolumeMM3 of the half ellipsoid.
func (k BedKey) VolumeMM3() float64 {
	return 2. / 3 * math.Pi * k.LengthMM / 2 * k.WidthMM / 2 * k.DepthMM
}

// seat is a place that a key may have.
type seat struct {
	at    r2.Vec
	room  float64 // radius that fits
	near  float64 // distance from the pattern and openings
	order int
}

// bedKeys sets keys on the bed, into the side of sign: the largest first, nearest to
// the pattern, then all that keep their distance.
func (f *face) bedKeys(sign float64) []BedKey {
	seats := f.seats()
	var taken []seat
	for _, r := range keyRules {
		if taken = r.choose(seats); len(taken) >= enoughKeys {
			break
		}
	}
	middle := r2.Vec{}
	for _, s := range taken {
		middle = r2.Add(middle, r2.Scale(1/float64(len(taken)), s.at))
	}
	slices.SortStableFunc(taken, func(a, b seat) int { return cmp.Compare(turnFrom(middle, a.at), turnFrom(middle, b.at)) })
	var keys []BedKey
	for _, s := range taken {
		if k, ok := f.key(s, sign, len(keys)%2 == 1); ok {
			keys = append(keys, k)
		}
	}
	return keys
}

// keyRule is how large keys have to be, as a share of the full size, and how far apart.
type keyRule struct{ leastSize, gapMM float64 }

// keyRules are tried in turn; the least gap is usual for rows of keys (common practice,
// no source).
var keyRules = []keyRule{{0.8, 45}, {0.6, 30}, {leastKeySize, 13}}

// choose takes the seats that keep the rule, the best first.
func (r keyRule) choose(seats []seat) []seat {
	var taken []seat
	for _, s := range seats {
		clear := s.room >= r.leastSize*KeyLengthMM/2
		for _, t := range taken {
			clear = clear && r2.Norm(r2.Sub(s.at, t.at)) >= s.room+t.room+r.gapMM
		}
		if clear {
			taken = append(taken, s)
		}
	}
	return taken
}

func turnFrom(middle, p r2.Vec) float64 { return math.Atan2(p.Y-middle.Y, p.X-middle.X) }

// seats lists the places that have room for a key, best first.
func (f *face) seats() []seat {
	step := max(1, int(math.Round(keyNodeMM/max(f.grid.stepMM, thinnestMM))))
	inside := f.within()
	rows := make([][]seat, f.grid.nv/step+1)
	inRows(len(rows), func(row int) {
		j := row * step
		for i := 0; i < f.grid.nu && j < f.grid.nv; i += step {
			if inside[j*f.grid.nu+i] {
				continue
			}
			p := f.grid.place(i, j)
			at := f.at(p)
			if f.sheet.steep(p) {
				continue
			}
			near := f.clear(at, farMM)
			room := min(KeyLengthMM/2, near-LeastMM-marginMM, f.room.Outside(at)-LeastMM-marginMM)
			if room >= leastKeySize*KeyLengthMM/2 && near <= LeastMM+2*room+keyBandMM {
				rows[row] = append(rows[row], seat{p, room, near, j*f.grid.nu + i})
			}
		}
	})
	all := slices.Concat(rows...)
	slices.SortStableFunc(all, func(a, b seat) int {
		if c := cmp.Compare(math.Round(4*b.room), math.Round(4*a.room)); c != 0 {
			return c
		}
		if c := cmp.Compare(math.Round(2*a.near), math.Round(2*b.near)); c != 0 {
			return c
		}
		return cmp.Compare(a.order, b.order)
	})
	return all
}

// steep tells whether a key would lie on a slope.
func (s *Sheet) steep(p r2.Vec) bool {
	const reach = KeyLengthMM / 2
	return math.Abs(s.offset(p.X+reach, p.Y)-s.offset(p.X-reach, p.Y)) > 2*reach*steepestKey ||
		math.Abs(s.offset(p.X, p.Y+reach)-s.offset(p.X, p.Y-reach)) > 2*reach*steepestKey
}

// key makes the key of a seat as large as the rubber allows, in space.
func (f *face) key(s seat, sign float64, across bool) (BedKey, bool) {
	at := f.at(s.at)
	k := BedKey{At: at, Along: f.sheet.Right, Into: r3.Scale(sign, f.sheet.Normal)}
	if hit, near := f.outline.Closest(at, math.Inf(1)); near {
		out := r3.Sub(at, hit.Point)
		out = r3.Sub(out, r3.Scale(r3.Dot(out, f.sheet.Normal), f.sheet.Normal))
		if n := r3.Norm(out); n > 0 {
			k.Along = r3.Scale(1/n, out)
		}
	}
	if !across {
		k.Along = r3.Cross(f.sheet.Normal, k.Along)
	}
	for steps := math.Floor(keySteps * s.room / (KeyLengthMM / 2)); steps >= keySteps*leastKeySize; steps-- {
		size := steps / keySteps
		k.LengthMM, k.WidthMM, k.DepthMM = size*KeyLengthMM, size*KeyWidthMM, size*KeyDepthMM
		if f.fits(k) {
			return k, true
		}
	}
	return k, false
}

// fits tells whether a key keeps its distance from the pattern, openings and the
// outside all over.
func (f *face) fits(k BedKey) bool {
	side := r3.Cross(k.Into, k.Along)
	for ring := range rimsOfAKey {
		deep := float64(ring) / (rimsOfAKey - 1)
		wide := math.Sqrt(1 - deep*deep)
		points := pointsOfARing
		if wide == 0 { // its tip
			points = 1
		}
		for p := range points {
			sin, cos := math.Sincos(2 * math.Pi * float64(p) / pointsOfARing)
			q := r3.Add(k.At, r3.Scale(deep*k.DepthMM, k.Into))
			q = r3.Add(q, r3.Add(r3.Scale(wide*cos*k.LengthMM/2, k.Along), r3.Scale(wide*sin*k.WidthMM/2, side)))
			if f.clear(q, LeastMM+1) < LeastMM || f.room.Outside(q) < LeastMM {
				return false
			}
		}
	}
	return true
}
