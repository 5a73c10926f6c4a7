package mesh

import "math"

// neumaier is a sum that carries its own rounding error along. Source: Neumaier,
// "Rundungsfehleranalyse einiger Verfahren zur Summation endlicher Summen",
// ZAMM 54, 1974 (from memory).
type neumaier struct{ sum, lost float64 }

func (n *neumaier) add(x float64) {
	s := n.sum + x
	if math.Abs(n.sum) >= math.Abs(x) {
		n.lost += (n.sum - s) + x
	} else {
		n.lost += (x - s) + n.sum
	}
	n.sum = s
}

func (n *neumaier) join(o neumaier) {
	n.add(o.sum)
	n.lost += o.lost
}

func (n neumaier) value() float64 { return n.sum + n.lost }

// blockSize is how many items are summed before sums are joined: fixed, so that
// results do not depend on the number of processors.
const blockSize = 8192

func blocksOf(n int) int { return (n + blockSize - 1) / blockSize }

// eachBlock works on the blocks of 0..n, several at the same time.
func eachBlock(n int, work func(block, lo, hi int)) {
	inParts(n, func(_, lo, hi int) {
		for b := blocksOf(lo); b*blockSize < hi; b++ {
			work(b, b*blockSize, min(n, (b+1)*blockSize))
		}
	})
}
