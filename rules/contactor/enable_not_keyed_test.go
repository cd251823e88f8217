package contactor

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestEnableNotKeyed(t *testing.T) {
	rule := enableNotKeyed()
	ruletest.Example(t, rule)
	fleetIsSilent(t, rule)
	past := rules.Edit{Path: "wires.w_enable.from", Value: `"key.drive_a"`}
	if r := ruletest.Verdict(t, ruletest.On(t, rule, "heron", past), "drive", rules.Failed); r.Level != rules.Warning {
		t.Errorf("the contactor still opens: %s", r.Level)
	}
	// With the coil fed past the key as well the drive stays ready.
	both := ruletest.On(t, rule, "heron", past, rules.Edit{Path: "wires.w_coil_contactor.from", Value: `"key.house_a"`})
	if r := ruletest.Verdict(t, both, "drive", rules.Failed); r.Level != rules.Error || r.Primary != "contactor-not-keyed/main_contactor" {
		t.Errorf("%s, following from %q", r.Level, r.Primary)
	}
	none := ruletest.On(t, rule, "heron", rules.Edit{Path: "switches.key.role", Value: `"other"`})
	ruletest.Verdict(t, none, "drive", rules.NotChecked)
}
