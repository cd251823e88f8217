package hostile

import (
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// watchedOfClass is how many entries of each class are run under the watch, heavy ones left out.
const watchedOfClass = 3

// calls are those that open, change or run a file, or speak to another process or machine.
const calls = "%network,open,openat,openat2,creat,execve,execveat,rename,renameat,renameat2,unlink,unlinkat,rmdir,mkdir,mkdirat,link,linkat,symlink,symlinkat,mknod,mknodat,truncate,chmod,fchmodat,chown,fchownat,lchown,utimensat,mount,ptrace,process_vm_readv"

// usual is what the programs open beside the box, and why it tells nobody anything and hangs on
// nothing that a stranger sends.
var usual = regexp.MustCompile(`^(` + strings.Join([]string{
	`/proc/self/(maps|auxv|stat|statm|status|cgroup|mountinfo|exe|limits|smaps_rollup)`, // the runtime of Go and the bound of memory look at the process itself
	`/proc/\d+/(stat|statm|status|cgroup|mountinfo|maps)`,                               // the same for the processes that it starts
	`/sys/fs/cgroup(/.*)?`, // how many processors there are for the runtime
	`/sys/devices/system/cpu/.*`,
	`/sys/kernel/mm/transparent_hugepage/.*`, // the size of large pages
	`/proc/sys/(vm|kernel)/[a-z_]+`,
	`/proc/meminfo|/proc/cpuinfo|/proc/stat`,
	`/dev/(null|urandom)`,                              // what a started program gets as its input
	`/etc/ld\.so\.(cache|preload)`,                     // the loader of git
	`/(usr/)?lib(64|32)?/.*`,                           // its libraries
	`/usr/share/(locale|zoneinfo|git-core)/.*`,         // its texts, and the names of time zones
	`/etc/(localtime|gitconfig|nsswitch\.conf|passwd)`, // git asks who its user is
	`/usr/local/etc/gitconfig|/(usr/)?(local/)?bin/git`,
}, "|") + `)$`)

// TestWatch runs a share of the entries under a watch on files and network. Nothing is opened but
// the files of the repository, and of the home for git's own settings; nothing is changed but the
// named outputs; no socket is made; no program is started but this one and git.
func TestWatch(t *testing.T) {
	if why := needed([]string{"linux", "strace", "git"}); why != "" {
		t.Skip(why + ", and the watch is strace")
	}
	entries := classes()
	ofClass := watchedOfClass
	if *share == "light" {
		ofClass = 1
	}
	watched := spread(entries, ofClass, func(e entry) bool { return !e.heavy && e.command == nil && !e.want.open })
	t.Run("list", func(t *testing.T) {
		for _, e := range entries {
			if !watched[e.class+"/"+e.name] {
				continue
			}
			t.Run(e.class+"/"+e.name, func(t *testing.T) {
				t.Parallel()
				if why := needed(e.needs); why != "" {
					t.Skip(why)
				}
				b := newBox(t)
				if e.files != nil {
					e.files(b)
				}
				record := filepath.Join(t.TempDir(), "record")
				e.command = append([]string{"strace", "-f", "-y", "-qq", "-s", "4096", "-e", "trace=" + calls, "-e", "signal=none", "-o", record, "--", program}, e.args...)
				if r := b.run(e); r.stopped != "" {
					t.Skip(r.stopped, ": the list says of the entry itself whether it holds; the watch takes longer")
				}
				data, err := os.ReadFile(record)
				if err != nil {
					t.Fatal(err)
				}
				for _, fault := range watchFaults(string(data), b, e) {
					t.Error(fault)
				}
			})
		}
	})
}

var (
	callLine  = regexp.MustCompile(`^(\d+) +([a-z0-9_]+)\((.*)\) += (-?\d+)`)
	firstPath = regexp.MustCompile(`^(?:(AT_FDCWD|-?\d+)(?:<([^>]*)>)?, )?"((?:[^"\\]|\\.)*)"`)
	unescape  = regexp.MustCompile(`\\[0-7]{1,3}|\\.`)
)

// watchFaults says what a record of calls has that must not be.
func watchFaults(record string, b *box, e entry) []string {
	var faults []string
	unfinished := map[string]string{}
	for line := range strings.Lines(record) {
		line = strings.TrimSpace(line)
		pid, _, _ := strings.Cut(line, " ")
		if before, ok := strings.CutSuffix(line, " <unfinished ...>"); ok {
			unfinished[pid] = before
			continue
		}
		if _, after, ok := strings.Cut(line, " resumed>"); ok && strings.Contains(line, "<... ") {
			line = unfinished[pid] + after
		}
		parts := callLine.FindStringSubmatch(line)
		if parts == nil || strings.HasPrefix(parts[4], "-") {
			continue // not a call, or one that failed
		}
		if fault := judged(parts[2], parts[3], b, e); fault != "" && !slices.Contains(faults, fault) {
			faults = append(faults, fault)
		}
	}
	return faults
}

func judged(call, args string, b *box, e entry) string {
	named := firstPath.FindStringSubmatch(args)
	if named == nil {
		return "network: " + call + "(" + shown(args) + ")"
	}
	path := unescape.ReplaceAllStringFunc(named[3], func(text string) string {
		return map[string]string{`\"`: `"`, `\\`: `\`, `\n`: "\n", `\t`: "\t"}[text]
	})
	if !filepath.IsAbs(path) {
		from := named[2]
		if from == "" {
			from = b.path(".")
		}
		path = filepath.Join(from, path)
	}
	path = filepath.Clean(path)
	inside := path == b.path(".") || strings.HasPrefix(path, b.path(".")+"/")
	changes := !strings.HasPrefix(call, "open") && !strings.HasPrefix(call, "exec") || regexp.MustCompile(`O_(WRONLY|RDWR|CREAT|TRUNC)`).MatchString(args)
	switch {
	case strings.HasPrefix(call, "exec"):
		if path != program && filepath.Base(path) != "git" && !strings.HasPrefix(path, "/proc/self/exe") {
			return "started " + shown(path)
		}
	case changes:
		// A named output comes to be beside its place, under a name that begins with a dot, and is then renamed.
		if path != "/dev/null" && (len(e.want.writes) == 0 || !inside && !strings.HasPrefix(path, filepath.Join(b.root, "tmp"))) {
			return "changed by " + call + ": " + shown(strings.TrimPrefix(path, b.root))
		}
	case inside, usual.MatchString(path), strings.HasPrefix(path, filepath.Join(b.root, "home")), path == program:
	case path == b.root || strings.HasPrefix(b.root, path+"/") || path == "/":
		// A folder above, opened to look for the root of the repository; what is in it is not.
	default:
		return "opened " + shown(strings.TrimPrefix(path, b.root))
	}
	return ""
}
