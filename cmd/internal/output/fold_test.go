package output

import (
	"bytes"
	"strings"
	"testing"

	"example.org/headroom/cmd/internal/report"
	"example.org/headroom/rules"
)

// Of notes that say the same a reader meets one, with the names of the others;
// what is graver, what has numbers, and what is to be done otherwise stands by
// itself.
func TestNotesThatAreAlikeAreFolded(t *testing.T) {
	one := func(level rules.Level, rule, subject, primary, fix string) rules.Result {
		return rules.Result{Rule: rule, Subject: subject, Primary: primary, Fix: fix, Verdict: rules.Failed, Level: level, Message: subject + " states none"}
	}
	note := func(subject, primary, fix string) rules.Result {
		return one(rules.Note, "torque-missing", subject, primary, fix)
	}
	measured := note("e", "", "copy it")
	measured.Headroom, measured.Required = 0.8, 1
	tests := []struct {
		name    string
		results []rules.Result
		states  map[string]report.State
		verbose bool
		want    []string // the beginnings of the lines that name a subject
	}{
		{name: "those that follow from the first", results: []rules.Result{note("a", "", "copy it"), note("b", "torque-missing/a", "copy it"), note("c", "torque-missing/a", "copy it")},
			want: []string{"note: a states none", "    and 2 more like it: b, c"}},
		{name: "those that stand for themselves", results: []rules.Result{note("a", "", "copy it"), note("b", "", "copy it")},
			want: []string{"note: a states none", "    and 1 more like it: b"}},
		{name: "all are asked for", verbose: true, results: []rules.Result{note("a", "", "copy it"), note("b", "torque-missing/a", "copy it"), note("c", "", "copy it")},
			want: []string{"note: a states none", "    consequence: note: b states none", "note: c states none"}},
		{name: "another thing to do", results: []rules.Result{note("a", "", "wait 4 s"), note("b", "", "wait 14 s")},
			want: []string{"note: a states none", "note: b states none"}},
		{name: "errors and warnings", results: []rules.Result{one(rules.Error, "x", "a", "", "f"), one(rules.Error, "x", "b", "", "f"), one(rules.Warning, "y", "c", "", "f"), one(rules.Warning, "y", "d", "y/c", "f")},
			want: []string{"error: a states none", "error: b states none", "warning: c states none", "    consequence: warning: d states none"}},
		{name: "numbers", results: []rules.Result{note("a", "", "copy it"), measured},
			want: []string{"note: a states none", "note: e states none"}},
		{name: "what is new and what stands", results: []rules.Result{note("a", "", "copy it"), note("b", "", "copy it")}, states: map[string]report.State{"torque-missing/b": report.Standing},
			want: []string{"note: a states none", "note: b states none"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			r := &report.Report{Verbose: tt.verbose, Vehicles: []report.Vehicle{{Results: tt.results, States: tt.states}}}
			var b bytes.Buffer
			if err := Text(&b, r, Options{}); err != nil {
				t.Fatal(err)
			}
			var got []string
			for line := range strings.Lines(b.String()) {
				if strings.Contains(line, "states none") || strings.Contains(line, "more like it") {
					got = append(got, line)
				}
			}
			if len(got) != len(tt.want) {
				t.Fatalf("got\n%s", b.String())
			}
			for i, want := range tt.want {
				if !strings.HasPrefix(got[i], want) {
					t.Errorf("line %d is %q, want %q", i, got[i], want)
				}
			}
		})
	}
}

// Notes that are folded into one with several subjects are no consequences of it.
func TestConsequencesAreCounted(t *testing.T) {
	result := func(rule, subject, primary string, level rules.Level) rules.Result {
		return rules.Result{Rule: rule, Subject: subject, Primary: primary, Level: level, Verdict: rules.Failed}
	}
	r := &report.Report{Vehicles: []report.Vehicle{{Results: []rules.Result{
		result("torque-missing", "a", "", rules.Note), result("torque-missing", "b", "torque-missing/a", rules.Note),
		result("overloaded", "w", "", rules.Error), result("overloaded", "x", "overloaded/w", rules.Error), result("hot", "w", "overloaded/w", rules.Error),
	}}}}
	var b strings.Builder
	if err := Summary(&b, r); err != nil {
		t.Fatal(err)
	}
	if want := "3 errors, 0 warnings, 2 notes (2 are consequences of another finding)"; !strings.Contains(b.String(), want) {
		t.Errorf("%q is not in %q", want, b.String())
	}
}

// What the help page on results says of the line "Start with": of more than three
// findings, one of them an error or a warning.
func TestSummaryNamesWhereToStart(t *testing.T) {
	for _, tc := range []struct {
		name         string
		notes, grave int
		level        rules.Level
		want         bool
	}{
		{"three findings", 2, 1, rules.Error, false},
		{"four with an error", 3, 1, rules.Error, true},
		{"four with a warning", 3, 1, rules.Warning, true},
		{"four notes", 4, 0, rules.Note, false},
	} {
		t.Run(tc.name, func(t *testing.T) {
			var list []rules.Result
			add := func(n int, level rules.Level) {
				for range n {
					list = append(list, rules.Result{Rule: "overloaded", Subject: string(rune('a' + len(list))), Level: level, Verdict: rules.Failed})
				}
			}
			add(tc.notes, rules.Note)
			add(tc.grave, tc.level)
			var b strings.Builder
			if err := Summary(&b, &report.Report{Vehicles: []report.Vehicle{{Results: list}}}); err != nil {
				t.Fatal(err)
			}
			if got := strings.Contains(b.String(), "\nStart with "); got != tc.want {
				t.Errorf("names where to start: %v, want %v: %s", got, tc.want, b.String())
			}
		})
	}
}
