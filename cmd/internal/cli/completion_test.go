package cli

import (
	"testing"
	"time"

	"github.com/spf13/pflag"
)

func TestUnquote(t *testing.T) {
	tests := []struct{ word, want string }{
		{`plain`, `plain`},
		{`my\ fleet`, `my fleet`},
		{`"my fleet`, `my fleet`},
		{`'it'\''s'`, `it's`},
		{`"a\"b\$c\d"`, `a"b$c\d`},
		{`'a\b'`, `a\b`},
		{`a"b c"d`, `ab cd`},
		{`end\`, `end`},
		{``, ``},
		{`$(x)`, `$(x)`}, // nothing is put in
	}
	for _, tt := range tests {
		if got := unquote(tt.word); got != tt.want {
			t.Errorf("unquote(%s) = %q, want %q", tt.word, got, tt.want)
		}
	}
}

// Every argument that help names is completed by something, or known to be free
// text; so a new command does not forget it.
func TestEveryArgumentIsCompleted(t *testing.T) {
	known := map[string]bool{"PATH": true, "PART": true, "RULE": true, "SUBJECT": true, "OLD": true, "NEW": true, "DIR": true, "SHELL": true}
	for _, cmd := range commands() {
		if cmd.hidden {
			continue
		}
		for n := range 4 {
			typed := typedWords{dash: -1, args: make([]string, n)}
			if kind := placeholder(cmd, typed); kind != "" && !known[kind] {
				t.Errorf("the argument %s of %s is not completed", kind, cmd.name)
			}
		}
	}
}

// readWords takes no value for a flag of one letter, which holds as long as none does.
func TestNoShortFlagTakesAValue(t *testing.T) {
	for _, cmd := range commands() {
		flags := newFlags(cmd)
		cmd.run(&Command{}, flags)
		flags.VisitAll(func(f *pflag.Flag) {
			if f.Shorthand != "" && f.NoOptDefVal == "" {
				t.Errorf("-%s of %s takes a value", f.Shorthand, cmd.name)
			}
		})
	}
}

// A person waits for it with a finger on the key.
func BenchmarkCompleteSubjects(b *testing.B) {
	b.Chdir("../../../testdata")
	c := Default()
	c.Today = time.Date(2027, 1, 1, 0, 0, 0, 0, time.UTC)
	for b.Loop() {
		if k := c.complete(b.Context(), []string{"explain", "fuse-above-ampacity", "fleet-mistakes/heron", ""}); len(k.list) == 0 {
			b.Fatal("no candidates")
		}
	}
}
