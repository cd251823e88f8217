package wiring

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
	"example.org/headroom/schema"
)

func TestCircuitUnsolved(t *testing.T) { ruletest.Example(t, circuitUnsolved()) }

// TestModeNotRead checks that a mode that could not be read is said to be in no
// result, and that the others are still checked.
func TestModeNotRead(t *testing.T) {
	file := ruletest.Write(t, t.TempDir(), "cart.yaml", `headroom: 1
vehicle: {name: Cart, use: off-road, chassis: isolated}
batteries: {pack: {role: traction, min_V: 40, nominal_V: 48, max_V: 56, resistance_mOhm: 10, continuous_A: 100, source: s}}
controllers: {drive: {min_V: 36, max_V: 60, battery_continuous_A: 60, capacitance_uF: 1000, source: s}}
wires:
  p: {from: pack.pos, to: drive.pos, size: 16 mm2, length_m: 0.5, insulation: {max_C: 90, rated_V: 600}}
  n: {from: pack.neg, to: drive.neg, size: 16 mm2, length_m: 0.5, insulation: {max_C: 90, rated_V: 600}}
modes:
  cruise: {draw: {drive: {current_A: 40}}}
  climb: {draw: {drive: 90}}
`)
	loaded := schema.Read(t.Context(), schema.Target{Path: file, Format: schema.FormatYAML}, schema.Options{})
	got := map[string]rules.Result{}
	for _, r := range ruletest.Run(t, loaded.Spec, []*rules.Rule{circuitUnsolved()}) {
		got[r.Subject] = r
	}
	if r := ruletest.Verdict(t, got, "climb", rules.NotChecked); r.Missing != "modes.climb" {
		t.Errorf("missing %q, want modes.climb", r.Missing)
	}
	ruletest.Verdict(t, got, "cruise", rules.Passed)
}
