package precharge

import (
	"math"
	"path/filepath"
	"strings"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// bench is a pre-charge of a worked example (any circuit text): 96 V, 4700 uF and
// 100 Ohm; tau 0.47 s, 92.16 W at first, 21.6576 J in the resistor, 95 % after
// 1.408 s. A relay on the key begins it, the contactor closes after 3 s.
const bench = `
headroom: 1
vehicle: {name: bench, use: off-road, chassis: isolated, ambient_C: {min: 20, max: 20}}
batteries: {b: {role: traction, min_V: 72, nominal_V: 84, max_V: 96, resistance_mOhm: {min: 10, typ: 10, max: 10}}}
disconnects: {d: {carry_A: 200}}
switches: {key: {role: key, poles: {p: {carry_A: 10}}}}
contactors:
  k:
    contact: {carry_A: 200, make_A: 600}
    coil: {nominal_V: 84, operate_V: 50, release_V: 8, resistance_Ohm: 900}
    closes_after_s: 3
relays: {ry: {contact: {carry_A: 5}, coil: {nominal_V: 84, operate_V: 50, release_V: 8, resistance_Ohm: 900}}}
resistors: {r: {role: precharge, resistance_Ohm: 100, power_W: 100, pulse_J: 300, max_V: 500}}
controllers: {c: {min_V: 60, max_V: 130, capacitance_uF: 4700}}
wires:
  main: {from: b.pos, to: d.a, size: 35 mm2, length_m: 0.5}
  power: {from: d.b, to: k.a, size: 35 mm2, length_m: 0.5}
  load: {from: k.b, to: c.pos, size: 35 mm2, length_m: 0.5}
  back: {from: c.neg, to: b.neg, size: 35 mm2, length_m: 0.5}
  feed: {from: k.a, to: key.p_a, size: 1.5 mm2, length_m: 1}
  coil: {from: key.p_b, to: k.coil_pos, size: 1.5 mm2, length_m: 1}
  ret: {from: k.coil_neg, to: c.neg, size: 1.5 mm2, length_m: 1}
  relay: {from: k.coil_pos, to: ry.coil_pos, size: 1.5 mm2, length_m: 0.1}
  relay_ret: {from: ry.coil_neg, to: k.coil_neg, size: 1.5 mm2, length_m: 0.1}
  r0: {from: k.a, to: ry.common, size: 1.5 mm2, length_m: 0.1}
  r1: {from: ry.no, to: r.a, size: 1.5 mm2, length_m: 0.1}
  r2: {from: r.b, to: k.b, size: 1.5 mm2, length_m: 0.1}
modes:
  off: {}
  parked: {closed: [d]}
  ready: {closed: [d, key]}
  drive: {closed: [d, key], draw: {c: {current_A: 50}}}
`

// Changes of the bench, as pairs of texts to replace.
var (
	noResistor = []string{"  r1: {from: ry.no, to: r.a, size: 1.5 mm2, length_m: 0.1}\n", "",
		"  r2: {from: r.b, to: k.b, size: 1.5 mm2, length_m: 0.1}\n", ""}
	noRelay = []string{"  r0: {from: k.a, to: ry.common, size: 1.5 mm2, length_m: 0.1}\n", "", "from: ry.no, to: r.a", "from: k.a, to: r.a"}
)

func after(s string) []string { return []string{"closes_after_s: 3", "closes_after_s: " + s} }

func waitsFor(percent string) []string {
	return []string{"closes_after_s: 3", "closes_at: {part: c, percent: " + percent + "}"}
}

func bleed(kOhm string) []string {
	return []string{"capacitance_uF: 4700", "capacitance_uF: 4700, bleed_kOhm: " + kOhm}
}

// converter hangs a converter with a lamp on the controller's terminals.
func converter(start, stop, watts string) []string {
	return []string{"controllers:", "converters: {dc: {input: {min_V: 40, max_V: 130, start_V: " + start + ", stop_V: " + stop +
		", capacitance_uF: 220}, output: {nominal_V: 12, continuous_A: 20}, efficiency_percent: 90, isolated: true}}\n" +
		"loads: {lamp: {kind: resistive, power_W: " + watts + ", at_V: 12}}\ncontrollers:",
		"modes:", "  c1: {from: c.pos, to: dc.in_pos, size: 4 mm2, length_m: 0.1}\n  c2: {from: dc.in_neg, to: c.neg, size: 4 mm2, length_m: 0.1}\n" +
			"  c3: {from: dc.out_pos, to: lamp.pos, size: 4 mm2, length_m: 0.1}\n  c4: {from: lamp.neg, to: dc.out_neg, size: 4 mm2, length_m: 0.1}\nmodes:",
		"ready: {closed: [d, key]}", "ready: {closed: [d, key], on: [lamp]}"}
}

func join(changes ...[]string) (all []string) {
	for _, c := range changes {
		all = append(all, c...)
	}
	return all
}

// benchCase is one variation of the bench and what a rule says of it.
type benchCase struct {
	name       string
	change     []string // pairs of texts to replace, one after the other
	subject    string   // r, if empty
	silent     bool     // the rule has nothing to say of it
	verdict    rules.Verdict
	level      rules.Level
	demand     float64 // not looked at where 0
	capability float64
	relative   float64 // tolerance; 1e-3 if 0
	missing    string
	primary    string
	message    string // part of it
	fix        string // part of it
}

func (b benchCase) spec(t *testing.T) string {
	t.Helper()
	text := bench
	for i := 0; i < len(b.change); i += 2 {
		if !strings.Contains(text, b.change[i]) {
			t.Fatalf("the bench has no %q", b.change[i])
		}
		text = strings.Replace(text, b.change[i], b.change[i+1], 1)
	}
	return text
}

func (b benchCase) check(t *testing.T, r rules.Result) {
	t.Helper()
	near := func(what string, got, want float64) {
		if want != 0 && !(math.Abs(got-want) <= max(b.relative, 1e-3)*math.Abs(want)) {
			t.Errorf("%s %v, want %v", what, got, want)
		}
	}
	near("demand", r.Demand.Value, b.demand)
	near("capability", r.Capability.Value, b.capability)
	if r.Verdict != b.verdict || b.level != "" && r.Level != b.level {
		t.Errorf("%s %s, want %s %s: %s %s", r.Level, r.Verdict, b.level, b.verdict, r.Message, r.Missing)
	}
	if r.Missing != b.missing || r.Primary != b.primary {
		t.Errorf("missing %q, primary %q; want %q, %q", r.Missing, r.Primary, b.missing, b.primary)
	}
	if !strings.Contains(r.Message, b.message) || !strings.Contains(r.Fix, b.fix) {
		t.Errorf("message %q, fix %q; want %q and %q in them", r.Message, r.Fix, b.message, b.fix)
	}
	for _, s := range r.Working {
		if s.Origin.Kind == "" || math.IsNaN(s.Value) {
			t.Errorf("step %s = %v has no origin or value", s.Symbol, s.Value)
		}
	}
}

// run checks a rule's example, the sound vehicles, and variations of the bench.
func run(t *testing.T, rule *rules.Rule, cases []benchCase) {
	t.Helper()
	ruletest.Example(t, rule)
	sound(t, rule)
	for _, b := range cases {
		t.Run(b.name, func(t *testing.T) {
			subject := b.subject
			if subject == "" {
				subject = "r"
			}
			file := ruletest.Write(t, t.TempDir(), "bench.yaml", b.spec(t))
			found := false
			for _, r := range ruletest.Run(t, ruletest.Load(t, file), []*rules.Rule{rule}) {
				if r.Subject == subject {
					found = true
					b.check(t, r)
				}
			}
			if found == b.silent {
				t.Errorf("a result on %s: %v, want one: %v", subject, found, !b.silent)
			}
		})
	}
}

// sound checks that a rule has no finding at warning or above in the vehicles
// that are sound.
func sound(t *testing.T, rule *rules.Rule) {
	t.Helper()
	files, err := filepath.Glob(filepath.Join(ruletest.Fleet(), "..", "sound", "*.yaml"))
	if err != nil || len(files) == 0 {
		t.Fatalf("no sound vehicles: %v", err)
	}
	files = append(files, filepath.Join(ruletest.Fleet(), "..", "first", "first.yaml"))
	for _, vehicle := range []string{"heron", "mole", "badger"} {
		files = append(files, filepath.Join(ruletest.Fleet(), vehicle))
	}
	for _, file := range files {
		for _, r := range ruletest.Run(t, ruletest.Load(t, file), []*rules.Rule{rule}) {
			if r.IsFinding() && r.Level != rules.Note || r.Verdict == rules.NotChecked {
				t.Errorf("%s: %s %s: %s %s", filepath.Base(file), r.Verdict, r.Subject, r.Message, r.Missing)
			}
		}
	}
}
