package wall

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
)

// Web is a sheet of rubber between two faces of the pattern.
type Web struct {
	MM       float64  // where it is thinnest
	At       r3.Vec   // there, in the middle of the sheet
	SheetMM2 float64  // of the sheet, seen flat
	DepthMM  *float64 // from where it hangs on the rest of the rubber to its far edge; nil: not told from the shape
	// Strain of its skin when it is folded back, a share; nil: its depth is not
	// known or it is too stubby to fold. See foldStrain.
	Strain *float64
}

// Cast says where the pattern is thinner than the casting material fills.
type Cast struct {
	LeastMM float64 // that it fills; 0: not asked
	Least   *Place  // the thinnest of all places; nil: there is none
	ThinMM2 float64 // of the pattern's surface, both sides of a sheet
	Places  []Thin  // largest first
	More    int     // that are not listed
}

// Thin is one part of the pattern that is too thin.
type Thin struct {
	MM       float64 // its thinnest twentieth is no thicker
	At       r3.Vec  // where it is as thin, in the middle of the sheet
	SheetMM2 float64 // seen flat
}

const (
	// mostPlaces is how many webs or thin parts are listed.
	mostPlaces = 6
	// leastSheetMM2 is the least sheet that is listed (common practice, no source);
	// nor is one that is smaller than it is thick.
	leastSheetMM2 = 25
	// thinnestShare is the share of a sheet that its thinnest part is taken to be:
	// in a crease the gap goes down to nothing, and noise makes some of its own.
	thinnestShare = 0.05
)

// sheet is a lot of samples whose gaps lie side by side.
type sheet struct {
	samples []int32
	thin    gap     // of the thinnest part
	mm2     float64 // seen flat: each bit of it is looked at from both sides
}

// webs lists the sheets of rubber that are thinner than a limit.
func (s *survey) webs(r *Result) {
	sheets := s.sheets(r.ThinMM, func(x *sample) gap { return x.web })
	for i, sh := range sheets {
		r.Web = thinner(r.Web, Place{sh.thin.mm, sh.thin.middle})
		if i >= mostPlaces {
			r.WebsMore++
			continue
		}
		w := Web{MM: sh.thin.mm, At: sh.thin.middle, SheetMM2: sh.mm2}
		if w.DepthMM = s.depth(sh); w.DepthMM != nil {
			w.Strain = foldStrain(w.MM, *w.DepthMM)
		}
		r.Webs = append(r.Webs, w)
	}
}

// cast lists where the pattern is too thin.
func (s *survey) cast() Cast {
	c := Cast{LeastMM: s.in.CastLeastMM}
	if c.LeastMM == 0 {
		return c
	}
	for i := range s.samples {
		if x := &s.samples[i]; x.inner.mm < c.LeastMM*(1-tie) {
			c.ThinMM2 += s.area
		}
	}
	for i, sh := range s.sheets(c.LeastMM, func(x *sample) gap { return x.inner }) {
		c.Least = thinner(c.Least, Place{sh.thin.mm, sh.thin.middle})
		if i >= mostPlaces {
			c.More++
			continue
		}
		c.Places = append(c.Places, Thin{sh.thin.mm, sh.thin.middle, sh.mm2})
	}
	return c
}

// sheets gathers the samples whose gap is under a limit into sheets, largest
// first.
func (s *survey) sheets(under float64, of func(*sample) gap) []sheet {
	var sheets []sheet
	for _, members := range s.together(under, of) {
		slices.SortStableFunc(members, func(i, j int32) int { return cmp.Compare(of(&s.samples[i]).mm, of(&s.samples[j]).mm) })
		sh := sheet{members, of(&s.samples[members[int(thinnestShare*float64(len(members)))]]), s.area / 2 * float64(len(members))}
		if sh.mm2 >= max(leastSheetMM2, sh.thin.mm*sh.thin.mm) {
			sheets = append(sheets, sh)
		}
	}
	slices.SortStableFunc(sheets, func(a, b sheet) int { return cmp.Compare(b.mm2, a.mm2) })
	return sheets
}

// together lists the samples whose gap is under a limit in lots: those are
// together whose gaps' middles lie in cells side by side.
func (s *survey) together(under float64, of func(*sample) gap) [][]int32 {
	cell := 2 * s.spacing
	origin := s.m.Bounds().Min
	cells := make(map[[3]int32]int32) // the first sample in it
	var thin []int32
	group := newGroups(len(s.samples))
	for i := range s.samples {
		g := of(&s.samples[i])
		if !(g.mm < under*(1-tie)) {
			continue
		}
		thin = append(thin, int32(i))
		d := r3.Sub(g.middle, origin)
		key := [3]int32{int32(math.Floor(d.X / cell)), int32(math.Floor(d.Y / cell)), int32(math.Floor(d.Z / cell))}
		for k := range int32(27) {
			beside := [3]int32{key[0] + k%3 - 1, key[1] + k/3%3 - 1, key[2] + k/9 - 1}
			if j, seen := cells[beside]; seen {
				group.join(int32(i), j)
			}
		}
		if _, seen := cells[key]; !seen {
			cells[key] = int32(i)
		}
	}
	index := make(map[int32]int)
	var lots [][]int32
	for _, i := range thin {
		root := group.of(i)
		at, seen := index[root]
		if !seen {
			at = len(lots)
			index[root] = at
			lots = append(lots, nil)
		}
		lots[at] = append(lots[at], i)
	}
	return lots
}

// groups is a forest of items that belong together.
type groups []int32

func newGroups(n int) groups {
	g := make(groups, n)
	for i := range g {
		g[i] = int32(i)
	}
	return g
}

func (g groups) of(i int32) int32 {
	for g[i] != i {
		g[i] = g[g[i]]
		i = g[i]
	}
	return i
}

// join keeps the lower item as the head, so that the order does not matter.
func (g groups) join(i, j int32) {
	i, j = g.of(i), g.of(j)
	g[max(i, j)] = min(i, j)
}

// flatLeast is how long the mean of a web's unit normals must be for it to be
// flat enough to have a plane of its own.
const flatLeast = 0.9

// depth returns how far a web reaches into the pattern: across the rectangle
// around it in its own plane, from a side beyond which there is more room for
// rubber to the other; half of that when there is on both.
// nil: no side is open, or it is not flat.
func (s *survey) depth(sh sheet) *float64 {
	normal := s.samples[sh.samples[0]].normal
	var sum r3.Vec
	for _, i := range sh.samples {
		n := s.samples[i].normal
		sum = r3.Add(sum, r3.Scale(math.Copysign(1, r3.Dot(n, normal)), n))
	}
	if r3.Norm(sum) < flatLeast*float64(len(sh.samples)) {
		return nil
	}
	normal = r3.Unit(sum)
	x, y := mesh.Frame(normal)
	var flat []r2.Vec
	var height, mm float64
	for _, i := range sh.samples {
		g := s.samples[i].web
		flat = append(flat, r2.Vec{X: r3.Dot(x, g.middle), Y: r3.Dot(y, g.middle)})
		height += r3.Dot(normal, g.middle) / float64(len(sh.samples))
		mm += g.mm / float64(len(sh.samples))
	}
	rect := mesh.MinAreaRect(flat)
	sin, cos := math.Sincos(rect.Angle)
	var depth *float64
	for k, axis := range [2]r2.Vec{{X: cos, Y: sin}, {X: -sin, Y: cos}} {
		sides := 0
		for _, way := range [2]float64{1, -1} {
			at := r2.Add(rect.Center, r2.Scale(way*(rect.Size[k]/2+mm), axis))
			if s.roomy(r3.Add(r3.Scale(height, normal), r3.Add(r3.Scale(at.X, x), r3.Scale(at.Y, y))), mm) {
				sides++
			}
		}
		if sides == 0 {
			continue
		}
		if d := rect.Size[k] / float64(sides); depth == nil || d < *depth {
			depth = &d
		}
	}
	return depth
}

// roomy tells whether there is rubber around a point, and more of it than in a
// web of that thickness.
func (s *survey) roomy(p r3.Vec, mm float64) bool {
	if len(s.tree.Hits(p, r3.Vec{Z: 1}))%2 == 1 || p.Z < 0 {
		return false
	}
	_, near := s.tree.Closest(p, 0.6*mm)
	return !near
}

// stubby is the least depth, in thicknesses, of a web that folds.
const stubby = 2

// foldStrain is the strain at the skin of a web of that thickness that is
// folded right back over its depth, as when the block is peeled off: bent to half
// a circle, its middle has the radius depth/π, and its skin is thickness/2 away
// from that. A web that is pulled as well is strained more. Source: pure bending,
// strain = distance from the middle over the radius, from any text on beams.
func foldStrain(mm, depth float64) *float64 {
	if depth < stubby*mm {
		return nil
	}
	strain := math.Pi * mm / (2 * depth)
	return &strain
}
