package cli

import (
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"cuelang.org/go/cue/format"
	"go.yaml.in/yaml/v3"

	"example.org/headroom/schema"
)

// demo is a git repository of a fleet that is edited over some weeks. Dates,
// authors and settings are fixed. Its commits are known by labels, since their
// hashes change with every line of the fleet that they start from.
type demo struct {
	t      testing.TB
	dir    string
	labels []label // in the order in which they were made
}

type label struct{ name, hash string }

// newDemo makes the repository with its whole history.
func newDemo(t testing.TB) *demo {
	t.Helper()
	d := emptyDemo(t)
	d.install("fleet")
	for _, step := range demoSteps() {
		step.change(d)
		d.commit(step.label, step.author, step.message)
	}
	return d
}

func emptyDemo(t testing.TB) *demo {
	t.Helper()
	d := &demo{t: t, dir: t.TempDir()}
	d.git("init", "-q", "-b", "main")
	d.git("config", "core.autocrlf", "false")
	d.git("config", "core.fileMode", "false")
	return d
}

// install copies the demo fleet.
func (d *demo) install(folder string) {
	d.t.Helper()
	if err := os.CopyFS(filepath.Join(d.dir, folder), os.DirFS("../../../testdata/fleet")); err != nil {
		d.t.Fatal(err)
	}
}

// step is one commit. The authors are roles, not people.
type step struct {
	label, author, message string
	change                 func(d *demo)
}

// demoSteps is the history: what happens to a fleet in its repository, good and bad.
func demoSteps() []step {
	return []step{
		{"fleet", "workshop", "The fleet as it stands", func(d *demo) {
			d.remove("fleet/badger") // it joins later
			d.copy("../../../testdata/first/first.yaml", "fleet/carts/gnat.yaml")
		}},
		{"thinner", "electrics", "heron: the lead to the main fuse in 35 mm2", func(d *demo) {
			d.edit("fleet/heron/traction.cue", "w_pack_fuse: parts.cables.orange_50", "w_pack_fuse: parts.cables.orange_35")
		}},
		{"notes", "review", "How we review", func(d *demo) { d.write("README.md", "# Fleet\n") }},
		{"hotter", "electrics", "heron: 42 C in the cab; the rear return in 2.5 mm2", func(d *demo) {
			d.edit("fleet/heron/vehicle.cue", "max: 40}", "max: 42}")
			d.edit("fleet/heron/house.cue", "w_rear_ret: parts.cables.house_4", "w_rear_ret: parts.cables.house_2_5")
		}},
		{"library", "workshop", "Stock: the new blade fuses break 800 A", func(d *demo) {
			d.edit("fleet/parts/fuses.cue", `_blade: {class: "blade", rated_V_dc: 32, breaking_A_dc: 1000`, `_blade: {class: "blade", rated_V_dc: 32, breaking_A_dc: 800`)
		}},
		{"rename", "workshop", "heron: the folder is called after what it is", func(d *demo) {
			d.move("fleet/heron", "fleet/trikes/heron one")
		}},
		{"broken", "electrics", "mole: steeper ramp | `half` <b>done</b>", func(d *demo) {
			d.edit("fleet/mole/vehicle.cue", "draw: drive: power_W: 5200", "draw: drive: power_W: 5600 }}")
		}},
		{"mended", "electrics", "mole: the brackets", func(d *demo) {
			d.edit("fleet/mole/vehicle.cue", "power_W: 5600 }}", "power_W: 5600")
		}},
		{"revert", "review", "Revert \"heron: the lead to the main fuse in 35 mm2\"", func(d *demo) {
			d.edit("fleet/trikes/heron one/traction.cue", "w_pack_fuse: parts.cables.orange_35", "w_pack_fuse: parts.cables.orange_50")
		}},
		{"merge", "review", "Merge branch 'spare'", func(d *demo) {
			d.git("checkout", "-q", "-b", "spare", "main~1")
			d.edit("fleet/trikes/heron one/traction.cue", `main: parts.fuses.bolt_125 & {label: "F1", spares: 1`, `main: parts.fuses.bolt_125 & {label: "F1", spares: 0`)
			d.commit("spare", "workshop", "heron: the spare main fuse is used up")
			d.git("checkout", "-q", "main")
			d.git("merge", "-q", "--no-ff", "--no-commit", "spare")
		}},
		{"waiver", "review", "heron: without a spare until the next delivery", func(d *demo) {
			d.write("fleet/trikes/heron one/waivers.cue", demoWaiver)
		}},
		{"layout", "review", "Layout and remarks", (*demo).relayout},
		{"order", "review", "heron: wires from back to front", (*demo).reorder},
		{"yaml", "workshop", "mole: as YAML", (*demo).convert},
		{"badger", "workshop", "badger joins", func(d *demo) {
			for _, name := range []string{"vehicle", "traction", "house"} {
				d.copy("../../../testdata/fleet/badger/"+name+".cue", "fleet/badger/"+name+".cue")
			}
		}},
		{"gone", "workshop", "gnat is sold", func(d *demo) { d.remove("fleet/carts") }},
		{"resistance", "electrics", "mole: an older pack", func(d *demo) {
			d.edit("fleet/mole/mole.yaml", "max: 24", "max: 27")
		}},
	}
}

const demoWaiver = `package heron

waivers: [{
	rule:        "fuse-spare-missing"
	subject:     "main"
	reason:      "The next delivery is in May; until then the workshop keeps one on the shelf."
	approved_by: "review"
	expires:     "2026-05-31"
}]
`

// relayout formats every CUE file anew, indents it otherwise and puts remarks in.
func (d *demo) relayout() {
	for _, name := range d.files(".cue") {
		text, err := format.Source([]byte(d.read(name)), format.Simplify())
		if err != nil {
			d.t.Fatal(err)
		}
		var b strings.Builder
		for line := range strings.SplitSeq(strings.ReplaceAll(string(text), "\t", "  "), "\n") {
			if strings.HasPrefix(line, "  w_") {
				b.WriteString("\n  // looked at\n")
			}
			b.WriteString(line + "\n")
		}
		d.write(name, b.String())
	}
}

// reorder turns the order of the wires of a file round, and the order of the
// fields of each.
func (d *demo) reorder() {
	const name = "fleet/trikes/heron one/house.cue"
	lines := strings.Split(d.read(name), "\n")
	var at []int
	for i, line := range lines {
		if strings.HasPrefix(line, "  w_") && strings.HasSuffix(line, "}") {
			at = append(at, i)
		}
	}
	if len(at) < 10 {
		d.t.Fatalf("%d wires to put in another order", len(at))
	}
	reversed := make([]string, len(at))
	for k, i := range at {
		head, fields, ok := strings.Cut(strings.TrimSuffix(lines[i], "}"), "& {")
		if !ok {
			d.t.Fatalf("no fields in %q", lines[i])
		}
		list := strings.Split(fields, ", ")
		slices.Reverse(list)
		reversed[len(at)-1-k] = head + "& {" + strings.Join(list, ", ") + "}"
	}
	for k, i := range at {
		lines[i] = reversed[k]
	}
	d.write(name, strings.Join(lines, "\n"))
}

// convert writes a vehicle as YAML instead of CUE.
func (d *demo) convert() {
	folder := filepath.Join(d.dir, "fleet", "mole")
	loaded := schema.Read(context.Background(), schema.Target{Path: folder, Format: schema.FormatPackage}, schema.Options{Root: d.dir})
	if loaded.Err != nil || len(loaded.Problems) > 0 {
		d.t.Fatalf("mole does not load: %v, %v", loaded.Err, loaded.Problems)
	}
	text, err := loaded.Spec.JSON()
	if err != nil {
		d.t.Fatal(err)
	}
	var node yaml.Node
	if err := yaml.Unmarshal(text, &node); err != nil {
		d.t.Fatal(err)
	}
	block(&node)
	out, err := yaml.Marshal(&node)
	if err != nil {
		d.t.Fatal(err)
	}
	d.remove("fleet/mole")
	d.write("fleet/mole/mole.yaml", string(out))
}

// block takes braces and needless quotation marks off a YAML document that was JSON.
func block(n *yaml.Node) {
	n.Style &^= yaml.FlowStyle | yaml.DoubleQuotedStyle
	for _, c := range n.Content {
		block(c)
	}
}

func (d *demo) path(name string) string { return filepath.Join(d.dir, filepath.FromSlash(name)) }

func (d *demo) read(name string) string {
	d.t.Helper()
	b, err := os.ReadFile(d.path(name))
	if err != nil {
		d.t.Fatal(err)
	}
	return string(b)
}

func (d *demo) write(name, content string) {
	d.t.Helper()
	if err := os.MkdirAll(filepath.Dir(d.path(name)), 0o755); err != nil {
		d.t.Fatal(err)
	}
	if err := os.WriteFile(d.path(name), []byte(content), 0o644); err != nil {
		d.t.Fatal(err)
	}
}

func (d *demo) copy(from, to string) {
	d.t.Helper()
	b, err := os.ReadFile(from)
	if err != nil {
		d.t.Fatal(err)
	}
	d.write(to, string(b))
}

// edit replaces a text that stands in a file exactly once.
func (d *demo) edit(name, old, new string) {
	d.t.Helper()
	text := d.read(name)
	if n := strings.Count(text, old); n != 1 {
		d.t.Fatalf("%q stands %d times in %s, want once", old, n, name)
	}
	d.write(name, strings.Replace(text, old, new, 1))
}

func (d *demo) remove(name string) {
	d.t.Helper()
	if err := os.RemoveAll(d.path(name)); err != nil {
		d.t.Fatal(err)
	}
}

func (d *demo) move(from, to string) {
	d.t.Helper()
	if err := os.MkdirAll(filepath.Dir(d.path(to)), 0o755); err != nil {
		d.t.Fatal(err)
	}
	if err := os.Rename(d.path(from), d.path(to)); err != nil {
		d.t.Fatal(err)
	}
}

// files lists the files of the fleet whose names end so.
func (d *demo) files(suffix string) (names []string) {
	d.t.Helper()
	for name := range strings.SplitSeq(d.git("ls-files", "-z", "fleet"), "\x00") {
		if strings.HasSuffix(name, suffix) {
			names = append(names, name)
		}
	}
	return names
}

// commit records all that is in the folder, one day after the last one.
func (d *demo) commit(name, author, message string) {
	d.t.Helper()
	d.git("add", "-A")
	d.gitAs(author, "commit", "-q", "--allow-empty", "--cleanup=verbatim", "-m", message)
	d.labels = append(d.labels, label{name, d.git("rev-parse", "HEAD")})
}

func (d *demo) git(args ...string) string { d.t.Helper(); return d.gitAs("workshop", args...) }

func (d *demo) gitAs(author string, args ...string) string {
	d.t.Helper()
	day := time.Date(2026, 3, 1, 8, 0, 0, 0, time.UTC).AddDate(0, 0, len(d.labels)).Format(time.RFC3339)
	cmd := exec.Command("git", args...)
	cmd.Dir = d.dir
	cmd.Env = append(os.Environ(), "GIT_CONFIG_GLOBAL="+os.DevNull, "GIT_CONFIG_SYSTEM="+os.DevNull,
		"GIT_AUTHOR_NAME="+author, "GIT_AUTHOR_EMAIL="+author+"@example.org", "GIT_AUTHOR_DATE="+day,
		"GIT_COMMITTER_NAME="+author, "GIT_COMMITTER_EMAIL="+author+"@example.org", "GIT_COMMITTER_DATE="+day)
	out, err := cmd.CombinedOutput()
	if err != nil {
		d.t.Fatalf("git %s: %v\n%s", strings.Join(args, " "), err, out)
	}
	return strings.TrimSpace(string(out))
}

// named puts labels in place of the hashes in an output.
func (d *demo) named(text string) string {
	for _, l := range d.labels {
		text = strings.ReplaceAll(text, l.hash, fmt.Sprintf("<%s>", l.name))
		text = strings.ReplaceAll(text, l.hash[:10], fmt.Sprintf("<%s>", l.name))
	}
	return text
}
