package field

import (
	"cmp"
	"math/rand/v2"
	"slices"
	"testing"
)

// TestSortByHigh holds the order of pieces against the library's stable sort.
func TestSortByHigh(t *testing.T) {
	rng := rand.New(rand.NewPCG(81, 82))
	for _, most := range []int{1, 10, 11, 12, 22, 30} {
		list := make([]uint64, 3000)
		for i := range list {
			list[i] = rng.Uint64N(1<<most)<<32 | uint64(i)
		}
		rng.Shuffle(len(list), func(i, j int) { list[i], list[j] = list[j], list[i] })
		want := slices.Clone(list)
		slices.SortStableFunc(want, func(a, b uint64) int { return cmp.Compare(a>>32, b>>32) })
		if got, _ := sortByHigh(list, make([]uint64, len(list)), most); !slices.Equal(got, want) {
			t.Errorf("%d bits: not as the library sorts", most)
		}
	}
}
