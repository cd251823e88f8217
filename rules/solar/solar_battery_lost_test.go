package solar

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestBatteryLost(t *testing.T) {
	fixture.Play(t, batteryLost(), []ruletest.Scene{
		{Name: "it holds its voltage", Want: ruletest.Want{Verdict: rules.Passed, Demand: 14.4, Capability: 15}},
		{Name: "it lets the modules through", Edits: ruletest.Edits("solar.roof.regulator.without_battery_V", "22"),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 22, Capability: 15, Fix: "15 V or less"}},
		{Name: "nobody says", Edits: ruletest.Edits("solar.roof.regulator.without_battery_V", ""),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "solar.roof.regulator.without_battery_V"}},
		{Name: "nobody says, and the lamp withstands the modules: 50.62 V", Edits: ruletest.Edits("solar.roof.regulator.without_battery_V", "", "loads.lamp.max_V", "60"),
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 50.621, Capability: 60}},
		{Name: "nor what the lamp withstands", Edits: ruletest.Edits("loads.lamp.max_V", ""), Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "loads.lamp.max_V"}},
		{Name: "a battery alone", Edits: ruletest.Edits("loads.lamp", "", "wires.w8", "", "wires.w9", "", "modes", `{"noon": {"closed": ["isolator"], "connected": ["roof"]}}`),
			Want: ruletest.Want{Verdict: rules.Passed}},
	})
}
