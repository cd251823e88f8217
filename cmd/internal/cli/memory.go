package cli

import (
	"runtime"
	"runtime/debug"
	"runtime/metrics"
)

// roomyHeap is how many bytes the heap may take whatever is in use of it.
const roomyHeap = 112 << 20

// tuneMemory collects garbage at five times what is in use while the heap is small,
// and at twice that once it is large: a run is short, but touching new memory costs
// time too, and a fleet must fit into a small machine. It is no limit of memory that
// says so: close to one, the runtime gives pages back to the system and takes them
// again all the time, which took a third of the time of a large vehicle.
// Who sets GOGC or GOMEMLIMIT has chosen.
func tuneMemory(getenv func(string) string) {
	if getenv("GOGC") != "" || getenv("GOMEMLIMIT") != "" {
		return
	}
	layLargePages(largePages)
	debug.SetGCPercent(smallHeapPercent)
	laid := uint64(largePages)
	afterCollection(func() {
		inUse, ok := bytesInUse()
		if !ok {
			return
		}
		if 3*inUse > laid { // with its garbage it will soon be more
			layLargePages(laid)
			laid *= 2
		}
		debug.SetGCPercent(percentFor(inUse))
	})
}

// largePages is how many bytes of the heap get large pages at first.
const largePages = 256 << 20

// layLargePages has the heap grow into some bytes of large pages where the kernel gives them only
// to who asks, as Linux does: for small ones it is called at every 4 KiB, which took
// a third of the time of a small vehicle. The heap is the runtime's, so that a block
// of it is asked for, advised and given back, all without being touched.
func layLargePages(bytes uint64) {
	debug.SetGCPercent(-1) // the block alone would set off a collection
	adviseLargePages(make([]byte, bytes))
	debug.FreeOSMemory()
}

// afterCollection calls do after each collection of garbage.
func afterCollection(do func()) {
	type sentinel struct{ _ [16]byte } // reachable from nothing: found by the next collection
	runtime.SetFinalizer(&sentinel{}, func(*sentinel) {
		do()
		afterCollection(do)
	})
}

// How much garbage is left before the next collection, in percent of what is in use.
const (
	smallHeapPercent = 400
	largeHeapPercent = 100
)

// bytesInUse is how much of the heap the last collection found in use.
func bytesInUse() (bytes uint64, ok bool) {
	sample := []metrics.Sample{{Name: "/gc/heap/live:bytes"}}
	metrics.Read(sample)
	if sample[0].Value.Kind() != metrics.KindUint64 {
		return 0, false
	}
	return sample[0].Value.Uint64(), true
}

// percentFor is that percentage for some bytes in use.
func percentFor(inUse uint64) int {
	percent := 100 * (float64(roomyHeap)/float64(max(inUse, 1)) - 1)
	return int(min(max(percent, largeHeapPercent), smallHeapPercent))
}
