package mesh

import (
	"runtime"
	"sync"

	"gonum.org/v1/gonum/spatial/r3"
)

// leastPart is the fewest items worth a goroutine of their own: waking one takes as
// long as going through thousands.
const leastPart = 1 << 15

// partsFor returns how many parts inParts would cut n items into.
func partsFor(n int) int {
	return max(1, min(runtime.GOMAXPROCS(0), n/leastPart))
}

// inParts cuts 0..n into contiguous parts, one a processor, works on them at
// the same time and waits for all. The cuts depend on the machine, so results
// joined across parts must not depend on where they fall.
func inParts(n int, work func(part, lo, hi int)) {
	parts := partsFor(n)
	var wg sync.WaitGroup
	for p := 1; p < parts; p++ {
		wg.Go(func() { work(p, n*p/parts, n*(p+1)/parts) })
	}
	work(0, 0, n/parts)
	wg.Wait()
}

// boundsInParts is BoundsOf on all processors.
func boundsInParts(points []r3.Vec) r3.Box {
	boxes := make([]r3.Box, partsFor(len(points)))
	inParts(len(points), func(part, lo, hi int) { boxes[part] = BoundsOf(points[lo:hi]) })
	ends := make([]r3.Vec, 0, 2*len(boxes))
	for _, b := range boxes {
		ends = append(ends, b.Min, b.Max)
	}
	if len(points) == 0 {
		return r3.Box{}
	}
	return BoundsOf(ends)
}
