package input

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
)

// These say that a file is not read because it lies elsewhere than its name says:
// links in a repository must not bring files of the machine into the findings.
var (
	errOutside = errors.New("it is a link out of the repository or the named folder, and only files inside are read")
	errGit     = errors.New("it leads to git's own files, which are not read")
)

// IsOutside reports whether a file is not read because of where it lies.
func IsOutside(err error) bool { return errors.Is(err, errOutside) || errors.Is(err, errGit) }

// IsNotThere reports whether an error of a [Disk] says that a folder has nothing
// by a name: no file, or one that lies elsewhere.
func IsNotThere(err error) bool { return IsAbsent(err) || IsOutside(err) }

// Disk is the file system of the machine as far as it lies in one folder, the
// repository or the folder that was named. A link within the folder is
// followed; one that leads out of it, or into git's own files, is an error. It
// may be used concurrently.
type Disk struct {
	root    string // absolute, without links
	handle  func() (*os.Root, error)
	folders sync.Map // absolute path of a folder -> the same without links
}

// Within is the disk within a folder, such as [RootOf] gives.
func Within(root string) *Disk {
	if absolute, err := filepath.Abs(root); err == nil {
		root = withoutLinks(absolute)
	}
	return &Disk{root: root, handle: sync.OnceValues(func() (*os.Root, error) { return os.OpenRoot(root) })}
}

// Root is the folder: absolute, and without symbolic links.
func (d *Disk) Root() string { return d.root }

// RootOf is the folder that the files of a path may come from: the root of the
// repository around it; without one that of its CUE module, if that is below the
// working folder; else the folder itself, or that of the file. A module above both
// may be anybody's, such as one in a folder for temporary files. A path may end in
// "...". The root is absolute and without symbolic links, but for what does not exist.
func RootOf(path string) string {
	if tree, ok := strings.CutSuffix(filepath.ToSlash(path), "..."); ok {
		path = filepath.FromSlash(tree)
	}
	// A link on the way to the working folder was followed by whoever stands
	// there; one in the path may be of the repository's own making, so that the
	// repository is looked for before it is followed.
	if !filepath.IsAbs(path) {
		here, err := filepath.Abs(".")
		if err != nil {
			return path
		}
		path = filepath.Join(withoutLinks(here), path)
	}
	if root := repositoryAround(filepath.Clean(path)); root != "" {
		return withoutLinks(root)
	}
	path = withoutLinks(path)
	if root := repositoryAround(path); root != "" {
		return root
	}
	if info, err := os.Stat(path); err == nil && !info.IsDir() {
		path = filepath.Dir(path)
	}
	if root := above(path, filepath.Join("cue.mod", "module.cue")); root != "" && isBelowHere(root) {
		return root
	}
	return path
}

// isBelowHere reports whether a folder is the working folder or below it.
func isBelowHere(folder string) bool {
	here, err := filepath.Abs(".")
	if err != nil {
		return false
	}
	relative, err := filepath.Rel(withoutLinks(here), folder)
	return err == nil && filepath.IsLocal(relative)
}

// repositoryAround finds the root of the repository around a path, "" if there is
// none. A folder that a link in a repository leads to is that one's, and so are
// the files of a submodule.
func repositoryAround(path string) string {
	root := above(path, ".git")
	for root != "" {
		outer := above(filepath.Dir(root), ".git")
		if outer == "" || outer == root || !isSubmodule(root) && !hasLink(outer, root) {
			break
		}
		root = outer
	}
	return root
}

// isSubmodule reports whether the repository of a folder is kept in the one around it.
func isSubmodule(root string) bool {
	content, err := ReadFile(Machine{}, filepath.Join(root, ".git"), 4<<10) // of a folder it is an error
	return err == nil && strings.Contains(filepath.ToSlash(string(content)), "/modules/")
}

// hasLink reports whether a symbolic link is on the way from a folder to one in it.
func hasLink(outer, inner string) bool {
	for at := inner; at != outer && at != filepath.Dir(at); at = filepath.Dir(at) {
		if info, err := os.Lstat(at); err == nil && info.Mode()&fs.ModeSymlink != 0 {
			return true
		}
	}
	return false
}

// PathWithin is the path of a name from a folder, with slashes; false for what is
// not in it. Links on the way to the folder are followed, and none in it.
func PathWithin(root, name string) (string, bool) {
	absolute, err := filepath.Abs(name)
	if err != nil {
		return "", false
	}
	root = withoutLinks(root)
	// The way down to the root may be through links; from there on the name counts.
	var down []string
	for at := absolute; ; at = filepath.Dir(at) {
		down = append(down, at)
		if at == filepath.Dir(at) {
			break
		}
	}
	slices.Reverse(down)
	for _, at := range down {
		if at == root || withoutLinks(at) == root {
			relative, err := filepath.Rel(at, absolute)
			return filepath.ToSlash(relative), err == nil
		}
	}
	return "", false
}

// above finds the nearest folder, from a path upwards, that holds a name.
func above(path, name string) string {
	for {
		if _, err := os.Lstat(filepath.Join(path, name)); err == nil {
			return path
		}
		parent := filepath.Dir(path)
		if parent == path {
			return ""
		}
		path = parent
	}
}

// withoutLinks is the path of a file or folder without symbolic links; of what
// is not there, that of the folder around it.
func withoutLinks(path string) string {
	if real, err := filepath.EvalSymlinks(path); err == nil {
		return real
	}
	parent := filepath.Dir(path)
	if parent == path {
		return path
	}
	return filepath.Join(withoutLinks(parent), filepath.Base(path))
}

// Locate returns the path of a name from the root, without links.
func (d *Disk) Locate(op, name string) (string, error) {
	relative, _, err := d.locate(op, name)
	return relative, err
}

// locate returns the path of a name from the root, without links, and what is there.
func (d *Disk) locate(op, name string) (string, fs.FileInfo, error) {
	fail := func(err error) (string, fs.FileInfo, error) {
		return "", nil, &fs.PathError{Op: op, Path: name, Err: err}
	}
	path, err := filepath.Abs(name)
	if err != nil {
		return fail(err)
	}
	folder, err := d.folder(filepath.Dir(path))
	if err != nil {
		return "", nil, err
	}
	real := filepath.Join(folder, filepath.Base(path))
	info, err := os.Lstat(real)
	if err != nil {
		return "", nil, err
	}
	linked := info.Mode()&fs.ModeSymlink != 0
	if linked {
		if real, err = filepath.EvalSymlinks(real); err != nil {
			return fail(reasonOf(err))
		}
	}
	relative, err := filepath.Rel(d.root, real)
	if err != nil || !filepath.IsLocal(relative) {
		if !d.passes(path) { // what lies above or beside the root is not there
			return fail(fs.ErrNotExist)
		}
		return fail(errOutside)
	}
	if slices.ContainsFunc(strings.Split(filepath.ToSlash(relative), "/"), func(s string) bool { return strings.EqualFold(s, ".git") }) {
		return fail(errGit)
	}
	if linked {
		if info, err = os.Lstat(real); err != nil {
			return fail(reasonOf(err))
		}
	}
	return relative, info, nil
}

// passes reports whether a path goes through the root, though it may lead out
// of it again.
func (d *Disk) passes(path string) bool {
	for {
		if real, err := d.folder(path); err == nil && real == d.root {
			return true
		}
		parent := filepath.Dir(path)
		if parent == path {
			return false
		}
		path = parent
	}
}

// folder is the path of a folder without links.
func (d *Disk) folder(path string) (string, error) {
	if real, ok := d.folders.Load(path); ok {
		return real.(string), nil
	}
	real, err := filepath.EvalSymlinks(path)
	if err != nil {
		return "", err
	}
	d.folders.Store(path, real)
	return real, nil
}

// reasonOf takes the path off an error: that of a link's target may be private.
func reasonOf(err error) error {
	var p *fs.PathError
	if errors.As(err, &p) {
		return p.Err
	}
	return err
}

// within finds what a name stands for, and how to open it there: through a handle
// of the root, out of which no link leads that is put on the way meanwhile.
func (d *Disk) within(op, name string, do func(seen fs.FileInfo, open opener) error) error {
	relative, seen, err := d.locate(op, name)
	if err != nil {
		return err
	}
	root, err := d.handle()
	if err != nil {
		return err
	}
	if err := do(seen, func(flag int) (*os.File, error) { return root.OpenFile(relative, flag, 0) }); err != nil {
		return &fs.PathError{Op: op, Path: name, Err: reasonOf(err)}
	}
	return nil
}

// Open opens a plain file.
func (d *Disk) Open(name string) (file fs.File, err error) {
	err = d.within("open", name, func(seen fs.FileInfo, open opener) error {
		file, err = openFile(seen, open)
		return err
	})
	return file, err
}

// ReadDir lists a folder by name.
func (d *Disk) ReadDir(name string) (entries []fs.DirEntry, err error) {
	err = d.within("open", name, func(seen fs.FileInfo, open opener) error {
		entries, err = readFolder(seen, open)
		return err
	})
	return entries, err
}

// Stat describes a file or folder, that behind a link.
func (d *Disk) Stat(name string) (fs.FileInfo, error) {
	_, info, err := d.locate("stat", name)
	return info, err
}
