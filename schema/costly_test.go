package schema_test

import (
	"context"
	"fmt"
	"path/filepath"
	"strings"
	"testing"

	"example.org/headroom/rules/ruletest"
	"example.org/headroom/schema"
)

// TestCostlyPackagesAreTriedApart holds that what could take long is evaluated where it can
// be stopped, and that a usual vehicle is not: a process of its own takes as long as all
// else of it.
func TestCostlyPackagesAreTriedApart(t *testing.T) {
	const head = "package v\n\nheadroom: 1\nvehicle: {name: \"v\", use: \"off-road\", chassis: \"isolated\"}\n"
	repeated := func(n int, format string) string {
		var b strings.Builder
		for i := range n {
			b.WriteString(strings.ReplaceAll(strings.ReplaceAll(format, "%n", fmt.Sprint(i)), "%m", fmt.Sprint(i+1)))
		}
		return b.String()
	}
	tests := []struct {
		name, content string
		want          bool
	}{
		{"templates", "#Wire: {size: string, length_m: number, ...}\nwires: [string]: #Wire\n" + repeated(300, "wires: w%n: {size: \"6 mm2\", length_m: 1}\n"), false},
		{"alternatives beside each other", repeated(100, "_a%n: \"a\" | \"b\"\nfuses: f%n: {class: _a%n}\n"), false},
		{"a default", "#Size: *\"6 mm2\" | \"10 mm2\" | \"16 mm2\"\n" + repeated(50, "wires: w%n: {size: #Size}\n"), false},
		{"alternatives joined", repeated(12, "_a%n: {a%n: 1} | {a%n: 2}\n") + "fuses: f: " + strings.TrimSuffix(repeated(12, "_a%n & "), "& "), true},
		{"alternatives embedded", repeated(12, "_a%n: {a%n: 1} | {a%n: 2}\n") + "fuses: f: {" + repeated(12, "_a%n\n") + "}\n", true},
		{"alternatives of one field", repeated(12, "_a%n: {a%n: 1} | {a%n: 2}\nfuses: f: _a%n\n"), true},
		{"doubling by fields", "_a0: {x: 1}\n" + repeated(20, "_a%m: {l: _a%n, r: _a%n}\n") + "fuses: f: _a20\n", true},
		{"doubling by joining", "_a0: {x: 1}\n" + repeated(20, "_a%m: _a%n & _a%n\n") + "fuses: f: _a20\n", true},
		{"doubling in lists", "_a0: [1]\n" + repeated(20, "_a%m: [_a%n, _a%n]\n") + "fuses: f: _a20\n", true},
		{"a field of the struct around it", "_a: {b: _a.c, c: 1}\nfuses: f: _a\n", false},
		{"a name within itself", "_a: {b: _a & {c: 1}}\nfuses: f: _a.b\n", true},
		{"doubling by lets", "let A0 = {x: 1}\n" + repeated(20, "let A%m = {l: {A%n, k: 1}, r: {A%n, k: 1}}\n") + "fuses: f: A20\n", true},
		{"doubling by aliases", "A0=_a0: {x: 1}\n" + repeated(20, "A%m=_a%m: {l: {A%n, k: 1}, r: {A%n, k: 1}}\n") + "fuses: f: A20\n", true},
		{"doubling within a struct", "_s: {a0: {x: 1}, " + repeated(20, "a%m: {l: {_s.a%n, k: 1}, r: {_s.a%n, k: 1}}, ") + "}\nfuses: f: _s.a20\n", true},
		{"doubling by names said twice", "_s: {a0: {x: 1}, " + repeated(20, "a%m: {l: {a%n, k: 1}, r: {a%n, k: 1}}, a%m: {}, ") + "}\nfuses: f: _s.a20\n", true},
		{"a comprehension", "fuses: {for i in [1, 2] {\"f\\(i)\": {}}}\n", true},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			file := ruletest.Write(t, t.TempDir(), "v.cue", head+tt.content+"\n")
			if got := isProbed(t, file, schema.FormatCUE); got != tt.want {
				t.Errorf("evaluated apart: %v, want %v", got, tt.want)
			}
		})
	}
	for _, vehicle := range []string{"heron", "badger", "mole"} {
		if isProbed(t, filepath.Join(ruletest.Fleet(), vehicle), schema.FormatPackage) {
			t.Errorf("%s is evaluated apart", vehicle)
		}
	}
}

// isProbed reports whether a specification is evaluated apart first. It is not evaluated
// after that.
func isProbed(t *testing.T, path, format string) (probed bool) {
	schema.Read(t.Context(), schema.Target{Path: path, Format: format}, schema.Options{Probe: func(context.Context, schema.Target) error {
		probed = true
		return context.Canceled
	}})
	return probed
}
