package field

import (
	"context"
	"runtime"
	"sync"
	"sync/atomic"
)

// crew shares tasks out to all processors.
type crew struct {
	ctx         context.Context
	progress    func(done, total int64)
	mu          sync.Mutex
	done, total int64 // tasks; nothing is told before the total is known
}

// workers is how many tasks are worked on at the same time.
func workers() int { return runtime.GOMAXPROCS(0) }

// each calls work for every task below n, several at the same time, and stops
// early when the context ends. Tasks must not depend on each other; those of one
// worker come one after another.
func (c *crew) each(n int, work func(worker, task int)) error {
	var next atomic.Int64
	var wg sync.WaitGroup
	for worker := range min(n, workers()) {
		wg.Go(func() {
			for c.ctx.Err() == nil {
				task := int(next.Add(1)) - 1
				if task >= n {
					return
				}
				work(worker, task)
				c.step()
			}
		})
	}
	wg.Wait()
	return c.ctx.Err()
}

func (c *crew) step() {
	if c.progress == nil || c.total == 0 {
		return
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	c.done++
	c.progress(c.done, c.total)
}
