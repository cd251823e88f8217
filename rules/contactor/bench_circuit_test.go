package contactor

import (
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
	"example.org/headroom/schema"
)

// bench is a circuit small enough to reckon by hand: a battery of 10 to 16 V
// behind 10 mOhm, a key and a contactor with a coil of 24 Ohm. The pieces of
// 1.5 mm2 have 13.3 mOhm/m (IEC 60228 class 5), those of 35 mm2 0.554 mOhm/m;
// closed contacts have 75 mV at their rated current.
const bench = `
headroom: 1
vehicle: {name: bench, use: off-road, chassis: isolated, ambient_C: {min: 20, max: 20}}
batteries: {b: {role: traction, min_V: 10, nominal_V: 12, max_V: 16, resistance_mOhm: {min: 10, typ: 10, max: 10}}}
switches: {key: {role: key, poles: {p: {carry_A: 10, rated_V_dc: 60}}}}
contactors:
  k:
    contact: {carry_A: 100, rated_V_dc: 60, make_A: 300, short_time: [{A: 200, s: 60}], break: [{V: 16, A: 400, operations: 50}]}
    coil: {nominal_V: 12, operate_V: 6.5, release_V: 1.2, max_V: 20, resistance_Ohm: 24, rise_K: 1, suppression: tvs, clamp_V: 24}
controllers: {c: {min_V: 6, max_V: 30, battery_continuous_A: 80, battery_peak_A: 150, peak_s: 30, capacitance_uF: 1000}}
wires:
  main: {from: b.pos, to: k.a, size: 35 mm2, length_m: 1}
  load: {from: k.b, to: c.pos, size: 35 mm2, length_m: 1}
  back: {from: c.neg, to: b.neg, size: 35 mm2, length_m: 1}
  feed: {from: b.pos, to: key.p_a, size: 1.5 mm2, length_m: 1}
  coil: {from: key.p_b, to: k.coil_pos, size: 1.5 mm2, length_m: 1}
  ret: {from: k.coil_neg, to: b.neg, size: 1.5 mm2, length_m: 1}
modes:
  off: {closed: []}
  drive: {closed: [key], draw: {c: {current_A: 50}}}
`

// replaced returns the bench with texts replaced: from, to, from, to, ...
func replaced(t *testing.T, pairs ...string) string {
	t.Helper()
	text := bench
	for i := 0; i < len(pairs); i += 2 {
		if !strings.Contains(text, pairs[i]) {
			t.Fatalf("the bench has no %q", pairs[i])
		}
		text = strings.ReplaceAll(text, pairs[i], pairs[i+1])
	}
	return text
}

// read loads a spec from YAML.
func read(t *testing.T, text string) *schema.Spec {
	t.Helper()
	file := filepath.Join(t.TempDir(), "bench.yaml")
	if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	return ruletest.Load(t, file)
}

// on applies a rule to a spec in YAML and returns its result for a subject.
func on(t *testing.T, rule *rules.Rule, text, subject string) (rules.Result, bool) {
	t.Helper()
	for _, r := range ruletest.Run(t, read(t, text), []*rules.Rule{rule}) {
		if r.Subject == subject {
			return r, true
		}
	}
	return rules.Result{}, false
}

// want is what a result has to be. Demand and capability are not looked at
// where they are 0.
type want struct {
	verdict    rules.Verdict
	level      rules.Level
	demand     float64
	capability float64
	relative   float64 // tolerance
	missing    string
	primary    string
	message    string // part of it
	fix        string // part of it
}

func (w want) check(t *testing.T, r rules.Result) {
	t.Helper()
	if r.Verdict != w.verdict {
		t.Errorf("%s, want %s: %s %s", r.Verdict, w.verdict, r.Message, r.Missing)
	}
	if w.level != "" && r.Level != w.level {
		t.Errorf("level %s, want %s", r.Level, w.level)
	}
	near := func(what string, got, want float64) {
		if want != 0 && !(math.Abs(got-want) <= w.relative*math.Abs(want)) {
			t.Errorf("%s %v, want %v within %v", what, got, want, w.relative)
		}
	}
	near("demand", r.Demand.Value, w.demand)
	near("capability", r.Capability.Value, w.capability)
	if r.Missing != w.missing {
		t.Errorf("missing %q, want %q", r.Missing, w.missing)
	}
	if r.Primary != w.primary {
		t.Errorf("primary %q, want %q", r.Primary, w.primary)
	}
	if !strings.Contains(r.Message, w.message) {
		t.Errorf("message %q, want %q in it", r.Message, w.message)
	}
	if !strings.Contains(r.Fix, w.fix) {
		t.Errorf("fix %q, want %q in it", r.Fix, w.fix)
	}
}

// benchCase is one variation of the bench and what a rule says of it.
type benchCase struct {
	name    string
	change  []string // pairs of texts to replace
	subject string   // k, if empty
	want    want
	silent  bool // the rule has nothing to say of the subject
}

func runBench(t *testing.T, rule *rules.Rule, cases []benchCase) {
	t.Helper()
	for _, tc := range cases {
		t.Run(tc.name, func(t *testing.T) {
			subject := tc.subject
			if subject == "" {
				subject = "k"
			}
			r, ok := on(t, rule, replaced(t, tc.change...), subject)
			if ok == tc.silent {
				t.Fatalf("result %v, want one: %v", r, !tc.silent)
			}
			if ok {
				tc.want.check(t, r)
			}
		})
	}
}

// fleetIsSilent checks that a rule finds nothing in the sound vehicles and
// fires on its own example.
func fleetIsSilent(t *testing.T, rule *rules.Rule) {
	t.Helper()
	ruletest.Example(t, rule)
	for _, vehicle := range []string{"heron", "mole", "badger"} {
		ruletest.Silent(t, rule, vehicle)
	}
}

// Every rule's working ends in numbers that have an origin.
func TestWorkingsHaveOrigins(t *testing.T) {
	for _, r := range ruletest.Run(t, read(t, bench), Rules()) {
		for _, s := range r.Working {
			if s.Origin.Kind == "" {
				t.Errorf("%s: step %s has no origin", r.Key(), s.Symbol)
			}
		}
	}
}

// The bench itself has no finding.
func TestBenchIsSound(t *testing.T) {
	for _, r := range ruletest.Run(t, read(t, bench), Rules()) {
		if r.IsFinding() && r.Rule != "contactor-make-low" {
			t.Errorf("%s: %s", r.Rule, r.Message)
		}
	}
}
