package converter

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// A relay's coil is fed through its own break contact, so that what the
// converter supplies goes to and fro.
func TestChatterIsNotCheckedOn(t *testing.T) {
	edits := ruletest.Edits(
		"relays.soft_relay.form", `"nc"`,
		"wires.w_soft_fuse.to", `"soft.a"`,
		"wires.w_soft_relay.from", `"main_contactor.coil_pos"`,
		"wires.w_soft_relay.to", `"soft_relay.common"`,
		"wires.w_coil_relay.from", `"soft_relay.nc"`,
	)
	got := ruletest.On(t, overloaded(), "heron", edits...)
	if r := ruletest.Verdict(t, got, "converter", rules.NotChecked); r.Primary != "contact-chatters/soft_relay" {
		t.Errorf("primary %q", r.Primary)
	}
	// The headlamp's own voltage does not move with it by a thousandth.
	ruletest.Verdict(t, ruletest.On(t, loadVoltageHigh(), "heron", edits...), "headlamp", rules.Passed)
}
