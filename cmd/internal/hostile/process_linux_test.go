package hostile

import (
	"bytes"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"time"
)

// process is what /proc says of one.
type process struct {
	pid, parent int
	resident    int64 // bytes
}

func processes() []process {
	var list []process
	names, _ := filepath.Glob("/proc/[0-9]*/stat")
	for _, name := range names {
		data, err := os.ReadFile(name)
		if err != nil {
			continue // it has ended
		}
		// The name of the program is in brackets and may hold anything.
		pid, _ := strconv.Atoi(filepath.Base(filepath.Dir(name)))
		fields := strings.Fields(string(data[bytes.LastIndexByte(data, ')')+1:]))
		if len(fields) < 22 {
			continue
		}
		parent, _ := strconv.Atoi(fields[1])
		pages, _ := strconv.ParseInt(fields[21], 10, 64)
		list = append(list, process{pid, parent, pages * int64(os.Getpagesize())})
	}
	return list
}

// tree is a process and all that descend from it.
func tree(root int) []process {
	all := processes()
	in := map[int]bool{root: true}
	for grown := true; grown; {
		grown = false
		for _, p := range all {
			if in[p.parent] && !in[p.pid] {
				in[p.pid], grown = true, true
			}
		}
	}
	var list []process
	for _, p := range all {
		if in[p.pid] {
			list = append(list, p)
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

// watchMemory adds up what a process and its descendants have in memory, until it
// is stopped, and returns the most, bytes. It says so once the bound is exceeded.
func watchMemory(root int, stop <-chan struct{}, exceeded chan<- struct{}) int64 {
	var peak int64
	tick := time.NewTicker(20 * time.Millisecond)
	defer tick.Stop()
	for {
		select {
		case <-stop:
			return peak
		case <-tick.C:
		}
		var sum int64
		for _, p := range tree(root) {
			sum += p.resident
		}
		if peak = max(peak, sum); peak > peakBytes {
			select {
			case exceeded <- struct{}{}:
			default:
			}
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
