package mix

import (
	"fmt"
	"math"
	"slices"
)

// Pack is a size that the rubber is sold in, A and B together, and how many to
// buy.
type Pack struct {
	MassG float64
	Count int
}

// Purchase is what to buy for a job.
type Purchase struct {
	Packs  []Pack // largest first
	TotalG float64
	LeftG  float64 // when all that may be needed is used
	Cost   float64 // at the price of the shelf; 0: not known
}

// buy chooses the packs for what may be needed.
func (in Input) buy(r *Result) (err error) {
	sizes := make([]float64, len(in.Rubber.PacksKg))
	for i, kg := range in.Rubber.PacksKg {
		sizes[i] = 1000 * kg
	}
	r.Buy, err = Buy(r.HighG, sizes, in.Rubber.PricePerKg)
	return err
}

// packStepG is how finely sizes of packs are told apart.
const packStepG = 10

// Buy returns the whole packs that hold at least needG and together the least
// mass; of those, the fewest. Sizes are in g; the price is per kg, 0 unknown.
// Nothing is returned without sizes.
func Buy(needG float64, sizesG []float64, pricePerKg float64) (Purchase, error) {
	if len(sizesG) == 0 || !(needG > 0) {
		return Purchase{}, nil
	}
	sizes := slices.Clone(sizesG)
	slices.Sort(sizes)
	slices.Reverse(sizes)
	sizes = slices.Compact(sizes)
	steps := make([]int, len(sizes))
	for i, s := range sizes {
		if steps[i] = int(math.Round(s / packStepG)); steps[i] < 1 {
			return Purchase{}, &InputError{fmt.Sprintf("a pack of %g g is too small to count with", s), "give the sizes of packs in kg, such as packs_kg = [1, 5]"}
		}
	}
	need := int(math.Ceil(needG/packStepG - 1e-9))
	counts := fewest(need, steps)
	p := Purchase{}
	for i, n := range counts {
		if n > 0 {
			p.Packs = append(p.Packs, Pack{sizes[i], n})
			p.TotalG += float64(n) * sizes[i]
		}
	}
	p.LeftG = p.TotalG - needG
	p.Cost = p.TotalG / 1000 * pricePerKg
	return p, nil
}

// mostOthers is the greatest sum of packs other than the largest that is looked
// at, in steps; a table of a few million entries is enough for any shop.
func mostOthers(steps []int) int {
	const most = 4_000_000
	if len(steps) == 1 {
		return 0
	}
	return min(most, steps[0]*steps[1])
}

// fewest returns how many of each step sum up to the least total of at least
// need, with the fewest in all.
func fewest(need int, steps []int) []int {
	counts := make([]int, len(steps))
	// Some best choice has fewer others than steps[0], or some of them would make up
	// whole packs of the largest (residues by the largest): what is beyond their
	// greatest sum is all of the largest.
	if others := mostOthers(steps); need > others {
		counts[0] = (need - others) / steps[0]
		need -= counts[0] * steps[0]
	}
	// least[t] is the fewest packs that make t exactly; last[t] the one added.
	top := need + steps[0]
	least, last := make([]int, top+1), make([]int, top+1)
	for t := 1; t <= top; t++ {
		least[t] = math.MaxInt
		for i, s := range steps {
			if s <= t && least[t-s] != math.MaxInt && least[t-s]+1 < least[t] {
				least[t], last[t] = least[t-s]+1, i
			}
		}
	}
	for t := need; t <= top; t++ {
		if least[t] != math.MaxInt {
			for ; t > 0; t -= steps[last[t]] {
				counts[last[t]]++
			}
			break
		}
	}
	return counts
}
