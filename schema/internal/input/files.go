package input

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
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

// disk is the file system of the machine.
type disk struct{}

func (disk) Open(name string) (fs.File, error)          { return os.Open(name) }
func (disk) ReadDir(name string) ([]fs.DirEntry, error) { return os.ReadDir(name) }
func (disk) Stat(name string) (fs.FileInfo, error)      { return os.Stat(name) }

// Walk calls visit with what is in a folder, or with why it cannot be read, and so
// for all folders below it, in the order of their names, but for those that skip
// names. It does not follow symbolic links.
func Walk(files Files, folder string, skip func(folder, name string) bool, visit func(folder string, entries []fs.DirEntry, err error)) {
	entries, err := files.ReadDir(folder)
	visit(folder, entries, err)
	for _, entry := range entries {
		if entry.IsDir() && !skip(folder, entry.Name()) {
			Walk(files, filepath.Join(folder, entry.Name()), skip, visit)
		}
	}
}

// IsAbsent reports whether an error says that there is no such file.
func IsAbsent(err error) bool {
	return errors.Is(err, fs.ErrNotExist) || errors.Is(err, syscall.ENOTDIR)
}
