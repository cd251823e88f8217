package waiver_test

import (
	"bytes"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"example.org/headroom/rules"
	"example.org/headroom/rules/catalogue"
	"example.org/headroom/rules/ruletest"
	"example.org/headroom/rules/waiver"
	"example.org/headroom/schema"
)

// cart is a vehicle with waivers put in; what of it is connected does not
// matter, for the results are given.
func cart(t *testing.T, waivers string) *schema.Spec {
	t.Helper()
	return read(t, "", waivers).Spec
}

func read(t *testing.T, more, waivers string) *schema.Loaded {
	t.Helper()
	text := `headroom: 1
vehicle: {name: Cart, use: off-road, chassis: isolated}
batteries:
  pack: {role: traction, min_V: 44.8, nominal_V: 51.2, max_V: 58.4, resistance_mOhm: 15}
fuses:
  main: {class: bolt-down, rated_A: 125, rated_V_dc: 80}
  lights: {class: blade, rated_A: 10}
wires:
  w1: {from: pack.pos, to: main.a, size: 35 mm2, length_m: 0.1}
modes:
  parked: {}
` + more + "waivers:\n" + waivers
	l := schema.Read(t.Context(), schema.Target{Path: schema.Stdin, Format: schema.FormatYAML},
		schema.Options{Stdin: strings.NewReader(text), StdinName: "cart.yaml"})
	if l.Err != nil || l.Spec == nil || more == "" && len(l.Problems) > 0 {
		t.Fatalf("error %v, problems %v", l.Err, l.Problems)
	}
	return l
}

// known are the rules that were run.
func known() []*rules.Rule {
	list := []*rules.Rule{{ID: "spec-missing-field", Family: "spec"}}
	for _, id := range []string{"wire-overloaded", "fuse-low", "part-unused", "voltage-missing", "mode-empty"} {
		list = append(list, &rules.Rule{ID: id, Family: "circuit", Level: rules.Error})
	}
	return append(list, waiver.Rules()...)
}

func measured(rule, subject string, verdict rules.Verdict, headroom float64) rules.Result {
	return rules.Result{Rule: rule, Subject: subject, Verdict: verdict, Level: rules.Error, Headroom: headroom, Required: 1,
		Message: "the finding", At: schema.Position{File: "cart.yaml", Line: 1, Column: 1}}
}

func given() []rules.Result {
	unused := rules.Result{Rule: "part-unused", Subject: "lights", Verdict: rules.Failed, Level: rules.Note, Message: "lights is used nowhere"}
	missing := rules.Result{Rule: "voltage-missing", Subject: "lights", Verdict: rules.NotChecked, Level: rules.Warning, Missing: "fuses.lights.rated_V_dc"}
	weak := measured("fuse-low", "lights", rules.Failed, 0.5)
	weak.Level = rules.Warning
	return []rules.Result{
		measured("wire-overloaded", "w1", rules.Failed, 0.94), measured("fuse-low", "main", rules.Passed, 1.104),
		measured("wire-overloaded", "main", rules.Failed, math.Nextafter(0.8, 0)), // 0.8 but for its last digit
		measured("wire-overloaded", "lights", rules.Passed, math.Inf(1)),          // nothing flows through it
		weak, unused, missing,
		{Rule: "spec-missing-field", Subject: "w1", Verdict: rules.Failed, Level: rules.Error, Message: "w1 lacks something"},
	}
}

func entry(rule, subject, expires, more string) string {
	return fmt.Sprintf("  - {rule: %s, subject: %s, reason: It is laid in free air., approved_by: workshop lead, expires: %s%s}\n", rule, subject, expires, more)
}

func TestApply(t *testing.T) {
	const held = "the waiver of wire-overloaded for w1"
	tests := []struct {
		name    string
		waivers string
		today   string   // 2026-11-25 if empty
		waived  []string // keys of the results that are waived
		want    []string // findings about waivers: level, rule, primary, message
		fix     string   // part of the fix of the first
	}{
		{"holds", entry("wire-overloaded", "w1", "2031-03-31", ""), "", []string{"wire-overloaded/w1"}, nil, ""},
		{"holds on its last day", entry("wire-overloaded", "w1", "2026-11-25", ""), "", []string{"wire-overloaded/w1"},
			[]string{"note waiver-expires-soon: " + held + " expires today, on 2026-11-25"}, "approve it again"},
		{"expires tomorrow", entry("wire-overloaded", "w1", "2026-11-26", ""), "", []string{"wire-overloaded/w1"},
			[]string{"note waiver-expires-soon: " + held + " expires tomorrow, on 2026-11-26"}, ""},
		{"expires in 30 days, over the end of the year", entry("wire-overloaded", "w1", "2027-01-09", ""), "2026-12-10", []string{"wire-overloaded/w1"},
			[]string{"note waiver-expires-soon: " + held + " expires in 30 days, on 2027-01-09"}, ""},
		{"expires in 31 days", entry("wire-overloaded", "w1", "2027-01-09", ""), "2026-12-09", []string{"wire-overloaded/w1"}, nil, ""},
		{"notice over the leap day", entry("wire-overloaded", "w1", "2028-03-01", ""), "2028-01-31", []string{"wire-overloaded/w1"},
			[]string{"note waiver-expires-soon: " + held + " expires in 30 days, on 2028-03-01"}, ""},
		{"expired", entry("wire-overloaded", "w1", "2026-11-24", ""), "", nil,
			[]string{"error waiver-expired < wire-overloaded/w1: " + held + ", approved by workshop lead, expired on 2026-11-24; the finding counts again"}, "approve it again"},
		{"expired, of a note", entry("part-unused", "lights", "2026-11-24", ""), "", nil,
			[]string{"note waiver-expired < part-unused/lights: the waiver of part-unused for lights, approved by workshop lead, expired on 2026-11-24; the finding counts again"}, ""},
		{"yes or no", entry("part-unused", "lights", "2031-03-31", ""), "", []string{"part-unused/lights"}, nil, ""},

		{"within its bound", entry("wire-overloaded", "w1", "2031-03-31", ", down_to: 0.9"), "", []string{"wire-overloaded/w1"}, nil, ""},
		{"at its bound", entry("wire-overloaded", "w1", "2031-03-31", ", down_to: 0.94"), "", []string{"wire-overloaded/w1"}, nil, ""},
		{"at its bound but for the last digit of a double", entry("wire-overloaded", "main", "2031-03-31", ", down_to: 0.8"), "", []string{"wire-overloaded/main"}, nil, ""},
		{"past its bound", entry("wire-overloaded", "w1", "2031-03-31", ", down_to: 0.95"), "", nil,
			[]string{"error waiver-exceeded < wire-overloaded/w1: " + held + ", approved by workshop lead, covers a headroom down to 0.95; it is now 0.94, so the finding counts again"}, "lower down_to"},
		{"past its bound, of a warning", entry("fuse-low", "lights", "2031-03-31", ", down_to: 0.6"), "", nil,
			[]string{"warning waiver-exceeded < fuse-low/lights: the waiver of fuse-low for lights, approved by workshop lead, covers a headroom down to 0.6; it is now 0.5, so the finding counts again"}, ""},
		{"a bound on a yes or no", entry("part-unused", "lights", "2031-03-31", ", down_to: 0.9"), "", nil,
			[]string{"note waiver-exceeded < part-unused/lights: the waiver of part-unused for lights covers a headroom down to 0.9, but this check has no headroom; the finding counts"}, "remove down_to"},
		{"expired and past its bound", entry("wire-overloaded", "w1", "2026-11-24", ", down_to: 0.95"), "", nil,
			[]string{"error waiver-expired < wire-overloaded/w1: " + held + ", approved by workshop lead, expired on 2026-11-24; the finding counts again"}, ""},

		{"the check passes", entry("fuse-low", "main", "2031-03-31", ""), "", nil,
			[]string{"warning waiver-unused: the waiver of fuse-low for main accepts nothing: the check passes with a headroom of 1.104; required is 1"}, "remove the waiver"},
		{"the check passes, and the waiver has expired", entry("fuse-low", "main", "2020-03-31", ""), "", nil,
			[]string{"warning waiver-unused: the waiver of fuse-low for main accepts nothing: the check passes with a headroom of 1.104; required is 1"}, ""},
		{"the check passes for want of a demand", entry("wire-overloaded", "lights", "2031-03-31", ""), "", nil,
			[]string{"warning waiver-unused: the waiver of wire-overloaded for lights accepts nothing: the check passes"}, "remove the waiver"},
		{"the check was not made", entry("voltage-missing", "lights", "2031-03-31", ""), "", nil,
			[]string{"warning waiver-unused: the waiver of voltage-missing for lights accepts nothing: the check is not made; it needs fuses.lights.rated_V_dc"}, "give the value that the check needs"},
		{"the rule says nothing of it", entry("fuse-low", "w1", "2031-03-31", ""), "", nil,
			[]string{"warning waiver-unused: the waiver of fuse-low for w1 accepts nothing: w1 is not a subject of the rule; its subjects are lights, main"}, "write the subject as in the finding"},
		{"the rule has no subject", entry("mode-empty", "parked", "2031-03-31", ""), "", nil,
			[]string{"warning waiver-unused: the waiver of mode-empty for parked accepts nothing: the rule has no subject in this vehicle"}, ""},

		{"unknown rule", entry("wire-overlaoded", "w1", "2031-03-31", ""), "", nil,
			[]string{`error waiver-rule-unknown: the waiver of wire-overlaoded for w1 accepts nothing: there is no rule wire-overlaoded; did you mean "wire-overloaded"?`}, `write "wire-overloaded"`},
		{"unknown rule, like none", entry("a-b", "w1", "2031-03-31", ""), "", nil,
			[]string{"error waiver-rule-unknown: the waiver of a-b for w1 accepts nothing: there is no rule a-b"}, "headroom rules"},
		{"a mistake in the specification", entry("spec-missing-field", "w1", "2031-03-31", ""), "", nil,
			[]string{"error waiver-rule-unknown: the waiver of spec-missing-field for w1 accepts nothing: a mistake in the specification cannot be waived"}, "correct the specification"},
		{"a finding about a waiver", entry("wire-overloaded", "w1", "2020-03-31", "") + entry("waiver-expired", "wire-overloaded/w1", "2031-03-31", ""), "", nil,
			[]string{
				"error waiver-expired < wire-overloaded/w1: " + held + ", approved by workshop lead, expired on 2020-03-31; the finding counts again",
				"error waiver-rule-unknown: the waiver of waiver-expired for wire-overloaded/w1 accepts nothing: a finding about a waiver cannot be waived",
			}, ""},

		{"unknown subject", entry("fuse-low", "mian", "2031-03-31", ""), "", nil,
			[]string{`error waiver-subject-unknown: the waiver of fuse-low for mian accepts nothing: this vehicle has no mian; did you mean "main"?`}, `write "main"`},
		{"unknown subject, like none", entry("fuse-low", "horn", "2031-03-31", ""), "", nil,
			[]string{"error waiver-subject-unknown: the waiver of fuse-low for horn accepts nothing: this vehicle has no horn; the rule's subjects are lights, main"}, "as in the finding"},
		{"unknown terminal", entry("fuse-low", "main.c", "2031-03-31", ""), "", nil,
			[]string{`error waiver-subject-unknown: the waiver of fuse-low for main.c accepts nothing: this vehicle has no main.c; did you mean "main"?`}, ""},
		{"a terminal, of which the rule says nothing", entry("fuse-low", "main.a", "2031-03-31", ""), "", nil,
			[]string{"warning waiver-unused: the waiver of fuse-low for main.a accepts nothing: main.a is not a subject of the rule; its subjects are lights, main"}, ""},
		{"several", entry("part-unused", "lights", "2031-03-31", "") + entry("fuse-low", "lights", "2031-03-31", "") + entry("fuse-low", "main", "2031-03-31", ""), "",
			[]string{"fuse-low/lights", "part-unused/lights"},
			[]string{"warning waiver-unused: the waiver of fuse-low for main accepts nothing: the check passes with a headroom of 1.104; required is 1"}, ""},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			before := given()
			got := waiver.Apply(cart(t, tt.waivers), before, known(), day(t, tt.today))
			if diff := cmp.Diff(given(), before); diff != "" {
				t.Errorf("Apply changed the results it was given:\n%s", diff)
			}
			sorted := slices.Clone(got)
			rules.Sort(sorted)
			if diff := cmp.Diff(sorted, got); diff != "" {
				t.Errorf("the results are not in order (-in order +got):\n%s", diff)
			}
			var waived, findings []string
			for _, r := range got {
				if r.Verdict == rules.Waived {
					waived = append(waived, r.Key())
					checkAccepted(t, r)
				}
				if r.IsFinding() && strings.HasPrefix(r.Rule, "waiver-") {
					findings = append(findings, line(r))
					if len(findings) == 1 && !strings.Contains(r.Fix, tt.fix) {
						t.Errorf("fix %q, want %q in it", r.Fix, tt.fix)
					}
					if !r.At.IsValid() {
						t.Errorf("%s has no place", r.Rule)
					}
				}
			}
			slices.Sort(waived)
			if diff := cmp.Diff(tt.waived, waived); diff != "" {
				t.Errorf("waived (-want +got):\n%s", diff)
			}
			if diff := cmp.Diff(tt.want, findings); diff != "" {
				t.Errorf("findings (-want +got):\n%s", diff)
			}
		})
	}
}

func day(t *testing.T, text string) time.Time {
	t.Helper()
	if text == "" {
		text = "2026-11-25"
	}
	d, err := time.Parse(time.DateOnly, text)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func line(r rules.Result) string {
	text := string(r.Level) + " " + r.Rule
	if r.Primary != "" {
		text += " < " + r.Primary
	}
	return text + ": " + r.Message
}

// checkAccepted checks that a waived finding keeps what it said and says who
// accepted it.
func checkAccepted(t *testing.T, r rules.Result) {
	t.Helper()
	for _, was := range given() {
		if was.Key() == r.Key() && (was.Message != r.Message || was.Level != r.Level || was.At != r.At || was.Headroom != r.Headroom) {
			t.Errorf("%s was changed:\n%s", r.Key(), cmp.Diff(was, r))
		}
	}
	if w := r.Waiver; w == nil || w.Reason != "It is laid in free air." || w.ApprovedBy != "workshop lead" || w.At.File != "cart.yaml" || w.At.Line == 0 {
		t.Errorf("%s: waiver %+v", r.Key(), r.Waiver)
	}
}

// Every question that a waiver answers well is a passed check.
func TestApplyReportsPasses(t *testing.T) {
	got := waiver.Apply(cart(t, entry("wire-overloaded", "w1", "2031-03-31", ", down_to: 0.9")), given(), known(), day(t, ""))
	passed := map[string]string{}
	for _, r := range got {
		if strings.HasPrefix(r.Rule, "waiver-") && r.Verdict == rules.Passed && r.Subject == "wire-overloaded/w1" {
			passed[r.Rule] = r.Message
		}
	}
	for _, rule := range waiver.Rules() {
		if passed[rule.ID] == "" {
			t.Errorf("no pass of %s: %v", rule.ID, passed)
		}
	}
}

// Without waivers nothing is said and nothing changes.
func TestApplyWithoutWaivers(t *testing.T) {
	spec := cart(t, "  []\n")
	if diff := cmp.Diff(given(), waiver.Apply(spec, given(), known(), day(t, ""))); diff != "" {
		t.Errorf("without waivers (-before +after):\n%s", diff)
	}
}

// The hour and the time zone of the day do not matter.
func TestApplyTakesTheDay(t *testing.T) {
	spec := cart(t, entry("wire-overloaded", "w1", "2026-11-25", ""))
	for _, at := range []time.Time{
		time.Date(2026, 11, 25, 23, 59, 59, 0, time.UTC),
		time.Date(2026, 11, 25, 0, 0, 0, 0, time.FixedZone("east", 14*3600)),
		time.Date(2026, 11, 25, 23, 0, 0, 0, time.FixedZone("west", -12*3600)),
	} {
		for _, r := range waiver.Apply(spec, given(), known(), at) {
			if r.Key() == "wire-overloaded/w1" && r.Verdict != rules.Waived {
				t.Errorf("%v: %s", at, r.Verdict)
			}
		}
	}
}

// With a mistake elsewhere in the specification, a check that was not made says
// nothing of the waiver; one that was made does.
func TestApplyBesideAMistake(t *testing.T) {
	l := read(t, "loads:\n  horn: {kind: siren, power_W: 10, at_V: 12}\n",
		entry("wire-overloaded", "w1", "2031-03-31", "")+entry("fuse-low", "main", "2031-03-31", "")+
			entry("fuse-low", "horn", "2031-03-31", "")+entry("fuse-low", "w1", "2031-03-31", "")+
			entry("voltage-missing", "lights", "2031-03-31", "")+entry("fuse-low", "bell", "2031-03-31", ""))
	if diff := cmp.Diff([]string{"loads.horn"}, l.Spec.Broken()); diff != "" {
		t.Fatal(diff)
	}
	results := append(given(), rules.FromProblems(l.Problems)...)
	for i := range results {
		if results[i].Rule == "voltage-missing" {
			results[i].Missing = "loads.horn"
		}
	}
	got := map[string]rules.Verdict{}
	for _, r := range waiver.Apply(l.Spec, results, known(), day(t, "")) {
		if r.Verdict == rules.NotChecked && strings.HasPrefix(r.Rule, "waiver-") && r.Missing != "loads.horn" {
			t.Errorf("%s needs %q", r.Key(), r.Missing)
		}
		got[r.Key()] = r.Verdict
	}
	for key, want := range map[string]rules.Verdict{
		"wire-overloaded/w1":                     rules.Waived,
		"waiver-unused/fuse-low/main":            rules.Failed, // that check was made and passes
		"waiver-unused/fuse-low/horn":            rules.NotChecked,
		"waiver-unused/fuse-low/w1":              rules.NotChecked,
		"waiver-unused/voltage-missing/lights":   rules.NotChecked,
		"waiver-subject-unknown/fuse-low/bell":   rules.NotChecked,
		"waiver-subject-unknown/fuse-low/horn":   rules.Passed,
		"waiver-unused/fuse-low/bell":            "",
		"waiver-expires-soon/wire-overloaded/w1": rules.Passed,
	} {
		if got[key] != want {
			t.Errorf("%s is %q, want %q", key, got[key], want)
		}
	}
}

// A waiver with a mistake accepts nothing; the others do, and what they say rests on
// no waiver.
func TestApplyBrokenWaiver(t *testing.T) {
	l := read(t, "spare: 1\n", entry("wire-overloaded", "w1", "2031-02-30", "")+entry("part-unused", "lights", "2031-03-31", "")+
		entry("fuse-low", "lights", "2031-03-31", "")+entry("fuse-low", "lights", "2032-03-31", "")+entry("fuse-low", "bell", "2031-03-31", ""))
	for _, r := range waiver.Apply(l.Spec, given(), known(), day(t, "")) {
		if want := r.Key() == "part-unused/lights"; (r.Verdict == rules.Waived) != want {
			t.Errorf("%s is %s", r.Key(), r.Verdict)
		}
		if r.Key() == "waiver-subject-unknown/fuse-low/bell" && r.Verdict != rules.Failed {
			t.Errorf("a subject that is not there is %s", r.Verdict)
		}
	}
}

// What follows from a waived finding stands by itself, or under what still
// stands above it, unless it is waived too.
func TestApplyDoesNotSpread(t *testing.T) {
	chain := func(primary ...string) []rules.Result {
		subjects := []string{"a", "b", "c"}
		var list []rules.Result
		for i, p := range primary {
			r := measured("wire-overloaded", subjects[i], rules.Failed, 0.9)
			r.Primary = p
			list = append(list, r)
		}
		return list
	}
	const a, b, c = "wire-overloaded/a", "wire-overloaded/b", "wire-overloaded/c"
	tests := []struct {
		name    string
		results []rules.Result
		waived  string // subjects
		want    map[string]string
		related map[string]int
	}{
		{"head", chain("", a, a), "a", map[string]string{b: "", c: ""}, map[string]int{b: 1, c: 1}},
		{"middle", chain("", a, b), "b", map[string]string{a: "", c: a}, map[string]int{c: 1}},
		{"head and middle", chain("", a, b), "ab", map[string]string{c: ""}, map[string]int{c: 2}},
		{"follower", chain("", a, b), "c", map[string]string{a: "", b: a}, nil},
		{"all", chain("", a, b), "abc", map[string]string{}, nil},
		{"a ring", chain(b, a, b), "ab", map[string]string{c: ""}, map[string]int{c: 2}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			var waivers string
			for _, s := range tt.waived {
				waivers += entry("wire-overloaded", string(s), "2031-03-31", "")
			}
			got, related := map[string]string{}, map[string]int{}
			for _, r := range waiver.Apply(cart(t, waivers), tt.results, known(), day(t, "")) {
				if r.IsFinding() {
					got[r.Key()] = r.Primary
					related[r.Key()] = len(r.Related)
				}
			}
			if diff := cmp.Diff(tt.want, got); diff != "" {
				t.Errorf("primaries of what stands (-want +got):\n%s", diff)
			}
			for key, n := range tt.related {
				if related[key] != n {
					t.Errorf("%s has %d related places, want %d", key, related[key], n)
				}
			}
		})
	}
}

// A team may tune the levels of these rules as those of any other.
func TestApplyFollowsThePolicy(t *testing.T) {
	spec := cart(t, entry("wire-overloaded", "w1", "2020-03-31", "")+"policy: {levels: {waiver-expired: note}}\n")
	for _, r := range waiver.Apply(spec, given(), known(), day(t, "")) {
		if r.Rule == "waiver-expired" && r.Level != rules.Note {
			t.Errorf("level %s", r.Level)
		}
	}
}

// The same input gives the same results, whatever the order of maps.
func TestApplySameResults(t *testing.T) {
	var waivers bytes.Buffer
	for _, s := range []string{"w1", "main", "lights", "parked", "pack", "none"} {
		waivers.WriteString(entry("fuse-low", s, "2026-12-01", ", down_to: 0.4"))
	}
	first := waiver.Apply(cart(t, waivers.String()), given(), known(), day(t, ""))
	for range 20 {
		again := waiver.Apply(cart(t, waivers.String()), given(), known(), day(t, ""))
		if diff := cmp.Diff(first, again, cmpopts.EquateEmpty()); diff != "" {
			t.Fatalf("differs:\n%s", diff)
		}
	}
}

// Each rule's example makes it find something on the subject that it names, in
// an otherwise sound vehicle.
func TestExamples(t *testing.T) {
	for _, rule := range waiver.Rules() {
		t.Run(rule.ID, func(t *testing.T) {
			spec := ruletest.Edited(t, rule.Example.Vehicle, rule.Example.Edits)
			results := waiver.Apply(spec, ruletest.Run(t, spec, catalogue.All()), catalogue.All(), day(t, "2031-01-01"))
			for _, r := range results {
				if r.Rule == rule.ID && r.Subject == rule.Example.Subject {
					if !r.IsFinding() || r.Level.Rank() > rule.Level.Rank() {
						t.Errorf("%s %s: %s", r.Verdict, r.Level, r.Message)
					}
					return
				}
			}
			t.Errorf("nothing is said of %s", rule.Example.Subject)
		})
	}
}
