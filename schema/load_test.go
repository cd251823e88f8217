package schema_test

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"example.org/headroom/schema"
)

// write makes a folder with files and returns it.
func write(t *testing.T, files map[string]string) string {
	t.Helper()
	dir := t.TempDir()
	for name, content := range files {
		path := filepath.Join(dir, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(content), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

const (
	head       = "headroom: 1\nvehicle: {name: \"Test cart\", use: \"off-road\", chassis: \"isolated\"}\n"
	moduleFile = "module: \"example.org/yard\"\nlanguage: version: \"v0.14.0\"\n"
	computing  = "package cart\n" + head + "for i in [1, 2] {fuses: \"f\\(i)\": {class: \"blade\", rated_A: 10 * i}}\n"
)

// rules lists the rules of problems.
func rules(problems []schema.Problem) []string {
	var ids []string
	for _, p := range problems {
		ids = append(ids, p.Rule)
	}
	return ids
}

func TestLimits(t *testing.T) {
	deep := strings.Repeat("[", 80) + strings.Repeat("]", 80)
	var many strings.Builder
	for i := range 50 {
		fmt.Fprintf(&many, "  f%d: {class: blade, rated_A: 10}\n", i)
	}
	laughs := head + "a: &a [x, x, x, x, x, x, x, x, x, x]\n"
	for c := 'b'; c <= 'i'; c++ {
		laughs += fmt.Sprintf("%c: &%c [%s*%c]\n", c, c, strings.Repeat(fmt.Sprintf("*%c, ", c-1), 9), c-1)
	}
	for _, test := range []struct {
		name, file, content string
		limits              schema.Limits
		want                string
	}{
		{"large file", "a.yaml", head + strings.Repeat("# padding\n", 200), schema.Limits{FileBytes: 1000}, schema.RuleTooLarge},
		{"large CUE file", "a.cue", head + strings.Repeat("// padding\n", 200), schema.Limits{FileBytes: 1000}, schema.RuleTooLarge},
		{"deep YAML", "a.yaml", head + "x: " + deep, schema.Limits{}, schema.RuleTooLarge},
		{"deep JSON", "a.json", `{"headroom": 1, "x": ` + deep + "}", schema.Limits{}, schema.RuleTooLarge},
		{"deep CUE", "a.cue", head + "x: " + strings.Repeat("{a: ", 80) + "1" + strings.Repeat("}", 80), schema.Limits{}, schema.RuleTooLarge},
		{"deep labels in CUE", "a.cue", head + strings.Repeat("a: ", 80) + "1", schema.Limits{}, schema.RuleTooLarge},
		{"many parts", "a.yaml", head + "fuses:\n" + many.String(), schema.Limits{Entities: 49}, schema.RuleTooLarge},
		{"nested aliases", "a.yaml", laughs, schema.Limits{}, schema.RuleSyntax},
	} {
		t.Run(test.name, func(t *testing.T) {
			dir := write(t, map[string]string{test.file: test.content})
			targets, err := schema.Find([]string{filepath.Join(dir, test.file)}, schema.Options{})
			if err != nil {
				t.Fatal(err)
			}
			start := time.Now()
			l := schema.Read(t.Context(), targets[0], schema.Options{Root: dir, Limits: test.limits})
			if took := time.Since(start); took > 5*time.Second {
				t.Errorf("took %v", took)
			}
			if diff := cmp.Diff([]string{test.want}, rules(l.Problems)); diff != "" || l.Spec != nil || l.Err != nil {
				t.Errorf("spec %v, error %v, problems (-want +got):\n%s%s", l.Spec != nil, l.Err, diff, render(l.Problems))
			}
		})
	}
}

// TestLaughs checks that references which multiply cost nothing once they are evaluated:
// only what the definitions know is looked at.
func TestLaughs(t *testing.T) {
	content := "package cart\n" + head + "_a: {x: 1, y: 2}\n"
	for c := 'b'; c <= 'z'; c++ {
		content += fmt.Sprintf("_%c: {x: _%c, y: _%c}\n", c, c-1, c-1)
	}
	dir := write(t, map[string]string{"a.cue": content + "fuses: main: _z\nmore: _z\n"})
	l := schema.Read(t.Context(), schema.Target{Path: dir + "/a.cue", Format: schema.FormatCUE}, schema.Options{Root: dir, Probe: func(context.Context, schema.Target) error { return nil }})
	got := rules(l.Problems)
	want := []string{schema.RuleUnknownField, schema.RuleUnknownField, schema.RuleMissingField, schema.RuleMissingField, schema.RuleUnknownField}
	if diff := cmp.Diff(want, got); diff != "" || l.Err != nil {
		t.Errorf("%v (-want +got):\n%s%s", l.Err, diff, render(l.Problems))
	}
}

// TestProbe checks that CUE which computes is evaluated under guard only.
func TestProbe(t *testing.T) {
	dir := write(t, map[string]string{"cart/cart.cue": computing, "plain/plain.cue": "package plain\n" + head})
	target := schema.Target{Path: dir + "/cart", Format: schema.FormatPackage}

	if l := schema.Read(t.Context(), target, schema.Options{}); l.Spec != nil || l.Err != nil || !cmp.Equal(rules(l.Problems), []string{schema.RuleUnsafeConstruct}) {
		t.Errorf("without a probe: %v\n%s", l.Err, render(l.Problems))
	}

	var probed []schema.Target
	probe := func(_ context.Context, target schema.Target) error {
		probed = append(probed, target)
		return nil
	}
	l := schema.Read(t.Context(), target, schema.Options{Probe: probe})
	if l.Err != nil || len(l.Problems) > 0 || l.Spec == nil || l.Spec.Fuses["f2"].RatedA != 20 {
		t.Errorf("with a probe: %v\n%s", l.Err, render(l.Problems))
	}
	if at := l.Spec.At("fuses.f2.rated_A"); at.Line != 4 {
		t.Errorf("a computed value stands at %s", at)
	}
	if schema.Read(t.Context(), schema.Target{Path: dir + "/plain", Format: schema.FormatPackage}, schema.Options{Probe: probe}); !cmp.Equal(probed, []schema.Target{target}) {
		t.Errorf("probed: %v", probed)
	}

	late := errors.New("evaluation took more than 10 s")
	l = schema.Read(t.Context(), target, schema.Options{Probe: func(context.Context, schema.Target) error { return late }})
	if l.Err != late || l.Spec != nil {
		t.Errorf("a probe that fails: %v", l.Err)
	}
	l = schema.Read(t.Context(), target, schema.Options{Probe: func(context.Context, schema.Target) error { panic("fault") }})
	if l.Err == nil || l.Spec != nil || !strings.Contains(l.Err.Error(), "internal error") {
		t.Errorf("a fault: %v", l.Err)
	}
	if err := schema.Evaluate(target, schema.Options{}); err != nil {
		t.Errorf("Evaluate: %v", err)
	}

	l = schema.Read(t.Context(), schema.Target{Path: schema.Stdin, Format: schema.FormatCUE}, schema.Options{Stdin: strings.NewReader(computing), Probe: probe})
	if !cmp.Equal(rules(l.Problems), []string{schema.RuleUnsafeConstruct}) {
		t.Errorf("from standard input: %v\n%s", l.Err, render(l.Problems))
	}
}

// TestComputes checks what counts as plain data.
func TestComputes(t *testing.T) {
	for text, refused := range map[string]bool{
		`fuses: a: {class: "blade", rated_A: 10}`:                                       false,
		`_r: 10, fuses: a: {class: "blade", rated_A: _r}`:                               false,
		`#B: {class: "blade", rated_A: *10 | number, ...}, fuses: a: #B & {rated_A: 5}`: false,
		`fuses: [string]: class: "blade", fuses: a: rated_A: 10`:                        false,
		`let r = 10, fuses: a: {class: "blade", rated_A: r}`:                            false,
		`#N: number & >0 & <100, fuses: a: {class: "blade", rated_A: #N & 10}`:          false,
		`fuses: a: {class: "blade", rated_A: 5 + 5}`:                                    true,
		`fuses: a: {class: "bl\("ade")", rated_A: 5}`:                                   true,
		`fuses: {if true {a: {class: "blade", rated_A: 5}}}`:                            true,
		`fuses: a: {class: "blade", rated_A: len("12345")}`:                             true,
		`fuses: a: {class: "blade", rated_A: 5} | {class: "gG", rated_A: 6}`:            true,
	} {
		dir := write(t, map[string]string{"a.cue": head + text})
		l := schema.Read(t.Context(), schema.Target{Path: dir + "/a.cue", Format: schema.FormatCUE}, schema.Options{Root: dir})
		if got := cmp.Equal(rules(l.Problems), []string{schema.RuleUnsafeConstruct}); got != refused || !refused && (len(l.Problems) > 0 || l.Err != nil) {
			t.Errorf("%s: refused %v, want %v: %v\n%s", text, got, refused, l.Err, render(l.Problems))
		}
	}
}

// TestEnvironment checks that the environment cannot switch checks off:
// CUE_DEBUG=opendef lets unknown fields of closed definitions pass elsewhere.
func TestEnvironment(t *testing.T) {
	const child = "HEADROOM_TEST_CHILD"
	if os.Getenv(child) == "" { // the evaluator reads the environment once per process
		program, err := os.Executable()
		if err != nil {
			t.Fatal(err)
		}
		cmd := exec.CommandContext(t.Context(), program, "-test.run=^TestEnvironment$")
		cmd.Env = append(os.Environ(), child+"=1", "CUE_DEBUG=opendef", "CUE_REGISTRY=127.0.0.1:1")
		if out, err := cmd.CombinedOutput(); err != nil {
			t.Errorf("with a hostile environment: %v\n%s", err, out)
		}
		return
	}
	content := head + "#B: {class: \"blade\", rated_A: number}\nfuses: a: #B & {rated_A: 5, spares: 1}\n"
	dir := write(t, map[string]string{"a.cue": content})
	l := schema.Read(t.Context(), schema.Target{Path: dir + "/a.cue", Format: schema.FormatCUE}, schema.Options{Root: dir})
	if diff := cmp.Diff([]string{schema.RuleUnknownField}, rules(l.Problems)); diff != "" || l.Err != nil {
		t.Errorf("%v (-want +got):\n%s%s", l.Err, diff, render(l.Problems))
	}
}

// TestPackages checks how packages are put together.
func TestPackages(t *testing.T) {
	dir := write(t, map[string]string{
		"cue.mod/module.cue":    moduleFile,
		"fleet.cue":             "package fleet\npolicy: live_V: 7\n",
		"other.cue":             "package other\npolicy: live_V: 8\n",
		"parts/parts.cue":       "package parts\nimport \"example.org/yard/parts/small:tiny\"\n#Blade: {class: \"blade\", rated_A: tiny.amps, ...}\n",
		"parts/small/small.cue": "package tiny\namps: 3\n",
		"cart/cart.cue":         "package fleet\nimport p \"example.org/yard/parts@v0\"\n" + head + "fuses: a: p.#Blade\n",
		"cart/more.cue":         "package fleet\nfuses: b: {class: \"glass\", rated_A: 1}\n",
		"cart/cart_test.cue":    "package fleet\nfuses: c: nonsense\n",
		"cart/lib.cue":          "package lib\nx: nonsense\n",
	})
	l := schema.Read(t.Context(), schema.Target{Path: filepath.Join(dir, "cart"), Format: schema.FormatPackage}, schema.Options{Root: dir})
	if l.Err != nil || len(l.Problems) > 0 || l.Spec == nil {
		t.Fatalf("%v\n%s", l.Err, render(l.Problems))
	}
	if l.Spec.Fuses["a"].RatedA != 3 || l.Spec.Fuses["b"].RatedA != 1 || l.Spec.Policy.LiveV != 7 {
		t.Errorf("fuses %v, policy %v", l.Spec.Fuses, l.Spec.Policy.LiveV)
	}
	if at, _ := l.Spec.Shared("fuses.a.rated_A"); at.String() != "parts/parts.cue:3:35" {
		t.Errorf("shared at %s", at)
	}
	if at := l.Spec.At("fuses.a.rated_A"); at.String() != "cart/cart.cue:5:8" {
		t.Errorf("own at %s", at)
	}
	if at, ok := l.Spec.Shared("policy.live_V"); at.String() != "fleet.cue:2:17" || !ok || !l.Spec.Given("policy.live_V") {
		t.Errorf("policy at %s", at)
	}
	if l.Name != "Test cart" {
		t.Errorf("name %q", l.Name)
	}
}

// TestStdin checks standard input in each format, with a name and without.
func TestStdin(t *testing.T) {
	for _, test := range []struct{ name, content string }{
		{"", "headroom: 1\nvehicle:\n  name: Test cart\n  use: boat\n  chassis: isolated\n"},
		{"", `{"headroom": 1, "vehicle": {"name": "Test cart", "use": "boat", "chassis": "isolated"}}`},
		{"", "package cart\n\n" + head},
		{"", "// a cart\nheadroom: 1\nvehicle: {\n\tname: \"Test cart\", use: \"boat\", chassis: \"isolated\"\n}\n"},
		{"yard/cart.cue", head},
		{"cart.yaml", head},
	} {
		opts := schema.Options{Stdin: strings.NewReader(test.content), StdinName: test.name}
		targets, err := schema.Find([]string{"-"}, opts)
		if err != nil {
			t.Fatal(err)
		}
		l := schema.Read(t.Context(), targets[0], opts)
		if l.Err != nil || len(l.Problems) > 0 || l.Name != "Test cart" {
			t.Errorf("%q: %v\n%s", test.content, l.Err, render(l.Problems))
			continue
		}
		want := test.name
		if want == "" {
			want = "stdin"
		}
		if at := l.Spec.At("vehicle.name"); at.File != want {
			t.Errorf("stands in %q, want %q", at.File, want)
		}
	}
}

// TestByteOrderMark checks that a byte order mark is not counted as a column.
func TestByteOrderMark(t *testing.T) {
	for format, content := range map[string]string{"yaml": "headroom: 2", "cue": "headroom: 2", "json": `{"headroom": 2}`} {
		at := map[string]string{"yaml": "1:11", "cue": "1:11", "json": "1:14"}[format]
		dir := write(t, map[string]string{"a." + format: "\ufeff" + content})
		l := schema.Read(t.Context(), schema.Target{Path: filepath.Join(dir, "a."+format), Format: format}, schema.Options{Root: dir})
		if len(l.Problems) != 1 || l.Problems[0].At.String() != "a."+format+":"+at {
			t.Errorf("%v, want a.%s:%s\n%s", l.Err, format, at, render(l.Problems))
		}
	}
}

// TestLineBreaks checks that lines are counted as editors and git count them,
// although YAML breaks lines at more characters.
func TestLineBreaks(t *testing.T) {
	dir := write(t, map[string]string{"a.yaml": "# one\u2028# two\u0085# three\n" + head + "policy: {live_V: none}\n"})
	l := schema.Read(t.Context(), schema.Target{Path: filepath.Join(dir, "a.yaml"), Format: schema.FormatYAML}, schema.Options{Root: dir})
	if len(l.Problems) != 1 || l.Problems[0].At.String() != "a.yaml:4:18" {
		t.Errorf("%v\n%s", l.Err, render(l.Problems))
	}
}

func TestConcurrent(t *testing.T) {
	targets := malformedTargets(t)
	for _, name := range []string{"heron", "mole", "badger"} {
		targets = append(targets, schema.Target{Path: "../testdata/fleet/" + name, Format: schema.FormatPackage})
	}
	var wait sync.WaitGroup
	outcomes := make([][]string, 4)
	for worker := range outcomes {
		wait.Go(func() {
			for _, target := range targets {
				l := schema.Read(context.Background(), target, schema.Options{Root: ".."})
				outcomes[worker] = append(outcomes[worker], render(l.Problems))
			}
		})
	}
	wait.Wait()
	for _, got := range outcomes[1:] {
		if diff := cmp.Diff(outcomes[0], got); diff != "" {
			t.Errorf("workers disagree:\n%s", diff)
		}
	}
}

// TestModuleFile checks that a module file which cannot be used is an error of
// the run, in plain words.
func TestModuleFile(t *testing.T) {
	for content, want := range map[string]string{
		"module: \"example.org/yard\"\nlanguage: version: \"new\"\n": `cue.mod/module.cue: the language version "new" is not of the form v0.14.0`,
		"module: {\n": "cue.mod/module.cue: the module file cannot be read",
	} {
		dir := write(t, map[string]string{"cue.mod/module.cue": content, "a.cue": "package a\n" + head})
		l := schema.Read(t.Context(), schema.Target{Path: dir, Format: schema.FormatPackage}, schema.Options{Root: dir})
		if l.Err == nil || !strings.HasPrefix(l.Err.Error(), want) || l.Spec != nil {
			t.Errorf("error %v, want %s", l.Err, want)
		}
	}
}

// TestUnreadable checks that a file which cannot be read is an error of the run.
func TestUnreadable(t *testing.T) {
	for _, format := range []string{schema.FormatYAML, schema.FormatJSON, schema.FormatCUE, schema.FormatPackage} {
		dir := t.TempDir()
		l := schema.Read(t.Context(), schema.Target{Path: filepath.Join(dir, "none"), Format: format}, schema.Options{Root: dir})
		if l.Err == nil || l.Spec != nil || len(l.Problems) > 0 || strings.Contains(l.Err.Error(), dir) || !strings.HasPrefix(l.Err.Error(), "none: ") {
			t.Errorf("%s: error %v, problems %v", format, l.Err, l.Problems)
		}
	}
}
