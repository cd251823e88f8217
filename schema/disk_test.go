package schema_test

import (
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"example.org/headroom/schema"
)

// TestWithin opens names of a folder through links of every kind.
func TestWithin(t *testing.T) {
	dir := write(t, map[string]string{
		"root/a.yaml": "a", "root/sub/b.yaml": "b", "root/.git/config": "token", "outside/secret.yaml": "secret", "rooted/c.yaml": "c",
	})
	for link, target := range map[string]string{
		"root/in.yaml": "sub/b.yaml", "root/absolute.yaml": filepath.Join(dir, "root", "a.yaml"), "root/back.yaml": "../root/a.yaml",
		"root/out.yaml": "../outside/secret.yaml", "root/far.yaml": "/etc/passwd", "root/folder": "../outside", "root/sub/up": "..",
		"root/device.yaml": os.DevNull, "root/broken.yaml": "nowhere", "root/loop.yaml": "loop.yaml", "root/near.yaml": "../rooted/c.yaml",
		"root/git.yaml": ".git/config", "root/two.yaml": "out.yaml", "door": "root",
	} {
		if err := os.Symlink(target, filepath.Join(dir, filepath.FromSlash(link))); err != nil {
			skipWithoutLinks(t, err)
		}
	}
	t.Chdir(filepath.Join(dir, "root"))
	root := schema.RootOf(".")
	d := schema.Within(root)
	const out = "it is a link out of the repository or the named folder, and only files inside are read"
	for name, want := range map[string]string{
		"a.yaml": "a", "./sub/../a.yaml": "a", "sub/b.yaml": "b", "in.yaml": "b", "absolute.yaml": "a", "back.yaml": "a", "sub/up/a.yaml": "a",
		filepath.Join(dir, "root", "a.yaml"): "a", filepath.Join(dir, "door", "in.yaml"): "b",
		"out.yaml": out, "far.yaml": out, "folder/secret.yaml": out, "device.yaml": out, "two.yaml": out, "near.yaml": out,
		filepath.Join(dir, "door", "out.yaml"): out,
		"git.yaml":                             "it leads to git's own files, which are not read", ".git/config": "it leads to git's own files, which are not read",
		"broken.yaml": "absent", "none.yaml": "absent", "none/x.yaml": "absent", "../outside/secret.yaml": "absent", "../rooted/c.yaml": "absent", filepath.Join(dir, "outside", "secret.yaml"): "absent",
		"a.yaml/x": "not a directory",
	} {
		got := ""
		if f, err := d.Open(name); err == nil {
			content, _ := io.ReadAll(f)
			got = string(content)
			_ = f.Close()
		} else if got = err.Error(); errors.Is(err, fs.ErrNotExist) {
			got = "absent"
		} else if errors.As(err, new(*fs.PathError)) {
			var p *fs.PathError
			errors.As(err, &p)
			got = p.Err.Error()
		}
		if got != want {
			t.Errorf("%s: %q, want %q", name, got, want)
		}
		if _, err := d.Stat(name); (err == nil) != (len(want) == 1) {
			t.Errorf("%s: described with error %v", name, err)
		}
	}
	if _, err := d.Open("loop.yaml"); err == nil {
		t.Error("a link to itself can be opened")
	}
	entries, err := d.ReadDir("sub")
	if err != nil || len(entries) != 2 || entries[0].Name() != "b.yaml" {
		t.Errorf("%v, %v", entries, err)
	}
	if _, err := d.ReadDir("folder"); err == nil || !strings.Contains(err.Error(), out) {
		t.Errorf("a folder outside is listed: %v", err)
	}
}

// TestRootOf finds the folder that the files of a path may come from.
func TestRootOf(t *testing.T) {
	dir := write(t, map[string]string{
		"repository/.git/HEAD": "", "repository/fleet/cart/x.cue": "", "repository/fleet/cue.mod/module.cue": "", "module/cue.mod/module.cue": "", "module/van/van.cue": "",
		"plain/cart.yaml": "", "plain/deep/x.yaml": "", "worktree/.git": "gitdir: x", "worktree/a/b.yaml": "",
	})
	if real, err := filepath.EvalSymlinks(dir); err == nil {
		dir = real
	}
	if err := os.Symlink("../../plain", filepath.Join(dir, "repository", "fleet", "out")); err != nil {
		skipWithoutLinks(t, err)
	}
	if err := os.Symlink("repository/fleet", filepath.Join(dir, "door")); err != nil {
		t.Fatal(err)
	}
	t.Chdir(filepath.Join(dir, "repository", "fleet"))
	got := map[string]string{}
	want := map[string]string{
		".": "repository", "./...": "repository", "cart/x.cue": "repository", "none/x": "repository", "..": "repository",
		"../../module/van": "module/van", "../../module": "module", "../../plain/...": "plain", "../../plain/cart.yaml": "plain", "../../plain/deep": "plain/deep", "../../worktree/a/b.yaml": "worktree",
		"out/...": "repository", "out/cart.yaml": "repository", // a link in a repository may be of a stranger's making
		filepath.Join(dir, "door"): "repository", filepath.Join(dir, "door", "cart"): "repository",
	}
	for path := range want {
		relative, err := filepath.Rel(dir, schema.RootOf(path))
		if err != nil {
			t.Fatal(err)
		}
		got[path] = filepath.ToSlash(relative)
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
}

// skipWithoutLinks skips a test on Windows, where making a link is a privilege; where
// CI runs, a link that cannot be made is a failure.
func skipWithoutLinks(t *testing.T, err error) {
	t.Helper()
	if runtime.GOOS != "windows" {
		t.Fatal(err)
	}
	t.Skip("there are no symbolic links here")
}
