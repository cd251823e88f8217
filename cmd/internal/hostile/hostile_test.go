// Package hostile holds what strangers may send: a list of hostile inputs, each
// with the outcome that it must have within ten seconds of wall clock and one
// gibibyte of peak memory. It has no code but these tests.
//
// Each entry is a folder of files, or none, and a command line of the program
// as it is built for release. Beside what an entry asks for itself, all are held
// to the same promises: an exit code of the three that are documented; no trace
// of the program's inside; text without control characters, without marks that
// turn or hide text, and without commands of a runner; a place for each finding;
// no file but the named ones, no process left behind.
//
//	go test ./cmd/internal/hostile                    a few of each class
//	go test ./cmd/internal/hostile -hostile all       all but most of the heavy ones: some minutes
//	go test ./cmd/internal/hostile -hostile every     those too: up to an hour
//	go test ./cmd/internal/hostile -hostile every -run 'TestHostile/list/links' -falls falls.txt
//
// The last one runs one class and writes a table of those that fell.
package hostile

import (
	"cmp"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"runtime"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"
)

var (
	share = flag.String("hostile", "light", "which entries to run: light, all, or every")
	falls = flag.String("falls", "", "file to write the table of those that fell to")
	ready = flag.String("program", "", "the program to run, instead of one that is built")
	limit = flag.Duration("hostile-time", 10*time.Second, "wall clock that one entry may take")
	busy  = flag.Bool("busy", true, "the machine does other things, as it does beside the tests of other packages: count seconds of processors instead (Linux)")
)

// peakBytes is the memory that the processes of one entry may have in use together.
const peakBytes = 1 << 30

// Of a class, how many entries run by default (none of them heavy), and how many heavy ones with
// -hostile all.
const lightOfClass, heavyOfClass = 3, 4

// entry is one hostile input.
type entry struct {
	class, name string
	heavy       bool     // takes more than about a second even where all is well
	needs       []string // what it needs of the machine, such as "pipes"; see needed
	files       func(b *box)
	args        []string // of the program, run in the folder repo of the box
	command     []string // instead of the program: a script that runs it
	stdin       func(b *box) string
	stdinFile   string // a file of the box, opened as standard input
	env         []string
	want        outcome
}

// list is filled by the functions of the classes.
type list struct{ entries []entry }

func (l *list) add(e entry) { l.entries = append(l.entries, e) }

// classes are in the order in which they run: those whose names say what they try.
func classes() []entry {
	var l list
	for _, add := range []func(*list){
		cueGrowth, cueDisjunctions, cueComputing, cueOutside, cueChains, cueNesting,
		yamlAliases, yamlLines, yamlSyntax, jsonSyntax, amounts, tinyFiles, encodings, numbers, extremes,
		fleets, bases, largeVehicles,
		specialFiles, links, roots, races, outputs, outputNames, arguments,
		textInSpecifications, textInArguments, textInNames,
		gitSettings, gitObjects, gitRevisions, environments, shards, actionInputs, policies, waiversList,
	} {
		add(&l)
	}
	return l.entries
}

var (
	program string // the built program
	project string // the root of the checkout
)

func TestMain(m *testing.M) {
	flag.Parse()
	os.Exit(func() int {
		dir, err := os.MkdirTemp("", "headroom-hostile")
		if err == nil {
			defer os.RemoveAll(dir)
			project, err = filepath.Abs("../../..")
		}
		if program = *ready; program != "" {
			return m.Run()
		}
		if err == nil {
			program = filepath.Join(dir, "headroom")
			if runtime.GOOS == "windows" {
				program += ".exe"
			}
			build := exec.Command("go", "build", "-o", program, "./cmd/headroom")
			build.Dir, build.Stderr = project, os.Stderr
			err = build.Run()
		}
		if err != nil {
			fmt.Fprintln(os.Stderr, "the program cannot be built:", err)
			return 1
		}
		return m.Run()
	}())
}

// chosen are the entries of the share that was asked for.
func chosen(entries []entry) []entry {
	switch *share {
	case "every":
		return entries
	case "all":
		heavy := spread(entries, heavyOfClass, func(e entry) bool { return e.heavy })
		return slices.DeleteFunc(entries, func(e entry) bool { return e.heavy && !heavy[e.class+"/"+e.name] })
	default:
		light := spread(entries, lightOfClass, func(e entry) bool { return !e.heavy })
		return slices.DeleteFunc(entries, func(e entry) bool { return !light[e.class+"/"+e.name] })
	}
}

// spread picks some of the entries of each class, evenly over the list.
func spread(entries []entry, ofClass int, may func(entry) bool) map[string]bool {
	total, seen, picked := map[string]int{}, map[string]int{}, map[string]bool{}
	for _, e := range entries {
		if may(e) {
			total[e.class]++
		}
	}
	for _, e := range entries {
		if n := total[e.class]; may(e) {
			i := seen[e.class]
			seen[e.class]++
			picked[e.class+"/"+e.name] = n <= ofClass || i*ofClass/n != (i-1)*ofClass/n || i == 0
		}
	}
	return picked
}

func TestHostile(t *testing.T) {
	entries := classes()
	table := &fallTable{}
	t.Run("list", func(t *testing.T) {
		for _, e := range chosen(entries) {
			t.Run(e.class+"/"+e.name, func(t *testing.T) {
				t.Parallel()
				if why := needed(e.needs); why != "" {
					t.Skip(why)
				}
				b := newBox(t)
				if e.files != nil {
					e.files(b)
				}
				result := b.run(e)
				faults := e.want.faults(b, e, result)
				for _, fault := range faults {
					t.Error(fault)
				}
				table.add(e, result, faults)
			})
		}
	})
	if *falls != "" {
		if err := os.WriteFile(*falls, []byte(table.String()), 0o666); err != nil {
			t.Error(err)
		}
	}
}

// TestList holds what is promised of the list itself.
func TestList(t *testing.T) {
	entries := classes()
	if len(entries) < 330 {
		t.Errorf("%d entries, want 330", len(entries))
	}
	names, perClass := map[string]bool{}, map[string]int{}
	for _, e := range entries {
		perClass[e.class]++
		name := e.class + "/" + e.name
		if names[name] {
			t.Errorf("two entries are called %s", name)
		}
		names[name] = true
		if !regexp.MustCompile(`^[a-z0-9-]+/[a-z0-9-]+$`).MatchString(name) {
			t.Errorf("%q: small letters, digits and hyphens", name)
		}
		if len(e.want.codes) == 0 {
			t.Errorf("%s has no outcome", name)
		}
	}
	for _, class := range slices.Sorted(func(yield func(string) bool) {
		for class := range perClass {
			if !yield(class) {
				return
			}
		}
	}) {
		t.Logf("%3d %s", perClass[class], class)
	}
	t.Logf("%d entries in %d classes", len(entries), len(perClass))
}

// fallTable collects what fell.
type fallTable struct {
	mu    sync.Mutex
	lines []string
	count int

	slowest []timed
}

// timed is what an entry took.
type timed struct {
	name string
	wall time.Duration
	peak int64
}

func (f *fallTable) add(e entry, r result, faults []string) {
	f.mu.Lock()
	defer f.mu.Unlock()
	f.count++
	f.slowest = append(f.slowest, timed{e.class + "/" + e.name, r.wall, r.peak})
	if len(faults) > 0 {
		what := fmt.Sprintf("exit %d, %.1f s (%.1f s of processors), %d MiB", r.code, r.wall.Seconds(), r.cpu.Seconds(), r.peak>>20)
		f.lines = append(f.lines, fmt.Sprintf("%s/%s\t%s\n\t%s", e.class, e.name, what,
			strings.ReplaceAll(strings.Join(faults, "\n"), "\n", "\n\t")))
	}
	if *falls != "" && f.count%20 == 0 {
		_ = os.WriteFile(*falls, []byte(f.text()), 0o666) // the last one is the one that counts
	}
}

func (f *fallTable) String() string {
	f.mu.Lock()
	defer f.mu.Unlock()
	return f.text()
}

// text is the table, and the entries that took longest.
func (f *fallTable) text() string {
	slices.Sort(f.lines)
	slices.SortFunc(f.slowest, func(a, b timed) int { return cmp.Compare(b.wall, a.wall) })
	slowest := joined(min(len(f.slowest), 40), func(i int) string {
		return fmt.Sprintf("\n%.1f s\t%d MiB\t%s", f.slowest[i].wall.Seconds(), f.slowest[i].peak>>20, f.slowest[i].name)
	})
	return fmt.Sprintf("%d of %d entries fell\n\n%s\n\nThe slowest:%s\n", len(f.lines), f.count, strings.Join(f.lines, "\n"), slowest)
}
