package cli

import (
	"bufio"
	"fmt"
	"os"
	"runtime/debug"
	"strings"
	"testing"
)

// TestLargePages holds that most of the room made for the heap is advised to have
// large pages.
func TestLargePages(t *testing.T) {
	if _, err := os.Stat("/sys/kernel/mm/transparent_hugepage"); err != nil {
		t.Skip("this kernel has no large pages")
	}
	defer debug.SetGCPercent(debug.SetGCPercent(100))
	layLargePages()
	f, err := os.Open("/proc/self/smaps")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close() //nolint:errcheck // nothing was written
	advised, size := 0, 0
	for lines := bufio.NewScanner(f); lines.Scan(); {
		line := lines.Text()
		if n, err := fmt.Sscanf(line, "Size: %d kB", &size); n == 1 && err == nil {
			continue
		}
		if flags, ok := strings.CutPrefix(line, "VmFlags:"); ok && strings.Contains(flags+" ", " hg ") {
			advised += size << 10
		}
	}
	if advised < largePages/2 {
		t.Errorf("%d MiB are advised, of %d MiB", advised>>20, largePages>>20)
	}
}
