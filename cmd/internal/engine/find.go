package engine

import (
	"cmp"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"

	"example.org/headroom/schema"
)

// target is a specification with the files that it may be read from.
type target struct {
	schema.Target
	files schema.Files
	shown string // the path of the vehicle, as it is written in outputs
	place int    // among all that were found
}

// PathError is what keeps a path from being checked.
type PathError struct {
	Path string
	error
}

func (e PathError) Unwrap() error { return e.error }

// findTargets resolves the paths one by one, so that a bad one does not keep
// the others from being checked. A vehicle named twice is checked once. The order is that
// of their names, whatever the order of the paths.
func findTargets(s Side, opts func(schema.Files) schema.Options) (targets []target, errs []PathError) {
	seen := make(map[string]bool)
	disks := map[string]*schema.Disk{}
	for _, p := range s.Paths {
		files := s.filesOf(p, disks)
		found, err := schema.Find([]string{p}, opts(files))
		switch {
		case s.Reads != nil && errors.Is(err, schema.ErrNoSpecification):
			// No vehicle, hence none that is wanted.
		case err != nil:
			for _, e := range joined(err) {
				errs = append(errs, PathError{p, e})
			}
		case len(found) == 0: // nothing checked must not look like nothing wrong
			errs = append(errs, PathError{p, fmt.Errorf("%s: there is no specification", p)})
		}
		for _, t := range found {
			key := t.Path
			if t.Path != schema.Stdin {
				if abs, err := filepath.Abs(t.Path); err == nil {
					key = abs
				}
			}
			if !seen[key] {
				seen[key] = true
				targets = append(targets, target{Target: t, files: files, shown: shownPath(t, s.StdinName)})
			}
		}
	}
	slices.SortStableFunc(targets, func(a, b target) int { return cmp.Compare(a.shown, b.shown) })
	slices.SortStableFunc(errs, func(a, b PathError) int { return cmp.Compare(a.Path, b.Path) })
	return targets, errs
}

// filesOf is where a path is read from: the side's revision, or the disk within
// the repository around the path.
func (s Side) filesOf(path string, disks map[string]*schema.Disk) schema.Files {
	if s.Files != nil {
		return s.Files
	}
	if path == schema.Stdin {
		path = filepath.Dir(s.StdinName) // what it imports lies around its name
	}
	root := schema.RootOf(path)
	if disks[root] == nil {
		disks[root] = schema.Within(root)
	}
	return disks[root]
}

// joined lists the errors that were joined to one.
func joined(err error) (list []error) {
	several, many := err.(interface{ Unwrap() []error })
	if !many {
		return []error{err}
	}
	for _, e := range several.Unwrap() {
		list = append(list, joined(e)...)
	}
	return list
}

// Texts are the errors of a fleet as they are written.
func (l *Fleet) Texts() []string { return texts(l.Errors) }

func texts(errs []PathError) (list []string) {
	for _, e := range errs {
		list = append(list, e.Error())
	}
	return list
}

// shownPath is the target's path as it is written in outputs: relative and
// slash-separated, standard input by the name that it was given.
func shownPath(target schema.Target, stdinName string) string {
	p := target.Path
	if p == schema.Stdin {
		return cmp.Or(stdinName, "stdin")
	}
	if filepath.IsAbs(p) {
		if dir, err := os.Getwd(); err == nil {
			if rel, err := filepath.Rel(dir, p); err == nil {
				p = rel
			}
		}
	}
	return filepath.ToSlash(filepath.Clean(p))
}

// RepositoryPrefix returns the directory as seen from the root of the git
// repository that it is in, slash-separated; "" at the root or outside of any.
func RepositoryPrefix(dir string) string {
	for root := dir; ; root = filepath.Dir(root) {
		if _, err := os.Lstat(filepath.Join(root, ".git")); err == nil {
			rel, err := filepath.Rel(root, dir)
			if err != nil || rel == "." {
				return ""
			}
			return filepath.ToSlash(rel)
		}
		if root == filepath.Dir(root) {
			return ""
		}
	}
}

// PlaceOf tells two ways to write the path of one file from paths of two. Of a
// file that is gone the folder tells.
func PlaceOf(file string) (string, error) {
	place, err := filepath.Abs(filepath.FromSlash(file))
	if err != nil {
		return "", fmt.Errorf("cannot tell the working directory: %w", err)
	}
	if resolved, err := filepath.EvalSymlinks(place); err == nil {
		return resolved, nil
	}
	if folder, err := filepath.EvalSymlinks(filepath.Dir(place)); err == nil {
		return filepath.Join(folder, filepath.Base(place)), nil
	}
	return place, nil
}

// IsFolder reports whether a path leads to a folder.
func IsFolder(path string) bool {
	info, err := os.Stat(path)
	return err == nil && info.IsDir()
}
