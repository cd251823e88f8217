package report

import (
	"errors"
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"

	"example.org/headroom/rules"
	"example.org/headroom/schema"
)

func failed(rule, subject, primary string, line int) rules.Result {
	return rules.Result{
		Rule: rule, Subject: subject, Primary: primary, Verdict: rules.Failed, Level: rules.Error,
		At: schema.Position{File: "a.cue", Line: line},
	}
}

// keys lists findings as key[following key ...].
func keys(findings []Finding) []string {
	var out []string
	for _, f := range findings {
		s := f.Key()
		for _, res := range f.Follow {
			s += " +" + res.Key()
		}
		out = append(out, s)
	}
	return out
}

func TestFindingsGroupUnderTheirPrimary(t *testing.T) {
	passed := failed("sound", "w9", "", 1)
	passed.Verdict = rules.Passed
	note := failed("a", "y", "", 2)
	note.Level = rules.Note
	tests := []struct {
		name    string
		results []rules.Result
		want    []string
		states  map[string]State
	}{
		{"ordered by place", []rules.Result{failed("b", "x", "", 9), failed("a", "x", "", 10), passed}, []string{"b/x", "a/x"}, nil},
		{"under the primary", []rules.Result{failed("b", "x", "a/y", 1), failed("a", "y", "", 2)}, []string{"a/y +b/x"}, nil},
		{"through a chain", []rules.Result{failed("c", "z", "b/x", 1), failed("b", "x", "a/y", 2), failed("a", "y", "", 3)}, []string{"a/y +c/z +b/x"}, nil},
		{"primary passed", []rules.Result{failed("b", "x", "sound/w9", 1), passed}, []string{"b/x"}, nil},
		{"primary unknown", []rules.Result{failed("b", "x", "none/none", 1)}, []string{"b/x"}, nil},
		{"a circle loses nothing", []rules.Result{failed("a", "x", "b/x", 1), failed("b", "x", "a/x", 2)}, []string{"a/x", "b/x"}, nil},
		{"a repeated key shows its followers once", []rules.Result{failed("a", "x", "", 1), failed("a", "x", "", 2), failed("b", "x", "a/x", 3)}, []string{"a/x +b/x", "a/x"}, nil},
		{"what is graver stands for itself", []rules.Result{failed("b", "x", "a/y", 1), note}, []string{"b/x", "a/y"}, nil},
		{
			"what is new is not hidden under what stood", []rules.Result{failed("c", "x", "b/x", 1), failed("b", "x", "a/x", 2), failed("a", "x", "", 3), failed("d", "x", "a/x", 4)},
			[]string{"b/x +c/x", "a/x +d/x"}, map[string]State{"a/x": Standing, "b/x": New, "c/x": New, "d/x": Standing},
		},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			v := Vehicle{Results: tt.results, States: tt.states}
			if diff := cmp.Diff(tt.want, keys(v.Findings())); diff != "" {
				t.Errorf("findings (-want +got):\n%s", diff)
			}
		})
	}
}

func TestFails(t *testing.T) {
	at := func(l rules.Level, v rules.Verdict) *Report {
		return &Report{Vehicles: []Vehicle{{Results: []rules.Result{{Level: l, Verdict: v}}}}}
	}
	tests := []struct {
		report *Report
		failOn string
		want   bool
	}{
		{at(rules.Error, rules.Failed), "error", true},
		{at(rules.Warning, rules.Failed), "error", false},
		{at(rules.Warning, rules.Failed), "warning", true},
		{at(rules.Note, rules.Failed), "note", true},
		{at(rules.Error, rules.Failed), "never", false},
		{at(rules.Error, rules.Passed), "note", false},
		{at(rules.Error, rules.Waived), "note", false},
		{at(rules.Error, rules.NotChecked), "note", false},
	}
	for _, tt := range tests {
		tt.report.FailOn = tt.failOn
		if got := tt.report.Fails(); got != tt.want {
			t.Errorf("%v with fail-on %s: Fails() = %v, want %v", tt.report.Vehicles[0].Results, tt.failOn, got, tt.want)
		}
	}
}

func TestCount(t *testing.T) {
	r := Report{Errors: []string{"no such path"}, Vehicles: []Vehicle{
		{Results: []rules.Result{failed("a", "x", "", 1), failed("b", "x", "a/x", 1), {Verdict: rules.Passed}, {Verdict: rules.NotChecked}}},
		{Err: errors.New("too slow")},
	}}
	want := Counts{Vehicles: 2, Checks: 4, Passes: 1, Errors: 2, Follow: 1, NotChecked: 1}
	if diff := cmp.Diff(want, r.Count()); diff != "" {
		t.Errorf("counts (-want +got):\n%s", diff)
	}
	if !r.Broken() || len(r.RunErrors()) != 2 {
		t.Errorf("Broken() = %v, RunErrors() = %v", r.Broken(), r.RunErrors())
	}
}

func TestNumber(t *testing.T) {
	tests := []struct {
		v      float64
		digits int
		want   string
	}{
		{0, 4, "0"},
		{250, 4, "250"},
		{9.9996, 4, "10"},
		{0.028, 4, "0.028"},
		{143.26, 4, "143.3"},
		{12345.6, 4, "12346"}, // no digit before the point is rounded away
		{12345.6, 5, "12346"},
		{-48.05, 4, "-48.05"},
		{1234567, 4, "1234567"},
		{8.5e9, 4, "8.5e9"},
		{0.0000123, 4, "1.23e-5"},
		{0.0001, 4, "0.0001"},
		{4.16e-14, 4, "0"}, // what rounding left of a zero
		{math.Inf(1), 4, "unlimited"},
		{math.NaN(), 4, "unknown"},
	}
	for _, tt := range tests {
		if got := Number(tt.v, tt.digits); got != tt.want {
			t.Errorf("Number(%v, %d) = %q, want %q", tt.v, tt.digits, got, tt.want)
		}
	}
}

func TestRounded(t *testing.T) {
	for v, want := range map[float64]float64{
		0.1 + 0.2: 0.3, 250: 250, 1.0 / 3: 0.333333333, 123456789012: 123456789000, -2.0 / 3: -0.666666667, 5e-324: 0, 4e-14: 0, math.Copysign(0, -1): 0,
		math.MaxFloat64: 1.79769313e308,
	} {
		if got := Rounded(v); got != want || math.Signbit(got) && got == 0 {
			t.Errorf("Rounded(%v) = %v, want %v", v, got, want)
		}
	}
}

func TestRatioNeverRoundsUpToItsRequirement(t *testing.T) {
	tests := []struct {
		v    float64
		want string
	}{
		{0.9999, "0.99"},
		{1, "1.00"},
		{1.1 * 1.15, "1.26"},
		{1.1500000000000001, "1.15"},
		{0.29 * 100 / 100, "0.29"}, // 0.29 * 100 is 28.999...
		{math.Inf(1), "unlimited"},
		{1e6, "unlimited"},
	}
	for _, tt := range tests {
		if got := Ratio(tt.v); got != tt.want {
			t.Errorf("Ratio(%v) = %q, want %q", tt.v, got, tt.want)
		}
	}
	for v, want := range map[float64]string{1.25: "1.25", 1.265: "1.26", 1 / 1.05: "0.95"} {
		if got := Requirement(v); got != want {
			t.Errorf("Requirement(%v) = %q, want %q", v, got, want)
		}
	}
}

func TestAgainst(t *testing.T) {
	for _, tt := range []struct {
		verdict            rules.Verdict
		headroom, required float64
		want               string
	}{
		{rules.Passed, 1.2, 1, "1.20 (required 1.00)"},
		{rules.Passed, 0.953, 1 / 1.05, "0.95 (required 0.95)"},
		{rules.Failed, 0.9511, 1 / 1.05, "0.9511 (required 0.9524)"}, // equal to two decimals
		{rules.Failed, 0.9999, 1, "0.99 (required 1.00)"},
	} {
		if got := Against(rules.Result{Verdict: tt.verdict, Headroom: tt.headroom, Required: tt.required}); got != tt.want {
			t.Errorf("%v of %v: %q, want %q", tt.headroom, tt.required, got, tt.want)
		}
	}
}
