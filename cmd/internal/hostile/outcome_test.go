package hostile

import (
	"fmt"
	"os"
	"os/exec"
	"path"
	"regexp"
	"runtime"
	"slices"
	"strings"
	"unicode/utf8"
)

// outcome is what an entry must come to.
type outcome struct {
	codes  []int
	says   []string // expressions, each in standard output or standard error
	never  []string // expressions that are in neither
	writes []string // patterns of the files that it may write, relative to the folder repo
	check  func(b *box, r result) string
	open   bool // what lies outside the repository may be read: the caller names it
}

// refused is a run that could not be done, or a part of it.
func refused(says ...string) outcome { return outcome{codes: []int{2}, says: says} }

// found is a run with findings.
func found(says ...string) outcome { return outcome{codes: []int{1}, says: says} }

// told is a run in which a bad file is either a finding or could not be read: it is
// told of in either case, by name.
func told(name string) outcome {
	return outcome{codes: []int{1, 2}, says: []string{`(?m)^(headroom: )?(warning: |note: )?\S*` + regexp.QuoteMeta(name)}}
}

// bounded is a run in which a vehicle has findings, or is stopped at a bound: then
// it is told of in one line that has the file and the bound.
func bounded(names ...string) outcome {
	want := outcome{codes: []int{1, 2}}
	either := `(?:` + strings.Join(names, "|") + `)`
	line := regexp.MustCompile(`(?m)^headroom: .*` + either + `.*(\d|gave up).*$`)
	finding := regexp.MustCompile(`(?m)^` + either + `\S*:\d+:\d+: (error|warning): .*$`)
	want.check = func(_ *box, r result) string {
		if r.code == 2 && !line.MatchString(r.stderr) {
			return "standard error has no line with the file and the bound"
		}
		if r.code == 1 && !finding.MatchString(r.stdout) {
			return "no finding in " + either
		}
		return ""
	}
	return want
}

// held is a run that ends in any of the documented ways.
func held(says ...string) outcome { return outcome{codes: []int{0, 1, 2}, says: says} }

func (o outcome) or(codes ...int) outcome {
	o.codes = append(slices.Clone(o.codes), codes...)
	return o
}
func (o outcome) saying(says ...string) outcome {
	o.says = append(slices.Clone(o.says), says...)
	return o
}
func (o outcome) without(never ...string) outcome {
	o.never = append(slices.Clone(o.never), never...)
	return o
}
func (o outcome) writing(files ...string) outcome {
	o.writes = append(slices.Clone(o.writes), files...)
	return o
}
func (o outcome) anywhere() outcome                                   { o.open = true; return o }
func (o outcome) checked(check func(b *box, r result) string) outcome { o.check = check; return o }

// beside asks for the finding of the vehicle that neighbour writes.
func (o outcome) beside() outcome {
	return o.saying(`(?m)^neighbour\.yaml:3:\d+: error: fuses\.main`)
}

// neighbour writes a vehicle with a known finding: it is reported whatever the others are.
func neighbour(b *box) {
	b.write("neighbour.yaml", plainYAML("Neighbour")+"fuses: {main: {class: blade, rated_A: 40, rated_V: 32}}\n")
}

var (
	caution   = regexp.MustCompile(`(?s)Caution: .*programmed to do\.\n`)
	trace     = regexp.MustCompile(`goroutine \d|panic|runtime error|fatal error|\.go:\d+|SIGSEGV|[(+]0x[0-9a-f]{3,}`)
	finding   = regexp.MustCompile(`(?m)^(.*?)(error|warning|note): .* \[[a-z][a-z0-9-]*\]$`)
	placed    = regexp.MustCompile(`^.+:\d+:\d+: $`)
	runners   = regexp.MustCompile(`##\[|##vso\[|##teamcity\[`)
	commands  = regexp.MustCompile(`(?m)^\s*::.*`)
	annotates = regexp.MustCompile(`^::(error|warning|notice) (file|title)=`)
)

// faults says what is not as it must be, most important first.
func (o outcome) faults(b *box, e entry, r result) []string {
	var faults []string
	add := func(format string, args ...any) { faults = append(faults, fmt.Sprintf(format, args...)) }
	if r.stopped != "" {
		add("%s", r.stopped)
	}
	if r.peak > peakBytes && !strings.Contains(r.stopped, "memory") {
		add("had %d MiB of memory", r.peak>>20)
	}
	if r.stopped == "" && !slices.Contains(o.codes, r.code) {
		add("exit code %d, want %s", r.code, strings.Trim(fmt.Sprint(o.codes), "[]"))
	}
	both := r.stdout + "\n" + r.stderr
	if found := trace.FindString(both); found != "" {
		add("a trace of the program's inside: %s", around(both, found))
	}
	for _, says := range o.says {
		if r.stopped == "" && !regexp.MustCompile(says).MatchString(both) {
			add("nothing matches %s", says)
		}
	}
	for _, never := range append([]string{secret}, o.never...) {
		if o.open && never == secret {
			continue
		}
		if found := regexp.MustCompile(never).FindString(both); found != "" {
			add("%q is in the output: %s", never, around(both, found))
		}
	}
	faults = append(faults, textFaults(e, r)...)
	if o.check != nil && r.stopped == "" {
		if fault := o.check(b, r); fault != "" {
			add("%s", fault)
		}
	}
	for _, name := range r.written {
		if !o.mayWrite(name) {
			add("wrote %q", name)
		}
	}
	for _, line := range r.left {
		add("left a process: %s", line)
	}
	if len(faults) > 0 {
		add("standard error: %s", shown(strings.TrimSpace(caution.ReplaceAllString(r.stderr, ""))))
		b.t.Logf("standard output: %s", shown(r.stdout))
	}
	return faults
}

func (o outcome) mayWrite(name string) bool {
	name = strings.TrimPrefix(name, "repo/")
	return slices.ContainsFunc(o.writes, func(pattern string) bool {
		ok, _ := path.Match(pattern, name)
		return ok
	})
}

// textFaults holds what is printed against what a terminal, a log and its runner
// make of it.
func textFaults(e entry, r result) []string {
	var faults []string
	// Data, unlike text, may have long lines, and no findings of its own.
	structured := regexp.MustCompile(`^\s*(\{|\[|<\?xml)`).MatchString(r.stdout)
	annotating := slices.ContainsFunc(e.args, func(arg string) bool { return strings.HasSuffix(arg, "github") }) || e.command != nil
	for _, stream := range []struct{ name, text string }{{"standard output", r.stdout}, {"standard error", r.stderr}} {
		if !utf8.ValidString(stream.text) {
			faults = append(faults, stream.name+" is not UTF-8")
		}
		for _, char := range stream.text {
			if forbidden(char) {
				faults = append(faults, fmt.Sprintf("%s has the character %U: %s", stream.name, char, around(stream.text, string(char))))
				break
			}
		}
		if found := runners.FindString(stream.text); found != "" {
			faults = append(faults, fmt.Sprintf("%s has a runner's command: %s", stream.name, around(stream.text, found)))
		}
		for _, line := range commands.FindAllString(stream.text, 3) {
			if !annotating || !annotates.MatchString(line) && !strings.HasPrefix(line, "::stop-commands::") && !regexp.MustCompile(`^::[0-9a-f]{32}::$`).MatchString(line) {
				faults = append(faults, stream.name+" has a runner's command: "+shown(line))
			}
		}
		for line := range strings.Lines(stream.text) {
			if len(line) > 8000 && !(structured && stream.name == "standard output") {
				faults = append(faults, fmt.Sprintf("%s has a line of %d bytes: %.100q", stream.name, len(line), line))
				break
			}
		}
	}
	if structured {
		return faults
	}
	for _, match := range finding.FindAllStringSubmatch(r.stdout, -1) {
		if !strings.HasPrefix(match[1], " ") && !placed.MatchString(match[1]) && !strings.HasPrefix(match[1], "|") && !strings.HasPrefix(match[1], "::") {
			faults = append(faults, "a finding without a place: "+shown(match[0]))
			break
		}
	}
	return faults
}

// forbidden are control characters, marks of direction, and characters without width.
func forbidden(char rune) bool {
	switch {
	case char == '\n' || char == '\t':
		return false
	case char < 0x20, char >= 0x7f && char <= 0x9f:
		return true
	case char == 0x61c, char >= 0x200b && char <= 0x200f, char >= 0x2028 && char <= 0x202e, char >= 0x2060 && char <= 0x206f, char == 0xfeff:
		return true
	case char >= 0xe0000 && char <= 0xe007f: // tags
		return true
	}
	return false
}

// around quotes some text and what is beside it.
func around(text, part string) string {
	i := strings.Index(text, part)
	return fmt.Sprintf("%.160q", text[max(0, i-60):])
}

// shown is the beginning of a text.
func shown(text string) string {
	if len(text) > 300 {
		return fmt.Sprintf("%q and %d bytes more", text[:300], len(text)-300)
	}
	return fmt.Sprintf("%q", text)
}

// needed says why an entry cannot be tried on this machine, "" where it can.
func needed(needs []string) string {
	for _, need := range needs {
		switch need {
		case "unix":
			if runtime.GOOS == "windows" {
				return "named pipes, devices and their like are those of Unix"
			}
		case "linux":
			if runtime.GOOS != "linux" {
				return "/proc, /sys and the devices that are tried here are Linux's"
			}
		case "user":
			if os.Geteuid() == 0 {
				return "nothing is forbidden to the administrator, as whom this runs"
			}
		default:
			if _, err := exec.LookPath(need); err != nil {
				return "there is no " + need + " here"
			}
		}
	}
	return ""
}
