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

// InOrder is Each, with done called for each number in turn, as soon as it and all
// below it are done.
func InOrder(n int, do, done func(int)) {
	var turn sync.Mutex
	finished := make([]bool, n)
	next := 0
	Each(n, func(i int) {
		do(i)
		turn.Lock()
		defer turn.Unlock()
		finished[i] = true
		for ; next < n && finished[next]; next++ {
			done(next)
		}
	})
}
