package revision

import (
	"context"
	"io"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// repository makes a git repository for a test and returns its folder and a
// function that runs git in it.
func repository(t *testing.T) (dir string, git func(args ...string) string) {
	t.Helper()
	dir = t.TempDir()
	return dir, at(t, dir)
}

func at(t *testing.T, dir string) func(args ...string) string {
	return func(args ...string) string {
		t.Helper()
		cmd := exec.Command("git", args...)
		cmd.Dir = dir
		cmd.Env = append(os.Environ(), "GIT_CONFIG_GLOBAL="+os.DevNull, "GIT_CONFIG_SYSTEM="+os.DevNull,
			"GIT_AUTHOR_NAME=workshop", "GIT_AUTHOR_EMAIL=workshop@example.org", "GIT_COMMITTER_NAME=workshop", "GIT_COMMITTER_EMAIL=workshop@example.org",
			"GIT_AUTHOR_DATE=2026-03-01T08:00:00Z", "GIT_COMMITTER_DATE=2026-03-01T08:00:00Z")
		out, err := cmd.CombinedOutput()
		if err != nil {
			t.Fatalf("git %s: %v\n%s", strings.Join(args, " "), err, out)
		}
		return strings.TrimSpace(string(out))
	}
}

func write(t *testing.T, dir string, files map[string]string) {
	t.Helper()
	for name, content := range files {
		path := filepath.Join(dir, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(content), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

func tree(t *testing.T, dir, revision string) *Tree {
	t.Helper()
	r, err := Open(context.WithoutCancel(t.Context()), dir)
	if err != nil {
		t.Fatal(err)
	}
	commit, err := r.Commit(context.WithoutCancel(t.Context()), revision)
	if err != nil {
		t.Fatal(err)
	}
	tr, err := r.Tree(context.WithoutCancel(t.Context()), commit)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := tr.Close(); err != nil {
			t.Error(err)
		}
	})
	return tr
}

func read(t *testing.T, tr *Tree, name string) string {
	t.Helper()
	f, err := tr.Open(name)
	if err != nil {
		t.Fatal(err)
	}
	content, err := io.ReadAll(f)
	if err != nil {
		t.Fatal(err)
	}
	return string(content)
}

// history has two commits, odd names, a folder, a symbolic link and a filter.
func history(t *testing.T) (dir string, git func(args ...string) string) {
	dir, git = repository(t)
	git("init", "-q", "-b", "main")
	write(t, dir, map[string]string{"cart/cart.yaml": "first\n", "Gerät 1/späte teile.cue": "umlaut\n", "top.yaml": "old\n"})
	if err := os.Symlink("cart/cart.yaml", filepath.Join(dir, "link.yaml")); err != nil {
		t.Fatal(err)
	}
	git("add", "-A")
	git("commit", "-q", "-m", "First: \"quoted\" and $(odd)")
	write(t, dir, map[string]string{"cart/cart.yaml": "second\n", "van/van.yaml": "van\n", "top.yaml": "new\n"})
	git("add", "-A")
	git("commit", "-q", "-m", "Second")
	return dir, git
}

func TestTree(t *testing.T) {
	dir, git := history(t)
	write(t, dir, map[string]string{"cart/cart.yaml": "uncommitted\n"})
	old, now := tree(t, dir, "HEAD~1"), tree(t, dir, "main")
	for _, test := range []struct {
		tree       *Tree
		name, want string
	}{
		{old, filepath.Join(dir, "cart", "cart.yaml"), "first\n"},
		{now, filepath.Join(dir, "cart", "cart.yaml"), "second\n"},
		{now, "cart/cart.yaml", "second\n"},
		{old, "Gerät 1/späte teile.cue", "umlaut\n"},
		{old, "link.yaml", "first\n"},
		{now, "./cart/../top.yaml", "new\n"},
	} {
		if got := read(t, test.tree, test.name); got != test.want {
			t.Errorf("%s at %s is %q, want %q", test.name, test.tree.Commit[:7], got, test.want)
		}
	}
	if _, err := old.Stat("van"); !os.IsNotExist(err) {
		t.Errorf("van is not in the first commit: %v", err)
	}
	for _, name := range []string{"../outside", "cart/none.yaml", "/etc/passwd"} {
		if _, err := now.Open(name); !os.IsNotExist(err) {
			t.Errorf("%s: %v, want it not to exist", name, err)
		}
	}
	entries, err := now.ReadDir(".")
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, e := range entries {
		names = append(names, e.Name()+"/"[:map[bool]int{true: 1}[e.IsDir()]])
	}
	if diff := cmp.Diff([]string{"Gerät 1/", "cart/", "link.yaml", "top.yaml", "van/"}, names); diff != "" {
		t.Error(diff)
	}
	if info, err := now.Stat("top.yaml"); err != nil || info.Size() != 4 || info.IsDir() || !info.Mode().IsRegular() {
		t.Errorf("top.yaml: %v, %v", info, err)
	}
	if status := git("status", "--porcelain"); status != "M cart/cart.yaml" {
		t.Errorf("reading left %q behind", status)
	}
}

// TestTreeFromElsewhere reads from a sub-folder, a bare clone, a work tree of
// its own and through a symbolic link to the repository.
func TestTreeFromElsewhere(t *testing.T) {
	dir, git := history(t)
	if got := read(t, tree(t, filepath.Join(dir, "cart"), "HEAD~1"), "cart.yaml"); got != "first\n" {
		t.Errorf("from a sub-folder: %q", got)
	}
	if got := read(t, tree(t, filepath.Join(dir, "van"), "HEAD~1"), "../top.yaml"); got != "old\n" {
		t.Errorf("from a sub-folder that the revision does not have: %q", got)
	}
	bare := filepath.Join(t.TempDir(), "bare.git")
	git("clone", "-q", "--bare", ".", bare)
	if got := read(t, tree(t, bare, "main~1"), "cart/cart.yaml"); got != "first\n" {
		t.Errorf("from a bare repository: %q", got)
	}
	linked := filepath.Join(t.TempDir(), "work tree")
	git("worktree", "add", "-q", linked, "HEAD~1")
	if got := read(t, tree(t, linked, "main"), "top.yaml"); got != "new\n" {
		t.Errorf("from another work tree: %q", got)
	}
	link := filepath.Join(t.TempDir(), "link")
	if err := os.Symlink(dir, link); err != nil {
		t.Fatal(err)
	}
	if got := read(t, tree(t, link, "HEAD~1"), filepath.Join(link, "top.yaml")); got != "old\n" {
		t.Errorf("through a link: %q", got)
	}
}

// TestFilters reads files that attributes say something of: as they are stored.
// Where a work tree would hold what a program makes of them, that is told.
func TestFilters(t *testing.T) {
	dir, git := repository(t)
	git("init", "-q")
	git("config", "filter.shout.smudge", "tr a-z A-Z")
	write(t, dir, map[string]string{
		".gitattributes": "*.cue filter=shout\n*.yaml eol=crlf\n*.json filter=unknown\nwide.yml working-tree-encoding=UTF-16LE-BOM\n",
		"a.yaml":         "plain\n", "b.cue": "loud\n", "c.json": "{}\n", "sub/d.cue": "loud\n",
		"wide.yml": "\xff\xfew\x00\n\x00",
	})
	git("add", "-A")
	git("commit", "-q", "-m", "Filters")
	tr := tree(t, dir, "HEAD")
	for name, want := range map[string]string{"a.yaml": "plain\n", "c.json": "{}\n", "wide.yml": "w\n", "b.cue": "loud\n"} {
		if got := read(t, tr, name); got != want {
			t.Errorf("%s is %q, want %q", name, got, want)
		}
	}
	if err := tr.Complete(); err != nil {
		t.Error(err)
	}
	got, err := tr.Filtered(t.Context())
	if diff := cmp.Diff(map[string]string{"b.cue": "shout"}, got); err != nil || diff != "" {
		t.Errorf("filtered (-want +got): %v\n%s", err, diff)
	}
}

func TestCommit(t *testing.T) {
	dir, git := history(t)
	first, second := git("rev-parse", "HEAD~1"), git("rev-parse", "HEAD")
	git("checkout", "-q", "-b", "side", "HEAD~1")
	write(t, dir, map[string]string{"side.yaml": "side\n"})
	git("add", "-A")
	git("commit", "-q", "-m", "Side")
	git("checkout", "-q", "--orphan", "island")
	git("commit", "-q", "-m", "Island")
	git("checkout", "-q", "main")
	shallow := filepath.Join(t.TempDir(), "shallow")
	git("clone", "-q", "--depth=1", "file://"+dir, shallow)
	for _, test := range []struct{ dir, revision, want, err string }{
		{dir, "HEAD~1", first, ""},
		{dir, "main...side", first, ""},
		{dir, "...side", first, ""},
		{dir, second[:9], second, ""},
		{dir, "main..side", "", `"main..side" is a range; give one revision, or A...B for where A and B parted`},
		{dir, "main...island", "", "main and island have no commit in common"},
		{dir, "nowhere", "", `there is no revision "nowhere"; it may be a branch, a tag or a commit that this clone has`},
		{dir, "origin/main", "", `there is no revision "origin/main"; fetch it first: "git fetch origin main"`},
		{dir, "--all", "", `there is no revision "--all"; it may be a branch, a tag or a commit that this clone has`},
		{dir, "HEAD:cart", "", `there is no revision "HEAD:cart"; it may be a branch, a tag or a commit that this clone has`},
		{shallow, "HEAD~1", "", `the revision "HEAD~1" is not in this shallow clone; ` + deepen},
	} {
		t.Run(test.revision, func(t *testing.T) {
			r, err := Open(t.Context(), test.dir)
			if err != nil {
				t.Fatal(err)
			}
			got, err := r.Commit(t.Context(), test.revision)
			message := ""
			if err != nil {
				message = err.Error()
			}
			if got != test.want || message != test.err {
				t.Errorf("%q, error %q; want %q, error %q", got, message, test.want, test.err)
			}
		})
	}
}

func TestLog(t *testing.T) {
	dir, git := history(t)
	r, err := Open(t.Context(), dir)
	if err != nil {
		t.Fatal(err)
	}
	got, err := r.Log(t.Context(), "HEAD", 0)
	if err != nil {
		t.Fatal(err)
	}
	want := []Entry{
		{git("rev-parse", "HEAD"), git("rev-parse", "HEAD^{tree}"), "2026-03-01", "Second"},
		{git("rev-parse", "HEAD~1"), git("rev-parse", "HEAD~1^{tree}"), "2026-03-01", `First: "quoted" and $(odd)`},
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
	if got, err = r.Log(t.Context(), "HEAD", 1); err != nil || len(got) != 1 {
		t.Errorf("%d commits within a limit of 1: %v", len(got), err)
	}
}

func TestNoRepository(t *testing.T) {
	t.Setenv("GIT_CEILING_DIRECTORIES", os.TempDir())
	_, err := Open(context.Background(), t.TempDir())
	if err == nil || !strings.Contains(err.Error(), "is not in a git repository") {
		t.Errorf("error %v", err)
	}
	t.Setenv("PATH", "")
	if _, err = Open(context.Background(), t.TempDir()); err == nil || !strings.Contains(err.Error(), "there is no program git") {
		t.Errorf("error %v", err)
	}
}

var _ fs.FileInfo = info{}
