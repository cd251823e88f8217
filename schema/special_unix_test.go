//go:build unix

package schema_test

import (
	"context"
	"errors"
	"io"
	"io/fs"
	"net"
	"os"
	"path/filepath"
	"strings"
	"sync/atomic"
	"syscall"
	"testing"

	"github.com/google/go-cmp/cmp"

	"example.org/headroom/schema"
)

const plainCart = "headroom: 1\nvehicle: {name: Cart, use: off-road, chassis: isolated}\n"

// specialFiles makes a folder with one sound vehicle, and all that can have the
// name of a file and is none. Opening most of them takes for ever.
func specialFiles(t *testing.T) string {
	t.Helper()
	dir := write(t, map[string]string{"cart.yaml": plainCart, "folder.yaml/x": "", "module/cue.mod/x": "", "module/cart.cue": "package cart\n\nheadroom: 1\n"})
	for _, pipe := range []string{"pipe.yaml", "pipe.cue", ".pipe.yaml", "module/cue.mod/module.cue"} {
		if err := syscall.Mkfifo(filepath.Join(dir, pipe), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	socket, err := net.Listen("unix", filepath.Join(dir, "socket.json"))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = socket.Close() })
	for link, target := range map[string]string{"zero.yaml": "/dev/zero", "out.json": "/dev/stdout", "memory.yaml": "/proc/self/mem", "loop.yaml": "loop.yaml"} {
		if err := os.Symlink(target, filepath.Join(dir, link)); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

// Nothing but plain files is opened, whether they are met in a folder or named, and
// whether the machine or a folder of it is read.
func TestSpecialFilesAreNotOpened(t *testing.T) {
	dir := specialFiles(t)
	for name, files := range map[string]schema.Files{"within": schema.Within(dir), "machine": nil} {
		t.Run(name, func(t *testing.T) {
			passed := map[string]bool{}
			opts := schema.Options{Root: dir, Files: files, PassedOver: func(p schema.PassedOver) { passed[filepath.Base(p.Path)] = true }}
			found, err := schema.Find([]string{filepath.Join(dir, "...")}, opts)
			if err != nil {
				t.Error(err)
			}
			for _, special := range []string{"pipe.yaml", "pipe.cue", "socket.json", "zero.yaml"} {
				if !passed[special] {
					t.Errorf("nobody is told that %s is not read", special)
				}
			}
			read := 0
			for _, target := range found {
				if schema.Read(context.Background(), target, opts).Err == nil {
					read++
				}
			}
			if name == "within" && read != 1 {
				t.Errorf("%d of %v can be read, want the cart alone", read, found)
			}
			for _, special := range []string{"pipe.yaml", "pipe.cue", "socket.json", "zero.yaml", "module", "folder.yaml", "loop.yaml"} {
				format := map[bool]string{true: schema.FormatPackage, false: schema.FormatYAML}[special == "module"]
				got := schema.Read(context.Background(), schema.Target{Path: filepath.Join(dir, special), Format: format}, opts)
				if got.Err == nil || strings.Contains(got.Err.Error(), "\n") {
					t.Errorf("%s: error %v, want one line", special, got.Err)
				}
			}
		})
	}
}

// A file that grows while it is read has the size that it had when it was opened.
func TestGrowingFile(t *testing.T) {
	dir := write(t, map[string]string{"log.yaml": "twelve bytes"})
	name := filepath.Join(dir, "log.yaml")
	for about, files := range map[string]schema.Files{"within": schema.Within(dir), "machine": schema.Options{}.FileSystem()} {
		f, err := files.Open(name)
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(name, []byte("twelve bytes and more"), 0o666); err != nil {
			t.Fatal(err)
		}
		got, err := io.ReadAll(f)
		if string(got) != "twelve bytes" || err != nil || f.Close() != nil {
			t.Errorf("%s: read %q, %v", about, got, err)
		}
		if err := os.WriteFile(name, []byte("twelve bytes"), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	if _, err := schema.ReadFile(schema.Within(dir), name, 11); err == nil || !strings.Contains(err.Error(), "larger than 11 bytes") {
		t.Errorf("error %v", err)
	}
	if got, err := schema.ReadFile(schema.Within(dir), name, 12); string(got) != "twelve bytes" || err != nil {
		t.Errorf("%q, %v", got, err)
	}
}

// A name that is a plain file in one moment and a pipe or a link out of the folder in
// the next gives what the file has, or an error, and never anything else.
func TestExchangedFile(t *testing.T) {
	dir := write(t, map[string]string{"root/a.yaml": "inside", "secret": "secret"})
	root := filepath.Join(dir, "root")
	var done atomic.Bool
	ended := make(chan bool)
	go func() {
		defer close(ended)
		name, next := filepath.Join(root, "a.yaml"), filepath.Join(root, "next")
		for !done.Load() {
			_ = os.Symlink("../secret", next)
			_ = os.Rename(next, name)
			_ = syscall.Mkfifo(next, 0o600)
			_ = os.Rename(next, name)
			_ = os.WriteFile(next, []byte("inside"), 0o600)
			_ = os.Rename(next, name)
		}
	}()
	d := schema.Within(root)
	results := map[string]int{}
	for range 3000 {
		content, err := schema.ReadFile(d, filepath.Join(root, "a.yaml"), 100)
		if err == nil {
			results[string(content)]++
		}
	}
	done.Store(true)
	<-ended
	if results["inside"] == 0 || len(results) != 1 {
		t.Errorf("read %v", results)
	}
}

// A tree is looked at up to its budget; other paths go on.
func TestFindStopsAtItsBudget(t *testing.T) {
	dir := write(t, map[string]string{"many/a/x.yaml": plainCart, "many/b/x.yaml": plainCart, "many/c/d/x.txt": "", "few/x.yaml": plainCart})
	tests := map[string]struct {
		budget schema.Budget
		want   string
	}{
		"folders":      {schema.Budget{Folders: 3, Entries: 100, Files: 100, Bytes: 1 << 20}, "more than 3 folders (it ended at many/c)"},
		"entries":      {schema.Budget{Folders: 100, Entries: 4, Files: 100, Bytes: 1 << 20}, "more than 4 files and folders (it ended at many/b)"},
		"files":        {schema.Budget{Folders: 100, Entries: 100, Files: 1, Bytes: 1 << 20}, "more than 1 files that may be specifications (it ended at many/b/x.yaml)"},
		"bytes":        {schema.Budget{Folders: 100, Entries: 100, Files: 100, Bytes: 90}, "more than 0 MiB in files that may be specifications (it ended at many/b/x.yaml)"},
		"all is there": {schema.Budget{Folders: 100, Entries: 100, Files: 100, Bytes: 1 << 20}, ""},
	}
	for name, test := range tests {
		t.Run(name, func(t *testing.T) {
			found, err := schema.Find([]string{filepath.Join(dir, "many/..."), filepath.Join(dir, "few/...")},
				schema.Options{Root: dir, Files: schema.Within(dir), Budget: test.budget})
			var paths []string
			for _, target := range found {
				relative, _ := filepath.Rel(dir, target.Path)
				paths = append(paths, filepath.ToSlash(relative))
			}
			want := []string{"few/x.yaml"}
			if test.want == "" {
				want = []string{"many/a/x.yaml", "many/b/x.yaml", "few/x.yaml"}
			}
			if diff := cmp.Diff(want, paths); diff != "" {
				t.Error(diff)
			}
			switch {
			case test.want == "" && err == nil:
			case err == nil, test.want == "", !strings.Contains(err.Error(), test.want), !strings.HasPrefix(err.Error(), "many: "), strings.Contains(err.Error(), "\n"):
				t.Errorf("error %v, want %q", err, test.want)
			}
		})
	}
}

// What is passed over is looked at up to a budget, and when that is spent, it is said.
func TestPassedOverBudgetIsSaid(t *testing.T) {
	dir := write(t, map[string]string{"cart.yaml": plainCart, "a.yaml.off": "", "b.yaml.off": "", "c.yaml.off": plainCart, "testdata/x.yaml": "", "testdata/y.yaml": plainCart})
	var said []string
	_, err := schema.Find([]string{filepath.Join(dir, "...")}, schema.Options{
		Root: dir, Files: schema.Within(dir), Budget: schema.Budget{Folders: 9, Entries: 20, Files: 2, Bytes: 1 << 20},
		PassedOver: func(p schema.PassedOver) {
			p.Path = strings.TrimPrefix(strings.TrimPrefix(p.Path, dir), "/")
			said = append(said, p.String())
		},
	})
	want := []string{
		" was not searched completely: files are passed over for their names, and it has too many files",
		"testdata was not searched completely: folders of this name are skipped; to check them too, name the folder: " + filepath.ToSlash(dir) + "/testdata/..., and it has too many files",
	}
	if diff := cmp.Diff(want, said); diff != "" || err != nil {
		t.Error(err, diff)
	}
}

// Another file system is not walked into, but where it is named itself.
func TestOtherFileSystems(t *testing.T) {
	if _, err := os.Stat("/proc/self"); err != nil {
		t.Skip("there is no /proc here to be another file system")
	}
	var passed []string
	_, err := schema.Find([]string{"//..."}, schema.Options{
		Files: schema.Within("/"), Budget: schema.Budget{Folders: 40, Entries: 100_000, Files: 10, Bytes: 1 << 20},
		PassedOver: func(p schema.PassedOver) { passed = append(passed, p.Path) },
	})
	if err == nil || !strings.Contains(err.Error(), ": the search for specifications was stopped") {
		t.Errorf("error %v", err)
	}
	for _, p := range passed {
		if strings.HasPrefix(p, "/proc/") {
			t.Errorf("%s was looked at", p)
		}
	}
	if _, err := schema.Within("/").Open("/proc/self/mem"); err == nil {
		content, err := schema.ReadFile(schema.Within("/"), "/proc/self/mem", 100)
		if len(content) > 0 || errors.Is(err, fs.ErrClosed) {
			t.Errorf("read %q, %v", content, err)
		}
	}
}
