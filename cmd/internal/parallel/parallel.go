// Package parallel runs independent pieces of work side by side.
package parallel

import (
	"runtime"
	"sync"
)

// Each calls do for every number below n, as many at a time as there are
// processors, and returns when all are done.
func Each(n int, do func(int)) {
	var wg sync.WaitGroup
	next := make(chan int)
	for range min(n, runtime.GOMAXPROCS(0)) {
		wg.Go(func() {
			for i := range next {
				do(i)
			}
		})
	}
	for i := range n {
		next <- i
	}
	close(next)
	wg.Wait()
}
