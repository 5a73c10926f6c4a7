package sheet

import (
	"sort"

	"pourwright/analysis"
)

// place is a point of the box as a maker measures it, inside: from the wall at
// the left end, from the front wall and up from the board, all mm. Left is −x
// and front is −y of the stand frame. In a box on its side left is the spout's end and
// front is the wall on the right as seen from there, at one of its pours.
type place struct {
	FromLeft, FromFront, Up float64
	Pour                    int // 1 or 2 in a box on its side; else 0
}

func placeOf(p *analysis.Plan, at [3]float64) place { return placeAt(p, at, 1) }

// placeAt is a place at a pour of a mold in two parts, or of a block, which has one.
func placeAt(p *analysis.Plan, at [3]float64, pour int) place {
	if p.TwoPart != nil {
		return measured(p.TwoPart, at, max(pour, 1))
	}
	return place{at[0] + p.Box.InsideMM[0]/2, at[1] + p.Box.InsideMM[1]/2, at[2], 0}
}

func measured(t *analysis.TwoPart, at [3]float64, pour int) place {
	spout, right, up := t.Measured(at, pour)
	return place{spout, right, up, pour}
}

// Words says a place in one line.
func (l place) Words(s units) string {
	if l.Pour > 0 {
		return s.Length(l.FromLeft) + " from the spout’s end, " + s.Length(l.FromFront) +
			" from the right, " + s.Length(l.Up) + " over the board of the " + ordinals[l.Pour-1] + " pour"
	}
	return s.Length(l.FromLeft) + " from the left end, " + s.Length(l.FromFront) +
		" from the front, " + s.Length(l.Up) + " above the board"
}

// spoutInBox is the middle of the spout in the stand frame.
func spoutInBox(p *analysis.Plan) [3]float64 {
	var at [3]float64
	for row := range at {
		at[row] = p.Stand.TranslationMM[row]
		for k, x := range p.Stand.SpoutMM {
			at[row] += p.Stand.Rotation[row][k] * x
		}
	}
	return at
}

// wallRow is one wall: the gap asked, and the smallest found.
type wallRow struct {
	Name         string
	Asked, Found float64
	Thin         bool
}

// The walls as seen from above with +x to the right.
var wallNames = map[string]string{
	"x0": "Left end", "x1": "Right end", "y0": "Front", "y1": "Back", "cover": "Above the part",
}

func wallRows(p *analysis.Plan) []wallRow {
	thin := map[string]bool{}
	for _, t := range p.Box.Thin {
		thin[t.Wall] = true
	}
	asked, found := p.Box.ClearanceMM, p.Box.GapMM
	if asked.Radial != nil && found.Radial != nil {
		round := len(p.Box.Thin) > 0 && !(len(p.Box.Thin) == 1 && thin["cover"])
		return []wallRow{
			{"Wall, all round", *asked.Radial, *found.Radial, round},
			{wallNames["cover"], asked.Cover, found.Cover, thin["cover"]},
		}
	}
	return []wallRow{
		{wallName(p, "x0"), asked.X0, found.X0, thin["x0"]},
		{wallName(p, "x1"), asked.X1, found.X1, thin["x1"]},
		{wallName(p, "y0"), asked.Y0, found.Y0, thin["y0"]},
		{wallName(p, "y1"), asked.Y1, found.Y1, thin["y1"]},
		{wallName(p, "cover"), asked.Cover, found.Cover, thin["cover"]},
	}
}

// sums are totals for the shopping list.
type sums struct {
	AG, BG float64
	Boards []boards
	Rods   []rods
	Posts  int // in all
}

// boards is board of one thickness, without what the saw takes.
type boards struct {
	ThicknessMM, AreaMM2 float64
	Pieces               int
}

// rods is rod of one diameter for posts.
type rods struct {
	DiameterMM, LengthMM float64
	Pieces               int
}

func sum(p *analysis.Plan) sums {
	var total sums
	for _, b := range p.Rubber.Batches {
		total.AG += b.AG
		total.BG += b.BG
	}
	for _, panel := range p.Box.Panels {
		total.addBoard(panel)
	}
	for _, one := range posts(p) {
		if one.Glued() {
			total.addRod(one)
			total.Posts++
		}
	}
	sort.Slice(total.Boards, func(i, j int) bool { return total.Boards[i].ThicknessMM < total.Boards[j].ThicknessMM })
	sort.Slice(total.Rods, func(i, j int) bool { return total.Rods[i].DiameterMM < total.Rods[j].DiameterMM })
	return total
}

func (s *sums) addBoard(panel analysis.Panel) {
	area := panel.LengthMM * panel.WidthMM * float64(panel.Count)
	for i := range s.Boards {
		if s.Boards[i].ThicknessMM == panel.ThicknessMM {
			s.Boards[i].AreaMM2 += area
			s.Boards[i].Pieces += panel.Count
			return
		}
	}
	s.Boards = append(s.Boards, boards{panel.ThicknessMM, area, panel.Count})
}

func (s *sums) addRod(one post) {
	for i := range s.Rods {
		if s.Rods[i].DiameterMM == one.DiameterMM {
			s.Rods[i].LengthMM += one.LengthMM
			s.Rods[i].Pieces++
			return
		}
	}
	s.Rods = append(s.Rods, rods{one.DiameterMM, one.LengthMM, 1})
}
