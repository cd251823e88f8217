package conductor

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

const hill = `{"roll": {"draw": {"drive": {"current_A": 50}}, "lasts_s": 7}, "hill": {"draw": {"drive": {"current_A": 220}}}}`

func TestConductorOverloaded(t *testing.T) {
	// 16 mm2 in free air carries 98 A at 70 C and 30 C by DIN VDE 0298-4 Table 11,
	// so 98 sqrt(50/40) sqrt(1.197/1.275) = 106 A at 90 C and 40 C; the heat balance
	// is within +2/-15 % of that table.
	const published, within = 106, 0.15
	fixture.Play(t, conductorOverloaded(), []ruletest.Scene{
		{Name: "well below", Subject: "out", Want: ruletest.Want{Verdict: rules.Passed, Demand: 60, Mode: "everything on", Capability: published, Relative: within}},
		{Name: "above continuously", Edits: ruletest.Edits("modes.roll.draw.drive.current_A", "130"), Subject: "out",
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 130, Capability: published, Relative: within, Fix: "25 mm2"}},
		// sqrt((220^2 30 + 50^2 120) / 150) = 108.07 A, whatever lasts_s says.
		{Name: "the declared cycle", Edits: ruletest.Edits("modes", hill, "cycle", `[{"mode": "hill", "for_s": 30}, {"mode": "roll", "for_s": 120}]`), Subject: "out",
			Want: ruletest.Want{Verdict: rules.Failed, Demand: 108.07, Message: "r.m.s. over the cycle"}},
		// The same as a mode that comes back, 50 A between.
		{Name: "a mode that comes back",
			Edits: ruletest.Edits("modes.roll.draw.drive.current_A", "50", "modes.hill", `{"draw": {"drive": {"current_A": 220}}, "lasts_s": 30, "every_s": 150}`), Subject: "out",
			Want: ruletest.Want{Verdict: rules.Failed, Demand: 108.833, Mode: "hill", Message: "repeated every 150 s"}},
		{Name: "a mode that does not come back",
			Edits: ruletest.Edits("modes.hill", `{"draw": {"drive": {"current_A": 220}}, "lasts_s": 30}`), Subject: "out",
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 62.0212, Mode: "everything on"}},
		{Name: "a peak that the controller cannot draw continuously",
			Edits:   ruletest.Edits("controllers.drive.battery_continuous_A", "100", "modes.hill", `{"draw": {"drive": {"current_A": 220}}}`),
			Subject: "out", Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "modes.hill.lasts_s"}},
		{Name: "no limit of temperature: taken for PVC", Edits: ruletest.Edits("wires.out.insulation.max_C", ""), Subject: "out",
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 62.0212, Capability: 77.69}},
		{Name: "no modes", Edits: ruletest.Edits("modes", ""), Subject: "out",
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "modes"}},
		{Name: "a current that grows as the battery sags",
			Edits:   ruletest.Edits("modes.roll.draw.drive", `{"power_W": 6000}`, "batteries.pack.resistance_mOhm", ""),
			Subject: "out", Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "batteries.pack.resistance_mOhm"}},
		// 390 W of horn are 30 A in 1.5 mm2 that carries some 25: for five seconds at a time.
		{Name: "a load that is only briefly on", Edits: ruletest.Edits("modes.roll.closed", `["light"]`, "modes.roll.on", `["horn"]`), Subject: "horn_pos",
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 1e-9, Relative: 1e9}},
		{Name: "the same continuously", Edits: ruletest.Edits("modes.roll.closed", `["light"]`, "modes.roll.on", `["horn"]`, "loads.horn.on_s", ""), Subject: "horn_pos",
			Want: ruletest.Want{Verdict: rules.Failed, Demand: 25, Relative: 0.25}},
		{Name: "two wires in a row of one size: the worse carries the finding",
			Edits:   ruletest.Edits("loads.lamp.power_W", "1", "loads.horn.power_W", "1", "modes.roll.draw.drive.current_A", "130", "wires.on.size", `"16 mm2"`, "wires.on.sheathed", "true"),
			Subject: "out", Want: ruletest.Want{Verdict: rules.Failed, Primary: "conductor-overloaded/on"}},
	})
}

// A mode may state an air that is cooler than the vehicle's hottest: what flows in it is
// held against that, and what flows in others is not. Published: 106 A in air of 40 C at a
// limit of 90 C, so 106 sqrt(70/50) = 125 A at 20 C and 106 sqrt(60/50) = 116 A at 30 C.
func TestConductorInAirOfMode(t *testing.T) {
	const within = 0.15
	modes := func(text string) []rules.Edit {
		return ruletest.Edits("modes", text, "loads.lamp.power_W", "0.1", "loads.horn.power_W", "0.1")
	}
	fixture.Play(t, conductorOverloaded(), []ruletest.Scene{
		{Name: "cooler", Subject: "out", Edits: modes(`{"cool": {"draw": {"drive": {"current_A": 107}}, "ambient_C": 20}}`),
			Want: ruletest.Want{Verdict: rules.Passed, Mode: "cool", Demand: 107, Capability: 125, Relative: within}},
		{Name: "the other carries less in hotter air", Subject: "out",
			Edits: modes(`{"a": {"draw": {"drive": {"current_A": 90}}, "ambient_C": 30}, "b": {"draw": {"drive": {"current_A": 115}}, "ambient_C": 20}, "c": {"draw": {"drive": {"current_A": 112}}, "lasts_s": 9, "every_s": 9}}`),
			Want:  ruletest.Want{Verdict: rules.Failed, Mode: "c", Demand: 112, Capability: 106, Relative: within}},
		{Name: "less than one before in cooler air", Subject: "out",
			Edits: modes(`{"a": {"draw": {"drive": {"current_A": 90}}, "ambient_C": 35}, "b": {"draw": {"drive": {"current_A": 112}}, "ambient_C": 0}, "c": {"draw": {"drive": {"current_A": 108}}, "ambient_C": 35}}`),
			Want:  ruletest.Want{Verdict: rules.Failed, Mode: "c", Demand: 108, Capability: 111, Relative: within}},
		{Name: "a cycle is held against its hottest step", Subject: "out",
			Edits: append(modes(`{"a": {"draw": {"drive": {"current_A": 110}}, "ambient_C": 20}, "b": {"draw": {"drive": {"current_A": 110}}, "ambient_C": 35}}`),
				ruletest.Edits("cycle", `[{"mode": "a", "for_s": 60}, {"mode": "b", "for_s": 60}]`)...),
			Want: ruletest.Want{Verdict: rules.Failed, Demand: 110, Capability: 111, Relative: within, Message: "r.m.s. over the cycle"}},
		{Name: "a mode without end that its controller cannot keep up", Subject: "out",
			Edits: append(modes(`{"a": {"draw": {"drive": {"current_A": 130}}, "ambient_C": 20}}`), ruletest.Edits("controllers.drive.battery_continuous_A", "100")...),
			Want:  ruletest.Want{Verdict: rules.NotChecked, Missing: "modes.a.lasts_s"}},
	})
	// 60 A before and a peak of 195 A for 60 s, in air of 0 C: 90 K are permitted there. What
	// the controller may draw at any time it may draw in the hottest air.
	fixture.Play(t, conductorPeakHot(), []ruletest.Scene{
		{Name: "a peak in cool air", Subject: "out", Edits: modes(`{"roll": {"draw": {"drive": {"current_A": 60}}, "ambient_C": 0}, "hill": {"draw": {"drive": {"current_A": 195}}, "ambient_C": 0, "lasts_s": 60}}`),
			Want: ruletest.Want{Verdict: rules.Passed, Mode: "hill", Capability: 90}},
		{Name: "the same in the hottest", Subject: "out", Edits: modes(`{"roll": {"draw": {"drive": {"current_A": 60}}}, "hill": {"draw": {"drive": {"current_A": 195}}, "lasts_s": 60}}`),
			Want: ruletest.Want{Verdict: rules.Failed, Mode: "hill", Capability: 50}},
		{Name: "after what flows in hotter air", Subject: "out", Edits: modes(`{"roll": {"draw": {"drive": {"current_A": 95}}}, "hill": {"draw": {"drive": {"current_A": 195}}, "ambient_C": 0, "lasts_s": 60}}`),
			Want: ruletest.Want{Verdict: rules.Failed, Mode: "hill", Capability: 90}},
		{Name: "below what flows in cooler air", Subject: "out", Edits: modes(`{"cool": {"draw": {"drive": {"current_A": 112}}, "ambient_C": 0}, "hill": {"draw": {"drive": {"current_A": 111}}, "lasts_s": 7200}}`),
			Want: ruletest.Want{Verdict: rules.Failed, Mode: "hill", Capability: 50}},
		{Name: "at any time", Subject: "out", Edits: ruletest.Edits("controllers.drive", `{"min_V": 60, "max_V": 130, "battery_peak_A": 300, "battery_continuous_A": 60, "peak_s": 60}`,
			"modes", `{"roll": {"draw": {"drive": {"current_A": 60}}, "ambient_C": 0}}`),
			Want: ruletest.Want{Verdict: rules.Failed, Capability: 50}},
	})
}

// A link of a hand's length between two studs hands its heat to them: whether it
// is sound depends on the studs, which must not be called an error.
func TestShortWires(t *testing.T) {
	hot := func(more ...string) []rules.Edit {
		return append(ruletest.Edits("modes.roll.draw.drive.current_A", "130", "wires.out.length_m", "0.12"), ruletest.Edits(more...)...)
	}
	fixture.Play(t, conductorOverloaded(), []ruletest.Scene{
		{Name: "terminals that say nothing", Edits: hot(), Subject: "out", Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Note, Demand: 132.037, Message: "its terminals carry off the heat"}},
		{Name: "terminals that state their limit", Edits: hot("fuses.main.terminal_max_C", "90", "studs.joint.terminal_max_C", "90"), Subject: "out",
			Want: ruletest.Want{Verdict: rules.Passed, Message: "its terminals at their own limits carry off the heat"}},
		{Name: "too much for any terminals", Edits: hot("modes.roll.draw.drive.current_A", "500", "controllers.drive.battery_continuous_A", "600"), Subject: "out",
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error}},
		{Name: "long", Edits: hot("wires.out.length_m", "0.6"), Subject: "out", Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error}},
	})
}
