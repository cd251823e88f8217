package input

import (
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"
)

// Display is a path as messages show it: relative to the root, or the name that
// standard input was given.
func (o Options) Display(path string) string {
	switch {
	case path != Stdin:
		return DisplayPath(o.Root, path)
	case o.StdinName != "":
		return filepath.ToSlash(o.StdinName)
	}
	return "stdin"
}

// DisplayPath renders a path relative to the root with slashes.
func DisplayPath(root, path string) string {
	if root == "" && !filepath.IsAbs(path) {
		return filepath.ToSlash(filepath.Clean(path))
	}
	absolute, err := filepath.Abs(path)
	if err != nil {
		return filepath.ToSlash(path)
	}
	if root, err = filepath.Abs(root); err == nil {
		if relative, err := filepath.Rel(root, absolute); err == nil {
			return filepath.ToSlash(relative)
		}
	}
	return filepath.Base(path)
}

// CannotRead says why a file or folder cannot be read, in the same words whether
// it was named or met in a folder.
func CannotRead(name string, err error) error {
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return AbsentError{name + ": there is no such file or folder"}
	case errors.Is(err, fs.ErrPermission):
		return fmt.Errorf("%s: it may not be read", name)
	}
	var p *fs.PathError
	if errors.As(err, &p) {
		err = p.Err
	}
	return fmt.Errorf("%s: %w", name, err)
}

// AbsentError says of a path that there is nothing; it is a fs.ErrNotExist.
type AbsentError struct{ Text string }

func (e AbsentError) Error() string { return e.Text }

func (e AbsentError) Unwrap() error { return fs.ErrNotExist }
