//go:build unix

package input

import (
	"io/fs"
	"syscall"
)

// device is the number of the file system that something is on.
func device(info fs.FileInfo) (uint64, bool) {
	if s, ok := info.Sys().(*syscall.Stat_t); ok {
		return uint64(s.Dev), true //nolint:unconvert // its type differs between systems
	}
	return 0, false
}
