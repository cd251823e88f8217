package input

import (
	"errors"
	"io/fs"
	"syscall"
)

// Files is where specifications are read from: the disk, or a revision of a
// repository. Names are paths as the operating system writes them, absolute or
// from the working folder. Errors are those of package os: a name that is not
// there gives fs.ErrNotExist.
type Files interface {
	Open(name string) (fs.File, error)
	ReadDir(name string) ([]fs.DirEntry, error) // sorted by name
	Stat(name string) (fs.FileInfo, error)
}

// IsAbsent reports whether an error says that there is no such file.
func IsAbsent(err error) bool {
	return errors.Is(err, fs.ErrNotExist) || errors.Is(err, syscall.ENOTDIR)
}
