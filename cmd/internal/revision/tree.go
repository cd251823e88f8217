package revision

import (
	"bytes"
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"time"

	"example.org/headroom/schema"
)

// Tree is the files of one commit. It satisfies schema.Files: names are paths
// of the work tree, absolute or from the folder that the repository was opened
// in. It may be used concurrently.
type Tree struct {
	repository *Repository
	Commit     string
	entries    map[string]*entry // by path from the root, "." for the root
	objects    *objects
	followed   atomic.Bool // a symbolic link
	reads      *Reads
	unread     unread
	submodules map[string]bool // by path from the root
}

// unread is what a tree has and could not give.
type unread struct {
	mu    sync.Mutex
	paths map[string]error
}

// entry is one name of a tree.
type entry struct {
	name     string // last element
	mode     fs.FileMode
	path     string // from the root, with slashes
	hash     string // of the content
	children []fs.DirEntry
	content  func() ([]byte, error) // of a file or a symbolic link
}

// Tree lists the files of a commit; their content is read when it is asked
// for. Close it after use.
func (r *Repository) Tree(ctx context.Context, commit string) (*Tree, error) {
	out, err := r.git(ctx, "ls-tree", "-r", "-z", "--full-tree", commit)
	if err != nil {
		return nil, fmt.Errorf("the files of %s cannot be listed: %w", commit, r.withoutFetch(ctx, err))
	}
	t := &Tree{repository: r, Commit: commit, entries: map[string]*entry{}, objects: &objects{repository: r}, reads: newReads(), submodules: map[string]bool{}}
	t.folder(".")
	for record := range strings.SplitSeq(string(out), "\x00") {
		head, name, ok := strings.Cut(record, "\t")
		fields := strings.Fields(head)
		if !ok || len(fields) != 3 {
			continue
		}
		switch fields[0] {
		case "120000":
			t.file(name, fields[2], fs.ModeSymlink, func() ([]byte, error) { return t.content(ctx, name, fields[2]) })
		case "160000": // a submodule is a repository of its own
			t.folder(name)
			t.submodules[name] = true
		default:
			t.file(name, fields[2], 0, func() ([]byte, error) { return t.content(ctx, name, fields[2]) })
		}
	}
	for _, e := range t.entries {
		slices.SortFunc(e.children, func(a, b fs.DirEntry) int { return cmp.Compare(a.Name(), b.Name()) })
	}
	return t, nil
}

// content reads a file or a symbolic link, and remembers what cannot be read.
func (t *Tree) content(ctx context.Context, name, hash string) ([]byte, error) {
	content, err := t.objects.read(ctx, hash)
	if large := (schema.TooLargeError{}); err != nil && !errors.As(err, &large) {
		t.unread.mu.Lock()
		defer t.unread.mu.Unlock()
		if t.unread.paths == nil {
			t.unread.paths = map[string]error{}
		}
		t.unread.paths[name] = err
	}
	return content, err
}

// Complete returns an error if something that the commit has could not be read
// so far: what was found in it may then not be all.
func (t *Tree) Complete() error {
	t.unread.mu.Lock()
	defer t.unread.mu.Unlock()
	names := slices.Sorted(maps.Keys(t.unread.paths))
	switch n := len(names) - 1; {
	case n < 0:
		return nil
	case n == 0:
		return fmt.Errorf("%s cannot be read: %w", names[0], t.unread.paths[names[0]])
	default:
		return fmt.Errorf("%s and %d more of its files cannot be read: %w", names[0], n, t.unread.paths[names[0]])
	}
}

// Top is the folder that stands for the root.
func (t *Tree) Top() string { return t.repository.top }

// Path is the path of a name from the root, "" for what is not in the repository.
func (t *Tree) Path(name string) string {
	path, _ := t.repository.Path(name)
	return path
}

// Paths lists the plain files of the commit by their paths from the root, in order.
func (t *Tree) Paths() []string {
	var paths []string
	for name, e := range t.entries {
		if e.mode.IsRegular() {
			paths = append(paths, name)
		}
	}
	slices.Sort(paths)
	return paths
}

// Hash is that of a plain file's content, by its path from the root; "" where
// there is none.
func (t *Tree) Hash(file string) string {
	if e, ok := t.entries[file]; ok && e.mode.IsRegular() {
		return e.hash
	}
	return ""
}

// Elsewhere is what the commit tracks without having its content.
func (t *Tree) Elsewhere() Elsewhere {
	return Elsewhere{objects: t.objects, submodules: t.submodules}
}

// Reads is what was looked up so far, and goes on to be.
func (t *Tree) Reads() *Reads { return t.reads }

// FollowedLink reports whether a symbolic link was followed so far. What was
// read then depends on more than the folder that it was read from.
func (t *Tree) FollowedLink() bool { return t.followed.Load() }

// Real returns the absolute path of a file or folder without symbolic links on
// the way; false where there is none.
func (t *Tree) Real(name string) (string, bool) {
	e, err := t.find("stat", name)
	if err != nil {
		return "", false
	}
	return filepath.Join(t.repository.top, filepath.FromSlash(e.path)), true
}

// Close ends the reading of objects.
func (t *Tree) Close() error { return t.objects.close() }

func (t *Tree) file(name, hash string, mode fs.FileMode, content func() ([]byte, error)) {
	e := &entry{name: path.Base(name), mode: mode, path: name, hash: hash, content: sync.OnceValues(content)}
	t.entries[name] = e
	t.folder(path.Dir(name)).add(e)
}

// folder returns the entry of a folder and makes it, and those above it, if
// need be.
func (t *Tree) folder(name string) *entry {
	if e, ok := t.entries[name]; ok {
		return e
	}
	e := &entry{name: path.Base(name), mode: fs.ModeDir, path: name}
	t.entries[name] = e
	if name != "." {
		t.folder(path.Dir(name)).add(e)
	}
	return e
}

func (e *entry) add(child *entry) { e.children = append(e.children, child.info(nil)) }

// find follows a name, and the symbolic links on the way, to an entry.
func (t *Tree) find(op, name string) (*entry, error) {
	absent := &fs.PathError{Op: op, Path: name, Err: fs.ErrNotExist}
	relative, inside := t.repository.Path(name)
	if !inside {
		return nil, absent
	}
	rest := strings.Split(relative, "/")
	at, links := ".", 0
	for len(rest) > 0 {
		next := path.Join(at, rest[0])
		rest = rest[1:]
		if next == ".." || strings.HasPrefix(next, "../") {
			return nil, absent
		}
		e, ok := t.entries[next]
		if !ok {
			t.reads.missing(next)
			return nil, absent
		}
		if e.mode&fs.ModeSymlink == 0 {
			at = next
			continue
		}
		if links++; links > 40 {
			return nil, &fs.PathError{Op: op, Path: name, Err: fmt.Errorf("too many symbolic links")}
		}
		t.followed.Store(true)
		t.reads.file(next)
		target, err := e.content()
		if err != nil {
			return nil, err
		}
		if path.IsAbs(string(target)) {
			return nil, absent
		}
		rest = append(strings.Split(string(target), "/"), rest...)
	}
	e := t.entries[at]
	if e.mode.IsDir() {
		t.reads.folder(at)
	} else {
		t.reads.file(at)
	}
	return e, nil
}

// Open opens a file.
func (t *Tree) Open(name string) (fs.File, error) {
	e, err := t.find("open", name)
	if err != nil {
		return nil, err
	}
	if e.mode.IsDir() {
		return nil, &fs.PathError{Op: "open", Path: name, Err: fmt.Errorf("is a folder")}
	}
	content, err := e.content()
	if err != nil {
		return nil, &fs.PathError{Op: "open", Path: name, Err: err}
	}
	return &file{Reader: bytes.NewReader(content), info: e.info(content)}, nil
}

// ReadDir lists a folder by name.
func (t *Tree) ReadDir(name string) ([]fs.DirEntry, error) {
	e, err := t.find("open", name)
	if err != nil {
		return nil, err
	}
	if !e.mode.IsDir() {
		return nil, &fs.PathError{Op: "open", Path: name, Err: fmt.Errorf("is not a folder")}
	}
	return e.children, nil
}

// Stat describes a file or folder, that behind a symbolic link.
func (t *Tree) Stat(name string) (fs.FileInfo, error) {
	e, err := t.find("stat", name)
	if err != nil {
		return nil, err
	}
	if e.mode.IsDir() {
		return e.info(nil), nil
	}
	content, err := e.content()
	info := e.info(content)
	if large := (schema.TooLargeError{}); errors.As(err, &large) {
		info.size, err = large.Size, nil
	}
	if err != nil {
		return nil, &fs.PathError{Op: "stat", Path: name, Err: err}
	}
	return info, nil
}

// file is an open file of a tree.
type file struct {
	*bytes.Reader
	info info
}

func (f *file) Stat() (fs.FileInfo, error) { return f.info, nil }
func (f *file) Close() error               { return nil }

var _ io.Reader = (*file)(nil)

// info describes an entry; it is a fs.FileInfo and a fs.DirEntry.
type info struct {
	name string
	mode fs.FileMode
	size int64
}

func (e *entry) info(content []byte) info { return info{e.name, e.mode, int64(len(content))} }

func (i info) Name() string               { return i.name }
func (i info) Size() int64                { return i.size }
func (i info) Mode() fs.FileMode          { return i.mode | 0o444 }
func (i info) ModTime() time.Time         { return time.Time{} }
func (i info) IsDir() bool                { return i.mode.IsDir() }
func (i info) Sys() any                   { return nil }
func (i info) Type() fs.FileMode          { return i.mode.Type() }
func (i info) Info() (fs.FileInfo, error) { return i, nil }
