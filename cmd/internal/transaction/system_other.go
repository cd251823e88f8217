//go:build !(linux || darwin || freebsd || netbsd || openbsd || dragonfly)

package transaction

import "io"

// withoutWaiting has no meaning where pipes have no names among the files.
const withoutWaiting = 0

func hasNoReader(error) bool { return false }

// tryLock knows of no locks that go with the process and leave nothing behind.
func tryLock(string) (io.Closer, error) { return nil, errNoLocks }

// numberOf knows of no numbers of files, so that no journal counts.
func numberOf(string) string { return "" }

// syncFolder does nothing: here a name is on disk with its file.
func syncFolder(string) {}
