package mesh

import (
	"runtime"
	"sync"
)

// leastPart is the fewest items worth a goroutine of their own.
const leastPart = 4096

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
