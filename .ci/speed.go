// Speed measures headroom and cue as whole processes; see the script beside it.
package main

import (
	"flag"
	"fmt"
	"io/fs"
	"log"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"syscall"
	"time"

	"example.org/headroom/rules/ruletest"
)

// generators are the vehicles of which something is many, in the sizes to try.
var generators = []struct {
	what  string
	make  func(n int) []byte
	sizes []int
}{
	{"conductors", ruletest.Generated, []int{1000, 4000, 10000}},
	{"consumers", ruletest.Consumers, []int{250, 1000, 4000}},
	{"modes", ruletest.Modes, []int{250, 1000, 4000}},
	{"diodes", ruletest.Diodes, []int{250, 1000, 4000}},
	{"contactors", ruletest.Contactors, []int{100, 250, 1000}},
}

func main() {
	log.SetFlags(0)
	scratch := flag.String("scratch", "", "folder with bin/headroom and bin/cue")
	greatest := flag.Int("greatest", 10000, "greatest size of a generated vehicle")
	flag.Parse()
	b := bench{folder: *scratch}
	b.prepare()
	fmt.Printf("%-24s %10s %9s %10s %9s %9s   %s\n", "", "headroom", "", "cue vet -c", "", "with #Spec", "")
	fmt.Printf("%-24s %10s %9s %10s %9s %9s   %s\n", "", "CPU s", "MiB", "CPU s", "MiB", "CPU s", "")
	b.row("first.yaml", 9, "first", "first.yaml")
	b.row("trike", 9, "fleet/heron", ".")
	for _, g := range generators {
		var last time.Duration
		n := 0
		for _, size := range g.sizes {
			if size > *greatest {
				break
			}
			file := fmt.Sprintf("%s-%d.json", g.what, size)
			write(filepath.Join(b.folder, "generated", file), g.make(size))
			now := b.row(fmt.Sprintf("%d %s", size, g.what), max(1, min(3, 2000/size)), "generated", file)
			if n > 0 {
				fmt.Printf("%24s %s from %d to %d grow with the power %.2f\n", "", g.what, n, size,
					math.Log(float64(now)/float64(last))/math.Log(float64(size)/float64(n)))
			}
			last, n = now, size
		}
	}
	b.fleet(500)
}

type bench struct{ folder string }

// prepare lays out what is measured: the first page, the demo fleet, and the same
// with the definitions beside them, under which cue checks as much as it can.
func (b bench) prepare() {
	schema := output(filepath.Join(b.folder, "bin/headroom"), "schema")
	read := func(name string) []byte {
		data, err := os.ReadFile(name)
		check(err)
		return data
	}
	write(filepath.Join(b.folder, "first/first.yaml"), read("testdata/first/first.yaml"))
	for _, folder := range []string{"first", "generated"} {
		write(filepath.Join(b.folder, folder, "none.cue"), []byte("package none\n"))
		write(filepath.Join(b.folder, folder, "schema.cue"), schema)
	}
	check(os.CopyFS(filepath.Join(b.folder, "fleet"), os.DirFS("testdata/fleet")))
	check(os.CopyFS(filepath.Join(b.folder, "defined"), os.DirFS("testdata/fleet")))
	defined := strings.Replace(string(schema), "package headroom", "package heron\n\n#Spec", 1)
	write(filepath.Join(b.folder, "defined/heron/definitions.cue"), []byte(defined))
}

// row measures one vehicle, and returns the processor time of headroom.
func (b bench) row(name string, times int, folder, target string) time.Duration {
	dir := filepath.Join(b.folder, folder)
	own := least(times, dir, 1, "headroom", "check", target)
	plain, defined := []string{"vet", "-c", target}, []string{"vet", "-c", "."}
	definedIn := filepath.Join(b.folder, "defined", filepath.Base(dir))
	if target != "." {
		plain = []string{"vet", "-c", "none.cue", target}
		defined, definedIn = []string{"vet", "-c", "-d", "#Spec", "schema.cue", target}, dir
	}
	vet := least(times, dir, 1, "cue", plain...)
	typed := least(times, definedIn, 1, "cue", defined...)
	fmt.Printf("%-24s %10.3f %9.0f %10.3f %9.0f %9.3f   %.2f times cue vet -c with #Spec\n", name, own.cpu.Seconds(), own.mib, vet.cpu.Seconds(), vet.mib,
		typed.cpu.Seconds(), own.cpu.Seconds()/typed.cpu.Seconds())
	return own.cpu
}

// fleet measures copies of the demo fleet's vehicles on all processors.
func (b bench) fleet(n int) {
	dir := filepath.Join(b.folder, "fleet")
	vehicles := []string{"heron", "badger", "mole"}
	for i := len(vehicles); i < n; i++ {
		vehicle := vehicles[i%len(vehicles)]
		check(os.CopyFS(filepath.Join(dir, fmt.Sprintf("%s-%d", vehicle, i)), os.DirFS(filepath.Join(dir, vehicle))))
	}
	own := least(1, dir, runtime.NumCPU(), "headroom", "check", "./...")
	vet := least(1, dir, runtime.NumCPU(), "cue", "vet", "-c", "./...")
	fmt.Printf("%-24s %10.3f %9.0f %10.3f %9.0f %9s   %.1f ms a vehicle; %.1f s on the clock with %d processors\n", fmt.Sprintf("%d vehicles", n),
		own.cpu.Seconds(), own.mib, vet.cpu.Seconds(), vet.mib, "", 1000*own.cpu.Seconds()/float64(n), own.clock.Seconds(), runtime.NumCPU())
}

// cost is what a process took.
type cost struct {
	cpu, clock time.Duration
	mib        float64
}

// least runs a command several times and returns the least of each.
func least(times int, dir string, processors int, program string, args ...string) cost {
	best := cost{cpu: math.MaxInt64, clock: math.MaxInt64, mib: math.Inf(1)}
	for range times {
		c := exec.Command(filepath.Join(filepath.Dir(mustSelf()), program), args...)
		c.Dir = dir
		c.Env = append(os.Environ(), fmt.Sprintf("GOMAXPROCS=%d", processors))
		began := time.Now()
		text, err := c.CombinedOutput()
		if exit, ok := err.(*exec.ExitError); err != nil && (!ok || exit.ExitCode() > 1) {
			log.Fatalf("%s %s: %v\n%s", program, strings.Join(args, " "), err, text[:min(2000, len(text))])
		}
		best.clock = min(best.clock, time.Since(began))
		best.cpu = min(best.cpu, c.ProcessState.UserTime()+c.ProcessState.SystemTime())
		if usage, ok := c.ProcessState.SysUsage().(*syscall.Rusage); ok {
			unit := 1024.0 // of Maxrss, in bytes
			if runtime.GOOS == "darwin" {
				unit = 1
			}
			best.mib = min(best.mib, float64(usage.Maxrss)*unit/(1<<20))
		}
	}
	return best
}

func mustSelf() string {
	self, err := os.Executable()
	check(err)
	return self
}

func output(program string, args ...string) []byte {
	text, err := exec.Command(program, args...).Output()
	check(err)
	return text
}

func write(name string, data []byte) {
	check(os.MkdirAll(filepath.Dir(name), 0o777))
	check(os.WriteFile(name, data, fs.FileMode(0o666)))
}

func check(err error) {
	if err != nil {
		log.Fatal(err)
	}
}
