package analysis

import (
	"fmt"
	"math"

	"pourwright/analysis/finding"
	"pourwright/analysis/mix"
	"pourwright/analysis/moldbox"
	"pourwright/mesh/field"
)

// compareBoxes weighs the rubber of every shape of box, and of a skin in a
// jacket, side by side.
func (j *job) compareBoxes() error {
	b := &j.plan.Box
	b.Options = []BoxOption{}
	if !b.Owned && !j.choices.twoPart() {
		for _, shape := range moldbox.Shapes() {
			o, err := j.optionFor(shape)
			if err != nil {
				return err
			}
			b.Options = append(b.Options, o)
		}
	}
	return j.blanket()
}

// optionFor weighs the rubber of one shape of box with the clearances of the plan.
func (j *job) optionFor(shape string) (BoxOption, error) {
	in := j.boxInput()
	in.Shape = shape
	if shape != moldbox.Faceted {
		in.Facets = 0
	}
	if shape != moldbox.Rectangle {
		in.Walls = moldbox.PerWall{}
	}
	if j.choices.HaveG > 0 {
		in.ClearanceMM, in.CutClearanceMM = j.haveClearance, j.haveClearance
	}
	r, err := moldbox.Fit(j.outline, in)
	if err != nil {
		return BoxOption{}, err
	}
	m, err := j.roughMix(r)
	if err != nil {
		return BoxOption{}, err
	}
	o := BoxOption{Shape: shape, FloorMM2: r.Floor.AreaMM2(), NetMM3: m.NetMM3, MassG: m.MassG, Chosen: shape == j.plan.Box.Shape}
	if o.Chosen {
		// What is planned has its posts, fillers and bulge.
		o.NetMM3, o.MassG = j.plan.Rubber.NetMM3, j.plan.Rubber.MassG
	}
	o.Cost = j.costOf(o.MassG)
	return o, nil
}

// costOf is what rubber costs at the shelf's price.
func (j *job) costOf(g float64) *float64 {
	if j.rubber.PricePerKg == 0 {
		return nil
	}
	cost := g / 1000 * j.rubber.PricePerKg
	return &cost
}

// roughMix weighs the rubber of a box, posts left out.
func (j *job) roughMix(r moldbox.Result) (mix.Result, error) {
	displaced := j.measures.VolumeMM3
	if s := j.plan.Stand; s.StemMM > 0 {
		displaced += rod{s.StemMM, s.StemMM, s.SpoutDiameterMM}.volume()
	}
	in := mix.Input{Rubber: j.rubber, InsideMM: r.InsideMM, FloorMM2: r.Floor.AreaMM2(),
		DisplacedMM3: displaced, DisplacedErrorMM3: j.plan.Scan.VolumeErrorMM3, FilmG: j.own.FilmG}
	if !j.choices.twoPart() {
		return mix.Plan(j.choices.InShop(in))
	}
	// Two pours, each with a film and a reserve of its own, taken as halves.
	in.InsideMM[2], in.DisplacedMM3, in.DisplacedErrorMM3 = in.InsideMM[2]/2, displaced/2, in.DisplacedErrorMM3/2
	m, err := mix.Plan(j.choices.InShop(in))
	m.NetMM3, m.MassG, m.LowG, m.HighG = 2*m.NetMM3, 2*m.MassG, 2*m.LowG, 2*m.HighG
	return m, err
}

// blanketCells is how fine the field is in which a skin is measured.
const blanketCells = 80

// blanket weighs a skin in a jacket, and advises one where the block takes much
// rubber.
func (j *job) blanket() error {
	b := j.solid.Bounds()
	voxel := max(b.Max.X-b.Min.X, b.Max.Y-b.Min.Y, b.Max.Z-b.Min.Z) / blanketCells
	thickest := moldbox.BlanketMM[len(moldbox.BlanketMM)-1]
	f, err := field.New(j.ctx, j.solid.Mesh, field.Choice{VoxelMM: voxel, MarginVoxels: int(math.Ceil(thickest/voxel)) + 1}, nil)
	if err != nil {
		return err
	}
	// The board, in the scan frame: up·p = 0 − t of the pose, seen from the scan.
	up := j.pose.Rows[2]
	mm3 := moldbox.Blanket(f, up, -j.pose.T.Z+j.plan.Stand.StemMM, moldbox.BlanketMM)
	j.plan.Box.Blanket = Blanket{ThicknessMM: moldbox.BlanketMM}
	for i, v := range mm3 {
		j.plan.Box.Blanket.MassG[i] = v / 1000 * j.rubber.DensityGPerCM3.Likely
	}
	j.plan.Box.Blanket.Cost = j.costOf(j.plan.Box.Blanket.MassG[1])
	skin := j.plan.Scan.AreaMM2 * moldbox.BlanketMM[1] / 1000 * j.rubber.DensityGPerCM3.Likely
	block := j.plan.Rubber.MassG
	if block > moldbox.JacketFromG || block > moldbox.JacketFromTimes*skin {
		j.plan.Box.Blanket.Advised = true
		j.find(finding.Finding{Question: "moldbox", Level: finding.Note,
			Text: fmt.Sprintf("A block takes %.1f kg of rubber; a skin of it %g mm thick in a rigid jacket would take about %.1f kg.",
				block/1000, moldbox.BlanketMM[1], j.plan.Box.Blanket.MassG[1]/1000),
			Action: "Think of a jacketed skin if you can make the jacket: it saves rubber and costs work. Compare pourwright box."})
	}
	return nil
}
