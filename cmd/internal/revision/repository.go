// Package revision reads files as they were at a revision of a git repository,
// from git's own objects: nothing is checked out and nothing is written. It
// talks to the git program, so that what git knows (shallow clones, work trees,
// bare repositories, attributes) is known here.
package revision

import (
	"bytes"
	"cmp"
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"

	"example.org/headroom/schema"
)

// Repository is a git repository as seen from one folder.
type Repository struct {
	dir  string // the folder from which git is called
	top  string // absolute path that stands for the root of the tree
	bare bool   // without a work tree

	program          program
	bareRepositories string // value of safe.bareRepository
}

// Open finds the repository that a folder lies in.
func Open(ctx context.Context, dir string) (*Repository, error) {
	absolute, err := filepath.Abs(dir)
	if err != nil {
		return nil, err
	}
	// Git goes by where the folder is, whatever links lead there.
	if real, err := filepath.EvalSymlinks(absolute); err == nil {
		absolute = real
	}
	git, err := findGit(ctx)
	if err != nil {
		return nil, errors.New("git is needed to read a revision, and there is no program git on the search path")
	}
	r := &Repository{dir: absolute, top: absolute, program: git, bareRepositories: "explicit"}
	switch {
	case os.Getenv("GIT_DIR") != "": // it is named, and nothing is searched for
	case slices.Contains(strings.Split(filepath.ToSlash(absolute), "/"), ".git"):
		r.bareRepositories = "all" // no tracked file lies in a folder of that name
	default:
		if inside, outer := bareAround(absolute); outer != "" {
			return nil, fmt.Errorf("the files of %s look like a bare git repository inside the repository of %s: what it says of the past is not what that repository says; "+
				"work from another folder, or name it with GIT_DIR if it is meant", filepath.ToSlash(inside), filepath.ToSlash(outer))
		} else if inside != "" {
			r.bareRepositories = "all"
		}
	}
	bare, err := r.line(ctx, "rev-parse", "--is-bare-repository")
	if err != nil {
		return nil, fmt.Errorf("%s is not in a git repository: %w", filepath.ToSlash(dir), err)
	}
	if err := r.plainIndex(ctx); err != nil {
		return nil, fmt.Errorf("%s: %w", filepath.ToSlash(dir), err)
	}
	if r.bare = bare == "true"; r.bare {
		return r, nil
	}
	up, err := r.line(ctx, "rev-parse", "--show-cdup")
	if err != nil {
		return nil, fmt.Errorf("%s has no work tree: %w", filepath.ToSlash(dir), err)
	}
	if up = filepath.FromSlash(up); !filepath.IsAbs(up) { // it is, where the work tree is elsewhere
		up = filepath.Join(absolute, up)
	}
	r.top = up
	if _, inside := schema.PathWithin(up, absolute); !inside && os.Getenv("GIT_DIR") == "" && os.Getenv("GIT_WORK_TREE") == "" {
		return nil, fmt.Errorf("the settings of the repository of %s say that its work tree is %s; work there, or name both with GIT_DIR and GIT_WORK_TREE", filepath.ToSlash(dir), filepath.ToSlash(up))
	}
	return r, nil
}

// plainIndex is an error if the index, which git may read for long before it says
// anything, is none of data. What it reads before that it is not waited for.
func (r *Repository) plainIndex(ctx context.Context) error {
	index, err := r.line(ctx, "rev-parse", "--git-path", "index")
	if err != nil {
		return err
	}
	if !filepath.IsAbs(index) {
		index = filepath.Join(r.dir, index)
	}
	if info, err := os.Stat(index); err == nil && !info.Mode().IsRegular() {
		return fmt.Errorf("git's index %s is a pipe, a device or a folder, not a file", filepath.ToSlash(index))
	}
	return nil
}

// bareAround finds the bare repository that git would take a folder to lie in,
// and the work tree around that one: tracked files can pose as a repository,
// settings that name programs included, and only what lies around them tells.
// Both are "" if there is none.
func bareAround(folder string) (inside, outer string) {
	if real, err := filepath.EvalSymlinks(folder); err == nil {
		folder = real
	}
	exists := func(elements ...string) bool {
		_, err := os.Lstat(filepath.Join(elements...))
		return err == nil
	}
	for {
		switch {
		case exists(folder, ".git"):
			if inside != "" {
				outer = folder
			}
			return inside, outer
		case inside == "" && filepath.Base(folder) != ".git" && exists(folder, "HEAD") &&
			(exists(folder, "commondir") || exists(folder, "objects") && exists(folder, "refs")):
			inside = folder
		}
		parent := filepath.Dir(folder)
		if parent == folder {
			return inside, ""
		}
		folder = parent
	}
}

// Bare reports whether git knows of no work tree.
func (r *Repository) Bare() bool { return r.bare }

// HasWorkTree reports whether the repository has files of its own to compare a
// revision with, or was named as the one to compare with by whoever called.
func (r *Repository) HasWorkTree() bool { return !r.bare || os.Getenv("GIT_DIR") != "" }

// Commit returns the full hash of the commit that a revision names; "A...B"
// names their merge base. The error of a revision that is not there says what
// to do about it.
func (r *Repository) Commit(ctx context.Context, revision string) (string, error) {
	if a, b, ok := strings.Cut(revision, "..."); ok {
		return r.mergeBase(ctx, a, b)
	}
	if strings.Contains(revision, "..") {
		return "", fmt.Errorf("%q is a range; give one revision, or A...B for where A and B parted", revision)
	}
	hash, err := r.line(ctx, "rev-parse", "--verify", "--quiet", "--end-of-options", revision+"^{commit}")
	if silent := (silentError{}); errors.As(err, &silent) {
		return "", err
	} else if err != nil || hash == "" {
		return "", r.absent(ctx, revision)
	}
	return hash, nil
}

func (r *Repository) mergeBase(ctx context.Context, a, b string) (string, error) {
	a, b = cmp.Or(a, "HEAD"), cmp.Or(b, "HEAD")
	var hashes []string
	for _, name := range []string{a, b} {
		hash, err := r.Commit(ctx, name)
		if err != nil {
			return "", err
		}
		hashes = append(hashes, hash)
	}
	out, err := r.slowly(ctx, "merge-base", hashes[0], hashes[1])
	base := strings.TrimRight(string(out), "\r\n")
	if silent := (silentError{}); errors.As(err, &silent) {
		return "", err
	} else if err == nil && base != "" {
		return base, nil
	}
	if r.shallow(ctx) {
		return "", fmt.Errorf("where %s and %s parted is not in this shallow clone; %s", a, b, deepen)
	}
	return "", fmt.Errorf("%s and %s have no commit in common", a, b)
}

const deepen = "fetch the history: \"git fetch --unshallow\", or fetch-depth: 0 in the workflow's checkout step"

var fullHash = regexp.MustCompile(`^(?:[0-9a-f]{40}|[0-9a-f]{64})$`)

// absent says why a revision cannot be read.
func (r *Repository) absent(ctx context.Context, revision string) error {
	switch {
	case r.shallow(ctx):
		return fmt.Errorf("the revision %q is not in this shallow clone; %s", revision, deepen)
	case r.partial(ctx) && fullHash.MatchString(revision):
		return fmt.Errorf("the revision %q is not in this partial clone; fetch it first: \"git fetch origin %s\"", revision, revision)
	case strings.HasPrefix(revision, "origin/"):
		return fmt.Errorf("there is no revision %q; fetch it first: \"git fetch origin %s\"", revision, strings.TrimPrefix(revision, "origin/"))
	}
	return fmt.Errorf("there is no revision %q; it may be a branch, a tag or a commit that this clone has", revision)
}

func (r *Repository) shallow(ctx context.Context) bool {
	answer, err := r.line(ctx, "rev-parse", "--is-shallow-repository")
	return err == nil && answer == "true"
}

// Entry is one commit of a history.
type Entry struct {
	Hash    string
	Tree    string // hash of its tree: equal trees hold equal files
	Date    string // of the author, as 2026-03-14
	Subject string // first line of the message
}

// Log lists the commits that led to a revision along its first parents, newest
// first, at most limit of them; 0 stands for all.
func (r *Repository) Log(ctx context.Context, revision string, limit int) ([]Entry, error) {
	// What the user's settings would add to or change about the lines is set here.
	args := []string{"log", "--first-parent", "-z", "--encoding=UTF-8", "--no-show-signature", "--no-ext-diff", "--no-textconv", "--no-color", "--date=format:%Y-%m-%d", "--format=%H%n%T%n%ad%n%s"}
	if limit > 0 {
		args = append(args, fmt.Sprintf("--max-count=%d", limit))
	}
	out, err := r.git(ctx, append(args, "--end-of-options", revision)...)
	if err != nil {
		return nil, err
	}
	var entries []Entry
	for record := range strings.SplitSeq(strings.TrimRight(string(out), "\x00"), "\x00") {
		if fields := strings.SplitN(record, "\n", 4); len(fields) == 4 {
			entries = append(entries, Entry{fields[0], fields[1], fields[2], strings.TrimSpace(fields[3])})
		}
	}
	return entries, nil
}

// CutOff reports whether a commit has parents that a shallow clone lacks, and
// says then how to fetch them.
func (r *Repository) CutOff(ctx context.Context, commit string) (remedy string, cut bool) {
	if !r.shallow(ctx) {
		return "", false
	}
	// The stored commit names its parents, whatever the clone makes of it.
	raw, err := r.git(ctx, "cat-file", "commit", commit)
	head, _, _ := bytes.Cut(raw, []byte("\n\n"))
	return deepen, err == nil && bytes.Contains(head, []byte("\nparent "))
}

// Path is the path of a file or folder from the root of the tree,
// slash-separated, "." for the root. It is not known of what lies outside of the
// repository.
func (r *Repository) Path(name string) (path string, inside bool) {
	if !filepath.IsAbs(name) {
		name = filepath.Join(r.dir, name)
	}
	return schema.PathWithin(r.top, name)
}

// Top is the folder that stands for the root of the tree.
func (r *Repository) Top() string { return r.top }

// Object is what a name stands for.
type Object struct {
	Hash string // "" where there is nothing
	Kind string // "tree" for a folder, "blob" for a file
}

// Objects looks up many names such as COMMIT:PATH at once. Names hold no line
// breaks; symbolic links are not followed.
func (r *Repository) Objects(ctx context.Context, names []string) ([]Object, error) {
	out, err := r.ask(ctx, strings.Join(names, "\n")+"\n", "cat-file", "--batch-check=%(objectname) %(objecttype)")
	if err != nil {
		return nil, fmt.Errorf("git cannot look up objects: %w", r.withoutFetch(ctx, err))
	}
	lines := strings.Split(strings.TrimSuffix(string(out), "\n"), "\n")
	if len(lines) != len(names) {
		return nil, fmt.Errorf("git answered %d of %d questions", len(lines), len(names))
	}
	found := make([]Object, len(names))
	for i, line := range lines {
		// What is not there is answered by its name and "missing".
		if hash, kind, ok := strings.Cut(line, " "); ok && (kind == "tree" || kind == "blob") && line != names[i]+" missing" {
			found[i] = Object{hash, kind}
		}
	}
	return found, nil
}
