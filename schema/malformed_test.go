package schema_test

import (
	"bytes"
	"context"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/google/go-cmp/cmp"

	"example.org/headroom/schema"
)

var update = flag.Bool("update", false, "rewrite the golden files")

const malformed = "../testdata/malformed"

// malformedTargets lists every malformed specification: the files, and the
// packages in the folders.
func malformedTargets(t *testing.T) []schema.Target {
	t.Helper()
	entries, err := os.ReadDir(malformed)
	if err != nil {
		t.Fatal(err)
	}
	var targets []schema.Target
	for _, e := range entries {
		if e.IsDir() || filepath.Ext(e.Name()) == ".txt" {
			continue
		}
		found, err := schema.Find([]string{filepath.Join(malformed, e.Name())}, schema.Options{})
		if err != nil {
			t.Fatal(err)
		}
		targets = append(targets, found...)
	}
	for _, folder := range []string{"library/cart", "library/lost", "split"} {
		targets = append(targets, schema.Target{Path: filepath.Join(malformed, folder), Format: schema.FormatPackage})
	}
	return targets
}

// render writes problems as the golden files hold them.
func render(problems []schema.Problem) string {
	var b strings.Builder
	for _, p := range problems {
		fmt.Fprintf(&b, "%s: %s [%s]\n", p.At, p.Message, p.Rule)
		for _, r := range p.Related {
			fmt.Fprintf(&b, "\t%s: %s\n", r.Position, r.Note)
		}
		if p.Fix != "" {
			fmt.Fprintf(&b, "\tfix: %s\n", p.Fix)
		}
	}
	return b.String()
}

func TestMalformed(t *testing.T) {
	fired := map[string]bool{}
	for _, target := range malformedTargets(t) {
		name, _ := filepath.Rel(malformed, target.Path)
		t.Run(filepath.ToSlash(name), func(t *testing.T) {
			l := schema.Read(t.Context(), target, schema.Options{Root: malformed})
			if l.Err != nil {
				t.Fatal(l.Err)
			}
			if len(l.Problems) == 0 {
				t.Fatal("nothing was found")
			}
			got := render(l.Problems)
			golden := target.Path + ".txt"
			if *update {
				if err := os.WriteFile(golden, []byte(got), 0o644); err != nil {
					t.Fatal(err)
				}
			}
			want, err := os.ReadFile(golden)
			if err != nil {
				t.Fatal(err)
			}
			if diff := cmp.Diff(string(want), got); diff != "" {
				t.Errorf("problems (-want +got):\n%s", diff)
			}
			checkManners(t, l.Problems)
			for _, p := range l.Problems {
				fired[p.Rule] = true
			}
		})
	}
	for _, r := range schema.Rules() {
		if !fired[r.ID] && r.ID != schema.RuleTooLarge { // see TestLimits
			t.Errorf("no malformed specification makes %s fire", r.ID)
		}
	}
}

// checkManners checks what must be true of every list of problems: in the
// order of their positions, each once, in the user's words, at a place that
// exists.
func checkManners(t *testing.T, problems []schema.Problem) {
	t.Helper()
	seen := map[string]bool{}
	for i, p := range problems {
		if i > 0 && before(p.At, problems[i-1].At) {
			t.Errorf("%s stands after %s", p.At, problems[i-1].At)
		}
		if key := p.At.String() + p.Message; seen[key] {
			t.Errorf("reported twice: %s: %s", p.At, p.Message)
		} else {
			seen[key] = true
		}
		text := strings.ToLower(p.Message + " " + p.Fix)
		for _, word := range []string{"#spec", "disjunction", "incomplete", "conjunct", "struct", "bottom", "_|_", "cannot unmarshal", "json:", "yaml:", "goroutine", "nil", "%!", "definitions.cue"} {
			if strings.Contains(text, word) {
				t.Errorf("%s: internal word %q: %s / %s", p.At, word, p.Message, p.Fix)
			}
		}
		for _, at := range append([]schema.Place{{Position: p.At}}, p.Related...) {
			checkPlace(t, at.Position)
		}
	}
}

func before(a, b schema.Position) bool {
	return a.File < b.File || a.File == b.File && (a.Line < b.Line || a.Line == b.Line && a.Column < b.Column)
}

// checkPlace checks that a position lies in its file, in code points.
func checkPlace(t *testing.T, at schema.Position) {
	t.Helper()
	content, err := os.ReadFile(filepath.Join(malformed, at.File))
	if err != nil {
		t.Errorf("%s: %v", at, err)
		return
	}
	lines := strings.Split(strings.TrimPrefix(string(content), "\ufeff"), "\n")
	if at.Line > len(lines) {
		t.Errorf("%s: the file has %d lines", at, len(lines))
		return
	}
	if at.Line > 0 {
		if n := utf8.RuneCountInString(strings.TrimSuffix(lines[at.Line-1], "\r")); at.Column > n+1 || at.EndColumn > n+1 {
			t.Errorf("%s-%d: the line has %d characters", at, at.EndColumn, n)
		}
	}
}

// textAt returns what stands at a position.
func textAt(t *testing.T, file string, at schema.Position) string {
	t.Helper()
	content, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(strings.TrimPrefix(string(content), "\ufeff"), "\n")
	if at.Line < 1 || at.Line > len(lines) || at.EndColumn <= at.Column {
		t.Fatalf("no text at %s-%d", at, at.EndColumn)
	}
	return string([]rune(lines[at.Line-1])[at.Column-1 : at.EndColumn-1])
}

// TestColumns checks columns after text outside ASCII, after a byte order mark
// and with both kinds of line ending, in each format.
func TestColumns(t *testing.T) {
	for _, format := range []string{"yaml", "json", "cue"} {
		for _, name := range []string{"non-ascii", "crlf"} {
			file := filepath.Join(malformed, name+"."+format)
			l := schema.Read(t.Context(), schema.Target{Path: file, Format: format}, schema.Options{})
			var got []string
			for _, p := range l.Problems {
				got = append(got, strings.Trim(textAt(t, file, p.At), `"`))
			}
			want := []string{"rated_amp"}
			if name == "non-ascii" {
				want = []string{"zehn", "sauce"}
			}
			if len(got) > len(want) {
				got = got[:len(want)]
			}
			if diff := cmp.Diff(want, got); diff != "" {
				t.Errorf("%s: text at the findings (-want +got):\n%s", file, diff)
			}
		}
	}
}

// TestBroken checks that a mistake takes out what it lies in and nothing else.
func TestBroken(t *testing.T) {
	for _, test := range []struct {
		target schema.Target
		broken []string
		fuses  []string // that remain
	}{
		{schema.Target{Path: malformed + "/two-mistakes.yaml", Format: "yaml"}, []string{"fuses.lights", "fuses.main", "wires.w1"}, nil},
		{schema.Target{Path: malformed + "/zone.yaml", Format: "yaml"}, []string{"fuses.main", "zones.bay"}, nil},
		{schema.Target{Path: malformed + "/duplicate-key.yaml", Format: "yaml"}, []string{"fuses.main"}, []string{"horn", "lights"}},
		{schema.Target{Path: malformed + "/duplicate-id.yaml", Format: "yaml"}, []string{"disconnects.main", "wires.pack"}, []string{"main"}},
		{schema.Target{Path: malformed + "/anchor.yaml", Format: "yaml"}, []string{"wires.w1", "wires.w2", "wires.w3", "wires.w4"}, nil},
		{schema.Target{Path: malformed + "/hidden.cue", Format: "cue"}, nil, []string{"main"}},
		{schema.Target{Path: malformed + "/unknown-name.cue", Format: "cue"}, []string{"fuses.horn", "fuses.lights", "fuses.main", "loads.brake", "loads.tail"}, nil},
	} {
		l := schema.Read(t.Context(), test.target, schema.Options{})
		if l.Spec == nil {
			t.Errorf("%s: no spec: %v", test.target.Path, l.Err)
			continue
		}
		if diff := cmp.Diff(test.broken, l.Spec.Broken()); diff != "" {
			t.Errorf("%s: broken (-want +got):\n%s", test.target.Path, diff)
		}
		var fuses []string
		for id := range schema.Sorted(l.Spec.Fuses) {
			fuses = append(fuses, id)
		}
		if diff := cmp.Diff(test.fuses, fuses); diff != "" {
			t.Errorf("%s: fuses (-want +got):\n%s", test.target.Path, diff)
		}
	}
}

func TestRules(t *testing.T) {
	var ids []string
	for _, r := range schema.Rules() {
		ids = append(ids, r.ID)
		if r.Title == "" || r.Why == "" || r.Fix == "" || r.Example == "" {
			t.Errorf("%s is not documented in full", r.ID)
		}
		if strings.HasSuffix(r.Title, ".") || !strings.HasPrefix(r.ID, "spec-") {
			t.Errorf("%s: the title has a full stop, or the id lacks spec-", r.ID)
		}
	}
	slices.Sort(ids)
	if n := len(slices.Compact(ids)); n != len(schema.Rules()) {
		t.Errorf("%d rules have %d ids", len(schema.Rules()), n)
	}
}

// TestSameBytes checks that the order of problems does not depend on chance.
func TestSameBytes(t *testing.T) {
	for _, target := range malformedTargets(t) {
		var first []byte
		for i := range 5 {
			got := []byte(render(schema.Read(context.Background(), target, schema.Options{Root: malformed}).Problems))
			if i == 0 {
				first = got
			} else if !bytes.Equal(first, got) {
				t.Errorf("%s: differs between runs:\n%s", target.Path, cmp.Diff(string(first), string(got)))
			}
		}
	}
}
