package controller

import (
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// 160 A through 10 mOhm leave 38.4 V of the empty pack's 40 V, through 20 mOhm
// 36.8 V.
func TestControllerUndervoltage(t *testing.T) {
	rule := controllerUndervoltage()
	limit := func(v string) []rules.Edit { return ruletest.Edits("controllers.drive.min_V", v) }
	fixture.Play(t, rule, []ruletest.Scene{
		{Name: "enough is left", Subject: "drive", Want: ruletest.Want{Verdict: rules.Passed, Demand: 30, Capability: 36.8, Mode: "climb"}},
		{Name: "not when cold", Subject: "drive", Edits: limit("37.5"), // below it draws less than is demanded: 40 V / (1 + 20 mOhm x 160 A / 37.5 V)
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 37.5, Capability: 36.86}},
		// LFP has 3.5 times its resistance at -10 C: 40 V / (1 + 35 mOhm x 160 A / 37.5 V).
		{Name: "not when cold by its chemistry", Subject: "drive", Edits: append(limit("37.5"), ruletest.Edits("batteries.pack.chemistry", `"LFP"`, "batteries.pack.resistance_mOhm.max", "")...),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 37.5, Capability: 34.8}},
		{Name: "in a mode of warm air", Subject: "drive", Edits: append(limit("37.5"), ruletest.Edits("batteries.pack.chemistry", `"LFP"`, "batteries.pack.resistance_mOhm.max", "", "modes.climb.ambient_C", "25", "modes.cruise.ambient_C", "25")...),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 37.5, Capability: 36.86}},
		{Name: "cells kept warm", Subject: "drive", Edits: append(limit("37.5"), ruletest.Edits("batteries.pack.chemistry", `"LFP"`, "batteries.pack.resistance_mOhm.max", "", "batteries.pack.cells_min_C", "25")...),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 37.5, Capability: 36.86}},
		{Name: "a power that the supply cannot give is said by another rule", Subject: "drive",
			Edits: append(limit("39"), ruletest.Edits("modes.climb.draw.drive", `{"power_W": 6600}`)...),
			Want:  ruletest.Want{Verdict: rules.Failed, Primary: "supply-collapses/drive"}},
		{Name: "it is off before the pack is empty", Subject: "drive", Edits: limit("41"),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Warning, Primary: "controller-voltage-low/drive"}},
		{Name: "resistance not given", Subject: "drive", Edits: ruletest.Edits("batteries.pack.resistance_mOhm", ""),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "batteries.pack.resistance_mOhm"}},
		{Name: "it draws in no mode", Subject: "drive", Edits: ruletest.Edits("modes.cruise", "", "modes.climb", ""),
			Want: ruletest.Want{Verdict: rules.Passed, Message: "mode everything on"}},
	})
}

// A mode that lets the controller draw with the key open is a mistake of its own.
func TestNothingFeedsIt(t *testing.T) {
	results := ruletest.On(t, controllerUndervoltage(), "heron", ruletest.Edits("modes.cruise.closed", `["isolator", "stop"]`)...)
	r := ruletest.Verdict(t, results, "drive", rules.Failed)
	if r.Level != rules.Error || r.Mode != "cruise" {
		t.Errorf("%s in mode %s: %s", r.Level, r.Mode, r.Message)
	}
}

// No switch can feed a controller to which no metal leads from a battery; where a part is
// unfinished on the way, it follows from that.
func TestNoMetalFeedsIt(t *testing.T) {
	file := filepath.Join("..", "..", "testdata", "sound", "ar-main-fuse.yaml")
	for _, tc := range []struct {
		name, primary string
		edits         []rules.Edit
	}{
		{"a supply that ends on a stud", "", ruletest.Edits("studs.lone", "{}", "wires.w4.from", `"lone.stud"`)},
		{"a plug without its second conductor", "terminal-unconnected/plug", ruletest.Edits("connectors.plug", `{"contacts": [{}]}`, "wires.w4.from", `"plug.b1"`)},
	} {
		t.Run(tc.name, func(t *testing.T) {
			r, ok := ruletest.Finding(ruletest.Run(t, ruletest.Changed(t, file, tc.edits...), []*rules.Rule{controllerUndervoltage()}), "drive")
			if !ok || r.Level != rules.Error || !strings.Contains(r.Message, "no battery is connected to it at both poles") || r.Primary != tc.primary {
				t.Errorf("%s %s (%s)", r.Level, r.Message, r.Primary)
			}
		})
	}
}

// Nothing but the pre-charge resistor feeds a controller whose contactor a mode
// does not close: it drives nothing, and the resistor's leads do not melt.
func TestPrechargeFeedsNoDrive(t *testing.T) {
	spec := ruletest.Changed(t, filepath.Join("..", "..", "testdata", "sound", "ar-main-fuse.yaml"), ruletest.Edits("wires.w9", "")...)
	results := map[string]rules.Result{}
	for _, r := range ruletest.Run(t, spec, []*rules.Rule{controllerUndervoltage()}) {
		results[r.Subject] = r
	}
	r := ruletest.Verdict(t, results, "drive", rules.Failed)
	if r.Level != rules.Error || !strings.Contains(r.Message, "nothing but its pre-charge feeds it") {
		t.Errorf("%s: %s", r.Level, r.Message)
	}
}

// A voltage that rests on an assumed factor names it.
func TestUndervoltageNamesTheAssumedResistance(t *testing.T) {
	results := ruletest.On(t, controllerUndervoltage(), "heron", ruletest.Edits("batteries.pack.resistance_mOhm", "25", "batteries.pack.chemistry", "")...)
	r := ruletest.Verdict(t, results, "drive", rules.Passed)
	if !slices.ContainsFunc(r.Working, func(s rules.Step) bool {
		return s.Value == 2 && s.Origin.Kind == rules.FromDefault && s.Origin.Ref == "policy.battery_resistance_max_factor"
	}) {
		t.Errorf("the factor is not in the working:\n%+v", r.Working)
	}
}
