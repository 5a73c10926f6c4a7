package sheet

import (
	"math"
	"slices"

	"pourwright/analysis"
	"pourwright/render/say"
)

// opening says in words how the block is cut open; zero of a plan that only says
// where the cut lies.
type opening struct {
	Planned bool
	Faces   []knifeFace
	Land    string
	Keys    string
	Slit    string
	Hinge   string // empty when nothing is left whole
	Stretch string
	Tear    string // empty when the rubber is not drawn out
	Hooks   string
	Halves  string
	Steps   []string // where a stepped cut steps aside
	Drawn   bool     // true to size, in the folder of templates
}

// knifeFace is how deep the knife goes in on one face of the block.
type knifeFace struct {
	Name, Depth, Least string
}

func wordOpening(p *analysis.Plan, s units) opening {
	c := p.Cut
	if c.Style == "" {
		return opening{}
	}
	o := opening{Planned: true, Faces: knifeFaces(p, s), Land: landWords(c, s), Keys: waveWords(c, s), Hooks: hookWords(c, s), Halves: halfWords(p, s), Drawn: len(c.Rim) > 2}
	o.Slit, o.Hinge = slitWords(p, s), hingeWords(p, s)
	o.Stretch = stretchWords(c)
	if !c.Slit.Full {
		o.Tear = tearWords(c, s)
	}
	for _, step := range c.Steps {
		o.Steps = append(o.Steps, stepWords(c, s, step))
	}
	return o
}

// levelDepths are depths of a face so alike, in mm, that one figure will do.
const levelDepths = 2

// knifeFaces gathers the knife marks by face, in the order of the work. The least
// depth counts: deeper than that may meet the land, so depths are
// rounded down, as on the true-size face.
func knifeFaces(p *analysis.Plan, s units) []knifeFace {
	var names []string
	marks := map[string][]analysis.KnifeMark{}
	for _, m := range p.Cut.Knife {
		name := blockFace(p, m.AtMM)
		if marks[name] == nil {
			names = append(names, name)
		}
		marks[name] = append(marks[name], m)
	}
	var all []knifeFace
	for _, name := range names {
		least := slices.MinFunc(marks[name], shallower)
		most := slices.MaxFunc(marks[name], shallower)
		one := knifeFace{Name: name, Depth: s.LengthDown(least.ToLandMM)}
		if most.ToLandMM-least.ToLandMM > levelDepths {
			one.Depth += " to " + s.LengthDown(most.ToLandMM)
			one.Least = s.Length(least.AtMM[2]) + " above the board"
			if name == topFace || name == spoutFace {
				one.Least = along(p, s, least.AtMM)
			}
		}
		all = append(all, one)
	}
	return all
}

// along says how far along the cut a place on a level face of the block is.
func along(p *analysis.Plan, s units, place [3]float64) string {
	at, n := placeOf(p, place), p.Cut.Normal
	if math.Abs(n[0]) > math.Abs(n[1]) {
		return s.Length(at.FromFront) + " from the front"
	}
	return s.Length(at.FromLeft) + " from the left end"
}

func shallower(a, b analysis.KnifeMark) int {
	switch {
	case a.ToLandMM < b.ToLandMM:
		return -1
	case a.ToLandMM > b.ToLandMM:
		return 1
	}
	return 0
}

// Faces of the block besides those on the walls.
const (
	topFace   = "Top"
	spoutFace = "Spout side"
)

// blockFace names the face of the block that a place on it is on.
func blockFace(p *analysis.Plan, at [3]float64) string {
	name, wall := wallAt(p, at[0], at[1])
	top, spout := math.Abs(at[2]-p.Box.RubberLevelMM), math.Abs(at[2])
	switch {
	case spout < top && spout < wall:
		return spoutFace
	case top < wall:
		return topFace
	}
	return name
}

// wallAt names the wall next to a place, and gives how far it is.
func wallAt(p *analysis.Plan, x, y float64) (string, float64) {
	if p.Box.Shape == "tube" && p.Box.RadiusMM != nil {
		return cutEnd{Wall: sideOf(x, y)}.Name(), math.Abs(*p.Box.RadiusMM - math.Hypot(x, y))
	}
	if p.Box.Shape == "faceted" && len(p.Box.OutlineMM) > 2 {
		return facetAt(p.Box.OutlineMM, x, y)
	}
	half := [2]float64{p.Box.InsideMM[0] / 2, p.Box.InsideMM[1] / 2}
	name, best := "", math.Inf(1)
	for i, d := range [4]float64{x + half[0], half[0] - x, y + half[1], half[1] - y} {
		if math.Abs(d) < best {
			name, best = wallNames[[4]string{"x0", "x1", "y0", "y1"}[i]], math.Abs(d)
		}
	}
	return name, best
}

func facetAt(outline [][2]float64, x, y float64) (string, float64) {
	name, best := "", math.Inf(1)
	for i, a := range outline {
		b := outline[(i+1)%len(outline)]
		dx, dy := b[0]-a[0], b[1]-a[1]
		t := 0.0
		if n := dx*dx + dy*dy; n > 0 {
			t = max(0, min(1, ((x-a[0])*dx+(y-a[1])*dy)/n))
		}
		if d := math.Hypot(a[0]+t*dx-x, a[1]+t*dy-y); d < best {
			name, best = "Facet "+say.Number(float64(i+1)), d
		}
	}
	return name, best
}

// halfWords says how much rubber each half is.
func halfWords(p *analysis.Plan, s units) string {
	h := p.Cut.HalvesMM3
	if h == nil {
		return say.Unknown
	}
	words := ""
	for i, sign := range [2]float64{-1, 1} {
		one := towards(p.Cut.Normal, sign) + " half " + s.Liquid(h[i])
		if d := p.Rubber.DensityGPerCM3; d > 0 {
			one += ", " + s.Mass(h[i]/1000*d)
		}
		words = joinWith(words, one, "; ")
	}
	return words
}

// towards names the side of the block that a direction, times a sign, points to most.
func towards(d [3]float64, sign float64) string {
	names := [3][2]string{{"left", "right"}, {"front", "back"}, {"lower", "upper"}}
	k := 0
	for i := range d {
		if math.Abs(d[i]) > math.Abs(d[k])+1e-9 {
			k = i
		}
	}
	if d[k]*sign > 0 {
		return names[k][1]
	}
	return names[k][0]
}

func joinWith(list, word, between string) string {
	if list == "" {
		return word
	}
	return list + between + word
}
