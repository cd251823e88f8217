package hostile

import (
	"bytes"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"syscall"
	"time"
)

// process is what /proc says of one.
type process struct {
	pid      int
	resident int64         // bytes
	used     time.Duration // of processors, that of children that have ended too
}

// tick is the unit of times in /proc on all machines that Go runs on.
const tick = time.Second / 100

// forked is the name of this process in brackets: that of one that was forked and has not
// become another program yet. What it has in memory is ours.
var forked = sync.OnceValue(func() string {
	data, _ := os.ReadFile("/proc/self/stat")
	name, _, _ := strings.Cut(string(data), ") ")
	return name[strings.IndexByte(name, '(')+1:]
})

// tree is a process and all that descend from it.
func tree(root int) []process {
	var list []process
	for pids := []int{root}; len(pids) > 0; pids = pids[1:] {
		dir := "/proc/" + strconv.Itoa(pids[0])
		data, err := os.ReadFile(dir + "/stat")
		if err != nil {
			continue // it has ended
		}
		// The name of the program is in brackets and may hold anything.
		name, rest := data[:bytes.LastIndexByte(data, ')')+1], data[bytes.LastIndexByte(data, ')')+1:]
		fields := strings.Fields(string(rest))
		if len(fields) < 22 {
			continue
		}
		p := process{pid: pids[0]}
		if pages, err := strconv.ParseInt(fields[21], 10, 64); err == nil && !bytes.HasSuffix(name, []byte("("+forked()+")")) {
			p.resident = pages * int64(os.Getpagesize())
		}
		for _, field := range fields[11:15] {
			ticks, _ := strconv.ParseInt(field, 10, 64)
			p.used += time.Duration(ticks) * tick
		}
		list = append(list, p)
		threads, _ := os.ReadDir(dir + "/task")
		for _, thread := range threads {
			children, _ := os.ReadFile(dir + "/task/" + thread.Name() + "/children")
			for _, child := range strings.Fields(string(children)) {
				if pid, err := strconv.Atoi(child); err == nil {
					pids = append(pids, pid)
				}
			}
		}
	}
	return list
}

func treeOf(root int) []int {
	var pids []int
	for _, p := range tree(root) {
		pids = append(pids, p.pid)
	}
	return pids
}

// watch adds up what a process and its descendants have in memory, until it is stopped, and
// returns the most, bytes. It says so once a bound is exceeded; that of processors, 0 for none.
func watch(root int, processors time.Duration, stop <-chan struct{}, exceeded chan<- string) int64 {
	var peak int64
	start := time.Now()
	look := time.NewTicker(25 * time.Millisecond)
	defer look.Stop()
	say := func(what string) {
		select {
		case exceeded <- what:
		default:
		}
	}
	for {
		select {
		case <-stop:
			return peak
		case <-look.C:
		}
		var sum int64
		var used time.Duration
		for _, p := range tree(root) {
			sum += p.resident
			used += p.used
		}
		if peak = max(peak, sum); peak > peakBytes {
			say("took more than 1 GiB of memory")
		}
		if processors > 0 && used > processors {
			say("took more than " + processors.String() + " of processors")
		}
		if processors > 0 && used < processors/20 && time.Since(start) > 6*processors {
			say("did nothing for " + (6 * processors).String())
		}
	}
}

// leftBehind lists the processes with a setting in their environment, which the
// program started and left running, and ends them. One that is just ending has
// half a second.
func leftBehind(setting string) []string {
	var left []string
	for try := range 6 {
		left = nil
		names, _ := filepath.Glob("/proc/[0-9]*/environ")
		for _, name := range names {
			data, err := os.ReadFile(name)
			if err != nil || !bytes.Contains(append([]byte{0}, data...), []byte("\x00"+setting+"\x00")) {
				continue
			}
			line, _ := os.ReadFile(filepath.Join(filepath.Dir(name), "cmdline"))
			left = append(left, strings.ReplaceAll(string(line), "\x00", " "))
			if pid, err := strconv.Atoi(filepath.Base(filepath.Dir(name))); try == 5 && err == nil {
				_ = syscall.Kill(pid, syscall.SIGKILL)
			}
		}
		if left == nil {
			break
		}
		time.Sleep(100 * time.Millisecond)
	}
	return left
}
