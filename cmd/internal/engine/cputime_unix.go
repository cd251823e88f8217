//go:build unix

package engine

import (
	"syscall"
	"time"
)

// processTime is the processor time that the process has taken, and those that it started
// and that have ended.
func processTime() (sum time.Duration) {
	for _, who := range []int{syscall.RUSAGE_SELF, syscall.RUSAGE_CHILDREN} {
		var used syscall.Rusage
		if err := syscall.Getrusage(who, &used); err == nil { // else the clock bounds it still
			sum += time.Duration(used.Utime.Nano() + used.Stime.Nano())
		}
	}
	return sum
}
