package cli

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io/fs"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/santhosh-tekuri/jsonschema/v6"

	"example.org/headroom/cmd/internal/engine"
	"example.org/headroom/rules"
	"example.org/headroom/rules/catalogue"
)

// few are the rules of the golden outputs: enough for every kind of outcome,
// and not so many that the outputs change with each message of the catalogue.
func few() []*rules.Rule {
	keep := []string{"fuse-above-ampacity", "fuse-breaking-low", "fuse-spare-missing", "battery-peak-high", "load-drop-high"}
	return slices.DeleteFunc(catalogue.All(), func(r *rules.Rule) bool {
		return r.Family != "spec" && r.Family != "waiver" && r.Family != "record" && !slices.Contains(keep, r.ID)
	})
}

// runDemo runs the command in a folder on the day after the history ends.
func runDemo(t testing.TB, dir string, list []*rules.Rule, args ...string) (code int, stdout, stderr string) {
	t.Helper()
	back, err := os.Getwd()
	if err != nil {
		t.Fatal(err)
	}
	if err := os.Chdir(dir); err != nil {
		t.Fatal(err)
	}
	defer func() {
		if err := os.Chdir(back); err != nil {
			t.Fatal(err)
		}
	}()
	var out, errs bytes.Buffer
	c := &Command{
		Stdin: strings.NewReader(""), Stdout: &out, Stderr: &errs,
		Getenv: func(string) string { return "" },
		Rules:  list, Bound: engine.DefaultBound(), Today: time.Date(2026, 4, 1, 0, 0, 0, 0, time.UTC),
		Build: Build{Version: "v1.2.3", Module: "example.org/headroom"},
	}
	code = c.Main(args)
	return code, out.String(), errs.String()
}

// hashes puts hashes in place of labels: "{thinner}~1" is the commit before
// that one.
func (d *demo) hashes(args []string) []string {
	out := slices.Clone(args)
	for i := range out {
		for _, l := range d.labels {
			out[i] = strings.ReplaceAll(out[i], "{"+l.name+"}", l.hash)
		}
	}
	return out
}

const (
	heron = "fleet/trikes/heron one"
	mole  = "fleet/mole"
)

// TestDemo runs the commands that read revisions on the history of a fleet.
func TestDemo(t *testing.T) {
	d := newDemo(t)
	for _, test := range []struct {
		name string
		run  func(*testing.T, *demo)
	}{
		{"outputs", demoOutputs},
		{"same says nothing", demoSameSaysNothing},
		{"single edit", demoSingleEdit},
		{"two edits", demoTwoEdits},
		{"mistakes", demoMistakes},
		{"from elsewhere", demoFromElsewhere},
		{"leaves no trace", demoLeavesNoTrace},
	} {
		t.Run(test.name, func(t *testing.T) { test.run(t, d.in(t)) })
	}
}

// in is the same repository for a test within the test that made it.
func (d *demo) in(t *testing.T) *demo { return &demo{t, d.dir, d.labels} }

// demoOutputs holds the outputs against golden files.
func demoOutputs(t *testing.T, d *demo) {
	tests := []struct {
		file string
		args []string
	}{
		{"diff-single.txt", []string{"diff", "{thinner}~1", "{thinner}"}},
		{"diff-two.txt", []string{"diff", "{hotter}~1", "{hotter}"}},
		{"diff-library.txt", []string{"diff", "{library}~1", "{library}"}},
		{"diff-library.md", []string{"diff", "--out", "markdown", "{library}~1", "{library}"}},
		{"diff-library.json", []string{"diff", "--out", "json", "{library}~1", "{library}"}},
		{"diff-rename.txt", []string{"diff", "{rename}~1", "{rename}"}},
		{"diff-broken.txt", []string{"diff", "{broken}~1", "{broken}"}},
		{"diff-broken.sarif", []string{"diff", "--out", "sarif", "{broken}~1", "{broken}", "--", mole}},
		{"diff-mended.txt", []string{"diff", "{mended}~1", "{mended}"}},
		{"diff-revert.txt", []string{"diff", "{revert}~1", "{revert}"}},
		{"diff-merge.txt", []string{"diff", "{merge}~1", "{merge}"}},
		{"diff-merge.sarif", []string{"diff", "--out", "sarif", "{merge}~1", "{merge}", "--", heron}},
		{"diff-branch.txt", []string{"diff", "{revert}...{spare}", "{spare}"}},
		{"diff-waiver.txt", []string{"diff", "{waiver}~1", "{waiver}"}},
		{"diff-new.md", []string{"diff", "--out", "markdown", "{badger}~1", "{badger}"}},
		{"diff-gone.md", []string{"diff", "--out", "markdown", "{gone}~1", "{gone}"}},
		{"diff-all.txt", []string{"diff", "{fleet}"}},
		{"diff-all.md", []string{"diff", "--out", "markdown", "{fleet}"}},
		{"history-lead.txt", []string{"history", "fuse-above-ampacity", heron, "w_pack_fuse"}},
		{"history-two.txt", []string{"history", "fuse-above-ampacity", heron, "w_rear_ret"}},
		{"history-shared.txt", []string{"history", "fuse-breaking-low", heron, "coil_fuse"}},
		{"history-waived.txt", []string{"history", "fuse-spare-missing", heron}},
		{"history-format.txt", []string{"history", "battery-peak-high", mole}},
		{"history-format.json", []string{"history", "--out", "json", "battery-peak-high", mole}},
		{"history-two.json", []string{"history", "--out", "json", "fuse-above-ampacity", heron, "w_rear_ret"}},
		{"history-limit.txt", []string{"history", "--limit", "2", "battery-peak-high", mole}},
		{"history-from.txt", []string{"history", "--from", "{revert}~1", "fuse-above-ampacity", heron, "w_pack_fuse"}},
		{"history-young.txt", []string{"history", "fuse-above-ampacity", "fleet/badger", "w_rear_ret"}},
		{"since.txt", []string{"check", "--since", "{revert}", "--fail-on", "note", "--today", "2026-06-01", "fleet/..."}},
		{"since.sarif", []string{"check", "--since", "{revert}", "--today", "2026-06-01", "--out", "sarif", heron}},
		{"since-waived.txt", []string{"check", "--since", "{revert}", "--fail-on", "note", "-v", heron}},
	}
	for _, test := range tests {
		t.Run(test.file, func(t *testing.T) {
			code, stdout, stderr := runDemo(t, d.dir, few(), d.hashes(test.args)...)
			if strings.HasSuffix(test.file, ".sarif") {
				isSARIF(t, stdout)
				stdout = rulesOfSARIF.ReplaceAllString(stdout, "${1}...$2")
			}
			summary, _, _ := strings.Cut(stderr, "Caution:")
			got := fmt.Sprintf("%s-- standard error --\n%s-- exit code %d --\n", d.named(stdout), d.named(summary), code)
			golden(t, filepath.Join("testdata", "demo", test.file), got)
		})
	}
}

// rulesOfSARIF matches the descriptions of the rules, which have their own tests.
var rulesOfSARIF = regexp.MustCompile(`(?s)(\n          "rules": \[).*?(\n          \])`)

func golden(t *testing.T, file, got string) {
	t.Helper()
	if *update {
		if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(string(want), got); diff != "" {
		t.Errorf("%s differs (-want +got), -update rewrites it:\n%s", file, diff)
	}
}

// isSARIF holds an output against the schema of OASIS SARIF 2.1.0.
func isSARIF(t *testing.T, text string) {
	t.Helper()
	const file = "../../../testdata/sarif/sarif-schema-2.1.0.json"
	doc, err := jsonschema.UnmarshalJSON(strings.NewReader(readFile(t, file)))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	if err := c.AddResource("sarif.json", doc); err != nil {
		t.Fatal(err)
	}
	s, err := c.Compile("sarif.json")
	if err != nil {
		t.Fatal(err)
	}
	out, err := jsonschema.UnmarshalJSON(strings.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	if err := s.Validate(out); err != nil {
		t.Error(err)
	}
}

// difference is what the tests read of a comparison.
type difference struct {
	Counts   map[string]int `json:"counts"`
	Vehicles []struct {
		Path, State string
		Edits       []struct{ Path string }
		Moves       []struct {
			Rule, Subject string
			Factor        any
			Cause         *struct {
				Interact bool
				Shares   []struct {
					Edits  []string
					Factor any
				}
			}
		}
	}
}

// compare runs diff with all rules and returns what it says in text and as data.
func (d *demo) compare(t *testing.T, args ...string) (stdout, stderr string, data difference) {
	t.Helper()
	file := filepath.Join(t.TempDir(), "difference.json")
	flags := []string{"diff", "--out", "text", "--out", "json=" + file, "--fail-on", "never"}
	code, stdout, stderr := runDemo(t, d.dir, catalogue.All(), append(flags, d.hashes(args)...)...)
	if code != ExitClean {
		t.Fatalf("exit code %d\n%s", code, stderr)
	}
	if err := json.Unmarshal([]byte(readFile(t, file)), &data); err != nil {
		t.Fatal(err)
	}
	return stdout, stderr, data
}

// demoSameSaysNothing compares commits that change how a vehicle is
// written and nothing else, by all rules.
func demoSameSaysNothing(t *testing.T, d *demo) {
	for _, pair := range [][2]string{
		{"{layout}~1", "{layout}"},
		{"{order}~1", "{order}"},
		{"{yaml}~1", "{yaml}"},
		{"{yaml}", "{yaml}~1"},
		{"{notes}~1", "{notes}"},
		{"{waiver}", "{yaml}"},
	} {
		t.Run(pair[0]+" "+pair[1], func(t *testing.T) {
			stdout, stderr, data := d.compare(t, "--threshold", "0", "--all", pair[0], pair[1])
			if stdout != "" {
				t.Errorf("it says:\n%s", stdout)
			}
			if !strings.Contains(stderr, " unchanged); 0 edits, 0 headrooms moved; findings: 0 new, ") {
				t.Errorf("summary: %s", stderr)
			}
			for _, v := range data.Vehicles {
				if v.State != "unchanged" || len(v.Edits) > 0 || len(v.Moves) > 0 {
					t.Errorf("%s is %s, %d edits, %d moves", v.Path, v.State, len(v.Edits), len(v.Moves))
				}
			}
		})
	}
}

// demoSingleEdit checks that what one edit moved is laid to that edit.
func demoSingleEdit(t *testing.T, d *demo) {
	for name, edit := range map[string]string{
		"thinner":    "wires.w_pack_fuse.size",
		"revert":     "wires.w_pack_fuse.size",
		"merge":      "fuses.main.spares",
		"resistance": "batteries.pack.resistance_mOhm",
		"library":    "", // one for each blade fuse
	} {
		t.Run(name, func(t *testing.T) {
			moves, vehicles := 0, 0
			_, _, data := d.compare(t, "--threshold", "0.01", "{"+name+"}~1", "{"+name+"}")
			for _, v := range data.Vehicles {
				if v.State == "changed" {
					vehicles++
				}
				for _, m := range v.Moves {
					moves++
					want := edit
					if want == "" {
						want = "fuses." + m.Subject + ".breaking_A_dc"
					}
					if m.Cause == nil || m.Cause.Interact || len(m.Cause.Shares) != 1 || !slices.Equal(m.Cause.Shares[0].Edits, []string{want}) {
						t.Errorf("%s of %s: cause %+v, want %s alone", m.Rule, m.Subject, m.Cause, want)
					}
				}
			}
			if moves == 0 {
				t.Error("nothing moved")
			}
			if want := map[bool]int{true: 2, false: 1}[name == "library"]; vehicles != want {
				t.Errorf("%d vehicles changed, want %d", vehicles, want)
			}
		})
	}
}

// demoTwoEdits checks that what two independent edits do multiplies to what
// they do together.
func demoTwoEdits(t *testing.T, d *demo) {
	both := 0
	_, _, data := d.compare(t, "{hotter}~1", "{hotter}")
	for _, v := range data.Vehicles {
		for _, m := range v.Moves {
			whole, ok := m.Factor.(float64)
			if !ok || m.Cause == nil {
				continue
			}
			product := 1.0
			for _, s := range m.Cause.Shares {
				if f, ok := s.Factor.(float64); ok {
					product *= f
				}
			}
			if !m.Cause.Interact && math.Abs(product/whole-1) > 0.005 {
				t.Errorf("%s of %s: shares multiply to %.4f, together %.4f", m.Rule, m.Subject, product, whole)
			}
			if len(m.Cause.Shares) == 2 {
				both++
			}
		}
	}
	if both == 0 {
		t.Error("nothing is moved by both edits")
	}
}

// demoFromElsewhere reads histories in a sub-folder, a bare clone, a shallow
// clone and through a symbolic link.
func demoFromElsewhere(t *testing.T, d *demo) {
	history := func(dir string, args ...string) (int, string, string) {
		t.Helper()
		code, stdout, stderr := runDemo(t, dir, few(), append([]string{"history", "fuse-above-ampacity"}, args...)...)
		return code, d.named(stdout), stderr
	}
	_, want, _ := history(d.dir, heron, "w_pack_fuse")
	if strings.Count(want, "\n") < 10 {
		t.Fatalf("history:\n%s", want)
	}

	bare := filepath.Join(t.TempDir(), "bare.git")
	d.git("clone", "-q", "--bare", ".", bare)
	if _, got, stderr := history(bare, heron, "w_pack_fuse"); got != want {
		t.Errorf("in a bare clone: %s%s", cmp.Diff(want, got), stderr)
	}

	_, got, stderr := history(d.path("fleet/trikes"), "heron one", "w_pack_fuse")
	if want := strings.NewReplacer("fleet/trikes/", "", "fleet/heron", "../heron").Replace(want); got != want {
		t.Errorf("in a sub-folder: %s%s", cmp.Diff(want, got), stderr)
	}

	shallow := filepath.Join(t.TempDir(), "shallow")
	d.git("clone", "-q", "--depth=12", "file://"+d.dir, shallow)
	_, got, stderr = history(shallow, heron, "w_pack_fuse")
	for _, part := range []string{"the oldest commit here: ", "because this clone is shallow; fetch the history: \"git fetch --unshallow\""} {
		if !strings.Contains(got, part) {
			t.Errorf("in a shallow clone, %q is not in:\n%s%s", part, got, stderr)
		}
	}

	if err := os.Symlink("trikes", d.path("fleet/current")); err != nil {
		t.Fatal(err)
	}
	d.commit("link", "workshop", "A shorter way")
	if _, got, stderr = history(d.dir, "fleet/current/heron one", "w_pack_fuse"); got != want {
		t.Errorf("through a symbolic link: %s%s", cmp.Diff(want, got), stderr)
	}
}

func demoMistakes(t *testing.T, d *demo) {
	tests := []struct {
		args []string
		want string
	}{
		{nil, `expected a RULE; "headroom rules" lists them`},
		{[]string{"fuse-above-ampacty", mole}, `unknown rule "fuse-above-ampacty" (did you mean "fuse-above-ampacity"?)`},
		{[]string{"fuse-above-ampacity", "-"}, "standard input has no history"},
		{[]string{"fuse-above-ampacity", mole, "a", "b"}, `found a fourth argument "b"`},
		{[]string{"fuse-above-ampacity", mole, "w_pak_fuse"}, `the rule fuse-above-ampacity has no subject "w_pak_fuse" (did you mean "w_pack_fuse"?) at HEAD`},
		{[]string{"fuse-above-ampacity", mole}, "the rule fuse-above-ampacity has more than one subject there; name one of b_comb_1,"},
		{[]string{"fuse-above-ampacity", "fleet/...", "w_pack_fuse"}, "fleet/... means more than one vehicle; name one of fleet/badger, fleet/mole/mole.yaml, fleet/trikes/heron one"},
		{[]string{"fuse-above-ampacity", "fleet/otter"}, "in HEAD: fleet/otter: there is no such file or folder; only what is committed has a history"},
		{[]string{"--from", "nowhere", "fuse-above-ampacity", mole}, `--from: there is no revision "nowhere"`},
		{[]string{"--from", "{broken}", "battery-peak-high", mole}, "fleet/mole does not load in "},
		{[]string{"--limit", "-1", "battery-peak-high", mole}, "--limit is -1; it must not be negative"},
		{[]string{"--threshold", "-1", "battery-peak-high", mole}, "--threshold is -1 percent; it must not be negative"},
	}
	for _, test := range tests {
		t.Run(strings.Join(test.args, " "), func(t *testing.T) {
			code, stdout, stderr := runDemo(t, d.dir, few(), append([]string{"history"}, d.hashes(test.args)...)...)
			if code != ExitFailed || stdout != "" || !strings.HasPrefix(stderr, "headroom: ") || !strings.Contains(stderr, test.want) {
				t.Errorf("exit code %d, standard error %q, want %d and %q; standard output %q", code, stderr, ExitFailed, test.want, stdout)
			}
		})
	}
}

// traces is all that a run could leave behind: the state of the work tree, the
// references, and every file of the repository and of the folder for temporary
// files with its size and time.
func (d *demo) traces(t *testing.T, temporary string) string {
	t.Helper()
	var b strings.Builder
	b.WriteString(d.git("--no-optional-locks", "status", "--porcelain") + d.git("for-each-ref") + d.git("count-objects", "-v"))
	for _, dir := range []string{d.dir, temporary} {
		err := filepath.WalkDir(dir, func(path string, e fs.DirEntry, err error) error {
			if err != nil {
				return err
			}
			info, err := e.Info()
			if err == nil {
				fmt.Fprintf(&b, "%s %d %s\n", path, info.Size(), info.ModTime())
			}
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	return b.String()
}

// demoLeavesNoTrace runs every command that reads revisions, to its end and
// interrupted, and compares the repository before and after.
func demoLeavesNoTrace(t *testing.T, d *demo) {
	d.write("fleet/mole/extra.txt", "not committed\n")
	temporary := t.TempDir()
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	for _, args := range [][]string{
		{"diff", "{fleet}"},
		{"diff", "{fleet}", "{gone}"},
		{"history", "fuse-above-ampacity", heron, "w_pack_fuse"},
		{"check", "--since", "{fleet}", "fleet/..."},
	} {
		for _, after := range []time.Duration{0, 60 * time.Millisecond} {
			t.Run(fmt.Sprintf("%s after %s", args[0], after), func(t *testing.T) {
				before := d.traces(t, temporary)
				cmd := exec.Command(self, d.hashes(args)...)
				cmd.Args[0] = "headroom" // the test binary acts by the name that it is called
				cmd.Dir = d.dir
				cmd.Env = append(os.Environ(), "TMPDIR="+temporary)
				if err := cmd.Start(); err != nil {
					t.Fatal(err)
				}
				if after > 0 {
					time.Sleep(after)
					_ = cmd.Process.Signal(syscall.SIGINT) // it may have ended by itself
				}
				_ = cmd.Wait() // findings and the interrupt end it with an error
				if diff := cmp.Diff(before, d.traces(t, temporary)); diff != "" {
					t.Errorf("it left:\n%s", diff)
				}
			})
		}
	}
}
