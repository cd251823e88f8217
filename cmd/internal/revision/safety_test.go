package revision

import (
	"context"
	"errors"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// hostile are settings that name a program for git to start, each a line or two
// of a config file; MARK stands for a program that leaves a mark.
const hostile = `
[core]
	fsmonitor = MARK
	hooksPath = HOOKS
	sshCommand = MARK
	gitProxy = MARK
	askPass = MARK
	pager = MARK
	editor = MARK
	alternateRefsCommand = MARK
[credential]
	helper = MARK
[gpg]
	program = MARK
[log]
	showSignature = true
[diff]
	external = MARK
[diff "x"]
	textconv = MARK
	command = MARK
[filter "x"]
	smudge = MARK
	clean = MARK
	process = MARK
	required = true
[merge "x"]
	driver = MARK
[remote "origin"]
	uploadpack = MARK
	receivepack = MARK
	vcs = mark
[alias]
	cat-file = !MARK
	ls-tree = !MARK
	rev-parse = !MARK
	log = !MARK
[trailer "x"]
	command = MARK
	cmd = MARK
[uploadpack]
	packObjectsHook = MARK
`

// marks makes a program that leaves a mark however it is called, and returns the
// hostile settings with it, and the folder in which the marks would lie.
func marks(t *testing.T) (config, left string) {
	t.Helper()
	if runtime.GOOS == "windows" {
		t.Skip("the programs of this test are shell scripts")
	}
	dir := t.TempDir()
	left = filepath.Join(dir, "left")
	script := "#!/bin/sh\necho \"$0 $*\" >>\"" + left + "\"\ncat\n"
	for _, name := range []string{"mark", "hooks/post-index-change", "hooks/post-checkout", "hooks/reference-transaction", "git-remote-mark", "git-remote-ext"} {
		path := filepath.Join(dir, name)
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(script), 0o755); err != nil {
			t.Fatal(err)
		}
	}
	// Programs that git looks for by name would be found, too.
	t.Setenv("PATH", dir+string(filepath.ListSeparator)+os.Getenv("PATH"))
	return strings.NewReplacer("MARK", filepath.Join(dir, "mark"), "HOOKS", filepath.Join(dir, "hooks")).Replace(hostile), left
}

// everything asks of a repository all that this package can.
func everything(ctx context.Context, dir string) error {
	r, err := Open(ctx, dir)
	if err != nil {
		return err
	}
	var errs []error
	note := func(err error) { errs = append(errs, err) }
	var commits []string
	for _, name := range []string{"HEAD", "HEAD~1", "main...HEAD~1", "HEAD@{upstream}"} {
		hash, err := r.Commit(ctx, name)
		if err == nil {
			commits = append(commits, hash)
		}
		note(err)
	}
	for _, hash := range commits {
		tr, err := r.Tree(ctx, hash)
		if note(err); err != nil {
			continue
		}
		for name, e := range tr.entries {
			if !e.mode.IsDir() {
				_, err := tr.Open(filepath.Join(r.top, name))
				note(err)
			}
		}
		note(tr.Complete())
		_, err = tr.Filtered(ctx)
		note(err)
		_ = tr.Close()
		_, _ = r.CutOff(ctx, hash)
		_, err = r.Objects(ctx, []string{hash + ":cart.yaml", hash + ":"})
		note(err)
		_, err = r.Differences(ctx, []Pair{{commits[0], hash}})
		note(err)
	}
	_, err = r.Log(ctx, "HEAD", 0)
	note(err)
	_, err = r.Names(ctx)
	note(err)
	e, err := r.Elsewhere(ctx)
	note(errors.Join(err, e.Close()))
	return errors.Join(errs...)
}

// attacked is a repository with two commits, all files of which have hostile
// attributes.
func attacked(t *testing.T) (dir string, git func(args ...string) string) {
	dir, git = repository(t)
	git("init", "-q", "-b", "main")
	write(t, dir, map[string]string{".gitattributes": "* filter=x diff=x merge=x\n", "cart.yaml": "one\n", "fleet/van.yaml": "van\n"})
	git("add", "-A")
	git("commit", "-q", "-m", "One")
	write(t, dir, map[string]string{"cart.yaml": "two\n"})
	git("commit", "-q", "-a", "-m", "Two")
	return dir, git
}

// configure adds settings to those of a repository, and returns what takes them away.
func configure(t *testing.T, dir, config string) (restore func()) {
	t.Helper()
	file := filepath.Join(dir, ".git", "config")
	own, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	put := func(content []byte) {
		t.Helper()
		if err := os.WriteFile(file, content, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	put(append(own[:len(own):len(own)], config...))
	return func() { put(own) }
}

// unmarked fails the test where a program was started.
func unmarked(t *testing.T, left string) {
	t.Helper()
	if text, err := os.ReadFile(left); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("a program of the settings was run: %v\n%s", err, text)
	}
}

// TestSettingsRunNothing reads a repository whose own settings name programs
// wherever git knows of one.
func TestSettingsRunNothing(t *testing.T) {
	dir, _ := attacked(t)
	config, left := marks(t)
	configure(t, dir, config)
	for _, folder := range []string{dir, filepath.Join(dir, "fleet")} {
		if err := everything(t.Context(), folder); err == nil || !strings.Contains(err.Error(), "no revision \"HEAD@{upstream}\"") || strings.Contains(err.Error(), "\n") {
			t.Errorf("all but the branch upstream can be read: error %v", err)
		}
		unmarked(t, left)
	}
	// The test can fail: git alone runs them.
	status := exec.Command("git", "-C", dir, "status")
	_ = status.Run() // the marks get in its way
	if _, err := os.Stat(left); err != nil {
		t.Error("the settings are not hostile")
	}
}

// plant makes tracked files of a folder pose as a bare repository whose objects
// are those of the real one.
func plant(t *testing.T, dir, config string) {
	t.Helper()
	objects, err := filepath.Abs(filepath.Join(dir, "..", ".git", "objects"))
	if err != nil {
		t.Fatal(err)
	}
	head, err := os.ReadFile(filepath.Join(dir, "..", ".git", "refs", "heads", "main"))
	if err != nil {
		t.Fatal(err)
	}
	write(t, dir, map[string]string{
		"HEAD": "ref: refs/heads/main\n", "refs/heads/main": string(head), "objects/info/alternates": objects + "\n",
		"info/attributes": "* filter=x\n", "config": "[core]\n\trepositoryformatversion = 0\n\tbare = true\n" + config,
	})
}

// TestPlantedRepository stands in a folder whose tracked files pose as a bare
// repository, and below it.
func TestPlantedRepository(t *testing.T) {
	dir, _ := attacked(t)
	config, left := marks(t)
	fleet := filepath.Join(dir, "fleet")
	plant(t, fleet, config)
	write(t, fleet, map[string]string{"deep/er/x.yaml": "x\n"})
	for _, folder := range []string{fleet, filepath.Join(fleet, "deep", "er")} {
		err := everything(t.Context(), folder)
		if err == nil || !strings.Contains(err.Error(), "look like a bare git repository inside the repository of "+filepath.ToSlash(dir)) {
			t.Errorf("in %s: error %v", folder, err)
		}
		unmarked(t, left)
	}
	if err := everything(t.Context(), dir); err != nil && strings.Contains(err.Error(), "bare") {
		t.Errorf("beside it: %v", err)
	}
	// Its other form names the folder of its objects elsewhere.
	for _, name := range []string{"objects", "refs"} {
		if err := os.RemoveAll(filepath.Join(fleet, name)); err != nil {
			t.Fatal(err)
		}
	}
	write(t, fleet, map[string]string{"commondir": "../.git\n"})
	if _, err := Open(t.Context(), fleet); err == nil || !strings.Contains(err.Error(), "look like a bare git repository") {
		t.Errorf("with a commondir: error %v", err)
	}
	unmarked(t, left)
}

// TestPlantedWithoutRepository has no repository around: files from an archive.
// Their history may be looked at, but nothing is compared with it.
func TestPlantedWithoutRepository(t *testing.T) {
	real, _ := attacked(t)
	config, left := marks(t)
	plant(t, filepath.Join(real, "fleet"), config)
	dir := t.TempDir()
	if err := os.CopyFS(dir, os.DirFS(filepath.Join(real, "fleet"))); err != nil {
		t.Fatal(err)
	}
	_ = everything(t.Context(), dir)
	unmarked(t, left)
	r, err := Open(t.Context(), dir)
	if err != nil {
		t.Fatal(err)
	}
	if r.HasWorkTree() {
		t.Error("a bare repository that nobody named has a work tree")
	}
}

// TestNamedRepository names the repository by GIT_DIR, with and without a work
// tree of its own.
func TestNamedRepository(t *testing.T) {
	dir, git := history(t)
	bare := filepath.Join(t.TempDir(), "bare.git")
	git("clone", "-q", "--bare", ".", bare)
	elsewhere := t.TempDir()
	write(t, elsewhere, map[string]string{"cart/cart.yaml": "here\n"})
	for _, test := range []struct{ name, gitDir, workTree string }{
		{"of another folder", filepath.Join(dir, ".git"), elsewhere},
		{"bare", bare, ""},
		{"bare with a work tree", bare, elsewhere},
	} {
		t.Run(test.name, func(t *testing.T) {
			t.Setenv("GIT_DIR", test.gitDir)
			if test.workTree != "" {
				t.Setenv("GIT_WORK_TREE", test.workTree)
			}
			if got := read(t, tree(t, elsewhere, "main~1"), "cart/cart.yaml"); got != "first\n" {
				t.Errorf("read %q", got)
			}
			r, err := Open(t.Context(), elsewhere)
			if err != nil || !r.HasWorkTree() {
				t.Errorf("it has no work tree: %v", err)
			}
		})
	}
}

// TestPartialClone reads a clone that lacks the content of files, with a remote
// that would run a program to fetch it.
func TestPartialClone(t *testing.T) {
	config, left := marks(t)
	dir, git := history(t)
	git("config", "uploadpack.allowFilter", "true")
	for _, filter := range []string{"blob:none", "tree:0"} {
		t.Run(filter, func(t *testing.T) {
			clone := filepath.Join(t.TempDir(), "clone")
			git("clone", "-q", "--filter="+filter, "file://"+dir, clone)
			restore := configure(t, clone, config)
			if got := read(t, tree(t, clone, "HEAD"), "cart/cart.yaml"); got != "second\n" {
				t.Errorf("what was checked out is %q", got)
			}
			err := everything(t.Context(), clone)
			if err == nil || !strings.Contains(err.Error(), "not in this partial clone, and nothing is fetched here; "+refetch) {
				t.Errorf("error %v", err)
			}
			unmarked(t, left)
			// What the error says helps.
			restore()
			at(t, clone)("-c", "gc.auto=0", "-c", "maintenance.auto=false", "fetch", "-q", "--refetch", "--no-filter")
			if got := read(t, tree(t, clone, "HEAD~1"), "cart/cart.yaml"); got != "first\n" {
				t.Errorf("after the fetch it is %q", got)
			}
		})
	}
}

// TestElsewhere asks for what git tracks and keeps out of the work tree.
func TestElsewhere(t *testing.T) {
	dir, git := history(t)
	inner, innerGit := repository(t)
	innerGit("init", "-q")
	innerGit("commit", "-q", "--allow-empty", "-m", "Inner")
	git("-c", "protocol.file.allow=always", "submodule", "--quiet", "add", "file://"+inner, "van/parts")
	git("sparse-checkout", "set", "--no-cone", "/*", "!/cart/")
	r, err := Open(t.Context(), filepath.Join(dir, "van"))
	if err != nil {
		t.Fatal(err)
	}
	e, err := r.Elsewhere(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	defer e.Close() //nolint:errcheck // what was read is read
	got := map[string]string{}
	for _, name := range []string{"top.yaml", "cart/cart.yaml", "van/parts/x.cue", "van/van.yaml", "none"} {
		got[name], _ = e.Why(name)
	}
	want := map[string]string{"top.yaml": "", "cart/cart.yaml": "a sparse checkout leaves it out", "van/parts/x.cue": "it is in the submodule van/parts now, a repository of its own", "van/van.yaml": "", "none": ""}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
	content, err := e.Read(t.Context(), "cart/cart.yaml")
	if diff := cmp.Diff([]string{"cart/cart.yaml"}, e.Sparse()); diff != "" || err != nil || string(content) != "second\n" {
		t.Errorf("%s%v, %q", diff, err, content)
	}
}
