package hostile

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"go.yaml.in/yaml/v3"
)

// plainYAML is a vehicle without parts, two lines long.
func plainYAML(name string) string {
	return fmt.Sprintf("headroom: 1\nvehicle: {name: %q, use: off-road, chassis: isolated}\n", name)
}

// plainCUE is the same as a package.
func plainCUE(pkg string) string {
	return "package " + pkg + "\n\nheadroom: 1\nvehicle: {name: \"" + pkg + "\", use: \"off-road\", chassis: \"isolated\"}\n"
}

// plainJSON is the same with more members, each beginning with a comma.
func plainJSON(name, members string) string {
	return fmt.Sprintf("{\"headroom\": 1, \"vehicle\": {\"name\": %q, \"use\": \"off-road\", \"chassis\": \"isolated\"}%s}\n", name, members)
}

// first is the first specification of the README, which is sound.
func first(b *box) string {
	b.t.Helper()
	data, err := os.ReadFile(filepath.Join(project, "testdata/first/first.yaml"))
	if err != nil {
		b.t.Fatal(err)
	}
	return string(data)
}

// firstJSON is the same in JSON, which is CUE too.
func firstJSON(b *box) string {
	b.t.Helper()
	var spec any
	if err := yaml.Unmarshal([]byte(first(b)), &spec); err != nil {
		b.t.Fatal(err)
	}
	data, err := json.MarshalIndent(spec, "", "\t")
	if err != nil {
		b.t.Fatal(err)
	}
	return string(data)
}

// module makes the folder repo a CUE module.
func module(b *box) {
	b.write("cue.mod/module.cue", "module: \"example.org/fleet\"\nlanguage: version: \"v0.14.0\"\n")
}

// joined is the text that line gives for 0 to n-1.
func joined(n int, line func(i int) string) string {
	var text strings.Builder
	for i := range n {
		text.WriteString(line(i))
	}
	return text.String()
}

// lines is the same for a format with one number.
func lines(n int, format string) string {
	return joined(n, func(i int) string { return fmt.Sprintf(format, i) })
}

// rep repeats a text.
func rep(n int, text string) string { return strings.Repeat(text, n) }

// nested is n times open, a core, and n times close.
func nested(n int, open, core, end string) string { return rep(n, open) + core + rep(n, end) }

// file makes files of one text, beside the neighbour.
func file(name string, text func() string) func(*box) {
	return func(b *box) {
		neighbour(b)
		b.write(name, text())
	}
}

// all checks the whole tree.
var all = []string{"check", "--", "./..."}

// A seat is where a piece of CUE sits: in a vehicle of its own, in a library, in an
// earlier revision, and so on.
type seat func(e *entry, text func() string)

// The seats. Whatever is done with a vehicle there, it and the bound are named.
var (
	own seat = func(e *entry, text func() string) {
		e.files = file("hog/hog.cue", func() string { return plainCUE("hog") + text() })
		e.args, e.want = all, bounded("hog").beside()
	}
	single seat = func(e *entry, text func() string) {
		e.files = file("hog.cue", func() string { return plainCUE("hog") + text() })
		e.args, e.want = []string{"check", "--out", "text", "--out", "json=out.json", "--", "neighbour.yaml", "hog.cue"}, bounded("hog").beside().writing("out.json")
	}
	library seat = func(e *entry, text func() string) {
		e.files = func(b *box) {
			neighbour(b)
			module(b)
			b.write("parts/parts.cue", "package parts\n\nname: \"parts\"\nhog: _hog\n_hog: _\n"+text())
			b.write("van/van.cue", "package van\n\nimport \"example.org/fleet/parts\"\n\nheadroom: 1\nvehicle: {name: parts.name, use: \"off-road\", chassis: \"isolated\"}\n_used: parts.hog\n")
		}
		e.args, e.want = all, bounded("van", "parts").beside()
	}
	second seat = func(e *entry, text func() string) {
		e.files = func(b *box) {
			neighbour(b)
			b.write("hog/hog.cue", plainCUE("hog"))
			b.write("hog/more.cue", "package hog\n\n"+text())
		}
		e.args, e.want = all, bounded("hog").beside()
	}
	baseOfDiff seat = func(e *entry, text func() string) {
		earlier(e, text)
		e.args, e.want = []string{"diff", "HEAD"}, earlierNamed
	}
	baseOfSince seat = func(e *entry, text func() string) {
		earlier(e, text)
		e.args, e.want = []string{"check", "--since", "HEAD", "--", "./..."}, earlierNamed
	}
	ofHistory seat = func(e *entry, text func() string) {
		earlier(e, text)
		e.args, e.want = []string{"history", "modes-missing", "hog", "vehicle"}, held()
	}
	input seat = func(e *entry, text func() string) {
		e.stdin = func(*box) string { return plainCUE("hog") + text() }
		e.args, e.want = []string{"check", "--stdin-name", "hog.cue", "-"}, bounded("hog")
	}
	changed seat = func(e *entry, text func() string) {
		own(e, text)
		e.args, e.want = []string{"check", "--changed", "--", "hog/hog.cue", "neighbour.yaml"}, bounded("hog").beside()
	}
	ofRatings seat = func(e *entry, text func() string) {
		own(e, text)
		e.args, e.want = []string{"ratings", "./..."}, held()
	}
	ofExplain seat = func(e *entry, text func() string) {
		own(e, text)
		e.args, e.want = []string{"explain", "modes-missing", "hog"}, held()
	}
)

// earlier commits a hostile vehicle and leaves a plain one in the working tree.
func earlier(e *entry, text func() string) {
	e.needs = append(e.needs, "git")
	e.files = func(b *box) {
		b.repository()
		neighbour(b)
		b.write("hog/hog.cue", plainCUE("hog")+text())
		b.commit("Hostile")
		b.write("hog/hog.cue", plainCUE("hog"))
	}
}

// earlierNamed is a comparison that was made, or one that names the vehicle that kept it from
// being made.
var earlierNamed = held().checked(func(_ *box, r result) string {
	if r.code == 2 && !strings.Contains(r.stderr, "hog") {
		return "standard error does not name the vehicle"
	}
	return ""
})

// seated adds one entry for each seat.
func (l *list) seated(class, name string, heavy bool, text func() string, seats map[string]seat) {
	for _, where := range []string{"own", "file", "library", "second", "diff", "since", "history", "input", "changed", "ratings", "explain"} {
		if sit, ok := seats[where]; ok {
			e := entry{class: class, name: name + "-" + where, heavy: heavy}
			sit(&e, text)
			l.add(e)
		}
	}
}

var everywhere = map[string]seat{
	"own": own, "file": single, "library": library, "second": second, "diff": baseOfDiff, "since": baseOfSince,
	"history": ofHistory, "input": input, "changed": changed, "ratings": ofRatings, "explain": ofExplain,
}

// at picks some of the seats.
func at(names ...string) map[string]seat {
	picked := map[string]seat{}
	for _, name := range names {
		picked[name] = everywhere[name]
	}
	return picked
}

// constant is a text that need not be made late.
func constant(text string) func() string { return func() string { return text } }
