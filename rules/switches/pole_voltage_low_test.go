package switches

import (
	"slices"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestPoleVoltageLow(t *testing.T) {
	rule := poleVoltageLow()
	fixture.Play(t, rule, []ruletest.Scene{
		{Name: "the pole in the house network", Subject: "key.house", Want: ruletest.Want{Verdict: rules.Passed, Demand: 14.4, Capability: 28}},
		{Name: "the pole in the pack's", Subject: "key.drive", Want: ruletest.Want{Verdict: rules.Passed, Demand: 84, Capability: 100}},
		{Name: "a 28 V switch on the pack", Subject: "key.drive", Edits: ruletest.Edits("switches.key.poles.drive.rated_V_dc", "28"),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 84, Capability: 28, Fix: "84 V DC"}},
		// 84 V are too much, whatever regeneration into an unknown resistance adds.
		{Name: "too low whatever is missing", Subject: "key.drive", Edits: ruletest.Edits("switches.key.poles.drive.rated_V_dc", "28", "controllers.drive.regen_A", "50", "batteries.pack.resistance_mOhm", ""),
			Want: ruletest.Want{Verdict: rules.Failed, Demand: 84, Capability: 28}},
		{Name: "not known whether regeneration exceeds it", Subject: "key.drive", Edits: ruletest.Edits("controllers.drive.regen_A", "50", "batteries.pack.resistance_mOhm", ""),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "batteries.pack.resistance_mOhm"}},
		{Name: "the charger counts", Subject: "key.drive", Edits: slices.Concat(ruletest.Edits("chargers.ch", `{"max_V": 102, "max_A": 5, "isolated": true}`), lead("c1", "ch.pos", "drive.pos"), lead("c2", "ch.neg", "drive.neg")),
			Want: ruletest.Want{Verdict: rules.Failed, Demand: 102}},
		{Name: "in the return of the lamp", Subject: "lights.lamps", Edits: ruletest.Edits("wires.l1.to", `"lamp.pos"`, "wires.l2", `{"from": "lamp.neg", "to": "lights.lamps_a", "size": "70 mm2", "length_m": 0.01}`, "wires.l3.from", `"lights.lamps_b"`),
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 14.4}},
		{Name: "not given", Subject: "key.house", Edits: ruletest.Edits("switches.key.poles.house.rated_V_dc", ""), Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "switches.key.poles.house.rated_V_dc"}},
		{Name: "an unused pole", Subject: "key.third", Edits: ruletest.Edits("switches.key.poles.third", `{"rated_V_dc": 12}`)},
		{Name: "a spare switch", Subject: "lights.lamps", Edits: ruletest.Edits("switches.lights.spare", "true")},
	})
	// The key of a cart of 58.4 V with a pole for 28 V.
	r := ruletest.Run(t, ruletest.Changed(t, "../../testdata/first/first.yaml", ruletest.Edits("switches.key.poles.drive.rated_V_dc", "28")...), []*rules.Rule{rule})
	if len(r) != 1 || !r[0].IsFinding() || r[0].Demand.Value != 58.4 {
		t.Errorf("a pole for 28 V on 58.4 V: %+v", r)
	}
}

// A pole that opens a coil withstands what the coil's suppression adds to the voltage
// of the circuit, as suppression-clamp-high asks: 1.2 x (14.4 V + 30 V) = 53.3 V.
func TestPoleVoltageOfACoil(t *testing.T) {
	pole := func(coil ...string) []rules.Edit {
		return ruletest.Edits(append(coil, "switches.key.poles.house.rated_V_dc", "12")...)
	}
	fixture.Play(t, poleVoltageLow(), []ruletest.Scene{
		{Name: "a clamp that is given", Subject: "key.house", Edits: pole("relays.r.coil.suppression", `"tvs"`, "relays.r.coil.clamp_V", "30"),
			Want: ruletest.Want{Verdict: rules.Failed, Fix: "use a switch rated at least 54 V DC: it opens the coil of r, whose suppression adds 30 V"}},
		{Name: "one that is not", Subject: "key.house", Edits: pole(), Want: ruletest.Want{Verdict: rules.Failed, Fix: "use a switch rated at least 15 V DC, and more for what the suppression of r adds"}},
		{Name: "no coil", Subject: "lights.lamps", Edits: ruletest.Edits("switches.lights.poles.lamps.rated_V_dc", "12"), Want: ruletest.Want{Verdict: rules.Failed, Fix: "use a switch rated at least 15 V DC, or let it switch a relay"}},
	})
}
