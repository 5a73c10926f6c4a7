package mix

import (
	"fmt"
	"math"
	"pourwright/analysis/shelf"
)

// What is lost on the way: a film on the cup, 20 to 70 g on one that held 1 L
// (0.3 to 1 mm of rubber on its wall), in proportion to the cup's surface; and
// a reserve against a leak. Basis: common practice, no source.
var DefaultFilmG = shelf.Range{Low: 20, Likely: 40, High: 70}

const (
	leakShare  = 0.03
	leakLeastG = 100 // or as much as the box holds, if that is less
)

// How long a batch takes, and how much of the pot life it may use. Basis:
// common practice, no source.
const (
	mixS       = 5 * 60
	degasS     = 10 * 60
	pourGPerS  = 500.0 / 60 // a thin stream
	potLifeUse = 0.7
	leastTimeG = 500 // smaller batches are no answer to a short pot life
)

// portion splits the rubber and its allowance into equal batches.
func (in Input) portion(r *Result) error {
	limit, rule := in.batchLimit()
	leak := math.Max(leakShare*r.NetG, math.Min(leakLeastG, r.NetG))
	n, film := 1, 0.0
	for ; ; n++ {
		n = max(n, int(math.Ceil((r.NetG+leak)/limit-1e-9)))
		if n > mostBatches {
			return &InputError{
				fmt.Sprintf("batches of at most %.0f g would be more than %d pours for %.1f kg of rubber", limit, mostBatches, r.NetG/1000),
				"allow larger batches, or check the units of the scan or the box",
			}
		}
		film = in.FilmG.Likely * in.cupSurface((r.NetG+leak)/float64(n))
		if r.NetG+leak+float64(n)*film <= float64(n)*limit*(1+1e-9) {
			break
		}
	}
	a, b := in.weigh((r.NetG + leak + float64(n)*film) / float64(n))
	var inBox float64
	for range n {
		batch := Batch{AG: a, BG: b, TotalG: in.onScale(in.steps(a) + in.steps(b))}
		batch.AMM3, batch.BMM3 = in.byVolume(batch.TotalG)
		inBox += batch.TotalG - film
		batch.LevelMM = in.levelOf(inBox * mm3PerCM3 / in.Rubber.DensityGPerCM3.Likely)
		r.Batches = append(r.Batches, batch)
	}
	r.AG = in.onScale(float64(n) * in.steps(a))
	r.BG = in.onScale(float64(n) * in.steps(b))
	r.MassG = in.onScale(float64(n) * (in.steps(a) + in.steps(b)))
	r.AllowanceG = r.MassG - r.NetG
	r.AllowanceRule = allowanceRule(n, film, leak, r.NetG, in.ScaleStepG)
	r.BatchRule = rule
	r.TimeNeededS = in.batchTime(r.Batches[0].TotalG)
	return nil
}

// batchLimit is the heaviest batch in g, and why.
func (in Input) batchLimit() (float64, string) {
	if in.BatchMaxG > 0 {
		return in.BatchMaxG, fmt.Sprintf("equal batches of at most %g g, as given", in.BatchMaxG)
	}
	cup := in.grams(in.CupMM3 / max(in.Headroom, fullest))
	time := (potLifeUse*in.potLife() - in.batchTime(0)) * pourGPerS
	if time < cup && time >= leastTimeG {
		return time, fmt.Sprintf("equal batches of at most %.0f g, so that mixing, %spouring one take at most 70 %% of the pot life (common practice, no source)", time, in.degasWord())
	}
	vessel := fmt.Sprintf("bucket of %g L", in.CupMM3/mm3PerL)
	if !in.degassed() {
		return cup, fmt.Sprintf("equal batches of at most %.0f g, which fill a %s to four fifths (common practice, no source)", cup, vessel)
	}
	return cup, fmt.Sprintf("equal batches of at most %.0f g in a %s, so that the rubber can rise to %g times its volume under vacuum (common practice, no source)", cup, vessel, in.Headroom)
}

// fullest is how many times a batch that is not degassed fits into its vessel.
const fullest = 1.25

func (in Input) degasWord() string {
	if in.degassed() {
		return "degassing and "
	}
	return ""
}

// cupSurface is the surface of a cup that held that mass, against one of 1 L.
func (in Input) cupSurface(massG float64) float64 {
	litres := massG / in.Rubber.DensityGPerCM3.Likely / 1000
	return math.Cbrt(litres * litres)
}

// weigh splits a mass by the ratio and rounds each part up to the scale's step.
func (in Input) weigh(massG float64) (a, b float64) {
	share := in.Rubber.RatioA / (in.Rubber.RatioA + in.Rubber.RatioB)
	up := func(g float64) float64 { return in.onScale(math.Ceil(g/in.ScaleStepG - 1e-9)) }
	return up(massG * share), up(massG * (1 - share))
}

// steps is the whole number of scale steps in a mass that was read off it.
func (in Input) steps(g float64) float64 { return math.Round(g / in.ScaleStepG) }

// onScale is the mass of n scale steps, with the digits a scale would show.
func (in Input) onScale(n float64) float64 {
	if perG := math.Round(1 / in.ScaleStepG); in.ScaleStepG < 1 && math.Abs(perG*in.ScaleStepG-1) < 1e-9 {
		return n / perG
	}
	return n * in.ScaleStepG
}

// batchTime is the time in s to mix, degas and pour a batch.
func (in Input) batchTime(g float64) float64 {
	if !in.degassed() {
		return mixS + g/pourGPerS
	}
	return mixS + degasS + g/pourGPerS
}

// byVolume returns parts A and B of a mass, mm³, where the rubber may be
// measured by volume; 0 else.
func (in Input) byVolume(massG float64) (a, b float64) {
	va, vb := in.Rubber.VolumeRatioA, in.Rubber.VolumeRatioB
	if va == 0 {
		return 0, 0
	}
	mm3 := massG / in.Rubber.DensityGPerCM3.Likely * mm3PerCM3
	return mm3 * va / (va + vb), mm3 * vb / (va + vb)
}

func allowanceRule(n int, film, leak, net, step float64) string {
	cups := fmt.Sprintf("%.0f g of film in the cup", film)
	if n > 1 {
		cups = fmt.Sprintf("%.0f g of film in each of %d cups", film, n)
	}
	why := "3 % of the rubber"
	if leak > leakShare*net {
		why = "the least reserve"
	}
	return fmt.Sprintf("%s, %.0f g (%s) against a leak, parts rounded up to %g g (common practice, no source)", cups, leak, why, step)
}
