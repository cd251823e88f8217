package input

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"slices"
	"strings"
	"syscall"
)

// This file is the one place where files are opened to be read; everybody else
// asks a [Files] for them. A name can stand for anything: a pipe that nobody writes
// to, a device without an end, a file that grows while it is read.

// ErrSpecial says that a file is no file of data.
var ErrSpecial = errors.New("it is a pipe or a device, not a file")

var (
	errFolder    = errors.New("it is a folder, not a file")
	errExchanged = errors.New("it was exchanged while it was opened; run it again when nothing else works on it")
)

// MostInFolder is how many entries of one folder are listed.
const MostInFolder = 500_000

// TooLargeError says that a file is larger than what is read of it.
type TooLargeError struct {
	Limit int64 // bytes
	Size  int64 // of the file, 0 if it is not known
}

func (e TooLargeError) Error() string {
	return fmt.Sprintf("it is larger than %d bytes, and no more is read", e.Limit)
}

// opener opens a name with flags of package os.
type opener func(flag int) (*os.File, error)

// openSeen opens what was seen at a place and nothing that was put there since.
// Nothing but a plain file or a folder is opened: to open a pipe may take for ever,
// and to open a device may do something.
func openSeen(seen fs.FileInfo, open opener) (*os.File, fs.FileInfo, error) {
	if !seen.Mode().IsRegular() && !seen.IsDir() {
		return nil, nil, ErrSpecial
	}
	f, err := open(os.O_RDONLY | withoutWaiting)
	if err != nil {
		return nil, nil, err
	}
	info, err := f.Stat()
	if err == nil && (!os.SameFile(seen, info) || info.Mode().Type() != seen.Mode().Type()) {
		err = errExchanged
	}
	if err != nil {
		return nil, nil, errors.Join(err, f.Close())
	}
	return f, info, nil
}

// openFile opens a plain file.
func openFile(seen fs.FileInfo, open opener) (fs.File, error) {
	if seen.IsDir() {
		return nil, errFolder
	}
	f, info, err := openSeen(seen, open)
	if err != nil {
		return nil, err
	}
	return &file{f, info, info.Size()}, nil
}

// readFolder lists a folder by name.
func readFolder(seen fs.FileInfo, open opener) ([]fs.DirEntry, error) {
	if !seen.IsDir() {
		return nil, syscall.ENOTDIR
	}
	f, _, err := openSeen(seen, open)
	if err != nil {
		return nil, err
	}
	defer f.Close() //nolint:errcheck // nothing was written
	entries, err := f.ReadDir(MostInFolder + 1)
	switch {
	case errors.Is(err, io.EOF): // it is empty
		err = nil
	case len(entries) > MostInFolder:
		return nil, fmt.Errorf("it has more than %d entries, and no more are looked at", MostInFolder)
	}
	slices.SortFunc(entries, func(a, b fs.DirEntry) int { return strings.Compare(a.Name(), b.Name()) })
	return entries, err
}

// file is a plain file with the size that it had when it was opened. What is
// appended to it while it is read is not read, or that might never end; nor is
// what the kernel makes up for a file that it says is empty.
type file struct {
	from *os.File
	info fs.FileInfo
	rest int64
}

func (f *file) Stat() (fs.FileInfo, error) { return f.info, nil }
func (f *file) Close() error               { return f.from.Close() }

func (f *file) Read(p []byte) (int, error) {
	if f.rest <= 0 {
		return 0, io.EOF
	}
	n, err := f.from.Read(p[:min(int64(len(p)), f.rest)])
	f.rest -= int64(n)
	return n, err
}

// ReadAll reads the rest of a file of at most so many bytes; that of a larger one
// is a [TooLargeError].
func ReadAll(r io.Reader, limit int64) ([]byte, error) {
	content, err := io.ReadAll(io.LimitReader(r, limit+1))
	if err == nil && int64(len(content)) > limit {
		return nil, TooLargeError{Limit: limit}
	}
	return content, err
}

// ReadFile reads a file of at most so many bytes.
func ReadFile(files Files, name string, limit int64) ([]byte, error) {
	f, err := files.Open(name)
	if err != nil {
		return nil, err
	}
	defer f.Close() //nolint:errcheck // nothing was written
	content, err := ReadAll(f, limit)
	if err != nil {
		return nil, &fs.PathError{Op: "read", Path: name, Err: reasonOf(err)}
	}
	return content, nil
}

// Machine is all of the machine's file system, for files that whoever started the
// program named or that are its own. What a repository names is read within it, by
// a [Disk].
type Machine struct{}

func (Machine) opener(name string) opener {
	return func(flag int) (*os.File, error) { return os.OpenFile(name, flag, 0) }
}

// Open opens a plain file.
func (m Machine) Open(name string) (fs.File, error) {
	seen, err := os.Stat(name)
	if err != nil {
		return nil, err
	}
	f, err := openFile(seen, m.opener(name))
	if err != nil {
		return nil, &fs.PathError{Op: "open", Path: name, Err: reasonOf(err)}
	}
	return f, nil
}

// ReadDir lists a folder by name.
func (m Machine) ReadDir(name string) ([]fs.DirEntry, error) {
	seen, err := os.Stat(name)
	if err != nil {
		return nil, err
	}
	entries, err := readFolder(seen, m.opener(name))
	if err != nil {
		return nil, &fs.PathError{Op: "open", Path: name, Err: reasonOf(err)}
	}
	return entries, nil
}

// Stat describes a file or folder, that behind a link.
func (Machine) Stat(name string) (fs.FileInfo, error) { return os.Stat(name) }
