package cli

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"testing"
	"time"

	"example.org/headroom/cmd/internal/engine"
	"example.org/headroom/schema"
)

// run runs the sample command in a directory.
func run(t *testing.T, dir string, args ...string) (code int, stdout, stderr string) {
	t.Helper()
	t.Chdir(dir)
	var out, errs bytes.Buffer
	c := &Command{
		Stdin: strings.NewReader(""), Stdout: &out, Stderr: &errs,
		Getenv: func(string) string { return "" },
		Rules:  sampleRules(),
		Bound:  engine.DefaultBound(),
		Build:  Build{Version: "v1.2.3", Module: "example.org/headroom"},
	}
	code = c.Main(args)
	return code, out.String(), errs.String()
}

// fleet writes a directory of vehicles, some of them sound.
func fleet(t *testing.T, n int) string {
	t.Helper()
	dir := t.TempDir()
	for i := range n {
		spec := fmt.Sprintf("headroom: 1\nvehicle: {name: Cart %d, use: off-road, chassis: isolated}\nfuses:\n", i)
		for j := range 5 {
			spec += fmt.Sprintf("  f%d: {class: blade, rated_A: %d}\n", j, 40*(1+(i+j)%4))
		}
		if err := os.WriteFile(filepath.Join(dir, fmt.Sprintf("cart%02d.yaml", i)), []byte(spec), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

// TestSameInputSameBytes holds that outputs depend on nothing but the files and flags: on
// no number of processors, locale, time zone or order of the paths.
func TestSameInputSameBytes(t *testing.T) {
	dir := fleet(t, 12)
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	var paths []string
	for _, e := range entries {
		paths = append(paths, e.Name())
	}
	outputs := func() string {
		args := []string{"check", "-v", "--include-passes", "--out", "text", "--out", "sarif=a.sarif", "--out", "json=b.json"}
		code, stdout, stderr := run(t, dir, append(args, paths...)...)
		if code != ExitFindings {
			t.Fatalf("exit code %d, want %d; stderr:\n%s", code, ExitFindings, stderr)
		}
		all := stdout + stderr
		for _, name := range []string{"a.sarif", "b.json"} {
			data, err := os.ReadFile(filepath.Join(dir, name))
			if err != nil {
				t.Fatal(err)
			}
			// The outputs lie beside the specifications; the next run must not
			// find them there.
			if err := os.Remove(filepath.Join(dir, name)); err != nil {
				t.Fatal(err)
			}
			all += string(data)
		}
		return all
	}
	first := outputs()
	before := runtime.GOMAXPROCS(0)
	defer runtime.GOMAXPROCS(before)
	for i, processors := range []int{1, 2, 8, 1, 2, 8, 1, 2, 8, 8, 8, 8} {
		runtime.GOMAXPROCS(processors)
		t.Setenv("LC_ALL", []string{"C", "tr_TR.UTF-8", "de_DE.UTF-8"}[i%3])
		t.Setenv("TZ", []string{"UTC", "Asia/Kathmandu"}[i%2])
		slices.Reverse(paths)
		if again := outputs(); again != first {
			t.Fatalf("run %d with %d processors, locale %s and paths from %s on differs from the first one", i, processors, os.Getenv("LC_ALL"), paths[0])
		}
	}
}

type closedPipe struct{}

func (closedPipe) Write([]byte) (int, error) { return 0, errors.New("broken pipe") }

func TestUnwritableOutputFails(t *testing.T) {
	t.Chdir(fleet(t, 1))
	for _, args := range [][]string{{"check", "."}, {"ratings", "."}, {"rules"}, {"schema"}, {"version"}, {"help"}, {"explain", "fuse-above-limit"}, {"init", "new"}} {
		c := &Command{
			Stdin: strings.NewReader(""), Stdout: closedPipe{}, Stderr: &bytes.Buffer{},
			Getenv: func(string) string { return "" }, Rules: sampleRules(),
		}
		if code := c.Main(args); code != ExitFailed {
			t.Errorf("%v: exit code %d with an unwritable standard output, want %d", args, code, ExitFailed)
		}
	}
}

func TestRepositoryPrefix(t *testing.T) {
	root := t.TempDir()
	for _, dir := range []string{"repo/.git", "repo/fleet/cart", "plain/dir"} {
		if err := os.MkdirAll(filepath.Join(root, dir), 0o777); err != nil {
			t.Fatal(err)
		}
	}
	// In a linked worktree .git is a file.
	if err := os.MkdirAll(filepath.Join(root, "worktree/a"), 0o777); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(root, "worktree/.git"), []byte("gitdir: elsewhere\n"), 0o666); err != nil {
		t.Fatal(err)
	}
	tests := []struct{ dir, want string }{
		{"repo", ""},
		{"repo/fleet/cart", "fleet/cart"},
		{"worktree/a", "a"},
		{"plain/dir", ""},
	}
	for _, tt := range tests {
		if got := engine.RepositoryPrefix(filepath.Join(root, tt.dir)); got != tt.want {
			t.Errorf("engine.RepositoryPrefix(%s) = %q, want %q", tt.dir, got, tt.want)
		}
	}
}

// hog is a package whose evaluation takes gigabytes and minutes.
const hog = `package hog

headroom: 1
vehicle: {name: "hog", use: "off-road", chassis: "isolated"}
_n: [0, 1, 2, 3, 4, 5, 6, 7, 8, 9]
_all: [for a in _n for b in _n for c in _n for d in _n for e in _n for f in _n for g in _n {a + b + c + d + e + f + g}]
vehicle: altitude_m: len(_all)
`

func TestProbeStopsAtItsBound(t *testing.T) {
	dir := t.TempDir()
	file := filepath.Join(dir, "hog.cue")
	if err := os.WriteFile(file, []byte(hog), 0o666); err != nil {
		t.Fatal(err)
	}
	small := filepath.Join(dir, "small.cue")
	if err := os.WriteFile(small, []byte("package small\n\nheadroom: 1\n"), 0o666); err != nil {
		t.Fatal(err)
	}
	tests := []struct {
		name, file string
		bound      engine.Bound
		want       string // in the error, "" for none
	}{
		{"time", file, engine.Bound{Time: 200 * time.Millisecond, Memory: 1 << 40}, "more than 0.2 s"},
		{"memory", file, engine.Bound{Time: time.Minute, Memory: 64 << 20}, "more than 64 MiB of memory"},
		{"within", small, engine.DefaultBound(), ""},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			err := tt.bound.Probe(engine.Side{}, nil)(context.Background(), schema.Target{Path: tt.file, Format: schema.FormatCUE})
			switch {
			case tt.want == "" && err != nil:
				t.Errorf("error %v, want none", err)
			case tt.want != "" && (err == nil || !strings.Contains(err.Error(), tt.want)):
				t.Errorf("error %v, want one with %q", err, tt.want)
			}
		})
	}
}

func TestUseColour(t *testing.T) {
	tests := []struct {
		flag     string
		terminal bool
		env      map[string]string
		want     bool
	}{
		{"auto", true, nil, true},
		{"auto", false, nil, false},
		{"auto", true, map[string]string{"NO_COLOR": "1"}, false},
		{"auto", true, map[string]string{"NO_COLOR": ""}, true}, // set but empty does not count
		{"auto", true, map[string]string{"TERM": "dumb"}, false},
		{"always", false, map[string]string{"NO_COLOR": "1"}, true},
		{"never", true, nil, false},
	}
	for _, tt := range tests {
		c := &Command{Terminal: tt.terminal, Getenv: func(name string) string { return tt.env[name] }}
		if got := c.useColour(tt.flag); got != tt.want {
			t.Errorf("--color %s, terminal %v, %v: colour %v, want %v", tt.flag, tt.terminal, tt.env, got, tt.want)
		}
	}
}

func TestWrap(t *testing.T) {
	got := wrap("one two three\nfour", 9, "  ")
	want := "  one two\n  three\n  four\n"
	if got != want {
		t.Errorf("wrap = %q, want %q", got, want)
	}
}
