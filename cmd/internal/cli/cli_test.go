package cli

import (
	"compress/gzip"
	"encoding/binary"
	"errors"
	"flag"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"
	"unicode/utf16"

	"github.com/rogpeppe/go-internal/testscript"

	"example.org/headroom/rules"
	"example.org/headroom/rules/waiver"
	"example.org/headroom/schema"
)

var update = flag.Bool("update", false, "rewrite the expected output of the scripts")

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){
		// The command as people run it.
		"headroom": func() { os.Exit(Default().Main(os.Args[1:])) },
		// The same with the few rules below, so that the scripts on the command
		// line stand still when the catalogue grows.
		"sample": func() {
			c := Default()
			c.Rules = sampleRules()
			c.Build = Build{Version: "v1.2.3", Module: "example.org/headroom"}
			c.Bound.Time = 2 * time.Second
			os.Exit(c.Main(os.Args[1:]))
		},
	})
}

func TestScripts(t *testing.T) {
	project, err := filepath.Abs("../../..")
	if err != nil {
		t.Fatal(err)
	}
	testscript.Run(t, testscript.Params{
		Dir: "testdata/script",
		Setup: func(e *testscript.Env) error {
			e.Setenv("PROJECT", project) // for the scripts of the Action and the hook's entry
			return nil
		},
		Cmds:                map[string]func(*testscript.TestScript, bool, []string){"rewrite": rewrite},
		UpdateScripts:       *update,
		RequireExplicitExec: true,
		RequireUniqueNames:  true,
	})
}

// rewrite saves a file in another form: rewrite FORM FILE.
func rewrite(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: rewrite FORM FILE")
	}
	file := ts.MkAbs(args[1])
	data, err := os.ReadFile(file)
	ts.Check(err)
	text := string(data)
	lineEnds := func(end string) string { return strings.ReplaceAll(text, "\n", end) }
	forms := map[string]func() string{
		"other-version": func() string {
			return regexp.MustCompile(`("version": )"[^"]*"`).ReplaceAllString(text, `$1"v9.9.9"`)
		},
		"padded":    func() string { return text + strings.Repeat("#"+strings.Repeat(" ", 1<<20)+"\n", 17) },
		"UTF-16":    func() string { return utf16Text(text, "\xff\xfe", binary.LittleEndian) },
		"UTF-16BE":  func() string { return utf16Text(text, "", binary.BigEndian) },
		"CR":        func() string { return lineEnds("\r") },
		"NEL":       func() string { return lineEnds("\u0085") },
		"LS":        func() string { return lineEnds("\u2028") },
		"FF":        func() string { return lineEnds("\f") },
		"commented": func() string { return "# " + lineEnds("\n# ") },
		"escaped": func() string {
			return strings.NewReplacer("\nheadroom:", `
"\x68eadroom":`, "\nvehicle:", `
"\u0076ehicle":`).Replace("\n" + text)
		},
		"compressed": func() string {
			var b strings.Builder
			w := gzip.NewWriter(&b)
			_, err := w.Write(data)
			ts.Check(errors.Join(err, w.Close()))
			return b.String()
		},
	}
	if forms[args[0]] == nil {
		ts.Fatalf("unknown form %q", args[0])
	}
	ts.Check(os.WriteFile(file, []byte(forms[args[0]]()), 0o666))
}

func utf16Text(text, mark string, order binary.AppendByteOrder) string {
	out := []byte(mark)
	for _, unit := range utf16.Encode([]rune(text)) {
		out = order.AppendUint16(out, unit)
	}
	return string(out)
}

// sampleRules are rules of every kind of outcome: with a headroom, yes or no,
// not checked, and one that follows from another.
func sampleRules() []*rules.Rule {
	list := []*rules.Rule{
		{
			ID: "fuse-above-limit", Family: "fuse", Title: "a fuse is above 100 A", Level: rules.Error, Required: 1,
			Why: "Invented for the test.", Relation: "I_n <= 100 A", Source: "common practice", Fix: "use a smaller fuse",
			Policy: []string{"policy.terminal_max_C"},
			Check:  checkSampleLimit,
		},
		{
			ID: "fuse-voltage", Family: "fuse", Title: "a fuse lacks its DC voltage", Level: rules.Warning,
			Why: "Invented for the test.", Relation: "rated_V_dc is above 0", Source: "common practice", Fix: "read it off the fuse",
			Check: func(p *rules.Pass) {
				for id, f := range schema.Sorted(p.Spec.Fuses) {
					c := p.Subject(id, f.Path())
					if !f.RatedVdc.Known {
						c.NotChecked(f.Path()+".rated_V_dc", "the DC voltage of %s is not known", id)
						continue
					}
					c.Holds(true, "%s has a DC voltage", id)
				}
			},
		},
		{
			ID: "fuse-name", Family: "fuse", Title: "a fuse is too large and has a short name", Level: rules.Note,
			Why: "Invented for the test.", Relation: "none", Source: "common practice", Fix: "give it a longer name",
			Check: func(p *rules.Pass) {
				for id, f := range schema.Sorted(p.Spec.Fuses) {
					if f.RatedA > 100 {
						p.Subject(id, f.Path()).Because("fuse-above-limit", id).Fail("the name %s is short", id)
					}
				}
			},
		},
	}
	for _, doc := range schema.Rules() {
		list = append(list, &rules.Rule{
			ID: doc.ID, Family: "spec", Title: doc.Title, Why: doc.Why, Level: rules.Error, Source: "the specification format", Fix: doc.Fix,
		})
	}
	return append(list, waiver.Rules()...)
}

func checkSampleLimit(p *rules.Pass) {
	for id, f := range schema.Sorted(p.Spec.Fuses) {
		c := p.Subject(id, f.Path()).In("", "any")
		n := c.Given("I_n", "rated current of "+id, f.RatedA, "A", f.Path()+".rated_A")
		limit := c.Calc("I_max", "limit of the test", "2 * 50", "2 * 50", 100, "A")
		c.AtMost(rules.Quantity{Value: n, Unit: "A"}, rules.Quantity{Value: limit, Unit: "A"}, "fuse %s of %g A is held against 100 A", id, n)
	}
}
