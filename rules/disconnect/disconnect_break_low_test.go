package disconnect

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestDisconnectBreakLow(t *testing.T) {
	rule := disconnectBreakLow()
	regen := ruletest.Edits("disconnects.iso.polarized", "true", "modes.drive.draw.drive.current_A", "", "modes.drive.draw.drive.regen_A", "40")
	fixture.Play(t, rule, []ruletest.Scene{
		// The mode draws 50 A; the throttle may be open all the way when somebody reaches for the handle.
		{Name: "within", Subject: "iso", Want: ruletest.Want{Verdict: rules.Passed, Demand: 150, Capability: 300, Message: "150 A to interrupt at up to 84 V at the peak of drive"}},
		{Name: "above", Subject: "iso", Edits: ruletest.Edits("controllers.drive.battery_peak_A", "", "disconnects.iso.break", `[{"V": 96, "A": 45}]`),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 50, Capability: 45, Fix: "50 A at 84 V DC"}},
		{Name: "the peak of the controller", Subject: "iso", Edits: ruletest.Edits("disconnects.iso.break", `[{"V": 96, "A": 100}]`),
			Want: ruletest.Want{Verdict: rules.Failed, Demand: 150, Capability: 100, Fix: "150 A at 84 V DC"}},
		{Name: "what it may feed back, which no mode says", Subject: "iso", Edits: ruletest.Edits("controllers.drive.regen_A", "200", "disconnects.iso.break", `[{"V": 96, "A": 180}]`),
			Want: ruletest.Want{Verdict: rules.Failed, Demand: 200, Capability: 180, Message: "while drive brakes"}},
		{Name: "of a polarized one against its direction", Subject: "iso", Edits: ruletest.Edits("controllers.drive.regen_A", "40", "disconnects.iso.polarized", "true", "disconnects.iso.reverse_break_A", "30"),
			Want: ruletest.Want{Verdict: rules.Failed, Demand: 40, Capability: 30, Message: "from b to a while drive brakes"}},
		{Name: "the voltage is the cause", Subject: "iso", Edits: ruletest.Edits("disconnects.iso.rated_V_dc", "72", "disconnects.iso.break", `[{"V": 72, "A": 500}]`),
			Want: ruletest.Want{Verdict: rules.Failed, Primary: "disconnect-voltage-low/iso"}},
		{Name: "a rating at a lower voltage says nothing", Subject: "iso", Edits: ruletest.Edits("disconnects.iso.break", `[{"V": 72, "A": 500}]`),
			Want: ruletest.Want{Verdict: rules.Failed, Message: "no breaking capacity is given at the 84 V"}},
		{Name: "peaks count", Subject: "iso", Edits: climbing(ruletest.Edits("disconnects.iso.break", `[{"V": 96, "A": 100}]`)...),
			Want: ruletest.Want{Verdict: rules.Failed, Demand: 150, Mode: "climb"}},
		{Name: "a polarized one against its direction", Subject: "iso", Edits: append(regen, ruletest.Edits("disconnects.iso.reverse_break_A", "30")...),
			Want: ruletest.Want{Verdict: rules.Failed, Demand: 40, Capability: 30, Message: "from b to a"}},
		{Name: "a polarized one that is rated for it", Subject: "iso", Edits: append(regen, ruletest.Edits("disconnects.iso.reverse_break_A", "60")...),
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 40, Capability: 60}},
		{Name: "a polarized one that does not say", Subject: "iso", Edits: regen, Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "disconnects.iso.reverse_break_A"}},
		{Name: "not given", Subject: "iso", Edits: ruletest.Edits("disconnects.iso.break", ""), Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "disconnects.iso.break"}},
	})
}
