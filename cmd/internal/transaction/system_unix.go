//go:build linux || darwin || freebsd || netbsd || openbsd || dragonfly

package transaction

import (
	"errors"
	"io"
	"os"
	"strconv"
	"syscall"
)

// withoutWaiting makes opening a pipe that nobody reads an error.
const withoutWaiting = syscall.O_NONBLOCK | syscall.O_NOCTTY

func hasNoReader(err error) bool { return errors.Is(err, syscall.ENXIO) }

// tryLock locks a folder. The lock goes with the process, however it ends.
func tryLock(folder string) (io.Closer, error) {
	f, err := os.OpenFile(folder, os.O_RDONLY|syscall.O_DIRECTORY|withoutWaiting, 0)
	if err != nil {
		if errors.Is(err, os.ErrPermission) { // it may be written to and not listed
			return nil, errNoLocks
		}
		return nil, err
	}
	switch err := syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB); {
	case err == nil:
		return f, nil
	case errors.Is(err, syscall.EWOULDBLOCK):
		return nil, errors.Join(errBusy, f.Close())
	default:
		return nil, errors.Join(errNoLocks, f.Close())
	}
}

// numberOf is the number of a file in its file system, "" if there is none.
func numberOf(path string) string {
	info, err := os.Lstat(path)
	if err != nil || !info.Mode().IsRegular() {
		return ""
	}
	s, ok := info.Sys().(*syscall.Stat_t)
	if !ok {
		return ""
	}
	return strconv.FormatUint(uint64(s.Ino), 10) //nolint:unconvert // its type differs between systems
}

// syncFolder puts the names of a folder on disk, where that can be done.
func syncFolder(folder string) {
	if f, err := os.OpenFile(folder, os.O_RDONLY, 0); err == nil {
		_ = f.Sync()
		_ = f.Close()
	}
}
