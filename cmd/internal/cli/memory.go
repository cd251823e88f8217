package cli

import (
	"os"
	"runtime"
	"runtime/debug"
	"runtime/metrics"
	"sync"
)

// roomyHeap is how many bytes the heap may take whatever is in use of it.
const roomyHeap = 112 << 20

// tuneMemory collects garbage at five times what is in use while the heap is small,
// and at twice that once it is large: a run is short, but touching new memory costs
// time too, and a fleet must fit into a small machine. It is no limit of memory that
// says so: close to one, the runtime gives pages back to the system and takes them
// again all the time, which took a third of the time of a large vehicle.
// Just below the memory that a vehicle may take there is one, since garbage is no reason
// to give a vehicle up. Who sets GOGC or GOMEMLIMIT has chosen.
func tuneMemory(getenv func(string) string, limit uint64) {
	if getenv("GOGC") != "" || getenv("GOMEMLIMIT") != "" {
		return
	}
	layLargePages()
	debug.SetGCPercent(smallHeapPercent)
	afterCollection(setPercent)
	if limit > 0 {
		debug.SetMemoryLimit(int64(limit / 10 * 9))
	}
}

// tuneMemoryOnce is tuneMemory for the first who calls it.
func tuneMemoryOnce() func(limit uint64) {
	var once sync.Once
	return func(limit uint64) { once.Do(func() { tuneMemory(os.Getenv, limit) }) }
}

// largePages is how many bytes of the heap get large pages.
const largePages = 256 << 20

// layLargePages has the heap grow into large pages where the kernel gives them only
// to who asks, as Linux does: for small ones it is called at every 4 KiB, which took
// a third of the time of a small vehicle. The heap is the runtime's, so that a block
// of it is asked for, advised and given back, all without being touched.
func layLargePages() {
	debug.SetGCPercent(-1) // the block alone would set off a collection
	adviseLargePages(make([]byte, largePages))
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

// setPercent sets how much garbage is left until the next collection by what is in use.
func setPercent() {
	sample := []metrics.Sample{{Name: "/gc/heap/live:bytes"}}
	metrics.Read(sample)
	if sample[0].Value.Kind() == metrics.KindUint64 {
		debug.SetGCPercent(percentFor(sample[0].Value.Uint64()))
	}
}

// percentFor is that percentage for some bytes in use.
func percentFor(inUse uint64) int {
	percent := 100 * (float64(roomyHeap)/float64(max(inUse, 1)) - 1)
	return int(min(max(percent, largeHeapPercent), smallHeapPercent))
}
