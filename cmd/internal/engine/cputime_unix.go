//go:build unix

package engine

import (
	"syscall"
	"time"
)

// processTime is the processor time that the process has taken.
func processTime() time.Duration {
	var used syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &used); err != nil {
		return 0 // the clock bounds it still
	}
	return time.Duration(used.Utime.Nano() + used.Stime.Nano())
}
