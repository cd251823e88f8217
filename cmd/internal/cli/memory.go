package cli

import (
	"runtime"
	"runtime/debug"
	"runtime/metrics"
)

// roomyHeap is how many bytes the heap may take whatever is in use of it.
const roomyHeap = 128 << 20

// tuneMemory collects garbage at five times what is in use while the heap is small,
// and at twice that once it is large: a run is short, but touching new memory costs
// time too, and a fleet must fit into a small machine.
// The limit goes up with what is in use, so that a run never does nothing but
// collect. Who sets GOGC or GOMEMLIMIT has chosen.
func tuneMemory(getenv func(string) string) {
	if getenv("GOGC") != "" || getenv("GOMEMLIMIT") != "" {
		return
	}
	layLargePages()
	debug.SetGCPercent(400)
	debug.SetMemoryLimit(roomyHeap)
	afterCollection(raiseLimit)
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

// raiseLimit leaves as much room for garbage as there is in use.
func raiseLimit() {
	sample := []metrics.Sample{{Name: "/gc/heap/live:bytes"}}
	metrics.Read(sample)
	if sample[0].Value.Kind() == metrics.KindUint64 {
		debug.SetMemoryLimit(max(roomyHeap, 2*int64(sample[0].Value.Uint64())+overhead))
	}
}

// overhead is what the runtime needs beside the heap, and counts towards the limit.
const overhead = 16 << 20
