package revision

import (
	"context"
	"crypto/sha1" //nolint:gosec // it is git's
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"hash"
	"io"
	"maps"
	"path"
	"slices"
	"strings"
)

// Elsewhere is what git tracks and keeps out of the work tree, by its path from
// the root.
type Elsewhere struct {
	objects    *objects
	submodules map[string]bool   // folders whose files are another repository's
	sparse     map[string]string // files that a sparse checkout leaves out, with the hashes of their contents
}

// Elsewhere asks git's index. Close it after use.
func (r *Repository) Elsewhere(ctx context.Context) (Elsewhere, error) {
	e := Elsewhere{&objects{repository: r}, map[string]bool{}, map[string]string{}}
	if r.bare {
		return e, nil
	}
	at := *r
	at.dir = r.top // of the whole tree
	out, err := at.slowly(ctx, "ls-files", "-z", "-t", "--stage")
	if err != nil {
		return e, fmt.Errorf("git cannot list its index: %w", err)
	}
	// Records read "H 100644 HASH 0<tab>path"; S stands for skip-worktree.
	for record := range strings.SplitSeq(string(out), "\x00") {
		head, name, _ := strings.Cut(record, "\t")
		fields := strings.Fields(head)
		switch {
		case len(fields) < 3:
		case fields[1] == "160000":
			e.submodules[name] = true
		case fields[0] == "S":
			e.sparse[name] = fields[2]
		}
	}
	return e, nil
}

// Files lists the files of the work tree that git tracks or would offer to track,
// by their paths from the root. Some may be gone.
func (r *Repository) Files(ctx context.Context) ([]string, error) {
	at := *r
	at.dir = r.top // of the whole tree
	out, err := at.slowly(ctx, "ls-files", "-z", "--cached", "--others", "--exclude-standard")
	if err != nil {
		return nil, fmt.Errorf("git cannot list the work tree: %w", err)
	}
	files := strings.Split(string(out), "\x00")
	// A repository in the work tree, such as a work tree of another branch, is a
	// name with a slash at its end.
	files = slices.DeleteFunc(files, func(name string) bool { return name == "" || strings.HasSuffix(name, "/") })
	slices.Sort(files)
	return slices.Compact(files), nil
}

// HashOf is the hash that git gives to a file's content, of the same kind as
// another hash: SHA-1, or SHA-256 where that is longer.
func HashOf(r io.Reader, size int64, like string) (string, error) {
	var h hash.Hash = sha1.New() //nolint:gosec // it is git's
	if len(like) > hex.EncodedLen(sha1.Size) {
		h = sha256.New()
	}
	fmt.Fprintf(h, "blob %d\x00", size)
	if _, err := io.Copy(h, r); err != nil {
		return "", err
	}
	return hex.EncodeToString(h.Sum(nil)), nil
}

// Why says why a path from the root is not in the work tree though git tracks
// it or its folder, and what to do about it; "" if that is not so.
func (e Elsewhere) Why(file string) (why, remedy string) {
	if e.sparse[file] != "" {
		return "a sparse checkout leaves it out", "add its folder to the checkout, or check only the folders that are in it"
	}
	for name := file; name != "."; name = path.Dir(name) {
		if e.submodules[name] {
			return "it is in the submodule " + name + " now, a repository of its own", "run the check there"
		}
	}
	return "", ""
}

// Sparse lists the files that a sparse checkout leaves out, in order.
func (e Elsewhere) Sparse() []string { return slices.Sorted(maps.Keys(e.sparse)) }

// Read returns the content of such a file.
func (e Elsewhere) Read(ctx context.Context, file string) ([]byte, error) {
	return e.objects.read(ctx, e.sparse[file])
}

// Close ends the reading of objects.
func (e Elsewhere) Close() error { return e.objects.close() }
