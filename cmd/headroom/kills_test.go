//go:build unix

package main

import (
	"bytes"
	"errors"
	"flag"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
)

var kills = flag.Int("kills", 12, "how often the program is stopped while it writes")

// asProgram makes the test binary the program.
const asProgram = "HEADROOM_TEST_AS_PROGRAM"

func TestMain(m *testing.M) {
	if os.Getenv(asProgram) != "" {
		main()
	}
	os.Exit(m.Run())
}

// outputs are what each run writes, in two folders: so many that it takes a while.
var outputs = func() (names []string) {
	for i := range 5 {
		for j, ending := range []string{".json", ".md", ".xml", ".env"} {
			names = append(names, fmt.Sprintf("%c/report%d%s", 'a'+(i+j)%2, i, ending))
		}
	}
	names = append(names, "b/report.sarif")
	return names
}()

// fleetOf writes one of two versions of a vehicle; each output tells them apart.
func fleetOf(t *testing.T, dir string, version int) {
	t.Helper()
	var b strings.Builder
	fmt.Fprintf(&b, "headroom: 1\nvehicle: {name: Version %d, use: off-road, chassis: isolated}\nfuses:\n", version)
	for i := range 6 + 2*version {
		fmt.Fprintf(&b, "  f%d: {class: blade, rated_A: 5, rated_V: 32}\n", i)
	}
	write(t, filepath.Join(dir, "cart.yaml"), b.String())
}

func write(t *testing.T, name, content string) {
	t.Helper()
	if err := os.WriteFile(name, []byte(content), 0o666); err != nil {
		t.Fatal(err)
	}
}

// killing is a folder with outputs, and what they must be.
type killing struct {
	t        *testing.T
	dir      string
	expected [2]map[string]string // by version and name
	took     time.Duration        // from the first file of our own to the end of the run
}

// program is a run that writes some outputs.
func (k *killing) program(dir string, names []string, more ...string) (*exec.Cmd, *bytes.Buffer) {
	args := []string{"check", "--fail-on", "never", "--today", "2027-01-01"}
	for _, name := range names {
		format := map[string]string{".json": "json", ".sarif": "sarif", ".md": "markdown", ".xml": "junit", ".env": "dotenv"}[filepath.Ext(name)]
		args = append(args, "--out", format+"="+filepath.FromSlash(name))
	}
	cmd := exec.Command(os.Args[0], append(append(args, more...), "cart.yaml")...)
	cmd.Dir, cmd.Env = dir, append(os.Environ(), asProgram+"=1")
	var said bytes.Buffer
	cmd.Stderr = &said
	return cmd, &said
}

// ours lists files of our own in the folders of the outputs.
func ours(dir string) (names []string) {
	for _, folder := range []string{"a", "b"} {
		entries, _ := os.ReadDir(filepath.Join(dir, folder))
		for _, e := range entries {
			if strings.HasPrefix(e.Name(), ".") {
				names = append(names, folder+"/"+e.Name())
			}
		}
	}
	return names
}

// versions tells of each output which version it has, -1 for neither.
func (k *killing) versions(dir string) map[string]int {
	found := map[string]int{}
	for _, name := range outputs {
		content, _ := os.ReadFile(filepath.Join(dir, name))
		found[name] = -1
		for v, expected := range k.expected {
			if string(content) == expected[name] {
				found[name] = v
			}
		}
	}
	return found
}

func all(version int) map[string]int {
	m := map[string]int{}
	for _, name := range outputs {
		m[name] = version
	}
	return m
}

// newKilling makes the folder, and learns what each version writes and how long it takes.
func newKilling(t *testing.T, dir string) *killing {
	k := &killing{t: t, dir: dir}
	for _, folder := range []string{"a", "b"} {
		if err := os.MkdirAll(filepath.Join(dir, folder), 0o777); err != nil {
			t.Fatal(err)
		}
	}
	for _, version := range []int{1, 0} {
		fleetOf(t, dir, version)
		cmd, said := k.program(dir, outputs)
		var since time.Time
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		ended := make(chan error, 1)
		go func() { ended <- cmd.Wait() }()
		var err error
		for running := true; running; {
			select {
			case err = <-ended:
				running = false
			default:
				if since.IsZero() && len(ours(dir)) > 0 {
					since = time.Now()
				}
			}
		}
		if err != nil {
			t.Fatalf("%v\n%s", err, said)
		}
		k.took = 20 * time.Millisecond
		if !since.IsZero() { // else it was too fast to be seen
			k.took = time.Since(since)
		}
		k.expected[version] = map[string]string{}
		for _, name := range outputs {
			content, err := os.ReadFile(filepath.Join(dir, name))
			if err != nil {
				t.Fatal(err)
			}
			k.expected[version][name] = string(content)
		}
	}
	for _, name := range outputs {
		if k.expected[0][name] == k.expected[1][name] {
			t.Fatalf("%s does not tell the versions apart", name)
		}
	}
	return k
}

// interrupt starts a run and sends a signal at a random moment: while it writes, and
// now and then before or after.
func (k *killing) interrupt(signal syscall.Signal) (said string) {
	cmd, text := k.program(k.dir, outputs)
	if err := cmd.Start(); err != nil {
		k.t.Fatal(err)
	}
	before := ours(k.dir)
	ended := make(chan error, 1)
	go func() { ended <- cmd.Wait() }()
	early, late, wait := rand.IntN(10) == 0, rand.IntN(2) == 0, k.took
	decided := func() bool {
		return slices.ContainsFunc(ours(k.dir), func(s string) bool { return strings.HasSuffix(s, ".journal") })
	}
	if late { // while the files take their places
		wait = 2 * time.Millisecond
	}
	for running := true; running && !early; {
		select {
		case err := <-ended:
			ended <- err
			running = false
		default:
			time.Sleep(50 * time.Microsecond) // the program needs the processor
			running = late && !decided() || cmp.Equal(before, ours(k.dir))
		}
	}
	time.Sleep(time.Duration(rand.Int64N(int64(wait))))
	_ = cmd.Process.Signal(signal) // it may have ended
	<-ended
	return text.String()
}

// TestKilled stops the program while it writes several outputs over older ones, and
// looks at what it leaves behind. After SIGKILL all outputs are old, or all new, or a
// journal lies beside them and the next run that writes one of them finishes them. After
// anything else there is nothing but outputs, all old or all new.
func TestKilled(t *testing.T) {
	k := newKilling(t, t.TempDir())
	signals := []syscall.Signal{syscall.SIGKILL, syscall.SIGTERM, syscall.SIGKILL, syscall.SIGINT, syscall.SIGKILL, syscall.SIGHUP}
	count := map[string]int{}
	at := 0 // version of all outputs
	for round := range *kills * 2 / 3 {
		signal, next := signals[round%len(signals)], 1-at
		fleetOf(t, k.dir, next)
		said := k.interrupt(signal)
		found, left := k.versions(k.dir), ours(k.dir)
		what := "mixed"
		switch {
		case cmp.Equal(found, all(at)):
			what = "old"
		case cmp.Equal(found, all(next)):
			what, at = "new", next
		}
		name := signal.String()
		count[name+": "+what]++
		if len(left) > 0 {
			count[name+": files of our own left"]++
		}
		if signal != syscall.SIGKILL {
			if what == "mixed" || len(left) > 0 {
				t.Fatalf("round %d, %v: %v, left %v\n%s", round, signal, found, left, said)
			}
			continue
		}
		journal := slices.ContainsFunc(left, func(s string) bool { return strings.HasSuffix(s, ".journal") })
		if slices.Contains(values(found), -1) || what == "mixed" && !journal {
			t.Fatalf("round %d: %v, left %v", round, found, left)
		}
		k.repairs(round, left, journal, what, next)
		at = next
	}
	for _, what := range sorted(count) {
		t.Logf("%-40s %d", what, count[what])
	}
}

// repairs runs the program for one of the outputs, then for all.
func (k *killing) repairs(round int, left []string, journal bool, what string, next int) {
	one := outputs[rand.IntN(len(outputs))]
	cmd, said := k.program(k.dir, []string{one})
	if err := cmd.Run(); err != nil {
		k.t.Fatalf("round %d: %v\n%s", round, err, said)
	}
	found := k.versions(k.dir)
	others := map[string]int{}
	for name, v := range found {
		if name != one {
			others[name] = v
		}
	}
	if v := values(others); found[one] != next || slices.Min(v) != slices.Max(v) || v[0] < 0 || what == "mixed" && v[0] != next {
		k.t.Fatalf("round %d: after %s, %v, left %v and repaired with %s it is %v\n%s", round, what, left, ours(k.dir), one, found, said)
	}
	beside := slices.ContainsFunc(left, func(s string) bool { return filepath.Dir(s) == filepath.Dir(one) })
	if notes := strings.Count(said.String(), "headroom: note: a run was stopped"); beside && notes != 1 || !beside && !journal && notes != 0 {
		k.t.Fatalf("round %d: %d notes on %v, written %s:\n%s", round, notes, left, one, said)
	}
	cmd, said = k.program(k.dir, outputs)
	if err := cmd.Run(); err != nil || len(ours(k.dir)) > 0 || !cmp.Equal(k.versions(k.dir), all(next)) {
		k.t.Fatalf("round %d: %v, %v, left %v\n%s", round, err, k.versions(k.dir), ours(k.dir), said)
	}
}

func values(m map[string]int) (list []int) {
	for _, v := range m {
		list = append(list, v)
	}
	return list
}

func sorted(m map[string]int) (names []string) {
	for name := range m {
		names = append(names, name)
	}
	slices.Sort(names)
	return names
}

// TestClosedPipe closes the pipe that the program prints to, at any moment.
func TestClosedPipe(t *testing.T) {
	k := newKilling(t, t.TempDir())
	count, at := map[string]int{}, 0
	for round := range *kills / 6 {
		next := 1 - at
		fleetOf(t, k.dir, next)
		last, asFile := []string{"--out", "text"}, round%2 == 1
		if asFile {
			last = []string{"--out", "gitlab=/dev/stdout"}
		}
		cmd, said := k.program(k.dir, outputs, last...)
		reader, writer, err := os.Pipe()
		if err != nil {
			t.Fatal(err)
		}
		cmd.Stdout = writer
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		_ = writer.Close()
		time.Sleep(time.Duration(rand.Int64N(int64(20 * time.Millisecond))))
		_ = reader.Close()
		err = cmd.Wait()
		found, left := k.versions(k.dir), ours(k.dir)
		version, code := at, 2
		if !asFile { // what goes to standard output is written last, and ends the program as elsewhere
			version, code = next, -1
		}
		exit := new(exec.ExitError)
		if !errors.As(err, &exit) || exit.ExitCode() != code || !cmp.Equal(found, all(version)) || len(left) > 0 || strings.Contains(said.String(), "goroutine") {
			t.Fatalf("round %d: %v, %v, left %v\n%s", round, err, found, left, said)
		}
		at = version
		count[fmt.Sprintf("%s: all of one version, %v", strings.Join(last, " "), err)]++
	}
	for _, what := range sorted(count) {
		t.Logf("%-60s %d", what, count[what])
	}
}

// TestFullDisk writes where there is not enough room: on a small file system where one
// can be mounted, else under a limit on the size of a file.
func TestFullDisk(t *testing.T) {
	dir := t.TempDir()
	mounted := runtime.GOOS == "linux" && exec.Command("mount", "-t", "tmpfs", "-o", "size=16m", "tmpfs", dir).Run() == nil
	if mounted {
		t.Cleanup(func() { _ = exec.Command("umount", dir).Run() })
	}
	k := newKilling(t, dir)
	size := int64(0)
	for _, content := range k.expected[1] {
		size += int64(len(content))
	}
	count, at := map[string]int{}, 0
	for round := range max(2, *kills/6) {
		next := 1 - at
		fleetOf(t, dir, next)
		cmd, said := k.program(dir, outputs)
		if mounted {
			fill(t, filepath.Join(dir, "filler"), rand.Int64N(2*size))
		} else {
			cmd.Args = append([]string{"sh", "-c", fmt.Sprintf(`ulimit -f %d; exec "$0" "$@"`, rand.IntN(100)), os.Args[0]}, cmd.Args[1:]...)
			cmd.Path, cmd.Err = "/bin/sh", nil
		}
		err := cmd.Run()
		found, left := k.versions(dir), ours(dir)
		version := at
		if err == nil {
			version = next
		}
		exit := new(exec.ExitError)
		if err != nil && (!errors.As(err, &exit) || exit.ExitCode() != 2 || !strings.Contains(said.String(), ", so no output file was written: ") || strings.Count(said.String(), "\n") != 1) ||
			!cmp.Equal(found, all(version)) || len(left) > 0 {
			t.Fatalf("round %d: %v, %v, left %v\n%s", round, err, found, left, said)
		}
		at = version
		count[fmt.Sprintf("all of one version, %v", err)]++
		if err := os.Remove(filepath.Join(dir, "filler")); err != nil && !errors.Is(err, fs.ErrNotExist) {
			t.Fatal(err)
		}
	}
	for _, what := range sorted(count) {
		t.Logf("mounted %v: %-50s %d", mounted, what, count[what])
	}
}

// fill fills the file system of a file, and leaves so many bytes or less.
func fill(t *testing.T, name string, rest int64) {
	t.Helper()
	f, err := os.Create(name)
	if err != nil {
		t.Fatal(err)
	}
	size, block := int64(0), make([]byte, 4096)
	for {
		n, err := f.Write(block)
		size += int64(n)
		if err != nil {
			break
		}
	}
	if err := errors.Join(f.Truncate(max(0, size-rest)), f.Close()); err != nil {
		t.Fatal(err)
	}
}
